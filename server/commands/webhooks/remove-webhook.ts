// Sends nothing to an address any more, and forgets it with all that was sent to it.

import { and, eq, inArray } from 'drizzle-orm'
import { z } from 'zod'
import { findWebhook, type WebhookRow } from '../../store/queries/webhooks.ts'
import { defineCommand } from '../command.ts'
import { id } from '../fields.ts'

export const removeWebhook = defineCommand({
  name: 'remove-webhook',
  summary: 'Remove a webhook, with what waits for it and the log of what was sent.',
  capability: 'keep-webhooks',
  input: z.strictObject({ webhookId: id }),
  async handle(scope, { webhookId }, context): Promise<WebhookRow> {
    const { db, t, companyId } = scope
    const webhook = await findWebhook(scope, webhookId)
    const ofWebhook = and(
      eq(t.webhookDeliveries.companyId, companyId),
      eq(t.webhookDeliveries.endpointId, webhookId),
    )
    await db
      .delete(t.webhookAttempts)
      .where(
        and(
          eq(t.webhookAttempts.companyId, companyId),
          inArray(
            t.webhookAttempts.deliveryId,
            db.select({ id: t.webhookDeliveries.id }).from(t.webhookDeliveries).where(ofWebhook),
          ),
        ),
      )
    await db.delete(t.webhookDeliveries).where(ofWebhook)
    await db
      .delete(t.webhookEndpoints)
      .where(and(eq(t.webhookEndpoints.companyId, companyId), eq(t.webhookEndpoints.id, webhookId)))
    context.record({
      chainId: companyId,
      kind: 'webhook-removed',
      subjectId: webhookId,
      body: { host: new URL(webhook.url).host },
    })
    return webhook
  },
})
