// How is the whole of a company read piece by piece, to be written out as tables? By id, a page at a time.

import { and, asc, count, eq, gt, inArray, max, min } from 'drizzle-orm'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import { effective } from './effective.ts'
import { grouped } from './grouped.ts'

export interface SystemToExport {
  id: string
  name: string
  siteId: string
  customerName: string
  address: string
  town: string
}

export async function listSystemsToExport(
  { db, t, companyId }: Scope,
  after: string,
  limit: number,
): Promise<SystemToExport[]> {
  return db
    .select({
      id: t.systems.id,
      name: t.systems.name,
      siteId: t.systems.siteId,
      customerName: t.sites.customerName,
      address: t.sites.address,
      town: t.sites.town,
    })
    .from(t.systems)
    .innerJoin(t.sites, and(eq(t.sites.companyId, t.systems.companyId), eq(t.sites.id, t.systems.siteId)))
    .where(and(eq(t.systems.companyId, companyId), gt(t.systems.id, after)))
    .orderBy(asc(t.systems.id))
    .limit(limit)
}

export interface TestToExport {
  test: Tables['sectionTests']['$inferSelect']
  conclusion: Tables['sectionConclusions']['$inferSelect'] | null
  systemName: string
  gaugeName: string
  gaugeSerial: string
  /** Readings that count: corrections applied. */
  readings: Tables['sectionReadings']['$inferSelect'][]
}

export async function listTestsToExport(scope: Scope, after: string, limit: number): Promise<TestToExport[]> {
  const { db, t, companyId } = scope
  const { sectionTests, sectionConclusions, systems, instruments, sectionReadings } = t
  const rows = await db
    .select({
      test: sectionTests,
      conclusion: sectionConclusions,
      systemName: systems.name,
      gaugeName: instruments.name,
      gaugeSerial: instruments.serial,
    })
    .from(sectionTests)
    .innerJoin(
      systems,
      and(eq(systems.companyId, sectionTests.companyId), eq(systems.id, sectionTests.systemId)),
    )
    .innerJoin(
      instruments,
      and(
        eq(instruments.companyId, sectionTests.companyId),
        eq(instruments.id, sectionTests.gaugeInstrumentId),
      ),
    )
    .leftJoin(
      sectionConclusions,
      and(
        eq(sectionConclusions.companyId, sectionTests.companyId),
        eq(sectionConclusions.testId, sectionTests.id),
      ),
    )
    .where(and(eq(sectionTests.companyId, companyId), gt(sectionTests.id, after)))
    .orderBy(asc(sectionTests.id))
    .limit(limit)
  const ids = rows.map(({ test }) => test.id)
  const readings =
    ids.length === 0
      ? []
      : await db
          .select()
          .from(sectionReadings)
          .where(and(eq(sectionReadings.companyId, companyId), inArray(sectionReadings.testId, ids)))
          .orderBy(asc(sectionReadings.at), asc(sectionReadings.id))
  const byTest = grouped(await effective(scope, readings), (reading) => reading.testId)
  return rows.map((row) => ({ ...row, readings: byTest.get(row.test.id) ?? [] }))
}

export interface JobBeside {
  systems: number
  certificate: { code: string; revision: number; issuedAt: number } | null
}

/** What a table of jobs says beside each: how many systems, and the last certificate. */
export async function listBesideJobs(
  { db, t, companyId }: Scope,
  jobIds: readonly string[],
): Promise<Map<string, JobBeside>> {
  if (jobIds.length === 0) return new Map()
  const ids = [...jobIds]
  const systems = await db
    .select({ jobId: t.jobSystems.jobId, systems: count() })
    .from(t.jobSystems)
    .where(and(eq(t.jobSystems.companyId, companyId), inArray(t.jobSystems.jobId, ids)))
    .groupBy(t.jobSystems.jobId)
  const certificates = await db
    .select({
      jobId: t.certificates.jobId,
      code: t.certificates.code,
      revision: t.certificates.revision,
      issuedAt: t.certificates.issuedAt,
    })
    .from(t.certificates)
    .where(and(eq(t.certificates.companyId, companyId), inArray(t.certificates.jobId, ids)))
    .orderBy(asc(t.certificates.revision))
  const counted = new Map(systems.map((row) => [row.jobId, row.systems]))
  const last = new Map(certificates.map(({ jobId, ...row }) => [jobId, row]))
  return new Map(
    ids.flatMap((id) =>
      counted.has(id) || last.has(id)
        ? [[id, { systems: counted.get(id) ?? 0, certificate: last.get(id) ?? null }]]
        : [],
    ),
  )
}

export async function listTagsOfJoints(
  { db, t, companyId }: Scope,
  jointIds: readonly string[],
): Promise<Map<string, string>> {
  if (jointIds.length === 0) return new Map()
  const rows = await db
    .select({ id: t.joints.id, tag: t.joints.tag })
    .from(t.joints)
    .where(and(eq(t.joints.companyId, companyId), inArray(t.joints.id, [...jointIds])))
  return new Map(rows.map(({ id, tag }) => [id, tag]))
}

export interface ToolUse {
  /** Steps that rest on it. */
  uses: number
  firstAt: number | null
  lastAt: number | null
}

export async function listUsesOfTools({ db, t, companyId }: Scope): Promise<Map<string, ToolUse>> {
  const rows = await db
    .select({
      id: t.steps.instrumentId,
      uses: count(),
      firstAt: min(t.steps.performedAt),
      lastAt: max(t.steps.performedAt),
    })
    .from(t.steps)
    .where(eq(t.steps.companyId, companyId))
    .groupBy(t.steps.instrumentId)
  return new Map(rows.flatMap(({ id, ...use }) => (id === null ? [] : [[id, use]])))
}
