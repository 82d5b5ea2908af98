// Puts a new system at a job's site: its record begins here, and with it the numbers of its joints.

import { z } from 'zod'
import { malformedField } from '../../refusals.ts'
import { holdChain, loadSystem, type WholeSystem } from '../../store/queries/systems.ts'
import { startChain } from '../../store/record.ts'
import { keepFindable, systemFoundBy } from '../../store/search-terms.ts'
import { REFRIGERANT_NAMES } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, ownId, text } from '../fields.ts'
import { findOpenJob } from '../jobs/job-turns.ts'
import { insertUnit, unitBody, unitNames } from './new-unit.ts'
import { sheetFor } from './sheet-for.ts'
import { assertTagPrefixFree, lettersOf, nextTagPrefix, tagPrefix } from './tag-prefix.ts'

export const refrigerantName = z.enum(REFRIGERANT_NAMES, {
  error: () => say.systems.useOneOf(REFRIGERANT_NAMES.join(', ')),
})

export const addSystem = defineCommand({
  name: 'add-system',
  summary: 'Add a system at a job’s site, with its outdoor unit when model and serial are given.',
  capability: 'set-up-system',
  input: z.strictObject({
    id: ownId,
    jobId: id,
    name: text(120),
    refrigerant: refrigerantName,
    equipmentSheetId: id.optional(),
    outdoorModel: text(120).optional(),
    outdoorSerial: text(120).optional(),
    tagPrefix: tagPrefix.optional(),
  }),
  async handle(scope, input, context): Promise<WholeSystem> {
    const { db, t, companyId } = scope
    const job = await findOpenJob(scope, input.jobId)
    assertBothOrNone(input, 'outdoorModel', 'outdoorSerial')
    const sheet = input.equipmentSheetId
      ? await sheetFor(scope, input.equipmentSheetId, input.refrigerant)
      : null
    // Two systems added at once must not get the same letters and number.
    await holdChain(scope, companyId)
    if (input.tagPrefix) await assertTagPrefixFree(scope, input.tagPrefix)
    const system = {
      companyId,
      id: input.id ?? context.newId(),
      siteId: job.siteId,
      name: input.name,
      tagPrefix: input.tagPrefix ?? (await nextTagPrefix(scope, lettersOf(context.actor.companyName))),
      refrigerant: input.refrigerant,
      equipmentSheetId: sheet?.id ?? null,
      createdAt: context.now,
    }
    await db.insert(t.systems).values(system)
    await keepFindable(scope, [systemFoundBy(system)])
    await startChain(scope, system.id, 'system')
    await db.insert(t.jobSystems).values({ companyId, jobId: job.id, systemId: system.id })
    context.record({
      chainId: system.id,
      kind: 'system-added',
      subjectId: system.id,
      jobId: job.id,
      body: {
        site: system.siteId,
        name: system.name,
        tagPrefix: system.tagPrefix,
        refrigerant: system.refrigerant,
        sheet: system.equipmentSheetId,
      },
    })
    if (input.outdoorModel !== undefined && input.outdoorSerial !== undefined) {
      const unit = await insertUnit(scope, {
        id: context.newId(),
        systemId: system.id,
        role: 'outdoor',
        name: unitNames().outdoor,
        model: input.outdoorModel,
        serial: input.outdoorSerial,
        equipmentSheetId: system.equipmentSheetId,
        installedAt: context.now,
        now: context.now,
      })
      context.record({
        chainId: system.id,
        kind: 'unit-added',
        subjectId: unit.id,
        jobId: job.id,
        body: unitBody(unit),
      })
    }
    return loadSystem(scope, system.id)
  },
})

/** Two fields of a short form that only mean something together. */
export function assertBothOrNone<Name extends string>(
  input: Partial<Record<Name, unknown>>,
  one: Name,
  other: Name,
): void {
  if (input[one] !== undefined && input[other] === undefined)
    throw malformedField(other, say.systems.enterThisTooOr)
  if (input[other] !== undefined && input[one] === undefined)
    throw malformedField(one, say.systems.enterThisTooOr)
}
