// Puts a unit into a system, new or in place of another; the one it replaces is taken out, never overwritten.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { conflict, malformedField, missingField } from '../../refusals.ts'
import { type DatedUnit, findSystem, findUnit, listUnits } from '../../store/queries/systems.ts'
import { appendFact, type FactSeal } from '../../store/record.ts'
import { keepLivesOfSystem } from '../../store/rollups.ts'
import type { Scope } from '../../store/store.ts'
import { UNIT_ROLES } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, moment, ownId, reason, text } from '../fields.ts'
import { notFuture } from '../provenance.ts'
import { jobForChange } from './job-for.ts'
import { insertUnit, unitBody, unitNames } from './new-unit.ts'
import { sheetFor } from './sheet-for.ts'

export const addUnit = defineCommand({
  name: 'add-unit',
  summary: 'Add an outdoor, indoor or branch unit to a system, or replace one.',
  capability: 'set-up-system',
  input: z.strictObject({
    id: ownId,
    systemId: id,
    role: z.enum(UNIT_ROLES, { error: () => say.systems.useOneOf(UNIT_ROLES.join(', ')) }),
    name: text(120).optional().meta({ description: 'As people call it: "Kitchen".' }),
    model: text(120),
    serial: text(120),
    equipmentSheetId: id.optional(),
    installedAt: moment.optional().meta({ description: 'Default: now. Not the future.' }),
    replacesUnitId: id.optional().meta({ description: 'The unit it takes the place of.' }),
    reason: reason.optional().meta({ description: 'Why the old one was replaced.' }),
    warrantyStart: moment.optional(),
    warrantyEnd: moment.optional(),
    registeredWithMaker: z.boolean().optional(),
  }),
  async handle(scope, input, context): Promise<DatedUnit> {
    const system = await findSystem(scope, input.systemId)
    const installedAt = notFuture('installedAt', input.installedAt ?? context.now, context.now)
    if (input.warrantyStart && input.warrantyEnd && input.warrantyEnd < input.warrantyStart)
      throw malformedField('warrantyEnd', say.systems.theWarrantyWouldEnd)
    const sheet = input.equipmentSheetId
      ? await sheetFor(scope, input.equipmentSheetId, system.refrigerant)
      : null
    const old = input.replacesUnitId
      ? (await listUnits(scope, [system.id])).find((unit) => unit.id === input.replacesUnitId)
      : undefined
    if (input.replacesUnitId && !old) throw missingField('replacesUnitId', say.systems.thisUnit)
    if (old) assertReplaceable(old, input.role, installedAt)

    const unit = await insertUnit(scope, {
      id: input.id ?? context.newId(),
      systemId: system.id,
      role: input.role,
      name: input.name ?? old?.name ?? unitNames()[input.role],
      model: input.model,
      serial: input.serial,
      equipmentSheetId: sheet?.id ?? null,
      replacesUnitId: old?.id ?? null,
      installedAt,
      warrantyStartAt: input.warrantyStart ?? null,
      warrantyEndAt: input.warrantyEnd ?? null,
      registeredWithMaker: input.registeredWithMaker ?? false,
      now: context.now,
    })
    const facts: FactSeal[] = []
    if (old) {
      if (old.removedAt === null) {
        facts.push(
          await appendFact(scope, 'unitRemovals', {
            companyId: scope.companyId,
            id: context.newId(),
            unitId: old.id,
            reason: input.reason ?? say.systems.replaced,
            removedAt: installedAt,
            recordedBy: context.actor.memberId,
            recordedAt: context.now,
          }),
        )
      }
      await moveConnections(scope, old.id, unit.id)
    }
    context.record({
      chainId: system.id,
      kind: old ? 'unit-replaced' : 'unit-added',
      subjectId: unit.id,
      jobId: await jobForChange(scope, system.id),
      facts,
      body: { ...unitBody(unit), ...(input.reason ? { reason: input.reason } : {}) },
    })
    if (unit.role === 'outdoor') await keepLivesOfSystem(scope, system.id)
    return findUnit(scope, unit.id)
  },
})

function assertReplaceable(old: DatedUnit, role: string, installedAt: number): void {
  if (old.role !== role) throw malformedField('replacesUnitId', say.systems.thatIsAnUnit(old.role, role))
  if (installedAt < old.installedAt) throw malformedField('installedAt', say.systems.theUnitItReplaces)
  if (old.removedAt !== null && installedAt < old.removedAt)
    throw conflict('still-standing', say.systems.theUnitItReplacesWas, [
      { path: 'installedAt', message: say.systems.theUnitItReplacesWas },
    ])
}

/** The tubes stay where they are: what was connected to the old unit is connected to the new one. */
async function moveConnections({ db, t, companyId }: Scope, from: string, to: string): Promise<void> {
  await db
    .update(t.joints)
    .set({ unitId: to })
    .where(and(eq(t.joints.companyId, companyId), eq(t.joints.unitId, from)))
  await db
    .update(t.lineSets)
    .set({ fromUnitId: to })
    .where(and(eq(t.lineSets.companyId, companyId), eq(t.lineSets.fromUnitId, from)))
  await db
    .update(t.lineSets)
    .set({ toUnitId: to })
    .where(and(eq(t.lineSets.companyId, companyId), eq(t.lineSets.toUnitId, from)))
}
