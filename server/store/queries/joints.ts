// What is known of each joint? Its makes and steps, as the rules and the pages look at them.

import { and, asc, eq, inArray, sql } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import type { Joint, LeakCheckStep, Make, Provenance, Step } from '../../rules/dossier.ts'
import type { JobStage } from '../../vocabulary.ts'
import { prepared } from '../prepared.ts'
import type { AsTyped } from '../rows.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import { effective } from './effective.ts'
import { grouped } from './grouped.ts'

export type JointRow = Tables['joints']['$inferSelect']
export type MakeRow = Tables['makes']['$inferSelect']
export type StepRow = Tables['steps']['$inferSelect']

/** A step with what was typed for it. */
export type RecordedStep = Step & { typed: AsTyped }

export async function findJointRow(scope: Scope, jointId: string): Promise<JointRow> {
  const [row] = await prepared<JointRow>(scope, 'joint_by_id', ({ db, t }) =>
    db
      .select()
      .from(t.joints)
      .where(
        and(eq(t.joints.companyId, sql.placeholder('companyId')), eq(t.joints.id, sql.placeholder('id'))),
      ),
  ).execute({ companyId: scope.companyId, id: jointId })
  if (!row) throw missing('This joint')
  return row
}

export interface MakeAtWork {
  make: MakeRow
  joint: JointRow
  sheetId: string | null
  jobStage: JobStage
}

/** A make with its joint, its system's sheet and its job's stage, in one question: what every step begins with. */
export async function findMakeAtWork(scope: Scope, makeId: string): Promise<MakeAtWork> {
  const [row] = await prepared<MakeAtWork>(scope, 'make_at_work', ({ db, t }) =>
    db
      .select({
        make: t.makes,
        joint: t.joints,
        sheetId: t.systems.equipmentSheetId,
        jobStage: t.jobs.stage,
      })
      .from(t.makes)
      .innerJoin(t.joints, and(eq(t.joints.companyId, t.makes.companyId), eq(t.joints.id, t.makes.jointId)))
      .innerJoin(
        t.systems,
        and(eq(t.systems.companyId, t.joints.companyId), eq(t.systems.id, t.joints.systemId)),
      )
      .innerJoin(t.jobs, and(eq(t.jobs.companyId, t.makes.companyId), eq(t.jobs.id, t.makes.jobId)))
      .where(and(eq(t.makes.companyId, sql.placeholder('companyId')), eq(t.makes.id, sql.placeholder('id')))),
  ).execute({ companyId: scope.companyId, id: makeId })
  if (!row) throw missing('This making')
  return row
}

/** One joint with everything made and recorded of it. */
export async function findJoint(scope: Scope, jointId: string): Promise<Joint> {
  const row = await findJointRow(scope, jointId)
  return withMakes(scope, row)
}

export async function withMakes(scope: Scope, row: JointRow): Promise<Joint> {
  const key = { companyId: scope.companyId, jointId: row.id }
  const makes = await prepared<MakeRow>(scope, 'makes_of_joint', ({ db, t }) =>
    db
      .select()
      .from(t.makes)
      .where(
        and(
          eq(t.makes.companyId, sql.placeholder('companyId')),
          eq(t.makes.jointId, sql.placeholder('jointId')),
        ),
      )
      .orderBy(asc(t.makes.number)),
  ).execute(key)
  const steps = await prepared<StepRow>(scope, 'steps_of_joint', ({ db, t }) =>
    db
      .select()
      .from(t.steps)
      .where(
        and(
          eq(t.steps.companyId, sql.placeholder('companyId')),
          eq(t.steps.jointId, sql.placeholder('jointId')),
        ),
      )
      .orderBy(asc(t.steps.performedAt), asc(t.steps.id)),
  ).execute(key)
  const [retired] = await prepared<{ retiredAt: number }>(scope, 'retirement_of_joint', ({ db, t }) =>
    db
      .select({ retiredAt: t.jointRetirements.retiredAt })
      .from(t.jointRetirements)
      .where(
        and(
          eq(t.jointRetirements.companyId, sql.placeholder('companyId')),
          eq(t.jointRetirements.jointId, sql.placeholder('jointId')),
        ),
      ),
  ).execute(key)
  return assemble(row, makes, await effective(scope, steps), retired?.retiredAt ?? null)
}

