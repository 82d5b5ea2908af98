// Which fields does a line set take, and how is the room that it ends in told?

import { z } from 'zod'
import { malformedField } from '../../refusals.ts'
import type { Room } from '../../rules/dossier.ts'
import type { LineSetRow } from '../../store/queries/line-sets.ts'
import { LINE_SET_JOINT_KINDS, MOUNTINGS, ROOM_METHODS, TUBING } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { text } from '../fields.ts'
import { area, length, type Measured, signedLength } from '../quantities.ts'

/** Smaller or larger than this is no tube of a split system. */
export const tubeOd = length({ min: 0.003, max: 0.08 })
export const tubing = z.enum(TUBING, { error: () => say.systems.useOneOf(TUBING.join(', ')) })
export const lineSetJointKind = z.enum(LINE_SET_JOINT_KINDS, {
  error: () => say.systems.useOneOf(LINE_SET_JOINT_KINDS.join(', ')),
})
const mounting = z.enum(MOUNTINGS, { error: () => say.systems.useOneOf(MOUNTINGS.join(', ')) })

export const lineSetText = {
  length: length({ min: 0.1, max: 500 }),
  rise: signedLength({ min: -150, max: 150 }).meta({
    description: 'Positive when the indoor end is above the outdoor end.',
  }),
  tubeWall: length({ min: 0.0002, max: 0.01 }),
  previousRefrigerant: text(60),
  cleaning: text(500),
}

export const roomFields = z.strictObject({
  floorArea: area({ min: 0.1 }),
  releaseHeight: length({ max: 20 }).optional(),
  mounting: mounting.optional(),
  method: z.enum(ROOM_METHODS, { error: () => say.systems.useOneOf(ROOM_METHODS.join(', ')) }),
  document: text(200).optional(),
  page: text(40).optional(),
  measured: z
    .boolean()
    .optional()
    .meta({ description: 'True when the floor area was measured on site. Default: false.' }),
})

/** The short form of a room: its floor area, and where the indoor unit hangs. */
export const shortRoom = {
  roomFloorArea: area({ min: 0.1 }).optional(),
  mounting: mounting.optional(),
}

interface RoomInput {
  room?: z.output<typeof roomFields> | null | undefined
  roomFloorArea?: Measured | undefined
  mounting?: Room['mounting'] | undefined
}

/** Undefined when nothing was said about the room, null when it is to be forgotten. */
export function roomOf(input: RoomInput): Room | null | undefined {
  if (input.room !== undefined) {
    if (input.roomFloorArea !== undefined || input.mounting !== undefined)
      throw malformedField('room', say.systems.useEitherTheRoom)
    const { room } = input
    return room === null
      ? null
      : {
          floorAreaM2: room.floorArea.si,
          releaseHeightM: room.releaseHeight?.si ?? null,
          mounting: room.mounting ?? null,
          method: room.method,
          document: room.document ?? null,
          page: room.page ?? null,
          measured: room.measured ?? false,
        }
  }
  if (input.roomFloorArea === undefined) {
    if (input.mounting !== undefined) throw malformedField('roomFloorArea', say.systems.enterTheFloorArea)
    return undefined
  }
  return {
    floorAreaM2: input.roomFloorArea.si,
    releaseHeightM: null,
    mounting: input.mounting ?? null,
    method: 'unventilated',
    document: null,
    page: null,
    measured: false,
  }
}

/** A line set as the chain carries it. */
export const lineSetBody = (lineSet: LineSetRow): Record<string, unknown> => ({
  lineSet: lineSet.id,
  name: lineSet.name,
  from: lineSet.fromUnitId,
  to: lineSet.toUnitId,
  liquidOdM: lineSet.liquidOdM,
  gasOdM: lineSet.gasOdM,
  lengthM: lineSet.lengthM,
  riseM: lineSet.riseM,
  tubing: lineSet.tubing,
  tubeWallM: lineSet.tubeWallM,
  previousRefrigerant: lineSet.previousRefrigerant,
  cleaning: lineSet.cleaning,
  jointKind: lineSet.jointKind,
  room: lineSet.room,
})
