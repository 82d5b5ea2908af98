// What comes next in a running test of a section: which reading, when, and when it can be decided at the earliest?

import type { PressureStage, VacuumPhase } from '../vocabulary.ts'
import type { EvacuationJudgement } from './judge-evacuation.ts'
import type { PressureTestJudgement } from './judge-pressure-test.ts'

export type PressureAdvice =
  /** The pressure is being raised, or nothing was read yet. */
  | 'raise'
  /** Take the source off and let the gas settle. */
  | 'settle'
  | 'read-on'
  /** It can't be told, and no further reading of this test changes that. */
  | 'start-again'
  | 'holds'
  | 'falls'
  | 'void'

export type VacuumAdvice =
  | 'pull'
  | 'isolate'
  | 'read-on'
  /** Isolated too early, or with a gauge too coarse: waiting won't help. */
  | 'pull-again'
  | 'tight'
  | 'moisture'
  | 'leak'

export interface NextInTest<Advice> {
  advice: Advice
  /** The reading that is wanted next; null where none has its time. */
  due: { at: number; what: 'start-of-hold' | 'reading' | 'last-reading' } | null
  /** When readings like these should decide; null where that is not known, or is decided. */
  decidesAt: number | null
}

/** A hold is read at its start, at each quarter and at its end (common practice, no source). */
const QUARTERS = 4
/** What fits tell apart takes seven readings, so one a minute fits into the shortest hold. */
const PACE_S = 60
const READINGS_OF_A_HOLD = 10

export function nextInPressureTest(
  readings: readonly { at: number; stage: PressureStage }[],
  judgement: Pick<PressureTestJudgement, 'verdict' | 'reasons' | 'requiredHoldS'>,
  settleS: number,
): NextInTest<PressureAdvice> {
  const { verdict, reasons, requiredHoldS } = judgement
  const nothing = { due: null, decidesAt: null }
  if (verdict === 'void') return { advice: 'void', ...nothing }
  if (verdict === 'falls') return { advice: 'falls', ...nothing }
  const hold = readings.filter((reading) => reading.stage === 'hold')
  const [first] = hold
  const last = hold.at(-1)
  if (!first || !last) {
    const raised = readings.at(-1)?.at
    if (raised === undefined) return { advice: 'raise', ...nothing }
    const startsAt = raised + settleS * 1000
    return {
      advice: 'settle',
      due: { at: startsAt, what: 'start-of-hold' },
      decidesAt: startsAt + requiredHoldS * 1000,
    }
  }
  if (verdict === 'holds') return { advice: 'holds', ...nothing }
  const has = (...codes: string[]) => reasons.some((reason) => codes.includes(reason.code))
  // How it began can't be undone by reading on.
  if (has('settling-too-short', 'pressure-not-reached', 'gauge-too-coarse', 'reading-outside-validity'))
    return { advice: 'start-again', ...nothing }
  const quarterMs = (requiredHoldS * 1000) / QUARTERS
  const endsAt = first.at + requiredHoldS * 1000
  if (last.at >= endsAt) {
    // A longer hold with more readings narrows what is left open; a rise has another cause.
    if (!has('fall-not-excluded', 'uncertainty-exceeds-band')) return { advice: 'start-again', ...nothing }
    return { advice: 'read-on', due: { at: last.at + quarterMs, what: 'reading' }, decidesAt: null }
  }
  const at = Math.min(endsAt, first.at + (Math.floor((last.at - first.at) / quarterMs) + 1) * quarterMs)
  return {
    advice: 'read-on',
    due: { at, what: at >= endsAt ? 'last-reading' : 'reading' },
    decidesAt: endsAt,
  }
}

export function nextInEvacuation(
  readings: readonly { at: number; phase: VacuumPhase; absolutePressurePa: number }[],
  judgement: Pick<
    EvacuationJudgement,
    'verdict' | 'reasons' | 'criteria' | 'isolatedAtMs' | 'minutesToDecide'
  >,
): NextInTest<VacuumAdvice> {
  const { verdict, reasons, criteria, isolatedAtMs, minutesToDecide } = judgement
  const nothing = { due: null, decidesAt: null }
  const last = readings.at(-1)
  if (last?.phase !== 'decay' || isolatedAtMs === null) {
    const atTarget = last?.phase === 'pull' && last.absolutePressurePa <= criteria.targetPa.value
    return { advice: atTarget ? 'isolate' : 'pull', ...nothing }
  }
  if (verdict !== 'cannot-tell') return { advice: verdict, ...nothing }
  const has = (...codes: string[]) => reasons.some((reason) => codes.includes(reason.code))
  if (has('gauge-too-coarse', 'target-not-reached', 'never-below-limit'))
    return { advice: 'pull-again', ...nothing }
  const holdMs = criteria.holdS.value * 1000
  const endsAt = isolatedAtMs + holdMs
  if (last.at < endsAt) {
    const pace = Math.max(PACE_S * 1000, holdMs / READINGS_OF_A_HOLD)
    const at = Math.min(endsAt, last.at + pace)
    const further = minutesToDecide === null ? 0 : last.at + minutesToDecide * 60_000
    return {
      advice: 'read-on',
      due: { at, what: at >= endsAt ? 'last-reading' : 'reading' },
      decidesAt: Math.max(endsAt, further),
    }
  }
  // Held long enough, but in too few readings for any shape to show itself.
  if (has('too-few-readings'))
    return { advice: 'read-on', due: { at: last.at + PACE_S * 1000, what: 'reading' }, decidesAt: null }
  if (minutesToDecide === null) return { advice: 'pull-again', ...nothing }
  const pace = Math.min(10, Math.max(1, minutesToDecide / 5)) * 60_000
  return {
    advice: 'read-on',
    due: { at: last.at + pace, what: 'reading' },
    decidesAt: last.at + minutesToDecide * 60_000,
  }
}
