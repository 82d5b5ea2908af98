// What did the manager mark while reading a job? Accepted parts, questions, and the threads that answer them.

import type { AuditMark, AuditReplyKind, AuditSubjectKind } from '../../vocabulary.ts'
import type { Kit } from '../kit.ts'
import type { defineJobs } from './jobs.ts'
import { link, ownedBy, ownedKey } from './keys.ts'
import type { definePeople } from './people.ts'

export function defineAudit(
  kit: Kit,
  { members }: ReturnType<typeof definePeople>,
  { jobs }: ReturnType<typeof defineJobs>,
) {
  /** The last mark of a subject counts, for as long as nothing was recorded of it since. */
  const auditMarks = kit.table(
    'audit_marks',
    {
      ...ownedBy(kit),
      jobId: kit.text('job_id').notNull(),
      subjectKind: kit.text('subject_kind').$type<AuditSubjectKind>().notNull(),
      subjectId: kit.text('subject_id').notNull(),
      mark: kit.text('mark').$type<AuditMark>().notNull(),
      note: kit.text('note'),
      markedBy: kit.text('marked_by').notNull(),
      markedAt: kit.moment('marked_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'audit_marks_job_fk', t, t.jobId, jobs),
      link(kit, 'audit_marks_member_fk', t, t.markedBy, members),
      kit.index('audit_marks_job_index').on(t.companyId, t.jobId),
    ],
  )

  /** A question to the technician, bound to an entry of the record or, where something is missing, to a subject. */
  const auditQuestions = kit.table(
    'audit_questions',
    {
      ...ownedBy(kit),
      jobId: kit.text('job_id').notNull(),
      subjectKind: kit.text('subject_kind').$type<AuditSubjectKind>().notNull(),
      subjectId: kit.text('subject_id').notNull(),
      /** The entry of the system's chain that it is about. */
      entryId: kit.text('entry_id'),
      words: kit.text('words').notNull(),
      askedBy: kit.text('asked_by').notNull(),
      askedAt: kit.moment('asked_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'audit_questions_job_fk', t, t.jobId, jobs),
      link(kit, 'audit_questions_member_fk', t, t.askedBy, members),
      kit.index('audit_questions_job_index').on(t.companyId, t.jobId),
      kit.index('audit_questions_subject_index').on(t.companyId, t.subjectId),
    ],
  )

  const auditReplies = kit.table(
    'audit_replies',
    {
      ...ownedBy(kit),
      questionId: kit.text('question_id').notNull(),
      kind: kit.text('kind').$type<AuditReplyKind>().notNull(),
      words: kit.text('words'),
      saidBy: kit.text('said_by').notNull(),
      saidAt: kit.moment('said_at').notNull(),
      deviceAt: kit.moment('device_at'),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'audit_replies_question_fk', t, t.questionId, auditQuestions),
      link(kit, 'audit_replies_member_fk', t, t.saidBy, members),
      kit.index('audit_replies_question_index').on(t.companyId, t.questionId),
    ],
  )

  return { auditMarks, auditQuestions, auditReplies }
}
