// Keeps the figures of one equipment model as its manual states them, with the document and page.

import type { z } from 'zod'
import { findSheet, type SheetRow } from '../../store/queries/equipment-sheets.ts'
import { defineCommand } from '../command.ts'
import { ownId } from '../fields.ts'
import { asSent, figuresOf, type Sheet, wholeSheet } from './sheet-fields.ts'

export const addEquipmentSheet = defineCommand({
  name: 'add-equipment-sheet',
  summary: 'Add an equipment sheet: a model’s figures, with the document and page they were read from.',
  capability: 'edit-sheet',
  input: wholeSheet.safeExtend({ id: ownId }),
  async handle(scope, input, context): Promise<SheetRow> {
    const { db, t, companyId } = scope
    const { id, ...sheet } = input
    const row = { companyId, id: id ?? context.newId(), ...columnsOf(sheet), createdAt: context.now }
    await db.insert(t.equipmentSheets).values(row)
    context.record({
      chainId: companyId,
      kind: 'equipment-sheet-added',
      subjectId: row.id,
      body: sheetBody(row),
    })
    return findSheet(scope, row.id)
  },
})

export type SheetInput = z.input<typeof wholeSheet>

/** A sheet as it is kept: searched columns, figures in SI, and what was sent. */
export function columnsOf(sheet: Sheet) {
  return {
    maker: sheet.maker,
    model: sheet.model,
    kind: sheet.kind,
    refrigerant: sheet.refrigerant,
    figures: figuresOf(sheet),
    typed: asSent(sheet) as Record<string, unknown>,
    sourceDocument: sheet.source.document,
    sourcePage: sheet.source.page,
  }
}

/** A sheet as the chain carries it. */
export const sheetBody = (row: ReturnType<typeof columnsOf>): Record<string, unknown> => ({
  maker: row.maker,
  model: row.model,
  kind: row.kind,
  refrigerant: row.refrigerant,
  figures: row.figures,
  source: { document: row.sourceDocument, page: row.sourcePage },
})
