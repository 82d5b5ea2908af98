// How does a company begin to keep its record here?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { type FormState, OtherErrors, TextField } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'

export interface SignUpProps {
  open: boolean
  /** No company is here yet: one may come from elsewhere. */
  empty?: boolean | undefined
  /** Names the company to be, so that a second press founds no second one. */
  id: string
  form?: FormState | undefined
  refused?: string | undefined
}

const FIELDS = ['name', 'ownerName', 'email', 'password']

export function SignUpPage({ open, empty, id, form, refused }: SignUpProps): JSX.Element {
  if (!open)
    return (
      <Layout title={say.people.signUpIsClosed} width="narrow">
        <h1>{say.people.signUpIsClosed}</h1>
        <p class="lead">{say.people.noNewCompaniesAre}</p>
        <p>
          <a href="/sign-in">{say.people.signIn}</a>
        </p>
      </Layout>
    )
  return (
    <Layout
      title={say.people.setUpACompany2}
      width="narrow"
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <h1>{say.people.setUpACompany2}</h1>
      <p class="lead">{say.people.youWillBeIts}</p>
      <form method="post" action="/sign-up" class="sheet">
        <input type="hidden" name="id" value={id} />
        <OtherErrors form={form} fields={FIELDS} />
        <TextField
          name="name"
          label={say.people.nameOfTheCompany}
          hint={say.people.asItStandsOn}
          autocomplete="organization"
          maxlength={120}
          required
          autofocus
          form={form}
        />
        <TextField
          name="ownerName"
          label={say.people.yourName}
          autocomplete="name"
          maxlength={120}
          required
          form={form}
        />
        <TextField
          name="email"
          label={say.people.yourEMailAddress}
          hint={say.people.youSignInWith}
          type="email"
          inputmode="email"
          autocomplete="username"
          required
          form={form}
        />
        <TextField
          name="password"
          label={say.people.password}
          hint={say.people.atLeast12Characters}
          type="password"
          autocomplete="new-password"
          required
          form={form}
        />
        <Button>{say.people.setUpTheCompany}</Button>
      </form>
      {empty === true ? (
        <p>
          <a href="/import-company">{say.moving.takeUpInstead}</a>
        </p>
      ) : null}
      <p>
        <a href="/sign-in">{say.people.signInInstead}</a>
      </p>
    </Layout>
  )
}
