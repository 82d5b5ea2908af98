// The manager marks a part of a job as read and accepted, or the job as a whole; or takes the mark back.

import { z } from 'zod'
import { conflict } from '../../refusals.ts'
import { type AuditMarkRow, findAuditSubject, listAuditThreads } from '../../store/queries/audit.ts'
import { loadDossier } from '../../store/queries/dossier.ts'
import { findJob } from '../../store/queries/jobs.ts'
import { appendFact } from '../../store/record.ts'
import { AUDIT_MARKS, AUDIT_SUBJECT_KINDS } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, ownId, text } from '../fields.ts'
import { chainOfJob, holdJob } from '../jobs/job-turns.ts'
import { assertNotOwnWork } from '../release/own-work.ts'

export const markAudited = defineCommand({
  name: 'mark-audited',
  summary:
    'Mark a joint, test or system of a job, or the whole job, as read and accepted; or take that back.',
  capability: 'audit-job',
  input: z.strictObject({
    jobId: id,
    id: ownId,
    subjectKind: z.enum(AUDIT_SUBJECT_KINDS, {
      error: () => say.audit.useOneOf(AUDIT_SUBJECT_KINDS.join(', ')),
    }),
    subjectId: id,
    mark: z.enum(AUDIT_MARKS, { error: () => say.audit.useOneOf(AUDIT_MARKS.join(', ')) }),
    note: text(2000).optional(),
  }),
  async handle(scope, input, context): Promise<AuditMarkRow> {
    await holdJob(scope, input.jobId)
    const job = await findJob(scope, input.jobId)
    const subject = await findAuditSubject(scope, job.id, input.subjectKind, input.subjectId)
    if (job.stage === 'open') throw conflict('not-submitted', say.audit.thisJobIsBeing)
    if (input.mark === 'accepted') {
      const dossier = await loadDossier(scope, job.id, context.now)
      await assertNotOwnWork(scope, dossier, context.actor.memberId, say.audit.acceptsIt)
      const open = (await listAuditThreads(scope, [job.id])).filter(
        (thread) => thread.state !== 'settled' && (subject.kind === 'job' || thread.subjectId === subject.id),
      )
      if (open.length > 0) throw conflict('question-open', say.audit.aQuestionAboutThis)
    }
    const row: AuditMarkRow = {
      companyId: scope.companyId,
      id: input.id ?? context.newId(),
      jobId: job.id,
      subjectKind: subject.kind,
      subjectId: subject.id,
      mark: input.mark,
      note: input.note ?? null,
      markedBy: context.actor.memberId,
      markedAt: context.now,
    }
    const seal = await appendFact(scope, 'auditMarks', row)
    context.record({
      chainId: subject.systemId ?? (await chainOfJob(scope, job.id)),
      kind: input.mark === 'accepted' ? 'audit-accepted' : 'audit-mark-withdrawn',
      subjectId: subject.id,
      jobId: job.id,
      facts: [seal],
    })
    return row
  },
})
