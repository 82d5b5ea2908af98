// What does a job look like, whole, to its hold points? Every fact of its systems in one picture.

import { and, asc, eq, inArray, lte } from 'drizzle-orm'
import type { Concession, CrewPerson, Dossier, LineSet, System, Unit } from '../../rules/dossier.ts'
import { atmosphericPressureAt, STANDARD_ATMOSPHERE_PA } from '../../trade/atmosphere.ts'
import type { Scope } from '../store.ts'
import { listCharges } from './charges.ts'
import { grouped } from './grouped.ts'
import { listInstrumentsById } from './instruments-used.ts'
import { findJob, type JobRow, listJobEvents, listSystemIdsOfJob } from './jobs.ts'
import { listJoints } from './joints.ts'
import { type LineSetRow, listChangesOfLines, listLineSets } from './line-sets.ts'
import { listEvidence } from './photos.ts'
import { findPolicy, type PolicyInForce } from './policy.ts'
import { listRunningChecks } from './running-checks.ts'
import { listEvacuations, listPressureTests } from './section-tests.ts'
import { listSheetsById } from './sheets-used.ts'
import { findSite } from './sites.ts'
import { type DatedUnit, listUnits, type SystemRow } from './systems.ts'

/**
 * The job as it stands, judged for the moment `at` by the company's policy in force (or the one given). With `jointIds`,
 * as if it had no other joints: enough to judge these by themselves.
 */
export async function loadDossier(
  scope: Scope,
  jobId: string,
  at: number,
  policy?: PolicyInForce,
  jointIds?: readonly string[],
): Promise<Dossier> {
  const job = await findJob(scope, jobId)
  const inForce = policy ?? (await findPolicy(scope))
  const systems = await loadSystems(scope, job, await listSystemIdsOfJob(scope, jobId), jointIds)
  const events = await listJobEvents(scope, jobId)
  const submitted = events.findLast((event) => event.event === 'submitted')
  const concessions = await listGranted(scope, jobId)
  const leaking = await listLeaksFoundFor(scope, job)
  // A line that was let go as it was is another one after it was changed.
  if (concessions.some(({ requirement }) => requirement === 'line-set-within-limits')) {
    const lines = systems.flatMap((system) => system.lineSets)
    const changed = await listChangesOfLines(
      scope,
      lines.map(({ id }) => id),
    )
    for (const line of lines) line.changedAt = changed.get(line.id)
  }
  return {
    at,
    company: await findCompany(scope),
    policy: inForce.criteria,
    policyVersion: inForce.version,
    job: {
      id: job.id,
      kind: job.kind,
      reference: job.reference,
      siteId: job.siteId,
      stage: job.stage,
      openedAt: job.openedAt,
      submittedAt: job.stage === 'open' ? null : (submitted?.at ?? null),
    },
    systems,
    instruments: await listInstrumentsById(scope, instrumentIdsIn(systems)),
    crew: await listCrewPeople(scope),
    exclusions: await listExclusions(scope, jobId),
    ...(leaking.length === 0 ? {} : { leaking }),
    requests: await listOpenRequests(scope, job, submitted?.at ?? null),
    concessions,
    photos: await listEvidence(scope, jobId),
  }
}

/** Systems of a site with everything on them, whichever job it came from. */
export async function loadSystems(
  scope: Scope,
  { siteId }: Pick<JobRow, 'siteId'>,
  systemIds: string[],
  jointIds?: readonly string[],
): Promise<System[]> {
  if (systemIds.length === 0) return []
  const { db, t, companyId } = scope
  const { elevationM } = await findSite(scope, siteId)
  const rows = await db
    .select()
    .from(t.systems)
    .where(and(eq(t.systems.companyId, companyId), eq(t.systems.siteId, siteId)))
    .orderBy(asc(t.systems.createdAt), asc(t.systems.id))
  const wanted = rows.filter((row) => systemIds.includes(row.id))
  return withAllOnThem(
    scope,
    wanted.map((row) => ({ ...row, elevationM })),
    systemIds,
    jointIds,
  )
}

