// How is one step of a make recorded? In order, on an open job, with the instrument it was done with.

import { conflict, malformedField, missing, missingField } from '../../refusals.ts'
import type { Instrument, Joint, Make, Step } from '../../rules/dossier.ts'
import { type Judging, judgeTorqueStep, type TorqueJudgement } from '../../rules/judge-torque.ts'
import { isNotMetByItself } from '../../rules/not-met-by-itself.ts'
import { type NextStep, nextStep, whyNotNow } from '../../rules/scope.ts'
import { findInstrumentBare, listInstrumentsById } from '../../store/queries/instruments-used.ts'
import {
  findMakeAtWork,
  type JointRow,
  type MakeAtWork,
  type RecordedStep,
  toStep,
  withMakes,
} from '../../store/queries/joints.ts'
import { findPolicy } from '../../store/queries/policy.ts'
import { findSheetFigures } from '../../store/queries/sheets-used.ts'
import { appendFact, type FactSeal } from '../../store/record.ts'
import { keepLivesAfterStep } from '../../store/rollups.ts'
import type { Scope } from '../../store/store.ts'
import type { JointKind, StepKind } from '../../vocabulary.ts'
import { coded } from '../../words/coded.ts'
import { say } from '../../words/say.ts'
import type { Context } from '../command.ts'
import { assertOpen, findOpenJobOn } from '../jobs/job-turns.ts'
import { provenanceOf } from '../provenance.ts'
import { asTyped } from '../quantities.ts'
import { withRunningPressure } from './running-pressure.ts'
import type { StepContent } from './step-inputs.ts'

export interface StepAnswer {
  step: RecordedStep
  /** The entry in the system's record; what a correction names. */
  entryId: string
  /** How a torque was judged, at the moment of entry. */
  torque: TorqueJudgement | null
  /** What to record next for this make. */
  next: NextStep
}

/** The fields of a step's input that are the same for every kind. */
export interface StepInput {
  id?: string | undefined
  /** The job on which it is done; left out, the job that the make belongs to. */
  jobId?: string | undefined
  performedBy?: string | undefined
  supervisedBy?: string | undefined
  witnessedBy?: string | undefined
  performedAt?: number | undefined
}

export async function recordStep(
  scope: Scope,
  context: Context,
  kind: StepKind,
  makeId: string,
  input: StepInput,
  contentOf: (joint: JointKind) => StepContent<Step['body']>,
): Promise<StepAnswer> {
  const at = await findMakeAtWork(scope, makeId)
  const jobId = input.jobId ?? at.make.jobId
  await assertWorkAllowed(scope, at, jobId)
  const content = contentOf(at.joint.kind)
  const instrument = await assertInstrument(scope, content)
  const joint = await withMakes(scope, at.joint)
  const make = makeIn(joint, makeId)
  const judging = await judgingFor(scope, at.sheetId, joint, instrument)

  const refusal = whyNotNow(kind, joint, make, judging)
  if (refusal) throw conflict('step-out-of-order', refusal)

  const { performedAt } = input
  const { step, seal } = await appendStep(scope, context, at.joint, {
    kind,
    makeId,
    jobId,
    input,
    content: await withRunningPressure(scope, context, at.joint, { kind, jobId, performedAt, content }),
  })
  const torque = step.kind === 'torque' ? judgeTorqueStep(joint, step.body, judging) : null
  const entryId = context.record({
    chainId: at.joint.systemId,
    kind: `${kind}-recorded`,
    subjectId: joint.id,
    jobId,
    facts: [seal],
    isNotMet: isNotMetByItself(step, joint, judging.sheet, torque?.verdict ?? null),
  })
  make.steps.push(step)
  if (step.kind === 'leak-check') joint.leakChecks.push(step)
  return {
    step,
    entryId,
    torque,
    next: nextStep(joint, make, judging),
  }
}

/** The steps that say how a joint was made, where time in service is looked at. */
const TELLING: ReadonlySet<StepKind> = new Set(['flare', 'inspection', 'torque'])

/** Inserts the step; its entry is the caller's, and nothing is checked here. */
export async function appendStep(
  scope: Scope,
  context: Context,
  joint: JointRow,
  given: {
    kind: StepKind
    makeId: string | null
    jobId: string
    input: StepInput
    content: StepContent<Step['body']>
    correctsId?: string
  },
): Promise<{ step: RecordedStep; seal: FactSeal }> {
  const row = {
    companyId: scope.companyId,
    id: given.input.id ?? context.newId(),
    systemId: joint.systemId,
    jointId: joint.id,
    makeId: given.makeId,
    jobId: given.jobId,
    kind: given.kind,
    body: given.content.body,
    typed: asTyped(given.input),
    instrumentId: given.content.instrument?.id ?? null,
    correctsId: given.correctsId ?? null,
    ...(await provenanceOf(scope, given.input, context)),
  }
  const seal = await appendFact(scope, 'steps', row)
  if (TELLING.has(given.kind)) await keepLivesAfterStep(scope, joint.id)
  return { step: toStep(row), seal }
}

/** Refuses on a sealed or submitted job, and on a job that the joint's system is no part of. */
async function assertWorkAllowed(scope: Scope, at: MakeAtWork, jobId: string): Promise<void> {
  // The common case has been read already; SQLite's one writer lets nothing slip in since.
  if (scope.dialect === 'sqlite' && jobId === at.make.jobId) assertOpen({ stage: at.jobStage })
  else await findOpenJobOn(scope, jobId, at.joint.systemId)
}

export async function assertInstrument(
  scope: Scope,
  { instrument }: Pick<StepContent<unknown>, 'instrument'>,
): Promise<Instrument | null> {
  if (!instrument) return null
  const found = await findInstrumentBare(scope, instrument.id)
  if (!found) throw missingField(instrument.path, say.joints.thisInstrument)
  if (!instrument.kinds.includes(found.kind))
    throw malformedField(
      instrument.path,
      say.joints.isAThisNeeds(found.name, coded(found.kind), instrument.kinds.map(coded).join(say.joints.or)),
    )
  return found
}

export function makeIn(joint: Joint, makeId: string): Make {
  const make = joint.makes.find((candidate) => candidate.id === makeId)
  if (!make) throw missing(say.joints.thisMaking)
  return make
}

/** What a joint's torques are judged by: criteria, sheet, and the wrenches that were used on it. */
export async function judgingFor(
  scope: Scope,
  sheetId: string | null,
  joint: Joint,
  atHand: Instrument | null,
): Promise<Judging> {
  const { criteria } = await findPolicy(scope)
  const wrenchIds = joint.makes
    .flatMap((make) => make.steps)
    .flatMap((step) => (step.kind === 'torque' && step.body.instrumentId ? [step.body.instrumentId] : []))
    .filter((id) => id !== atHand?.id)
  const others = wrenchIds.length > 0 ? await listInstrumentsById(scope, wrenchIds) : []
  return {
    policy: criteria,
    sheet: await findSheetFigures(scope, sheetId),
    instruments: atHand ? [...others, atHand] : others,
  }
}
