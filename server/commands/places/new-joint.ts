// How does a joint come to be in a system? It gets the next number, and a tag that can be written on the pipe.

import type { JointRow } from '../../store/queries/joints.ts'
import { holdChain, nextJointNumber, type SystemRow } from '../../store/queries/systems.ts'
import type { AsTyped } from '../../store/rows.ts'
import type { Scope } from '../../store/store.ts'
import type { JointKind, JointOrigin, Line } from '../../vocabulary.ts'

export interface NewJoint {
  id: string
  lineSetId: string | null
  unitId: string | null
  place: string
  indoors: boolean
  line: Line
  tubeOdM: number
  kind: JointKind
  origin: JointOrigin
  /** Its tube size as it was entered. */
  typed: AsTyped
}

/** Numbers run through the system; the chain is held so that two people never get the same one. */
export async function insertJoints(
  scope: Scope,
  system: Pick<SystemRow, 'id' | 'tagPrefix'>,
  joints: readonly NewJoint[],
  now: number,
): Promise<JointRow[]> {
  const { db, t, companyId } = scope
  await holdChain(scope, system.id)
  const first = await nextJointNumber(scope, system.id)
  const rows = joints.map((joint, index): JointRow => {
    const number = first + index
    const tag = `${system.tagPrefix}-${number}`
    return {
      companyId,
      systemId: system.id,
      number,
      tag,
      tagLower: tag.toLowerCase(),
      createdAt: now,
      ...joint,
    }
  })
  if (rows.length > 0) await db.insert(t.joints).values(rows)
  return rows
}

/** A joint as the chain carries it. */
export const jointBody = (joint: JointRow): Record<string, unknown> => ({
  joint: joint.id,
  tag: joint.tag,
  lineSet: joint.lineSetId,
  unit: joint.unitId,
  place: joint.place,
  indoors: joint.indoors,
  line: joint.line,
  tubeOdM: joint.tubeOdM,
  kind: joint.kind,
  origin: joint.origin,
})
