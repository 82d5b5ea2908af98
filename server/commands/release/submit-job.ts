// Hands a job in for audit, with requests for what does not meet and may be conceded.

import { z } from 'zod'
import { malformedField, refusedByRule } from '../../refusals.ts'
import { isReleased } from '../../rules/finding.ts'
import { findJob, type JobRow } from '../../store/queries/jobs.ts'
import { appendFact } from '../../store/record.ts'
import { REQUIREMENT_CODES } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, reason } from '../fields.ts'
import { chainOfJob, findOpenJob, turnJob } from '../jobs/job-turns.ts'
import { judgeJob } from './judge-job.ts'

export const submitJob = defineCommand({
  name: 'submit-job',
  summary: 'Submit a job for audit; what is open must be concedable and asked for.',
  capability: 'submit-job',
  input: z.strictObject({
    jobId: id,
    requests: z
      .array(
        z.strictObject({
          requirement: z.enum(REQUIREMENT_CODES, { error: () => say.jobs.notARequirement }),
          subjectId: id,
          reason,
          photoIds: z.array(id).max(20).optional(),
        }),
      )
      .max(200)
      .optional(),
  }),
  async handle(scope, input, context): Promise<JobRow> {
    const job = await findOpenJob(scope, input.jobId)
    const { findings } = await judgeJob(scope, job.id, context.now)
    const held = findings.filter((finding) => !isReleased(finding))
    const requests = input.requests ?? []
    for (const [index, request] of requests.entries()) {
      const finding = held.find(
        ({ requirement, subject }) => requirement === request.requirement && subject.id === request.subjectId,
      )
      if (!finding) throw malformedField(`requests.${index}.subjectId`, say.jobs.nothingIsOpenThere)
      if (!finding.concedable)
        throw refusedByRule('no-concession', say.jobs.thisCanNotBe(finding.title), [finding])
    }
    const unasked = held.filter(
      (finding) =>
        !requests.some(
          (request) =>
            request.requirement === finding.requirement && request.subjectId === finding.subject.id,
        ),
    )
    if (unasked.length > 0) throw refusedByRule('hold-points', say.jobs.someHoldPointsAreNot, unasked)

    for (const request of requests) {
      const seal = await appendFact(scope, 'concessionRequests', {
        companyId: scope.companyId,
        id: context.newId(),
        jobId: job.id,
        requirement: request.requirement,
        subjectId: request.subjectId,
        reason: request.reason,
        photoIds: request.photoIds ?? [],
        requestedBy: context.actor.memberId,
        requestedAt: context.now,
      })
      context.record({
        chainId: await chainOfJob(scope, job.id),
        kind: 'concession-requested',
        subjectId: request.subjectId,
        jobId: job.id,
        facts: [seal],
      })
    }
    await turnJob(scope, context, job, 'submitted', { body: { requests: requests.length } })
    return findJob(scope, job.id)
  },
})
