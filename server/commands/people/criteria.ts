// How are a company's criteria sent and answered? Whole, every quantity with its unit, within bounds of sense.

import { z } from 'zod'
import { EVIDENCE_PHOTOS, type Policy } from '../../rules/policy.ts'
import { sameTubeSize } from '../../trade/tube.ts'
import { DECISION_RULES, INSTRUMENT_KINDS, LANGUAGES, TORQUE_FAMILIES } from '../../vocabulary.ts'
import { FIRST_LANGUAGE, say } from '../../words/say.ts'
import { text } from '../fields.ts'
import {
  absolutePressure,
  length,
  mass,
  massRate,
  temperatureDifference,
  time,
  torque,
} from '../quantities.ts'

const MINUTE = 60
const HOUR = 3600
const WEEK = 7 * 24 * HOUR

const one = <const Values extends readonly [string, ...string[]]>(values: Values) =>
  z.enum(values, { error: () => say.people.useOneOf(values.join(', ')) })

const fraction = (max: number) =>
  z
    .number({ error: () => say.people.enterANumber })
    .min(0, { error: () => say.people.atLeast0 })
    .max(max, { error: () => say.people.atMost(max) })

const days = z
  .int({ error: () => say.people.enterAWholeNumber })
  .min(1, { error: () => say.people.atLeastOneDay })
  .max(3650, { error: () => say.people.atMost3650Days })
  .nullable()

/** No unit of the trade measures this; it is sent in SI. */
const leakRate = z.strictObject({
  value: z
    .number({ error: () => say.people.enterANumber })
    .positive({ error: () => say.people.moreThan0 })
    .max(1, { error: () => say.people.atMost1 }),
  unit: z.literal('Pa.m3/s', { error: () => say.people.usePaM3S }),
})

/** One size of the EN 378-2 set: tube, and torque at the nut. */
const torqueRange = z
  .strictObject({
    tubeOd: length({ min: 0.003, max: 0.03 }),
    low: torque({ min: 1, max: 300 }),
    high: torque({ min: 1, max: 300 }),
  })
  .refine(({ low, high }) => high.si > low.si, {
    path: ['high'],
    error: () => say.people.theHighestTorqueMust,
  })

/** The bounds keep slips out; whether a criterion is looser than the built-in one is another question. */
export const criteria = z
  .strictObject({
    decisionRule: one(DECISION_RULES),
    torqueFamily: one(TORQUE_FAMILIES),
    torqueSet: z
      .strictObject({
        source: text(500),
        ranges: z
          .array(torqueRange, { error: () => say.people.forEachTubeSize })
          .min(1, { error: () => say.people.enterAtLeastOne })
          .max(40, { error: () => say.people.atMost40 }),
      })
      .nullable()
      .default(null),
    pressure: z.strictObject({
      hold: time({ min: MINUTE, max: WEEK }),
      settle: time({ min: 0, max: 24 * HOUR }),
      bandFraction: fraction(0.1),
      bandMinimum: absolutePressure({ min: 0, max: 500_000 }),
      temperatureFollowing: fraction(1),
    }),
    vacuum: z.strictObject({
      target: absolutePressure({ min: 1, max: 2000 }),
      limit: absolutePressure({ min: 1, max: 5000 }),
      hold: time({ min: MINUTE, max: WEEK }),
      horizon: time({ min: MINUTE, max: WEEK }),
      leakRate: leakRate.nullable(),
    }),
    charge: z.strictObject({
      toleranceMinimum: mass({ min: 0, max: 2 }),
      toleranceFraction: fraction(0.25),
    }),
    running: z.strictObject({
      steady: time({ min: MINUTE, max: 24 * HOUR }),
      subcoolingTolerance: temperatureDifference({ min: 0, max: 20 }),
      superheatTolerance: temperatureDifference({ min: 0, max: 20 }),
    }),
    confirmationDays: z.record(one(INSTRUMENT_KINDS), days),
    bubbleSensitivity: z
      .strictObject({ rate: massRate({ min: 1e-6, max: 1 }), source: text(500) })
      .nullable(),
    handlerSchemes: z.array(text(80)).max(20, { error: () => say.people.atMost20 }),
    evidence: z.strictObject({ photos: z.array(one(EVIDENCE_PHOTOS)).max(EVIDENCE_PHOTOS.length) }),
    selfSignOff: z.boolean({ error: () => say.people.answerYesOrNo }),
    gwpBasis: one(['AR4', 'AR5', 'AR6']),
    personFigures: one(['off', 'own-only', 'managers']),
    certificateLanguage: one(LANGUAGES).default(FIRST_LANGUAGE),
  })
  .superRefine(({ vacuum, torqueFamily, torqueSet }, context) => {
    if (torqueFamily === 'en-378-2' && !torqueSet)
      context.addIssue({
        code: 'custom',
        path: ['torqueFamily'],
        message: say.people.enterTheEn378,
      })
    const sizes = torqueSet?.ranges.map((range) => range.tubeOd.si) ?? []
    sizes.forEach((size, index) => {
      if (sizes.slice(0, index).some((other) => sameTubeSize(other, size)))
        context.addIssue({
          code: 'custom',
          path: ['torqueSet', 'ranges', index, 'tubeOd'],
          message: say.people.thisSizeStandsTwice,
        })
    })
    if (vacuum.target.si > vacuum.limit.si)
      context.addIssue({
        code: 'custom',
        path: ['vacuum', 'target'],
        message: say.people.theTargetLiesAbove,
      })
  })
  .transform(
    (typed): Policy => ({
      decisionRule: typed.decisionRule,
      torqueFamily: typed.torqueFamily,
      torqueSet: typed.torqueSet && {
        source: typed.torqueSet.source,
        ranges: typed.torqueSet.ranges.map(({ tubeOd, low, high }) => ({
          tubeOdM: tubeOd.si,
          lowNm: low.si,
          highNm: high.si,
        })),
      },
      pressure: {
        holdS: typed.pressure.hold.si,
        settleS: typed.pressure.settle.si,
        bandFraction: typed.pressure.bandFraction,
        bandMinimumPa: typed.pressure.bandMinimum.si,
        temperatureFollowing: typed.pressure.temperatureFollowing,
      },
      vacuum: {
        targetPa: typed.vacuum.target.si,
        limitPa: typed.vacuum.limit.si,
        holdS: typed.vacuum.hold.si,
        horizonS: typed.vacuum.horizon.si,
        leakRatePaM3PerS: typed.vacuum.leakRate?.value ?? null,
      },
      charge: {
        toleranceMinimumKg: typed.charge.toleranceMinimum.si,
        toleranceFraction: typed.charge.toleranceFraction,
      },
      running: {
        steadyS: typed.running.steady.si,
        subcoolingToleranceK: typed.running.subcoolingTolerance.si,
        superheatToleranceK: typed.running.superheatTolerance.si,
      },
      confirmationDays: typed.confirmationDays,
      bubbleSensitivity: typed.bubbleSensitivity && {
        kgPerYear: typed.bubbleSensitivity.rate.si,
        source: typed.bubbleSensitivity.source,
      },
      handlerSchemes: [...new Set(typed.handlerSchemes)],
      evidence: { photos: EVIDENCE_PHOTOS.filter((photo) => typed.evidence.photos.includes(photo)) },
      selfSignOff: typed.selfSignOff,
      gwpBasis: typed.gwpBasis,
      personFigures: typed.personFigures,
      certificateLanguage: typed.certificateLanguage,
    }),
  )

