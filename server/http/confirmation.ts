// Is this instrument confirmed now, until when, and what is there to do about it?

import type { Calibration } from '../rules/dossier.ts'
import { confirmationInterval, countsAsCheck, judgeInstrument } from '../rules/judge-instrument.ts'
import type { Policy } from '../rules/policy.ts'
import { day } from '../rules/wording.ts'
import type { UseCount } from '../store/queries/instrument-uses.ts'
import type { KeptInstrument } from '../store/queries/instruments.ts'
import { asInstrument } from '../store/queries/instruments-used.ts'
import type { InstrumentKind } from '../vocabulary.ts'
import { say } from '../words/say.ts'

const DAY_MS = 86_400_000
/** When a check that is still good is already worth arranging; common practice, no source. */
const SOON_DAYS = 30

export interface Confirmation {
  state: 'confirmed' | 'out-of-date' | 'never-calibrated' | 'out-of-tolerance' | 'not-asked'
  confirmed: boolean
  /** The last moment at which it counts as confirmed, past or to come; null where there is none. */
  confirmedUntil: number | null
  dueSoon: boolean
  intervalDays: number | null
  reason: string
}

/** As the rules would judge it, were it used now. */
export function confirmationOf(
  kept: KeptInstrument,
  policy: Policy,
  now: number,
  /** How often it was used since its last check, where that is counted. */
  uses: Pick<UseCount, 'reachedAt'> | null = null,
): Confirmation {
  const instrument = asInstrument(kept, kept.calibrations)
  const spentAt = uses?.reachedAt ?? null
  const stands = lastCheck(instrument, now)
  if (stands && spentAt !== null) stands.spentAt = spentAt
  const judged = judgeInstrument(instrument, [{ at: now, evidenceId: '', triedOnTheDay: false }], policy)
  const intervalDays = confirmationInterval(instrument, policy.confirmationDays)
  const confirmedUntil =
    stands && intervalDays !== null && stands.result !== 'out-of-tolerance'
      ? Math.min(stands.at + intervalDays * DAY_MS - 1, spentAt ?? Number.POSITIVE_INFINITY)
      : null
  const state = nowOnly(judged.state)
  return {
    state,
    confirmed: judged.confirmed,
    confirmedUntil,
    dueSoon:
      state === 'confirmed' &&
      intervalDays !== null &&
      intervalDays > SOON_DAYS &&
      confirmedUntil !== null &&
      confirmedUntil - now < SOON_DAYS * DAY_MS,
    intervalDays,
    // Here nothing speaks of a job.
    reason: state === 'confirmed' && stands ? say.people.confirmedOn(day(stands.at)) : judged.reason,
  }
}

/** The check that stands now, whatever it found. */
export const lastCheck = <Check extends Calibration>(
  { calibrations, kind }: { calibrations: readonly Check[]; kind: InstrumentKind },
  now: number,
): Check | undefined =>
  calibrations.findLast((calibration) => calibration.at <= now && countsAsCheck(calibration, kind))

/** Nothing was found after now, so of a use at this moment neither of the two later states can be said. */
function nowOnly(state: ReturnType<typeof judgeInstrument>['state']): Confirmation['state'] {
  if (state === 'recalled') return 'confirmed'
  return state === 'found-in-tolerance-since' ? 'out-of-date' : state
}
