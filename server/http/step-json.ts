// How are a make, its steps and what a torque came to written in an answer?

import type { StepAnswer } from '../commands/joints/record-step.ts'
import type { SeveralAnswer } from '../commands/joints/record-steps.ts'
import type { Make } from '../rules/dossier.ts'
import type { TorqueJudgement } from '../rules/judge-torque.ts'
import type { MakeRow, RecordedStep } from '../store/queries/joints.ts'
import type { AsTyped } from '../store/rows.ts'
import type { TorqueUnit } from '../trade/units.ts'
import { quantityJson, whoJson } from './json.ts'

export const makeJson = (make: MakeRow | Make) => ({
  id: make.id,
  jointId: make.jointId,
  jobId: make.jobId,
  number: make.number,
  reason: make.reason,
  ...whoJson(make),
})

export function severalJson({ steps }: SeveralAnswer) {
  return { steps: steps.map((answer) => ('step' in answer ? stepAnswerJson(answer) : answer)) }
}

export function stepAnswerJson(answer: StepAnswer) {
  const unit = (answer.step.typed.reading?.unit ?? 'N.m') as TorqueUnit
  return {
    ...stepJson(answer.step),
    entryId: answer.entryId,
    ...(answer.torque ? torqueJson(answer.torque, unit) : {}),
    next: answer.next,
  }
}

export const stepJson = (step: RecordedStep) => ({
  id: step.id,
  kind: step.kind,
  jobId: step.jobId,
  jointId: step.jointId,
  makeId: step.makeId,
  corrects: step.correctsId,
  ...stepFields(step),
  ...whoJson(step),
})

/** What a step was told by, under the names that its command knows. */
export const stepFields = (step: RecordedStep): Record<string, unknown> =>
  asSent(step.body as unknown as Record<string, unknown>, step.typed)

/** In the unit of the reading, which is the caller's own. */
export const torqueJson = (torque: TorqueJudgement, unit: TorqueUnit) => ({
  applied: quantityJson('torque', torque.appliedNm, unit),
  uncertainty: quantityJson('torque', torque.uncertaintyNm, unit),
  range: torque.range && {
    low: quantityJson('torque', torque.range.lowNm, unit),
    high: quantityJson('torque', torque.range.highNm, unit),
    source: torque.range.source,
  },
  acceptance: torque.acceptance && {
    low: quantityJson('torque', torque.acceptance.lowNm, unit),
    high: quantityJson('torque', torque.acceptance.highNm, unit),
  },
  probabilityInRange: torque.probabilityInRange,
  decisionRule: torque.decisionRule,
  recommendedSetting: quantityJson('torque', torque.recommendedSettingNm, unit),
  verdict: torque.verdict,
  // Not `reason`: that is what the person gave for a torque that was not measured.
  verdictReason: torque.reason,
})

/** The public names of what is kept in SI, and the unit it is answered in where nothing was typed. */
const QUANTITY_FIELDS: Record<string, { name: string; unit: string }> = {
  projectionM: { name: 'projection', unit: 'm' },
  outerDiameterM: { name: 'outerDiameter', unit: 'm' },
  readingNm: { name: 'reading', unit: 'N.m' },
  gaugePressurePa: { name: 'gaugePressure', unit: 'Pa' },
  // Never there without having been typed.
  sensitivityKgPerYear: { name: 'sensitivity', unit: 'g/yr' },

  offsetM: { name: 'offset', unit: 'm' },
  wrenchLengthM: { name: 'wrenchLength', unit: 'm' },
}
const RENAMED: Record<string, string> = { turnDegrees: 'angleDegrees' }

/** A step's body under its public names, each quantity as it was typed. */
function asSent(body: Record<string, unknown>, typed: AsTyped, path = ''): Record<string, unknown> {
  const sent: Record<string, unknown> = {}
  for (const [name, value] of Object.entries(body)) {
    const quantity = QUANTITY_FIELDS[name]
    if (quantity) {
      const at = path === '' ? quantity.name : `${path}.${quantity.name}`
      sent[quantity.name] = typed[at] ?? (value === null ? null : { value, unit: quantity.unit })
    } else if (name === 'points') Object.assign(sent, pointsJson(value as PointsBody))
    else if (name === 'adapter' && value !== null)
      sent[name] = asSent(value as Record<string, unknown>, typed, 'adapter')
    else sent[RENAMED[name] ?? name] = value
  }
  return sent
}

interface PointsBody {
  answers: Record<string, string>
  reasons: Record<string, string>
  allAsListed: boolean
}
const pointsJson = ({ answers, reasons, allAsListed }: PointsBody) => ({
  points: answers,
  reasons,
  allAsListed,
})
