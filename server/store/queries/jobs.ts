// Which jobs are there, how far are they, and which systems are they about?

import { and, asc, count, desc, eq, inArray, lt, or, sql } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import type { JobStage } from '../../vocabulary.ts'
import { prepared } from '../prepared.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import { type Page, pageOf, readCursor } from './pages.ts'

export type JobRow = Tables['jobs']['$inferSelect']
export type JobEventRow = Tables['jobEvents']['$inferSelect']

/** Refuses with missing. */
export async function findJob(scope: Scope, jobId: string): Promise<JobRow> {
  const [row] = await prepared<JobRow>(scope, 'job_by_id', ({ db, t }) =>
    db
      .select()
      .from(t.jobs)
      .where(and(eq(t.jobs.companyId, sql.placeholder('companyId')), eq(t.jobs.id, sql.placeholder('id')))),
  ).execute({ companyId: scope.companyId, id: jobId })
  if (!row) throw missing('This job')
  return row
}

export interface ListedJob extends JobRow {
  customerName: string
  address: string
  town: string
  assignedName: string | null
  /** What brought it to its stage, where that was a step back. */
  after: 'sent-back' | 'reopened' | null
}

export interface JobFilter {
  stage?: JobStage | undefined
  siteId?: string | undefined
  /** A person of the crew. */
  assignedTo?: string | undefined
  limit: number
  cursor?: string | undefined
}

/** Newest first. */
export async function listJobs(scope: Scope, filter: JobFilter): Promise<Page<ListedJob>> {
  const { db, t, companyId } = scope
  const after = readCursor(filter.cursor)
  const rows = await db
    .select({
      job: t.jobs,
      customerName: t.sites.customerName,
      address: t.sites.address,
      town: t.sites.town,
      assignedName: t.crew.name,
    })
    .from(t.jobs)
    .innerJoin(t.sites, and(eq(t.sites.companyId, t.jobs.companyId), eq(t.sites.id, t.jobs.siteId)))
    .leftJoin(t.crew, and(eq(t.crew.companyId, t.jobs.companyId), eq(t.crew.id, t.jobs.assignedTo)))
    .where(
      and(
        eq(t.jobs.companyId, companyId),
        filter.stage ? eq(t.jobs.stage, filter.stage) : undefined,
        filter.siteId ? eq(t.jobs.siteId, filter.siteId) : undefined,
        filter.assignedTo ? eq(t.jobs.assignedTo, filter.assignedTo) : undefined,
        after
          ? or(lt(t.jobs.openedAt, after.at), and(eq(t.jobs.openedAt, after.at), lt(t.jobs.id, after.id)))
          : undefined,
      ),
    )
    .orderBy(desc(t.jobs.openedAt), desc(t.jobs.id))
    .limit(filter.limit + 1)
  const steppedBack = await stepsBack(
    scope,
    rows.filter(({ job }) => job.stage === 'open' && job.stageAt > job.openedAt).map(({ job }) => job),
  )
  return pageOf(
    rows.map(({ job, ...beside }) => ({ ...job, ...beside, after: steppedBack.get(job.id) ?? null })),
    filter.limit,
    (row) => ({ at: row.openedAt, id: row.id }),
  )
}

/** Of open jobs that were further once: whether they were sent back or reopened. */
async function stepsBack(
  { db, t, companyId }: Scope,
  jobs: readonly Pick<JobRow, 'id' | 'stageAt'>[],
): Promise<Map<string, 'sent-back' | 'reopened'>> {
  if (jobs.length === 0) return new Map()
  const stageAt = new Map(jobs.map((job) => [job.id, job.stageAt]))
  const rows = await db
    .select({ jobId: t.jobEvents.jobId, event: t.jobEvents.event, at: t.jobEvents.at })
    .from(t.jobEvents)
    .where(
      and(
        eq(t.jobEvents.companyId, companyId),
        inArray(t.jobEvents.jobId, [...stageAt.keys()]),
        inArray(t.jobEvents.event, ['sent-back', 'reopened']),
      ),
    )
  return new Map(
    rows.flatMap(({ jobId, event, at }) =>
      at === stageAt.get(jobId) && (event === 'sent-back' || event === 'reopened') ? [[jobId, event]] : [],
    ),
  )
}

export async function listSystemIdsOfJob(scope: Scope, jobId: string): Promise<string[]> {
  const rows = await prepared<{ systemId: string }>(scope, 'systems_of_job', ({ db, t }) =>
    db
      .select({ systemId: t.jobSystems.systemId })
      .from(t.jobSystems)
      .where(
        and(
          eq(t.jobSystems.companyId, sql.placeholder('companyId')),
          eq(t.jobSystems.jobId, sql.placeholder('jobId')),
        ),
      )
      .orderBy(asc(t.jobSystems.systemId)),
  ).execute({ companyId: scope.companyId, jobId })
  return rows.map((row) => row.systemId)
}

/** The jobs that are open on a system now. */
export const listOpenJobsOfSystem = (scope: Scope, systemId: string): Promise<JobRow[]> =>
  listJobsOfSystemAt(scope, systemId, 'open')

/** The jobs of a system that stand at this stage, the oldest first. */
export async function listJobsOfSystemAt(scope: Scope, systemId: string, stage: JobStage): Promise<JobRow[]> {
  const { db, t, companyId } = scope
  const jobIds = await jobIdsOf(scope, systemId)
  if (jobIds.length === 0) return []
  return db
    .select()
    .from(t.jobs)
    .where(and(eq(t.jobs.companyId, companyId), inArray(t.jobs.id, jobIds), eq(t.jobs.stage, stage)))
    .orderBy(asc(t.jobs.openedAt), asc(t.jobs.id))
}

