// Takes a joint out of service: cut out, or gone with its tube. Its record stays for ever.

import { z } from 'zod'
import { conflict } from '../../refusals.ts'
import { findJointRow } from '../../store/queries/joints.ts'
import { listPlacedJoints, type PlacedJoint } from '../../store/queries/systems.ts'
import { appendFact } from '../../store/record.ts'
import { keepLives } from '../../store/rollups.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, moment, ownId, reason } from '../fields.ts'
import { notFuture } from '../provenance.ts'
import { findNamedJob } from './job-for.ts'

export const retireJoint = defineCommand({
  name: 'retire-joint',
  summary: 'Record that a joint was taken out of service.',
  capability: 'set-up-system',
  input: z.strictObject({
    id: ownId,
    jointId: id,
    jobId: id,
    reason,
    retiredAt: moment.optional().meta({ description: 'Default: now. Not the future.' }),
  }),
  async handle(scope, input, context): Promise<PlacedJoint> {
    const joint = await findJointRow(scope, input.jointId)
    const job = await findNamedJob(scope, joint.systemId, input.jobId)
    const placed = async () =>
      (await listPlacedJoints(scope, joint.systemId)).find((candidate) => candidate.id === joint.id)
    if ((await placed())?.retiredAt != null)
      throw conflict('already-retired', say.systems.wasAlreadyRetired(joint.tag))
    const seal = await appendFact(scope, 'jointRetirements', {
      companyId: scope.companyId,
      id: input.id ?? context.newId(),
      jointId: joint.id,
      jobId: job.id,
      reason: input.reason,
      retiredAt: notFuture('retiredAt', input.retiredAt ?? context.now, context.now),
      recordedBy: context.actor.memberId,
    })
    context.record({
      chainId: joint.systemId,
      kind: 'joint-retired',
      subjectId: joint.id,
      jobId: job.id,
      facts: [seal],
    })
    await keepLives(scope, [joint.id])
    const retired = await placed()
    if (!retired) throw new Error('A joint vanished while it was retired.')
    return retired
  },
})
