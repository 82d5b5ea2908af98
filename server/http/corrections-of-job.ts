// What stands on a job's page about its corrections, and which of them may this member answer?

import type { CorrectionsProps } from '../../views/corrections/of-job.tsx'
import { may } from '../access/capabilities.ts'
import type { Dossier } from '../rules/dossier.ts'
import { listCorrectedFacts } from '../store/queries/corrections.ts'
import type { JobRow } from '../store/queries/jobs.ts'
import { correctionInWords } from './corrected-words.ts'
import type { Ask } from './resource.ts'

export async function correctionsOfJob(
  { scope, actor }: Ask,
  job: Pick<JobRow, 'id' | 'stage'>,
  dossier: Dossier,
  nameOf: (memberId: string) => string,
): Promise<CorrectionsProps['corrections']> {
  const corrections = await listCorrectedFacts(scope, [job.id])
  return corrections.map((correction) => {
    const mayAnswer = correction.state === 'waiting' && may(actor, 'audit-job') && job.stage !== 'sealed'
    return {
      id: correction.id,
      ...correctionInWords(correction, dossier),
      reason: correction.reason,
      state: correction.state,
      at: correction.requestedAt,
      who: nameOf(correction.requestedBy),
      // What changed no outcome, or was a slip, had its answer in the same moment from the rule.
      answer:
        correction.decidedBy === null ||
        (correction.decidedBy === correction.requestedBy && correction.decidedAt === correction.requestedAt)
          ? null
          : { who: nameOf(correction.decidedBy), reason: correction.decisionReason ?? '' },
      mayAccept: mayAnswer && (correction.requestedBy !== actor.memberId || dossier.policy.selfSignOff),
      mayRefuse: mayAnswer,
    }
  })
}