/** All joints of some systems, or these of them, by system, in the order of their numbers. */
export async function listJoints(
  scope: Scope,
  systemIds: string[],
  only?: readonly string[],
): Promise<Map<string, Joint[]>> {
  const found = new Map<string, Joint[]>(systemIds.map((id) => [id, []]))
  if (systemIds.length === 0) return found
  const { db, t, companyId } = scope
  const rows = await db
    .select()
    .from(t.joints)
    .where(
      and(
        eq(t.joints.companyId, companyId),
        inArray(t.joints.systemId, systemIds),
        only ? inArray(t.joints.id, [...only]) : undefined,
      ),
    )
    .orderBy(asc(t.joints.number))
  // By their ids: a join from the makes would walk through every make of the company.
  const jointIds = rows.map((row) => row.id)
  const makes = await db
    .select()
    .from(t.makes)
    .where(and(eq(t.makes.companyId, companyId), inArray(t.makes.jointId, jointIds)))
    .orderBy(asc(t.makes.number))
  const steps = await db
    .select()
    .from(t.steps)
    .where(
      and(
        eq(t.steps.companyId, companyId),
        only ? inArray(t.steps.jointId, [...only]) : inArray(t.steps.systemId, systemIds),
      ),
    )
    .orderBy(asc(t.steps.performedAt), asc(t.steps.id))
  const retirements = await db
    .select({ jointId: t.jointRetirements.jointId, retiredAt: t.jointRetirements.retiredAt })
    .from(t.jointRetirements)
    .where(and(eq(t.jointRetirements.companyId, companyId), inArray(t.jointRetirements.jointId, jointIds)))
  const makesOf = grouped(makes, (make) => make.jointId)
  const stepsOf = grouped(await effective(scope, steps), (step) => step.jointId)
  const retiredAt = new Map(retirements.map((row) => [row.jointId, row.retiredAt]))
  for (const row of rows) {
    const joint = assemble(
      row,
      makesOf.get(row.id) ?? [],
      stepsOf.get(row.id) ?? [],
      retiredAt.get(row.id) ?? null,
    )
    found.get(row.systemId)?.push(joint)
  }
  return found
}

function assemble(row: JointRow, makes: MakeRow[], steps: StepRow[], retiredAt: number | null): Joint {
  const recorded = steps.map(toStep)
  return {
    id: row.id,
    tag: row.tag,
    lineSetId: row.lineSetId,
    unitId: row.unitId,
    place: row.place,
    indoors: row.indoors,
    line: row.line,
    tubeOdM: row.tubeOdM,
    kind: row.kind,
    origin: row.origin,
    retiredAt,
    makes: makes.map(
      (make): Make => ({
        id: make.id,
        jointId: make.jointId,
        jobId: make.jobId,
        number: make.number,
        reason: make.reason,
        ...provenanceIn(make),
        steps: recorded.filter((step) => step.makeId === make.id),
      }),
    ),
    leakChecks: recorded.filter(
      (step): step is LeakCheckStep & { typed: AsTyped } => step.kind === 'leak-check',
    ),
  }
}

/** The kind says which shape the body has; the commands are what keeps the two together. */
export const toStep = (row: StepRow): RecordedStep =>
  ({
    id: row.id,
    kind: row.kind,
    jobId: row.jobId,
    jointId: row.jointId,
    makeId: row.makeId,
    correctsId: row.correctsId,
    body: row.body,
    typed: row.typed,
    ...provenanceIn(row),
  }) as RecordedStep

export function provenanceIn(row: Provenance): Provenance {
  return {
    performedBy: row.performedBy,
    supervisedBy: row.supervisedBy,
    witnessedBy: row.witnessedBy,
    performedAt: row.performedAt,
    recordedBy: row.recordedBy,
    recordedAt: row.recordedAt,
    deviceAt: row.deviceAt,
  }
}
