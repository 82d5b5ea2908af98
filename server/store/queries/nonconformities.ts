// What was not met on which job, and what became of it? The register in pages, and of which jobs it has anything.

import { and, asc, count, desc, eq, gte, isNotNull, isNull, like, lt, min, or } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import type { JobStage, NonconformityDisposition, RequirementCode } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import { type Page, pageOf, readCursor } from './pages.ts'

export type NonconformityState = 'open' | 'closed' | NonconformityDisposition

export interface Nonconformity extends Omit<Tables['nonconformities']['$inferSelect'], 'companyId'> {
  job: { id: string; reference: string | null; stage: JobStage }
  site: { id: string; customerName: string; address: string; town: string }
  /** Of a joint, as it is called now. */
  joint: { tag: string; place: string } | null
  /** Of a person of the crew, whose name is never sealed. */
  personName: string | null
  /** Null while it is open. */
  disposal: Omit<Tables['nonconformityDisposals']['$inferSelect'], 'companyId'> | null
  /** The release, where it was conceded. */
  concession: { id: string; reason: string; conditions: string | null; decidedBy: string } | null
}

export interface NonconformityFilter {
  state?: NonconformityState | undefined
  requirement?: RequirementCode | undefined
  /** Who recorded what showed it: a member. */
  by?: string | undefined
  jobId?: string | undefined
  /** Part of a job's reference, a customer's name or an address. */
  text?: string | undefined
  from?: number | undefined
  to?: number | undefined
}

/** The newest first. */
export async function listNonconformities(
  scope: Scope,
  filter: NonconformityFilter & { limit: number; cursor?: string | undefined },
): Promise<Page<Nonconformity>> {
  const { t } = scope
  const after = readCursor(filter.cursor)
  const rows = await readRegister(scope)
    .where(
      and(
        fits(scope, filter),
        after
          ? or(
              lt(t.nonconformities.foundAt, after.at),
              and(eq(t.nonconformities.foundAt, after.at), lt(t.nonconformities.id, after.id)),
            )
          : undefined,
      ),
    )
    .orderBy(desc(t.nonconformities.foundAt), desc(t.nonconformities.id))
    .limit(filter.limit + 1)
  return pageOf(rows.map(asListed), filter.limit, ({ foundAt, id }) => ({ at: foundAt, id }))
}

export async function findNonconformity(scope: Scope, id: string): Promise<Nonconformity> {
  const { t, companyId } = scope
  const [row] = await readRegister(scope).where(
    and(eq(t.nonconformities.companyId, companyId), eq(t.nonconformities.id, id)),
  )
  if (!row) throw missing(say.nonconformities.thisNonconformity)
  return asListed(row)
}

/** How many there are of what is asked for, and how many of those are open. */
export async function countNonconformities(
  scope: Scope,
  filter: NonconformityFilter,
): Promise<{ total: number; open: number }> {
  const { db, t, companyId } = scope
  const rows = db
    .select({ total: count(), closed: count(t.nonconformityDisposals.id) })
    .from(t.nonconformities)
    .leftJoin(
      t.nonconformityDisposals,
      and(
        eq(t.nonconformityDisposals.companyId, companyId),
        eq(t.nonconformityDisposals.nonconformityId, t.nonconformities.id),
      ),
    )
  // Where it was is looked up for each only when it is asked for: it takes most of the time.
  const [counted] =
    (filter.text ?? '').trim() === ''
      ? await rows.where(fits(scope, filter))
      : await rows
          .innerJoin(t.jobs, and(eq(t.jobs.companyId, companyId), eq(t.jobs.id, t.nonconformities.jobId)))
          .innerJoin(t.sites, and(eq(t.sites.companyId, companyId), eq(t.sites.id, t.jobs.siteId)))
          .where(fits(scope, filter))
  const total = Number(counted?.total ?? 0)
  return { total, open: total - Number(counted?.closed ?? 0) }
}