/** The same of systems wherever they stand, a hundred at a time. */
export async function loadSystemsAnywhere(scope: Scope, systemIds: readonly string[]): Promise<System[]> {
  const { db, t, companyId } = scope
  const systems: System[] = []
  for (let from = 0; from < systemIds.length; from += 100) {
    const ids = systemIds.slice(from, from + 100)
    const rows = await db
      .select({ system: t.systems, elevationM: t.sites.elevationM })
      .from(t.systems)
      .innerJoin(t.sites, and(eq(t.sites.companyId, t.systems.companyId), eq(t.sites.id, t.systems.siteId)))
      .where(and(eq(t.systems.companyId, companyId), inArray(t.systems.id, ids)))
      .orderBy(asc(t.systems.createdAt), asc(t.systems.id))
    const wanted = rows.map(({ system, elevationM }) => ({ ...system, elevationM }))
    systems.push(...(await withAllOnThem(scope, wanted, ids)))
  }
  return systems
}

async function withAllOnThem(
  scope: Scope,
  wanted: readonly (SystemRow & { elevationM: number | null })[],
  systemIds: string[],
  jointIds?: readonly string[],
): Promise<System[]> {
  const units = grouped(await listUnits(scope, systemIds), (unit) => unit.systemId)
  const lineSets = grouped(await listLineSets(scope, systemIds), (lineSet) => lineSet.systemId)
  const joints = await listJoints(scope, systemIds, jointIds)
  const pressureTests = await listPressureTests(scope, systemIds)
  const evacuations = await listEvacuations(scope, systemIds)
  const charges = await listCharges(scope, systemIds)
  const runningChecks = await listRunningChecks(scope, systemIds)
  const sheetIdOf = (systemId: string, own: string | null) =>
    own ?? outdoorUnit(units.get(systemId) ?? [])?.equipmentSheetId ?? null
  const sheets = await listSheetsById(
    scope,
    wanted.flatMap((row) => sheetIdOf(row.id, row.equipmentSheetId) ?? []),
  )
  return wanted.map((row) => ({
    id: row.id,
    name: row.name,
    refrigerant: row.refrigerant,
    sheet: sheets.get(sheetIdOf(row.id, row.equipmentSheetId) ?? '') ?? null,
    atmosphericPressurePa:
      row.elevationM === null ? STANDARD_ATMOSPHERE_PA : atmosphericPressureAt(row.elevationM),
    units: (units.get(row.id) ?? []).map(asUnit),
    lineSets: (lineSets.get(row.id) ?? []).map(asLineSet),
    joints: joints.get(row.id) ?? [],
    pressureTests: pressureTests.get(row.id) ?? [],
    evacuations: evacuations.get(row.id) ?? [],
    charges: charges.get(row.id) ?? [],
    runningChecks: runningChecks.get(row.id) ?? [],
  }))
}

const outdoorUnit = (units: readonly DatedUnit[]) =>
  units.find((unit) => unit.role === 'outdoor' && unit.removedAt === null)

const asUnit = (row: DatedUnit): Unit => ({
  id: row.id,
  role: row.role,
  model: row.model,
  serial: row.serial,
  installedAt: row.installedAt,
  removedAt: row.removedAt,
  replacesUnitId: row.replacesUnitId,
})

const asLineSet = (row: LineSetRow): LineSet => ({
  id: row.id,
  name: row.name,
  fromUnitId: row.fromUnitId,
  toUnitId: row.toUnitId,
  liquidOdM: row.liquidOdM,
  gasOdM: row.gasOdM,
  lengthM: row.lengthM,
  riseM: row.riseM,
  tubing: row.tubing,
  tubeWallM: row.tubeWallM,
  previousRefrigerant: row.previousRefrigerant,
  cleaning: row.cleaning,
  jointKind: row.jointKind,
  room: row.room,
  jobId: row.jobId,
})

/** Every instrument that any fact of these systems names. */
export function instrumentIdsIn(systems: readonly System[]): Set<string> {
  const ids = new Set<string>()
  const add = (id: string | null | undefined) => {
    if (id) ids.add(id)
  }
  for (const system of systems) {
    for (const joint of system.joints)
      for (const step of [...joint.makes.flatMap((make) => make.steps), ...joint.leakChecks])
        if ('instrumentId' in step.body) add(step.body.instrumentId)
    for (const test of system.pressureTests) {
      add(test.gaugeInstrumentId)
      add(test.thermometerInstrumentId)
      for (const reading of test.readings) {
        add(reading.instrumentId)
        add(reading.thermometerInstrumentId)
      }
    }
    for (const evacuation of system.evacuations) {
      add(evacuation.gaugeInstrumentId)
      for (const reading of evacuation.readings) add(reading.instrumentId)
    }
    for (const charge of system.charges) add(charge.scaleInstrumentId)
  }
  return ids
}

