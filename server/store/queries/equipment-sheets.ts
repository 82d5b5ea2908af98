// Which equipment models does the company know figures of?

import { and, asc, desc, eq, lt, or } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import { type Page, pageOf, readCursor } from './pages.ts'

export type SheetRow = Tables['equipmentSheets']['$inferSelect']

/** Refuses with missing. */
export async function findSheet(scope: Scope, sheetId: string): Promise<SheetRow> {
  const row = await findSheetIfAny(scope, sheetId)
  if (!row) throw missing('This equipment sheet')
  return row
}

export async function findSheetIfAny({ db, t, companyId }: Scope, sheetId: string): Promise<SheetRow | null> {
  const [row] = await db
    .select()
    .from(t.equipmentSheets)
    .where(and(eq(t.equipmentSheets.companyId, companyId), eq(t.equipmentSheets.id, sheetId)))
  return row ?? null
}

/** Newest first. */
export async function listSheets(
  { db, t, companyId }: Scope,
  filter: { limit: number; cursor?: string | undefined },
): Promise<Page<SheetRow>> {
  const after = readCursor(filter.cursor)
  const rows = await db
    .select()
    .from(t.equipmentSheets)
    .where(
      and(
        eq(t.equipmentSheets.companyId, companyId),
        after
          ? or(
              lt(t.equipmentSheets.createdAt, after.at),
              and(eq(t.equipmentSheets.createdAt, after.at), lt(t.equipmentSheets.id, after.id)),
            )
          : undefined,
      ),
    )
    .orderBy(desc(t.equipmentSheets.createdAt), desc(t.equipmentSheets.id))
    .limit(filter.limit + 1)
  return pageOf(rows, filter.limit, (row) => ({ at: row.createdAt, id: row.id }))
}

export interface NamedSheet {
  id: string
  maker: string
  model: string
  refrigerant: SheetRow['refrigerant']
}

/** Names only, for choosing one; by maker and model. */
export async function listSheetNames({ db, t, companyId }: Scope): Promise<NamedSheet[]> {
  return db
    .select({
      id: t.equipmentSheets.id,
      maker: t.equipmentSheets.maker,
      model: t.equipmentSheets.model,
      refrigerant: t.equipmentSheets.refrigerant,
    })
    .from(t.equipmentSheets)
    .where(eq(t.equipmentSheets.companyId, companyId))
    .orderBy(asc(t.equipmentSheets.maker), asc(t.equipmentSheets.model), asc(t.equipmentSheets.id))
    .limit(500)
}
