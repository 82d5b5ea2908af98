// Which systems came back, what was found on them, and which jobs repaired them?

import { and, asc, desc, eq, inArray, isNotNull, isNull, lt, or } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import { grouped } from './grouped.ts'
import { type Page, pageOf, readCursor } from './pages.ts'

export type CallbackRow = Tables['callbacks']['$inferSelect']
export type FindingRow = Tables['callbackFindings']['$inferSelect']

export interface WholeCallback extends CallbackRow {
  /** Oldest first. */
  findings: FindingRow[]
  /** Jobs that were opened for it, newest first. */
  repairJobIds: string[]
}

/** Refuses with missing. */
export async function findCallback(scope: Scope, callbackId: string): Promise<WholeCallback> {
  const { db, t, companyId } = scope
  const rows = await db
    .select()
    .from(t.callbacks)
    .where(and(eq(t.callbacks.companyId, companyId), eq(t.callbacks.id, callbackId)))
  const [found] = await withFindings(scope, rows)
  if (!found) throw missing('This callback')
  return found
}

export interface CallbackFilter {
  state?: 'open' | 'closed' | undefined
  systemId?: string | undefined
  limit: number
  cursor?: string | undefined
}

/** Newest report first. */
export async function listCallbacks(scope: Scope, filter: CallbackFilter): Promise<Page<WholeCallback>> {
  const { db, t, companyId } = scope
  const after = readCursor(filter.cursor)
  const rows = await db
    .select()
    .from(t.callbacks)
    .where(
      and(
        eq(t.callbacks.companyId, companyId),
        filter.systemId ? eq(t.callbacks.systemId, filter.systemId) : undefined,
        filter.state === 'open' ? isNull(t.callbacks.closedAt) : undefined,
        filter.state === 'closed' ? isNotNull(t.callbacks.closedAt) : undefined,
        after
          ? or(
              lt(t.callbacks.reportedAt, after.at),
              and(eq(t.callbacks.reportedAt, after.at), lt(t.callbacks.id, after.id)),
            )
          : undefined,
      ),
    )
    .orderBy(desc(t.callbacks.reportedAt), desc(t.callbacks.id))
    .limit(filter.limit + 1)
  const page = pageOf(rows, filter.limit, (row) => ({ at: row.reportedAt, id: row.id }))
  return { items: await withFindings(scope, page.items), nextCursor: page.nextCursor }
}

/** All of one system, newest first. */
export async function listCallbacksOfSystem(scope: Scope, systemId: string): Promise<WholeCallback[]> {
  const { db, t, companyId } = scope
  // Put in order here: asked for in order, SQLite would walk through all callbacks of the company in theirs.
  const rows = await db
    .select()
    .from(t.callbacks)
    .where(and(eq(t.callbacks.companyId, companyId), eq(t.callbacks.systemId, systemId)))
  rows.sort((a, b) => b.reportedAt - a.reportedAt || (a.id > b.id ? -1 : 1))
  return withFindings(scope, rows)
}

/** Those that found this joint leaking, newest first. */
export async function listCallbacksOfJoint(scope: Scope, jointId: string): Promise<WholeCallback[]> {
  const { db, t, companyId } = scope
  const found = db
    .select({ id: t.callbackFindings.callbackId })
    .from(t.callbackFindings)
    .where(and(eq(t.callbackFindings.companyId, companyId), eq(t.callbackFindings.jointId, jointId)))
  const rows = await db
    .select()
    .from(t.callbacks)
    .where(and(eq(t.callbacks.companyId, companyId), inArray(t.callbacks.id, found)))
    .orderBy(desc(t.callbacks.reportedAt), desc(t.callbacks.id))
  return withFindings(scope, rows)
}

/** A system with its customer, as somebody on the telephone knows it. */
export interface CalledSystem {
  id: string
  name: string
  tagPrefix: string
  siteId: string
  customerName: string
  address: string
}

export async function listCalledSystems(
  { db, t, companyId }: Scope,
  systemIds: readonly string[],
): Promise<CalledSystem[]> {
  if (systemIds.length === 0) return []
  return db
    .select({
      id: t.systems.id,
      name: t.systems.name,
      tagPrefix: t.systems.tagPrefix,
      siteId: t.systems.siteId,
      customerName: t.sites.customerName,
      address: t.sites.address,
    })
    .from(t.systems)
    .innerJoin(t.sites, and(eq(t.sites.companyId, t.systems.companyId), eq(t.sites.id, t.systems.siteId)))
    .where(and(eq(t.systems.companyId, companyId), inArray(t.systems.id, [...systemIds])))
    .orderBy(asc(t.systems.createdAt), asc(t.systems.id))
}

async function withFindings(scope: Scope, rows: CallbackRow[]): Promise<WholeCallback[]> {
  if (rows.length === 0) return []
  const { db, t, companyId } = scope
  const ids = rows.map((row) => row.id)
  const findings = await db
    .select()
    .from(t.callbackFindings)
    .where(and(eq(t.callbackFindings.companyId, companyId), inArray(t.callbackFindings.callbackId, ids)))
    .orderBy(asc(t.callbackFindings.recordedAt), asc(t.callbackFindings.id))
  const systems = [...new Set(rows.map((row) => row.systemId))]
  // By the systems' own jobs: those are indexed, and few. Put in order here: asked for in order, SQLite would walk
  // through all jobs of the company in theirs.
  const onThem = await db
    .select({ jobId: t.jobSystems.jobId })
    .from(t.jobSystems)
    .where(and(eq(t.jobSystems.companyId, companyId), inArray(t.jobSystems.systemId, systems)))
  const jobs =
    onThem.length === 0
      ? []
      : await db
          .select({ id: t.jobs.id, callbackId: t.jobs.callbackId, openedAt: t.jobs.openedAt })
          .from(t.jobs)
          .where(
            and(
              eq(t.jobs.companyId, companyId),
              inArray(t.jobs.id, [...new Set(onThem.map((row) => row.jobId))]),
              inArray(t.jobs.callbackId, ids),
            ),
          )
  jobs.sort((a, b) => b.openedAt - a.openedAt || (a.id > b.id ? -1 : 1))
  const findingsOf = grouped(findings, (row) => row.callbackId)
  const jobsOf = grouped(jobs, (row) => row.callbackId ?? '')
  return rows.map((row) => ({
    ...row,
    findings: findingsOf.get(row.id) ?? [],
    repairJobIds: (jobsOf.get(row.id) ?? []).map((job) => job.id),
  }))
}
