// How does a job turn from one stage to the next? One numbered event each; two at once meet on the unique key.

import { and, count, eq, sql } from 'drizzle-orm'
import { conflict, missingField, Refusal } from '../../refusals.ts'
import { findJob, type JobRow, listSystemIdsOfJob } from '../../store/queries/jobs.ts'
import { appendEntry, appendFact, type EntryDraft, type FactSeal } from '../../store/record.ts'
import type { Scope } from '../../store/store.ts'
import type { JobEventDetail } from '../../store/tables/jobs.ts'
import type { JobEvent, JobStage, JobTurn } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import type { Context } from '../command.ts'

/** Refuses unless work may be recorded on the job now. */
export function assertOpen(job: Pick<JobRow, 'stage'>): void {
  if (job.stage === 'sealed') throw conflict('job-sealed', say.jobs.thisJobIsSealed)
  if (job.stage === 'submitted') throw conflict('job-submitted', say.jobs.thisJobWaitsFor)
}

/**
 * Keeps the job as it is until the commit. SQLite has one writer anyway; on PostgreSQL it is a row lock, so that
 * no work slips in between a submission or a seal and what they were judged by.
 */
export async function holdJob({ db, t, companyId, dialect }: Scope, jobId: string): Promise<void> {
  if (dialect === 'sqlite') return
  await db
    .update(t.jobs)
    .set({ stage: sql`${t.jobs.stage}` })
    .where(and(eq(t.jobs.companyId, companyId), eq(t.jobs.id, jobId)))
}

export async function findOpenJob(scope: Scope, jobId: string): Promise<JobRow> {
  await holdJob(scope, jobId)
  const job = await findJob(scope, jobId)
  assertOpen(job)
  return job
}

/** The job, open, with the system in its scope. */
export async function findOpenJobOn(scope: Scope, jobId: string, systemId: string): Promise<JobRow> {
  const job = await findOpenJob(scope, jobId).catch((problem) => {
    // The job is named by a field, beside the system that the work is on.
    throw problem instanceof Refusal && problem.kind === 'missing'
      ? missingField('jobId', say.jobs.thisJob)
      : problem
  })
  const systemIds = await listSystemIdsOfJob(scope, jobId)
  if (!systemIds.includes(systemId))
    throw conflict('not-on-this-job', say.jobs.thisSystemIsNot, [
      { path: 'jobId', message: say.jobs.thisSystemIsNot },
    ])
  return job
}

/** Where something is written that concerns the job as a whole: its first system's chain, or the company's. */
export async function chainOfJob(scope: Scope, jobId: string): Promise<string> {
  return (await listSystemIdsOfJob(scope, jobId))[0] ?? scope.companyId
}

export const stageAfter: Record<JobTurn, JobStage> = {
  opened: 'open',
  submitted: 'submitted',
  'sent-back': 'open',
  'signed-off': 'sealed',
  reopened: 'open',
}

/** Appends what happened to the job, with the next number, and answers the seal that its entry must carry. */
export async function appendJobEvent(
  scope: Scope,
  context: Context,
  jobId: string,
  event: JobEvent,
  { id, ...detail }: JobEventDetail & { id?: string | undefined } = {},
): Promise<{ number: number; seal: FactSeal }> {
  const { db, t, companyId } = scope
  const [counted] = await db
    .select({ number: count() })
    .from(t.jobEvents)
    .where(and(eq(t.jobEvents.companyId, companyId), eq(t.jobEvents.jobId, jobId)))
  const number = Number(counted?.number ?? 0) + 1
  const seal = await appendFact(scope, 'jobEvents', {
    companyId,
    id: id ?? context.newId(),
    jobId,
    number,
    event,
    memberId: context.actor.memberId,
    at: context.now,
    detail,
  })
  return { number, seal }
}

/**
 * Appends the event, moves the projection, and writes an entry on the chain of each system of the job (on the
 * company's while it has none). `atOnce` writes the entries now, for a seal that must follow them.
 */
export async function turnJob(
  scope: Scope,
  context: Context,
  job: { id: string; siteId: string },
  event: JobTurn,
  more: { detail?: JobEventDetail; body?: Record<string, unknown>; atOnce?: boolean } = {},
): Promise<void> {
  const { db, t, companyId } = scope
  const { number, seal } = await appendJobEvent(scope, context, job.id, event, more.detail)
  await db
    .update(t.jobs)
    .set({ stage: stageAfter[event], stageAt: context.now })
    .where(and(eq(t.jobs.companyId, companyId), eq(t.jobs.id, job.id)))

  const systemIds = await listSystemIdsOfJob(scope, job.id)
  const chains = systemIds.length > 0 ? systemIds : [companyId]
  for (const chainId of chains) {
    const draft: EntryDraft = {
      chainId,
      kind: `job-${event}`,
      subjectId: job.id,
      jobId: job.id,
      facts: [seal],
      body: { site: job.siteId, number, ...more.body },
    }
    if (more.atOnce) {
      const { now, deviceAt } = context
      await appendEntry(scope, draft, { now, deviceAt, memberId: context.actor.memberId })
    } else context.record(draft)
  }
}
