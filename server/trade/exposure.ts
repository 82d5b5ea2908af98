/** How long have joints been at risk at each age, and how many leaks would the company's own rates have given them? */
import { say } from '../words/say.ts'
import { OutsideValidity, requireFinite, requireNotNegative } from './validity.ts'

/** Ages in months of 365.25/12 days. A leak from poor making shows early, so newcomers are compared with the young. */
export const AGE_BANDS = [
  { name: '0–3 months', fromMonths: 0, toMonths: 3 },
  { name: '3–12 months', fromMonths: 3, toMonths: 12 },
  { name: '12–24 months', fromMonths: 12, toMonths: 24 },
  { name: '24 months on', fromMonths: 24, toMonths: Number.POSITIVE_INFINITY },
] as const

/** One number for each age band, in order. */
export type PerAgeBand = [number, number, number, number]

const YEAR_MS = 365.25 * 86_400_000
const MONTH_MS = YEAR_MS / 12

/**
 * Joint-years spent in each age band by one joint between two moments (ms), its age counted from sign-off.
 * `toMs` is the leak, the removal, the last time it was seen, or now. Refuses an end before the start.
 */
export function exposureByAge(joint: {
  signedOffAtMs: number
  fromMs?: number | undefined
  toMs: number
}): PerAgeBand {
  const start = requireFinite('sign-off', joint.signedOffAtMs, 'ms')
  const from = Math.max(start, requireFinite(say.trade.startOfExposure, joint.fromMs ?? start, 'ms'))
  const to = requireFinite(say.trade.endOfExposure, joint.toMs, 'ms')
  if (to < from) throw new OutsideValidity(say.trade.endOfExposure, to, { low: from, unit: 'ms' })
  const years: PerAgeBand = [0, 0, 0, 0]
  AGE_BANDS.forEach((band, index) => {
    const bandFrom = Math.max(from, start + band.fromMonths * MONTH_MS)
    const bandTo = Math.min(to, start + band.toMonths * MONTH_MS)
    if (bandTo > bandFrom) years[index as 0 | 1 | 2 | 3] = (bandTo - bandFrom) / YEAR_MS
  })
  return years
}

/** The index of the age band a moment falls in; the lower limit belongs to the band. */
export function ageBandAt(signedOffAtMs: number, atMs: number): 0 | 1 | 2 | 3 {
  const age = requireFinite(say.trade.moment, atMs, 'ms') - requireFinite('sign-off', signedOffAtMs, 'ms')
  requireNotNegative(say.trade.age, age, 'ms')
  const months = age / MONTH_MS
  return months < 3 ? 0 : months < 12 ? 1 : months < 24 ? 2 : 3
}

/** Adds up exposures (or counts) band by band. */
export function sumPerAgeBand(parts: readonly PerAgeBand[]): PerAgeBand {
  const sum: PerAgeBand = [0, 0, 0, 0]
  for (const part of parts) {
    for (const index of [0, 1, 2, 3] as const)
      sum[index] += requireNotNegative(say.trade.exposure, part[index])
  }
  return sum
}

/** The company's leaks per joint-year in each age band; 0 where there was no exposure (and then no events either). */
export function ratesPerAgeBand(events: PerAgeBand, jointYears: PerAgeBand): PerAgeBand {
  const rates: PerAgeBand = [0, 0, 0, 0]
  for (const index of [0, 1, 2, 3] as const) {
    const count = requireNotNegative(say.trade.events, events[index])
    const exposure = requireNotNegative(say.trade.exposure, jointYears[index], 'joint-years')
    if (count > 0 && exposure === 0) {
      throw new OutsideValidity(say.trade.exposure, 0, { because: say.trade.eventsWereCountedWhere })
    }
    rates[index] = exposure === 0 ? 0 : count / exposure
  }
  return rates
}

/** Events that the company's rates would have given a group: Σ exposure × rate over the age bands. */
export function expectedEvents(jointYears: PerAgeBand, rates: PerAgeBand): number {
  let sum = 0
  for (const index of [0, 1, 2, 3] as const) {
    sum +=
      requireNotNegative(say.trade.exposure, jointYears[index]) *
      requireNotNegative(say.trade.rate, rates[index])
  }
  return sum
}
