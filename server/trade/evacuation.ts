/** Are the evacuated lines tight and dry, do they hold moisture, or do they leak? */
import { say } from '../words/say.ts'
import {
  type Bounds,
  DECAY_SHAPES,
  type DecayFit,
  type DecayPoint,
  type DecayShape,
  findBadReading,
  fitDecay,
} from './decay-fit.ts'
import { OutsideValidity, requireFinite, requireNotNegative, requirePositive } from './validity.ts'
import { WATER_VALIDITY, waterPhase, waterVapourPressure } from './water.ts'

export interface EvacuationReading {
  atMs: number
  /** pull: the pump runs. break: nitrogen is let in. decay: isolated from the pump. */
  phase: 'pull' | 'break' | 'decay'
  /** Absolute. */
  pressurePa: number
  temperatureK?: number | undefined
}

export interface Evacuation {
  readings: readonly EvacuationReading[]
  /** To be reached before isolating; absolute, Pa. */
  targetPa: number
  /** Not to be passed while isolated; absolute, Pa. */
  limitPa: number
  /** Least time isolated, s. */
  holdS: number
  /** The pressure is carried forward to this moment after isolation, s; built-in 3600. */
  horizonS?: number | undefined
  gaugeResolutionPa: number
  /** A compound or ordinary dial gauge can't show these pressures at all. */
  gaugeIsCompound?: boolean | undefined
  /** Temperature of the warmest part, K; default the warmest reading, else 20 °C is assumed and said. */
  warmestTemperatureK?: number | undefined
  volumeM3?: number | undefined
  /** A leak rate above which the policy calls it a leak although the limit would hold; built-in none. */
  policyLeakRatePaM3PerS?: number | undefined
}

export type EvacuationVerdict = 'tight' | 'moisture' | 'leak' | 'cannot-tell'

export type EvacuationReasonCode =
  | 'gauge-too-coarse'
  | 'too-few-readings'
  | 'target-not-reached'
  | 'hold-too-short'
  | 'limit-passed'
  | 'slope-carries-over-limit'
  | 'slope-above-policy'
  | 'plateau-above-limit'
  | 'plateau-above-water'
  | 'straight-or-bending'
  | 'horizon-not-excluded'
  | 'never-below-limit'
  | 'falling'

export type EvacuationNoteCode =
  | 'reading-set-aside'
  | 'readings-merged'
  | 'temperature-assumed'
  | 'temperature-outside-water-range'
  | 'below-freezing'
  | 'ice-hides-moisture'
  | 'earlier-decay-not-judged'

export interface EvacuationCurve {
  kind: DecayShape
  startPressurePa: number
  risePaPerS: number
  plateauPa: number | null
  timeConstantS: number | null
  /** The fitted curve from isolation to the horizon or the last reading, whichever is later. */
  points: { timeS: number; pressurePa: number }[]
}

export interface EvacuationFit {
  kind: DecayShape
  startPressurePa: number
  risePaPerS: Bounds
  plateauPa: Bounds | null
  timeConstantS: number | null
  atHorizonPa: Bounds
  aicc: number | null
  /** AICc less that of the chosen shape; 0 for the chosen one. */
  aiccDifference: number | null
  points: { timeS: number; pressurePa: number }[]
}

export interface EvacuationJudgement {
  verdict: EvacuationVerdict
  reasons: { code: EvacuationReasonCode; text: string }[]
  notes: { code: EvacuationNoteCode; text: string }[]
  /** Null with fewer than three decay readings. */
  curve: EvacuationCurve | null
  fits: EvacuationFit[]
  lowestPressurePa: number | null
  /** Last decay reading less the first. */
  riseInHoldPa: number | null
  isolatedAtMs: number | null
  holdS: number
  /** V·a of the chosen shape; null without a volume or a curve. */
  leakRatePaM3PerS: number | null
  /** Further minutes of readings like these that should decide; null when decided or when waiting won't help. */
  minutesToDecide: number | null
  /** The steepest steady slope these readings leave possible (95 %). */
  unseenSlopePaPerS: number | null
  /** Pressure at the horizon that is not exceeded (95 %). */
  horizonUpperPa: number | null
  /** Vapour pressure of water (or ice) at the warmest part: moisture can't rise above it. */
  waterCeilingPa: number | null
  waterPhase: 'ice' | 'liquid' | null
}

