// Who are you, and how do you get in?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { type FormState, TextField } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'
import { PasskeyForm } from '../parts/passkey-form.tsx'

export interface SignInProps {
  /** Where the form posts, with the way back. */
  action: string
  /** Where a passkey's answer is posted; null where the server has none. */
  byPasskey: string | null
  /** Whether a company here has a provider of its own. */
  byCompany: boolean
  form?: FormState | undefined
  refused?: string | undefined
  /** Whether this server takes new companies now. */
  maySignUp: boolean
}

export function SignInPage({
  action,
  byPasskey,
  byCompany,
  form,
  refused,
  maySignUp,
}: SignInProps): JSX.Element {
  return (
    <Layout
      title={say.people.signIn}
      width="narrow"
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <h1>{say.people.signIn}</h1>
      <form method="post" action={action} class="sheet">
        <TextField
          name="email"
          label={say.people.eMailAddress}
          type="email"
          inputmode="email"
          autocomplete="username"
          required
          autofocus
          form={form}
        />
        <TextField
          name="password"
          label={say.people.password}
          type="password"
          autocomplete="current-password"
          required
          form={form}
        />
        <Button>{say.people.signIn}</Button>
      </form>
      {byPasskey === null ? null : (
        <PasskeyForm action={byPasskey} does="ask">
          <Button kind="other">{say.passkeys.signIn}</Button>
        </PasskeyForm>
      )}
      {byCompany ? (
        <p>
          <a href="/sign-in/by">{say.openid.byCompany}</a>
        </p>
      ) : null}
      <p>
        {say.people.newHereAnOwner(
          maySignUp ? say.people.orYouCan(<a href="/sign-up">{say.people.setUpACompany}</a>) : null,
        )}
      </p>
      <p class="soft">{say.people.passwordForgottenWhoeverRuns}</p>
    </Layout>
  )
}
