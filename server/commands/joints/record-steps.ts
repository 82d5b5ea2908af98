// The commands that record a make's steps, one for each kind, and several at once, all or nothing.

import { z } from 'zod'
import { conflict, malformed, Refusal } from '../../refusals.ts'
import type { Step } from '../../rules/dossier.ts'
import { currentMake } from '../../rules/scope.ts'
import { findJointRow, withMakes } from '../../store/queries/joints.ts'
import type { Scope } from '../../store/store.ts'
import type { JointKind, StepKind } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { type Context, defineCommand } from '../command.ts'
import { id, ownId } from '../fields.ts'
import { findOpenJobOn } from '../jobs/job-turns.ts'
import { whoAndWhen } from '../provenance.ts'
import { appendStep, assertInstrument, recordStep, type StepAnswer } from './record-step.ts'
import { withRunningPressure } from './running-pressure.ts'
import { startMakeOf } from './start-make.ts'
import {
  assemblyFields,
  assemblyOf,
  brazingFields,
  brazingOf,
  closingFields,
  closingOf,
  flareFields,
  flareOf,
  inspectionFields,
  inspectionOf,
  leakCheckFields,
  leakCheckOf,
  preparationFields,
  preparationOf,
  pressingFields,
  pressingOf,
  type StepContent,
  torqueFields,
  torqueOf,
} from './step-inputs.ts'

const common = { id: ownId, jobId: id.optional(), ...whoAndWhen }

/** A command that records one kind of step for a make. */
function stepCommand<const Fields extends z.core.$ZodShape>(
  kind: StepKind,
  summary: string,
  fields: Fields,
  contentOf: (input: z.output<z.ZodObject<Fields>>, joint: JointKind) => StepContent<Step['body']>,
) {
  const input = z.strictObject({ makeId: id, ...common, ...fields })
  return defineCommand({
    name: `record-${kind}`,
    summary,
    capability: 'record-work',
    input,
    handle(scope, given, context): Promise<StepAnswer> {
      // The generic fields are all in there; zod's types can't say so through a spread of a type parameter.
      const known = given as unknown as z.output<z.ZodObject<Fields>> &
        z.output<z.ZodObject<typeof common>> & {
          makeId: string
        }
      return recordStep(scope, context, kind, known.makeId, known, (joint) => contentOf(known, joint))
    },
  })
}

export const recordPreparation = stepCommand(
  'preparation',
  'Record how a tube end was prepared.',
  preparationFields,
  preparationOf,
)
export const recordFlare = stepCommand('flare', 'Record how a flare was formed.', flareFields, flareOf)
export const recordBrazing = stepCommand(
  'brazing',
  'Record how a joint was brazed.',
  brazingFields,
  brazingOf,
)
export const recordPressing = stepCommand(
  'pressing',
  'Record how a joint was pressed.',
  pressingFields,
  pressingOf,
)
export const recordInspection = stepCommand(
  'inspection',
  'Record the inspection of a flare: accepted or rejected.',
  inspectionFields,
  inspectionOf,
)
export const recordAssembly = stepCommand(
  'assembly',
  'Record how a joint was assembled.',
  assemblyFields,
  assemblyOf,
)
export const recordTorque = stepCommand(
  'torque',
  'Record a torque; it is judged in the joint’s own range.',
  torqueFields,
  torqueOf,
)
export const recordClosing = stepCommand(
  'closing',
  'Record that a port or cap was closed.',
  closingFields,
  closingOf,
)
export const recordLeakCheck = stepCommand(
  'leak-check',
  'Record a leak check of a make.',
  leakCheckFields,
  leakCheckOf,
)

const jointLeakCheckInput = z.strictObject({
  jointId: id,
  id: ownId,
  jobId: id.optional(),
  ...whoAndWhen,
  ...leakCheckFields,
})

