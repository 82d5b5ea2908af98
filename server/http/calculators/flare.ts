// How wide should this flare be, how far should the tube stand out, and does the nut belong to it?

import { z } from 'zod'
import type { JudgedNumberProps } from '../../../views/parts/judged-number.tsx'
import { gaugePressure, length } from '../../commands/quantities.ts'
import {
  FLARE_CLASSES,
  findFlareDiameterBand,
  findProjection,
  flareWarnings,
  judgeFlareDiameter,
  judgeNut,
  judgeProjection,
  type NutVerdict,
  tubeRatedPressurePa,
} from '../../trade/flare.ts'
import { findBuiltInRange } from '../../trade/torque-ranges.ts'
import { say } from '../../words/say.ts'
import { defineCalculator, exactly, inOther, inUnit } from '../calculator.ts'
import { quantityJson } from '../json.ts'

const TOOLS = ['clutch-made-for-class-2', 'clutch', 'wing'] as const

const nuts = (): Record<NutVerdict, string> => ({
  right: say.calculators.theRightNutBy,
  'class-1-nut': say.calculators.aClass1Nut,
  'class-2-nut': say.calculators.aClass2Nut,
  'wrong-size': say.calculators.notANutFor,
  'cannot-tell-by-size': say.calculators.bothClassesHaveThis,
  'not-listed': say.calculators.noNutIsListed,
})

const theWarnings = (): Record<ReturnType<typeof flareWarnings>[number]['code'], string> => ({
  'wall-thinner-than-any-set': say.calculators.theWallIsThinner,
  'wall-thinner-than-usual': say.calculators.theWallIsThinnerThan,
  'tube-rating-below-pressure': say.calculators.theTubesRatingBy,
  'fitting-rating-below-pressure': say.calculators.oneCatalogueRatesFittings,
  'drawn-tube': say.calculators.drawnTubeCantBe,
})

