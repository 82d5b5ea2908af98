// Is an evacuated section tight and dry? One judgement for the technician's answer and for the hold point.

import { type EvacuationJudgement as CurveJudgement, judgeEvacuation } from '../trade/evacuation.ts'
import { serviceLossFromVacuum } from '../trade/leak-rate.ts'
import { say } from '../words/say.ts'
import type { Evacuation, Instrument, System } from './dossier.ts'
import { theVolumeSource, volumeUnderTest } from './judge-pressure-test.ts'
import { BUILT_IN_POLICY, type Policy } from './policy.ts'
import { remembered } from './remembered.ts'
import { sheetSource } from './wording.ts'

export interface VacuumCriterion {
  value: number
  source: string
}

export interface VacuumCriteria {
  targetPa: VacuumCriterion
  limitPa: VacuumCriterion
  holdS: VacuumCriterion
}

export interface EvacuationJudgement extends CurveJudgement {
  criteria: VacuumCriteria
  volumeM3: number | null
  volumeSource: string
  /** The leak rate as refrigerant lost in service, an estimate. */
  refrigerantKgPerYear: number | null
  /** What a slope that these readings can't see would lose in service, an estimate. */
  unseenRefrigerantKgPerYear: number | null
}

const judgeCurve = remembered(judgeEvacuation)

/** Taken where a vacuum gauge states no resolution: 5 micron (common practice, no source). */
const ASSUMED_RESOLUTION_PA = 0.667

const builtInSource = () => say.rules.iecUlCsa60335

/**
 * The sheet's figure, else the policy's. A company that set its own policy tighter than the built-in one is held to
 * it, whatever the sheet allows.
 */
function criterion(
  sheetFigure: { value: number | null | undefined; source: string } | null,
  own: number,
  builtIn: number,
  tighter: (a: number, b: number) => number,
): VacuumCriterion {
  const company = { value: own, source: own === builtIn ? builtInSource() : say.rules.theCompanysPolicy }
  if (sheetFigure?.value == null) return company
  const stated = { value: sheetFigure.value, source: sheetFigure.source }
  const tightened = own !== builtIn && tighter(own, builtIn) === own
  return tightened && tighter(own, stated.value) === own ? company : stated
}

export function vacuumCriteria(sheet: System['sheet'], { vacuum }: Policy): VacuumCriteria {
  const source = sheet ? sheetSource(sheet) : ''
  const builtIn = BUILT_IN_POLICY.vacuum
  const figure = (value: number | null | undefined) => (sheet ? { value, source } : null)
  return {
    targetPa: criterion(figure(sheet?.vacuumTargetPa), vacuum.targetPa, builtIn.targetPa, Math.min),
    limitPa: criterion(figure(sheet?.vacuumLimitPa), vacuum.limitPa, builtIn.limitPa, Math.min),
    holdS: criterion(figure(sheet?.vacuumHoldS), vacuum.holdS, builtIn.holdS, Math.max),
  }
}

export function judgeEvacuationTest(
  evacuation: Evacuation,
  system: System,
  { policy, instruments }: { policy: Policy; instruments: readonly Instrument[] },
): EvacuationJudgement {
  const criteria = vacuumCriteria(system.sheet, policy)
  const volumeM3 = volumeUnderTest(evacuation, system)
  const gaugeIds = new Set(
    evacuation.readings
      .filter((reading) => reading.phase === 'decay')
      .map((reading) => reading.instrumentId ?? evacuation.gaugeInstrumentId),
  )
  if (gaugeIds.size === 0) gaugeIds.add(evacuation.gaugeInstrumentId)
  const gauges = instruments.filter((instrument) => gaugeIds.has(instrument.id))
  // Of several gauges in one decay the coarsest governs.
  const resolution = Math.max(...gauges.map((gauge) => gauge.resolution ?? ASSUMED_RESOLUTION_PA))
  const context = { criteria, volumeM3, volumeSource: theVolumeSource() }
  try {
    const judged = judgeCurve({
      readings: evacuation.readings.map((reading) => ({
        atMs: reading.at,
        phase: reading.phase,
        pressurePa: reading.absolutePressurePa,
        temperatureK: reading.temperatureK ?? undefined,
      })),
      targetPa: criteria.targetPa.value,
      limitPa: criteria.limitPa.value,
      holdS: criteria.holdS.value,
      horizonS: policy.vacuum.horizonS,
      gaugeResolutionPa: gauges.length > 0 ? resolution : ASSUMED_RESOLUTION_PA,
      gaugeIsCompound: gauges.some((gauge) => gauge.compound),
      volumeM3: volumeM3 ?? undefined,
      policyLeakRatePaM3PerS: policy.vacuum.leakRatePaM3PerS ?? undefined,
    })
    const inService = (leakPaM3PerS: number | null) =>
      leakPaM3PerS === null
        ? null
        : serviceLossFromVacuum({
            refrigerant: system.refrigerant,
            leakPaM3PerS: Math.max(0, leakPaM3PerS),
            atmosphericPa: system.atmosphericPressurePa,
          })
    const unseen =
      volumeM3 === null || judged.unseenSlopePaPerS === null ? null : volumeM3 * judged.unseenSlopePaPerS
    return {
      ...judged,
      ...context,
      refrigerantKgPerYear: inService(judged.leakRatePaM3PerS),
      unseenRefrigerantKgPerYear: inService(unseen),
    }
  } catch (problem) {
    return { ...unjudged(problem), ...context, refrigerantKgPerYear: null, unseenRefrigerantKgPerYear: null }
  }
}

/** The answer when the readings lie outside what the arithmetic is valid for. */
function unjudged(problem: unknown): CurveJudgement {
  const because = problem instanceof Error ? problem.message : String(problem)
  return {
    verdict: 'cannot-tell',
    reasons: [{ code: 'too-few-readings', text: say.rules.theReadingsCantBe(because) }],
    notes: [],
    curve: null,
    fits: [],
    lowestPressurePa: null,
    riseInHoldPa: null,
    isolatedAtMs: null,
    holdS: 0,
    leakRatePaM3PerS: null,
    minutesToDecide: null,
    unseenSlopePaPerS: null,
    horizonUpperPa: null,
    waterCeilingPa: null,
    waterPhase: null,
  }
}
