// The manager asks on in a thread: the answer was not enough, or it led to another question.

import { z } from 'zod'
import type { AuditThread } from '../../store/queries/audit.ts'
import { defineCommand } from '../command.ts'
import { id, ownId, text } from '../fields.ts'
import { replyTo } from './reply.ts'

export const askAgain = defineCommand({
  name: 'ask-again',
  summary: 'Ask on in the thread of a question, also of one that was settled.',
  capability: 'audit-job',
  input: z.strictObject({ questionId: id, id: ownId, words: text(2000) }),
  handle: (scope, input, context): Promise<AuditThread> => replyTo(scope, context, input, 'question'),
})
