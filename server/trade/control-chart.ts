/** Do the torques pulled on one size form a steady process, and does its spread fit the range? */
import { say } from '../words/say.ts'
import { OutsideValidity, requireFinite } from './validity.ts'

/** Shewhart's constants for moving ranges of two (ISO 7870-2; NIST/SEMATECH e-Handbook 6.3.2.2). */
export const MOVING_RANGE = { d2: 1.128, d4: 3.267 } as const

/** Mean and standard deviation (n − 1), without cancellation: two passes and a correction (Chan, Golub & LeVeque 1983). */
export function meanAndSpread(values: readonly number[]): { mean: number; standardDeviation: number | null } {
  if (values.length === 0) throw new OutsideValidity(say.trade.numberOfValues, 0, { low: 1 })
  const shift = requireFinite(say.trade.value, values[0] ?? 0)
  let sum = 0
  for (const value of values) sum += requireFinite(say.trade.value, value) - shift
  const mean = shift + sum / values.length
  if (values.length < 2) return { mean, standardDeviation: null }
  let squares = 0
  let rest = 0
  for (const value of values) {
    squares += (value - mean) ** 2
    rest += value - mean
  }
  return {
    mean,
    standardDeviation: Math.sqrt(Math.max(0, squares - (rest * rest) / values.length) / (values.length - 1)),
  }
}

export interface IndividualsChart {
  mean: number
  meanMovingRange: number
  /** Spread within the process, from the moving ranges. */
  sigma: number
  upperLimit: number
  lowerLimit: number
  upperRangeLimit: number
  /** Indices of values outside the limits, and of values whose step from the one before is. */
  outside: number[]
  rangeOutside: number[]
}

/**
 * Individuals and moving-range chart: mean ± 3·MR̄/1.128, range limit 3.267·MR̄. Values in the order they were made, of
 * one size and unit, two at least. Only torques that were read belong here: a click wrench shows its setting.
 * Assumes independent, roughly normal values; 8 or more before the limits mean much (common practice, no source).
 */
export function individualsChart(values: readonly number[]): IndividualsChart {
  if (values.length < 2) throw new OutsideValidity(say.trade.numberOfValues, values.length, { low: 2 })
  const { mean } = meanAndSpread(values)
  const ranges = values.slice(1).map((value, index) => Math.abs(value - (values[index] ?? value)))
  const meanMovingRange = ranges.reduce((sum, range) => sum + range, 0) / ranges.length
  const sigma = meanMovingRange / MOVING_RANGE.d2
  const upperLimit = mean + 3 * sigma
  const lowerLimit = mean - 3 * sigma
  const upperRangeLimit = MOVING_RANGE.d4 * meanMovingRange
  const slack = 1e-12 * Math.max(1, Math.abs(mean))
  return {
    mean,
    meanMovingRange,
    sigma,
    upperLimit,
    lowerLimit,
    upperRangeLimit,
    outside: values.flatMap((value, index) =>
      value > upperLimit + slack || value < lowerLimit - slack ? [index] : [],
    ),
    rangeOutside: ranges.flatMap((range, index) => (range > upperRangeLimit + slack ? [index + 1] : [])),
  }
}

/**
 * Capability against a range: Cp, Cpk from the spread within (moving ranges), Pp, Ppk from the whole spread
 * (ISO 22514-2, from memory). Null where the spread is zero: then every value is the same and nothing can be said.
 */
export function capability(
  values: readonly number[],
  range: { low: number; high: number },
): { cp: number | null; cpk: number | null; pp: number | null; ppk: number | null } {
  if (!(requireFinite(say.trade.upperLimit, range.high) > requireFinite(say.trade.lowerLimit, range.low))) {
    throw new OutsideValidity(say.trade.upperLimit, range.high, {
      low: range.low,
      because: say.trade.theLimitsAreSwapped,
    })
  }
  const { mean, sigma } = individualsChart(values)
  const { standardDeviation } = meanAndSpread(values)
  const near = Math.min(range.high - mean, mean - range.low)
  const index = (distance: number, spread: number | null, sides: number) =>
    spread !== null && spread > 1e-12 * Math.max(1, Math.abs(mean)) ? distance / (sides * spread) : null
  return {
    cp: index(range.high - range.low, sigma, 6),
    cpk: index(near, sigma, 3),
    pp: index(range.high - range.low, standardDeviation, 6),
    ppk: index(near, standardDeviation, 3),
  }
}
