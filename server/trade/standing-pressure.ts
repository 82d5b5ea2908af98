/** Did the lines hold their pressure, once temperature and the instruments' errors are taken out? */
import { say } from '../words/say.ts'
import { absoluteFromGauge, gaugeFromAbsolute } from './atmosphere.ts'
import { chiSquareUpperTail, normalCdf } from './distributions.ts'
import { pressureTestLeakFor, serviceLossFromPressureTest, type TestGas } from './leak-rate.ts'
import { endPressureAtConstantDensity, idealEndPressure, slopeAtConstantDensity } from './nitrogen.ts'
import type { RefrigerantName } from './refrigerants.ts'
import {
  OutsideValidity,
  requireFinite,
  requireNotNegative,
  requirePositive,
  requireWithin,
} from './validity.ts'

/** Media as they may be recorded. The last four are recorded and fail the test. */
export const STANDING_PRESSURE_MEDIA = [
  'nitrogen',
  'helium',
  'nitrogen-trace',
  'carbon-dioxide',
  'oxygen',
  'air',
  'other',
] as const
export type StandingPressureMedium = (typeof STANDING_PRESSURE_MEDIA)[number]

/** The tracer in `nitrogen-trace` and its share by volume, 0–1. */
export interface Tracer {
  gas: 'hydrogen' | 'helium' | 'refrigerant'
  fraction: number
}

export interface StandingPressureReading {
  atMs: number
  /** raise: the source was still connected. hold: it had been removed. */
  stage: 'raise' | 'hold'
  gaugePressurePa: number
  temperatureK: number
  /** True when from this reading on another gauge or thermometer was used. */
  gaugeChanged?: boolean | undefined
  thermometerChanged?: boolean | undefined
}

/**
 * accuracy: limit of error against the truth; shortTerm: spread of one reading of the same instrument within
 * the test (k = 2), where a constant bias cancels; resolution: smallest step.
 */
export interface Gauge {
  accuracyPa: number
  shortTermPa: number
  resolutionPa: number
}
export interface Thermometer {
  accuracyK: number
  shortTermK: number
}

export interface StandingPressureTest {
  readings: readonly StandingPressureReading[]
  medium: StandingPressureMedium
  tracer?: Tracer | undefined
  atmosphericPressurePa: number
  gauge: Gauge
  thermometer: Thermometer
  /** Limit of error of the instrument that took over, where it differs from the first one's. */
  secondGaugeAccuracyPa?: number | undefined
  secondThermometerAccuracyK?: number | undefined
  requiredPressurePa?: number | undefined
  limitPressurePa?: number | undefined
  requiredHoldS: number
  /** Moment the source was removed; default the last `raise` reading. */
  sourceRemovedAtMs?: number | undefined
  /** Least time from the removal of the source to the first hold reading; built-in 600 s. */
  settleS?: number | undefined
  /** Largest fall that may stay unseen; built-in the larger of 1 % of the test gauge pressure and 25 kPa. */
  bandPa?: number | undefined
  /** Part of a temperature change by which the gas may lag the sensor, 0–1; built-in 0.3. */
  temperatureFollowing?: number | undefined
  volumeM3?: number | undefined
  refrigerant?: RefrigerantName | undefined
}

export type StandingPressureVerdict = 'holds' | 'falls' | 'cannot-tell' | 'void'

export type StandingPressureReasonCode =
  | 'wrong-medium'
  | 'over-limit'
  | 'missing-reading'
  | 'reading-outside-validity'
  | 'hold-too-short'
  | 'settling-too-short'
  | 'pressure-not-reached'
  | 'gauge-too-coarse'
  | 'fall-proven'
  | 'fall-not-excluded'
  | 'rise-unexplained'
  | 'uncertainty-exceeds-band'

export type StandingPressureNoteCode =
  | 'ideal-gas-law'
  | 'instrument-changed'
  | 'settling-not-recorded'
  | 'readings-scatter'
  | 'no-required-pressure'
  | 'tracer-not-named'

