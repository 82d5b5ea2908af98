/** Between which bounds does a share lie at least so often as is claimed, given how many of how many were seen? */
import { say } from '../words/say.ts'
import { betaCdf } from './distributions.ts'
import { OutsideValidity, requirePositive, requireWithin } from './validity.ts'

/**
 * Exact interval (Clopper and Pearson, Biometrika 26 (1934) 404) for a share: the shares at which as few, or as many, as
 * were seen would come up with probability α/2. It covers at least `confidence` (0.5–0.9999) of the time, usually more,
 * and so is wider than Wilson's. Whole numbers, tries at least one. Halved until it stands to 1e-12.
 */
export function clopperPearsonInterval(
  successes: number,
  tries: number,
  confidence = 0.95,
): { share: number; low: number; high: number } {
  requirePositive(say.trade.tries, tries)
  requireWithin(say.trade.successes, successes, 0, tries)
  if (!Number.isInteger(successes) || !Number.isInteger(tries))
    throw new OutsideValidity(say.trade.successesAndTries, successes, { because: say.trade.wholeNumbers })
  const tail = (1 - requireWithin(say.trade.confidence, confidence, 0.5, 0.9999)) / 2
  return {
    share: successes / tries,
    low: successes === 0 ? 0 : betaQuantile(tail, successes, tries - successes + 1),
    high: successes === tries ? 1 : betaQuantile(1 - tail, successes + 1, tries - successes),
  }
}

function betaQuantile(probability: number, a: number, b: number): number {
  let low = 0
  let high = 1
  while (high - low > 1e-12) {
    const middle = (low + high) / 2
    if (betaCdf(middle, a, b) < probability) low = middle
    else high = middle
  }
  return (low + high) / 2
}
