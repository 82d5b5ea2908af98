// The manager says that a question is answered; nothing of it waits any more.

import { z } from 'zod'
import type { AuditThread } from '../../store/queries/audit.ts'
import { defineCommand } from '../command.ts'
import { id, ownId, text } from '../fields.ts'
import { replyTo } from './reply.ts'

export const settleQuestion = defineCommand({
  name: 'settle-question',
  summary: 'Settle a question, with or without a word on why.',
  capability: 'audit-job',
  input: z.strictObject({ questionId: id, id: ownId, words: text(2000).optional() }),
  handle: (scope, input, context): Promise<AuditThread> => replyTo(scope, context, input, 'settled'),
})