export interface StandingPressureJudgement {
  verdict: StandingPressureVerdict
  /** Every reason for a verdict other than `holds`, in order of weight. */
  reasons: { code: StandingPressureReasonCode; text: string }[]
  /** What a reader should know and what changes nothing. */
  notes: { code: StandingPressureNoteCode; text: string }[]
  /** The gas law used for the expected pressure. */
  law: 'real-gas-nitrogen' | 'ideal-gas'
  /** How the change was found: two readings, or a straight line through all hold readings. */
  method: 'pair' | 'regression' | null
  /** What a tight system would show at the end; with regression, from the fitted start. */
  expectedGaugePressurePa: number | null
  idealGasGaugePressurePa: number | null
  /** Measured less expected; negative is a fall. */
  changePa: number | null
  /** Expanded uncertainty of the change, k = 2. */
  changeUncertaintyPa: number | null
  /** What the gauge's step alone can make of no change at all; a fall is proven only beyond U and this. */
  roundingPa: number | null
  bandPa: number | null
  /** True when the fall is larger than its uncertainty, whatever else is wrong with the test. */
  fallProven: boolean
  /** Throughput of test gas; negative when the pressure rose. Null without a volume. */
  leakRatePaM3PerS: number | null
  /** A leak larger than this does not get `holds` (97.5 %). */
  smallestSeenLeakPaM3PerS: number | null
  /** The same two as refrigerant lost in service: estimates. */
  refrigerantKgPerYear: number | null
  smallestSeenRefrigerantKgPerYear: number | null
  startAtMs: number | null
  endAtMs: number | null
  holdS: number
  startGaugePressurePa: number | null
  endGaugePressurePa: number | null
  /** The start of the hold reached the required pressure, less the gauge's limit of error. */
  reached: boolean
  /** above: beyond the limit by more than the gauge's error. far-above: also beyond 1.1 × the limit. */
  overLimit: 'no' | 'above' | 'far-above'
  /** Each hold reading, brought to the end temperature, less the fitted line. All 0 for a pair. */
  residuals: { atMs: number; residualPa: number }[]
}

/** Policy figures that hold when none is given (common practice, no source, save where a source is named). */
export const STANDING_PRESSURE_BUILT_IN = {
  /** IEC/UL/CSA 60335-2-40 instruction set, as manuals print it: at least one hour after the source is removed. */
  requiredHoldS: 3600,
  /** Same set: a gauge not coarser than 5 % of the test pressure. */
  coarsestResolution: 0.05,
  settleS: 600,
  bandShare: 0.01,
  bandLeastPa: 25_000,
  temperatureFollowing: 0.3,
  /** Above this share of tracer the nitrogen correction is no longer used. */
  tracerFraction: 0.05,
  farAbove: 1.1,
} as const

/**
 * Short-term uncertainty of one reading (k = 2), same unit as the inputs: the stated repeatability, else the larger
 * of the resolution and a quarter of the accuracy (common practice, no source).
 */
export function shortTermUncertainty(instrument: {
  accuracy: number
  resolution: number
  repeatability?: number | undefined
}): number {
  if (instrument.repeatability !== undefined)
    return requireNotNegative(say.trade.repeatability, instrument.repeatability)
  return Math.max(
    requireNotNegative(say.trade.resolution, instrument.resolution),
    requireNotNegative(say.trade.accuracy, instrument.accuracy) / 4,
  )
}

/** The band τ in Pa: the policy's figure, else the larger of 1 % of the test gauge pressure and 25 kPa. */
export function bandFor(testGaugePressurePa: number, policyBandPa?: number): number {
  if (policyBandPa !== undefined) return requirePositive(say.trade.band, policyBandPa, 'Pa')
  return Math.max(
    STANDING_PRESSURE_BUILT_IN.bandShare * testGaugePressurePa,
    STANDING_PRESSURE_BUILT_IN.bandLeastPa,
  )
}