/** Looked up first: a join in the order of the jobs would walk through every job of the company. */
export async function jobIdsOf({ db, t, companyId }: Scope, systemId: string): Promise<string[]> {
  const rows = await db
    .select({ jobId: t.jobSystems.jobId })
    .from(t.jobSystems)
    .where(and(eq(t.jobSystems.companyId, companyId), eq(t.jobSystems.systemId, systemId)))
  return rows.map((row) => row.jobId)
}

export async function listJobEvents(scope: Scope, jobId: string): Promise<JobEventRow[]> {
  const { db, t, companyId } = scope
  return db
    .select()
    .from(t.jobEvents)
    .where(and(eq(t.jobEvents.companyId, companyId), eq(t.jobEvents.jobId, jobId)))
    .orderBy(asc(t.jobEvents.number))
}

/** How many jobs stand in each stage. */
export async function countJobs(scope: Scope): Promise<Record<JobStage, number>> {
  const { db, t, companyId } = scope
  const counts: Record<JobStage, number> = { open: 0, submitted: 0, sealed: 0 }
  const rows = await db
    .select({ stage: t.jobs.stage, number: sql<number>`cast(count(*) as integer)` })
    .from(t.jobs)
    .where(eq(t.jobs.companyId, companyId))
    .groupBy(t.jobs.stage)
  for (const row of rows) counts[row.stage] = Number(row.number)
  return counts
}

/** Who performed or recorded anything of this job: crew ids and member ids. */
export async function listHandsOfJob(
  scope: Scope,
  jobId: string,
): Promise<{ crewIds: Set<string>; memberIds: Set<string> }> {
  const { db, t, companyId } = scope
  const crewIds = new Set<string>()
  const memberIds = new Set<string>()
  const systemIds = await listSystemIdsOfJob(scope, jobId)
  if (systemIds.length === 0) return { crewIds, memberIds }
  // By system first, which has an index; a job's work is all on its own systems.
  for (const table of [t.steps, t.sectionTests, t.charges, t.runningChecks] as unknown as Tables['steps'][]) {
    const rows = await db
      .selectDistinct({ performedBy: table.performedBy, recordedBy: table.recordedBy })
      .from(table)
      .where(and(eq(table.companyId, companyId), inArray(table.systemId, systemIds), eq(table.jobId, jobId)))
    for (const row of rows) {
      crewIds.add(row.performedBy)
      memberIds.add(row.recordedBy)
    }
  }
  const joints = await db
    .select({ id: t.joints.id })
    .from(t.joints)
    .where(and(eq(t.joints.companyId, companyId), inArray(t.joints.systemId, systemIds)))
  const makers =
    joints.length === 0
      ? []
      : await db
          .selectDistinct({ performedBy: t.makes.performedBy, recordedBy: t.makes.recordedBy })
          .from(t.makes)
          .where(
            and(
              eq(t.makes.companyId, companyId),
              inArray(
                t.makes.jointId,
                joints.map((joint) => joint.id),
              ),
              eq(t.makes.jobId, jobId),
            ),
          )
  for (const row of makers) {
    crewIds.add(row.performedBy)
    memberIds.add(row.recordedBy)
  }
  const tests = await db
    .select({ id: t.sectionTests.id })
    .from(t.sectionTests)
    .where(and(eq(t.sectionTests.companyId, companyId), eq(t.sectionTests.jobId, jobId)))
  if (tests.length > 0) {
    const testIds = tests.map((test) => test.id)
    const readers = await db
      .selectDistinct({ recordedBy: t.sectionReadings.recordedBy })
      .from(t.sectionReadings)
      .where(and(eq(t.sectionReadings.companyId, companyId), inArray(t.sectionReadings.testId, testIds)))
    for (const row of readers) memberIds.add(row.recordedBy)
    const closers = await db
      .selectDistinct({
        performedBy: t.sectionConclusions.performedBy,
        recordedBy: t.sectionConclusions.recordedBy,
      })
      .from(t.sectionConclusions)
      .where(
        and(eq(t.sectionConclusions.companyId, companyId), inArray(t.sectionConclusions.testId, testIds)),
      )
    for (const row of closers) {
      crewIds.add(row.performedBy)
      memberIds.add(row.recordedBy)
    }
  }
  const photographers = await db
    .selectDistinct({ recordedBy: t.photos.recordedBy })
    .from(t.photos)
    .where(and(eq(t.photos.companyId, companyId), eq(t.photos.jobId, jobId)))
  for (const row of photographers) memberIds.add(row.recordedBy)
  return { crewIds, memberIds }
}

export interface JobsInHand {
  crewId: string
  name: string
  memberId: string | null
  openJobs: number
}

/** Who has open jobs, and how many, by name. */
export async function listJobsInHand({ db, t, companyId }: Scope): Promise<JobsInHand[]> {
  const rows = await db
    .select({ crewId: t.crew.id, name: t.crew.name, memberId: t.crew.memberId, openJobs: count() })
    .from(t.jobs)
    .innerJoin(t.crew, and(eq(t.crew.companyId, t.jobs.companyId), eq(t.crew.id, t.jobs.assignedTo)))
    .where(and(eq(t.jobs.companyId, companyId), eq(t.jobs.stage, 'open')))
    .groupBy(t.crew.id, t.crew.name, t.crew.memberId)
    .orderBy(asc(t.crew.name), asc(t.crew.id))
  return rows.map((row) => ({ ...row, openJobs: Number(row.openJobs) }))
}
