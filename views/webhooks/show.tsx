// How does this webhook stand, and what became of each message to it?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { AttemptRow, DeliveryRow, WebhookRow } from '../../server/store/queries/webhooks.ts'
import type { WebhookEvent } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { type FormState, OtherErrors } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'
import { Pager } from '../parts/pager.tsx'
import { When } from '../parts/when.tsx'
import { WebhookFields } from './fields.tsx'
import { eventWords, StateOf } from './state.tsx'

export interface WebhookProps {
  shell: Shell
  webhook: WebhookRow
  events: readonly WebhookEvent[]
  /** Until when the secret before signs alongside; null where it does not. */
  beforeUntil: number | null
  deliveries: readonly DeliveryRow[]
  /** So that a press of a button that is sent twice is one. */
  sendKey: string
  firstHref?: string | undefined
  nextHref?: string | undefined
  form?: FormState | undefined
  refused?: string | undefined
}

export function WebhookPage(props: WebhookProps): JSX.Element {
  const { webhook, refused } = props
  const title = webhook.description ?? webhook.url
  return (
    <Layout
      {...props.shell}
      title={title}
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <p>
        <a href="/webhooks">{say.webhooks.webhooks}</a>
      </p>
      <h1 class="long-address">{title}</h1>
      {webhook.description === null ? null : <p class="soft long-address">{webhook.url}</p>}
      {webhook.active ? (
        <p class="lead">
          <StateOf webhook={webhook} />
        </p>
      ) : (
        <Flash kind="needs-you">
          <StateOf webhook={webhook} />. {say.webhooks.needsALook}
        </Flash>
      )}
      {props.beforeUntil === null ? null : (
        <p class="why">{say.webhooks.beforeSigns(<When at={props.beforeUntil} />)}</p>
      )}
      <section>
        <h2>{say.webhooks.log}</h2>
        <p class="why">{say.webhooks.logWhy}</p>
        {webhook.active ? (
          <form method="post" action={`/webhooks/${webhook.id}/test`}>
            <input type="hidden" name="_key" value={`test-${props.sendKey}`} />
            <Button kind="other">{say.webhooks.sendTest}</Button>
          </form>
        ) : null}
        <Log {...props} />
        <Pager of={say.webhooks.messages} firstHref={props.firstHref} nextHref={props.nextHref} />
      </section>
      <div class="two">
        <Change {...props} />
        <MoreToDo {...props} />
      </div>
    </Layout>
  )
}

function Change(props: WebhookProps): JSX.Element {
  const { webhook, form } = props
  return (
    <section>
      <h2>{say.webhooks.change}</h2>
      <form method="post" action={`/webhooks/${webhook.id}/change`} class="sheet">
        <OtherErrors form={form} fields={['url', 'description', 'events']} />
        <WebhookFields
          events={props.events}
          form={form}
          url={webhook.url}
          description={webhook.description ?? undefined}
          ticked={webhook.events}
        />
        <Button>{say.webhooks.save}</Button>
      </form>
    </section>
  )
}

function MoreToDo({ webhook, sendKey }: WebhookProps): JSX.Element {
  const at = `/webhooks/${webhook.id}`
  return (
    <section>
      <h2>{say.webhooks.moreToDo}</h2>
      <form method="post" action={`${at}/secret`} class="sheet">
        <input type="hidden" name="_key" value={`secret-${sendKey}`} />
        <p class="why">{say.webhooks.newSecretWhy}</p>
        <Button kind="other">{say.webhooks.newSecret}</Button>
      </form>
      <form method="post" action={`${at}/change`} class="sheet">
        <input type="hidden" name="active?" value={webhook.active ? 'false' : 'true'} />
        <p class="why">{webhook.active ? say.webhooks.whenOff : say.webhooks.whenOn}</p>
        <Button kind={webhook.active ? 'refuse' : 'do'}>
          {webhook.active ? say.webhooks.switchOff : say.webhooks.switchOn}
        </Button>
      </form>
      <form method="post" action={`${at}/remove`} class="sheet">
        <p class="why">{say.webhooks.removeWhy}</p>
        <Button kind="refuse">{say.webhooks.remove}</Button>
      </form>
    </section>
  )
}

function Log(props: WebhookProps): JSX.Element {
  if (props.deliveries.length === 0)
    return <Empty title={say.webhooks.logEmpty}>{say.webhooks.logEmptyWhy}</Empty>
  return (
    <table class="stack">
      <thead>
        <tr>
          <th scope="col">{say.webhooks.event}</th>
          <th scope="col">{say.webhooks.when}</th>
          <th scope="col">{say.webhooks.state}</th>
          <th scope="col">{say.webhooks.triesAndContent}</th>
        </tr>
      </thead>
      <tbody>
        {props.deliveries.map((delivery) => (
          <tr key={delivery.id}>
            <th scope="row">
              <code>{delivery.event}</code> <span class="soft">{eventWords(delivery.event)}</span>
            </th>
            <td data-label={say.webhooks.when}>
              <When at={delivery.createdAt} />
            </td>
            <td data-label={say.webhooks.state}>
              {delivery.underWay ? say.webhooks.underWay : say.webhooks.states[delivery.state]}
              {delivery.nextAt === null || delivery.underWay ? null : (
                <span class="soft">. {say.webhooks.nextTry(<When at={delivery.nextAt} />)}</span>
              )}
            </td>
            <td data-label={say.webhooks.triesAndContent}>
              <details>
                <summary>{say.webhooks.tries(delivery.attempts.length)}</summary>
                <ul>
                  {delivery.attempts.map((attempt) => (
                    <li key={attempt.id}>
                      <When at={attempt.at} />: {wordsOf(attempt)}
                      {attempt.answer === null ? null : (
                        <span class="soft long-address"> {attempt.answer}</span>
                      )}
                    </li>
                  ))}
                </ul>
                <p>
                  {say.webhooks.webhookId} <code class="long-address">{delivery.messageId}</code>
                </p>
                <p>
                  {say.webhooks.content} <code class="long-address verbatim">{delivery.body}</code>
                </p>
              </details>
              {props.webhook.active && !delivery.underWay ? (
                <form method="post" action={`/webhook-deliveries/${delivery.id}/send-again`}>
                  <input type="hidden" name="_key" value={`again-${delivery.id}-${props.sendKey}`} />
                  <Button kind="other">{say.webhooks.sendAgain}</Button>
                </form>
              ) : null}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

function wordsOf({ status, problem, tookMs }: AttemptRow): string {
  const ms = String(tookMs)
  if (status !== null) return say.webhooks.answered(status, ms)
  const known = say.webhooks.problems as Record<string, string | undefined>
  return say.webhooks.problemIn(known[problem ?? ''] ?? say.webhooks.problems['not-reached'], ms)
}
