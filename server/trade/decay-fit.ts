/** Which of four shapes does a pressure rise under vacuum follow, and how surely? */
import { studentQuantile } from './distributions.ts'
import { fitColumns, unscaledVariance } from './least-squares.ts'

/**
 * level p₀ · line p₀ + a·t · saturating p₀ + b(1 − e^(−t/θ)) · both p₀ + a·t + b(1 − e^(−t/θ)).
 * A leak gives a, moisture or gas leaving oil gives b.
 */
export type DecayShape = 'level' | 'line' | 'saturating' | 'both'
export const DECAY_SHAPES = ['level', 'line', 'saturating', 'both'] as const satisfies readonly DecayShape[]

export interface DecayPoint {
  /** Seconds since isolation. */
  timeS: number
  pressurePa: number
}

/** One-sided 95 % bounds. */
export interface Bounds {
  estimate: number
  low: number
  high: number
}

export interface DecayFit {
  shape: DecayShape
  startPressurePa: number
  /** 0 for the shapes without a slope. */
  slopePaPerS: Bounds
  /** b; 0 for the shapes without a saturating part. */
  saturatingRisePa: number
  /** p₀ + b where there is a saturating part, else null. */
  plateauPa: Bounds | null
  timeConstantS: number | null
  /** Pressure at the horizon that was asked for. */
  atHorizonPa: Bounds
  /** Standard deviation of the residuals relative to the gauge model (1 = as assumed). */
  scale: number
  /** Akaike's criterion with the small-sample correction; null when there are too few readings for this shape. */
  aicc: number | null
  /** Fitted pressure at any time. */
  at: (timeS: number) => number
}

/**
 * How a vacuum gauge's error grows: in proportion to the pressure plus its step. Only the ratio of the two matters,
 * the size is estimated from the residuals (2 %: common practice, no source).
 */
const RELATIVE_NOISE = 0.02
/** No gauge is trusted to repeat better than this part of its reading. */
const RELATIVE_FLOOR = 0.001

/**
 * Longest time constant, as a part of the time watched: a bend that was not seen is no bend. Beyond it a saturating rise
 * and a straight one can't be told apart, and beside a slope not even a half of it.
 */
const LONGEST = { saturating: 1, both: 0.5 } as const
/** Time constants of bends whose plateau is out of sight, in times watched. */
const SLOW_BENDS = [1, 1.4, 2, 3, 5] as const

/**
 * Level of the bounds of a shape whose time constant was searched: profile bounds of a bent curve cover a little less than
 * they say, 96.5 % as stated is 95 % in simulation.
 */
const SEARCHED = 0.965

interface Prepared {
  times: Float64Array
  /** Roots of the weights; readings and times multiplied by them. */
  roots: Float64Array
  target: Float64Array
  slope: Float64Array
  /** Least residual sum that the gauge's resolution allows to believe in. */
  floorSum: number
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  const middle = Math.floor(sorted.length / 2)
  return sorted.length % 2 === 1
    ? (sorted[middle] ?? 0)
    : ((sorted[middle - 1] ?? 0) + (sorted[middle] ?? 0)) / 2
}

/** Standard deviation assumed for each reading, from a running median so that one odd value doesn't weigh itself. */
function assumedNoise(points: readonly DecayPoint[], resolutionPa: number): number[] {
  const top = Math.max(...points.map((point) => point.pressurePa), 1e-3)
  return points.map((_, index) => {
    const near = points.slice(Math.max(0, index - 2), index + 3).map((point) => point.pressurePa)
    return Math.hypot(RELATIVE_NOISE * median(near), resolutionPa / 2, 1e-4 * top)
  })
}

function prepare(points: readonly DecayPoint[], resolutionPa: number): Prepared {
  const noise = assumedNoise(points, resolutionPa)
  const roots = Float64Array.from(noise, (sigma) => 1 / sigma)
  let floorSum = 0
  points.forEach((point, index) => {
    const floor = Math.max(resolutionPa / 2, RELATIVE_FLOOR * point.pressurePa, 1e-6)
    floorSum += (floor * (roots[index] ?? 0)) ** 2
  })
  const times = Float64Array.from(points, (point) => point.timeS)
  return {
    times,
    roots,
    target: roots.map((root, index) => root * (points[index]?.pressurePa ?? 0)),
    slope: roots.map((root, index) => root * (times[index] ?? 0)),
    floorSum,
  }
}

