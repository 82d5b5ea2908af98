// By which steps was a decay judged? The four shapes with their figures, the choice, and what it was held against.

import type { WorkedProps, WorkedStep } from '../../views/parts/worked.tsx'
import type { EvacuationJudgement } from '../rules/judge-evacuation.ts'
import type { EvacuationFit } from '../trade/evacuation.ts'
import { formatNumber, fromSi, type PressureUnit, UNIT_LABELS } from '../trade/units.ts'
import { say } from '../words/say.ts'
import { figure } from './calculator.ts'

const shapes = (): Record<EvacuationFit['kind'], { name: string; formula: string }> => ({
  level: { name: say.worked.levelShape, formula: 'p = p_0' },
  line: { name: say.worked.straightShape, formula: 'p = p_0 + a · t' },
  saturating: { name: say.worked.flatteningShape, formula: 'p = p_0 + b · (1 − e^{−t/θ})' },
  both: { name: say.worked.flatteningWithClimb, formula: 'p = p_0 + b · (1 − e^{−t/θ}) + a · t' },
})

export function decaySteps(decay: {
  judgement: EvacuationJudgement
  unit: PressureUnit
  horizonS: number
}): WorkedProps {
  const { judgement, unit } = decay
  const wordOf = (pressurePa: number) => figure(fromSi('pressure', pressurePa, unit), 3)
  const label = UNIT_LABELS[unit]
  const steps: WorkedStep[] = judgement.fits.map((fit) => ({
    says: say.worked.theCurveByLeast(
      shapes()[fit.kind].name,
      fit.aiccDifference === null
        ? ''
        : fit.aiccDifference === 0
          ? say.worked.itExplainsMostWith
          : say.worked.aiccLargerBy(formatNumber(Number(fit.aiccDifference.toFixed(1)))),
    ),
    formula: shapes()[fit.kind].formula,
    numbers: [
      `p = ${curveOf(fit, wordOf)} ${label}${fit.kind === 'level' ? '' : say.worked.tInMinutes}`,
      ...(fit.kind === 'line' || fit.kind === 'both'
        ? [say.worked.aAtLeastAt(wordOf(fit.risePaPerS.low * 60), wordOf(fit.risePaPerS.high * 60))]
        : []),
      ...(fit.plateauPa === null ? [] : [say.worked.levelP0B(wordOf(fit.plateauPa.estimate), label)]),
    ].join('; '),
  }))
  if (judgement.horizonUpperPa !== null) {
    steps.push({
      says: say.worked.whatThePressureDoes(formatNumber(decay.horizonS / 60)),
      formula: say.worked.tightPUpperLimit,
      numbers: say.worked.pUpperLimit(
        wordOf(judgement.horizonUpperPa),
        label,
        wordOf(judgement.criteria.limitPa.value),
        label,
      ),
    })
  }
  if (judgement.waterCeilingPa !== null) {
    steps.push({
      says: say.worked.moistureCantRiseAbove(
        judgement.waterPhase === 'ice' ? say.worked.ice : say.worked.water,
      ),
      numbers: `${wordOf(judgement.waterCeilingPa)} ${label}`,
    })
  }
  if (judgement.volumeM3 !== null && judgement.leakRatePaM3PerS !== null && judgement.curve !== null) {
    steps.push({
      says: say.worked.theSteadyClimbTimes,
      formula: 'q = V · a',
      numbers: `q = ${figure(judgement.volumeM3 * 1000)} L · ${figure(Math.max(0, judgement.curve.risePaPerS), 3)} Pa/s = ${figure(judgement.leakRatePaM3PerS, 3)} Pa·m³/s`,
    })
  }
  if (steps.length === 0) steps.push({ says: say.worked.fewerThanThreeReadings })
  return {
    steps,
    source: say.worked.aiccHurvichTsai1989,
    validity: say.worked.allFourCurvesNeed,
    methodHref: '/methods/evacuation',
  }
}

/** The shape with its figures: "310 + 430 · (1 − e^{−t/3.4}) + 0.03 · t". */
function curveOf(fit: EvacuationFit, wordOf: (pressurePa: number) => string): string {
  // What rounding leaves of a part that is not there is nothing.
  const least = 1e-9 * Math.abs(fit.startPressurePa)
  const signed = (value: number) =>
    Math.abs(value) < least ? ' + 0' : value < 0 ? ` − ${wordOf(-value)}` : ` + ${wordOf(value)}`
  const bend =
    fit.plateauPa === null || fit.timeConstantS === null
      ? ''
      : `${signed(fit.plateauPa.estimate - fit.startPressurePa)} · (1 − e^{−t/${figure(fit.timeConstantS / 60, 3)}})`
  const climb =
    fit.kind === 'line' || fit.kind === 'both' ? `${signed(fit.risePaPerS.estimate * 60)} · t` : ''
  return `${wordOf(fit.startPressurePa)}${bend}${climb}`
}
