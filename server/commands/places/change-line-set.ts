// Corrects or completes what is known of a line set; sizes and joint kind only while nothing was made at its ends.

import { and, asc, eq } from 'drizzle-orm'
import { z } from 'zod'
import { conflict, missingField } from '../../refusals.ts'
import { findLineSet, hasMakes, type LineSetRow } from '../../store/queries/line-sets.ts'
import { listUnits } from '../../store/queries/systems.ts'
import { JOINT_PLACES } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, text } from '../fields.ts'
import { asTyped } from '../quantities.ts'
import type { LaidLineSet } from './add-line-set.ts'
import { OUTDOOR_FITTINGS } from './add-line-set.ts'
import { jobForChange } from './job-for.ts'
import {
  lineSetBody,
  lineSetJointKind,
  lineSetText,
  roomFields,
  roomOf,
  shortRoom,
  tubeOd,
  tubing,
} from './line-set-fields.ts'

export const changeLineSet = defineCommand({
  name: 'change-line-set',
  summary: 'Change a line set’s name, length, rise, tubing, room or unit; its sizes until work on it begins.',
  capability: 'set-up-system',
  input: z.strictObject({
    lineSetId: id,
    jobId: id.optional().meta({ description: 'The job that changed it. Default: the one that is open.' }),
    name: text(120).optional(),
    toUnitId: id.optional().meta({ description: 'Only while it runs to no unit yet.' }),
    liquidOd: tubeOd.optional(),
    gasOd: tubeOd.optional(),
    length: lineSetText.length.optional(),
    rise: lineSetText.rise.nullable().optional(),
    tubing: tubing.optional(),
    tubeWall: lineSetText.tubeWall.nullable().optional(),
    previousRefrigerant: lineSetText.previousRefrigerant.nullable().optional(),
    cleaning: lineSetText.cleaning.nullable().optional(),
    jointKind: lineSetJointKind.optional(),
    room: roomFields.nullable().optional(),
    ...shortRoom,
  }),
  async handle(scope, input, context): Promise<LaidLineSet> {
    const { db, t, companyId } = scope
    const before = await findLineSet(scope, input.lineSetId)
    const jobId = await jobForChange(scope, before.systemId, input.jobId)
    const room = roomOf(input)
    const after: LineSetRow = {
      ...before,
      name: input.name ?? before.name,
      toUnitId: input.toUnitId ?? before.toUnitId,
      liquidOdM: input.liquidOd?.si ?? before.liquidOdM,
      gasOdM: input.gasOd?.si ?? before.gasOdM,
      lengthM: input.length?.si ?? before.lengthM,
      riseM: input.rise === undefined ? before.riseM : (input.rise?.si ?? null),
      tubing: input.tubing ?? before.tubing,
      tubeWallM: input.tubeWall === undefined ? before.tubeWallM : (input.tubeWall?.si ?? null),
      previousRefrigerant:
        input.previousRefrigerant === undefined ? before.previousRefrigerant : input.previousRefrigerant,
      cleaning: input.cleaning === undefined ? before.cleaning : input.cleaning,
      jointKind: input.jointKind ?? before.jointKind,
      room: room === undefined ? before.room : room,
      typed: typedAfter(before, input),
      jobId: jobId ?? before.jobId,
    }
    const sizesChange =
      after.liquidOdM !== before.liquidOdM ||
      after.gasOdM !== before.gasOdM ||
      after.jointKind !== before.jointKind
    if (sizesChange && (await hasMakes(scope, before.id)))
      throw conflict('line-set-begun', say.systems.workOnItsJoints)
    const ours = eq(t.joints.lineSetId, before.id)
    if (input.toUnitId !== undefined && input.toUnitId !== before.toUnitId) {
      if (before.toUnitId !== null)
        throw conflict('unit-known', say.systems.itAlreadyRunsTo, [
          { path: 'toUnitId', message: say.systems.itAlreadyRunsTo },
        ])
      const unit = (await listUnits(scope, [before.systemId])).find(({ id }) => id === input.toUnitId)
      if (!unit || unit.removedAt !== null) throw missingField('toUnitId', say.systems.thisUnit)
      for (const place of JOINT_PLACES.filter((place) => place.startsWith('indoor'))) {
        await db
          .update(t.joints)
          .set({ unitId: unit.id, indoors: unit.role !== 'outdoor' })
          .where(and(eq(t.joints.companyId, companyId), ours, eq(t.joints.place, place)))
      }
    }
    if (sizesChange) {
      const sizeOf = (line: 'liquid' | 'gas') => {
        const typed = after.typed[line === 'liquid' ? 'liquidOd' : 'gasOd']
        return {
          tubeOdM: line === 'liquid' ? after.liquidOdM : after.gasOdM,
          typed: typed ? { tubeOd: typed } : {},
        }
      }
      for (const place of JOINT_PLACES) {
        await db
          .update(t.joints)
          .set({ ...sizeOf(place.endsWith('liquid') ? 'liquid' : 'gas'), kind: after.jointKind })
          .where(and(eq(t.joints.companyId, companyId), ours, eq(t.joints.place, place)))
      }
      for (const { place, line } of OUTDOOR_FITTINGS)
        await db
          .update(t.joints)
          .set(sizeOf(line))
          .where(and(eq(t.joints.companyId, companyId), ours, eq(t.joints.place, place)))
    }
    const { companyId: _company, id: lineSetId, systemId, createdAt: _created, ...columns } = after
    await db
      .update(t.lineSets)
      .set(columns)
      .where(and(eq(t.lineSets.companyId, companyId), eq(t.lineSets.id, lineSetId)))
    context.record({
      chainId: systemId,
      kind: 'line-set-changed',
      subjectId: lineSetId,
      jobId,
      body: lineSetBody(after),
    })
    const joints = await db
      .select()
      .from(t.joints)
      .where(and(eq(t.joints.companyId, companyId), ours))
      .orderBy(asc(t.joints.number))
    return { lineSet: after, joints }
  },
})

/** What was typed before stays, except where it was typed anew or taken away. */
function typedAfter(before: LineSetRow, input: Record<string, unknown>): LineSetRow['typed'] {
  const typed = { ...before.typed }
  const roomSaid = input.room !== undefined || input.roomFloorArea !== undefined
  for (const path of Object.keys(typed)) {
    const name = path.split('.')[0] ?? path
    if (input[name] !== undefined || (roomSaid && name.startsWith('room'))) delete typed[path]
  }
  return { ...typed, ...asTyped(input) }
}
