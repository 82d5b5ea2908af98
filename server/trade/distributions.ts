/** How likely is a value under the normal, Student, chi-square, gamma, beta, binomial and Poisson laws? */
import { say } from '../words/say.ts'
import {
  OutsideValidity,
  requireFinite,
  requireNotNegative,
  requirePositive,
  requireWithin,
} from './validity.ts'

// Formulas: Abramowitz & Stegun, Handbook of Mathematical Functions (1964), chapters 6, 7 and 26; the Lanczos
// coefficients are the widely printed set for g = 7, n = 9. Errors: about 1e-13 relative, unless said otherwise.

const LANCZOS = [
  0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059,
  12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
]

/** Natural logarithm of the gamma function, x > 0. */
export function lnGamma(x: number): number {
  requirePositive(say.trade.argumentOfTheGamma, x)
  if (x < 0.5) return Math.log(Math.PI / Math.sin(Math.PI * x)) - lnGamma(1 - x)
  const shifted = x - 1
  let sum = LANCZOS[0] ?? 0
  for (let index = 1; index < LANCZOS.length; index += 1) sum += (LANCZOS[index] ?? 0) / (shifted + index)
  const base = shifted + 7.5
  return 0.5 * Math.log(2 * Math.PI) + (shifted + 0.5) * Math.log(base) - base + Math.log(sum)
}

/** Lower and upper regularised incomplete gamma functions P(a, x) and Q(a, x) = 1 − P, each without cancellation. */
function incompleteGamma(a: number, x: number): { lower: number; upper: number } {
  if (x <= 0) return { lower: 0, upper: 1 }
  if (x === Number.POSITIVE_INFINITY) return { lower: 1, upper: 0 }
  const front = Math.exp(a * Math.log(x) - x - lnGamma(a))
  if (x < a + 1) {
    let term = 1 / a
    let sum = term
    for (let step = 1; step < 10000; step += 1) {
      term *= x / (a + step)
      sum += term
      if (term < sum * 1e-17) break
    }
    const lower = Math.min(1, sum * front)
    return { lower, upper: 1 - lower }
  }
  const tiny = 1e-300
  let b = x + 1 - a
  let c = 1 / tiny
  let d = 1 / b
  let h = d
  for (let step = 1; step < 10000; step += 1) {
    const numerator = -step * (step - a)
    b += 2
    d = numerator * d + b
    if (Math.abs(d) < tiny) d = tiny
    c = b + numerator / c
    if (Math.abs(c) < tiny) c = tiny
    d = 1 / d
    const change = d * c
    h *= change
    if (Math.abs(change - 1) < 1e-16) break
  }
  const upper = Math.min(1, front * h)
  return { lower: 1 - upper, upper }
}

/** Probability that a gamma quantity (shape, rate) is at most x. */
export function gammaCdf(x: number, shape: number, rate = 1): number {
  return incompleteGamma(
    requirePositive(say.trade.gammaShape, shape),
    requirePositive(say.trade.gammaRate, rate) * x,
  ).lower
}

/** Probability that a gamma quantity (shape, rate) exceeds x. */
export function gammaUpperTail(x: number, shape: number, rate = 1): number {
  return incompleteGamma(
    requirePositive(say.trade.gammaShape, shape),
    requirePositive(say.trade.gammaRate, rate) * x,
  ).upper
}

/** Finds x ≥ 0 with cdf(x) = p by doubling and halving; the cdf must grow. */
function invertFromZero(cdf: (x: number) => number, p: number, start: number): number {
  let high = start > 0 && Number.isFinite(start) ? start : 1
  for (let step = 0; step < 1100 && cdf(high) < p; step += 1) high *= 2
  let low = 0
  for (let step = 0; step < 1100 && high - low > 1e-15 * high; step += 1) {
    const middle = (low + high) / 2
    if (middle === low || middle === high) break
    if (cdf(middle) < p) low = middle
    else high = middle
  }
  return (low + high) / 2
}

/** The x that a gamma quantity (shape, rate) stays below with probability p, 0 ≤ p < 1. */
export function gammaQuantile(probability: number, shape: number, rate = 1): number {
  const p = requireWithin(say.trade.probability, probability, 0, 1)
  if (p === 0) return 0
  if (p === 1)
    throw new OutsideValidity(say.trade.probability, p, { high: 1, because: say.trade.theQuantileAt1 })
  requirePositive(say.trade.gammaRate, rate)
  return invertFromZero((x) => gammaCdf(x, shape), p, shape) / rate
}

/** The quantile of a chi-square quantity with `degrees` degrees of freedom, 0 ≤ p < 1. */
export function chiSquareQuantile(p: number, degrees: number): number {
  return 2 * gammaQuantile(p, requirePositive(say.trade.degreesOfFreedom, degrees) / 2)
}

