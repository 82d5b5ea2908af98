/** Was an instrument confirmed on the day it was used, and how far off did it read? */
import { say } from '../words/say.ts'
import { OutsideValidity, requireFinite, requirePositive } from './validity.ts'

export interface CalibrationPoint {
  /** Where on the scale, in the instrument's own SI unit. */
  nominal: number
  /** (shown − true)/true × 100, as found. Positive: it shows more than there is, so it applies less than it shows. */
  asFoundErrorPercent: number
  asLeftErrorPercent?: number | undefined
}

export interface Calibration {
  atMs: number
  /** adjusted: it was found out of tolerance and set right. */
  result: 'in-tolerance' | 'out-of-tolerance' | 'adjusted'
  basis: 'certificate' | 'own-check'
  points?: readonly CalibrationPoint[] | undefined
}

export type ConfirmationState =
  /** A calibration stood on the day. */
  | 'confirmed'
  /** None stood on the day, but the next one found the instrument in tolerance. */
  | 'found-in-tolerance-since'
  /** A calibration stood on the day, but the next one found the instrument out: its readings are to be recalled. */
  | 'recalled'
  | 'never-calibrated'
  | 'out-of-date'
  | 'out-of-tolerance'

export interface Confirmation {
  state: ConfirmationState
  confirmed: boolean
  /** The calibration that stood on the day, if any. */
  by: Calibration | null
  /** The next one after the day, if any. */
  next: Calibration | null
  /** Until when the standing calibration holds, ms; null without one. */
  validUntilMs: number | null
}

const DAY_MS = 86_400_000

/** Interval in days of the built-in confirmation (policy; torque wrench by ISO 6789, from memory; else common practice, no source). */
export const CONFIRMATION_INTERVAL_DAYS = {
  'torque-wrench': 365,
  'pressure-gauge': 365,
  'vacuum-gauge': 365,
  thermometer: 365,
  scale: 365,
  'leak-detector': 0,
  'flaring-tool': 182,
  'press-tool': 182,
} as const

/** Uses after which a torque wrench is due again whatever the date: ISO 6789-1:2017, from memory. */
export const TORQUE_WRENCH_USES = 5000

/**
 * Whether an instrument was confirmed at the moment it was used, from its calibrations and the interval of the policy.
 * A calibration stands from its own moment for `intervalDays` whole days (0: the same day, within 24 h). After it was
 * found out of tolerance, only an adjustment or a later calibration in tolerance makes it stand again; so does a new
 * calibration after an incident (a drop, an overload), or after `usesLimit` uses.
 * What was found later counts: in tolerance since → met; out of tolerance since → recalled.
 */
export function confirmationOn(input: {
  calibrations: readonly Calibration[]
  atMs: number
  intervalDays: number
  /** Bases that count; default both. */
  bases?: readonly Calibration['basis'][] | undefined
  /** Moments of drops and overloads. */
  incidentsAtMs?: readonly number[] | undefined
  /** Uses since the calibration that stands, and how many are allowed. */
  uses?: { since: number; limit: number } | undefined
}): Confirmation {
  requireFinite(say.trade.momentOfUse, input.atMs, 'ms')
  if (!(requireFinite(say.trade.interval, input.intervalDays, 'days') >= 0)) {
    throw new OutsideValidity(say.trade.interval, input.intervalDays, { low: 0, unit: 'days' })
  }
  for (const calibration of input.calibrations)
    requireFinite(say.trade.momentOfCalibration, calibration.atMs, 'ms')
  const bases = input.bases ?? ['certificate', 'own-check']
  const counted = input.calibrations
    .filter((calibration) => bases.includes(calibration.basis))
    .sort((a, b) => a.atMs - b.atMs)
  const before = counted.filter((calibration) => calibration.atMs <= input.atMs)
  const next = counted.find((calibration) => calibration.atMs > input.atMs) ?? null
  const latest = before.at(-1) ?? null
  const validUntilMs = latest ? latest.atMs + input.intervalDays * DAY_MS + (DAY_MS - 1) : null
  const incident = (input.incidentsAtMs ?? []).some(
    (moment) => latest !== null && moment > latest.atMs && moment <= input.atMs,
  )
  const worn = input.uses !== undefined && input.uses.since > input.uses.limit

  let state: ConfirmationState
  if (!latest) state = 'never-calibrated'
  else if (latest.result === 'out-of-tolerance') state = 'out-of-tolerance'
  else if (incident || worn || input.atMs > (validUntilMs ?? 0)) state = 'out-of-date'
  else state = 'confirmed'

  if (state === 'confirmed' && next && next.result !== 'in-tolerance') state = 'recalled'
  // A wrench known to be out of tolerance on the day is not cleared by a later check: it was repaired in between.
  if ((state === 'never-calibrated' || state === 'out-of-date') && next?.result === 'in-tolerance') {
    state = 'found-in-tolerance-since'
  }
  return {
    state,
    confirmed: state === 'confirmed' || state === 'found-in-tolerance-since',
    by: latest,
    next,
    validUntilMs,
  }
}

