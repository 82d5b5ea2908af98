// How is a passkey asked for an answer? By a script; the form stays hidden where none runs.

import type { ComponentChildren, JSX } from 'preact'

export interface PasskeyFormProps {
  /** Where what it answered is posted. */
  action: string
  /** A new one is made, or one that is there is asked. */
  does: 'make' | 'ask'
  /** The sign-in that it goes on with. */
  step?: string | undefined
  children: ComponentChildren
}

export function PasskeyForm({ action, does, step, children }: PasskeyFormProps): JSX.Element {
  return (
    <form
      method="post"
      action={action}
      class={does === 'make' ? 'sheet' : undefined}
      data-passkey={does}
      hx-boost="false"
      hidden
    >
      <input type="hidden" name="step" value={step ?? ''} />
      {children}
      <p class="message" role="alert" data-passkey-said hidden />
    </form>
  )
}