/** A leak check of the joint as it stands, made here or not. */
export const recordJointLeakCheck = defineCommand({
  name: 'record-joint-leak-check',
  summary: 'Record a leak check of a joint, whether it was made on this job or not.',
  capability: 'record-work',
  input: jointLeakCheckInput,
  async handle(scope, given, context): Promise<StepAnswer> {
    const row = await findJointRow(scope, given.jointId)
    const joint = await withMakes(scope, row)
    const make = currentMake(joint)
    const content = leakCheckOf(given)
    if (make) return recordStep(scope, context, 'leak-check', make.id, given, () => content)
    const jobId = given.jobId
    if (jobId === undefined) throw malformed([{ path: 'jobId', message: say.joints.sayOnWhichJob }])
    await findOpenJobOn(scope, jobId, row.systemId)
    if (joint.retiredAt !== null) throw conflict('joint-retired', say.joints.thisJointWasRetiredThere)
    await assertInstrument(scope, content)
    const { step, seal } = await appendStep(scope, context, row, {
      kind: 'leak-check',
      makeId: null,
      jobId,
      input: given,
      content: await withRunningPressure(scope, context, row, {
        kind: 'leak-check',
        jobId,
        performedAt: given.performedAt,
        content,
      }),
    })
    const entryId = context.record({
      chainId: row.systemId,
      kind: 'leak-check-recorded',
      subjectId: row.id,
      jobId,
      facts: [seal],
      isNotMet: step.kind === 'leak-check' && step.body.result === 'found',
    })
    return {
      step,
      entryId,
      torque: null,
      next: { step: null, reason: say.joints.theLeakCheckOf },
    }
  },
})

/** The job stands in the address, once for all of them. */
const ofEach = { id: ownId, ...whoAndWhen }
const several = z.discriminatedUnion('step', [
  z.strictObject({
    step: z.literal('make'),
    jointId: id,
    ...ofEach,
    reason: z.string().max(2000).optional(),
  }),
  z.strictObject({ step: z.literal('preparation'), makeId: id, ...ofEach, ...preparationFields }),
  z.strictObject({ step: z.literal('flare'), makeId: id, ...ofEach, ...flareFields }),
  z.strictObject({ step: z.literal('brazing'), makeId: id, ...ofEach, ...brazingFields }),
  z.strictObject({ step: z.literal('pressing'), makeId: id, ...ofEach, ...pressingFields }),
  z.strictObject({ step: z.literal('inspection'), makeId: id, ...ofEach, ...inspectionFields }),
  z.strictObject({ step: z.literal('assembly'), makeId: id, ...ofEach, ...assemblyFields }),
  z.strictObject({ step: z.literal('torque'), makeId: id, ...ofEach, ...torqueFields }),
  z.strictObject({ step: z.literal('closing'), makeId: id, ...ofEach, ...closingFields }),
  z.strictObject({ step: z.literal('leak-check'), makeId: id, ...ofEach, ...leakCheckFields }),
])
type OneOfSeveral = z.output<typeof several>

export interface SeveralAnswer {
  steps: (StepAnswer | { makeId: string; jointId: string; number: number })[]
}

/** Both joints at one unit, in one go: in the order given, all or nothing. */
export const recordSeveral = defineCommand({
  name: 'record-steps',
  summary: 'Record several steps in order, all or nothing.',
  capability: 'record-work',
  input: z.strictObject({ jobId: id, steps: z.array(several).min(1, 'Send at least one step.').max(100) }),
  async handle(scope, input, context): Promise<SeveralAnswer> {
    const steps: SeveralAnswer['steps'] = []
    for (const [index, given] of input.steps.entries()) {
      try {
        steps.push(await one(scope, context, input.jobId, given))
      } catch (problem) {
        throw within(problem, `steps.${index}`)
      }
    }
    return { steps }
  },
})

async function one(scope: Scope, context: Context, jobId: string, given: OneOfSeveral) {
  if (given.step === 'make') {
    const { step: _, ...rest } = given
    const make = await startMakeOf(scope, { ...rest, jobId }, context)
    return { makeId: make.id, jointId: make.jointId, number: make.number }
  }
  const content = (joint: JointKind) => contentOf(given, joint)
  return recordStep(scope, context, given.step, given.makeId, { ...given, jobId }, content)
}

function contentOf(
  given: Exclude<OneOfSeveral, { step: 'make' }>,
  joint: JointKind,
): StepContent<Step['body']> {
  switch (given.step) {
    case 'preparation':
      return preparationOf(given, joint)
    case 'flare':
      return flareOf(given)
    case 'brazing':
      return brazingOf(given)
    case 'pressing':
      return pressingOf(given)
    case 'inspection':
      return inspectionOf(given, joint)
    case 'assembly':
      return assemblyOf(given, joint)
    case 'torque':
      return torqueOf(given)
    case 'closing':
      return closingOf(given, joint)
    case 'leak-check':
      return leakCheckOf(given)
  }
}

/** The same refusal, with its fields' paths seen from the whole. */
function within(problem: unknown, prefix: string): unknown {
  if (!(problem instanceof Refusal)) return problem
  const errors =
    problem.errors.length > 0
      ? problem.errors.map((error) => ({ ...error, path: `${prefix}.${error.path}` }))
      : [{ path: prefix, message: problem.message }]
  return new Refusal(problem.kind, problem.code, problem.message, { errors, findings: problem.findings })
}