interface Member {
  /** Coefficients: p₀, then a and b where present. */
  p0: number
  a: number
  b: number
  thetaS: number | null
  residualSum: number
  /** Unscaled variance of (w₀·p₀ + wₐ·a + w_b·b). */
  variance: (w0: number, wa: number, wb: number) => number
}

function solve(data: Prepared, withSlope: boolean, thetaS: number | null): Member | null {
  const columns = [data.roots.slice()]
  if (withSlope) columns.push(data.slope.slice())
  if (thetaS !== null) {
    const bend = new Float64Array(data.times.length)
    for (let index = 0; index < bend.length; index += 1) {
      bend[index] = (data.roots[index] ?? 0) * -Math.expm1(-(data.times[index] ?? 0) / thetaS)
    }
    columns.push(bend)
  }
  const fit = fitColumns(columns, data.target.slice())
  if (!fit) return null
  const c = fit.coefficients
  const a = withSlope ? (c[1] ?? 0) : 0
  const b = thetaS === null ? 0 : (c[withSlope ? 2 : 1] ?? 0)
  return {
    p0: c[0] ?? 0,
    a,
    b,
    thetaS,
    residualSum: fit.residualSum,
    variance: (w0, wa, wb) => {
      const w = [w0]
      if (withSlope) w.push(wa)
      if (thetaS !== null) w.push(wb)
      return unscaledVariance(fit, w)
    },
  }
}

/** Time constants tried: from a third of the shortest gap up to `longest`, evenly in the logarithm. */
function thetaGrid(times: Float64Array, longest: number, steps: number): number[] {
  const span = times.at(-1) ?? 0
  let gap = span
  for (let index = 1; index < times.length; index += 1)
    gap = Math.min(gap, (times[index] ?? 0) - (times[index - 1] ?? 0))
  const low = Math.max(gap / 3, span / 500)
  const high = Math.max(longest, 1.5 * low)
  return Array.from({ length: steps }, (_, index) => low * (high / low) ** (index / (steps - 1)))
}

/**
 * All members of a saturating family on the grid of time constants, the best one refined. A saturating part never
 * falls and a leak never flows outwards, so members with b < 0 (or, beside it, a < 0) are left out: the simpler shapes
 * stand for them.
 */
function family(data: Prepared, withSlope: boolean, longest: number, steps: number): Member[] {
  const admissible = (member: Member | null): member is Member =>
    member !== null && member.b > 0 && (!withSlope || member.a >= 0)
  const grid = thetaGrid(data.times, longest, steps)
  const members = grid.map((theta) => solve(data, withSlope, theta)).filter(admissible)
  const best = bestOf(members)
  if (!best || best.thetaS === null) return members
  const ratio = (grid[1] ?? 1) / (grid[0] ?? 1)
  let low = Math.log(best.thetaS / ratio)
  let high = Math.log(Math.min(best.thetaS * ratio, grid.at(-1) ?? best.thetaS))
  const golden = (Math.sqrt(5) - 1) / 2
  const cost = (logTheta: number) => {
    const member = solve(data, withSlope, Math.exp(logTheta))
    if (admissible(member)) members.push(member)
    return admissible(member) ? member.residualSum : Number.POSITIVE_INFINITY
  }
  let left = high - golden * (high - low)
  let right = low + golden * (high - low)
  let costLeft = cost(left)
  let costRight = cost(right)
  for (let round = 0; round < 8; round += 1) {
    if (costLeft <= costRight) {
      high = right
      right = left
      costRight = costLeft
      left = high - golden * (high - low)
      costLeft = cost(left)
    } else {
      low = left
      left = right
      costLeft = costRight
      right = low + golden * (high - low)
      costRight = cost(right)
    }
  }
  return members
}

function bestOf(members: readonly Member[]): Member | null {
  let best: Member | null = null
  for (const member of members) if (!best || member.residualSum < best.residualSum) best = member
  return best
}

