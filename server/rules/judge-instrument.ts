// Was an instrument confirmed on each day this job used it, and was it found bad since?

import {
  type ConfirmationState,
  confirmationOn,
  errorInWords,
  TORQUE_WRENCH_USES,
} from '../trade/calibration.ts'
import type { InstrumentKind } from '../vocabulary.ts'
import { say } from '../words/say.ts'
import type { Calibration, Dossier, Instrument } from './dossier.ts'
import { leakChecksOf } from './scope.ts'
import { day, moment } from './wording.ts'

/** One use of an instrument on a job. */
export interface InstrumentUse {
  at: number
  /** The fact that rests on it. */
  evidenceId: string
  /** Tried on a reference leak at that very check, which confirms a leak detector for it. */
  triedOnTheDay: boolean
}

export interface InstrumentJudgement {
  /** The worst state over all uses; `not-asked` when its kind needs no confirmation. */
  state: ConfirmationState | 'not-asked'
  confirmed: boolean
  /** The use that the state comes from. */
  use: InstrumentUse | null
  intervalDays: number | null
  reason: string
}

/** Kinds whose own check must be made against a named reference to count. */
const NEEDS_REFERENCE: ReadonlySet<InstrumentKind> = new Set([
  'torque-wrench',
  'pressure-gauge',
  'vacuum-gauge',
  'scale',
])

/** The shorter of the policy's interval and the instrument's own; null when neither asks. */
export function confirmationInterval(
  instrument: Pick<Instrument, 'kind' | 'calibrationIntervalDays'>,
  days: Dossier['policy']['confirmationDays'],
): number | null {
  const asked = [days[instrument.kind], instrument.calibrationIntervalDays].filter(
    (interval): interval is number => interval !== null && interval !== undefined,
  )
  return asked.length > 0 ? Math.min(...asked) : null
}

/** A check that found fault always counts; one that found none counts when it was made against something. */
export function countsAsCheck(calibration: Calibration, kind: InstrumentKind): boolean {
  if (calibration.basis === 'certificate' || calibration.result === 'out-of-tolerance') return true
  return !NEEDS_REFERENCE.has(kind) || (calibration.reference ?? '').trim() !== ''
}

/** From worst to best. */
const WORST_FIRST: ConfirmationState[] = [
  'recalled',
  'out-of-tolerance',
  'never-calibrated',
  'out-of-date',
  'found-in-tolerance-since',
  'confirmed',
]

export function judgeInstrument(
  instrument: Instrument,
  uses: readonly InstrumentUse[],
  policy: Dossier['policy'],
): InstrumentJudgement {
  const intervalDays = confirmationInterval(instrument, policy.confirmationDays)
  if (intervalDays === null) {
    return {
      state: 'not-asked',
      confirmed: true,
      use: null,
      intervalDays,
      reason: say.rules.noConfirmationIsAsked,
    }
  }
  const calibrations = instrument.calibrations
    .filter((calibration) => countsAsCheck(calibration, instrument.kind))
    .map((calibration) => ({
      atMs: calibration.at,
      spentAt: calibration.spentAt,
      result: calibration.result,
      basis: calibration.basis,
      points: calibration.points.map((point) => ({
        nominal: point.nominal,
        asFoundErrorPercent: point.asFoundErrorPercent,
      })),
    }))
  let worst: {
    state: ConfirmationState
    use: InstrumentUse
    confirmation: ReturnType<typeof confirmationOn> | null
  } | null = null
  for (const use of uses) {
    // The interval counts in whole days from the calibration, the day itself being the first.
    const confirmation = confirmationOn({
      calibrations,
      atMs: use.at,
      intervalDays: Math.max(0, intervalDays - 1),
      uses: isSpent(calibrations, use.at)
        ? { since: TORQUE_WRENCH_USES + 1, limit: TORQUE_WRENCH_USES }
        : undefined,
    })
    const tried = use.triedOnTheDay && ['never-calibrated', 'out-of-date'].includes(confirmation.state)
    const state = tried ? 'confirmed' : confirmation.state
    if (worst === null || WORST_FIRST.indexOf(state) < WORST_FIRST.indexOf(worst.state)) {
      worst = { state, use, confirmation: tried ? null : confirmation }
    }
  }
  if (worst === null) {
    return { state: 'not-asked', confirmed: true, use: null, intervalDays, reason: say.rules.notUsedOnThis }
  }
  const { state, use, confirmation } = worst
  const when = say.rules.on(day(use.at))
  const by = confirmation?.by ? day(confirmation.by.atMs) : null
  const next = confirmation?.next ? day(confirmation.next.atMs) : null
  const reasons: Record<ConfirmationState, string> = {
    confirmed: by ? say.rules.confirmedOnWhichStood(by) : say.rules.triedOnAReference,
    'found-in-tolerance-since': say.rules.noConfirmationStoodBut(when, next),
    recalled: say.rules.itWasUsedOn(moment(use.at), next, errorOfNext(confirmation?.next)),
    'never-calibrated': say.rules.itHadNeverBeen(when),
    'out-of-date': isSpent(calibrations, use.at)
      ? say.rules.itsConfirmationWasUsed(when, by, TORQUE_WRENCH_USES)
      : say.rules.itsConfirmationOfWas(when, by, intervalDays),
    'out-of-tolerance': say.rules.itWasKnownTo(when, by),
  }
  return {
    state,
    confirmed: state === 'confirmed' || state === 'found-in-tolerance-since',
    use,
    intervalDays,
    reason: reasons[state],
  }
}

