// Gives an address a new secret; for a day the one before it signs alongside, so that no message goes unverified.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { ShownOnce } from '../../access/shown-once.ts'
import { findWebhook } from '../../store/queries/webhooks.ts'
import { sealedForWebhook } from '../../webhooks/sealed-for.ts'
import { newWebhookSecret } from '../../webhooks/signature.ts'
import { defineCommand } from '../command.ts'
import { id } from '../fields.ts'
import type { WebhookWithSecret } from './register-webhook.ts'

export const ALONGSIDE_MS = 86_400_000

export const replaceWebhookSecret = defineCommand({
  name: 'replace-webhook-secret',
  summary: 'Make a new secret for a webhook, answered once. For 24 hours the one before it signs alongside.',
  capability: 'keep-webhooks',
  input: z.strictObject({ webhookId: id }),
  async handle(scope, { webhookId }, context): Promise<WebhookWithSecret> {
    const { db, t, companyId } = scope
    await findWebhook(scope, webhookId)
    const secret = newWebhookSecret()
    await db
      .update(t.webhookEndpoints)
      .set({
        secret: context.machinery.sealer.seal(secret, sealedForWebhook(companyId, webhookId)),
        secretBefore: t.webhookEndpoints.secret,
        secretBeforeUntil: context.now + ALONGSIDE_MS,
      })
      .where(and(eq(t.webhookEndpoints.companyId, companyId), eq(t.webhookEndpoints.id, webhookId)))
    context.record({ chainId: companyId, kind: 'webhook-secret-replaced', subjectId: webhookId })
    return { webhook: await findWebhook(scope, webhookId), secret: new ShownOnce(secret) }
  },
})
