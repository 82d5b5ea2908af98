// Does the running system show what its maker asks for? One judgement for the technician's answer and the hold point.

import { absoluteFromGauge } from '../trade/atmosphere.ts'
import { judgeDifference, subcooling, superheat, temperatureSplit } from '../trade/running-check.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import type { Range, RunningCheck, System } from './dossier.ts'
import type { Policy } from './policy.ts'
import { asSentence, minutes, quantity, sheetSource, span } from './wording.ts'

export interface MeasuredDifference {
  name: 'subcooling' | 'superheat' | 'temperature split'
  measuredK: number | null
  /** Null when the sheet gives no target. */
  range: { lowK: number; highK: number; source: string } | null
  verdict: 'within' | 'low' | 'high' | 'not-measured' | 'no-target'
}

export interface RunningJudgement {
  /**
   * `nothing-to-compare`: measured, but the sheet states no target, and none is built in.
   * `not-steady`, `incomplete`: something is missing that the judgement needs.
   */
  verdict: 'within' | 'outside' | 'nothing-to-compare' | 'not-steady' | 'incomplete' | 'not-possible'
  differences: MeasuredDifference[]
  steadyS: number | null
  requiredSteadyS: number
  reason: string
}

/** Default tolerances around a bare target: ducted systems only by origin, and marked so. */
const ductedSource = () => say.rules.toleranceCaliforniaResidential

function rangeOf(
  target: Range | null | undefined,
  toleranceK: number | null,
  sheet: System['sheet'],
): MeasuredDifference['range'] {
  if (!target || !sheet) return null
  const source = sheetSource(sheet)
  if (target.low !== target.high || toleranceK === null) {
    return { lowK: target.low, highK: target.high, source }
  }
  return {
    lowK: target.low - toleranceK,
    highK: target.high + toleranceK,
    source: `${source}; ${ductedSource()}`,
  }
}

/** A measured difference, or null when a reading is missing or lies outside the saturation tables. */
function measure(compute: () => number | null): number | null {
  try {
    const value = compute()
    return value !== null && Number.isFinite(value) ? value : null
  } catch {
    return null
  }
}

export function judgeRunningCheck(
  check: RunningCheck,
  system: Pick<System, 'sheet' | 'refrigerant' | 'atmosphericPressurePa'>,
  { running }: Policy,
): RunningJudgement {
  const { sheet, refrigerant } = system
  const absolute = (gaugePa: number) => absoluteFromGauge(gaugePa, system.atmosphericPressurePa)
  const subcoolingK = measure(() =>
    check.liquidLinePressureGaugePa === null || check.liquidLineTemperatureK === null
      ? null
      : subcooling({
          refrigerant,
          absolutePressurePa: absolute(check.liquidLinePressureGaugePa),
          temperatureK: check.liquidLineTemperatureK,
        }).subcoolingK,
  )
  const superheatK = measure(() =>
    check.suctionPressureGaugePa === null || check.suctionTemperatureK === null
      ? null
      : superheat({
          refrigerant,
          absolutePressurePa: absolute(check.suctionPressureGaugePa),
          temperatureK: check.suctionTemperatureK,
        }).superheatK,
  )
  const splitK = measure(() =>
    check.returnAirK === null || check.supplyAirK === null
      ? null
      : temperatureSplit({ mode: check.mode, returnAirK: check.returnAirK, supplyAirK: check.supplyAirK }),
  )
  const differences: MeasuredDifference[] = [
    judged('subcooling', subcoolingK, rangeOf(sheet?.subcoolingK, running.subcoolingToleranceK, sheet)),
    judged('superheat', superheatK, rangeOf(sheet?.superheatK, running.superheatToleranceK, sheet)),
    judged('temperature split', splitK, rangeOf(sheet?.temperatureSplitK, null, sheet)),
  ]
  const judgement = {
    differences,
    steadyS: check.steadyS,
    requiredSteadyS: running.steadyS,
  }
  if (check.notPossible) {
    return {
      ...judgement,
      verdict: 'not-possible',
      reason: say.rules.notPossible(asSentence(check.notPossible.reason)),
    }
  }
  const outside = differences.filter(({ verdict }) => verdict === 'low' || verdict === 'high')
  const steady = check.steadyS !== null && check.steadyS >= running.steadyS - 1e-9
  if (!steady) {
    const ran =
      check.steadyS === null ? say.rules.howLongItRan : say.rules.itRanSteadily(minutes(check.steadyS))
    return {
      ...judgement,
      verdict: 'not-steady',
      reason: say.rules.areAskedForBefore(ran, minutes(running.steadyS)),
    }
  }
  if (outside.length > 0) {
    return { ...judgement, verdict: 'outside', reason: outside.map(inWords).join(' ') }
  }
  const missing = differences.filter(({ verdict }) => verdict === 'not-measured')
  if (missing.length > 0) {
    const names = missing.map(({ name }) => name).join(say.rules.and2)
    return {
      ...judgement,
      verdict: 'incomplete',
      reason: say.rules.theEquipmentSheetStates(names),
    }
  }
  const within = differences.filter(({ verdict }) => verdict === 'within')
  if (within.length > 0) return { ...judgement, verdict: 'within', reason: within.map(inWords).join(' ') }
  if (differences.every(({ measuredK }) => measuredK === null)) {
    return { ...judgement, verdict: 'incomplete', reason: say.rules.nothingWasMeasuredWhile }
  }
  return {
    ...judgement,
    verdict: 'nothing-to-compare',
    reason: say.rules.theEquipmentSheetStatesNo,
  }
}

function judged(
  name: MeasuredDifference['name'],
  measuredK: number | null,
  range: MeasuredDifference['range'],
): MeasuredDifference {
  if (range === null) return { name, measuredK, range, verdict: 'no-target' }
  if (measuredK === null) return { name, measuredK, range, verdict: 'not-measured' }
  const { verdict } = judgeDifference({ measuredK, target: { lowK: range.lowK, highK: range.highK } })
  return { name, measuredK, range, verdict }
}

function inWords({ name, measuredK, range, verdict }: MeasuredDifference): string {
  const said = `${capital(coded(name))} ${quantity(measuredK ?? 0, 'K')}`
  if (range === null) return `${said}.`
  const relation = { within: say.rules.isWithin2, low: say.rules.isBelow2, high: say.rules.isAbove2 }[
    verdict as 'within' | 'low' | 'high'
  ]
  return `${said} ${relation} ${span(range.lowK, range.highK, 'K')}.`
}

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1)
