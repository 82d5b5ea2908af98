// Which code goes with your password?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { type FormState, OtherErrors, TextField } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'

export interface SecondStepProps {
  /** Where the form posts, with the way back. */
  action: string
  /** Which sign-in this goes on with. */
  step: string
  form?: FormState | undefined
  refused?: string | undefined
}

export function SecondStepPage({ action, step, form, refused }: SecondStepProps): JSX.Element {
  return (
    <Layout
      title={say.secondStep.secondStep}
      width="narrow"
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <h1>{say.secondStep.secondStep}</h1>
      <form method="post" action={action} class="sheet">
        <input type="hidden" name="step" value={step} />
        <OtherErrors form={form} fields={['code']} />
        <TextField
          name="code"
          label={say.secondStep.code}
          hint={say.secondStep.codeHint}
          autocomplete="one-time-code"
          maxlength={40}
          required
          autofocus
          form={form}
        />
        <Button>{say.people.signIn}</Button>
      </form>
      <p class="soft">{say.secondStep.lostBoth}</p>
      <p>
        <a href="/sign-in">{say.secondStep.beginWithPassword}</a>
      </p>
    </Layout>
  )
}
