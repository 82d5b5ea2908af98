// A manager accepts or refuses a correction that changes an outcome.

import { z } from 'zod'
import { conflict, refusedByRule } from '../../refusals.ts'
import { findCorrection, listWaitingCorrections } from '../../store/queries/corrections.ts'
import { findEntry } from '../../store/queries/entries.ts'
import { findJob } from '../../store/queries/jobs.ts'
import { findPolicy } from '../../store/queries/policy.ts'
import { appendFact } from '../../store/record.ts'
import { keepLivesOfStep } from '../../store/rollups.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, reason } from '../fields.ts'
import { assertOpen, holdJob } from '../jobs/job-turns.ts'

export const decideCorrection = defineCommand({
  name: 'decide-correction',
  summary: 'Accept or refuse a correction that changes an outcome.',
  capability: 'audit-job',
  input: z.strictObject({
    correctionId: id,
    decision: z.enum(['accepted', 'refused'], { error: () => say.corrections.useAcceptedOrRefused }),
    reason,
  }),
  async handle(scope, input, context) {
    const correction = await findCorrection(scope, input.correctionId)
    await holdJob(scope, correction.jobId)
    const job = await findJob(scope, correction.jobId)
    if (job.stage === 'sealed') assertOpen(job)
    const waiting = await listWaitingCorrections(scope, correction.jobId)
    if (!waiting.some((one) => one.id === correction.id))
      throw conflict('already-decided', say.corrections.thisCorrectionHasIts)
    // Whoever asked may take it back; to accept it is the same as releasing one's own work.
    if (correction.requestedBy === context.actor.memberId && input.decision === 'accepted') {
      const { criteria } = await findPolicy(scope)
      if (!criteria.selfSignOff) throw refusedByRule('own-work', say.corrections.youAskedForThis)
    }
    const entry = await findEntry(scope, correction.entryId)
    const seal = await appendFact(scope, 'correctionDecisions', {
      companyId: scope.companyId,
      id: context.newId(),
      correctionId: correction.id,
      state: input.decision,
      reason: input.reason,
      decidedBy: context.actor.memberId,
      decidedAt: context.now,
    })
    if (input.decision === 'accepted' && correction.factTable === 'steps')
      await keepLivesOfStep(scope, correction.replacementId)
    context.record({
      chainId: entry.chainId,
      kind: `correction-${input.decision}`,
      subjectId: entry.subjectId,
      jobId: correction.jobId,
      facts: [seal],
      body: { correction: correction.id },
    })
    return { id: correction.id, jobId: correction.jobId, state: input.decision }
  },
})