async function findCompany({ db, t, companyId }: Scope): Promise<{ id: string; name: string }> {
  const [row] = await db
    .select({ id: t.companies.id, name: t.companies.name })
    .from(t.companies)
    .where(eq(t.companies.id, companyId))
  return row ?? { id: companyId, name: '' }
}

export async function listCrewPeople({ db, t, companyId }: Scope): Promise<CrewPerson[]> {
  return db
    .select({ id: t.crew.id, name: t.crew.name, memberId: t.crew.memberId, credentials: t.crew.credentials })
    .from(t.crew)
    .where(eq(t.crew.companyId, companyId))
    .orderBy(asc(t.crew.createdAt), asc(t.crew.id))
}

async function listExclusions({ db, t, companyId }: Scope, jobId: string): Promise<Dossier['exclusions']> {
  return db
    .select({ jointId: t.jointExclusions.jointId, reason: t.jointExclusions.reason })
    .from(t.jointExclusions)
    .where(and(eq(t.jointExclusions.companyId, companyId), eq(t.jointExclusions.jobId, jobId)))
    .orderBy(asc(t.jointExclusions.id))
}

/** What its callback found, where it has one; of a sealed job what was known of it when it was sealed. */
async function listLeaksFoundFor(
  { db, t, companyId }: Scope,
  job: JobRow,
): Promise<{ jointId: string; at: number }[]> {
  if (job.callbackId === null) return []
  const rows = await db
    .select({ jointId: t.callbackFindings.jointId, at: t.callbacks.reportedAt })
    .from(t.callbackFindings)
    .innerJoin(
      t.callbacks,
      and(
        eq(t.callbacks.companyId, t.callbackFindings.companyId),
        eq(t.callbacks.id, t.callbackFindings.callbackId),
      ),
    )
    .where(
      and(
        eq(t.callbackFindings.companyId, companyId),
        eq(t.callbackFindings.callbackId, job.callbackId),
        job.stage === 'sealed' ? lte(t.callbackFindings.recordedAt, job.stageAt) : undefined,
      ),
    )
    .orderBy(asc(t.callbackFindings.recordedAt), asc(t.callbackFindings.id))
  const found = new Map(rows.flatMap(({ jointId, at }) => (jointId === null ? [] : [[jointId, at] as const])))
  return [...found].map(([jointId, at]) => ({ jointId, at }))
}

/** What was asked for with the submission that waits now, and has no answer yet. */
async function listOpenRequests(
  { db, t, companyId }: Scope,
  job: JobRow,
  submittedAt: number | null,
): Promise<Concession[]> {
  if (job.stage !== 'submitted' || submittedAt === null) return []
  const rows = await db
    .select({ request: t.concessionRequests, answerId: t.concessions.id })
    .from(t.concessionRequests)
    .leftJoin(
      t.concessions,
      and(
        eq(t.concessions.companyId, t.concessionRequests.companyId),
        eq(t.concessions.requestId, t.concessionRequests.id),
      ),
    )
    .where(and(eq(t.concessionRequests.companyId, companyId), eq(t.concessionRequests.jobId, job.id)))
    .orderBy(asc(t.concessionRequests.requestedAt), asc(t.concessionRequests.id))
  return rows
    .filter(({ request, answerId }) => answerId === null && request.requestedAt >= submittedAt)
    .map(({ request }) => ({
      requirement: request.requirement,
      subjectId: request.subjectId,
      reason: request.reason,
      by: request.requestedBy,
      at: request.requestedAt,
    }))
}

async function listGranted({ db, t, companyId }: Scope, jobId: string): Promise<Concession[]> {
  const rows = await db
    .select()
    .from(t.concessions)
    .where(
      and(
        eq(t.concessions.companyId, companyId),
        eq(t.concessions.jobId, jobId),
        eq(t.concessions.granted, true),
      ),
    )
    .orderBy(asc(t.concessions.decidedAt), asc(t.concessions.id))
  return rows.map((row) => ({
    requirement: row.requirement,
    subjectId: row.subjectId,
    reason: row.reason,
    ...(row.conditions === null ? {} : { conditions: row.conditions }),
    by: row.decidedBy,
    at: row.decidedAt,
  }))
}
