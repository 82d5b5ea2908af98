/** What torque did the nut get, and is it in range by the chosen decision rule? */
import { say } from '../words/say.ts'
import { normalCdf } from './distributions.ts'
import {
  OutsideValidity,
  requireFinite,
  requireNotNegative,
  requirePositive,
  requireWithin,
} from './validity.ts'

/**
 * A crow-foot or extension between wrench and nut. `offsetM`: drive centre to nut centre, negative when the
 * adapter is turned back towards the hand. `wrenchLengthM`: drive centre to the middle of the grip.
 * `angleDegrees`: between the wrench's axis and the adapter, 0 when in line (the default).
 */
export interface Adapter {
  offsetM: number
  wrenchLengthM: number
  angleDegrees?: number
}

/** How the number came about: a click wrench shows its setting, not what was reached. */
export type TorqueIndication = 'set-and-clicked' | 'read'
export type TorqueDecisionRule = 'simple' | 'guarded'
export type TorqueVerdict = 'in-range' | 'low' | 'high' | 'not-proven'

/** Equality at a limit survives the rounding of unit conversion. */
const EDGE = 1e-9

/**
 * Torque at the nut divided by the torque the wrench shows: (L + E·cos a)/L.
 * Valid while the pull stays on the grip's marked point and |E·cos a| is smaller than L.
 * Source: US Army TM 9-254; US Navy aviation training text.
 */
export function adapterFactor(adapter: Adapter | undefined): number {
  if (!adapter) return 1
  const length = requirePositive(say.trade.wrenchLength, adapter.wrenchLengthM, 'm')
  const offset = requireFinite(say.trade.adapterOffset, adapter.offsetM, 'm')
  const angle = requireWithin(say.trade.adapterAngle, adapter.angleDegrees ?? 0, -180, 180, '°')
  // cos 90° is 6e-17 in doubles; a right angle changes nothing, exactly.
  const cosine = Math.abs(Math.abs(angle) - 90) < 1e-12 ? 0 : Math.cos((angle * Math.PI) / 180)
  const factor = (length + offset * cosine) / length
  if (!(factor > 0) || factor > 5) {
    throw new OutsideValidity(say.trade.adapterOffset, offset, {
      unit: 'm',
      because: say.trade.anAdapterIsShorter,
    })
  }
  return factor
}

/** Torque at the nut in N·m, from the torque that the wrench shows in N·m. Linear; exact for a pull on the mark. */
export function torqueAtNut(input: { readingNm: number; adapter?: Adapter | undefined }): number {
  return requireNotNegative(say.trade.torqueReading, input.readingNm, 'N·m') * adapterFactor(input.adapter)
}

/** What to set on the wrench, in N·m, so that the nut gets `torqueNm`. The reverse of `torqueAtNut`. */
export function wrenchSetting(input: { torqueNm: number; adapter?: Adapter | undefined }): number {
  return requireNotNegative(say.trade.torque, input.torqueNm, 'N·m') / adapterFactor(input.adapter)
}

interface Range {
  lowNm: number
  highNm: number
}

function requireRange(lowNm: number, highNm: number): Range {
  requireNotNegative(say.trade.lowerTorqueLimit, lowNm, 'N·m')
  requirePositive(say.trade.upperTorqueLimit, highNm, 'N·m')
  if (highNm < lowNm) {
    throw new OutsideValidity(say.trade.upperTorqueLimit, highNm, {
      low: lowNm,
      unit: 'N·m',
      because: say.trade.theLimitsAreSwapped,
    })
  }
  return { lowNm, highNm }
}

/**
 * Readings (at the nut) that are accepted: under `simple` the range itself, under `guarded` the part of it that
 * the wrench's error can't leave. May be empty (`lowNm` above `highNm`) when the range is narrower than the error.
 */
function acceptanceBand(range: Range, relative: number, rule: TorqueDecisionRule): Range {
  if (rule === 'simple') return range
  return { lowNm: range.lowNm / (1 - relative), highNm: range.highNm / (1 + relative) }
}

export interface TorqueJudgement {
  /** Torque at the nut by the reading, N·m. */
  appliedNm: number
  /** Half-width of the interval in which the true torque lies, N·m (rectangular: all of it; normal: k = 2). */
  uncertaintyNm: number
  /** Readings at the nut that the rule accepts, N·m. */
  acceptance: Range
  /** True when no reading with this wrench could be accepted by the rule. */
  acceptanceEmpty: boolean
  /** Probability that the torque truly applied lies in the range. It speaks of the torque, not of the joint. */
  probabilityInRange: number
  decisionRule: TorqueDecisionRule
  verdict: TorqueVerdict
  /** Only a torque that was read (not a click at a setting) says anything about spread. */
  usableForCharts: boolean
}

