// Questions of an audit and their answers, wherever they are read: on the job, on the joint, on the audit page.

import type { FormState } from '../../views/parts/field.tsx'
import { answerQuestion } from '../commands/audit/answer-question.ts'
import { askAgain } from '../commands/audit/ask-again.ts'
import { askQuestion } from '../commands/audit/ask-question.ts'
import { markAudited } from '../commands/audit/mark-audited.ts'
import { settleQuestion } from '../commands/audit/settle-question.ts'
import type { Refusal } from '../refusals.ts'
import {
  type AuditMarkRow,
  type AuditThread,
  findAuditThread,
  listAuditThreads,
} from '../store/queries/audit.ts'
import { findJob } from '../store/queries/jobs.ts'
import { threadJson } from './audit-threads.ts'
import { expand } from './form.ts'
import { jobPage } from './jobs.ts'
import { jointPageAgain } from './joint-page.ts'
import { instant } from './json.ts'
import type { Ask, Resource } from './resource.ts'

export function auditQuestionsResource(resource: Resource): void {
  resource.read({
    path: '/jobs/:jobId/audit-questions',
    name: 'list-audit-questions',
    summary: 'The questions that were asked about a job, each with its thread.',
    async load(ask) {
      const job = await findJob(ask.scope, ask.params.jobId ?? '')
      return listAuditThreads(ask.scope, [job.id])
    },
    json: (threads) => ({ items: threads.map(threadJson), nextCursor: null }),
  })

  resource.write({
    path: '/jobs/:jobId/audit-questions',
    command: askQuestion,
    status: 201,
    json: threadJson,
    page: { input: expand, goTo: (thread) => `/jobs/${thread.jobId}#question-${thread.id}` },
  })

  resource.write({
    path: '/jobs/:jobId/audit-marks',
    command: markAudited,
    status: 201,
    json: markJson,
    page: { input: expand, goTo: (mark) => `/jobs/${mark.jobId}` },
  })

  resource.write({
    path: '/audit-questions/:questionId/answers',
    command: answerQuestion,
    status: 201,
    json: threadJson,
    page: { input: expand, goTo: backTo, again: pageAgain },
  })

  resource.write({
    path: '/audit-questions/:questionId/questions',
    command: askAgain,
    status: 201,
    json: threadJson,
    page: { input: expand, goTo: backTo, again: pageAgain },
  })

  resource.write({
    path: '/audit-questions/:questionId/settlement',
    command: settleQuestion,
    json: threadJson,
    page: { input: expand, goTo: backTo, again: pageAgain },
  })
}

export const markJson = (mark: AuditMarkRow) => ({
  id: mark.id,
  jobId: mark.jobId,
  subjectKind: mark.subjectKind,
  subjectId: mark.subjectId,
  mark: mark.mark,
  note: mark.note,
  markedBy: mark.markedBy,
  markedAt: instant(mark.markedAt),
})

/** To the page that the form stood on. */
function backTo(thread: AuditThread, ask: Ask): string {
  const here = `#question-${thread.id}`
  if (ask.query.from === 'audit') return `/jobs/${thread.jobId}/audit${here}`
  if (ask.query.from === 'joint' && thread.subjectKind === 'joint')
    return `/joints/${thread.subjectId}?job=${thread.jobId}${here}`
  return `/jobs/${thread.jobId}${here}`
}

async function pageAgain(form: FormState, refusal: Refusal, ask: Ask) {
  const thread = await findAuditThread(ask.scope, ask.params.questionId ?? '')
  const filled = { ...form, values: { ...form.values, _question: thread.id } }
  if (ask.query.from === 'joint' && thread.subjectKind === 'joint')
    return jointPageAgain(
      { ...ask, query: { job: thread.jobId } },
      { jointId: thread.subjectId },
      filled,
      refusal,
    )
  return jobPage(ask, await findJob(ask.scope, thread.jobId), filled, refusal.message)
}
