// Has messages sent to an address from now on; the secret that signs them is answered once.

import { z } from 'zod'
import { ShownOnce } from '../../access/shown-once.ts'
import { conflict } from '../../refusals.ts'
import { findWebhook, listWebhooks, type WebhookRow } from '../../store/queries/webhooks.ts'
import { sealedForWebhook } from '../../webhooks/sealed-for.ts'
import { newWebhookSecret } from '../../webhooks/signature.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { ownId } from '../fields.ts'
import { checkUrl, webhookFields } from './webhook-fields.ts'

export const MAX_WEBHOOKS = 20

export interface WebhookWithSecret {
  webhook: WebhookRow
  secret: ShownOnce | null
}

export const registerWebhook = defineCommand({
  name: 'register-webhook',
  summary:
    'Have messages posted to an address when something happens. The secret that signs them is answered once.',
  capability: 'keep-webhooks',
  input: z.strictObject({
    id: ownId,
    ...webhookFields,
    description: webhookFields.description.optional(),
  }),
  async handle(scope, input, context): Promise<WebhookWithSecret> {
    const { db, t, companyId } = scope
    checkUrl(input.url, context.machinery)
    if ((await listWebhooks(scope, { limit: MAX_WEBHOOKS })).items.length >= MAX_WEBHOOKS)
      throw conflict('too-many-webhooks', say.webhooks.tooMany(MAX_WEBHOOKS))
    const id = input.id ?? context.newId()
    const secret = newWebhookSecret()
    await db.insert(t.webhookEndpoints).values({
      companyId,
      id,
      url: input.url,
      description: input.description ?? null,
      events: input.events,
      active: true,
      switchedOffWhy: null,
      switchedOffAt: null,
      secret: context.machinery.sealer.seal(secret, sealedForWebhook(companyId, id)),
      secretBefore: null,
      secretBeforeUntil: null,
      failuresInARow: 0,
      failingSince: null,
      createdBy: context.actor.memberId,
      createdAt: context.now,
    })
    context.record({
      chainId: companyId,
      kind: 'webhook-registered',
      subjectId: id,
      body: { host: new URL(input.url).host, events: input.events },
    })
    return { webhook: await findWebhook(scope, id), secret: new ShownOnce(secret) }
  },
})
