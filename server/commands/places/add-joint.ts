// Adds a joint that no line set laid out: a coupling, an adapter, a port or cap, a joint that was there before.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { malformedField, missingField } from '../../refusals.ts'
import type { JointRow } from '../../store/queries/joints.ts'
import { findSystem, listUnits } from '../../store/queries/systems.ts'
import { JOINT_KINDS, JOINT_ORIGINS, LINES } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, ownId, text } from '../fields.ts'
import { asTyped } from '../quantities.ts'
import { jobForChange } from './job-for.ts'
import { tubeOd } from './line-set-fields.ts'
import { insertJoints, jointBody } from './new-joint.ts'

export const addJoint = defineCommand({
  name: 'add-joint',
  summary: 'Add a joint to a system: a coupling, an adapter, a port, a cap, or one that was already there.',
  capability: 'set-up-system',
  input: z.strictObject({
    id: ownId,
    systemId: id,
    jobId: id.optional().meta({ description: 'Default: the one job that is open on the system.' }),
    lineSetId: id.optional(),
    unitId: id.optional().meta({ description: 'The unit whose connection it is, where it is one.' }),
    place: text(120).meta({ description: 'In words: "coupling in the loft".' }),
    indoors: z.boolean().optional().meta({
      description: 'Inside the building. Default: true, the stricter answer, unless at an outdoor unit.',
    }),
    line: z.enum(LINES, { error: () => say.systems.useOneOf(LINES.join(', ')) }),
    tubeOd,
    kind: z.enum(JOINT_KINDS, { error: () => say.systems.useOneOf(JOINT_KINDS.join(', ')) }),
    origin: z.enum(JOINT_ORIGINS, { error: () => say.systems.useOneOf(JOINT_ORIGINS.join(', ')) }),
  }),
  async handle(scope, input, context): Promise<JointRow> {
    const { db, t, companyId } = scope
    const system = await findSystem(scope, input.systemId)
    const jobId = await jobForChange(scope, system.id, input.jobId)
    if (input.lineSetId) {
      const [lineSet] = await db
        .select({ systemId: t.lineSets.systemId })
        .from(t.lineSets)
        .where(and(eq(t.lineSets.companyId, companyId), eq(t.lineSets.id, input.lineSetId)))
      if (!lineSet) throw missingField('lineSetId', say.systems.thisLineSet)
      if (lineSet.systemId !== system.id) throw malformedField('lineSetId', say.systems.thisLineSetBelongs)
    }
    const units = input.unitId ? await listUnits(scope, [system.id]) : []
    const unit = units.find((candidate) => candidate.id === input.unitId && candidate.removedAt === null)
    if (input.unitId && !unit) throw missingField('unitId', say.systems.thisUnit)
    const [joint] = await insertJoints(
      scope,
      system,
      [
        {
          id: input.id ?? context.newId(),
          lineSetId: input.lineSetId ?? null,
          unitId: unit?.id ?? null,
          place: input.place,
          indoors: input.indoors ?? (unit ? unit.role !== 'outdoor' : !input.place.startsWith('outdoor')),
          line: input.line,
          tubeOdM: input.tubeOd.si,
          kind: input.kind,
          origin: input.origin,
          typed: asTyped({ tubeOd: input.tubeOd }),
        },
      ],
      context.now,
    )
    if (!joint) throw new Error('A joint was asked for and none was added.')
    context.record({
      chainId: system.id,
      kind: 'joint-added',
      subjectId: joint.id,
      jobId,
      body: jointBody(joint),
    })
    return joint
  },
})