/** Policy figures that hold when none is given. Sources disagree; each figure keeps its own. */
export const EVACUATION_BUILT_IN = {
  /** 500 micron, 10 min, 1500 micron: IEC/UL/CSA 60335-2-40 instruction set, as manuals print it. */
  targetPa: (500 * 133.322387415) / 1000,
  holdS: 600,
  limitPa: (1500 * 133.322387415) / 1000,
  /** Common practice, no source. */
  horizonS: 3600,
  /** A gauge coarser than this part of the target can't be judged by (common practice, no source). */
  coarsestResolution: 0.1,
} as const

/** Readings that all four shapes need. */
const READINGS_FOR_FITS = 7
/** AICc difference from which one shape is clearly preferred (common practice, no source). */
const CLEAR = 3
/** By how much a bend out of sight must fit better before it casts doubt on a leak. */
const SLOW_BEND = 4
/**
 * Beside a level above the limit, which moisture explains by itself, by how much a slope must improve the fit to be
 * called a leak as well.
 */
const SLOPE_BESIDE_LEVEL = 5
/** By how much a vacuum gauge may overstate water's vapour pressure (common practice, no source). */
const CEILING_MARGIN = 1.05

const micron = (pressurePa: number) => `${Math.round((pressurePa * 1000) / 133.322387415)} micron`

/**
 * Judges an evacuation by its last decay (the readings after the last `pull` or `break`). Absolute pressures in Pa,
 * moments in ms. Order and repeats of readings don't matter; readings of the same moment are averaged; one reading
 * that stands out from both its neighbours far beyond the scatter is set aside and said so.
 *
 * `leak`: a steady slope whose 95 % lower bound is above zero and carries the pressure over the limit within the
 * horizon, or exceeds the policy's leak rate, or has passed the limit on a straight line. `moisture`: the rise levels
 * off above the limit at or below water's vapour pressure at the warmest part (moisture, or gas leaving the oil).
 * `tight`: target reached, at or below the limit throughout, and the 95 % upper bound at the horizon below it. Else
 * `cannot-tell` with the minutes still needed. With 3–6 readings only `tight` (even a straight line from first to last
 * stays below the limit at the horizon) or `cannot-tell`.
 *
 * The upper bound is robust against the choice of shape: a tight, wet or leaking line rises ever more slowly, never
 * faster, so a straight line through all or through the later readings can only overstate what is to come.
 *
 * Refuses negative pressures and moments that are not numbers. What it can't tell: a leak of the hose or core from one
 * of the joints, moisture from gas leaving the oil, and anything slower than `unseenSlopePaPerS`.
 */