const COEFFICIENTS: Record<DecayShape, number> = { level: 1, line: 2, saturating: 3, both: 4 }

/** Akaike's criterion, corrected for small samples; the residual variance counts as one parameter. */
function aicc(residualSum: number, count: number, shape: DecayShape): number | null {
  const k = COEFFICIENTS[shape] + 1
  if (count - k - 1 <= 0) return null
  return count * Math.log(residualSum / count) + 2 * k + (2 * k * (k + 1)) / (count - k - 1)
}

export interface DecayFitOptions {
  gaugeResolutionPa: number
  /** Moment for which the pressure is predicted, s since isolation. */
  horizonS: number
  /** Residual variance to use instead of the one estimated (for "what if more readings like these came in"). */
  varianceScale?: number | undefined
  /** Time constants tried; fewer is faster. */
  steps?: number | undefined
  /** Highest plateau that a bend still out of sight may lead to, Pa (water's vapour pressure). */
  ceilingPa?: number | undefined
}

export interface DecayFits {
  fits: DecayFit[]
  /** The fit with the least AICc; null with fewer than four readings. */
  chosen: DecayFit | null
  /**
   * AICc of the best saturating rise that bends too slowly for its plateau to be in sight (one to five times the time
   * watched) and leads no higher than the ceiling; null when there is none. It is never chosen, it only casts doubt.
   */
  slowBendAicc: number | null
  /** Residual variance of the chosen fit relative to the gauge model. */
  varianceScale: number
}

/**
 * Fits the four shapes to a decay by weighted least squares: the weights follow a gauge whose error is a part of the
 * reading plus its step; for the saturating shapes the time constant is searched on a logarithmic grid and refined,
 * the rest is linear (variable projection). Points must be in order of time, each time once, two at least.
 *
 * Bounds are one-sided 95 % profile bounds: over every time constant the readings allow. The residual variance is
 * never taken below what the gauge's resolution (half a step) or 0.1 % of the reading allows. The shape is chosen by
 * AICc; all four need seven readings, shapes with too few have `aicc: null`.
 */
export function fitDecay(points: readonly DecayPoint[], options: DecayFitOptions): DecayFits {
  const data = prepare(points, options.gaugeResolutionPa)
  const count = points.length
  const steps = options.steps ?? 24
  const level = solve(data, false, null)
  const line = solve(data, true, null)
  const span = data.times.at(-1) ?? 0
  const saturating = count >= 5 ? family(data, false, LONGEST.saturating * span, steps) : []
  const both = count >= 6 ? family(data, true, LONGEST.both * span, steps) : []

  const fits: DecayFit[] = []
  const add = (shape: DecayShape, best: Member | null, members: readonly Member[]) => {
    if (!best) return
    fits.push(describe(shape, best, members, data, options))
  }
  add('level', level, level ? [level] : [])
  add('line', line, line ? [line] : [])
  // The simpler shapes are members of the larger families (b = 0, a = 0), so that bounds reach down to them.
  const nested = (members: Member[], ...simpler: (Member | null)[]) => [
    ...members,
    ...simpler.filter((member): member is Member => member !== null),
  ]
  // Where no bend or no slope helps, the larger shape ends at the simpler one: b = 0 or a = 0.
  if (count >= 5) add('saturating', bestOf(saturating) ?? level, nested(saturating, level))
  if (count >= 6) {
    const simpler = [bestOf(saturating), line && line.a >= 0 ? line : level].filter(
      (member) => member !== null,
    )
    add('both', bestOf(both) ?? bestOf(simpler), nested(both, line, bestOf(saturating)))
  }

  let chosen: DecayFit | null = null
  for (const fit of fits) {
    if (fit.aicc !== null && (chosen === null || fit.aicc < (chosen.aicc ?? Number.POSITIVE_INFINITY)))
      chosen = fit
  }
  const admissibleBend = (member: Member | null): member is Member =>
    member !== null && member.b > 0 && member.p0 + member.b <= (options.ceilingPa ?? Number.POSITIVE_INFINITY)
  const slow =
    count < 5
      ? null
      : bestOf(SLOW_BENDS.map((times) => solve(data, false, times * span)).filter(admissibleBend))
  return {
    fits,
    chosen,
    slowBendAicc: slow ? aicc(Math.max(slow.residualSum, data.floorSum), count, 'saturating') : null,
    varianceScale: chosen ? chosen.scale ** 2 : 1,
  }
}

