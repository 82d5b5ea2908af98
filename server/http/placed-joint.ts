// How does a joint look in an answer about its system? Where it is and what it is; its makes are asked for by id.

import type { JointRow } from '../store/queries/joints.ts'
import { instant, instantOrNull, quantityJson } from './json.ts'

export const placedJointJson = (
  joint: JointRow & { retiredAt?: number | null; retiredReason?: string | null },
) => ({
  id: joint.id,
  systemId: joint.systemId,
  lineSetId: joint.lineSetId,
  unitId: joint.unitId,
  number: joint.number,
  tag: joint.tag,
  place: joint.place,
  indoors: joint.indoors,
  line: joint.line,
  tubeOd: joint.typed?.tubeOd ?? quantityJson('length', joint.tubeOdM, 'm'),
  kind: joint.kind,
  origin: joint.origin,
  retiredAt: instantOrNull(joint.retiredAt ?? null),
  retiredReason: joint.retiredReason ?? null,
  createdAt: instant(joint.createdAt),
})
