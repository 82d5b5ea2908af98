// The makes of a joint and the steps recorded for them.

import type { z } from 'zod'
import type { Command } from '../commands/command.ts'
import type { StepAnswer } from '../commands/joints/record-step.ts'
import {
  recordAssembly,
  recordBrazing,
  recordClosing,
  recordFlare,
  recordInspection,
  recordJointLeakCheck,
  recordLeakCheck,
  recordPreparation,
  recordPressing,
  recordSeveral,
  recordTorque,
  type SeveralAnswer,
} from '../commands/joints/record-steps.ts'
import { startMake } from '../commands/joints/start-make.ts'
import type { Make } from '../rules/dossier.ts'
import type { TorqueJudgement } from '../rules/judge-torque.ts'
import type { MakeRow, RecordedStep } from '../store/queries/joints.ts'
import type { AsTyped } from '../store/rows.ts'
import type { TorqueUnit } from '../trade/units.ts'
import { expand, type Fields } from './form.ts'
import { jointPageAgain } from './joints.ts'
import { quantityJson, whoJson } from './json.ts'
import type { Ask, Resource } from './resource.ts'

export function makesResource(resource: Resource): void {
  resource.write({
    path: '/joints/:jointId/makes',
    command: startMake,
    status: 201,
    json: makeJson,
    page: {
      goTo: (make) => `/joints/${make.jointId}?job=${make.jobId}#next`,
      again: (form, refusal, ask) =>
        jointPageAgain(ask, { jointId: ask.params.jointId ?? '' }, form, refusal),
    },
  })

  step(resource, 'preparation', recordPreparation)
  step(resource, 'flare', recordFlare)
  step(resource, 'brazing', recordBrazing)
  step(resource, 'pressing', recordPressing)
  step(resource, 'inspection', recordInspection)
  step(resource, 'assembly', recordAssembly)
  step(resource, 'torque', recordTorque)
  step(resource, 'closing', recordClosing)
  step(resource, 'leak-check', recordLeakCheck)

  resource.write({
    path: '/joints/:jointId/leak-checks',
    command: recordJointLeakCheck,
    status: 201,
    json: stepAnswerJson,
    page: {
      input: stepFields,
      goTo: (answer) => `/joints/${answer.step.jointId}?job=${answer.step.jobId}#next`,
      again: (form, refusal, ask) =>
        jointPageAgain(ask, { jointId: ask.params.jointId ?? '' }, form, refusal),
    },
  })

  resource.write({
    path: '/jobs/:jobId/steps',
    command: recordSeveral,
    status: 201,
    wraps: 'steps',
    json: severalJson,
  })
}

function step<Schema extends z.ZodType>(
  resource: Resource,
  name: string,
  command: Command<Schema, StepAnswer>,
) {
  resource.write({
    path: `/makes/:makeId/${name}`,
    command,
    status: 201,
    json: stepAnswerJson,
    page: {
      input: stepFields,
      goTo: (answer) => `/joints/${answer.step.jointId}?job=${answer.step.jobId}#next`,
      again: (form, refusal, ask: Ask) =>
        jointPageAgain(ask, { makeId: ask.params.makeId ?? '' }, form, refusal),
    },
  })
}

/** The button "All as listed" posts a word where a program says true. */
function stepFields(fields: Fields): Record<string, unknown> {
  const { allAsListed, ...rest } = expand(fields)
  if (allAsListed === 'true') return { ...rest, allAsListed: true }
  return rest
}

export const makeJson = (make: MakeRow | Make) => ({
  id: make.id,
  jointId: make.jointId,
  jobId: make.jobId,
  number: make.number,
  reason: make.reason,
  ...whoJson(make),
})

function severalJson({ steps }: SeveralAnswer) {
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
  ...asSent(step.body as unknown as Record<string, unknown>, step.typed),
  ...whoJson(step),
})

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
  reason: torque.reason,
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