/** Probability that a chi-square quantity exceeds x. */
export function chiSquareUpperTail(x: number, degrees: number): number {
  return gammaUpperTail(x / 2, requirePositive(say.trade.degreesOfFreedom, degrees) / 2)
}

/** Probability that a standard normal quantity is at most z. */
export function normalCdf(z: number): number {
  if (Number.isNaN(z)) requireFinite(say.trade.normalDeviate, z)
  const tail = incompleteGamma(0.5, (z * z) / 2).upper / 2
  return z > 0 ? 1 - tail : tail
}

/** The z that a standard normal quantity stays below with probability p, 0 < p < 1. */
export function normalQuantile(probability: number): number {
  const p = requireWithin(say.trade.probability, probability, 0, 1)
  if (p === 0 || p === 1)
    throw new OutsideValidity(say.trade.probability, p, { because: say.trade.theQuantileIsInfinite })
  if (p === 0.5) return 0
  // In the tail that is small, so that no digits are lost to 1 − p.
  const small = Math.min(p, 1 - p)
  let low = 0
  let high = 40
  for (let step = 0; step < 200 && high - low > 1e-15 * high; step += 1) {
    const middle = (low + high) / 2
    if (incompleteGamma(0.5, (middle * middle) / 2).upper / 2 > small) low = middle
    else high = middle
  }
  return p < 0.5 ? -(low + high) / 2 : (low + high) / 2
}

function betaFraction(x: number, a: number, b: number): number {
  const tiny = 1e-300
  let c = 1
  let d = 1 - ((a + b) * x) / (a + 1)
  if (Math.abs(d) < tiny) d = tiny
  d = 1 / d
  let h = d
  for (let step = 1; step < 10000; step += 1) {
    const even = (step * (b - step) * x) / ((a + 2 * step - 1) * (a + 2 * step))
    d = 1 + even * d
    if (Math.abs(d) < tiny) d = tiny
    c = 1 + even / c
    if (Math.abs(c) < tiny) c = tiny
    d = 1 / d
    h *= d * c
    const odd = (-(a + step) * (a + b + step) * x) / ((a + 2 * step) * (a + 2 * step + 1))
    d = 1 + odd * d
    if (Math.abs(d) < tiny) d = tiny
    c = 1 + odd / c
    if (Math.abs(c) < tiny) c = tiny
    d = 1 / d
    const change = d * c
    h *= change
    if (Math.abs(change - 1) < 1e-16) break
  }
  return h
}

/** Regularised incomplete beta function I_x(a, b), 0 ≤ x ≤ 1. */
export function betaCdf(argument: number, a: number, b: number): number {
  const x = requireWithin(say.trade.argumentOfTheBeta, argument, 0, 1)
  requirePositive(say.trade.betaShape, a)
  requirePositive(say.trade.betaShape, b)
  if (x === 0 || x === 1) return x
  const front = Math.exp(lnGamma(a + b) - lnGamma(a) - lnGamma(b) + a * Math.log(x) + b * Math.log1p(-x))
  return x < (a + 1) / (a + b + 2)
    ? Math.min(1, (front * betaFraction(x, a, b)) / a)
    : Math.max(0, 1 - (front * betaFraction(1 - x, b, a)) / b)
}

/** Probability that a Student quantity with `degrees` degrees of freedom is at most t. */
export function studentCdf(t: number, degrees: number): number {
  requireFinite(say.trade.studentDeviate, t)
  requirePositive(say.trade.degreesOfFreedom, degrees)
  const tail = betaCdf(degrees / (degrees + t * t), degrees / 2, 0.5) / 2
  return t > 0 ? 1 - tail : tail
}

/** The t that a Student quantity with `degrees` degrees of freedom stays below with probability p, 0 < p < 1. */
export function studentQuantile(probability: number, degrees: number): number {
  const p = requireWithin(say.trade.probability, probability, 0, 1)
  if (p === 0 || p === 1)
    throw new OutsideValidity(say.trade.probability, p, { because: say.trade.theQuantileIsInfinite })
  if (p === 0.5) return 0
  const upper = p > 0.5 ? p : 1 - p
  const t = invertFromZero((x) => studentCdf(x, degrees), upper, 2)
  return p > 0.5 ? t : -t
}

/** Probability of at least `count` successes in `trials` independent tries of probability p. Exact. */
export function binomialUpperTail(count: number, trials: number, p: number): number {
  requireNotNegative(say.trade.count, count)
  requireNotNegative(say.trade.trials, trials)
  requireWithin(say.trade.probability, p, 0, 1)
  if (count <= 0) return 1
  if (count > trials) return 0
  return betaCdf(p, count, trials - count + 1)
}

/** Probability of at least `count` events when `mean` are expected (Poisson). Exact. */
export function poissonUpperTail(count: number, mean: number): number {
  requireNotNegative(say.trade.count, count)
  requireNotNegative(say.trade.meanCount, mean)
  return count <= 0 ? 1 : incompleteGamma(count, mean).lower
}
