// What is on one refrigerant circuit? Systems, their dated units, and the numbers of their joints.

import { and, asc, desc, eq, inArray, max, sql } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import { prepared } from '../prepared.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import { type JobRow, jobIdsOf } from './jobs.ts'
import type { JointRow } from './joints.ts'
import { type LineSetRow, listLineSets } from './line-sets.ts'

export type SystemRow = Tables['systems']['$inferSelect']
export type UnitRow = Tables['units']['$inferSelect']

/** A unit with its removal, if it was taken out. */
export interface DatedUnit extends UnitRow {
  removedAt: number | null
  removalReason: string | null
}

/** A joint with its retirement, if it was taken out of service. */
export interface PlacedJoint extends JointRow {
  retiredAt: number | null
  retiredReason: string | null
}

/** Refuses with missing. */
export async function findSystem(scope: Scope, systemId: string): Promise<SystemRow> {
  const [row] = await prepared<SystemRow>(scope, 'system_by_id', ({ db, t }) =>
    db
      .select()
      .from(t.systems)
      .where(
        and(eq(t.systems.companyId, sql.placeholder('companyId')), eq(t.systems.id, sql.placeholder('id'))),
      ),
  ).execute({ companyId: scope.companyId, id: systemId })
  if (!row) throw missing('This system')
  return row
}

/** Systems of some sites, oldest first. */
export async function listSystemsOfSites(
  { db, t, companyId }: Scope,
  siteIds: readonly string[],
): Promise<SystemRow[]> {
  if (siteIds.length === 0) return []
  return db
    .select()
    .from(t.systems)
    .where(and(eq(t.systems.companyId, companyId), inArray(t.systems.siteId, [...siteIds])))
    .orderBy(asc(t.systems.createdAt), asc(t.systems.id))
}

/** Units of some systems, those taken out too, oldest first. */
export async function listUnits(
  { db, t, companyId }: Scope,
  systemIds: readonly string[],
): Promise<DatedUnit[]> {
  if (systemIds.length === 0) return []
  const rows = await db
    .select({ unit: t.units, removedAt: t.unitRemovals.removedAt, reason: t.unitRemovals.reason })
    .from(t.units)
    .leftJoin(
      t.unitRemovals,
      and(eq(t.unitRemovals.companyId, t.units.companyId), eq(t.unitRemovals.unitId, t.units.id)),
    )
    .where(and(eq(t.units.companyId, companyId), inArray(t.units.systemId, [...systemIds])))
    .orderBy(asc(t.units.installedAt), asc(t.units.id))
  return rows.map(({ unit, removedAt, reason }) => ({ ...unit, removedAt, removalReason: reason }))
}

/** Refuses with missing. */
export async function findUnit({ db, t, companyId }: Scope, unitId: string): Promise<DatedUnit> {
  const [row] = await db
    .select({ unit: t.units, removedAt: t.unitRemovals.removedAt, reason: t.unitRemovals.reason })
    .from(t.units)
    .leftJoin(
      t.unitRemovals,
      and(eq(t.unitRemovals.companyId, t.units.companyId), eq(t.unitRemovals.unitId, t.units.id)),
    )
    .where(and(eq(t.units.companyId, companyId), eq(t.units.id, unitId)))
  if (!row) throw missing('This unit')
  return { ...row.unit, removedAt: row.removedAt, removalReason: row.reason }
}

/** Joints of a system by number, those retired too; without their makes. */
export async function listPlacedJoints(
  { db, t, companyId }: Scope,
  systemId: string,
): Promise<PlacedJoint[]> {
  const rows = await db
    .select({
      joint: t.joints,
      retiredAt: t.jointRetirements.retiredAt,
      reason: t.jointRetirements.reason,
    })
    .from(t.joints)
    .leftJoin(
      t.jointRetirements,
      and(eq(t.jointRetirements.companyId, t.joints.companyId), eq(t.jointRetirements.jointId, t.joints.id)),
    )
    .where(and(eq(t.joints.companyId, companyId), eq(t.joints.systemId, systemId)))
    .orderBy(asc(t.joints.number))
  return rows.map(({ joint, retiredAt, reason }) => ({ ...joint, retiredAt, retiredReason: reason }))
}

export interface WholeSystem {
  system: SystemRow
  units: DatedUnit[]
  lineSets: LineSetRow[]
  joints: PlacedJoint[]
}

/** Refuses with missing. */
export async function loadSystem(scope: Scope, systemId: string): Promise<WholeSystem> {
  const system = await findSystem(scope, systemId)
  return {
    system,
    units: await listUnits(scope, [systemId]),
    lineSets: await listLineSets(scope, [systemId]),
    joints: await listPlacedJoints(scope, systemId),
  }
}

/** Jobs on a system, newest first. */
export async function listJobsOfSystem(scope: Scope, systemId: string): Promise<JobRow[]> {
  const { db, t, companyId } = scope
  const jobIds = await jobIdsOf(scope, systemId)
  if (jobIds.length === 0) return []
  return db
    .select()
    .from(t.jobs)
    .where(and(eq(t.jobs.companyId, companyId), inArray(t.jobs.id, jobIds)))
    .orderBy(desc(t.jobs.openedAt), desc(t.jobs.id))
}

/**
 * Takes a chain's row until the commit, so that two who number something on it at once wait for each other. SQLite
 * has one writer anyway; on PostgreSQL this is the row lock.
 */
export async function holdChain({ db, t, companyId }: Scope, chainId: string): Promise<void> {
  await db
    .update(t.chains)
    .set({ headNumber: sql`${t.chains.headNumber}` })
    .where(and(eq(t.chains.companyId, companyId), eq(t.chains.id, chainId)))
}

/** The number the next joint of a system gets. Hold the system's chain first. */
export async function nextJointNumber({ db, t, companyId }: Scope, systemId: string): Promise<number> {
  const [row] = await db
    .select({ highest: max(t.joints.number) })
    .from(t.joints)
    .where(and(eq(t.joints.companyId, companyId), eq(t.joints.systemId, systemId)))
  return (row?.highest ?? 0) + 1
}

export async function isTagPrefixTaken({ db, t, companyId }: Scope, tagPrefix: string): Promise<boolean> {
  const [row] = await db
    .select({ id: t.systems.id })
    .from(t.systems)
    .where(and(eq(t.systems.companyId, companyId), eq(t.systems.tagPrefix, tagPrefix)))
  return row !== undefined
}
