// Calculators: the same arithmetic as the record uses, for figures that belong to no record.

import { z } from 'zod'
import { CalculatorPage, CalculatorsPage } from '../../views/calculators/calculator.tsx'
import { CALCULATORS, type CalculatorPath } from '../../views/calculators/fields.ts'
import { moment } from '../commands/fields.ts'
import {
  absolutePressure,
  elevation,
  gaugePressure,
  length,
  type Measured,
  mass,
  massPerLength,
  massRate,
  signedLength,
  temperature,
  temperatureDifference,
  torque,
  volume,
} from '../commands/quantities.ts'
import { malformedField } from '../refusals.ts'
import type { EvacuationJudgement } from '../rules/judge-evacuation.ts'
import { BUILT_IN_POLICY } from '../rules/policy.ts'
import {
  absoluteFromGauge,
  atmosphericPressureAt,
  gaugeFromAbsolute,
  STANDARD_ATMOSPHERE_PA,
} from '../trade/atmosphere.ts'
import { co2Equivalent, requiredCharge } from '../trade/charge.ts'
import { judgeEvacuation } from '../trade/evacuation.ts'
import { slopeAtConstantDensity } from '../trade/nitrogen.ts'
import { largestCharge, minimumFloorArea } from '../trade/room-area.ts'
import { saturationPressure, saturationSource, saturationTemperature } from '../trade/saturation.ts'
import {
  bandFor,
  holdTimeToSeeLoss,
  judgeStandingPressure,
  type StandingPressureJudgement,
} from '../trade/standing-pressure.ts'
import { recommendedSetting } from '../trade/torque.ts'
import { type PressureUnit, parseNumber, type TorqueUnit } from '../trade/units.ts'
import { DECISION_RULES, MOUNTINGS, REFRIGERANT_NAMES } from '../vocabulary.ts'
import { vacuumJudgementJson } from './evacuations.ts'
import { expand, type Fields } from './form.ts'
import { quantityJson } from './json.ts'
import { pressureJudgementJson } from './pressure-tests.ts'
import type { ComputeOptions, Resource } from './resource.ts'
import { orNull } from './section-tests.ts'
import { shellOf } from './shell.ts'

const refrigerant = z.enum(REFRIGERANT_NAMES, { error: `Use one of ${REFRIGERANT_NAMES.join(', ')}.` })
const air = {
  siteElevation: elevation().optional(),
  absoluteAtmosphericPressure: absolutePressure({ min: 30_000, max: 120_000 }).optional(),
}
const airOf = (input: {
  siteElevation?: Measured | undefined
  absoluteAtmosphericPressure?: Measured | undefined
}): number =>
  input.absoluteAtmosphericPressure?.si ??
  (input.siteElevation ? atmosphericPressureAt(input.siteElevation.si) : STANDARD_ATMOSPHERE_PA)

/** Taken where nothing is said of the instruments: a 0.5 % gauge of 6 MPa, a thermometer of 0.5 K (common practice, no source). */
const GAUGE_PA = 30_000 / 4
const THERMOMETER_K = 0.5 / 4

const testState = z.strictObject({ gaugePressure: gaugePressure(), temperature: temperature(), at: moment })
const { pressure, vacuum, gwpBasis } = BUILT_IN_POLICY

