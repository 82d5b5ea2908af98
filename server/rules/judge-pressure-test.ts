// Did a section hold its test pressure? One judgement for the technician's answer and for the hold point.

import { gaugeFromAbsolute } from '../trade/atmosphere.ts'
import { saturationPressure } from '../trade/saturation.ts'
import {
  judgeStandingPressure,
  type StandingPressureJudgement,
  shortTermUncertainty,
} from '../trade/standing-pressure.ts'
import { tubeVolumeM3 } from '../trade/tube.ts'
import { say } from '../words/say.ts'
import type { Instrument, PressureReading, PressureTest, System } from './dossier.ts'
import { ASSUMED_ERROR, errorOf } from './instrument-error.ts'
import type { Policy } from './policy.ts'
import { remembered } from './remembered.ts'
import { standingLines } from './scope.ts'
import { liesIn, type SectionTest } from './staleness.ts'
import { sheetSource } from './wording.ts'

export interface PressureLimit {
  pressurePa: number
  source: string
}

export interface PressureTestJudgement extends StandingPressureJudgement {
  /** The gauge pressure to start the hold from. */
  required: PressureLimit | null
  /** The lowest gauge pressure that a part under test must not be taken above; null when none is known. */
  limit: PressureLimit | null
  requiredHoldS: number
  /** Inner volume of the tubes under test, m³; null when it is not known. */
  volumeM3: number | null
  volumeSource: string
  gaugeSource: string
  thermometerSource: string
}

const judgeHold = remembered(judgeStandingPressure)

/** 80 °F: low sides are designed for at least the saturation pressure at it (ASHRAE 15, from memory). */
const LEAST_DESIGN_TEMPERATURE_K = 299.82

/**
 * The test pressure: the sheet's; without one, the least design pressure of a low side, so that a test at a few bar
 * is not taken for one.
 */
export function requiredTestPressure(
  system: Pick<System, 'sheet' | 'refrigerant' | 'atmosphericPressurePa'>,
): PressureLimit | null {
  const { sheet } = system
  if (sheet?.testPressureGaugePa != null) {
    return { pressurePa: sheet.testPressureGaugePa, source: sheetSource(sheet) }
  }
  const saturated = saturationPressure(system.refrigerant, 'bubble', LEAST_DESIGN_TEMPERATURE_K)
  return {
    pressurePa: gaugeFromAbsolute(saturated, system.atmosphericPressurePa),
    source: say.rules.saturatedAt267(system.refrigerant),
  }
}

/** The pressure not to be exceeded: the sheet's highest, which is the only limit on record for every part. */
export function pressureLimit(system: Pick<System, 'sheet'>): PressureLimit | null {
  const { sheet } = system
  return sheet?.maxPressureGaugePa != null
    ? { pressurePa: sheet.maxPressureGaugePa, source: sheetSource(sheet) }
    : null
}

/** Inner volume of the tubes under test; units add theirs, but no sheet states it. Null when a tube is unknown. */
export function volumeUnderTest(
  test: Pick<SectionTest, 'covers' | 'throughOutdoorUnit'> & { performedAt?: number },
  system: Pick<System, 'lineSets' | 'joints'>,
): number | null {
  const covered = new Set(test.covers.filter(({ kind }) => kind === 'line-set').map(({ id }) => id))
  for (const joint of system.joints) {
    if (joint.lineSetId !== null && liesIn(test, joint)) covered.add(joint.lineSetId)
  }
  const lines = standingLines(system, test.performedAt).filter(
    (line) => test.covers.length === 0 || covered.has(line.id),
  )
  if (lines.length === 0) return null
  try {
    const volume = lines.reduce((sum, line) => {
      const wallM = line.tubeWallM ?? undefined
      return (
        sum +
        tubeVolumeM3({ odM: line.liquidOdM, wallM, lengthM: line.lengthM }) +
        tubeVolumeM3({ odM: line.gasOdM, wallM, lengthM: line.lengthM })
      )
    }, 0)
    return volume > 0 ? volume : null
  } catch {
    // A tube of no listed size and without a stated wall: a guess would be worse than no leak rate.
    return null
  }
}

export const theVolumeSource = () => say.rules.tubesUnderTestBy