export function judgeEvacuation(input: Evacuation): EvacuationJudgement {
  const targetPa = requirePositive(say.trade.target, input.targetPa, 'Pa')
  const limitPa = requirePositive(say.trade.limit, input.limitPa, 'Pa')
  const holdS = requireNotNegative(say.trade.hold, input.holdS, 's')
  const horizonS = requirePositive(say.trade.horizon, input.horizonS ?? EVACUATION_BUILT_IN.horizonS, 's')
  const resolutionPa = requireNotNegative(say.trade.gaugeResolution, input.gaugeResolutionPa, 'Pa')
  if (input.volumeM3 !== undefined) requirePositive(say.trade.volume, input.volumeM3, 'm³')
  if (input.policyLeakRatePaM3PerS !== undefined)
    requirePositive(say.trade.leakRate, input.policyLeakRatePaM3PerS, 'Pa·m³/s')
  for (const reading of input.readings) {
    requireFinite(say.trade.timeOfAReading, reading.atMs, 'ms')
    requireNotNegative(say.trade.absolutePressure, reading.pressurePa, 'Pa')
    if (reading.pressurePa > 1e6) {
      throw new OutsideValidity(say.trade.absolutePressure, reading.pressurePa, {
        low: 0,
        high: 1e6,
        unit: 'Pa',
      })
    }
    if (reading.temperatureK !== undefined) requirePositive(say.trade.temperature, reading.temperatureK, 'K')
  }

  const reasons: EvacuationJudgement['reasons'] = []
  const notes: EvacuationJudgement['notes'] = []
  const water = ceilingOf(input, limitPa, notes)
  const { points, isolatedAtMs, lowestPressurePa } = lastDecay(input, notes, resolutionPa)
  const first = points[0]
  const last = points.at(-1)
  const spanS = last?.timeS ?? 0
  const answer: EvacuationJudgement = {
    verdict: 'cannot-tell',
    reasons,
    notes,
    curve: null,
    fits: [],
    lowestPressurePa,
    riseInHoldPa: first && last && points.length > 1 ? last.pressurePa - first.pressurePa : null,
    isolatedAtMs,
    holdS: spanS,
    leakRatePaM3PerS: null,
    minutesToDecide: null,
    unseenSlopePaPerS: null,
    horizonUpperPa: null,
    waterCeilingPa: water?.pressurePa ?? null,
    waterPhase: water?.phase ?? null,
  }

  const coarse =
    input.gaugeIsCompound === true ||
    resolutionPa > EVACUATION_BUILT_IN.coarsestResolution * targetPa * (1 + 1e-9)
  if (coarse) {
    reasons.push({
      code: 'gauge-too-coarse',
      text: input.gaugeIsCompound
        ? say.trade.aCompoundGaugeCant
        : say.trade.theGaugeShowsSteps(micron(resolutionPa), micron(targetPa)),
    })
  }
  const targetReached = lowestPressurePa !== null && lowestPressurePa <= targetPa * (1 + 1e-9)
  if (lowestPressurePa !== null && !targetReached) {
    reasons.push({
      code: 'target-not-reached',
      text: say.trade.theLowestPressureWas(micron(lowestPressurePa), micron(targetPa)),
    })
  }
  if (points.length < 3) {
    reasons.push({
      code: 'too-few-readings',
      text: say.trade.takeAtLeastReadings(READINGS_FOR_FITS),
    })
    return answer
  }

  const setting: Setting = {
    limitPa,
    holdS,
    horizonS,
    resolutionPa,
    waterCeilingPa: water?.pressurePa ?? null,
    lowestPressurePa,
    targetReached,
    volumeM3: input.volumeM3,
    policyLeakRatePaM3PerS: input.policyLeakRatePaM3PerS,
  }
  const decision = decide(points, setting)
  const drawTo = Math.max(horizonS, spanS)
  const draw = (fit: DecayFit) =>
    Array.from({ length: 61 }, (_, index) => {
      const timeS = (drawTo * index) / 60
      return { timeS, pressurePa: fit.at(timeS) }
    })
  answer.fits = DECAY_SHAPES.flatMap((shape) => {
    const fit = decision.fits.find((candidate) => candidate.shape === shape)
    if (!fit) return []
    const best = decision.chosen?.aicc ?? null
    return [
      {
        kind: shape,
        startPressurePa: fit.startPressurePa,
        risePaPerS: fit.slopePaPerS,
        plateauPa: fit.plateauPa,
        timeConstantS: fit.timeConstantS,
        atHorizonPa: fit.atHorizonPa,
        aicc: fit.aicc,
        aiccDifference: fit.aicc === null || best === null ? null : fit.aicc - best,
        points: draw(fit),
      },
    ]
  })
  if (decision.chosen) {
    const fit = decision.chosen
    answer.curve = {
      kind: fit.shape,
      startPressurePa: fit.startPressurePa,
      risePaPerS: fit.slopePaPerS.estimate,
      plateauPa: fit.plateauPa?.estimate ?? null,
      timeConstantS: fit.timeConstantS,
      points: draw(fit),
    }
    if (input.volumeM3 !== undefined) {
      answer.leakRatePaM3PerS = input.volumeM3 * Math.max(0, fit.slopePaPerS.estimate)
    }
  }
  answer.unseenSlopePaPerS = decision.slopeUpper
  answer.horizonUpperPa = decision.horizonUpper
  reasons.push(...decision.reasons)
  answer.verdict = coarse ? 'cannot-tell' : decision.verdict
  if (answer.verdict === 'cannot-tell' && !coarse && targetReached && points.length >= READINGS_FOR_FITS) {
    answer.minutesToDecide = minutesToDecide(points, setting, decision)
  }
  return answer
}