export function calculationsResource(resource: Resource): void {
  resource.read({
    path: '/calculators',
    name: 'calculators',
    summary: 'The calculators.',
    capability: 'use-own',
    load: async () => null,
    page: (_, ask) => CalculatorsPage({ shell: shellOf(ask.actor, '/calculators') }),
  })

  const calculator = <Schema extends z.ZodType, Answer>(
    path: CalculatorPath,
    options: Pick<ComputeOptions<Schema, Answer>, 'summary' | 'input' | 'compute' | 'json'> & {
      fields?(fields: Fields): unknown
    },
  ) =>
    resource.compute<Schema, Answer>({
      path: `/calculations/${path}`,
      name: path,
      ...options,
      page: {
        path: `/calculators/${path}`,
        ...(options.fields ? { input: options.fields } : {}),
        show: (form, answer, ask, refusal) =>
          CalculatorPage({
            shell: shellOf(ask.actor, '/calculators'),
            calculator: CALCULATORS[path],
            path,
            form,
            answer: answer === null ? null : (options.json(answer, ask) as Record<string, unknown>),
            refused: refusal?.errors.every((error) => error.path === '') ? refusal.message : undefined,
          }),
      },
    })

  calculator('torque-setting', {
    summary: 'What to set on a wrench, with an adapter, for a torque range at the nut.',
    input: z.strictObject({
      low: torque(),
      high: torque(),
      wrenchAccuracyPercent: z
        .number('Enter a number.')
        .min(0, 'Between 0 and 50.')
        .max(50, 'Between 0 and 50.')
        .optional(),
      decisionRule: z.enum(DECISION_RULES).optional(),
      adapter: z
        .strictObject({
          offset: signedLength(),
          wrenchLength: length(),
          angleDegrees: z.number('Enter a number.').min(-180).max(180).optional(),
        })
        .optional(),
    }),
    compute: (input) => ({
      unit: input.low.unit,
      ...recommendedSetting({
        rangeLowNm: input.low.si,
        rangeHighNm: input.high.si,
        accuracyPercent: input.wrenchAccuracyPercent,
        decisionRule: input.decisionRule,
        adapter: input.adapter && {
          offsetM: input.adapter.offset.si,
          wrenchLengthM: input.adapter.wrenchLength.si,
          angleDegrees: input.adapter.angleDegrees ?? 0,
        },
      }),
    }),
    json: ({ unit, targetNm, settingNm, acceptance, acceptanceEmpty }) => {
      const inUnit = (torqueNm: number) => quantityJson('torque', torqueNm, unit as TorqueUnit)
      return {
        target: inUnit(targetNm),
        setting: inUnit(settingNm),
        acceptance: { low: inUnit(acceptance.lowNm), high: inUnit(acceptance.highNm) },
        acceptanceEmpty,
      }
    },
  })

  const holdFields = {
    medium: z.enum(['nitrogen', 'helium']).optional(),
    ...air,
    internalVolume: volume().optional(),
    gaugeUncertainty: gaugePressure({ min: 0 }).optional(),
    temperatureUncertainty: temperatureDifference().optional(),
    refrigerant: refrigerant.optional(),
  }
  calculator('pressure-hold', {
    summary: 'Did a standing pressure hold, once temperature and the instruments’ errors are taken out?',
    input: z.strictObject({ start: testState, end: testState, ...holdFields }),
    compute: (input) => {
      const judgement = judgeStandingPressure({
        readings: [input.start, input.end].map((state) => ({
          atMs: state.at,
          stage: 'hold',
          gaugePressurePa: state.gaugePressure.si,
          temperatureK: state.temperature.si,
        })),
        medium: input.medium ?? 'nitrogen',
        atmosphericPressurePa: airOf(input),
        gauge: { accuracyPa: 0, shortTermPa: input.gaugeUncertainty?.si ?? GAUGE_PA, resolutionPa: 0 },
        thermometer: { accuracyK: 0, shortTermK: input.temperatureUncertainty?.si ?? THERMOMETER_K },
        requiredHoldS: pressure.holdS,
        temperatureFollowing: pressure.temperatureFollowing,
        volumeM3: input.internalVolume?.si,
        refrigerant: input.refrigerant,
      })
      return { judgement, unit: input.start.gaugePressure.unit, volumeM3: input.internalVolume?.si ?? null }
    },
    json: ({ judgement, unit, volumeM3 }) => {
      const {
        requiredGaugePressure: _r,
        requiredSource: _s,
        limitGaugePressure: _l,
        limitSource: _m,
        ...said
      } = pressureJudgementJson(withoutSheet(judgement, volumeM3), unit as PressureUnit)
      return said
    },
  })

  calculator('hold-time', {
    summary: 'How long must a section be held to see a given leak?',
    input: z.strictObject({
      gaugePressure: gaugePressure({ min: 1000 }),
      temperature: temperature().optional(),
      temperatureChange: temperatureDifference().optional(),
      ...holdFields,
      internalVolume: volume(),
      refrigerant,
      leakToSee: massRate(),
    }),
    compute: (input) => {
      const atmosphericPressurePa = airOf(input)
      const startPa = absoluteFromGauge(input.gaugePressure.si, atmosphericPressurePa)
      const slope = slopeAtConstantDensity(startPa, input.temperature?.si ?? 293.15)
      const gaugePa = input.gaugeUncertainty?.si ?? GAUGE_PA
      const thermometerK = input.temperatureUncertainty?.si ?? THERMOMETER_K
      const lag = slope * pressure.temperatureFollowing * (input.temperatureChange?.si ?? 0)
      const changeUncertaintyPa = Math.sqrt(2 * gaugePa ** 2 + 2 * (slope * thermometerK) ** 2 + lag ** 2)
      const bandPa = bandFor(input.gaugePressure.si)
      const seconds = holdTimeToSeeLoss({
        kgPerYear: input.leakToSee.si,
        refrigerant: input.refrigerant,
        testGas: input.medium,
        testGaugePressurePa: input.gaugePressure.si,
        atmosphericPressurePa,
        volumeM3: input.internalVolume.si,
        bandPa,
        changeUncertaintyPa,
      })
      return { seconds, bandPa, changeUncertaintyPa, unit: input.gaugePressure.unit }
    },
    json: ({ seconds, bandPa, changeUncertaintyPa, unit }) => ({
      minutes: seconds / 60,
      largestUnseenFall: quantityJson('pressure', bandPa, unit as PressureUnit),
      changeUncertainty: quantityJson('pressure', changeUncertaintyPa, unit as PressureUnit),
    }),
  })

  calculator('vacuum-decay', {
    summary: 'Is an evacuated section tight, moist or leaking, by its readings after it was isolated?',
    input: z.strictObject({
      readings: z
        .array(
          z
            .strictObject({
              at: moment.optional(),
              minutes: z.number('Enter a number.').min(0).max(100_000).optional(),
              absolutePressure: absolutePressure({ max: 1e6 }),
            })
            .refine((one) => (one.at === undefined) !== (one.minutes === undefined), {
              error: 'Give either the moment or the minutes since it was isolated.',
            }),
        )
        .min(1, 'Give at least one reading.')
        .max(500),
      temperature: temperature().optional(),
      internalVolume: volume().optional(),
      target: absolutePressure({ min: 1 }).optional(),
      riseLimit: absolutePressure({ min: 1 }).optional(),
      holdMinutes: z.number('Enter a number.').min(0).max(10_080).optional(),
      gaugeResolution: absolutePressure({ max: 1000 }).optional(),
    }),
    compute: (input) => {
      const targetPa = input.target?.si ?? vacuum.targetPa
      const limitPa = input.riseLimit?.si ?? vacuum.limitPa
      const holdS = input.holdMinutes === undefined ? vacuum.holdS : input.holdMinutes * 60
      const judged = judgeEvacuation({
        readings: input.readings.map((reading) => ({
          atMs: reading.at ?? (reading.minutes ?? 0) * 60_000,
          phase: 'decay',
          pressurePa: reading.absolutePressure.si,
          temperatureK: input.temperature?.si,
        })),
        targetPa,
        limitPa,
        holdS,
        horizonS: vacuum.horizonS,
        // One micron, what an electronic vacuum gauge shows (common practice, no source).
        gaugeResolutionPa: input.gaugeResolution?.si ?? 0.1333,
        volumeM3: input.internalVolume?.si,
      })
      const source = (given: unknown) => (given === undefined ? 'built in' : 'as entered')
      const judgement: EvacuationJudgement = {
        ...judged,
        // Minutes without a moment were counted from nowhere.
        isolatedAtMs: input.readings.some((reading) => reading.at === undefined) ? null : judged.isolatedAtMs,
        criteria: {
          targetPa: { value: targetPa, source: source(input.target) },
          limitPa: { value: limitPa, source: source(input.riseLimit) },
          holdS: { value: holdS, source: source(input.holdMinutes) },
        },
        volumeM3: input.internalVolume?.si ?? null,
        volumeSource: 'as entered',
        refrigerantKgPerYear: null,
        unseenRefrigerantKgPerYear: null,
      }
      return { judgement, unit: input.readings[0]?.absolutePressure.unit ?? 'Pa' }
    },
    json: ({ judgement, unit }) => {
      const {
        refrigerantPerYear: _r,
        unseenRefrigerantPerYear: _u,
        ...said
      } = vacuumJudgementJson(judgement, unit as PressureUnit)
      return said
    },
    fields: (fields) => {
      const { readings, readingsUnit, ...input } = expand(fields)
      return { ...input, readings: decayLines(String(readings ?? ''), String(readingsUnit ?? '')) }
    },
  })

  calculator('charge', {
    summary: 'How much refrigerant does a line of this length ask for?',
    input: z.strictObject({
      factoryCharge: mass(),
      prechargedLength: length(),
      adder: massPerLength(),
      length: length(),
      refrigerant,
    }),
    compute: (input) => {
      const charge = requiredCharge({
        factoryChargeKg: input.factoryCharge.si,
        scheme: {
          kind: 'total-length',
          prechargedLengthM: input.prechargedLength.si,
          adderKgPerM: input.adder.si,
          lines: [{ lengthM: input.length.si }],
        },
      })
      const co2e = orNull(() =>
        co2Equivalent({ refrigerant: input.refrigerant, massKg: charge.totalKg, basis: gwpBasis }),
      )
      return { ...charge, co2e }
    },
    json: ({ additionalKg, totalKg, co2e }) => ({
      additional: quantityJson('mass', additionalKg, 'kg'),
      total: quantityJson('mass', totalKg, 'kg'),
      co2e: co2e && { value: co2e.co2eKg, unit: 'kg', gwp: co2e.gwp, basis: co2e.basis, source: co2e.source },
    }),
  })

  calculator('room-area', {
    summary: 'How large must an unventilated room be for a charge of a flammable refrigerant?',
    input: z.strictObject({
      refrigerant,
      charge: mass({ min: 0.001 }),
      mounting: z.enum(MOUNTINGS, { error: `Use one of ${MOUNTINGS.join(', ')}.` }),
    }),
    compute: (input) => {
      const place = { refrigerant: input.refrigerant, mounting: input.mounting }
      const least = minimumFloorArea({ ...place, chargeKg: input.charge.si })
      const charges = [5, 10, 20, 40].map((floorAreaM2) => ({
        floorAreaM2,
        maximumChargeKg: largestCharge({ ...place, floorAreaM2 }).maximumChargeKg,
      }))
      return { least, charges }
    },
    json: ({ least, charges }) => ({
      minimumFloorArea: quantityJson('area', least.minimumFloorAreaM2, 'm2'),
      governs: least.governs,
      chargeLimits: {
        anyRoom: quantityJson('mass', least.m1Kg, 'kg'),
        thisMethod: quantityJson('mass', least.m2Kg, 'kg'),
        byFloorArea: charges.map((one) => ({
          floorArea: quantityJson('area', one.floorAreaM2, 'm2'),
          charge: quantityJson('mass', one.maximumChargeKg, 'kg'),
        })),
      },
      height: quantityJson('length', least.heightM, 'm'),
      lowerFlammabilityLimit: { value: least.lflKgPerM3, unit: 'kg/m3' },
      source: least.source,
    }),
  })

  calculator('saturation', {
    summary:
      'At which pressure does a refrigerant boil and condense at a temperature, or the other way round?',
    input: z.strictObject({
      refrigerant,
      absolutePressure: absolutePressure().optional(),
      gaugePressure: gaugePressure().optional(),
      temperature: temperature().optional(),
      ...air,
    }),
    compute: (input) => {
      const given = [input.absolutePressure, input.gaugePressure, input.temperature].filter(Boolean)
      if (given.length !== 1)
        throw malformedField(
          'absolutePressure',
          'Give one of absolute pressure, gauge pressure and temperature.',
        )
      const name = input.refrigerant
      const both = <T>(read: (line: 'bubble' | 'dew') => T) => ({ bubble: read('bubble'), dew: read('dew') })
      if (input.temperature) {
        const temperatureK = input.temperature.si
        return {
          name,
          pressures: both((line) => saturationPressure(name, line, temperatureK)),
          airPa: airOf(input),
        }
      }
      const absolutePa =
        input.absolutePressure?.si ?? absoluteFromGauge(input.gaugePressure?.si ?? 0, airOf(input))
      return { name, temperatures: both((line) => saturationTemperature(name, line, absolutePa)) }
    },
    json: (answer) => {
      const point = (line: 'bubble' | 'dew') =>
        'pressures' in answer && answer.pressures
          ? {
              absolutePressure: quantityJson('pressure', answer.pressures[line], 'Pa'),
              gaugePressure: quantityJson(
                'pressure',
                gaugeFromAbsolute(answer.pressures[line], answer.airPa),
                'Pa',
              ),
            }
          : { temperature: quantityJson('temperature', answer.temperatures?.[line], 'K') }
      return {
        bubble: point('bubble'),
        dew: point('dew'),
        source: saturationSource(answer.name).source,
      }
    },
  })
}

/** Lines of "minute pressure"; what is no number stays text, so that it is said beside the field. */
function decayLines(text: string, unit: string) {
  const lines = text.split('\n').map((line) => line.trim())
  return lines
    .filter((line) => line !== '')
    .map((line) => {
      const [minute = '', pressureTyped = ''] = line.split(/[\s;]+/)
      return {
        minutes: parseNumber(minute) ?? minute,
        absolutePressure: { value: parseNumber(pressureTyped) ?? pressureTyped, unit },
      }
    })
}

const withoutSheet = (judgement: StandingPressureJudgement, volumeM3: number | null) => ({
  ...judgement,
  required: null,
  limit: null,
  requiredHoldS: pressure.holdS,
  volumeM3,
  volumeSource: 'as entered',
  gaugeSource: '',
  thermometerSource: '',
})
