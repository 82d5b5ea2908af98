// Which other programs are told of what happens here?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { WebhookRow } from '../../server/store/queries/webhooks.ts'
import type { WebhookEvent } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { type FormState, OtherErrors } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'
import { Pager } from '../parts/pager.tsx'
import { WebhookFields } from './fields.tsx'
import { eventWords, StateOf } from './state.tsx'

export interface WebhooksProps {
  shell: Shell
  /** Of the webhook that this form would make. */
  id: string
  items: readonly WebhookRow[]
  events: readonly WebhookEvent[]
  nextHref?: string | undefined
  form?: FormState | undefined
  refused?: string | undefined
}

export function WebhooksPage(props: WebhooksProps): JSX.Element {
  const { shell, items, form, refused } = props
  return (
    <Layout
      {...shell}
      title={say.webhooks.webhooks}
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <h1>{say.webhooks.webhooks}</h1>
      <p class="lead">{say.webhooks.lead}</p>
      <p>
        <a href="/api/v1/docs#webhook-messages">{say.webhooks.howToReceive}</a>
      </p>
      <div class="two">
        <section>
          <h2>{say.webhooks.yours}</h2>
          {items.length === 0 ? (
            <Empty title={say.webhooks.noneYet}>{say.webhooks.noneYetWhy}</Empty>
          ) : (
            <table class="stack">
              <thead>
                <tr>
                  <th scope="col">{say.webhooks.address}</th>
                  <th scope="col">{say.webhooks.events}</th>
                  <th scope="col">{say.webhooks.state}</th>
                </tr>
              </thead>
              <tbody>
                {items.map((item) => (
                  <tr key={item.id}>
                    <th scope="row">
                      <a class="long-address" href={`/webhooks/${item.id}`}>
                        {item.description ?? item.url}
                      </a>
                      {item.description === null ? null : <span class="soft long-address"> {item.url}</span>}
                    </th>
                    <td data-label={say.webhooks.events}>{item.events.map(eventWords).join('; ')}</td>
                    <td data-label={say.webhooks.state}>
                      <StateOf webhook={item} />
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
          )}
          <Pager of={say.webhooks.webhooks2} nextHref={props.nextHref} />
        </section>
        <section>
          <h2>{say.webhooks.add}</h2>
          <form method="post" action="/webhooks" class="sheet">
            <input type="hidden" name="id" value={props.id} />
            <OtherErrors form={form} fields={['url', 'description', 'events']} />
            <WebhookFields events={props.events} form={form} ticked={props.events} />
            <Button>{say.webhooks.addIt}</Button>
          </form>
        </section>
      </div>
    </Layout>
  )
}
