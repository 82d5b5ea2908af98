// The crew answers what the manager asked; the answer stands in the thread, and in the record.

import { z } from 'zod'
import type { AuditThread } from '../../store/queries/audit.ts'
import { defineCommand } from '../command.ts'
import { id, ownId, text } from '../fields.ts'
import { replyTo } from './reply.ts'

export const answerQuestion = defineCommand({
  name: 'answer-question',
  summary: 'Answer a question that the manager asked about a job.',
  capability: 'record-work',
  input: z.strictObject({ questionId: id, id: ownId, words: text(2000) }),
  handle: (scope, input, context): Promise<AuditThread> => replyTo(scope, context, input, 'answer'),
})
