// Sends a message once more, whatever became of it: the same bytes under the same id, with the whole schedule before it.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { conflict } from '../../refusals.ts'
import { type DeliveryRow, findWebhook, findWebhookDelivery } from '../../store/queries/webhooks.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id } from '../fields.ts'

export const sendAgain = defineCommand({
  name: 'send-webhook-again',
  summary: 'Send a message again, now: the same content under the same webhook-id.',
  capability: 'keep-webhooks',
  input: z.strictObject({ deliveryId: id }),
  async handle(scope, { deliveryId }, context): Promise<DeliveryRow> {
    const { db, t, companyId } = scope
    const delivery = await findWebhookDelivery(scope, deliveryId)
    const webhook = await findWebhook(scope, delivery.endpointId)
    if (!webhook.active) throw conflict('webhook-off', say.webhooks.switchItOnFirst)
    if (delivery.underWay) throw conflict('being-sent', say.webhooks.isBeingSent)
    await db
      .update(t.webhookDeliveries)
      .set({ state: 'waiting', tries: 0, nextAt: context.now, lease: null })
      .where(and(eq(t.webhookDeliveries.companyId, companyId), eq(t.webhookDeliveries.id, deliveryId)))
    context.record({
      chainId: companyId,
      kind: 'webhook-sent-again',
      subjectId: webhook.id,
      body: { message: delivery.messageId },
    })
    return findWebhookDelivery(scope, deliveryId)
  },
})
