/** Between which bounds does a share lie, given how many of how many were seen? */
import { say } from '../words/say.ts'
import { normalQuantile } from './distributions.ts'
import { OutsideValidity, requirePositive, requireWithin } from './validity.ts'

/**
 * Wilson's score interval for a share (Wilson 1927; Newcombe, Stat Med 17 (1998) 857), without continuity correction.
 * `successes` of `tries`, whole numbers, tries at least one; confidence 0.5–0.9999. Coverage is close to the confidence
 * on average and dips below it for shares near 0 and 1.
 */
export function wilsonInterval(
  successes: number,
  tries: number,
  confidence = 0.95,
): { share: number; low: number; high: number } {
  requirePositive(say.trade.tries, tries)
  requireWithin(say.trade.successes, successes, 0, tries)
  if (!Number.isInteger(successes) || !Number.isInteger(tries)) {
    throw new OutsideValidity(say.trade.successesAndTries, successes, { because: say.trade.wholeNumbers })
  }
  const z = normalQuantile(1 - (1 - requireWithin(say.trade.confidence, confidence, 0.5, 0.9999)) / 2)
  const share = successes / tries
  const z2 = z * z
  const centre = (successes + z2 / 2) / (tries + z2)
  const half = (z / (tries + z2)) * Math.sqrt((successes * (tries - successes)) / tries + z2 / 4)
  return {
    share,
    low: successes === 0 ? 0 : Math.max(0, centre - half),
    high: successes === tries ? 1 : Math.min(1, centre + half),
  }
}