function fits({ t, companyId }: Scope, filter: NonconformityFilter) {
  const { state, text = '' } = filter
  const words = text.trim().toLowerCase()
  return and(
    eq(t.nonconformities.companyId, companyId),
    state === undefined
      ? undefined
      : state === 'open'
        ? isNull(t.nonconformityDisposals.id)
        : state === 'closed'
          ? isNotNull(t.nonconformityDisposals.id)
          : eq(t.nonconformityDisposals.disposition, state),
    filter.requirement ? eq(t.nonconformities.requirement, filter.requirement) : undefined,
    filter.by ? eq(t.nonconformities.foundBy, filter.by) : undefined,
    filter.jobId ? eq(t.nonconformities.jobId, filter.jobId) : undefined,
    filter.from === undefined ? undefined : gte(t.nonconformities.foundAt, filter.from),
    filter.to === undefined ? undefined : lt(t.nonconformities.foundAt, filter.to),
    words === ''
      ? undefined
      : or(like(t.jobs.referenceLower, `%${words}%`), like(t.sites.searchText, `%${words}%`)),
  )
}

function readRegister(scope: Scope) {
  const { db, t, companyId } = scope
  return db
    .select({
      row: t.nonconformities,
      disposal: t.nonconformityDisposals,
      concession: t.concessions,
      job: { id: t.jobs.id, reference: t.jobs.reference, stage: t.jobs.stage },
      site: {
        id: t.sites.id,
        customerName: t.sites.customerName,
        address: t.sites.address,
        town: t.sites.town,
      },
      joint: { tag: t.joints.tag, place: t.joints.place },
      personName: t.crew.name,
    })
    .from(t.nonconformities)
    .innerJoin(t.jobs, and(eq(t.jobs.companyId, companyId), eq(t.jobs.id, t.nonconformities.jobId)))
    .innerJoin(t.sites, and(eq(t.sites.companyId, companyId), eq(t.sites.id, t.jobs.siteId)))
    .leftJoin(
      t.nonconformityDisposals,
      and(
        eq(t.nonconformityDisposals.companyId, companyId),
        eq(t.nonconformityDisposals.nonconformityId, t.nonconformities.id),
      ),
    )
    .leftJoin(
      t.concessions,
      and(
        eq(t.concessions.companyId, companyId),
        eq(t.concessions.id, t.nonconformityDisposals.concessionId),
      ),
    )
    .leftJoin(t.joints, and(eq(t.joints.companyId, companyId), eq(t.joints.id, t.nonconformities.subjectId)))
    .leftJoin(t.crew, and(eq(t.crew.companyId, companyId), eq(t.crew.id, t.nonconformities.subjectId)))
}

type Read = Awaited<ReturnType<ReturnType<typeof readRegister>['execute']>>[number]

function asListed({ row, disposal, concession, ...beside }: Read): Nonconformity {
  const { companyId: _, ...found } = row
  return {
    ...found,
    ...beside,
    disposal: disposal && bare(disposal),
    concession: concession && {
      id: concession.id,
      reason: concession.reason,
      conditions: concession.conditions,
      decidedBy: concession.decidedBy,
    },
  }
}

function bare<Row extends { companyId: string }>({ companyId: _, ...row }: Row): Omit<Row, 'companyId'> {
  return row
}

/** Jobs by when they were first handed in, within a span. */
export async function listFirstSubmissions(
  { db, t, companyId }: Scope,
  span: { from: number; to: number },
): Promise<{ jobId: string; at: number }[]> {
  const first = min(t.jobEvents.at)
  const rows = await db
    .select({ jobId: t.jobEvents.jobId, at: first })
    .from(t.jobEvents)
    .where(and(eq(t.jobEvents.companyId, companyId), eq(t.jobEvents.event, 'submitted')))
    .groupBy(t.jobEvents.jobId)
    .having(and(gte(first, span.from), lt(first, span.to)))
    .orderBy(asc(first), asc(t.jobEvents.jobId))
  return rows.map(({ jobId, at }) => ({ jobId, at: Number(at) }))
}

/** Each requirement that a job did not meet, once, however many subjects did not. */
export async function listRequirementsNotMet({
  db,
  t,
  companyId,
}: Scope): Promise<{ jobId: string; requirement: RequirementCode }[]> {
  return db
    .selectDistinct({ jobId: t.nonconformities.jobId, requirement: t.nonconformities.requirement })
    .from(t.nonconformities)
    .where(eq(t.nonconformities.companyId, companyId))
    .orderBy(asc(t.nonconformities.jobId), asc(t.nonconformities.requirement))
}