/** The same shape as is sent, in SI. */
export function criteriaJson(policy: Policy): z.input<typeof criteria> {
  const seconds = (value: number) => ({ value, unit: 's' as const })
  const pascals = (value: number) => ({ value, unit: 'Pa' as const })
  const kelvins = (value: number) => ({ value, unit: 'K' as const })
  const { pressure, vacuum, charge, running } = policy
  return {
    decisionRule: policy.decisionRule,
    torqueFamily: policy.torqueFamily,
    torqueSet: policy.torqueSet
      ? {
          source: policy.torqueSet.source,
          ranges: policy.torqueSet.ranges.map(({ tubeOdM, lowNm, highNm }) => ({
            tubeOd: { value: tubeOdM, unit: 'm' as const },
            low: { value: lowNm, unit: 'N.m' as const },
            high: { value: highNm, unit: 'N.m' as const },
          })),
        }
      : null,
    pressure: {
      hold: seconds(pressure.holdS),
      settle: seconds(pressure.settleS),
      bandFraction: pressure.bandFraction,
      bandMinimum: pascals(pressure.bandMinimumPa),
      temperatureFollowing: pressure.temperatureFollowing,
    },
    vacuum: {
      target: pascals(vacuum.targetPa),
      limit: pascals(vacuum.limitPa),
      hold: seconds(vacuum.holdS),
      horizon: seconds(vacuum.horizonS),
      leakRate: vacuum.leakRatePaM3PerS === null ? null : { value: vacuum.leakRatePaM3PerS, unit: 'Pa.m3/s' },
    },
    charge: {
      toleranceMinimum: { value: charge.toleranceMinimumKg, unit: 'kg' },
      toleranceFraction: charge.toleranceFraction,
    },
    running: {
      steady: seconds(running.steadyS),
      subcoolingTolerance: kelvins(running.subcoolingToleranceK),
      superheatTolerance: kelvins(running.superheatToleranceK),
    },
    confirmationDays: policy.confirmationDays,
    bubbleSensitivity: policy.bubbleSensitivity && {
      rate: { value: policy.bubbleSensitivity.kgPerYear * 1000, unit: 'g/yr' },
      source: policy.bubbleSensitivity.source,
    },
    handlerSchemes: policy.handlerSchemes,
    evidence: policy.evidence,
    selfSignOff: policy.selfSignOff,
    gwpBasis: policy.gwpBasis,
    personFigures: policy.personFigures,
    certificateLanguage: policy.certificateLanguage ?? FIRST_LANGUAGE,
  }
}

/** The name that a criterion has when it is sent: `pressure.holdS` is sent as `pressure.hold`. */
export const sentPath = (path: string): string =>
  path
    .replace('bubbleSensitivity.kgPerYear', 'bubbleSensitivity')
    .replace(/(?<=[a-z])(PaM3PerS|Pa|Kg|K|S)$/, '')

/** What stands at such a name among criteria as they are sent. */
export function sentValue(sent: z.input<typeof criteria>, path: string): unknown {
  return path
    .split('.')
    .reduce<unknown>((at, name) => (at as Record<string, unknown> | null)?.[name] ?? null, sent)
}
