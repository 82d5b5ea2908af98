// Sends a submitted job back to the technician, with the reason and what it is about.

import { z } from 'zod'
import { conflict, missingField } from '../../refusals.ts'
import { findJob, type JobRow } from '../../store/queries/jobs.ts'
import type { Scope } from '../../store/store.ts'
import { say } from '../../words/say.ts'
import { type Context, defineCommand } from '../command.ts'
import { id, reason } from '../fields.ts'
import { holdJob, turnJob } from '../jobs/job-turns.ts'
import { judgeJob } from './judge-job.ts'

export const sendBackJob = defineCommand({
  name: 'send-back-job',
  summary: 'Send a submitted job back with a reason.',
  capability: 'audit-job',
  input: z.strictObject({ jobId: id, reason, subjects: z.array(id).max(200).optional() }),
  async handle(scope, input, context): Promise<JobRow> {
    await holdJob(scope, input.jobId)
    const job = await findJob(scope, input.jobId)
    if (job.stage !== 'submitted') throw conflict('not-submitted', say.jobs.onlyAJobThat)
    const subjects = input.subjects ?? []
    await assertSubjects(scope, context, job.id, subjects)
    await turnJob(scope, context, job, 'sent-back', {
      detail: { reason: input.reason, subjects },
    })
    return findJob(scope, job.id)
  },
})

/** What it is about is something that the job is judged by. */
async function assertSubjects(
  scope: Scope,
  context: Context,
  jobId: string,
  subjects: string[],
): Promise<void> {
  if (subjects.length === 0) return
  const { findings } = await judgeJob(scope, jobId, context.now)
  const known = new Set(findings.map((finding) => finding.subject.id))
  const unknown = subjects.findIndex((subject) => !known.has(subject))
  if (unknown >= 0) throw missingField(`subjects.${unknown}`, say.jobs.whatThisNames)
}
