// Who is told of what happens, and what became of each message? Addresses, the messages to them, and every try.

import type { WebhookEvent } from '../../vocabulary.ts'
import type { Kit } from '../kit.ts'
import { link, ownedBy, ownedKey } from './keys.ts'
import type { definePeople } from './people.ts'

/** `waiting` until it got through, was given up after the last try, or stopped with its address. */
export type DeliveryState = 'waiting' | 'delivered' | 'given-up' | 'stopped'

/** Why an address is not in use: switched off by hand, gone by its own word (410), or nothing got through. */
export type SwitchedOffWhy = 'by-hand' | 'gone' | 'failing'

export function defineWebhooks(kit: Kit, { members }: ReturnType<typeof definePeople>) {
  const webhookEndpoints = kit.table(
    'webhook_endpoints',
    {
      ...ownedBy(kit),
      url: kit.text('url').notNull(),
      description: kit.text('description'),
      events: kit.json<WebhookEvent[]>('events').notNull(),
      active: kit.bool('active').notNull(),
      switchedOffWhy: kit.text('switched_off_why').$type<SwitchedOffWhy>(),
      switchedOffAt: kit.moment('switched_off_at'),
      /** Encrypted, as is the one before it, which signs alongside for a while. */
      secret: kit.text('secret').notNull(),
      secretBefore: kit.text('secret_before'),
      secretBeforeUntil: kit.moment('secret_before_until'),
      failuresInARow: kit.int('failures_in_a_row').notNull(),
      failingSince: kit.moment('failing_since'),
      createdBy: kit.text('created_by').notNull(),
      createdAt: kit.moment('created_at').notNull(),
    },
    (t) => [ownedKey(kit, t), link(kit, 'webhook_endpoints_created_by', t, t.createdBy, members)],
  )

  /** What is to be sent, written with the change that caused it; one row for each address. */
  const webhookDeliveries = kit.table(
    'webhook_deliveries',
    {
      ...ownedBy(kit),
      endpointId: kit.text('endpoint_id').notNull(),
      /** The same to every address, and at every try. */
      messageId: kit.text('message_id').notNull(),
      event: kit.text('event').$type<WebhookEvent | 'webhook.test'>().notNull(),
      /** The very bytes that are signed and sent. */
      body: kit.text('body').notNull(),
      createdAt: kit.moment('created_at').notNull(),
      state: kit.text('state').$type<DeliveryState>().notNull(),
      /** Tries since it was put out, or out again by hand. */
      tries: kit.int('tries').notNull(),
      /** When it is due; while somebody sends it, when it is due again should they die of it. Null once it is over. */
      nextAt: kit.moment('next_at'),
      /** Drawn by whoever is sending it right now. */
      lease: kit.text('lease'),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'webhook_deliveries_endpoint', t, t.endpointId, webhookEndpoints),
      kit.index('webhook_deliveries_due_index').on(t.nextAt, t.companyId, t.endpointId),
      kit.index('webhook_deliveries_log_index').on(t.companyId, t.endpointId, t.createdAt, t.id),
      kit.index('webhook_deliveries_age_index').on(t.createdAt),
    ],
  )

  const webhookAttempts = kit.table(
    'webhook_attempts',
    {
      ...ownedBy(kit),
      deliveryId: kit.text('delivery_id').notNull(),
      at: kit.moment('at').notNull(),
      tookMs: kit.int('took_ms').notNull(),
      /** What was answered; null where nothing was. */
      status: kit.int('status'),
      /** Why nothing was, as a code. */
      problem: kit.text('problem'),
      /** The beginning of what was answered. */
      answer: kit.text('answer'),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'webhook_attempts_delivery', t, t.deliveryId, webhookDeliveries),
      kit.index('webhook_attempts_delivery_index').on(t.companyId, t.deliveryId, t.at, t.id),
    ],
  )

  return { webhookEndpoints, webhookDeliveries, webhookAttempts }
}
