// Which other programs are told of what happens, and what became of each message to them?

import type { FormState } from '../../views/parts/field.tsx'
import { WebhooksPage } from '../../views/webhooks/index.tsx'
import { WebhookSecretPage } from '../../views/webhooks/secret.tsx'
import { WebhookPage } from '../../views/webhooks/show.tsx'
import { revealed } from '../access/shown-once.ts'
import { changeWebhook } from '../commands/webhooks/change-webhook.ts'
import { registerWebhook, type WebhookWithSecret } from '../commands/webhooks/register-webhook.ts'
import { removeWebhook } from '../commands/webhooks/remove-webhook.ts'
import { replaceWebhookSecret } from '../commands/webhooks/replace-webhook-secret.ts'
import { sendAgain } from '../commands/webhooks/send-again.ts'
import { sendTestMessage } from '../commands/webhooks/send-test-message.ts'
import { newId } from '../ids.ts'
import type { Refusal } from '../refusals.ts'
import {
  type DeliveryRow,
  findWebhook,
  listWebhookDeliveries,
  listWebhooks,
  type WebhookRow,
} from '../store/queries/webhooks.ts'
import { WEBHOOK_EVENTS } from '../vocabulary.ts'
import type { Deps } from './deps.ts'
import { expand, type Fields } from './form.ts'
import { instant, instantOrNull } from './json.ts'
import { type Ask, type ListQuery, listQuery, type Resource } from './resource.ts'
import { messageOf } from './session.ts'
import { shellOf } from './shell.ts'

export function webhooksResource(resource: Resource, _deps: Deps): void {
  resource.read({
    path: '/webhooks',
    name: 'list-webhooks',
    summary: 'The addresses that messages go to, newest first.',
    capability: 'keep-webhooks',
    query: listQuery,
    load: ({ scope, query }) => listWebhooks(scope, query as unknown as ListQuery),
    json: ({ items, nextCursor }) => ({ items: items.map(webhookJson), nextCursor }),
    page: (_page, ask) => webhooksPage(ask),
  })

  resource.write({
    path: '/webhooks',
    command: registerWebhook,
    status: 201,
    json: ({ webhook, secret }) => ({ ...webhookJson(webhook), secret: revealed(secret) }),
    page: {
      input: withEvents,
      goTo: secretPage,
      again: (form, refusal, ask) => webhooksPage(ask, form, refusal),
    },
  })

  resource.read({
    path: '/webhooks/:webhookId',
    name: 'find-webhook',
    summary: 'One of them.',
    capability: 'keep-webhooks',
    load: ({ scope, params }) => findWebhook(scope, params.webhookId ?? ''),
    json: (row) => webhookJson(row),
    page: (row, ask) => webhookPage(ask, row),
  })

  resource.write({
    method: 'PATCH',
    path: '/webhooks/:webhookId',
    command: changeWebhook,
    json: (row) => webhookJson(row),
    page: {
      path: '/webhooks/:webhookId/change',
      input: (fields) =>
        'active?' in fields ? expand(fields) : { description: null, ...withEvents(fields) },
      goTo: (row) => `/webhooks/${row.id}`,
      again,
    },
  })

  resource.write({
    method: 'DELETE',
    path: '/webhooks/:webhookId',
    command: removeWebhook,
    json: (row) => webhookJson(row),
    page: { path: '/webhooks/:webhookId/remove', goTo: () => '/webhooks' },
  })

  resource.write({
    path: '/webhooks/:webhookId/secret',
    command: replaceWebhookSecret,
    json: ({ webhook, secret }) => ({ ...webhookJson(webhook), secret: revealed(secret) }),
    page: { goTo: secretPage },
  })

  resource.write({
    path: '/webhooks/:webhookId/test',
    command: sendTestMessage,
    status: 201,
    json: (row) => deliveryJson(row),
    page: { goTo: (row) => `/webhooks/${row.endpointId}`, again },
  })

  resource.read({
    path: '/webhooks/:webhookId/deliveries',
    name: 'list-webhook-deliveries',
    summary:
      'What was sent to it in the last 30 days, is being sent and waits, newest first, with every try.',
    capability: 'keep-webhooks',
    query: listQuery,
    load: ({ scope, params, query }) =>
      listWebhookDeliveries(scope, params.webhookId ?? '', query as unknown as ListQuery),
    json: ({ items, nextCursor }) => ({ items: items.map(deliveryJson), nextCursor }),
  })

  resource.write({
    path: '/webhook-deliveries/:deliveryId/send-again',
    command: sendAgain,
    json: (row) => deliveryJson(row),
    page: { goTo: (row) => `/webhooks/${row.endpointId}` },
  })
}

