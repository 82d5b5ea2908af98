// Sends a submitted job back to the technician, with the reason and what it is about.

import { z } from 'zod'
import { conflict } from '../../refusals.ts'
import { findJob, type JobRow } from '../../store/queries/jobs.ts'
import { defineCommand } from '../command.ts'
import { id, reason } from '../fields.ts'
import { holdJob, turnJob } from '../jobs/job-turns.ts'

export const sendBackJob = defineCommand({
  name: 'send-back-job',
  summary: 'Send a submitted job back with a reason.',
  capability: 'audit-job',
  input: z.strictObject({ jobId: id, reason, subjects: z.array(id).max(200).optional() }),
  async handle(scope, input, context): Promise<JobRow> {
    await holdJob(scope, input.jobId)
    const job = await findJob(scope, input.jobId)
    if (job.stage !== 'submitted')
      throw conflict('not-submitted', 'Only a job that waits for audit can be sent back.')
    await turnJob(scope, context, job, 'sent-back', {
      detail: { reason: input.reason, subjects: input.subjects ?? [] },
    })
    return findJob(scope, job.id)
  },
})
