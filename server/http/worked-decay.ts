// By which steps was a decay judged? The four shapes with their figures, the choice, and what it was held against.

import type { WorkedProps, WorkedStep } from '../../views/parts/worked.tsx'
import type { EvacuationJudgement } from '../rules/judge-evacuation.ts'
import type { EvacuationFit } from '../trade/evacuation.ts'
import { formatNumber, fromSi, type PressureUnit, UNIT_LABELS } from '../trade/units.ts'
import { figure } from './calculator.ts'

const SHAPES: Record<EvacuationFit['kind'], { name: string; formula: string }> = {
  level: { name: 'level', formula: 'p = p_0' },
  line: { name: 'straight', formula: 'p = p_0 + a · t' },
  saturating: { name: 'flattening', formula: 'p = p_0 + b · (1 − e^{−t/θ})' },
  both: { name: 'flattening with a climb', formula: 'p = p_0 + b · (1 − e^{−t/θ}) + a · t' },
}

export function decaySteps(decay: {
  judgement: EvacuationJudgement
  unit: PressureUnit
  horizonS: number
}): WorkedProps {
  const { judgement, unit } = decay
  const wordOf = (pressurePa: number) => figure(fromSi('pressure', pressurePa, unit), 3)
  const label = UNIT_LABELS[unit]
  const steps: WorkedStep[] = judgement.fits.map((fit) => ({
    says: `The ${SHAPES[fit.kind].name} curve, by least squares${
      fit.aiccDifference === null
        ? ''
        : fit.aiccDifference === 0
          ? ': it explains most with least (smallest AICc), so it is taken'
          : `: AICc larger by ${formatNumber(Number(fit.aiccDifference.toFixed(1)))}`
    }.`,
    formula: SHAPES[fit.kind].formula,
    numbers: [
      `p = ${curveOf(fit, wordOf)} ${label}${fit.kind === 'level' ? '' : ', t in minutes'}`,
      ...(fit.kind === 'line' || fit.kind === 'both'
        ? [
            `a at least ${wordOf(fit.risePaPerS.low * 60)}, at most ${wordOf(fit.risePaPerS.high * 60)} (95 %)`,
          ]
        : []),
      ...(fit.plateauPa === null ? [] : [`level p_0 + b = ${wordOf(fit.plateauPa.estimate)} ${label}`]),
    ].join('; '),
  }))
  if (judgement.horizonUpperPa !== null) {
    steps.push({
      says: `What the pressure does not pass by ${formatNumber(decay.horizonS / 60)} min, whichever curve is true (95 %), against the limit.`,
      formula: 'tight: p_upper < limit',
      numbers: `p_upper = ${wordOf(judgement.horizonUpperPa)} ${label}; limit = ${wordOf(judgement.criteria.limitPa.value)} ${label}`,
    })
  }
  if (judgement.waterCeilingPa !== null) {
    steps.push({
      says: `Moisture can’t rise above the vapour pressure of ${judgement.waterPhase === 'ice' ? 'ice' : 'water'} at the warmest part.`,
      numbers: `${wordOf(judgement.waterCeilingPa)} ${label}`,
    })
  }
  if (judgement.volumeM3 !== null && judgement.leakRatePaM3PerS !== null && judgement.curve !== null) {
    steps.push({
      says: 'The steady climb times the volume is a leak.',
      formula: 'q = V · a',
      numbers: `q = ${figure(judgement.volumeM3 * 1000)} L · ${figure(Math.max(0, judgement.curve.risePaPerS), 3)} Pa/s = ${figure(judgement.leakRatePaM3PerS, 3)} Pa·m³/s`,
    })
  }
  if (steps.length === 0)
    steps.push({ says: 'Fewer than three readings after it was isolated: nothing to fit.' })
  return {
    steps,
    source:
      'AICc: Hurvich & Tsai 1989, from memory; water: IAPWS; horizon of 60 min: common practice, no source',
    validity:
      'All four curves need seven readings. It tells dry from wet first; slow leaks need the check joint by joint.',
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
