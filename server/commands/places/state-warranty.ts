// States what a unit's papers say of its warranty: its first and last day, and whether it is registered with the maker.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { malformedField } from '../../refusals.ts'
import { type DatedUnit, findUnit, holdChain } from '../../store/queries/systems.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, moment } from '../fields.ts'

export const stateWarranty = defineCommand({
  name: 'state-warranty',
  summary: 'State a unit’s warranty: its first and last day, and whether it is registered with the maker.',
  capability: 'handle-callback',
  input: z.strictObject({
    unitId: id,
    warrantyStart: moment
      .nullable()
      .optional()
      .meta({ description: 'Left out: as it was. Null: not known.' }),
    warrantyEnd: moment.nullable().optional().meta({ description: 'The last day; it counts whole.' }),
    registeredWithMaker: z.boolean().optional(),
  }),
  async handle(scope, input, context): Promise<DatedUnit> {
    const { db, t, companyId } = scope
    const { systemId } = await findUnit(scope, input.unitId)
    await holdChain(scope, systemId)
    const unit = await findUnit(scope, input.unitId)
    const now = {
      warrantyStartAt: input.warrantyStart === undefined ? unit.warrantyStartAt : input.warrantyStart,
      warrantyEndAt: input.warrantyEnd === undefined ? unit.warrantyEndAt : input.warrantyEnd,
      registeredWithMaker: input.registeredWithMaker ?? unit.registeredWithMaker,
    }
    if (now.warrantyStartAt !== null && now.warrantyEndAt !== null && now.warrantyEndAt < now.warrantyStartAt)
      throw malformedField('warrantyEnd', say.systems.theWarrantyWouldEnd)
    await db
      .update(t.units)
      .set(now)
      .where(and(eq(t.units.companyId, companyId), eq(t.units.id, unit.id)))
    context.record({ chainId: systemId, kind: 'warranty-stated', subjectId: unit.id, body: { ...now } })
    return findUnit(scope, unit.id)
  },
})
