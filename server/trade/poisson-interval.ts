/** Between which bounds does a rate of rare events lie, given how many were counted? */
import { say } from '../words/say.ts'
import { chiSquareQuantile } from './distributions.ts'
import { OutsideValidity, requireNotNegative, requirePositive, requireWithin } from './validity.ts'

/**
 * Exact interval (Garwood 1936) for the mean of a Poisson count: χ²(α/2; 2x)/2 … χ²(1 − α/2; 2x + 2)/2. Covers at
 * least `confidence` (0.5–0.9999) of the time, usually more. `count` is a whole number, zero or more.
 */
export function poissonInterval(count: number, confidence = 0.95): { low: number; high: number } {
  requireNotNegative(say.trade.countOfEvents, count)
  if (!Number.isInteger(count))
    throw new OutsideValidity(say.trade.countOfEvents, count, { because: say.trade.aWholeNumber })
  const alpha = 1 - requireWithin(say.trade.confidence, confidence, 0.5, 0.9999)
  return {
    low: count === 0 ? 0 : chiSquareQuantile(alpha / 2, 2 * count) / 2,
    high: chiSquareQuantile(1 - alpha / 2, 2 * count + 2) / 2,
  }
}

/**
 * Events per 1,000 joint-years with its exact interval. `jointYears` must be above zero: without exposure there is no
 * rate, and none is made up.
 */
export function ratePer1000JointYears(
  events: number,
  jointYears: number,
  confidence = 0.95,
): { rate: number; low: number; high: number } {
  const exposure = requirePositive(say.trade.exposure, jointYears, 'joint-years')
  const { low, high } = poissonInterval(events, confidence)
  const scale = 1000 / exposure
  return { rate: events * scale, low: low * scale, high: high * scale }
}
