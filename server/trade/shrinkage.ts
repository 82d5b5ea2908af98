/** How much worse or better than expected is a group, once the luck of small counts is taken out? */
import { gammaQuantile, gammaUpperTail, lnGamma } from './distributions.ts'
import { OutsideValidity, requireNotNegative, requirePositive, requireWithin } from './validity.ts'

export interface GroupCount {
  key: string
  observed: number
  /** Events expected by exposure and age at the company's rates. */
  expected: number
}

export interface ShrunkGroup {
  key: string
  /** Observed/expected; null where nothing was expected. */
  ratio: number | null
  /** Posterior mean of the true ratio. */
  shrunkRatio: number
  /** Central 95 % posterior interval of the true ratio. */
  interval: { low: number; high: number }
  /** Posterior probability that the group's ratio is more than 1.5 times that of all the rest. Shown, not a test. */
  probabilityWorse: number
}

/** Bounds of the fitted shape: 0.5 lets groups differ by a lot, 20 hardly at all. */
export const SHAPE_BOUNDS = { low: 0.5, high: 20 } as const
/** How much worse than the rest counts as worse. */
export const WORSE_RATIO = 1.5

/** ln of the marginal likelihood of the counts, when true ratios are gamma distributed with mean 1 (negative binomial). */
function marginalLogLikelihood(groups: readonly GroupCount[], shape: number): number {
  let sum = 0
  for (const { observed, expected } of groups) {
    if (expected === 0) continue
    sum +=
      lnGamma(shape + observed) -
      lnGamma(shape) -
      lnGamma(observed + 1) +
      shape * Math.log(shape / (shape + expected)) +
      observed * Math.log(expected / (shape + expected))
  }
  return sum
}

/**
 * The shape of the gamma prior (mean 1) that makes the counts most likely, within 0.5–20. With fewer than two groups
 * that expect anything, the data can't say: 2 is used (common practice, no source).
 */
export function fitShape(groups: readonly GroupCount[]): number {
  const telling = groups.filter((group) => group.expected > 0)
  if (telling.length < 2) return 2
  let best = 2
  let bestValue = Number.NEGATIVE_INFINITY
  const steps = 120
  for (let step = 0; step <= steps; step += 1) {
    const shape = SHAPE_BOUNDS.low * (SHAPE_BOUNDS.high / SHAPE_BOUNDS.low) ** (step / steps)
    const value = marginalLogLikelihood(telling, shape)
    if (value > bestValue + 1e-12) {
      best = shape
      bestValue = value
    }
  }
  return best
}

/**
 * Gamma–Poisson shrinkage of observed/expected (empirical Bayes; Clayton & Kaldor, Biometrics 43 (1987) 671, from
 * memory): prior gamma with mean 1 and fitted shape α, posterior gamma with shape α + observed and rate α + expected.
 * Counts are events, whole numbers; expected is zero or more. The interval ignores that α was fitted.
 */
export function shrinkGroups(
  groups: readonly GroupCount[],
  options: { shape?: number | undefined; worseRatio?: number | undefined } = {},
): { shape: number; groups: ShrunkGroup[] } {
  for (const { observed, expected } of groups) {
    requireNotNegative('observed events', observed)
    if (!Number.isInteger(observed))
      throw new OutsideValidity('observed events', observed, { because: 'a whole number' })
    requireNotNegative('expected events', expected)
  }
  const shape =
    options.shape === undefined
      ? fitShape(groups)
      : requireWithin('shape', options.shape, SHAPE_BOUNDS.low, SHAPE_BOUNDS.high)
  const worse = requirePositive('ratio that counts as worse', options.worseRatio ?? WORSE_RATIO)
  const observedTotal = groups.reduce((sum, group) => sum + group.observed, 0)
  const expectedTotal = groups.reduce((sum, group) => sum + group.expected, 0)
  return {
    shape,
    groups: groups.map(({ key, observed, expected }) => {
      const a = shape + observed
      const b = shape + expected
      // The rest is large, or shrunk towards the company's mean by the same prior.
      const rest = (shape + observedTotal - observed) / (shape + Math.max(0, expectedTotal - expected))
      return {
        key,
        ratio: expected > 0 ? observed / expected : null,
        shrunkRatio: a / b,
        interval: { low: gammaQuantile(0.025, a, b), high: gammaQuantile(0.975, a, b) },
        probabilityWorse: gammaUpperTail(worse * rest, a, b),
      }
    }),
  }
}
