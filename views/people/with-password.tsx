// Is it you who changes this? A form with nothing but your password, once more.

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { Button } from '../parts/button.tsx'
import { type FormState, TextField } from '../parts/field.tsx'

export function WithPassword(props: {
  email: string
  action: string
  label: string
  kind: 'do' | 'refuse'
  form?: FormState | undefined
}): JSX.Element {
  // There are several of these on the page: what was refused is said at the one that was sent.
  const sent = props.form?.values._form === props.action ? props.form : undefined
  const form: FormState = { values: {}, errors: [], ...sent, scope: props.action.replaceAll('/', '-') }
  return (
    <form method="post" action={props.action} class="sheet">
      <input type="hidden" name="_form" value={props.action} />
      {/* Tells a password keeper whose password is asked for. */}
      <input type="email" value={props.email} autocomplete="username" hidden readonly />
      <TextField
        name="password"
        label={say.secondStep.yourPasswordAgain}
        type="password"
        autocomplete="current-password"
        required
        form={form}
      />
      <Button kind={props.kind}>{props.label}</Button>
    </form>
  )
}
