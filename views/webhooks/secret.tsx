// What are messages to this address signed with? Shown once.

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { When } from '../parts/when.tsx'

export interface WebhookSecretProps {
  shell: Shell
  id: string
  url: string
  /** Null when it was shown before. */
  secret: string | null
  beforeUntil: number | null
}

export function WebhookSecretPage(props: WebhookSecretProps): JSX.Element {
  return (
    <Layout {...props.shell} title={say.webhooks.secretOf} width="narrow">
      <h1>{say.webhooks.secretOf}</h1>
      {props.secret === null ? (
        <p class="lead">{say.webhooks.wasShown}</p>
      ) : (
        <>
          <p class="lead">{say.webhooks.copyItNow(<b class="long-address">{props.url}</b>)}</p>
          <div class="field field-text">
            <label for="secret">{say.webhooks.secret}</label>
            <textarea id="secret" readonly rows={3} autofocus>
              {props.secret}
            </textarea>
          </div>
          {props.beforeUntil === null ? null : (
            <p class="why">{say.webhooks.beforeSigns(<When at={props.beforeUntil} />)}</p>
          )}
          <p>
            <a href="/api/v1/docs#webhook-messages">{say.webhooks.howToReceive}</a>
          </p>
        </>
      )}
      <p>
        <a class="button" href={`/webhooks/${props.id}`}>
          {say.webhooks.toTheWebhook}
        </a>
      </p>
    </Layout>
  )
}
