// What did the manager mark on a job, what was asked about it, and what was answered?

import { and, asc, eq, inArray, sql } from 'drizzle-orm'
import { missing, missingField } from '../../refusals.ts'
import type { AuditSubjectKind, QuestionState } from '../../vocabulary.ts'
import { prepared } from '../prepared.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import type { EntryInBrief } from './entries.ts'
import { grouped } from './grouped.ts'
import { listSystemIdsOfJob } from './jobs.ts'

export type AuditMarkRow = Tables['auditMarks']['$inferSelect']
export type AuditQuestionRow = Tables['auditQuestions']['$inferSelect']
export type AuditReplyRow = Tables['auditReplies']['$inferSelect']

/** A question with everything that was said of it, oldest first. */
export interface AuditThread extends AuditQuestionRow {
  replies: AuditReplyRow[]
  state: QuestionState
}

/** The last word tells who is to speak next. */
export function stateOfThread(replies: readonly Pick<AuditReplyRow, 'kind'>[]): QuestionState {
  const last = replies.at(-1)
  if (last === undefined || last.kind === 'question') return 'for-crew'
  return last.kind === 'answer' ? 'for-manager' : 'settled'
}

/** Every mark of some jobs, oldest first. */
export async function listAuditMarks(
  { db, t, companyId }: Scope,
  jobIds: readonly string[],
): Promise<AuditMarkRow[]> {
  if (jobIds.length === 0) return []
  return db
    .select()
    .from(t.auditMarks)
    .where(and(eq(t.auditMarks.companyId, companyId), inArray(t.auditMarks.jobId, [...jobIds])))
    .orderBy(asc(t.auditMarks.markedAt), asc(t.auditMarks.id))
}

/** The questions of some jobs with their threads, oldest first. */
export async function listAuditThreads(scope: Scope, jobIds: readonly string[]): Promise<AuditThread[]> {
  if (jobIds.length === 0) return []
  const { db, t, companyId } = scope
  const questions = await db
    .select()
    .from(t.auditQuestions)
    .where(and(eq(t.auditQuestions.companyId, companyId), inArray(t.auditQuestions.jobId, [...jobIds])))
    .orderBy(asc(t.auditQuestions.askedAt), asc(t.auditQuestions.id))
  return withReplies(scope, questions)
}

/** The questions about one joint, test or system, whichever job they were asked on. */
export async function listAuditThreadsAbout(scope: Scope, subjectId: string): Promise<AuditThread[]> {
  const questions = await prepared<AuditQuestionRow>(scope, 'audit_questions_about', ({ db, t }) =>
    db
      .select()
      .from(t.auditQuestions)
      .where(
        and(
          eq(t.auditQuestions.companyId, sql.placeholder('companyId')),
          eq(t.auditQuestions.subjectId, sql.placeholder('subjectId')),
        ),
      )
      .orderBy(asc(t.auditQuestions.askedAt), asc(t.auditQuestions.id)),
  ).execute({ companyId: scope.companyId, subjectId })
  return withReplies(scope, questions)
}

/** Refuses with missing. */
export async function findAuditThread(scope: Scope, questionId: string): Promise<AuditThread> {
  const { db, t, companyId } = scope
  const questions = await db
    .select()
    .from(t.auditQuestions)
    .where(and(eq(t.auditQuestions.companyId, companyId), eq(t.auditQuestions.id, questionId)))
  const [thread] = await withReplies(scope, questions)
  if (!thread) throw missing('This question')
  return thread
}

async function withReplies(
  { db, t, companyId }: Scope,
  questions: readonly AuditQuestionRow[],
): Promise<AuditThread[]> {
  if (questions.length === 0) return []
  const rows = await db
    .select()
    .from(t.auditReplies)
    .where(
      and(
        eq(t.auditReplies.companyId, companyId),
        inArray(
          t.auditReplies.questionId,
          questions.map((question) => question.id),
        ),
      ),
    )
    .orderBy(asc(t.auditReplies.saidAt), asc(t.auditReplies.id))
  const repliesOf = grouped(rows, (reply) => reply.questionId)
  return questions.map((question) => {
    const replies = repliesOf.get(question.id) ?? []
    return { ...question, replies, state: stateOfThread(replies) }
  })
}

/** Refuses, at the field that named it, what is no part of this job. */
export async function findAuditSubject(
  scope: Scope,
  jobId: string,
  kind: AuditSubjectKind,
  subjectId: string,
): Promise<{ kind: AuditSubjectKind; id: string; systemId: string | null }> {
  const { db, t, companyId } = scope
  const systemIds = await listSystemIdsOfJob(scope, jobId)
  const found = (systemId: string | null) => ({ kind, id: subjectId, systemId })
  if (kind === 'job' && subjectId === jobId) return found(null)
  if (kind === 'system' && systemIds.includes(subjectId)) return found(subjectId)
  if (kind === 'joint') {
    const [joint] = await db
      .select({ systemId: t.joints.systemId })
      .from(t.joints)
      .where(and(eq(t.joints.companyId, companyId), eq(t.joints.id, subjectId)))
    if (joint && systemIds.includes(joint.systemId)) return found(joint.systemId)
  }
  if (kind === 'pressure-test' || kind === 'evacuation') {
    const test = await findTestOfJob(scope, jobId, subjectId)
    if (test?.kind === kind) return found(test.systemId)
  }
  throw missingField('subjectId', `This ${kind.replaceAll('-', ' ')}`)
}

/** What an entry of this job's record is about, as an audit reads it. */
export async function auditSubjectOfEntry(
  scope: Scope,
  jobId: string,
  entry: Pick<EntryInBrief, 'jobId' | 'chainId' | 'subjectId'>,
): Promise<{ kind: AuditSubjectKind; id: string; systemId: string | null }> {
  const { db, t, companyId } = scope
  if (entry.jobId !== jobId) throw missingField('entryId', 'This entry')
  const [joint] = await db
    .select({ id: t.joints.id, systemId: t.joints.systemId })
    .from(t.joints)
    .where(and(eq(t.joints.companyId, companyId), eq(t.joints.id, entry.subjectId)))
  if (joint) return { kind: 'joint', id: joint.id, systemId: joint.systemId }
  const test = await findTestOfJob(scope, jobId, entry.subjectId)
  if (test) return { kind: test.kind, id: entry.subjectId, systemId: test.systemId }
  return entry.subjectId === jobId || entry.chainId === companyId
    ? { kind: 'job', id: jobId, systemId: null }
    : { kind: 'system', id: entry.chainId, systemId: entry.chainId }
}

async function findTestOfJob({ db, t, companyId }: Scope, jobId: string, testId: string) {
  const [test] = await db
    .select({ kind: t.sectionTests.kind, systemId: t.sectionTests.systemId })
    .from(t.sectionTests)
    .where(
      and(
        eq(t.sectionTests.companyId, companyId),
        eq(t.sectionTests.id, testId),
        eq(t.sectionTests.jobId, jobId),
      ),
    )
  return (
    test && {
      systemId: test.systemId,
      kind: test.kind === 'pressure' ? ('pressure-test' as const) : ('evacuation' as const),
    }
  )
}