/** Water's vapour pressure at the warmest part, and what there is to say about it. */
function ceilingOf(
  input: Evacuation,
  limitPa: number,
  notes: EvacuationJudgement['notes'],
): { pressurePa: number; phase: 'ice' | 'liquid' } | null {
  const measured = input.readings.flatMap((reading) =>
    reading.temperatureK === undefined ? [] : [reading.temperatureK],
  )
  const known = input.warmestTemperatureK ?? (measured.length > 0 ? Math.max(...measured) : undefined)
  if (known === undefined) {
    notes.push({
      code: 'temperature-assumed',
      text: say.trade.noTemperatureIsOn,
    })
  }
  const temperatureK = requirePositive(say.trade.temperatureOfTheWarmest, known ?? 293.15, 'K')
  if (temperatureK < WATER_VALIDITY.lowK || temperatureK > WATER_VALIDITY.highK) {
    notes.push({
      code: 'temperature-outside-water-range',
      text: say.trade.theVapourPressureOf,
    })
    return null
  }
  const phase = waterPhase(temperatureK)
  const pressurePa = waterVapourPressure(temperatureK, phase)
  if (phase === 'ice') {
    notes.push({
      code: 'below-freezing',
      text: say.trade.belowFreezingIceHolds(micron(pressurePa)),
    })
    if (pressurePa <= limitPa) {
      notes.push({
        code: 'ice-hides-moisture',
        text: say.trade.iceCanLieIn(micron(limitPa)),
      })
    }
  }
  return { pressurePa, phase }
}

/** The readings after the last pull or break: in order, one per moment, a bad one set aside; times from isolation. */
function lastDecay(
  input: Evacuation,
  notes: EvacuationJudgement['notes'],
  resolutionPa: number,
): { points: DecayPoint[]; isolatedAtMs: number | null; lowestPressurePa: number | null } {
  const order = { pull: 0, break: 1, decay: 2 }
  // Moments are known to the millisecond: closer ones would make slopes beyond any number.
  const timed = input.readings.map((reading) => ({ ...reading, atMs: Math.round(reading.atMs) }))
  const sorted = timed.sort((a, b) => a.atMs - b.atMs || order[a.phase] - order[b.phase])
  let from = sorted.length
  while (from > 0 && sorted[from - 1]?.phase === 'decay') from -= 1
  if (sorted.slice(0, from).some((reading) => reading.phase === 'decay')) {
    notes.push({
      code: 'earlier-decay-not-judged',
      text: say.trade.anEarlierDecayIs,
    })
  }
  const run = sorted.slice(from)
  const lastBreak = sorted.slice(0, from).findLastIndex((reading) => reading.phase === 'break')
  const pulled = sorted.slice(lastBreak + 1, from).filter((reading) => reading.phase === 'pull')
  const isolatedAtMs = run[0]?.atMs ?? null
  const merged: { timeS: number; pressures: number[] }[] = []
  for (const reading of run) {
    const timeS = (reading.atMs - (isolatedAtMs ?? 0)) / 1000
    const same = merged.at(-1)
    if (same && same.timeS === timeS) same.pressures.push(reading.pressurePa)
    else merged.push({ timeS, pressures: [reading.pressurePa] })
  }
  if (merged.length < run.length) {
    notes.push({ code: 'readings-merged', text: say.trade.readingsOfTheSame })
  }
  let points = merged.map(({ timeS, pressures }) => ({
    timeS,
    pressurePa: pressures.reduce((sum, pressure) => sum + pressure, 0) / pressures.length,
  }))
  const bad = findBadReading(points, resolutionPa)
  if (bad !== null) {
    const odd = points[bad]
    notes.push({
      code: 'reading-set-aside',
      text: say.trade.theReadingOfAfter(micron(odd?.pressurePa ?? 0), ((odd?.timeS ?? 0) / 60).toFixed(1)),
    })
    points = points.filter((_, index) => index !== bad)
  }
  const pressures = [
    ...pulled.map((reading) => reading.pressurePa),
    ...points.map((point) => point.pressurePa),
  ]
  return { points, isolatedAtMs, lowestPressurePa: pressures.length > 0 ? Math.min(...pressures) : null }
}

interface Setting {
  limitPa: number
  holdS: number
  horizonS: number
  resolutionPa: number
  waterCeilingPa: number | null
  lowestPressurePa: number | null
  targetReached: boolean
  volumeM3: number | undefined
  policyLeakRatePaM3PerS: number | undefined
}

interface Decision {
  verdict: EvacuationVerdict
  reasons: EvacuationJudgement['reasons']
  fits: DecayFit[]
  chosen: DecayFit | null
  slopeUpper: number | null
  horizonUpper: number | null
  varianceScale: number
}