function lawFor(
  medium: StandingPressureMedium,
  tracer: Tracer | undefined,
): StandingPressureJudgement['law'] {
  if (medium === 'nitrogen') return 'real-gas-nitrogen'
  if (medium !== 'nitrogen-trace') return 'ideal-gas'
  return (tracer?.fraction ?? 0) <= STANDING_PRESSURE_BUILT_IN.tracerFraction
    ? 'real-gas-nitrogen'
    : 'ideal-gas'
}

/** The absolute pressure a tight system moves to from one temperature to another, by the law named. */
function endPressure(
  law: StandingPressureJudgement['law'],
  startPressurePa: number,
  startTemperatureK: number,
  endTemperatureK: number,
) {
  const input = { startPressurePa, startTemperatureK, endTemperatureK }
  return law === 'real-gas-nitrogen' ? endPressureAtConstantDensity(input) : idealEndPressure(input)
}

const kPa = (pressurePa: number) => `${(pressurePa / 1000).toFixed(1)} kPa`
const minutes = (seconds: number) => `${(seconds / 60).toFixed(seconds < 600 ? 1 : 0)} min`

/**
 * Judges a standing pressure test. Pressures in Pa (gauge, save the air's), temperatures in K, moments in ms.
 *
 * The judged pair is the first and the last `hold` reading in time. The expected end pressure is that of a constant
 * density (real gas for nitrogen, ideal for helium). change = measured − expected; its expanded uncertainty (k = 2)
 * U = √(2g² + 2(s·t)² + (s·r·ΔT)²), g and t the short-term uncertainty of one gauge and one thermometer reading, s the
 * slope at constant density, r the part by which the gas may lag the sensor. With more than two hold readings a
 * straight line through all of them (each brought to the end temperature) replaces the pair: that shrinks the g and t
 * parts, never the lag part. When an instrument was changed during the hold, both full accuracies enter, and the
 * pair is used.
 *
 * `falls`: change + U < 0, and by more than the gauge's step alone can make (`roundingPa`: half a step for a pair, a
 * whole one where the stated repeatability is finer than the step). `holds`: not that, and change − U ≥ −τ and change + U ≤ τ. Else `cannot-tell`, which is also
 * the answer to a hold too short, read too early, with a reading missing or a gauge too coarse, or below the required
 * pressure; none of these undoes a proven fall. `void`: wrong medium, or above the limit by more than the gauge's error.
 *
 * Valid for nitrogen from −30 to 70 °C up to 6 MPa absolute. The air's pressure is taken as constant: weather of
 * ±1 kPa during the hold enters the change as it is. Numbers are null where the readings can't give them.
 */