/** Ticks named `events.job.signed_off` are the list of those events. */
function withEvents(fields: Fields): Record<string, unknown> {
  const others = Object.fromEntries(Object.entries(fields).filter(([name]) => !name.startsWith('events.')))
  return { ...expand(others), events: WEBHOOK_EVENTS.filter((event) => fields[`events.${event}`] === 'true') }
}

function secretPage({ webhook, secret }: WebhookWithSecret, { actor }: Ask) {
  return WebhookSecretPage({
    shell: shellOf(actor, '/webhooks'),
    id: webhook.id,
    url: webhook.url,
    secret: revealed(secret),
    beforeUntil: webhook.secretBeforeUntil,
  })
}

async function again(form: FormState, refusal: Refusal, ask: Ask) {
  return webhookPage(ask, await findWebhook(ask.scope, ask.params.webhookId ?? ''), form, refusal)
}

async function webhooksPage(ask: Ask, form?: FormState, refusal?: Refusal) {
  const { items, nextCursor } = await listWebhooks(ask.scope, { limit: 50, cursor: ask.query.cursor })
  return WebhooksPage({
    shell: shellOf(ask.actor, '/webhooks'),
    id: form?.values.id ?? newId(),
    items,
    events: WEBHOOK_EVENTS,
    nextHref: nextCursor === null ? undefined : `/webhooks?cursor=${nextCursor}`,
    form,
    refused: refusal && messageOf(refusal),
  })
}

async function webhookPage(ask: Ask, row: WebhookRow, form?: FormState, refusal?: Refusal) {
  const { items, nextCursor } = await listWebhookDeliveries(ask.scope, row.id, {
    limit: 25,
    cursor: ask.query.cursor,
  })
  return WebhookPage({
    shell: shellOf(ask.actor, '/webhooks'),
    webhook: row,
    events: WEBHOOK_EVENTS,
    beforeUntil:
      row.secretBeforeUntil !== null && row.secretBeforeUntil > ask.now ? row.secretBeforeUntil : null,
    deliveries: items,
    sendKey: newId(),
    firstHref: ask.query.cursor === undefined ? undefined : `/webhooks/${row.id}`,
    nextHref: nextCursor === null ? undefined : `/webhooks/${row.id}?cursor=${nextCursor}`,
    form,
    refused: refusal && messageOf(refusal),
  })
}

const webhookJson = (row: WebhookRow) => ({
  id: row.id,
  url: row.url,
  description: row.description,
  events: row.events,
  active: row.active,
  switchedOff:
    row.switchedOffWhy === null ? null : { why: row.switchedOffWhy, at: instantOrNull(row.switchedOffAt) },
  failuresInARow: row.failuresInARow,
  failingSince: instantOrNull(row.failingSince),
  secretBeforeUntil: instantOrNull(row.secretBeforeUntil),
  createdBy: row.createdBy,
  createdAt: instant(row.createdAt),
})

const deliveryJson = (row: DeliveryRow) => ({
  id: row.id,
  webhookId: row.endpointId,
  /** The header `webhook-id`. */
  messageId: row.messageId,
  event: row.event,
  body: row.body,
  createdAt: instant(row.createdAt),
  state: row.state,
  underWay: row.underWay,
  nextAt: row.underWay ? null : instantOrNull(row.nextAt),
  attempts: row.attempts.map((attempt) => ({
    at: instant(attempt.at),
    tookMs: attempt.tookMs,
    status: attempt.status,
    problem: attempt.problem,
    answer: attempt.answer,
  })),
})
