// What is said of an address that messages go to, and how is it checked?

import { z } from 'zod'
import { faultOf, ownNetworks } from '../../outgoing/addresses.ts'
import { malformedField } from '../../refusals.ts'
import { WEBHOOK_EVENTS } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import type { Machinery } from '../command.ts'
import { text } from '../fields.ts'

export const webhookFields = {
  url: text(2000).meta({
    description:
      'Where messages are posted to: https, port 443 or 8443, on the public internet unless the operator allows more.',
  }),
  description: text(200).nullable(),
  events: z
    .array(z.enum(WEBHOOK_EVENTS, { error: () => say.webhooks.chooseFrom(WEBHOOK_EVENTS.join(', ')) }), {
      error: () => say.webhooks.chooseAtLeastOne,
    })
    .min(1, { error: () => say.webhooks.chooseAtLeastOne })
    .transform((events) => WEBHOOK_EVENTS.filter((event) => events.includes(event))),
}

/** Names are looked up when something is sent; here only what is wrong as it stands. */
export function checkUrl(url: string, { settings }: Machinery): void {
  const fault = faultOf(url, ownNetworks(settings.ownNetworks ?? ''))
  if (fault !== null) throw malformedField('url', say.outgoing.faults[fault])
}