export function judgeStandingPressure(test: StandingPressureTest): StandingPressureJudgement {
  const atmosphericPa = test.atmosphericPressurePa
  requireNotNegative(say.trade.gaugeAccuracy, test.gauge.accuracyPa, 'Pa')
  requireNotNegative(say.trade.gaugeShortTermUncertainty, test.gauge.shortTermPa, 'Pa')
  requireNotNegative(say.trade.gaugeResolution, test.gauge.resolutionPa, 'Pa')
  requireNotNegative(say.trade.thermometerAccuracy, test.thermometer.accuracyK, 'K')
  requireNotNegative(say.trade.thermometerShortTermUncertainty, test.thermometer.shortTermK, 'K')
  requireNotNegative(say.trade.requiredHold, test.requiredHoldS, 's')
  const settleS = requireNotNegative(
    say.trade.settlingTime,
    test.settleS ?? STANDING_PRESSURE_BUILT_IN.settleS,
    's',
  )
  const following = requireWithin(
    say.trade.temperatureFollowing,
    test.temperatureFollowing ?? STANDING_PRESSURE_BUILT_IN.temperatureFollowing,
    0,
    1,
  )
  if (test.volumeM3 !== undefined) requirePositive(say.trade.volume, test.volumeM3, 'm³')
  if (test.tracer) requireWithin(say.trade.tracerFraction, test.tracer.fraction, 0, 1)
  for (const reading of test.readings) {
    requireFinite(say.trade.timeOfAReading, reading.atMs, 'ms')
    requirePositive(say.trade.temperatureOfAReading, reading.temperatureK, 'K')
    absoluteFromGauge(reading.gaugePressurePa, atmosphericPa)
  }

  const reasons: StandingPressureJudgement['reasons'] = []
  const notes: StandingPressureJudgement['notes'] = []
  const readings = [...test.readings].sort((a, b) => a.atMs - b.atMs)
  const hold = readings.filter((reading) => reading.stage === 'hold')
  const first = hold[0]
  const last = hold.at(-1)
  const law = lawFor(test.medium, test.tracer)

  const wrongMedium = !(['nitrogen', 'helium', 'nitrogen-trace'] as string[]).includes(test.medium)
  if (wrongMedium) {
    reasons.push({
      code: 'wrong-medium',
      text: say.trade.onlyDryNitrogenHelium,
    })
  }
  const overLimit = overLimitOf(readings, test)
  if (overLimit !== 'no') {
    reasons.push({
      code: 'over-limit',
      text: say.trade.thePressureWentAbove(kPa(test.limitPressurePa ?? 0)),
    })
  }
  if (law === 'ideal-gas') {
    notes.push({ code: 'ideal-gas-law', text: say.trade.theExpectedPressureIs })
  }
  if (test.medium === 'nitrogen-trace' && !test.tracer) {
    notes.push({ code: 'tracer-not-named', text: say.trade.theTracerAndIts })
  }

  const bandPa = first || test.bandPa !== undefined ? bandFor(first?.gaugePressurePa ?? 0, test.bandPa) : null
  const holdS = first && last ? (last.atMs - first.atMs) / 1000 : 0
  const reached =
    first !== undefined &&
    (test.requiredPressurePa === undefined ||
      first.gaugePressurePa >= test.requiredPressurePa - test.gauge.accuracyPa - 1e-6)
  const answer: StandingPressureJudgement = {
    verdict: 'cannot-tell',
    reasons,
    notes,
    law,
    method: null,
    expectedGaugePressurePa: null,
    idealGasGaugePressurePa: null,
    changePa: null,
    changeUncertaintyPa: null,
    roundingPa: null,
    bandPa,
    fallProven: false,
    leakRatePaM3PerS: null,
    smallestSeenLeakPaM3PerS: null,
    refrigerantKgPerYear: null,
    smallestSeenRefrigerantKgPerYear: null,
    startAtMs: first?.atMs ?? null,
    endAtMs: last?.atMs ?? null,
    holdS,
    startGaugePressurePa: first?.gaugePressurePa ?? null,
    endGaugePressurePa: last?.gaugePressurePa ?? null,
    reached,
    overLimit,
    residuals: [],
  }
  const isVoid = wrongMedium || overLimit !== 'no'

  if (!first || !last || bandPa === null || !(last.atMs > first.atMs)) {
    reasons.push({
      code: 'missing-reading',
      text: say.trade.twoHoldReadingsAre,
    })
    answer.verdict = isVoid ? 'void' : 'cannot-tell'
    return answer
  }

  let measured: Measured
  try {
    measured = measureChange(hold, first, last, law, test, following, notes)
  } catch (problem) {
    if (!(problem instanceof OutsideValidity)) throw problem
    reasons.push({
      code: 'reading-outside-validity',
      text: say.trade.theReadingsCantBe(problem.message),
    })
    answer.verdict = isVoid ? 'void' : 'cannot-tell'
    return answer
  }
  const { changePa, uncertaintyPa, roundingPa } = measured
  answer.method = measured.method
  answer.expectedGaugePressurePa = gaugeFromAbsolute(measured.expectedPa, atmosphericPa)
  answer.idealGasGaugePressurePa = gaugeFromAbsolute(measured.idealPa, atmosphericPa)
  answer.changePa = changePa
  answer.changeUncertaintyPa = uncertaintyPa
  answer.roundingPa = roundingPa
  answer.residuals = measured.residuals
  // A millionth of a millionth of the pressure is rounding, not a fall.
  answer.fallProven = changePa + uncertaintyPa + roundingPa < -1e-12 * measured.expectedPa

  if (test.volumeM3 !== undefined) {
    answer.leakRatePaM3PerS = (-test.volumeM3 * changePa) / holdS
    answer.smallestSeenLeakPaM3PerS =
      (test.volumeM3 * Math.min(bandPa, 2 * uncertaintyPa + roundingPa)) / holdS
    if (test.refrigerant) {
      const testGas: TestGas = test.medium === 'helium' ? 'helium' : 'nitrogen'
      const testAbsolutePa = absoluteFromGauge(first.gaugePressurePa, atmosphericPa)
      if (testAbsolutePa > atmosphericPa) {
        const inService = (leakPaM3PerS: number) =>
          serviceLossFromPressureTest({
            refrigerant: test.refrigerant as RefrigerantName,
            testGas,
            testAbsolutePa,
            atmosphericPa,
            leakPaM3PerS,
          })
        answer.refrigerantKgPerYear = Math.max(0, inService(answer.leakRatePaM3PerS))
        answer.smallestSeenRefrigerantKgPerYear = inService(answer.smallestSeenLeakPaM3PerS)
      }
    }
  }

  if (answer.fallProven) {
    reasons.push({
      code: 'fall-proven',
      text: say.trade.thePressureFellBy(kPa(-changePa), kPa(uncertaintyPa)),
    })
  }
  const blocking = reasons.length
  const removedAtMs =
    test.sourceRemovedAtMs ?? readings.filter((reading) => reading.stage === 'raise').at(-1)?.atMs
  if (removedAtMs === undefined) {
    notes.push({ code: 'settling-not-recorded', text: say.trade.theMomentTheSource })
  } else if ((first.atMs - removedAtMs) / 1000 < settleS) {
    reasons.push({
      code: 'settling-too-short',
      text: say.trade.theFirstHoldReading(
        minutes(Math.max(0, (first.atMs - removedAtMs) / 1000)),
        minutes(settleS),
      ),
    })
  }
  if (holdS < test.requiredHoldS) {
    reasons.push({
      code: 'hold-too-short',
      text: say.trade.theHoldLastedOf(minutes(holdS), minutes(test.requiredHoldS)),
    })
  }
  if (test.requiredPressurePa === undefined) {
    notes.push({
      code: 'no-required-pressure',
      text: say.trade.noRequiredTestPressure,
    })
  } else if (!reached) {
    reasons.push({
      code: 'pressure-not-reached',
      text: say.trade.theHoldBeganAt(kPa(first.gaugePressurePa), kPa(test.requiredPressurePa)),
    })
  }
  const testPressurePa = test.requiredPressurePa ?? first.gaugePressurePa
  if (test.gauge.resolutionPa > STANDING_PRESSURE_BUILT_IN.coarsestResolution * testPressurePa) {
    reasons.push({
      code: 'gauge-too-coarse',
      text: say.trade.theGaugeShowsStepsOf(kPa(test.gauge.resolutionPa)),
    })
  }
  const withinBand = changePa - uncertaintyPa >= -bandPa && changePa + uncertaintyPa <= bandPa
  if (!answer.fallProven && !withinBand) {
    if (uncertaintyPa > bandPa) {
      reasons.push({
        code: 'uncertainty-exceeds-band',
        text: say.trade.theUncertaintyOfIs(kPa(uncertaintyPa), kPa(bandPa)),
      })
    } else if (changePa - uncertaintyPa < -bandPa) {
      reasons.push({
        code: 'fall-not-excluded',
        text: say.trade.aFallOfMore(kPa(bandPa)),
      })
    } else {
      reasons.push({
        code: 'rise-unexplained',
        text: say.trade.thePressureRoseBy(kPa(changePa)),
      })
    }
  }
  answer.verdict = isVoid
    ? 'void'
    : answer.fallProven
      ? 'falls'
      : reasons.length > blocking || !withinBand
        ? 'cannot-tell'
        : 'holds'
  return answer
}