/**
 * Judges one torque. All torques in N·m; `readingNm` is what the wrench shows, the range is at the nut.
 *
 * The wrench's accuracy ±p % is taken as one dominating rectangular contribution, so the true torque lies in
 * reading ± p % (JCGM 106:2012 allows any density). Where a certificate gives a standard uncertainty, pass
 * `standardUncertaintyNm` (at the nut's torque, before the adapter): then a normal density with k = 2 is used.
 * `simple`: accepted when the reading is in range. `guarded`: accepted when reading ± U is in range; in range
 * but not by U is `not-proven`.
 * Valid for accuracy 0–50 %; errors of the person's pull are not included. Source of classes 4 and 6 %: ISO 6789
 * (2003 by a summary; carry-over into 2017 from memory).
 */
export function judgeTorque(input: {
  readingNm: number
  indication: TorqueIndication
  rangeLowNm: number
  rangeHighNm: number
  accuracyPercent: number
  standardUncertaintyNm?: number | undefined
  adapter?: Adapter | undefined
  decisionRule: TorqueDecisionRule
}): TorqueJudgement {
  const range = requireRange(input.rangeLowNm, input.rangeHighNm)
  const accuracy = requireWithin(say.trade.wrenchAccuracy, input.accuracyPercent, 0, 50, '%') / 100
  const factor = adapterFactor(input.adapter)
  const appliedNm = torqueAtNut(input)
  const normal = input.standardUncertaintyNm !== undefined
  const uncertaintyNm = normal
    ? 2 * requireNotNegative(say.trade.standardUncertainty, input.standardUncertaintyNm ?? 0, 'N·m') * factor
    : accuracy * appliedNm
  const acceptance =
    input.decisionRule === 'simple'
      ? range
      : normal
        ? { lowNm: range.lowNm + uncertaintyNm, highNm: range.highNm - uncertaintyNm }
        : acceptanceBand(range, accuracy, 'guarded')
  const slack = EDGE * range.highNm
  const verdict: TorqueVerdict =
    appliedNm < range.lowNm - slack
      ? 'low'
      : appliedNm > range.highNm + slack
        ? 'high'
        : appliedNm < acceptance.lowNm - slack || appliedNm > acceptance.highNm + slack
          ? 'not-proven'
          : 'in-range'
  return {
    appliedNm,
    uncertaintyNm,
    acceptance,
    acceptanceEmpty: acceptance.lowNm > acceptance.highNm + slack,
    probabilityInRange: normal
      ? normalProbability(appliedNm, uncertaintyNm / 2, range)
      : rectangularProbability(appliedNm, uncertaintyNm, range),
    decisionRule: input.decisionRule,
    verdict,
    usableForCharts: input.indication === 'read',
  }
}

/** Share of the interval centre ± half that lies inside the range (rectangular density, JCGM 106:2012). */
export function rectangularProbability(
  centre: number,
  half: number,
  range: { lowNm: number; highNm: number },
): number {
  const slack = EDGE * Math.abs(range.highNm)
  if (half <= slack) return centre >= range.lowNm - slack && centre <= range.highNm + slack ? 1 : 0
  if (centre - half >= range.lowNm - slack && centre + half <= range.highNm + slack) return 1
  const overlap = Math.min(centre + half, range.highNm) - Math.max(centre - half, range.lowNm)
  return Math.min(1, Math.max(0, overlap / (2 * half)))
}

/** Probability that a normal quantity (centre, standard uncertainty) lies inside the range (JCGM 106:2012). */
export function normalProbability(
  centre: number,
  standard: number,
  range: { lowNm: number; highNm: number },
): number {
  if (standard <= 0) return rectangularProbability(centre, 0, range)
  return normalCdf((range.highNm - centre) / standard) - normalCdf((range.lowNm - centre) / standard)
}

/**
 * The setting to pull to: the middle of the range, corrected for the adapter, with the band that will be accepted
 * at the nut. All in N·m. The middle leaves equal room on both sides (common practice, no source).
 */
export function recommendedSetting(input: {
  rangeLowNm: number
  rangeHighNm: number
  accuracyPercent?: number | undefined
  decisionRule?: TorqueDecisionRule | undefined
  adapter?: Adapter | undefined
}): { targetNm: number; settingNm: number; acceptance: Range; acceptanceEmpty: boolean } {
  const range = requireRange(input.rangeLowNm, input.rangeHighNm)
  const accuracy = requireWithin(say.trade.wrenchAccuracy, input.accuracyPercent ?? 0, 0, 50, '%') / 100
  const targetNm = (range.lowNm + range.highNm) / 2
  const acceptance = acceptanceBand(range, accuracy, input.decisionRule ?? 'simple')
  return {
    targetNm,
    settingNm: wrenchSetting({ torqueNm: targetNm, adapter: input.adapter }),
    acceptance,
    acceptanceEmpty: acceptance.lowNm > acceptance.highNm * (1 + EDGE),
  }
}
