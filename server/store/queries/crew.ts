// Who does the work, with or without an account, and what are they certified for?

import { and, desc, eq, lt, or } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import { type Page, pageOf, readCursor } from './pages.ts'

export type CrewRow = Tables['crew']['$inferSelect']

/** Newest first. */
export async function listCrewPage(
  { db, t, companyId }: Scope,
  filter: { limit: number; cursor?: string | undefined },
): Promise<Page<CrewRow>> {
  const after = readCursor(filter.cursor)
  const rows = await db
    .select()
    .from(t.crew)
    .where(
      and(
        eq(t.crew.companyId, companyId),
        after
          ? or(lt(t.crew.createdAt, after.at), and(eq(t.crew.createdAt, after.at), lt(t.crew.id, after.id)))
          : undefined,
      ),
    )
    .orderBy(desc(t.crew.createdAt), desc(t.crew.id))
    .limit(filter.limit + 1)
  return pageOf(rows, filter.limit, (row) => ({ at: row.createdAt, id: row.id }))
}

/** Refuses with missing. */
export async function findCrewPerson({ db, t, companyId }: Scope, crewId: string): Promise<CrewRow> {
  const [row] = await db
    .select()
    .from(t.crew)
    .where(and(eq(t.crew.companyId, companyId), eq(t.crew.id, crewId)))
  if (!row) throw missing('This person of the crew')
  return row
}

/** Which person of the crew holds this account? */
export async function crewOfMember({ db, t, companyId }: Scope, memberId: string): Promise<CrewRow | null> {
  const [row] = await db
    .select()
    .from(t.crew)
    .where(and(eq(t.crew.companyId, companyId), eq(t.crew.memberId, memberId)))
  return row ?? null
}