function describe(
  shape: DecayShape,
  best: Member,
  members: readonly Member[],
  data: Prepared,
  options: DecayFitOptions,
): DecayFit {
  const count = data.times.length
  const degrees = Math.max(1, count - COEFFICIENTS[shape])
  const believed = Math.max(best.residualSum, data.floorSum)
  const variance = options.varianceScale ?? believed / degrees
  const t =
    options.varianceScale === undefined
      ? studentQuantile(best.thetaS === null ? 0.95 : SEARCHED, degrees)
      : 1.645
  const allowed = best.residualSum + t * t * variance

  /** Profile bounds of a linear combination of the coefficients, which may depend on the time constant. */
  const bounds = (combine: (member: Member) => [number, number, number]): Bounds => {
    const value = (member: Member, [w0, wa, wb]: [number, number, number]) =>
      w0 * member.p0 + wa * member.a + wb * member.b
    const estimate = value(best, combine(best))
    let low = estimate
    let high = estimate
    for (const member of members) {
      const room = allowed - member.residualSum
      if (room < 0) continue
      const weights = combine(member)
      const half = Math.sqrt(room * member.variance(...weights))
      const centre = value(member, weights)
      low = Math.min(low, centre - half)
      high = Math.max(high, centre + half)
    }
    return { estimate, low, high }
  }
  const rise = (member: Member, timeS: number) =>
    member.thetaS === null ? 0 : -Math.expm1(-timeS / member.thetaS)
  const none: Bounds = { estimate: 0, low: 0, high: 0 }
  const saturates = shape === 'saturating' || shape === 'both'
  return {
    shape,
    startPressurePa: best.p0,
    slopePaPerS: shape === 'line' || shape === 'both' ? bounds(() => [0, 1, 0]) : none,
    saturatingRisePa: best.b,
    plateauPa: saturates ? bounds(() => [1, 0, 1]) : null,
    timeConstantS: saturates ? best.thetaS : null,
    atHorizonPa: bounds((member) => [1, options.horizonS, rise(member, options.horizonS)]),
    scale: Math.sqrt(believed / degrees),
    aicc: aicc(believed, count, shape),
    at: (timeS) => best.p0 + best.a * timeS + best.b * rise(best, timeS),
  }
}

/**
 * Index of the one reading that stands out from both its neighbours far beyond the scatter of all others; null when
 * there is none. The first and the last reading have one neighbour only and are never suspected. Needs eight readings.
 */
export function findBadReading(points: readonly DecayPoint[], gaugeResolutionPa: number): number | null {
  if (points.length < 8) return null
  const noise = assumedNoise(points, gaugeResolutionPa)
  const scores: { index: number; score: number }[] = []
  for (let index = 1; index < points.length - 1; index += 1) {
    const before = points[index - 1]
    const here = points[index]
    const after = points[index + 1]
    if (!before || !here || !after) continue
    const share = (here.timeS - before.timeS) / (after.timeS - before.timeS)
    const between = before.pressurePa + share * (after.pressurePa - before.pressurePa)
    const outside =
      here.pressurePa > Math.max(before.pressurePa, after.pressurePa) ||
      here.pressurePa < Math.min(before.pressurePa, after.pressurePa)
    const deviation = Math.abs(here.pressurePa - between) / (noise[index] ?? 1)
    scores.push({ index, score: outside ? deviation : 0 })
  }
  const worst = scores.reduce((a, b) => (b.score > a.score ? b : a), { index: 0, score: 0 })
  // Its own neighbours are disturbed by it too; the scatter is judged without the three of them.
  const others = scores.filter(({ index }) => Math.abs(index - worst.index) > 1).map(({ score }) => score)
  const typical = Math.max(0.5, 1.4826 * median(others), Math.max(...others, 0) / 2)
  return worst.score > 6 * typical ? worst.index : null
}