/** As many uses as a confirmation allows had been made since: this one is one too many. */
function isSpent(
  calibrations: readonly { atMs: number; spentAt?: number | undefined }[],
  at: number,
): boolean {
  const spentAt = calibrations.findLast(({ atMs }) => atMs <= at)?.spentAt
  return spentAt !== undefined && at > spentAt
}

function errorOfNext(next: ReturnType<typeof confirmationOn>['next'] | undefined): string {
  const worst = [...(next?.points ?? [])].sort(
    (a, b) => Math.abs(b.asFoundErrorPercent) - Math.abs(a.asFoundErrorPercent),
  )[0]
  const words = worst ? errorInWords(worst.asFoundErrorPercent) : null
  return words ? say.rules.it(words) : ''
}

/** Every use of every instrument on a job, by instrument id. */
export function instrumentUses(dossier: Dossier): Map<string, InstrumentUse[]> {
  const uses = new Map<string, InstrumentUse[]>()
  const add = (id: string | null | undefined, at: number, evidenceId: string, triedOnTheDay = false) => {
    if (id == null) return
    const list = uses.get(id) ?? []
    list.push({ at, evidenceId, triedOnTheDay })
    uses.set(id, list)
  }
  const { job } = dossier
  for (const system of dossier.systems) {
    for (const joint of system.joints) {
      for (const make of joint.makes) {
        for (const step of make.steps) {
          if (step.jobId !== job.id || step.kind === 'leak-check') continue
          if ('instrumentId' in step.body) add(step.body.instrumentId, step.performedAt, step.id)
        }
      }
      for (const check of leakChecksOf(joint)) {
        if (check.jobId !== job.id) continue
        add(check.body.instrumentId, check.performedAt, check.id, check.body.checkedOnTrialLeak)
      }
    }
    for (const test of system.pressureTests) {
      if (test.jobId !== job.id) continue
      add(test.gaugeInstrumentId, test.performedAt, test.id)
      add(test.thermometerInstrumentId, test.performedAt, test.id)
      for (const reading of test.readings) {
        add(reading.instrumentId, reading.at, reading.id)
        add(reading.thermometerInstrumentId, reading.at, reading.id)
      }
    }
    for (const evacuation of system.evacuations) {
      if (evacuation.jobId !== job.id) continue
      add(evacuation.gaugeInstrumentId, evacuation.performedAt, evacuation.id)
      for (const reading of evacuation.readings) add(reading.instrumentId, reading.at, reading.id)
    }
    for (const charge of system.charges) {
      if (charge.jobId === job.id) add(charge.scaleInstrumentId, charge.performedAt, charge.id)
    }
  }
  return uses
}
