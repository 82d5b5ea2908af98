// The audit of a job: its page, its marks, its questions and their answers, wherever they are read.

import type { FormState } from '../../views/parts/field.tsx'
import { answerQuestion } from '../commands/audit/answer-question.ts'
import { askAgain } from '../commands/audit/ask-again.ts'
import { askQuestion } from '../commands/audit/ask-question.ts'
import { markAudited } from '../commands/audit/mark-audited.ts'
import { settleQuestion } from '../commands/audit/settle-question.ts'
import { id } from '../commands/fields.ts'
import type { Refusal } from '../refusals.ts'
import {
  type AuditMarkRow,
  type AuditThread,
  findAuditThread,
  listAuditThreads,
} from '../store/queries/audit.ts'
import { findJob } from '../store/queries/jobs.ts'
import { auditListPage, listQueryFrom, loadAuditList, searchOf } from './audit-list.ts'
import { auditJson, auditPage, auditQuery, markJson } from './audit-page.ts'
import { threadJson } from './audit-threads.ts'
import { expand } from './form.ts'
import { jobPage } from './jobs.ts'
import { jointPageAgain } from './joint-page.ts'
import type { Ask, Resource } from './resource.ts'

export function auditsResource(resource: Resource): void {
  resource.read({
    path: '/jobs/:jobId/audit',
    name: 'audit-job',
    summary: 'A job as an audit reads it: what does not meet, then part by part what was recorded.',
    capability: 'audit-job',
    query: auditQuery,
    load: (ask) => findJob(ask.scope, ask.params.jobId ?? ''),
    json: (job, ask) => auditJson(ask, job),
    page: (job, ask) => auditPage(ask, job),
  })

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
    page: { input: expand, goTo: (thread, ask) => backTo(thread, ask), again: atAudit },
  })

  resource.write({
    path: '/jobs/:jobId/audit-marks',
    command: markAudited,
    status: 201,
    json: markJson,
    page: { input: expand, goTo: afterMark, again: markAgain },
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

/** From the list: on to the row that came next. From the audit page: to the part that was marked. */
function afterMark(mark: AuditMarkRow, ask: Ask): string {
  const { from, list, next } = ask.query
  if (from !== 'audit' && list !== undefined)
    return `/audit-list?${searchOf(listQueryFrom(list))}${isId(next) ? `#job-${next}` : ''}`
  if (from === 'audit') return auditAddress(mark.jobId, ask)
  return `/jobs/${mark.jobId}`
}

/** The audit page, at the part that the form stood at, with the list that it was come to from. */
function auditAddress(jobId: string, { query }: Ask, here = query.part): string {
  const list =
    query.list === undefined ? '' : `?list=${encodeURIComponent(searchOf(listQueryFrom(query.list)))}`
  return `/jobs/${jobId}/audit${list}${here && /^[a-z-]+[0-9a-f-]+$/.test(here) ? `#${here}` : ''}`
}

async function atAudit(form: FormState, refusal: Refusal, ask: Ask) {
  return auditPage(ask, await findJob(ask.scope, ask.params.jobId ?? ''), form, refusal.message)
}

async function markAgain(form: FormState, refusal: Refusal, ask: Ask) {
  const jobId = ask.params.jobId ?? ''
  const { from, list } = ask.query
  if (from !== 'audit' && list !== undefined)
    return auditListPage(ask, await loadAuditList(ask, listQueryFrom(list)), {
      jobId,
      words: refusal.message,
    })
  return atAudit(form, refusal, ask)
}

const isId = (text: string | undefined): boolean => id.safeParse(text).success

/** To the page that the form stood on. */
function backTo(thread: AuditThread, ask: Ask): string {
  const here = `#question-${thread.id}`
  if (ask.query.from === 'audit') return auditAddress(thread.jobId, ask, `question-${thread.id}`)
  if (ask.query.from === 'joint' && thread.subjectKind === 'joint')
    return `/joints/${thread.subjectId}?job=${thread.jobId}${here}`
  return `/jobs/${thread.jobId}${here}`
}

async function pageAgain(form: FormState, refusal: Refusal, ask: Ask) {
  const thread = await findAuditThread(ask.scope, ask.params.questionId ?? '')
  const filled = { ...form, values: { ...form.values, _question: thread.id } }
  if (ask.query.from === 'audit')
    return auditPage(ask, await findJob(ask.scope, thread.jobId), filled, refusal.message)
  if (ask.query.from === 'joint' && thread.subjectKind === 'joint')
    return jointPageAgain(
      { ...ask, query: { job: thread.jobId } },
      { jointId: thread.subjectId },
      filled,
      refusal,
    )
  return jobPage(ask, await findJob(ask.scope, thread.jobId), filled, refusal.message)
}
