// Who is told that something happened? Every address of the company that wants to hear of it, by the transaction that did it.

import { newId } from '../ids.ts'
import { listListening, putOut } from '../store/outbox.ts'
import type { Scope } from '../store/store.ts'
import type { WebhookEvent } from '../vocabulary.ts'
import { type DataOf, messageOf } from './events.ts'

interface Announcing {
  now: number
  machinery: { settings: { publicUrl: string } }
}

/** `path` is where this interface has the thing: `/jobs/…`. */
export const addressIn = ({ machinery }: Announcing, path: string): string =>
  `${machinery.settings.publicUrl}/api/v1${path}`

export async function announce<Event extends WebhookEvent>(
  scope: Scope,
  { now }: Announcing,
  event: Event,
  data: DataOf<Event>,
): Promise<void> {
  const endpoints = await listListening(scope, event)
  if (endpoints.length === 0) return
  const message = { messageId: newId(), event, body: messageOf(event, now, data), now }
  for (const endpointId of endpoints) await putOut(scope, { endpointId, ...message })
}
