// A manager answers one request for a concession: granted, with what it hangs on, or refused with the reason.

import { z } from 'zod'
import { conflict } from '../../refusals.ts'
import { findRequestToAnswer } from '../../store/queries/concessions.ts'
import { appendFact } from '../../store/record.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, ownId, reason } from '../fields.ts'
import { chainOfJob, holdJob } from '../jobs/job-turns.ts'
import { type ConcessionRow, concede, conditions } from './grant-concession.ts'

export const answerRequest = defineCommand({
  name: 'answer-request',
  summary: 'Answer a request for a concession: grant it or refuse it, with the reason.',
  capability: 'audit-job',
  input: z.strictObject({
    requestId: id,
    id: ownId,
    decision: z.enum(['granted', 'refused'], { error: () => say.concessions.grantOrRefuse }),
    reason,
    conditions,
  }),
  async handle(scope, input, context): Promise<ConcessionRow> {
    const asked = await findRequestToAnswer(scope, input.requestId)
    await holdJob(scope, asked.jobId)
    // Once more, now that nobody else can answer it.
    const { state, ...request } = await findRequestToAnswer(scope, input.requestId)
    if (state === 'granted' || state === 'refused')
      throw conflict('already-decided', say.concessions.thisIsAnswered)
    if (state === 'withdrawn') throw conflict('not-submitted', say.concessions.theJobWentBack)
    const { requirement, subjectId, jobId } = request
    if (input.decision === 'granted')
      return concede(scope, context, { ...input, jobId, requirement, subjectId })
    const row: ConcessionRow = {
      companyId: scope.companyId,
      id: input.id ?? context.newId(),
      jobId,
      requirement,
      subjectId,
      requestId: input.requestId,
      granted: false,
      reason: input.reason,
      conditions: null,
      decidedBy: context.actor.memberId,
      decidedAt: context.now,
    }
    const seal = await appendFact(scope, 'concessions', row)
    context.record({
      chainId: await chainOfJob(scope, jobId),
      kind: 'concession-refused',
      subjectId,
      jobId,
      facts: [seal],
      body: { requirement },
    })
    return row
  },
})
