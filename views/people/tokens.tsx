// Which programs may act in your name, and until when?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { TokenScope } from '../../server/vocabulary.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { CheckField, type FormState, fieldErrors, OtherErrors, TextField } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'
import { Pager } from '../parts/pager.tsx'
import { When } from '../parts/when.tsx'

export interface TokensProps {
  shell: Shell
  id: string
  days: number
  maxDays: number
  items: readonly {
    id: string
    name: string
    scopes: readonly TokenScope[]
    createdAt: number
    expiresAt: number
    state: 'valid' | 'expired' | 'revoked'
  }[]
  nextHref?: string | undefined
  form?: FormState | undefined
  refused?: string | undefined
}

const SCOPE_WORDS: Record<TokenScope, string> = { read: 'read', write: 'write' }
const STATE_WORDS = {
  valid: 'Valid until',
  expired: 'Ended',
  revoked: 'Taken back; would have ended',
} as const

export function TokensPage(props: TokensProps): JSX.Element {
  const { shell, items, form, refused } = props
  const scopesWrong = fieldErrors('scopes', form)
  return (
    <Layout
      {...shell}
      title="Tokens"
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <p>
        <a href="/me">You</a>
      </p>
      <h1>Tokens</h1>
      <p class="lead">A program that holds a token acts in your name, in this company, within your role.</p>
      <div class="two">
        <section>
          <h2>Yours</h2>
          {items.length === 0 ? (
            <Empty title="No tokens yet">
              Those that you make stand here; the token itself is shown only once.
            </Empty>
          ) : (
            <table class="stack">
              <thead>
                <tr>
                  <th scope="col">What it is for</th>
                  <th scope="col">May</th>
                  <th scope="col">State</th>
                  <th scope="col">
                    <span class="vh">What you can do</span>
                  </th>
                </tr>
              </thead>
              <tbody>
                {items.map((item) => (
                  <tr key={item.id}>
                    <th scope="row">{item.name}</th>
                    <td data-label="May">{item.scopes.map((scope) => SCOPE_WORDS[scope]).join(', ')}</td>
                    <td data-label="State">
                      {STATE_WORDS[item.state]} <When at={item.expiresAt} show="day" />
                    </td>
                    <td>
                      {item.state === 'valid' ? (
                        <form method="post" action={`/tokens/${item.id}/revoke`}>
                          <Button kind="refuse">
                            Take back<span class="vh"> {item.name}</span>
                          </Button>
                        </form>
                      ) : null}
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
          )}
          <Pager of="tokens" nextHref={props.nextHref} />
        </section>
        <section>
          <h2>Make a token</h2>
          <form method="post" action="/tokens" class="sheet">
            <input type="hidden" name="id" value={props.id} />
            <OtherErrors form={form} fields={['name', 'scopes', 'expiresInDays#']} />
            <TextField
              name="name"
              label="What it is for"
              hint="So that you know it again."
              maxlength={80}
              required
              form={form}
            />
            <fieldset class={scopesWrong.length === 0 ? 'field' : 'field field-wrong'}>
              <legend>It may</legend>
              <CheckField
                name="scopes.read"
                label="read"
                form={form}
                value={form === undefined ? 'true' : undefined}
              />
              <CheckField name="scopes.write" label="write" form={form} />
              {scopesWrong.length === 0 ? null : <p class="message">{scopesWrong.join(' ')}</p>}
            </fieldset>
            <TextField
              name="expiresInDays#"
              label="Days that it stands"
              hint={`At most ${props.maxDays}.`}
              inputmode="numeric"
              value={String(props.days)}
              required
              form={form}
            />
            <Button>Make the token</Button>
          </form>
        </section>
      </div>
    </Layout>
  )
}

export interface TokenMadeProps {
  shell: Shell
  name: string
  expiresAt: number
  /** Null when it was shown before. */
  secret: string | null
}

export function TokenMadePage(props: TokenMadeProps): JSX.Element {
  return (
    <Layout {...props.shell} title="Token made" width="narrow">
      <h1>Token made</h1>
      {props.secret === null ? (
        <p class="lead">
          The token was shown before and is not kept. If it is lost, take it back and make another.
        </p>
      ) : (
        <>
          <p class="lead">
            Copy it now: it is shown only once. It is for {props.name} and stands until{' '}
            <When at={props.expiresAt} show="day" />.
          </p>
          <div class="field field-text">
            <label for="token">Token</label>
            <textarea id="token" readonly rows={3} autofocus>
              {props.secret}
            </textarea>
          </div>
          <p class="why">
            Programs send it with each request: <code>Authorization: Bearer …</code>
          </p>
        </>
      )}
      <p>
        <a class="button" href="/tokens">
          Back to the tokens
        </a>
      </p>
    </Layout>
  )
}
