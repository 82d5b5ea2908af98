// Which joints were sent to be looked at again, by which job and why, and how were they checked themselves?

import { and, asc, eq, inArray } from 'drizzle-orm'
import type { LeakCheckBody } from '../../rules/dossier.ts'
import type { JobStage, LeakCheckMethod } from '../../vocabulary.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import { effective } from './effective.ts'

export type FollowUpRow = Tables['followUps']['$inferSelect']

/** Ids in one question: no database takes more parameters than that needs. */
const AT_ONCE = 500

const inParts = <Item>(items: readonly Item[]): Item[][] =>
  Array.from({ length: Math.ceil(items.length / AT_ONCE) }, (_, index) =>
    items.slice(index * AT_ONCE, (index + 1) * AT_ONCE),
  )

/** By joint, the last job that was opened to look at it again; one that is not sealed yet stands before one that is. */
export async function listFollowUpsOf(
  { db, t, companyId }: Scope,
  jointIds: readonly string[],
): Promise<Map<string, { jobId: string; stage: JobStage; openedAt: number }>> {
  const found = new Map<string, { jobId: string; stage: JobStage; openedAt: number }>()
  for (const some of inParts(jointIds)) {
    const rows = await db
      .select({
        jointId: t.followUps.jointId,
        jobId: t.followUps.jobId,
        stage: t.jobs.stage,
        openedAt: t.followUps.openedAt,
      })
      .from(t.followUps)
      .innerJoin(t.jobs, and(eq(t.jobs.companyId, t.followUps.companyId), eq(t.jobs.id, t.followUps.jobId)))
      .where(and(eq(t.followUps.companyId, companyId), inArray(t.followUps.jointId, some)))
      .orderBy(asc(t.followUps.openedAt), asc(t.followUps.id))
    for (const { jointId, ...row } of rows) {
      const before = found.get(jointId)
      if (!before || before.stage === 'sealed' || row.stage !== 'sealed') found.set(jointId, row)
    }
  }
  return found
}

/** A joint that a job is to look at again. */
export interface JointToLookAt extends FollowUpRow {
  tag: string
  place: string
  systemId: string
}

export async function listFollowUpsOfJob(
  { db, t, companyId }: Scope,
  jobId: string,
): Promise<JointToLookAt[]> {
  const rows = await db
    .select({ row: t.followUps, tag: t.joints.tag, place: t.joints.place, systemId: t.joints.systemId })
    .from(t.followUps)
    .innerJoin(
      t.joints,
      and(eq(t.joints.companyId, t.followUps.companyId), eq(t.joints.id, t.followUps.jointId)),
    )
    .where(and(eq(t.followUps.companyId, companyId), eq(t.followUps.jobId, jobId)))
    .orderBy(asc(t.joints.tagLower), asc(t.followUps.id))
  return rows.map(({ row, ...joint }) => ({ ...row, ...joint }))
}

/** By joint, how it was checked last by itself with nothing found, and when; corrections applied. */
export async function listTightChecks(
  scope: Scope,
  jointIds: readonly string[],
): Promise<Map<string, { method: LeakCheckMethod; at: number }>> {
  const { db, t, companyId } = scope
  const checks = new Map<string, { method: LeakCheckMethod; at: number }>()
  for (const some of inParts(jointIds)) {
    const rows = await db
      .select({
        id: t.steps.id,
        jointId: t.steps.jointId,
        correctsId: t.steps.correctsId,
        body: t.steps.body,
        at: t.steps.performedAt,
      })
      .from(t.steps)
      .where(
        and(eq(t.steps.companyId, companyId), inArray(t.steps.jointId, some), eq(t.steps.kind, 'leak-check')),
      )
      .orderBy(asc(t.steps.performedAt), asc(t.steps.id))
    for (const { jointId, body, at } of await effective(scope, rows)) {
      const { method, result } = body as LeakCheckBody
      if (result === 'none-found') checks.set(jointId, { method, at })
    }
  }
  return checks
}
