// Reopens a sealed job with a reason; its certificate counts as superseded from then on.

import { z } from 'zod'
import { conflict } from '../../refusals.ts'
import { listCertificatesOfJob } from '../../store/queries/certificates.ts'
import { findJob, type JobRow } from '../../store/queries/jobs.ts'
import { addressIn, announce } from '../../webhooks/announce.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, reason } from '../fields.ts'
import { holdJob, turnJob } from '../jobs/job-turns.ts'

export const reopenJob = defineCommand({
  name: 'reopen-job',
  summary: 'Reopen a sealed job with a reason; its certificate is superseded.',
  capability: 'audit-job',
  input: z.strictObject({ jobId: id, reason }),
  async handle(scope, input, context): Promise<JobRow> {
    await holdJob(scope, input.jobId)
    const job = await findJob(scope, input.jobId)
    if (job.stage !== 'sealed') throw conflict('not-sealed', say.jobs.onlyASealedJob)
    await turnJob(scope, context, job, 'reopened', { detail: { reason: input.reason } })
    const certificate = (await listCertificatesOfJob(scope, job.id)).at(-1)
    if (certificate)
      await announce(scope, context, 'certificate.superseded', {
        jobId: job.id,
        certificate: {
          id: certificate.id,
          revision: certificate.revision,
          url: addressIn(context, `/certificates/${certificate.id}`),
        },
        url: addressIn(context, `/jobs/${job.id}`),
      })
    return findJob(scope, job.id)
  },
})