function overLimitOf(
  readings: readonly StandingPressureReading[],
  test: StandingPressureTest,
): StandingPressureJudgement['overLimit'] {
  if (test.limitPressurePa === undefined) return 'no'
  const limit = requirePositive(say.trade.pressureLimit, test.limitPressurePa, 'Pa')
  const highest = Math.max(Number.NEGATIVE_INFINITY, ...readings.map((reading) => reading.gaugePressurePa))
  if (!(highest > limit + test.gauge.accuracyPa + 1e-6)) return 'no'
  return highest > STANDING_PRESSURE_BUILT_IN.farAbove * limit ? 'far-above' : 'above'
}

interface Measured {
  method: 'pair' | 'regression'
  expectedPa: number
  idealPa: number
  changePa: number
  uncertaintyPa: number
  roundingPa: number
  residuals: { atMs: number; residualPa: number }[]
}

function measureChange(
  hold: readonly StandingPressureReading[],
  first: StandingPressureReading,
  last: StandingPressureReading,
  law: StandingPressureJudgement['law'],
  test: StandingPressureTest,
  following: number,
  notes: StandingPressureJudgement['notes'],
): Measured {
  const absolute = (reading: StandingPressureReading) =>
    absoluteFromGauge(reading.gaugePressurePa, test.atmosphericPressurePa)
  const startPa = requirePositive(say.trade.absolutePressure, absolute(first), 'Pa')
  const slope =
    law === 'real-gas-nitrogen'
      ? slopeAtConstantDensity(startPa, first.temperatureK)
      : startPa / first.temperatureK
  // Each reading brought to the end temperature: a tight system then shows one and the same pressure throughout.
  const brought = hold.map((reading) =>
    endPressure(law, absolute(reading), reading.temperatureK, last.temperatureK),
  )
  const later = hold.filter((reading) => reading !== first)
  const gaugeChanged = later.some((reading) => reading.gaugeChanged === true)
  const thermometerChanged = later.some((reading) => reading.thermometerChanged === true)
  const pairTemperature = Math.abs(last.temperatureK - first.temperatureK)
  const idealPa = idealEndPressure({
    startPressurePa: startPa,
    startTemperatureK: first.temperatureK,
    endTemperatureK: last.temperatureK,
  })

  const { shortTermPa, resolutionPa } = test.gauge
  // A reading is never surer than its own step: a rounded value is off by up to half of it (k = 2 of a rectangle).
  const oneGauge2 = Math.max(shortTermPa, resolutionPa / Math.sqrt(3)) ** 2

  if (hold.length === 2 || gaugeChanged || thermometerChanged) {
    if (gaugeChanged || thermometerChanged) {
      notes.push({
        code: 'instrument-changed',
        text: say.trade.anInstrumentWasChanged,
      })
    }
    const gaugePart = gaugeChanged
      ? test.gauge.accuracyPa ** 2 + (test.secondGaugeAccuracyPa ?? test.gauge.accuracyPa) ** 2
      : 2 * oneGauge2
    const thermometerPart = thermometerChanged
      ? test.thermometer.accuracyK ** 2 + (test.secondThermometerAccuracyK ?? test.thermometer.accuracyK) ** 2
      : 2 * test.thermometer.shortTermK ** 2
    const expectedPa = brought[0] ?? startPa
    return {
      method: 'pair',
      expectedPa,
      idealPa,
      changePa: absolute(last) - expectedPa,
      uncertaintyPa: Math.sqrt(
        gaugePart + slope ** 2 * thermometerPart + (slope * following * pairTemperature) ** 2,
      ),
      roundingPa: gaugeChanged ? 0 : shortTermPa < resolutionPa ? resolutionPa : resolutionPa / 2,
      residuals: hold.map((reading) => ({ atMs: reading.atMs, residualPa: 0 })),
    }
  }

  const seconds = hold.map((reading) => (reading.atMs - first.atMs) / 1000)
  const spanS = (last.atMs - first.atMs) / 1000
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length
  const meanS = mean(seconds)
  const spread = seconds.reduce((sum, second) => sum + (second - meanS) ** 2, 0)
  const rate = (values: readonly number[]) =>
    values.reduce((sum, value, index) => sum + value * ((seconds[index] ?? 0) - meanS), 0) / spread
  const perSecond = rate(brought)
  const meanPa = mean(brought)
  const startFitPa = meanPa - perSecond * meanS
  const changePa = perSecond * spanS
  const residuals = hold.map((reading, index) => ({
    atMs: reading.atMs,
    residualPa: (brought[index] ?? 0) - (startFitPa + perSecond * (seconds[index] ?? 0)),
  }))
  const oneReading2 = oneGauge2 + (slope * test.thermometer.shortTermK) ** 2
  let noise2 = (oneReading2 * spanS ** 2) / spread
  // Readings that scatter more than their instruments explain (99 %) widen the uncertainty in proportion.
  const degrees = hold.length - 2
  const scatter = residuals.reduce((sum, { residualPa }) => sum + residualPa ** 2, 0)
  const standard2 = Math.max(oneReading2 / 4, 1e-12)
  if (chiSquareUpperTail(scatter / standard2, degrees) < 0.01) {
    notes.push({
      code: 'readings-scatter',
      text: say.trade.theReadingsScatterMore,
    })
    noise2 = Math.max(noise2, (4 * (scatter / degrees) * spanS ** 2) / spread)
  }
  const fittedTemperature = Math.abs(rate(hold.map((reading) => reading.temperatureK)) * spanS)
  const lag = slope * following * Math.max(pairTemperature, fittedTemperature)
  // The lag leans one way, so squares alone are too narrow once many readings have shrunk the rest; yet more readings
  // never make it less sure than the first and the last alone.
  const uncertaintyPa = Math.max(
    Math.hypot(Math.sqrt(noise2), lag),
    Math.min(
      oneSidedBound(Math.sqrt(noise2) / 2, lag),
      Math.sqrt(Math.max(noise2, 2 * oneReading2) + lag ** 2),
    ),
  )
  // Every reading rounded the worst way. Where readings scatter by a step or more, rounding is as random as the rest
  // and only the coarseness of few readings is left.
  const worstRounding =
    ((resolutionPa / 2) * spanS * seconds.reduce((sum, second) => sum + Math.abs(second - meanS), 0)) / spread
  const roundingPa =
    shortTermPa < resolutionPa ? worstRounding : worstRounding / (hold.length <= 3 ? 2 : hold.length)
  return {
    method: 'regression',
    expectedPa: startFitPa,
    idealPa: idealPa + (startFitPa - (brought[0] ?? startFitPa)),
    changePa,
    uncertaintyPa,
    roundingPa,
    residuals,
  }
}

