// Who are you, and how do you get in?

import type { JSX } from 'preact'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { type FormState, TextField } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'

export interface SignInProps {
  /** Where the form posts, with the way back. */
  action: string
  form?: FormState | undefined
  refused?: string | undefined
  /** Whether this server takes new companies now. */
  maySignUp: boolean
}

export function SignInPage({ action, form, refused, maySignUp }: SignInProps): JSX.Element {
  return (
    <Layout
      title="Sign in"
      width="narrow"
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <h1>Sign in</h1>
      <form method="post" action={action} class="sheet">
        <TextField
          name="email"
          label="E-mail address"
          type="email"
          inputmode="email"
          autocomplete="username"
          required
          autofocus
          form={form}
        />
        <TextField
          name="password"
          label="Password"
          type="password"
          autocomplete="current-password"
          required
          form={form}
        />
        <Button>Sign in</Button>
      </form>
      <p>
        New here? An owner of your company can send you a link to join
        {maySignUp ? (
          <>
            , or you can <a href="/sign-up">set up a company</a>
          </>
        ) : null}
        .
      </p>
      <p class="soft">Password forgotten? Whoever runs this server can set a new one.</p>
    </Layout>
  )
}
