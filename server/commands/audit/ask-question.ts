// The manager asks the technician about an entry of the record, or about something that is missing.

import { z } from 'zod'
import { malformedField } from '../../refusals.ts'
import {
  type AuditThread,
  auditSubjectOfEntry,
  findAuditSubject,
  findAuditThread,
} from '../../store/queries/audit.ts'
import { findEntry } from '../../store/queries/entries.ts'
import { findJob } from '../../store/queries/jobs.ts'
import { appendFact } from '../../store/record.ts'
import { AUDIT_SUBJECT_KINDS } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, ownId, text } from '../fields.ts'
import { chainOfJob } from '../jobs/job-turns.ts'

export const askQuestion = defineCommand({
  name: 'ask-question',
  summary: 'Ask the technician about an entry of a job’s record, or about a joint, test or system of it.',
  capability: 'audit-job',
  input: z.strictObject({
    jobId: id,
    id: ownId,
    entryId: id.optional().meta({ description: 'The entry that the question is about.' }),
    subjectKind: z
      .enum(AUDIT_SUBJECT_KINDS, { error: () => say.audit.useOneOf(AUDIT_SUBJECT_KINDS.join(', ')) })
      .optional(),
    subjectId: id.optional().meta({ description: 'Where no entry is named: what is asked about.' }),
    words: text(2000),
  }),
  async handle(scope, input, context): Promise<AuditThread> {
    const job = await findJob(scope, input.jobId)
    if (input.entryId === undefined && input.subjectId === undefined)
      throw malformedField('subjectId', say.audit.sayWhatTheQuestion)
    if (input.entryId === undefined && input.subjectKind === undefined)
      throw malformedField('subjectKind', say.audit.sayWhatTheQuestion)
    const subject =
      input.entryId === undefined
        ? await findAuditSubject(scope, job.id, input.subjectKind ?? 'job', input.subjectId ?? job.id)
        : await auditSubjectOfEntry(scope, job.id, await findEntry(scope, input.entryId))
    // An entry about a part of what is named, such as a port of a system, is asked about as what it is.
    if (input.subjectId !== undefined && ![subject.id, subject.systemId].includes(input.subjectId))
      throw malformedField('subjectId', say.audit.theEntryIsAbout)
    const questionId = input.id ?? context.newId()
    const seal = await appendFact(scope, 'auditQuestions', {
      companyId: scope.companyId,
      id: questionId,
      jobId: job.id,
      subjectKind: subject.kind,
      subjectId: subject.id,
      entryId: input.entryId ?? null,
      words: input.words,
      askedBy: context.actor.memberId,
      askedAt: context.now,
    })
    context.record({
      chainId: subject.systemId ?? (await chainOfJob(scope, job.id)),
      kind: 'question-asked',
      subjectId: subject.id,
      jobId: job.id,
      facts: [seal],
      body: { entry: input.entryId ?? null },
    })
    return findAuditThread(scope, questionId)
  },
})
