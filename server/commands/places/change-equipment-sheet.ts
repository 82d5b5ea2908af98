// Changes figures of an equipment sheet; what comes out is checked as a whole, as if it were sent anew.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { findSheet, type SheetRow } from '../../store/queries/equipment-sheets.ts'
import { defineCommand, parse } from '../command.ts'
import { id } from '../fields.ts'
import { columnsOf, sheetBody } from './add-equipment-sheet.ts'
import { asSent, sheetShape, wholeSheet } from './sheet-fields.ts'

/** Every field may be left as it is; those a sheet can do without may be taken away with null. */
const changes = Object.fromEntries(
  Object.entries(sheetShape).map(([name, field]) => [
    name,
    field instanceof z.ZodOptional ? field.unwrap().nullable().optional() : field.optional(),
  ]),
) as unknown as {
  [Name in keyof typeof sheetShape]: z.ZodOptional<z.ZodNullable<(typeof sheetShape)[Name]>>
}

export const changeEquipmentSheet = defineCommand({
  name: 'change-equipment-sheet',
  summary: 'Change figures of an equipment sheet; the whole is checked again.',
  capability: 'edit-sheet',
  input: z.strictObject({ sheetId: id, ...changes }),
  async handle(scope, input, context): Promise<SheetRow> {
    const { db, t, companyId } = scope
    const before = await findSheet(scope, input.sheetId)
    const { sheetId: _sheet, ...changed } = input
    const merged = { ...before.typed, ...(asSent(changed) as Record<string, unknown>) }
    const kept = Object.fromEntries(Object.entries(merged).filter(([, value]) => value !== null))
    const columns = columnsOf(parse(wholeSheet, kept))
    await db
      .update(t.equipmentSheets)
      .set(columns)
      .where(and(eq(t.equipmentSheets.companyId, companyId), eq(t.equipmentSheets.id, before.id)))
    context.record({
      chainId: companyId,
      kind: 'equipment-sheet-changed',
      subjectId: before.id,
      body: { ...sheetBody(columns), before: before.figures },
    })
    return findSheet(scope, before.id)
  },
})
