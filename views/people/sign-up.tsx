// How does a company begin to keep its record here?

import type { JSX } from 'preact'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { type FormState, OtherErrors, TextField } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'

export interface SignUpProps {
  open: boolean
  /** Names the company to be, so that a second press founds no second one. */
  id: string
  form?: FormState | undefined
  refused?: string | undefined
}

const FIELDS = ['name', 'ownerName', 'email', 'password']

export function SignUpPage({ open, id, form, refused }: SignUpProps): JSX.Element {
  if (!open)
    return (
      <Layout title="Sign-up is closed" width="narrow">
        <h1>Sign-up is closed</h1>
        <p class="lead">
          No new companies are taken on this server. If your company is here already, ask an owner of it to
          invite you.
        </p>
        <p>
          <a href="/sign-in">Sign in</a>
        </p>
      </Layout>
    )
  return (
    <Layout
      title="Set up a company"
      width="narrow"
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <h1>Set up a company</h1>
      <p class="lead">
        You will be its owner. Technicians, managers and the warranty desk are invited afterwards.
      </p>
      <form method="post" action="/sign-up" class="sheet">
        <input type="hidden" name="id" value={id} />
        <OtherErrors form={form} fields={FIELDS} />
        <TextField
          name="name"
          label="Name of the company"
          hint="As it stands on your certificates."
          autocomplete="organization"
          maxlength={120}
          required
          autofocus
          form={form}
        />
        <TextField
          name="ownerName"
          label="Your name"
          autocomplete="name"
          maxlength={120}
          required
          form={form}
        />
        <TextField
          name="email"
          label="Your e-mail address"
          hint="You sign in with it. If you have an account here already, use its address and password."
          type="email"
          inputmode="email"
          autocomplete="username"
          required
          form={form}
        />
        <TextField
          name="password"
          label="Password"
          hint="At least 12 characters. Length is what counts: a few words are good."
          type="password"
          autocomplete="new-password"
          required
          form={form}
        />
        <Button>Set up the company</Button>
      </form>
      <p>
        <a href="/sign-in">Sign in instead</a>
      </p>
    </Layout>
  )
}
