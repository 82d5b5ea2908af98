// Which of a company's criteria ask less than the built-in ones? Each certificate says so.

import { INSTRUMENT_KINDS } from '../vocabulary.ts'
import { BUILT_IN_POLICY, type Policy } from './policy.ts'

export type CriterionValue = number | string | boolean | null | string[]

export interface LooserCriterion {
  /** In the policy, with the SI unit at the end of its name: `pressure.holdS`. */
  path: string
  builtIn: CriterionValue
  set: CriterionValue
}

type Numbers = [path: string, of: (policy: Policy) => number][]

/** Asking for less than this is looser. */
const AT_LEAST: Numbers = [
  ['pressure.holdS', (policy) => policy.pressure.holdS],
  ['pressure.settleS', (policy) => policy.pressure.settleS],
  // A smaller share makes the uncertainty smaller, and so a test that holds easier to get.
  ['pressure.temperatureFollowing', (policy) => policy.pressure.temperatureFollowing],
  ['vacuum.holdS', (policy) => policy.vacuum.holdS],
  ['vacuum.horizonS', (policy) => policy.vacuum.horizonS],
  ['running.steadyS', (policy) => policy.running.steadyS],
]

/** Allowing more than this is looser. */
const AT_MOST: Numbers = [
  ['pressure.bandFraction', (policy) => policy.pressure.bandFraction],
  ['pressure.bandMinimumPa', (policy) => policy.pressure.bandMinimumPa],
  ['vacuum.targetPa', (policy) => policy.vacuum.targetPa],
  ['vacuum.limitPa', (policy) => policy.vacuum.limitPa],
  ['charge.toleranceMinimumKg', (policy) => policy.charge.toleranceMinimumKg],
  ['charge.toleranceFraction', (policy) => policy.charge.toleranceFraction],
  ['running.subcoolingToleranceK', (policy) => policy.running.subcoolingToleranceK],
  ['running.superheatToleranceK', (policy) => policy.running.superheatToleranceK],
]

/** Figures typed in another unit, or rounded for a form, are not another criterion. */
const ROUNDING = 1e-5
const isMore = (one: number, other: number) => one - other > ROUNDING * Math.abs(other)
const isLess = (one: number, other: number) => other - one > ROUNDING * Math.abs(other)

/**
 * In a fixed order; empty when nothing is looser. Criteria that are only another choice (torque set, basis of
 * CO₂-equivalents, figures by person) and those that the built-in policy leaves open (leak rate of the decay,
 * credentials, the decision rule, of which the simple one is built in) can't be looser.
 */
export function looserThanBuiltIn(policy: Policy): LooserCriterion[] {
  const looser: LooserCriterion[] = []
  const add = (path: string, builtIn: CriterionValue, set: CriterionValue) =>
    looser.push({ path, builtIn, set })
  for (const [path, of] of AT_LEAST)
    if (isLess(of(policy), of(BUILT_IN_POLICY))) add(path, of(BUILT_IN_POLICY), of(policy))
  for (const [path, of] of AT_MOST)
    if (isMore(of(policy), of(BUILT_IN_POLICY))) add(path, of(BUILT_IN_POLICY), of(policy))
  for (const kind of INSTRUMENT_KINDS) {
    const builtIn = BUILT_IN_POLICY.confirmationDays[kind]
    const set = policy.confirmationDays[kind]
    if (builtIn !== null && (set === null || set > builtIn)) add(`confirmationDays.${kind}`, builtIn, set)
  }
  if (policy.bubbleSensitivity !== null)
    add('bubbleSensitivity.kgPerYear', null, policy.bubbleSensitivity.kgPerYear)
  const photos = policy.evidence.photos
  if (BUILT_IN_POLICY.evidence.photos.some((photo) => !photos.includes(photo)))
    add('evidence.photos', BUILT_IN_POLICY.evidence.photos, photos)
  if (policy.selfSignOff && !BUILT_IN_POLICY.selfSignOff) add('selfSignOff', false, true)
  return looser
}