/**
 * What the sum of a normal error (standard deviation `standard`) and a lag anywhere between 0 and `lag` exceeds in one case
 * of forty: the k = 2 bound of an effect that leans one way. By halving; exact to a millionth.
 */
function oneSidedBound(standard: number, lag: number): number {
  if (!(lag > 1e-9 * standard)) return 2 * standard
  if (!(standard > 1e-9 * lag)) return lag
  // The integral of the normal distribution function.
  const below = (z: number) => z * normalCdf(z) + Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI)
  const share = (bound: number) =>
    (standard / lag) * (below(bound / standard) - below((bound - lag) / standard))
  let low = 0
  let high = lag + 4 * standard
  while (high - low > 1e-6 * high) {
    const middle = (low + high) / 2
    if (share(middle) < 0.97725) low = middle
    else high = middle
  }
  return (low + high) / 2
}

/**
 * Hold time in s after which a leak of `leakRatePaM3PerS` (test gas) no longer gets `holds` (97.5 %): V·min(τ, 2U)/q.
 * The uncertainty is taken as it stands; a longer hold meets larger temperature changes.
 */
export function holdTimeToSee(input: {
  leakRatePaM3PerS: number
  volumeM3: number
  bandPa: number
  changeUncertaintyPa: number
}): number {
  requirePositive(say.trade.leakRate, input.leakRatePaM3PerS, 'Pa·m³/s')
  requirePositive(say.trade.volume, input.volumeM3, 'm³')
  requirePositive(say.trade.band, input.bandPa, 'Pa')
  requireNotNegative(say.trade.uncertainty, input.changeUncertaintyPa, 'Pa')
  return (input.volumeM3 * Math.min(input.bandPa, 2 * input.changeUncertaintyPa)) / input.leakRatePaM3PerS
}