export function judgePressureTest(
  test: PressureTest,
  system: System,
  { policy, instruments }: { policy: Policy; instruments: readonly Instrument[] },
): PressureTestJudgement {
  const find = (id: string | null) => instruments.find((instrument) => instrument.id === id)
  const gaugeOf = (reading: PressureReading) => reading.instrumentId ?? test.gaugeInstrumentId
  const thermometerOf = (reading: PressureReading) =>
    reading.thermometerInstrumentId ?? test.thermometerInstrumentId
  const readings = [...test.readings].sort((a, b) => a.at - b.at)
  const hold = readings.filter((reading) => reading.stage === 'hold')
  const [first] = hold
  const startPa = first?.gaugePressurePa ?? 0

  const gaugeIds = hold.map(gaugeOf)
  const gauge = errorOf(find(gaugeIds[0] ?? test.gaugeInstrumentId), startPa, {
    fraction: ASSUMED_ERROR.gaugeFraction,
  })
  const secondGaugeId = gaugeIds.find((id) => id !== gaugeIds[0])
  const thermometerIds = hold.map(thermometerOf)
  const thermometer = errorOf(find(thermometerIds[0] ?? test.thermometerInstrumentId), 0, {
    absolute: ASSUMED_ERROR.thermometerK,
  })
  const secondThermometerId = thermometerIds.find((id) => id !== thermometerIds[0])

  const required = orNull(() => requiredTestPressure(system))
  const limit = pressureLimit(system)
  const volumeM3 = volumeUnderTest(test, system)
  const context = {
    required,
    limit,
    requiredHoldS: policy.pressure.holdS,
    volumeM3,
    volumeSource: theVolumeSource(),
    gaugeSource: gauge.source,
    thermometerSource: thermometer.source,
  }
  try {
    const judgement = judgeHold({
      readings: readings.map((reading) => ({
        atMs: reading.at,
        stage: reading.stage,
        gaugePressurePa: reading.gaugePressurePa,
        temperatureK: reading.temperatureK,
        gaugeChanged: reading.stage === 'hold' && gaugeOf(reading) !== gaugeIds[0],
        thermometerChanged: reading.stage === 'hold' && thermometerOf(reading) !== thermometerIds[0],
      })),
      medium: test.medium,
      tracer: test.tracer ? { gas: test.tracer.kind, fraction: test.tracer.fraction } : undefined,
      atmosphericPressurePa: test.atmosphericPressurePa,
      gauge: {
        accuracyPa: gauge.accuracy,
        resolutionPa: gauge.resolution,
        shortTermPa: shortTermUncertainty(gauge),
      },
      thermometer: { accuracyK: thermometer.accuracy, shortTermK: shortTermUncertainty(thermometer) },
      secondGaugeAccuracyPa:
        secondGaugeId === undefined
          ? undefined
          : errorOf(find(secondGaugeId), startPa, { fraction: ASSUMED_ERROR.gaugeFraction }).accuracy,
      secondThermometerAccuracyK:
        secondThermometerId === undefined
          ? undefined
          : errorOf(find(secondThermometerId ?? null), 0, { absolute: ASSUMED_ERROR.thermometerK }).accuracy,
      requiredPressurePa: required?.pressurePa,
      limitPressurePa: limit?.pressurePa,
      requiredHoldS: policy.pressure.holdS,
      settleS: policy.pressure.settleS,
      bandPa: first
        ? Math.max(policy.pressure.bandFraction * startPa, policy.pressure.bandMinimumPa)
        : undefined,
      // In the sun the tube and what the sensor feels part company altogether.
      temperatureFollowing: test.conditions === 'sun' ? 1 : policy.pressure.temperatureFollowing,
      volumeM3: volumeM3 ?? undefined,
      refrigerant: system.refrigerant,
    })
    return { ...judgement, ...context }
  } catch (problem) {
    return { ...unjudged(problem), ...context }
  }
}

function orNull<T>(compute: () => T): T | null {
  try {
    return compute()
  } catch {
    return null
  }
}

/** The answer when the readings lie outside what the arithmetic is valid for. */
function unjudged(problem: unknown): StandingPressureJudgement {
  const because = problem instanceof Error ? problem.message : String(problem)
  return {
    verdict: 'cannot-tell',
    reasons: [{ code: 'reading-outside-validity', text: say.rules.theReadingsCantBe(because) }],
    notes: [],
    law: 'real-gas-nitrogen',
    method: null,
    expectedGaugePressurePa: null,
    idealGasGaugePressurePa: null,
    changePa: null,
    changeUncertaintyPa: null,
    bandPa: null,
    fallProven: false,
    leakRatePaM3PerS: null,
    smallestSeenLeakPaM3PerS: null,
    refrigerantKgPerYear: null,
    smallestSeenRefrigerantKgPerYear: null,
    startAtMs: null,
    endAtMs: null,
    holdS: 0,
    startGaugePressurePa: null,
    endGaugePressurePa: null,
    reached: false,
    overLimit: 'no',
    residuals: [],
    roundingPa: null,
  }
}
