// Which company asks you to join, and how do you?

import type { JSX } from 'preact'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Facts } from '../parts/facts.tsx'
import { type FormState, OtherErrors, TextField } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'

export interface AcceptInvitationProps {
  code: string
  /** Null when the link leads nowhere any more. */
  invitation: { company: string; email: string; role: string; known: boolean } | null
  form?: FormState | undefined
  refused?: string | undefined
}

export function AcceptInvitationPage(props: AcceptInvitationProps): JSX.Element {
  const { code, invitation, form, refused } = props
  if (!invitation)
    return (
      <Layout title="This link leads nowhere" width="narrow">
        <h1>This link leads nowhere</h1>
        <p class="lead">
          The invitation is not known, was used or taken back, or is past its date. Ask the one who invited
          you for a new link.
        </p>
        <p>
          Joined already? <a href="/sign-in">Sign in</a>.
        </p>
      </Layout>
    )
  const title = `Join ${invitation.company}`
  return (
    <Layout
      title={title}
      width="narrow"
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <h1>{title}</h1>
      <Facts
        facts={[
          { label: 'Company', value: invitation.company },
          { label: 'Your role', value: invitation.role },
          { label: 'E-mail address', value: invitation.email },
        ]}
      />
      <form method="post" action="/invitations/accept" class="sheet">
        <input type="hidden" name="code" value={code} />
        {/* Lets a password keeper file the password under the address. */}
        <input type="email" name="_email" value={invitation.email} autocomplete="username" hidden readonly />
        <OtherErrors form={form} fields={['name', 'password']} />
        {invitation.known ? (
          <TextField
            name="password"
            label="Your password"
            hint="You have an account with this address already."
            type="password"
            autocomplete="current-password"
            required
            autofocus
            form={form}
          />
        ) : (
          <>
            <TextField
              name="name"
              label="Your name"
              hint="As it stands beside the work that you record."
              autocomplete="name"
              maxlength={120}
              required
              autofocus
              form={form}
            />
            <TextField
              name="password"
              label="Choose a password"
              hint="At least 12 characters. Length is what counts: a few words are good."
              type="password"
              autocomplete="new-password"
              required
              form={form}
            />
          </>
        )}
        <Button>Join</Button>
      </form>
    </Layout>
  )
}
