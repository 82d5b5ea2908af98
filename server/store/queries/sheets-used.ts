// What do the equipment sheets say that some systems are judged by?

import { and, eq, inArray, sql } from 'drizzle-orm'
import type { EquipmentSheet } from '../../rules/dossier.ts'
import { prepared } from '../prepared.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'

type SheetRow = Tables['equipmentSheets']['$inferSelect']

export async function findSheetFigures(scope: Scope, sheetId: string | null): Promise<EquipmentSheet | null> {
  if (sheetId === null) return null
  const [row] = await prepared<SheetRow>(scope, 'sheet_by_id', ({ db, t }) =>
    db
      .select()
      .from(t.equipmentSheets)
      .where(
        and(
          eq(t.equipmentSheets.companyId, sql.placeholder('companyId')),
          eq(t.equipmentSheets.id, sql.placeholder('id')),
        ),
      ),
  ).execute({ companyId: scope.companyId, id: sheetId })
  return row ? asSheet(row) : null
}

export async function listSheetsById(
  scope: Scope,
  ids: Iterable<string>,
): Promise<Map<string, EquipmentSheet>> {
  const wanted = [...new Set(ids)]
  if (wanted.length === 0) return new Map()
  const { db, t, companyId } = scope
  const rows = await db
    .select()
    .from(t.equipmentSheets)
    .where(and(eq(t.equipmentSheets.companyId, companyId), inArray(t.equipmentSheets.id, wanted)))
  return new Map(rows.map((row) => [row.id, asSheet(row)]))
}

export const asSheet = (row: SheetRow): EquipmentSheet => ({
  id: row.id,
  maker: row.maker,
  model: row.model,
  refrigerant: row.refrigerant,
  source: { document: row.sourceDocument, page: row.sourcePage },
  ...row.figures,
})
