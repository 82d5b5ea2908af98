// Changes who a job is for, when, under which reference, or which systems are in its scope.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { findJob, type JobRow } from '../../store/queries/jobs.ts'
import { jobFoundBy, replaceFindable } from '../../store/search-terms.ts'
import { defineCommand } from '../command.ts'
import { id, moment, text } from '../fields.ts'
import { assertOpen, chainOfJob } from './job-turns.ts'
import { crewId } from './open-job.ts'

export const changeJob = defineCommand({
  name: 'change-job',
  summary: 'Change a job’s reference, assignment or date.',
  capability: 'change-job',
  input: z.strictObject({
    jobId: id,
    reference: text(80).nullable().optional(),
    assignedTo: id.nullable().optional(),
    scheduledFor: moment.nullable().optional(),
  }),
  async handle(scope, input, context): Promise<JobRow> {
    const { db, t, companyId } = scope
    const job = await findJob(scope, input.jobId)
    assertOpen(job)
    const assignedTo =
      input.assignedTo === undefined
        ? job.assignedTo
        : input.assignedTo && (await crewId(scope, input.assignedTo))
    const reference = input.reference === undefined ? job.reference : input.reference
    const scheduledFor = input.scheduledFor === undefined ? job.scheduledFor : input.scheduledFor
    await db
      .update(t.jobs)
      .set({ assignedTo, reference, referenceLower: (reference ?? '').toLowerCase(), scheduledFor })
      .where(and(eq(t.jobs.companyId, companyId), eq(t.jobs.id, job.id)))
    if (reference !== job.reference)
      await replaceFindable(scope, jobFoundBy(job), jobFoundBy({ id: job.id, reference }))
    context.record({
      chainId: await chainOfJob(scope, job.id),
      kind: 'job-changed',
      subjectId: job.id,
      jobId: job.id,
      // Not the reference itself: it often is the customer's name.
      body: { assignedTo, scheduledFor, referenceChanged: reference !== job.reference },
    })
    return findJob(scope, job.id)
  },
})