function decide(
  points: readonly DecayPoint[],
  setting: Setting,
  what?: { varianceScale: number; steps: number },
): Decision {
  const { limitPa, horizonS } = setting
  const reasons: EvacuationJudgement['reasons'] = []
  const first = points[0] as DecayPoint
  const last = points.at(-1) as DecayPoint
  const spanS = last.timeS
  const highest = Math.max(...points.map((point) => point.pressurePa))
  const belowThroughout = highest <= limitPa * (1 + 1e-9)
  const options = {
    gaugeResolutionPa: setting.resolutionPa,
    horizonS,
    ceilingPa: setting.waterCeilingPa ?? undefined,
    varianceScale: what?.varianceScale,
    steps: what?.steps,
  }
  const { fits, chosen, slowBendAicc, varianceScale } = fitDecay(points, options)
  const fitOf = (shape: DecayShape) => fits.find((fit) => fit.shape === shape)
  const base = { fits, chosen, varianceScale }
  const heldLongEnough = spanS >= setting.holdS - 1e-6
  const holdReason = () => {
    if (!heldLongEnough) {
      reasons.push({
        code: 'hold-too-short',
        text: say.trade.isolatedForMinOf((spanS / 60).toFixed(1), (setting.holdS / 60).toFixed(0)),
      })
    }
  }

  if (points.length < READINGS_FOR_FITS || !chosen) {
    const slope = (last.pressurePa - first.pressurePa + setting.resolutionPa) / spanS
    const worst = first.pressurePa + Math.max(0, slope) * Math.max(horizonS, spanS)
    holdReason()
    if (!belowThroughout) {
      reasons.push({ code: 'limit-passed', text: say.trade.thePressurePassedThe(micron(limitPa)) })
    }
    if (!(worst <= limitPa) || !belowThroughout) {
      reasons.push({
        code: 'too-few-readings',
        text: say.trade.readingsDontShowThe(points.length, READINGS_FOR_FITS),
      })
    }
    const tight = reasons.length === 0 && setting.targetReached
    const line = fitOf('line') ?? null
    return {
      ...base,
      chosen: line,
      verdict: tight ? 'tight' : 'cannot-tell',
      reasons,
      slopeUpper: Math.max(0, slope),
      horizonUpper: worst,
    }
  }

  const line = fitOf('line')
  const both = fitOf('both')
  const tail = tailLine(points, options)
  // Bounds that hold whichever of the four shapes is true (see the doc comment above).
  const uppers = (pick: (fit: DecayFit) => number, includeAll: boolean) =>
    Math.min(
      ...[line, ...(includeAll ? [both, tail] : [])].map((fit) =>
        fit ? pick(fit) : Number.POSITIVE_INFINITY,
      ),
    )
  const bends = chosen.shape === 'saturating' || chosen.shape === 'both'
  const horizonUpper = uppers((fit) => fit.atHorizonPa.high, bends)
  const slopeUpper = Math.max(
    0,
    uppers((fit) => fit.slopePaPerS.high, bends),
  )
  const bounds = { slopeUpper, horizonUpper }

  const lineAicc = line?.aicc ?? null
  const straight = chosen.shape === 'line'
  const saturatingAicc = fitOf('saturating')?.aicc ?? null
  const chosenAicc = chosen.aicc ?? 0
  // A level in sight that fits about as well, or one out of sight that fits clearly better, may be moisture instead.
  const mayBend =
    (straight && saturatingAicc !== null && saturatingAicc - chosenAicc < CLEAR) ||
    (slowBendAicc !== null && slowBendAicc - chosenAicc < -SLOW_BEND)
  const straightAlmostAsGood =
    chosen.shape === 'saturating' && lineAicc !== null && lineAicc - chosenAicc < CLEAR

  // A leak: a slope that counts, and carries the pressure over the limit.
  const slopeLow = chosen.slopePaPerS.low
  const counts = slopeLow > 0
  const startPa = chosen.startPressurePa
  const plateau = chosen.plateauPa
  const wetAnyway =
    plateau !== null &&
    plateau.low > limitPa &&
    setting.waterCeilingPa !== null &&
    plateau.low <= CEILING_MARGIN * setting.waterCeilingPa &&
    saturatingAicc !== null &&
    saturatingAicc - chosenAicc < SLOPE_BESIDE_LEVEL
  const carries =
    counts &&
    !wetAnyway &&
    (startPa + slopeLow * horizonS > limitPa ||
      (plateau !== null && plateau.estimate <= limitPa && chosen.atHorizonPa.low > limitPa))
  const passedStraight = counts && straight && !belowThroughout
  const abovePolicy =
    counts &&
    setting.policyLeakRatePaM3PerS !== undefined &&
    setting.volumeM3 !== undefined &&
    setting.volumeM3 * slopeLow > setting.policyLeakRatePaM3PerS
  if (carries || passedStraight || abovePolicy) {
    if (mayBend && !abovePolicy) {
      reasons.push({
        code: 'straight-or-bending',
        text: say.trade.theRiseMayBe,
      })
      return { ...base, ...bounds, verdict: 'cannot-tell', reasons }
    }
    if (abovePolicy) {
      reasons.push({ code: 'slope-above-policy', text: say.trade.theSteadyRiseIs })
    }
    if (carries || passedStraight) {
      reasons.push({
        code: 'slope-carries-over-limit',
        text: say.trade.thePressureRisesSteadily(micron(limitPa), (horizonS / 60).toFixed(0)),
      })
    }
    return { ...base, ...bounds, verdict: 'leak', reasons }
  }

  // Moisture: a level above the limit, in sight, that water can hold.
  const levelOff: Bounds | null =
    plateau ??
    (chosen.shape === 'level' && (setting.lowestPressurePa ?? chosen.startPressurePa) < limitPa
      ? chosen.atHorizonPa
      : null)
  if (levelOff && levelOff.low > limitPa) {
    if (straightAlmostAsGood || levelOff.high > 2 * levelOff.estimate) {
      reasons.push({
        code: 'straight-or-bending',
        text: say.trade.theRiseMayBe,
      })
      return { ...base, ...bounds, verdict: 'cannot-tell', reasons }
    }
    if (setting.waterCeilingPa === null || levelOff.low > CEILING_MARGIN * setting.waterCeilingPa) {
      reasons.push({
        code: 'plateau-above-water',
        text: say.trade.thePressureLevelsOff(micron(levelOff.estimate)),
      })
      return { ...base, ...bounds, verdict: 'cannot-tell', reasons }
    }
    reasons.push({
      code: 'plateau-above-limit',
      text: say.trade.thePressureLevelsOffAt(micron(levelOff.estimate)),
    })
    return { ...base, ...bounds, verdict: 'moisture', reasons }
  }

  holdReason()
  if (!belowThroughout) {
    const never = (setting.lowestPressurePa ?? 0) > limitPa
    reasons.push(
      never
        ? {
            code: 'never-below-limit',
            text: say.trade.thePressureWasNever(micron(limitPa)),
          }
        : { code: 'limit-passed', text: say.trade.thePressurePassedThe(micron(limitPa)) },
    )
  }
  if (!(horizonUpper < limitPa) && belowThroughout) {
    reasons.push({
      code: 'horizon-not-excluded',
      text: say.trade.itCantBeExcluded(micron(limitPa), (horizonS / 60).toFixed(0)),
    })
  }
  const tight = reasons.length === 0 && setting.targetReached
  return { ...base, ...bounds, verdict: tight ? 'tight' : 'cannot-tell', reasons }
}