export const flare = defineCalculator({
  path: 'flare',
  summary: 'Which diameter, projection and nut belong to a flare of this tube?',
  input: z.strictObject({
    tubeOd: length({ min: 0.004, max: 0.03 }),
    flareClass: z.enum(FLARE_CLASSES, { error: () => say.calculators.useOneOf(FLARE_CLASSES.join(', ')) }),
    tool: z.enum(TOOLS, { error: () => say.calculators.useOneOf(TOOLS.join(', ')) }).optional(),
    outerDiameter: length({ min: 0.001, max: 0.05 }).optional(),
    projection: length({ max: 0.02 }).optional(),
    nutAcrossFlats: length({ min: 0.005, max: 0.06 }).optional(),
    tubeWall: length({ min: 0.0003, max: 0.003 }).optional(),
    gaugePressure: gaugePressure({ min: 0 }).optional(),
  }),
  compute: (input) => {
    const of = { tubeOdM: input.tubeOd.si, flareClass: input.flareClass }
    return {
      ...of,
      band: findFlareDiameterBand(input.flareClass, input.tubeOd.si),
      projectionBand: input.tool ? findProjection({ ...of, tool: input.tool }) : null,
      diameterM: input.outerDiameter?.si ?? null,
      diameter: input.outerDiameter
        ? judgeFlareDiameter({ ...of, outerDiameterM: input.outerDiameter.si })
        : null,
      projectionM: input.projection?.si ?? null,
      projection:
        input.projection && input.tool
          ? judgeProjection({ ...of, tool: input.tool, projectionM: input.projection.si })
          : null,
      nut: input.nutAcrossFlats ? judgeNut({ ...of, acrossFlatsM: input.nutAcrossFlats.si }) : null,
      wallM: input.tubeWall?.si ?? null,
      ratingPa: input.tubeWall
        ? tubeRatedPressurePa({ odM: input.tubeOd.si, wallM: input.tubeWall.si })
        : null,
      warnings: flareWarnings({
        tubeOdM: input.tubeOd.si,
        wallM: input.tubeWall?.si,
        gaugePressurePa: input.gaugePressure?.si,
      }),
      torque: findBuiltInRange('jis-b-8607-class-2', input.tubeOd.si),
    }
  },
  fieldOf: ({ quantity }) => (quantity === 'tube wall' ? 'tubeWall' : undefined),
  json: (a) => {
    const band = (one: { lowM: number; highM: number; source: string } | null) =>
      one && {
        low: quantityJson('length', one.lowM, 'mm'),
        high: quantityJson('length', one.highM, 'mm'),
        source: one.source,
      }
    return {
      outerDiameter: band(a.band),
      outerDiameterVerdict: a.diameter?.verdict ?? null,
      projection: band(a.projectionBand),
      projectionVerdict: a.projection?.verdict ?? null,
      nutVerdict: a.nut,
      tubeRating: quantityJson('pressure', a.ratingPa, 'MPa'),
      warnings: a.warnings.map((one) => ({ code: one.code, source: one.source })),
    }
  },
  explain: (a) => {
    const mm = (lengthM: number) => Number((lengthM * 1000).toFixed(2))
    const judged = (
      label: string,
      measuredM: number | null,
      band: { lowM: number; highM: number; source: string } | null,
      verdict: string | undefined,
    ): JudgedNumberProps[] =>
      measuredM === null || band === null
        ? []
        : [
            {
              label,
              value: exactly(measuredM * 1000, 2),
              unit: 'mm',
              at: mm(measuredM),
              low: mm(band.lowM),
              high: mm(band.highM),
              verdict: (verdict ?? '').replace('-', ' '),
              outcome: verdict === 'in-band' ? 'met' : 'failed',
              also: inOther('length', measuredM, 'mm'),
              source: band.source,
            },
          ]
    const span = (low: number, high: number) =>
      say.calculators.toMm(exactly(low * 1000, 1), exactly(high * 1000, 1))
    return {
      judged: [
        ...judged(say.calculators.outerDiameter, a.diameterM, a.band, a.diameter?.verdict),
        ...judged(say.calculators.projection, a.projectionM, a.projectionBand, a.projection?.verdict),
      ],
      facts: [
        {
          label: say.calculators.outerDiameterOfThe,
          value: a.band ? span(a.band.lowM, a.band.highM) : say.calculators.noneBuiltInYour,
          note: a.band
            ? say.calculators.to(inUnit('length', a.band.lowM, 'in'), inUnit('length', a.band.highM, 'in'))
            : undefined,
          main: true,
        },
        ...(a.projectionBand
          ? [
              {
                label: say.calculators.tubeAboveTheDie,
                value: span(a.projectionBand.lowM, a.projectionBand.highM),
                note: a.projectionBand.source,
              },
            ]
          : []),
        ...(a.torque && a.flareClass === 'class-2'
          ? [
              {
                label: say.calculators.torqueWhereTheSheet,
                value: say.calculators.toNM(a.torque.lowNm, a.torque.highNm),
                note: a.torque.source,
              },
            ]
          : []),
        ...(a.nut ? [{ label: say.calculators.nut, value: nuts()[a.nut] }] : []),
        ...(a.ratingPa === null
          ? []
          : [
              {
                label: say.calculators.tubeRatedTo,
                value: inUnit('pressure', a.ratingPa, 'MPa'),
                note: say.calculators.anUpperBoundRatings,
              },
            ]),
        ...a.warnings.map((one) => ({
          label: say.calculators.lookAgain,
          value: theWarnings()[one.code],
          note: one.source,
        })),
      ],
      worked: {
        steps: [
          {
            says: say.calculators.theBandIsLooked,
            formula: 'low ≤ A ≤ high',
            numbers: a.band
              ? a.diameterM === null
                ? `${mm(a.band.lowM)} ≤ A ≤ ${mm(a.band.highM)} mm`
                : `${mm(a.band.lowM)} ≤ ${mm(a.diameterM)} ≤ ${mm(a.band.highM)} mm: ${a.diameter?.verdict === 'in-band' ? 'true' : say.calculators.notSo}`
              : undefined,
          },
          ...(a.ratingPa !== null && a.wallM !== null
            ? [
                {
                  says: say.calculators.annealedCopperAt38,
                  formula: 'P = 2 · S · t / (D − 0.8 · t)',
                  numbers: `P = 2 · 41.37 · ${exactly(a.wallM * 1000, 3)} / (${exactly(a.tubeOdM * 1000, 2)} − 0.8 · ${exactly(a.wallM * 1000, 3)}) = ${exactly(a.ratingPa / 1e6, 2)} MPa`,
                },
              ]
            : []),
        ],
        source: a.band?.source ?? say.calculators.noneBuiltIn,
        validity: say.calculators.for45FlaresOf,
        methodHref: '/methods/flare',
      },
    }
  },
})
