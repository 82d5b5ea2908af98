// Lays a pair of tubes between two units, and with it the joints at its four ends.

import { z } from 'zod'
import { malformedField, missingField } from '../../refusals.ts'
import type { JointRow } from '../../store/queries/joints.ts'
import type { LineSetRow } from '../../store/queries/line-sets.ts'
import { type DatedUnit, findSystem, listUnits } from '../../store/queries/systems.ts'
import { JOINT_ORIGINS, JOINT_PLACES } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { type Context, defineCommand } from '../command.ts'
import { id, ownId, text } from '../fields.ts'
import { asTyped } from '../quantities.ts'
import { assertBothOrNone } from './add-system.ts'
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
import { insertJoints, jointBody } from './new-joint.ts'
import { insertUnit, unitBody } from './new-unit.ts'

export interface LaidLineSet {
  lineSet: LineSetRow
  joints: JointRow[]
}

/** What the outdoor unit brings for each pair of lines: stop valves under caps, and a service port (common practice, no source). */
export const OUTDOOR_FITTINGS = [
  { place: 'outdoor-liquid-cap', line: 'liquid', kind: 'valve-cap' },
  { place: 'outdoor-gas-cap', line: 'gas', kind: 'valve-cap' },
  { place: 'outdoor-gas-port', line: 'gas', kind: 'service-port' },
] as const

export const addLineSet = defineCommand({
  name: 'add-line-set',
  summary: 'Lay a line set between two units; its joints, ports and caps are laid out with it.',
  capability: 'set-up-system',
  input: z.strictObject({
    id: ownId,
    systemId: id,
    jobId: id
      .optional()
      .meta({ description: 'The job that lays it. Default: the one job that is open on the system.' }),
    name: text(120),
    fromUnitId: id.optional().meta({ description: 'Default: the outdoor unit.' }),
    toUnitId: id.optional(),
    indoorModel: text(120).optional().meta({ description: 'With `indoorSerial`: makes the indoor unit.' }),
    indoorSerial: text(120).optional(),
    liquidOd: tubeOd,
    gasOd: tubeOd,
    length: lineSetText.length,
    rise: lineSetText.rise.optional(),
    tubing,
    tubeWall: lineSetText.tubeWall.optional(),
    previousRefrigerant: lineSetText.previousRefrigerant.optional(),
    cleaning: lineSetText.cleaning.optional(),
    jointKind: lineSetJointKind,
    jointOrigin: z
      .enum(JOINT_ORIGINS, { error: () => say.systems.useOneOf(JOINT_ORIGINS.join(', ')) })
      .default('field')
      .meta({
        description:
          'Ends made here, flared in the factory, or there before. Fittings of a unit stay its own.',
      }),
    branchIndoors: z.boolean().default(true).meta({
      description: 'Ends at a branch unit lie inside the building. Default: true, the stricter answer.',
    }),
    room: roomFields.optional(),
    ...shortRoom,
  }),
  async handle(scope, input, context): Promise<LaidLineSet> {
    const { db, t, companyId } = scope
    const system = await findSystem(scope, input.systemId)
    const jobId = await jobForChange(scope, system.id, input.jobId)
    assertBothOrNone(input, 'indoorModel', 'indoorSerial')
    if (input.indoorModel !== undefined && input.toUnitId !== undefined)
      throw malformedField('toUnitId', say.systems.nameAUnitOr)
    const room = roomOf(input) ?? null

    const units = (await listUnits(scope, [system.id])).filter((unit) => unit.removedAt === null)
    const named = (path: string, unitId: string): DatedUnit => {
      const unit = units.find((candidate) => candidate.id === unitId)
      if (!unit) throw missingField(path, say.systems.thisUnit)
      return unit
    }
    const from = input.fromUnitId
      ? named('fromUnitId', input.fromUnitId)
      : units.findLast((unit) => unit.role === 'outdoor')
    let to: Pick<DatedUnit, 'id' | 'role'> | undefined = input.toUnitId
      ? named('toUnitId', input.toUnitId)
      : undefined
    if (from && to && from.id === to.id) throw malformedField('toUnitId', say.systems.aLineSetRuns)
    if (input.indoorModel !== undefined && input.indoorSerial !== undefined) {
      const unit = await insertUnit(scope, {
        id: context.newId(),
        systemId: system.id,
        role: 'indoor',
        name: input.name,
        model: input.indoorModel,
        serial: input.indoorSerial,
        installedAt: context.now,
        now: context.now,
      })
      record(context, 'unit-added', unit.id, unitBody(unit))
      to = unit
    }

    const lineSet: LineSetRow = {
      companyId,
      id: input.id ?? context.newId(),
      systemId: system.id,
      name: input.name,
      fromUnitId: from?.id ?? null,
      toUnitId: to?.id ?? null,
      liquidOdM: input.liquidOd.si,
      gasOdM: input.gasOd.si,
      lengthM: input.length.si,
      riseM: input.rise?.si ?? null,
      tubing: input.tubing,
      tubeWallM: input.tubeWall?.si ?? null,
      previousRefrigerant: input.previousRefrigerant ?? null,
      cleaning: input.cleaning ?? null,
      jointKind: input.jointKind,
      room,
      typed: asTyped(input),
      jobId,
      createdAt: context.now,
    }
    await db.insert(t.lineSets).values(lineSet)
    const sizeTyped = (line: 'liquid' | 'gas') =>
      asTyped({ tubeOd: line === 'liquid' ? input.liquidOd : input.gasOd })
    const joints = await insertJoints(
      scope,
      system,
      [...JOINT_PLACES, ...(from?.role === 'outdoor' ? OUTDOOR_FITTINGS : [])].map((laid) => {
        if (typeof laid !== 'string')
          return {
            ...laid,
            id: context.newId(),
            lineSetId: lineSet.id,
            unitId: from?.id ?? null,
            indoors: false,
            tubeOdM: laid.line === 'liquid' ? lineSet.liquidOdM : lineSet.gasOdM,
            typed: sizeTyped(laid.line),
            origin: 'factory' as const,
          }
        const place = laid
        const line = place.endsWith('liquid') ? ('liquid' as const) : ('gas' as const)
        const farEnd = place.startsWith('indoor')
        const unit = farEnd ? to : from
        return {
          id: context.newId(),
          lineSetId: lineSet.id,
          unitId: unit?.id ?? null,
          place,
          // While nobody has said what the far end is, the stricter answer holds.
          indoors: unit?.role === 'branch' ? input.branchIndoors : unit ? unit.role === 'indoor' : farEnd,
          line,
          tubeOdM: line === 'liquid' ? lineSet.liquidOdM : lineSet.gasOdM,
          kind: input.jointKind,
          origin: input.jointOrigin,
          typed: sizeTyped(line),
        }
      }),
      context.now,
    )
    record(context, 'line-set-laid', lineSet.id, {
      ...lineSetBody(lineSet),
      joints: joints.map(jointBody),
    })
    return { lineSet, joints }

    function record(at: Context, kind: string, subjectId: string, body: Record<string, unknown>) {
      at.record({ chainId: system.id, kind, subjectId, jobId, body })
    }
  },
})