/**
 * The as-found error (percent, (shown − true)/true) at a value shown: linear between the neighbouring points; outside
 * them the worse (larger in size) of the two nearest points. Null without points. Points at the same nominal: the worse.
 */
export function errorPercentAt(
  points: readonly Pick<CalibrationPoint, 'nominal' | 'asFoundErrorPercent'>[],
  shown: number,
): number | null {
  requireFinite(say.trade.valueShown, shown)
  const byNominal = new Map<number, number>()
  for (const point of points) {
    const nominal = requirePositive(say.trade.calibrationPoint, point.nominal)
    const error = requireFinite(say.trade.errorFound, point.asFoundErrorPercent, '%')
    if (error <= -100) throw new OutsideValidity(say.trade.errorFound, error, { low: -100, unit: '%' })
    const held = byNominal.get(nominal)
    byNominal.set(nominal, held === undefined || Math.abs(error) > Math.abs(held) ? error : held)
  }
  const sorted = [...byNominal]
    .map(([nominal, error]) => ({ nominal, error }))
    .sort((a, b) => a.nominal - b.nominal)
  const worse = (a?: { error: number }, b?: { error: number }) => {
    if (!a) return b?.error ?? null
    return b && Math.abs(b.error) > Math.abs(a.error) ? b.error : a.error
  }
  const lowest = sorted[0]
  const highest = sorted.at(-1)
  if (!lowest || !highest) return null
  if (shown < lowest.nominal) return worse(lowest, sorted[1])
  if (shown > highest.nominal) return worse(highest, sorted.at(-2))
  const above = sorted.findIndex((point) => point.nominal >= shown)
  const right = sorted[above]
  const left = sorted[above - 1]
  if (!right) return highest.error
  if (!left || right.nominal === shown) return right.error
  return left.error + ((right.error - left.error) * (shown - left.nominal)) / (right.nominal - left.nominal)
}

/** The true value behind a value shown, from the error in percent: shown/(1 + e). e = +9 %: 38 shown is 34.9 applied. */
export function trueValue(shown: number, errorPercent: number): number {
  requireFinite(say.trade.valueShown, shown)
  if (!(requireFinite(say.trade.error, errorPercent, '%') > -100)) {
    throw new OutsideValidity(say.trade.error, errorPercent, {
      low: -100,
      unit: '%',
      because: say.trade.itWouldShowNothing,
    })
  }
  return shown / (1 + errorPercent / 100)
}

/** The error in words for a tool that applies what it shows: "applies 9 % less than it shows"; null when none. */
export function errorInWords(errorPercent: number, verb: 'applies' | 'measures' = 'applies'): string | null {
  requireFinite(say.trade.error, errorPercent, '%')
  const share = (trueValue(1, errorPercent) - 1) * 100
  const size = Number(Math.abs(share).toPrecision(2))
  if (size < 0.05) return null
  return verb === 'applies'
    ? say.trade.appliesThanItShows(size, share < 0 ? say.trade.less : say.trade.more)
    : say.trade.showsToo(
        Number(Math.abs(errorPercent).toPrecision(2)),
        errorPercent > 0 ? say.trade.much : say.trade.little,
      )
}
