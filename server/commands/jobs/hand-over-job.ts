// Hands a job over to somebody else: by whoever has it, by a manager, or taken up by one's own hand while nobody has it.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { may } from '../../access/capabilities.ts'
import { conflict, forbidden, malformedField } from '../../refusals.ts'
import { crewOfMember, findCrewPerson } from '../../store/queries/crew.ts'
import { findJob, type JobRow, listSystemIdsOfJob } from '../../store/queries/jobs.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, ownId, text } from '../fields.ts'
import { appendJobEvent, findOpenJob } from './job-turns.ts'
import { crewId } from './open-job.ts'

export const handOverJob = defineCommand({
  name: 'hand-over-job',
  summary: 'Hand a job over to another person of the crew, with a note.',
  capability: 'record-work',
  input: z.strictObject({
    jobId: id,
    id: ownId,
    to: id.meta({ description: 'A person of the crew, or a member.' }),
    note: text(2000).optional().meta({ description: 'What they should know: what is done, what is left.' }),
  }),
  async handle(scope, input, context): Promise<JobRow> {
    const { db, t, companyId } = scope
    const job = await findOpenJob(scope, input.jobId)
    const to = await findCrewPerson(scope, await crewId(scope, input.to, 'to'))
    const me = await crewOfMember(scope, context.actor.memberId)
    const isMine = me !== null && job.assignedTo === me.id
    const isTaken = me !== null && job.assignedTo === null && to.id === me.id
    if (!isMine && !isTaken && !may(context.actor, 'change-job'))
      throw forbidden(
        job.assignedTo === null ? say.jobs.nobodyHasThisJobYet : say.jobs.somebodyElseHasThis,
        'not-yours-to-hand-over',
      )
    if (job.assignedTo === to.id) {
      const message = say.jobs.hasThisJobAlready(to.name)
      throw conflict('already-theirs', message, [{ path: 'to', message }])
    }
    if (!to.active) throw malformedField('to', say.jobs.doesNotWorkHere(to.name))
    const { number, seal } = await appendJobEvent(scope, context, job.id, 'handed-over', {
      id: input.id,
      ...(input.note === undefined ? {} : { reason: input.note }),
      from: job.assignedTo,
      to: to.id,
    })
    await db
      .update(t.jobs)
      .set({ assignedTo: to.id })
      .where(and(eq(t.jobs.companyId, companyId), eq(t.jobs.id, job.id)))
    const systemIds = await listSystemIdsOfJob(scope, job.id)
    for (const chainId of systemIds.length > 0 ? systemIds : [companyId])
      context.record({
        chainId,
        kind: 'job-handed-over',
        subjectId: job.id,
        jobId: job.id,
        facts: [seal],
        body: { number, from: job.assignedTo, to: to.id },
      })
    return findJob(scope, job.id)
  },
})
