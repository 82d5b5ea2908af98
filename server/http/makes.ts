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
} from '../commands/joints/record-steps.ts'
import { startMake } from '../commands/joints/start-make.ts'
import { newId } from '../ids.ts'
import { expand, type Fields } from './form.ts'
import { jointPageAgain } from './joint-page.ts'
import type { Ask, Resource } from './resource.ts'
import { makeJson, severalJson, stepAnswerJson } from './step-json.ts'

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
    page: {
      input: (fields) => (fields._step === 'ports' ? portsAndCaps(fields) : bothJoints(fields)),
      goTo: ({ steps }, ask) => {
        const first = steps[0]
        const jointId = first && 'step' in first ? first.step.jointId : first?.jointId
        return `/joints/${jointId}?job=${ask.params.jobId}#next`
      },
      again: (form, refusal, ask) => {
        const [jointId = ''] = (form.values._joint ?? '').split(' ')
        const errors = form.errors.map((error) => ({
          ...error,
          path: error.path.replace(/^steps\.\d+\./, ''),
        }))
        return jointPageAgain(ask, { jointId }, { ...form, errors }, refusal)
      },
    },
  })
}

/** One form for the ports and caps of a line set: each is closed, then checked. */
function portsAndCaps(fields: Fields): { steps: Record<string, unknown>[] } {
  const { points, reasons, allAsListed, ...check } = stepFields(fields)
  return {
    steps: (fields._both ?? '').split(' ').flatMap((pair) => {
      // A makeless port is given its make's id by the form, so that the form sent twice says the same twice.
      const [jointId = '', known, fresh = newId(), without = ''] = pair.split(':')
      const makeId = known || fresh
      return [
        ...(known ? [] : [{ step: 'make', id: makeId, jointId }]),
        {
          step: 'closing',
          makeId,
          ...(allAsListed
            ? { allAsListed }
            : { points: withoutThose(points, without), reasons: withoutThose(reasons, without) }),
        },
        { step: 'leak-check', makeId, ...check },
      ]
    }),
  }
}

const withoutThose = (answers: unknown, codes: string) =>
  answers && Object.fromEntries(Object.entries(answers).filter(([code]) => !codes.split(',').includes(code)))

/**
 * One form for both joints at a unit. The button says which two, and whether all is as listed; every other field
 * holds for both.
 */
function bothJoints(fields: Fields): { steps: Record<string, unknown>[] } {
  const [one = '', other = '', all] = (fields._both ?? '').split(' ')
  const { id: _id, jobId: _jobId, allAsListed: _all, ...body } = expand(fields)
  // To start makes: `joint:make`, so that whoever sent it knows what to record the next step for.
  const about = (id: string) => {
    const [jointId, makeId] = id.split(':')
    return fields._step === 'make' ? { jointId, ...(makeId ? { id: makeId } : {}) } : { makeId: id }
  }
  return {
    steps: [one, other].map((id) => ({
      ...body,
      ...about(id),
      step: fields._step,
      ...(all === 'all' ? { allAsListed: true } : {}),
    })),
  }
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
