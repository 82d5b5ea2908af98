// Sends a message that says nothing, to see whether messages get through.

import { z } from 'zod'
import { conflict } from '../../refusals.ts'
import { putOut } from '../../store/outbox.ts'
import { type DeliveryRow, findWebhook, findWebhookDelivery } from '../../store/queries/webhooks.ts'
import { addressIn } from '../../webhooks/announce.ts'
import { messageOf } from '../../webhooks/events.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id } from '../fields.ts'

export const sendTestMessage = defineCommand({
  name: 'send-test-message',
  summary: 'Send a test message to a webhook; what became of it stands in its log.',
  capability: 'keep-webhooks',
  input: z.strictObject({ webhookId: id }),
  async handle(scope, { webhookId }, context): Promise<DeliveryRow> {
    const webhook = await findWebhook(scope, webhookId)
    if (!webhook.active) throw conflict('webhook-off', say.webhooks.switchItOnFirst)
    const body = messageOf('webhook.test', context.now, {
      webhookId,
      url: addressIn(context, `/webhooks/${webhookId}`),
    })
    const deliveryId = await putOut(scope, {
      endpointId: webhookId,
      messageId: context.newId(),
      event: 'webhook.test',
      body,
      now: context.now,
    })
    context.record({ chainId: scope.companyId, kind: 'webhook-tested', subjectId: webhookId })
    return findWebhookDelivery(scope, deliveryId)
  },
})
