// How are the reasons of the audit list said to a reader?

import type { SurchargeCode } from '../../server/vocabulary.ts'

export const REASON_WORDS: Record<'expected-leaks' | SurchargeCode, string> = {
  'expected-leaks': 'leaks expected',
  'weak-joint-check': 'joint check weak or missing',
  'uncertain-hold': 'pressure hold uncertain',
  'late-entry': 'entered late',
  'quick-flares': 'more flares than hands can make',
  'pass-after-fail': 'passed after failing',
  'changed-by-correction': 'outcome changed by a correction',
  'near-limit-torque': 'torque near a limit',
}

/** For one thing and for several: "1 joint", "3 joints". */
const COUNTED: Record<SurchargeCode, [string, string]> = {
  'weak-joint-check': [
    'joint has no leak check that could find a small leak',
    'joints have no leak check that could find a small leak',
  ],
  'uncertain-hold': [
    'hold passed with its uncertainty above half of what may stay unseen',
    'holds passed with their uncertainty above half of what may stay unseen',
  ],
  'late-entry': [
    'entry was made late and does not say when it was done',
    'entries were made late and do not say when it was done',
  ],
  'quick-flares': [
    'flare more than hands can make in that time',
    'flares more than hands can make in that time',
  ],
  'pass-after-fail': ['test failed before one passed', 'tests failed before one passed'],
  'changed-by-correction': ['correction changed an outcome', 'corrections changed an outcome'],
  'near-limit-torque': [
    'torque is nearer to its limit than the wrench is sure',
    'torques are nearer to their limit than the wrench is sure',
  ],
}

export function countedReason(code: SurchargeCode, count: number): string {
  const [one, several] = COUNTED[code]
  return `${count} ${count === 1 ? one : several}`
}

const MINUTE = 60_000

/** "40 min", "5 h", "3 days" */
export function spanWords(ms: number): string {
  if (ms < 60 * MINUTE) return `${Math.max(0, Math.round(ms / MINUTE))} min`
  if (ms < 48 * 60 * MINUTE) return `${Math.round(ms / (60 * MINUTE))} h`
  return `${Math.floor(ms / (24 * 60 * MINUTE))} days`
}
