// Which programs may act in your name, and until when?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { TokenScope } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
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

const scopeWords = (): Record<TokenScope, string> => ({ read: say.people.read, write: say.people.write })
const stateWords = () =>
  ({
    valid: say.people.validUntil,
    expired: say.people.ended2,
    revoked: say.people.takenBackWouldHave,
  }) as const

export function TokensPage(props: TokensProps): JSX.Element {
  const { shell, items, form, refused } = props
  const scopesWrong = fieldErrors('scopes', form)
  return (
    <Layout
      {...shell}
      title={say.people.tokens}
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <p>
        <a href="/me">{say.people.you}</a>
      </p>
      <h1>{say.people.tokens}</h1>
      <p class="lead">{say.people.aProgramThatHolds}</p>
      <div class="two">
        <section>
          <h2>{say.people.yours}</h2>
          {items.length === 0 ? (
            <Empty title={say.people.noTokensYet}>{say.people.thoseThatYouMake}</Empty>
          ) : (
            <table class="stack">
              <thead>
                <tr>
                  <th scope="col">{say.people.whatItIsFor}</th>
                  <th scope="col">{say.people.may}</th>
                  <th scope="col">{say.people.state}</th>
                  <th scope="col">
                    <span class="vh">{say.people.whatYouCanDo}</span>
                  </th>
                </tr>
              </thead>
              <tbody>
                {items.map((item) => (
                  <tr key={item.id}>
                    <th scope="row">{item.name}</th>
                    <td data-label={say.people.may}>
                      {item.scopes.map((scope) => scopeWords()[scope]).join(', ')}
                    </td>
                    <td data-label={say.people.state}>
                      {stateWords()[item.state]} <When at={item.expiresAt} show="day" />
                    </td>
                    <td>
                      {item.state === 'valid' ? (
                        <form method="post" action={`/tokens/${item.id}/revoke`}>
                          <Button kind="refuse">
                            {say.people.takeBack(<span class="vh"> {item.name}</span>)}
                          </Button>
                        </form>
                      ) : null}
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
          )}
          <Pager of={say.people.tokens2} nextHref={props.nextHref} />
        </section>
        <section>
          <h2>{say.people.makeAToken}</h2>
          <form method="post" action="/tokens" class="sheet">
            <input type="hidden" name="id" value={props.id} />
            <OtherErrors form={form} fields={['name', 'scopes', 'expiresInDays#']} />
            <TextField
              name="name"
              label={say.people.whatItIsFor}
              hint={say.people.soThatYouKnow}
              maxlength={80}
              required
              form={form}
            />
            <fieldset class={scopesWrong.length === 0 ? 'field' : 'field field-wrong'}>
              <legend>{say.people.itMay}</legend>
              <CheckField
                name="scopes.read"
                label={say.people.read}
                form={form}
                value={form === undefined ? 'true' : undefined}
              />
              <CheckField name="scopes.write" label={say.people.write} form={form} />
              {scopesWrong.length === 0 ? null : <p class="message">{scopesWrong.join(' ')}</p>}
            </fieldset>
            <TextField
              name="expiresInDays#"
              label={say.people.daysThatItStands}
              hint={say.people.atMost(props.maxDays)}
              inputmode="numeric"
              value={String(props.days)}
              required
              form={form}
            />
            <Button>{say.people.makeTheToken}</Button>
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
    <Layout {...props.shell} title={say.people.tokenMade} width="narrow">
      <h1>{say.people.tokenMade}</h1>
      {props.secret === null ? (
        <p class="lead">{say.people.theTokenWasShown}</p>
      ) : (
        <>
          <p class="lead">{say.people.copyItNowIt(props.name, <When at={props.expiresAt} show="day" />)}</p>
          <div class="field field-text">
            <label for="token">{say.people.token}</label>
            <textarea id="token" readonly rows={3} autofocus>
              {props.secret}
            </textarea>
          </div>
          <p class="why">{say.people.programsSendItWith(<code>{say.people.authorizationBearer}</code>)}</p>
        </>
      )}
      <p>
        <a class="button" href="/tokens">
          {say.people.backToTheTokens}
        </a>
      </p>
    </Layout>
  )
}
