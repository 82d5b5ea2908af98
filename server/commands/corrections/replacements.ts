// What may a fact be replaced by? The same fields it was recorded with; who and when stay unless said otherwise.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { missing, refusedByRule } from '../../refusals.ts'
import type { Provenance, Step } from '../../rules/dossier.ts'
import { chargeIn } from '../../store/queries/charges.ts'
import { findJointRow, type StepRow, toStep } from '../../store/queries/joints.ts'
import { runningCheckIn } from '../../store/queries/running-checks.ts'
import type { FactTable } from '../../store/record.ts'
import type { Scope } from '../../store/store.ts'
import type { Tables } from '../../store/tables/index.ts'
import { type JointKind, PRESSURE_STAGES, VACUUM_PHASES } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { recordCharge } from '../charging/record-charge.ts'
import { recordRunningCheck } from '../charging/record-running-check.ts'
import { type Context, parse } from '../command.ts'
import { id, moment } from '../fields.ts'
import { assertInstrument } from '../joints/record-step.ts'
import { STEP_INPUTS, type StepContent } from '../joints/step-inputs.ts'
import { notFuture, provenanceOf, whoAndWhen } from '../provenance.ts'
import { asTyped, gaugePressure, temperature } from '../quantities.ts'
import { GAUGES, instrumentFor } from '../section-tests/set-up.ts'

/** What a corrected fact belongs to, by the page that it stands on. */
export type CorrectedKind = 'joint' | 'pressure-test' | 'evacuation' | 'charge' | 'running-check'

export interface Replacement {
  table: FactTable
  kind: CorrectedKind
  /** The row to append; its `correctsId` names what it replaces. */
  row: { id: string } & Record<string, unknown>
  /** The same as the rules look at it, to be put in the original's place. */
  asFact: Record<string, unknown>
  systemId: string
  jobId: string
  subjectId: string
}

/** Only what was measured or seen is corrected; what happened to the job as a whole has its own ways back. */
export async function replacementFor(
  scope: Scope,
  context: Context,
  table: FactTable,
  factId: string,
  given: unknown,
): Promise<Replacement> {
  switch (table) {
    case 'steps':
      return stepReplacement(scope, context, factId, given)
    case 'sectionReadings':
      return readingReplacement(scope, context, factId, given)
    case 'charges':
      return chargeReplacement(scope, context, factId, given)
    case 'runningChecks':
      return runningCheckReplacement(scope, context, factId, given)
    default:
      throw refusedByRule('not-correctable', say.corrections.stepsReadingsChargesAnd)
  }
}

async function stepReplacement(
  scope: Scope,
  context: Context,
  factId: string,
  given: unknown,
): Promise<Replacement> {
  const original = await findRow<StepRow>(scope, 'steps', factId)
  const { fields, contentOf } = STEP_INPUTS[original.kind]
  const input = parse(z.strictObject({ ...fields, ...whoAndWhen }), given)
  const { kind: joint } = await findJointRow(scope, original.jointId)
  const content = (contentOf as (input: unknown, joint: JointKind) => StepContent<Step['body']>)(input, joint)
  await assertInstrument(scope, content)
  const row: StepRow = {
    ...original,
    id: context.newId(),
    body: content.body,
    typed: asTyped(input),
    instrumentId: content.instrument?.id ?? null,
    correctsId: original.id,
    ...(await keptProvenance(scope, context, original, input)),
  }
  return {
    table: 'steps',
    kind: 'joint',
    row,
    asFact: { ...toStep(row) },
    systemId: original.systemId,
    jobId: original.jobId,
    subjectId: original.jointId,
  }
}

const readingFields = z.strictObject({
  at: moment.optional(),
  stage: z.enum(PRESSURE_STAGES).optional(),
  phase: z.enum(VACUUM_PHASES).optional(),
  gaugePressure: gaugePressure().optional(),
  absolutePressure: gaugePressure({ min: 0, max: 1e6 }).optional(),
  temperature: temperature().optional(),
  instrumentId: id.optional(),
  thermometerInstrumentId: id.optional(),
})

async function readingReplacement(
  scope: Scope,
  context: Context,
  factId: string,
  given: unknown,
): Promise<Replacement> {
  const original = await findRow<Tables['sectionReadings']['$inferSelect']>(scope, 'sectionReadings', factId)
  const { db, t, companyId } = scope
  const [test] = await db
    .select()
    .from(t.sectionTests)
    .where(and(eq(t.sectionTests.companyId, companyId), eq(t.sectionTests.id, original.testId)))
  if (!test) throw missing(say.corrections.theTestOfThis)
  const input = parse(readingFields, given)
  const isPressure = test.kind === 'pressure'
  const pressure = isPressure ? input.gaugePressure : input.absolutePressure
  if (input.instrumentId !== undefined)
    await instrumentFor(scope, 'instrumentId', input.instrumentId, GAUGES[test.kind])
  if (input.thermometerInstrumentId !== undefined)
    await instrumentFor(scope, 'thermometerInstrumentId', input.thermometerInstrumentId, ['thermometer'])
  const row = {
    ...original,
    id: context.newId(),
    at: input.at === undefined ? original.at : notFuture('at', input.at, context.now),
    phase: (isPressure ? input.stage : input.phase) ?? original.phase,
    pressurePa: pressure?.si ?? original.pressurePa,
    temperatureK: input.temperature?.si ?? original.temperatureK,
    instrumentId: input.instrumentId ?? original.instrumentId,
    thermometerInstrumentId: input.thermometerInstrumentId ?? original.thermometerInstrumentId,
    typed: { ...original.typed, ...asTyped(input) },
    correctsId: original.id,
    recordedBy: context.actor.memberId,
    recordedAt: context.now,
    deviceAt: context.deviceAt,
  }
  const { pressurePa, phase, at, temperatureK, instrumentId, thermometerInstrumentId } = row
  const common = { id: row.id, at, temperatureK, instrumentId, correctedAt: context.now }
  return {
    table: 'sectionReadings',
    kind: isPressure ? 'pressure-test' : 'evacuation',
    row,
    asFact: isPressure
      ? { ...common, stage: phase, gaugePressurePa: pressurePa, thermometerInstrumentId }
      : { ...common, phase, absolutePressurePa: pressurePa },
    systemId: test.systemId,
    jobId: test.jobId,
    subjectId: test.id,
  }
}