/** The same for a loss in service, kg of refrigerant a year (an estimate: viscous scaling). */
export function holdTimeToSeeLoss(input: {
  kgPerYear: number
  refrigerant: RefrigerantName
  testGas?: TestGas | undefined
  testGaugePressurePa: number
  atmosphericPressurePa: number
  volumeM3: number
  bandPa: number
  changeUncertaintyPa: number
}): number {
  const leakRatePaM3PerS = pressureTestLeakFor({
    kgPerYear: requirePositive(say.trade.lossToSee, input.kgPerYear, 'kg/year'),
    refrigerant: input.refrigerant,
    testGas: input.testGas ?? 'nitrogen',
    testAbsolutePa: absoluteFromGauge(input.testGaugePressurePa, input.atmosphericPressurePa),
    atmosphericPa: input.atmosphericPressurePa,
  })
  return holdTimeToSee({ ...input, leakRatePaM3PerS })
}

/** Gauge pressure (Pa) that nitrogen filled to `gaugePressurePa` will show at the warmest temperature expected. */
export function gaugePressureAtWarmest(input: {
  gaugePressurePa: number
  temperatureK: number
  warmestTemperatureK: number
  atmosphericPressurePa: number
}): number {
  const end = endPressureAtConstantDensity({
    startPressurePa: absoluteFromGauge(input.gaugePressurePa, input.atmosphericPressurePa),
    startTemperatureK: input.temperatureK,
    endTemperatureK: input.warmestTemperatureK,
  })
  return gaugeFromAbsolute(end, input.atmosphericPressurePa)
}

/**
 * Highest gauge pressure (Pa) to fill nitrogen to at `temperatureK`, so that it stays below the limit, less the
 * gauge's limit of error, at the warmest temperature expected. Never above the limit less that error.
 */
export function highestFillGaugePressure(input: {
  limitPressurePa: number
  gaugeAccuracyPa: number
  temperatureK: number
  warmestTemperatureK: number
  atmosphericPressurePa: number
}): number {
  const top =
    requirePositive(say.trade.pressureLimit, input.limitPressurePa, 'Pa') -
    requireNotNegative(say.trade.gaugeAccuracy, input.gaugeAccuracyPa, 'Pa')
  requirePositive(say.trade.pressureLimitLessThe, top, 'Pa')
  if (input.warmestTemperatureK <= input.temperatureK) return top
  const atFill = endPressureAtConstantDensity({
    startPressurePa: absoluteFromGauge(top, input.atmosphericPressurePa),
    startTemperatureK: input.warmestTemperatureK,
    endTemperatureK: input.temperatureK,
  })
  return gaugeFromAbsolute(atFill, input.atmosphericPressurePa)
}
