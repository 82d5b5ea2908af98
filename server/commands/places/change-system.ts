// Changes a system's name, or the equipment sheet that it is judged by.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { findSystem, loadSystem, type WholeSystem } from '../../store/queries/systems.ts'
import { defineCommand } from '../command.ts'
import { id, text } from '../fields.ts'
import { jobForChange } from './job-for.ts'
import { sheetFor } from './sheet-for.ts'

export const changeSystem = defineCommand({
  name: 'change-system',
  summary: 'Change a system’s name or its equipment sheet.',
  capability: 'set-up-system',
  input: z.strictObject({
    systemId: id,
    name: text(120).optional(),
    equipmentSheetId: id.nullable().optional(),
  }),
  async handle(scope, input, context): Promise<WholeSystem> {
    const { db, t, companyId } = scope
    const before = await findSystem(scope, input.systemId)
    const name = input.name ?? before.name
    const sheet = input.equipmentSheetId
      ? await sheetFor(scope, input.equipmentSheetId, before.refrigerant)
      : null
    const equipmentSheetId =
      input.equipmentSheetId === undefined ? before.equipmentSheetId : (sheet?.id ?? null)
    await db
      .update(t.systems)
      .set({ name, equipmentSheetId })
      .where(and(eq(t.systems.companyId, companyId), eq(t.systems.id, before.id)))
    context.record({
      chainId: before.id,
      kind: 'system-changed',
      subjectId: before.id,
      jobId: await jobForChange(scope, before.id),
      body: { name, sheet: equipmentSheetId, sheetBefore: before.equipmentSheetId },
    })
    return loadSystem(scope, before.id)
  },
})