const chargeFields = recordCharge.input.omit({ id: true, systemId: true, jobId: true })

async function chargeReplacement(
  scope: Scope,
  context: Context,
  factId: string,
  given: unknown,
): Promise<Replacement> {
  const original = await findRow<Tables['charges']['$inferSelect']>(scope, 'charges', factId)
  const input = parse(chargeFields, given)
  if (input.scaleInstrumentId !== undefined)
    await instrumentFor(scope, 'scaleInstrumentId', input.scaleInstrumentId, ['scale'])
  const row = {
    ...original,
    id: context.newId(),
    direction: input.direction,
    massKg: input.mass?.si ?? null,
    scaleInstrumentId: input.scaleInstrumentId ?? null,
    source: input.source ?? null,
    cylinderId: input.cylinderId ?? null,
    typed: asTyped(input),
    correctsId: original.id,
    ...(await keptProvenance(scope, context, original, input)),
  }
  return {
    table: 'charges',
    kind: 'charge',
    row,
    asFact: { ...chargeIn(row) },
    systemId: original.systemId,
    jobId: original.jobId,
    subjectId: (await firstRecording(scope, 'charges', original.id)).id,
  }
}

const runningFields = recordRunningCheck.input.omit({ id: true, systemId: true, jobId: true })

async function runningCheckReplacement(
  scope: Scope,
  context: Context,
  factId: string,
  given: unknown,
): Promise<Replacement> {
  const original = await findRow<Tables['runningChecks']['$inferSelect']>(scope, 'runningChecks', factId)
  const input = parse(runningFields, given)
  const row = {
    ...original,
    id: context.newId(),
    mode: input.mode,
    measured: {
      steadyS: input.steadyMinutes === undefined ? null : input.steadyMinutes * 60,
      liquidLinePressureGaugePa: input.liquidLinePressure?.si ?? null,
      liquidLineTemperatureK: input.liquidLineTemperature?.si ?? null,
      suctionPressureGaugePa: input.suctionPressure?.si ?? null,
      suctionTemperatureK: input.suctionTemperature?.si ?? null,
      supplyAirK: input.supplyAir?.si ?? null,
      returnAirK: input.returnAir?.si ?? null,
      ambientK: input.ambient?.si ?? null,
      notPossible: input.notPossible ?? null,
    },
    typed: asTyped(input),
    correctsId: original.id,
    ...(await keptProvenance(scope, context, original, input)),
  }
  return {
    table: 'runningChecks',
    kind: 'running-check',
    row,
    asFact: { ...runningCheckIn(row) },
    systemId: original.systemId,
    jobId: original.jobId,
    subjectId: (await firstRecording(scope, 'runningChecks', original.id)).id,
  }
}

/** Who did it and when stay as they were said, unless the correction is about just that. */
async function keptProvenance(
  scope: Scope,
  context: Context,
  original: Provenance,
  input: Parameters<typeof provenanceOf>[1],
): Promise<Provenance> {
  return provenanceOf(
    scope,
    {
      performedBy: input.performedBy ?? original.performedBy,
      supervisedBy: input.supervisedBy ?? original.supervisedBy ?? undefined,
      witnessedBy: input.witnessedBy ?? original.witnessedBy ?? undefined,
      performedAt: input.performedAt ?? original.performedAt,
    },
    context,
  )
}

/**
 * Who recorded it first, and when: a correction that stands is itself corrected later, and must not begin the time
 * for slips anew.
 */
export async function firstRecording(
  scope: Scope,
  table: FactTable,
  factId: string,
): Promise<Pick<Provenance, 'recordedBy' | 'recordedAt'> & { id: string }> {
  let row = await findRow<StepRow>(scope, table as Correctable, factId)
  while (row.correctsId !== null) row = await findRow<StepRow>(scope, table as Correctable, row.correctsId)
  return row
}

type Correctable = 'steps' | 'sectionReadings' | 'charges' | 'runningChecks'

async function findRow<Row>(scope: Scope, table: Correctable, id: string) {
  const { db, t, companyId } = scope
  // The four tables share the columns that are asked for here.
  const facts = t[table] as unknown as Tables['steps']
  const [row] = await db
    .select()
    .from(facts)
    .where(and(eq(facts.companyId, companyId), eq(facts.id, id)))
  if (!row) throw missing(say.corrections.whatThisEntryRecorded)
  return row as unknown as Row
}
