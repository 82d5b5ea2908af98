// How are the reasons of the audit list said to a reader?

import type { SurchargeCode } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'

export const reasonWords = (): Record<'expected-leaks' | SurchargeCode, string> => ({
  'expected-leaks': say.audit.leaksExpected,
  'weak-joint-check': say.audit.jointCheckWeakOr,
  'uncertain-hold': say.audit.pressureHoldUncertain,
  'late-entry': say.audit.enteredLate,
  'quick-flares': say.audit.moreFlaresThanHands,
  'pass-after-fail': say.audit.passedAfterFailing,
  'changed-by-correction': say.audit.outcomeChangedByA,
  'near-limit-torque': say.audit.torqueNearALimit,
})

/** For one thing and for several: "1 joint", "3 joints". */
const counted = (): Record<SurchargeCode, [string, string]> => ({
  'weak-joint-check': [say.audit.jointHasNoLeak, say.audit.jointsHaveNoLeak],
  'uncertain-hold': [say.audit.holdPassedWithIts, say.audit.holdsPassedWithTheir],
  'late-entry': [say.audit.entryWasMadeLate, say.audit.entriesWereMadeLate],
  'quick-flares': [say.audit.flareMoreThanHands, say.audit.flaresMoreThanHands],
  'pass-after-fail': [say.audit.testFailedBeforeOne, say.audit.testsFailedBeforeOne],
  'changed-by-correction': [say.audit.correctionChangedAnOutcome, say.audit.correctionsChangedAnOutcome],
  'near-limit-torque': [say.audit.torqueIsNearerTo, say.audit.torquesAreNearerTo],
})

export function countedReason(code: SurchargeCode, count: number): string {
  const [one, several] = counted()[code]
  return `${count} ${count === 1 ? one : several}`
}

const MINUTE = 60_000

/** "40 min", "5 h", "3 days" */
export function spanWords(ms: number): string {
  if (ms < 60 * MINUTE) return `${Math.max(0, Math.round(ms / MINUTE))} min`
  if (ms < 48 * 60 * MINUTE) return `${Math.round(ms / (60 * MINUTE))} h`
  return say.audit.days(Math.floor(ms / (24 * 60 * MINUTE)))
}
