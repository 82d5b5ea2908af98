// How is something added to the thread of a question, and in whose turn?

import { conflict } from '../../refusals.ts'
import { type AuditThread, findAuditThread } from '../../store/queries/audit.ts'
import { appendFact } from '../../store/record.ts'
import type { Scope } from '../../store/store.ts'
import type { AuditReplyKind } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import type { Context } from '../command.ts'
import { chainOfJob, holdJob } from '../jobs/job-turns.ts'

const ENTRY_KINDS: Record<AuditReplyKind, string> = {
  answer: 'question-answered',
  question: 'question-asked-again',
  settled: 'question-settled',
}

/** Anybody may add to a thread that is open; once settled it takes no answer, until the manager asks again. */
export async function replyTo(
  scope: Scope,
  context: Context,
  input: { questionId: string; id?: string | undefined; words?: string | undefined },
  kind: AuditReplyKind,
): Promise<AuditThread> {
  const asked = await findAuditThread(scope, input.questionId)
  // A sign-off looks at the threads: none is to move under it.
  await holdJob(scope, asked.jobId)
  const thread = await findAuditThread(scope, input.questionId)
  if (thread.state === 'settled' && kind !== 'question')
    throw conflict('question-settled', say.audit.thisQuestionIsSettled)
  const seal = await appendFact(scope, 'auditReplies', {
    companyId: scope.companyId,
    id: input.id ?? context.newId(),
    questionId: thread.id,
    kind,
    words: input.words ?? null,
    saidBy: context.actor.memberId,
    saidAt: context.now,
    deviceAt: context.deviceAt,
  })
  context.record({
    chainId: await chainOfQuestion(scope, thread),
    kind: ENTRY_KINDS[kind],
    subjectId: thread.subjectId,
    jobId: thread.jobId,
    facts: [seal],
    body: { question: thread.id },
  })
  return findAuditThread(scope, thread.id)
}

/** A question is answered where it was asked; what a system's is was settled then. */
async function chainOfQuestion(scope: Scope, thread: AuditThread): Promise<string> {
  if (thread.subjectKind === 'system') return thread.subjectId
  return chainOfJob(scope, thread.jobId)
}
