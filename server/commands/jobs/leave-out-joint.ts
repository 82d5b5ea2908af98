// Leaves a joint out of a job's scope, with a reason.

import { z } from 'zod'
import { conflict, missingField, Refusal } from '../../refusals.ts'
import { findJointRow, withMakes } from '../../store/queries/joints.ts'
import { appendFact } from '../../store/record.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, ownId, reason } from '../fields.ts'
import { findOpenJobOn } from './job-turns.ts'

export const leaveOutJoint = defineCommand({
  name: 'leave-out-joint',
  summary: 'Leave a joint out of a job’s scope, with a reason.',
  capability: 'record-work',
  input: z.strictObject({ jobId: id, id: ownId, jointId: id, reason }),
  async handle(scope, input, context) {
    const joint = await findJointRow(scope, input.jointId).catch((problem) => {
      throw problem instanceof Refusal && problem.kind === 'missing'
        ? missingField('jointId', say.jobs.thisJoint)
        : problem
    })
    await findOpenJobOn(scope, input.jobId, joint.systemId)
    const { makes, leakChecks } = await withMakes(scope, joint)
    if (makes.some((make) => make.jobId === input.jobId))
      throw conflict('joint-made-here', say.jobs.thisJointWasMade)
    if (leakChecks.some((check) => check.jobId === input.jobId && check.body.result === 'found'))
      throw conflict('leak-found-here', say.jobs.aLeakWasFound)
    const row = {
      companyId: scope.companyId,
      id: input.id ?? context.newId(),
      jobId: input.jobId,
      jointId: joint.id,
      reason: input.reason,
      recordedBy: context.actor.memberId,
      recordedAt: context.now,
    }
    const seal = await appendFact(scope, 'jointExclusions', row)
    context.record({
      chainId: joint.systemId,
      kind: 'joint-left-out',
      subjectId: joint.id,
      jobId: input.jobId,
      facts: [seal],
    })
    return row
  },
})
