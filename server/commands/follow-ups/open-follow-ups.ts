// Opens a job at each site where joints stand that are like those that leaked, to look at them again.

import { z } from 'zod'
import { conflict, malformedField, missingField, Refusal } from '../../refusals.ts'
import { grouped } from '../../store/queries/grouped.ts'
import { holdChain } from '../../store/queries/systems.ts'
import type { FollowUpGrounds } from '../../store/tables/follow-ups.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id } from '../fields.ts'
import { openJob } from '../jobs/open-job.ts'
import { type AtRisk, findAtRisk, type JointAtRisk } from './at-risk.ts'
import { likenessFields } from './group-fields.ts'

/** At one go: more jobs than anybody plans at once. */
const MOST_AT_ONCE = 200

export interface FollowUpsOpened {
  jobs: { id: string; siteId: string; jointIds: string[] }[]
  /** Those that an open follow-up job looks at already. */
  already: { jointId: string; jobId: string }[]
}

export const openFollowUps = defineCommand({
  name: 'open-follow-ups',
  summary: 'Open a job at each site to look again at joints that are like those that leaked.',
  capability: 'audit-job',
  input: z.strictObject({
    ...likenessFields,
    most: z
      .number()
      .int()
      .min(1)
      .max(MOST_AT_ONCE)
      .optional()
      .meta({ description: 'How many from the top of the list, those in open follow-up jobs counted.' }),
    jointIds: z
      .array(id)
      .min(1)
      .max(MOST_AT_ONCE)
      .optional()
      .meta({ description: 'Or which joints of the list.' }),
  }),
  async handle(scope, input, context): Promise<FollowUpsOpened> {
    const { most, jointIds, ...asked } = input
    if ((most === undefined) === (jointIds === undefined)) throw malformedField('most', say.atRisk.chooseOne)
    if (asked.key === undefined && asked.callbackId === undefined)
      throw malformedField('key', say.atRisk.oneOfBoth)
    const { db, t, companyId } = scope
    // Two at once must not both find a joint without a job.
    await holdChain(scope, companyId)
    const found = await findAtRisk(scope, asked, context.now, (condition) => condition).catch((problem) => {
      // The callback is named by a field, not by the address.
      throw problem instanceof Refusal && problem.kind === 'missing'
        ? missingField('callbackId', say.jobs.thisCallback)
        : problem
    })
    const grounds = groundsOf(found, asked.callbackId)
    const chosen = chosenOf(found.joints, most, jointIds)
    const isWaiting = ({ followUp }: JointAtRisk) => followUp !== null && followUp.stage !== 'sealed'
    const opened: FollowUpsOpened = {
      jobs: [],
      already: chosen.flatMap(({ jointId, followUp }) =>
        followUp !== null && followUp.stage !== 'sealed' ? [{ jointId, jobId: followUp.jobId }] : [],
      ),
    }
    const fresh = chosen.filter((joint) => !isWaiting(joint))
    for (const [siteId, joints] of grouped(fresh, (joint) => joint.siteId)) {
      const systemIds = [...new Set(joints.map(({ systemId }) => systemId))]
      const job = await openJob.handle(
        scope,
        { siteId, kind: 'maintenance', reference: say.atRisk.reference, systemIds },
        context,
      )
      const ids = joints.map(({ jointId }) => jointId)
      await db.insert(t.followUps).values(
        ids.map((jointId) => ({
          companyId,
          id: context.newId(),
          jobId: job.id,
          jointId,
          callbackId: asked.callbackId ?? null,
          grounds,
          openedBy: context.actor.memberId,
          openedAt: context.now,
        })),
      )
      context.record({
        chainId: companyId,
        kind: 'follow-up-opened',
        subjectId: job.id,
        jobId: job.id,
        body: { joints: ids.toSorted(), callback: asked.callbackId ?? null, grounds },
      })
      opened.jobs.push({ id: job.id, siteId, jointIds: ids })
    }
    return opened
  },
})

/** Why they are looked at again; refuses where the evidence does not hold. */
function groundsOf({ grounds, group, joints }: AtRisk, callbackId: string | undefined): FollowUpGrounds {
  if (grounds === null && callbackId === undefined) throw missingField('key', say.atRisk.thisGroup)
  if (grounds === null || joints.length === 0)
    throw conflict('nothing-to-follow-up', say.atRisk.nothingToFollow)
  if (group !== null && !group.judged.flagged) throw conflict('group-not-flagged', say.atRisk.groupNotFlagged)
  return grounds
}

function chosenOf(
  joints: readonly JointAtRisk[],
  most: number | undefined,
  jointIds: readonly string[] | undefined,
): JointAtRisk[] {
  if (jointIds === undefined) return joints.slice(0, most)
  const wanted = new Set(jointIds)
  const chosen = joints.filter(({ jointId }) => wanted.has(jointId))
  if (chosen.length < wanted.size) throw missingField('jointIds', say.atRisk.oneOfTheseJoints)
  return chosen
}
