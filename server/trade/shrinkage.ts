/** How much worse or better than expected is a group, once the luck of small counts is taken out? */
import { say } from '../words/say.ts'
import { gammaCdf, gammaQuantile, gammaUpperTail, lnGamma } from './distributions.ts'
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
  /** Central 95 % posterior interval of the true ratio. Worked out when asked for: it costs more than all the rest. */
  interval(): { low: number; high: number }
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

/** A shape and how much it is to be believed. */
interface Weighed {
  shape: number
  weight: number
}

const SHAPES_WEIGHED = 15

/**
 * Shapes over their whole range, each weighed by how likely it makes the counts (evenly in the logarithm beforehand): so
 * that bounds do not pretend the fitted shape were known.
 */
function weighShapes(groups: readonly GroupCount[]): Weighed[] {
  const shapes = Array.from(
    { length: SHAPES_WEIGHED },
    (_, index) => SHAPE_BOUNDS.low * (SHAPE_BOUNDS.high / SHAPE_BOUNDS.low) ** (index / (SHAPES_WEIGHED - 1)),
  )
  const logs = shapes.map((shape) => marginalLogLikelihood(groups, shape))
  const top = Math.max(...logs)
  const raw = logs.map((log) => Math.exp(log - top))
  const sum = raw.reduce((total, one) => total + one, 0)
  return shapes
    .map((shape, index) => ({ shape, weight: (raw[index] ?? 0) / sum }))
    .filter(({ weight }) => weight > 1e-6)
}

/** The value that the weighed gamma posteriors together stay below with probability p, to a millionth. */
function mixedQuantile(p: number, weighed: readonly Weighed[], observed: number, expected: number): number {
  const single = weighed.map(({ shape }) => gammaQuantile(p, shape + observed, shape + expected))
  let low = Math.min(...single)
  let high = Math.max(...single)
  const below = (x: number) =>
    weighed.reduce(
      (sum, { shape, weight }) => sum + weight * gammaCdf(x, shape + observed, shape + expected),
      0,
    )
  while (high - low > 1e-6 * high) {
    const middle = (low + high) / 2
    if (below(middle) < p) low = middle
    else high = middle
  }
  return (low + high) / 2
}

/**
 * Gamma–Poisson shrinkage of observed/expected (Clayton & Kaldor, Biometrics 43 (1987) 671, from memory): prior gamma
 * with mean 1 and fitted shape α, posterior gamma with shape α + observed and rate α + expected; the shrunk ratio is
 * its mean. Interval and probability are averaged over all shapes by their likelihood, since a shape fitted to few groups
 * is uncertain and bounds that ignore this cover too little. Counts are events, whole numbers; expected is zero or more.
 */
export function shrinkGroups(
  groups: readonly GroupCount[],
  options: { shape?: number | undefined; worseRatio?: number | undefined } = {},
): { shape: number; groups: ShrunkGroup[] } {
  for (const { observed, expected } of groups) {
    requireNotNegative(say.trade.observedEvents, observed)
    if (!Number.isInteger(observed))
      throw new OutsideValidity(say.trade.observedEvents, observed, { because: say.trade.aWholeNumber })
    requireNotNegative(say.trade.expectedEvents, expected)
  }
  const given = options.shape
  const shape =
    given === undefined
      ? fitShape(groups)
      : requireWithin(say.trade.shape, given, SHAPE_BOUNDS.low, SHAPE_BOUNDS.high)
  const weighed = given === undefined ? weighShapes(groups) : [{ shape, weight: 1 }]
  const worse = requirePositive(say.trade.ratioThatCountsAs, options.worseRatio ?? WORSE_RATIO)
  const observedTotal = groups.reduce((sum, group) => sum + group.observed, 0)
  const expectedTotal = groups.reduce((sum, group) => sum + group.expected, 0)
  return {
    shape,
    groups: groups.map(({ key, observed, expected }) => {
      const observedRest = observedTotal - observed
      const expectedRest = Math.max(0, expectedTotal - expected)
      return {
        key,
        ratio: expected > 0 ? observed / expected : null,
        shrunkRatio: (shape + observed) / (shape + expected),
        interval: () => ({
          low: mixedQuantile(0.025, weighed, observed, expected),
          high: mixedQuantile(0.975, weighed, observed, expected),
        }),
        // The rest is large, or shrunk towards the company's mean by the same prior.
        probabilityWorse: weighed.reduce(
          (sum, one) =>
            sum +
            one.weight *
              gammaUpperTail(
                (worse * (one.shape + observedRest)) / (one.shape + expectedRest),
                one.shape + observed,
                one.shape + expected,
              ),
          0,
        ),
      }
    }),
  }
}
