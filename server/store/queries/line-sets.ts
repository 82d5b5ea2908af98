// Which pairs of tubes run between the units of a system?

import { and, asc, eq, inArray } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'

export type LineSetRow = Tables['lineSets']['$inferSelect']

/** Refuses with missing. */
export async function findLineSet({ db, t, companyId }: Scope, lineSetId: string): Promise<LineSetRow> {
  const [row] = await db
    .select()
    .from(t.lineSets)
    .where(and(eq(t.lineSets.companyId, companyId), eq(t.lineSets.id, lineSetId)))
  if (!row) throw missing('This line set')
  return row
}

/** Line sets of some systems, in the order they were laid. */
export async function listLineSets(
  { db, t, companyId }: Scope,
  systemIds: readonly string[],
): Promise<LineSetRow[]> {
  if (systemIds.length === 0) return []
  return db
    .select()
    .from(t.lineSets)
    .where(and(eq(t.lineSets.companyId, companyId), inArray(t.lineSets.systemId, [...systemIds])))
    .orderBy(asc(t.lineSets.createdAt), asc(t.lineSets.id))
}

/** When each was last changed, of those that were. */
export async function listChangesOfLines(
  { db, t, companyId }: Scope,
  lineSetIds: readonly string[],
): Promise<Map<string, number>> {
  if (lineSetIds.length === 0) return new Map()
  const rows = await db
    .select({ id: t.entries.subjectId, at: t.entries.at })
    .from(t.entries)
    .where(
      and(
        eq(t.entries.companyId, companyId),
        inArray(t.entries.subjectId, [...lineSetIds]),
        eq(t.entries.kind, 'line-set-changed'),
      ),
    )
    .orderBy(asc(t.entries.at), asc(t.entries.id))
  return new Map(rows.map(({ id, at }) => [id, at]))
}

/** Has anything been made at a joint of this line set? Then its sizes can't change any more. */
export async function hasMakes({ db, t, companyId }: Scope, lineSetId: string): Promise<boolean> {
  const [row] = await db
    .select({ id: t.makes.id })
    .from(t.makes)
    .innerJoin(t.joints, and(eq(t.joints.companyId, t.makes.companyId), eq(t.joints.id, t.makes.jointId)))
    .where(and(eq(t.makes.companyId, companyId), eq(t.joints.lineSetId, lineSetId)))
    .limit(1)
  return row !== undefined
}
