// Which code goes with your password?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { type FormState, OtherErrors, TextField } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'
import { PasskeyForm } from '../parts/passkey-form.tsx'

export interface SecondStepProps {
  /** Where the form posts, with the way back. */
  action: string
  /** Where a passkey's answer is posted; null for who has none. */
  byPasskey: string | null
  /** Whether they have an authenticator; else a recovery code is all that can be typed. */
  byAuthenticator: boolean
  /** Which sign-in this goes on with. */
  step: string
  form?: FormState | undefined
  refused?: string | undefined
}

export function SecondStepPage(props: SecondStepProps): JSX.Element {
  const { action, byPasskey, byAuthenticator, step, form, refused } = props
  return (
    <Layout
      title={say.secondStep.secondStep}
      width="narrow"
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <h1>{say.secondStep.secondStep}</h1>
      {byPasskey === null ? null : (
        <>
          <noscript>
            <p class="why">{say.passkeys.needsJavaScriptToSignIn}</p>
          </noscript>
          <PasskeyForm action={byPasskey} does="ask" step={step}>
            <Button>{say.passkeys.useOne}</Button>
          </PasskeyForm>
          <h2>{say.passkeys.orCode}</h2>
        </>
      )}
      <form method="post" action={action} class="sheet">
        <input type="hidden" name="step" value={step} />
        <OtherErrors form={form} fields={['code']} />
        <TextField
          name="code"
          label={say.secondStep.code}
          hint={byAuthenticator ? say.secondStep.codeHint : say.passkeys.recoveryCodeHint}
          autocomplete="one-time-code"
          maxlength={40}
          required
          autofocus={byPasskey === null}
          form={form}
        />
        <Button kind={byPasskey === null ? 'do' : 'other'}>{say.people.signIn}</Button>
      </form>
      <p class="soft">{say.secondStep.lostBoth}</p>
      <p>
        <a href="/sign-in">{say.secondStep.beginWithPassword}</a>
      </p>
    </Layout>
  )
}