/** A straight line through the later half of the readings, when there are enough of them. */
function tailLine(
  points: readonly DecayPoint[],
  options: Parameters<typeof fitDecay>[1],
): DecayFit | undefined {
  const span = points.at(-1)?.timeS ?? 0
  const tail = points.filter((point) => point.timeS >= span / 2)
  if (tail.length < 6) return undefined
  return fitDecay(tail, { ...options, steps: 0 }).fits.find((fit) => fit.shape === 'line')
}

/** Further minutes after which readings like these, going on as fitted, would decide; null when none up to 4 h. */
function minutesToDecide(points: readonly DecayPoint[], setting: Setting, decision: Decision): number | null {
  const chosen = decision.chosen
  const last = points.at(-1)
  if (!chosen || !last || !(last.timeS > 0)) return null
  const gapS = Math.max(last.timeS / (points.length - 1), 15)
  for (const minutes of [1, 2, 3, 5, 10, 15, 20, 30, 45, 60, 90, 120, 180, 240]) {
    const extra = Math.min(60, Math.max(1, Math.floor((minutes * 60) / gapS)))
    const added = Array.from({ length: extra }, (_, index) => {
      const timeS = last.timeS + (minutes * 60 * (index + 1)) / extra
      return { timeS, pressurePa: Math.max(0, chosen.at(timeS)) }
    })
    const next = decide([...points, ...added], setting, { varianceScale: decision.varianceScale, steps: 12 })
    if (next.verdict !== 'cannot-tell') return minutes
  }
  return null
}
