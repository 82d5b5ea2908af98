// What does the register have of a job, as it is asked while the job is judged?

import { and, asc, desc, eq, inArray, isNull, notInArray, sql } from 'drizzle-orm'
import type { Registered } from '../../rules/register.ts'
import type { RequirementCode } from '../../vocabulary.ts'
import { prepared } from '../prepared.ts'
import type { Scope } from '../store.ts'

export type OpenOnJob = Pick<Registered, 'requirement' | 'subjectId'>

/** What is open on a job. Asked at each write on it, so it is made once. */
export async function listOpenOnJob(scope: Scope, jobId: string): Promise<OpenOnJob[]> {
  return prepared<OpenOnJob>(scope, 'open_on_job', ({ db, t }) =>
    db
      .select({ requirement: t.nonconformities.requirement, subjectId: t.nonconformities.subjectId })
      .from(t.nonconformities)
      .leftJoin(
        t.nonconformityDisposals,
        and(
          eq(t.nonconformityDisposals.companyId, t.nonconformities.companyId),
          eq(t.nonconformityDisposals.nonconformityId, t.nonconformities.id),
        ),
      )
      .where(
        and(
          eq(t.nonconformities.companyId, sql.placeholder('companyId')),
          eq(t.nonconformities.jobId, sql.placeholder('jobId')),
          isNull(t.nonconformityDisposals.id),
        ),
      )
      .orderBy(asc(t.nonconformities.foundAt), asc(t.nonconformities.id)),
  ).execute({ companyId: scope.companyId, jobId })
}

export async function listRegistered({ db, t, companyId }: Scope, jobId: string): Promise<Registered[]> {
  return db
    .select({
      id: t.nonconformities.id,
      requirement: t.nonconformities.requirement,
      subjectId: t.nonconformities.subjectId,
      evidence: t.nonconformities.evidence,
      policyVersion: t.nonconformities.policyVersion,
      disposition: t.nonconformityDisposals.disposition,
      disposedAt: t.nonconformityDisposals.disposedAt,
    })
    .from(t.nonconformities)
    .leftJoin(
      t.nonconformityDisposals,
      and(
        eq(t.nonconformityDisposals.companyId, companyId),
        eq(t.nonconformityDisposals.nonconformityId, t.nonconformities.id),
      ),
    )
    .where(and(eq(t.nonconformities.companyId, companyId), eq(t.nonconformities.jobId, jobId)))
    .orderBy(asc(t.nonconformities.foundAt), asc(t.nonconformities.id))
}

/** The concession in force for it: the last one granted. */
export async function findGrantedConcession(
  { db, t, companyId }: Scope,
  of: { jobId: string; requirement: RequirementCode; subjectId: string },
): Promise<string | null> {
  const [row] = await db
    .select({ id: t.concessions.id })
    .from(t.concessions)
    .where(
      and(
        eq(t.concessions.companyId, companyId),
        eq(t.concessions.jobId, of.jobId),
        eq(t.concessions.requirement, of.requirement),
        eq(t.concessions.subjectId, of.subjectId),
        eq(t.concessions.granted, true),
      ),
    )
    .orderBy(desc(t.concessions.decidedAt), desc(t.concessions.id))
    .limit(1)
  return row?.id ?? null
}

/** Whether the register has anything of the job, open or not. */
export async function hasNonconformity({ db, t, companyId }: Scope, jobId: string): Promise<boolean> {
  const rows = await db
    .select({ id: t.nonconformities.id })
    .from(t.nonconformities)
    .where(and(eq(t.nonconformities.companyId, companyId), eq(t.nonconformities.jobId, jobId)))
    .limit(1)
  return rows.length > 0
}

/** Every job of the company, the oldest first. */
export async function listJobIds({ db, t, companyId }: Scope): Promise<string[]> {
  const rows = await db
    .select({ id: t.jobs.id })
    .from(t.jobs)
    .where(eq(t.jobs.companyId, companyId))
    .orderBy(asc(t.jobs.openedAt), asc(t.jobs.id))
  return rows.map(({ id }) => id)
}

export interface Moment {
  id: string
  kind: string
  at: number
  memberId: string
}

/** When something was entered on a job's systems, in order; what the server or the register itself entered is left out. */
export async function listMomentsOfJob(
  { db, t, companyId }: Scope,
  jobId: string,
  systemIds: readonly string[],
): Promise<Moment[]> {
  if (systemIds.length === 0) return []
  const rows = await db
    .select({ id: t.entries.id, kind: t.entries.kind, at: t.entries.at, memberId: t.entries.memberId })
    .from(t.entries)
    .where(
      and(
        eq(t.entries.companyId, companyId),
        inArray(t.entries.chainId, [...systemIds]),
        eq(t.entries.jobId, jobId),
        notInArray(t.entries.kind, ['nonconformity-found', 'nonconformity-disposed']),
      ),
    )
    .orderBy(asc(t.entries.at), asc(t.entries.number), asc(t.entries.id))
  return rows.flatMap(({ memberId, ...row }) => (memberId === null ? [] : [{ ...row, memberId }]))
}
