// Changes where messages go and which, and switches an address off and on.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { switchOff } from '../../store/outbox.ts'
import { findWebhook, type WebhookRow } from '../../store/queries/webhooks.ts'
import { defineCommand } from '../command.ts'
import { id } from '../fields.ts'
import { checkUrl, webhookFields } from './webhook-fields.ts'

export const changeWebhook = defineCommand({
  name: 'change-webhook',
  summary: 'Change the address, the events or the description of a webhook, or switch it off or on.',
  capability: 'keep-webhooks',
  input: z.strictObject({
    webhookId: id,
    url: webhookFields.url.optional(),
    description: webhookFields.description.optional(),
    events: webhookFields.events.optional(),
    active: z
      .boolean()
      .optional()
      .meta({ description: 'What waits stops when it is switched off, and can be sent again by hand.' }),
  }),
  async handle(scope, { webhookId, active, ...input }, context): Promise<WebhookRow> {
    const { db, t, companyId } = scope
    const before = await findWebhook(scope, webhookId)
    if (input.url !== undefined) checkUrl(input.url, context.machinery)
    const changed = {
      url: input.url ?? before.url,
      description: input.description === undefined ? before.description : input.description,
      events: input.events ?? before.events,
    }
    const at = and(eq(t.webhookEndpoints.companyId, companyId), eq(t.webhookEndpoints.id, webhookId))
    await db.update(t.webhookEndpoints).set(changed).where(at)
    if (active === false && before.active) await switchOff(scope, webhookId, 'by-hand', context.now)
    if (active === true && !before.active)
      await db
        .update(t.webhookEndpoints)
        .set({
          active: true,
          switchedOffWhy: null,
          switchedOffAt: null,
          failuresInARow: 0,
          failingSince: null,
        })
        .where(at)
    context.record({
      chainId: companyId,
      kind: 'webhook-changed',
      subjectId: webhookId,
      body: { host: new URL(changed.url).host, events: changed.events, active: active ?? before.active },
    })
    return findWebhook(scope, webhookId)
  },
})
