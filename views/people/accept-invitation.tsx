// Which company asks you to join, and how do you?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
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
      <Layout title={say.people.thisLinkLeadsNowhere} width="narrow">
        <h1>{say.people.thisLinkLeadsNowhere}</h1>
        <p class="lead">{say.people.theInvitationIsNot}</p>
        <p>{say.people.joinedAlready(<a href="/sign-in">{say.people.signIn}</a>)}</p>
      </Layout>
    )
  const title = say.people.join(invitation.company)
  return (
    <Layout
      title={title}
      width="narrow"
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <h1>{title}</h1>
      <Facts
        facts={[
          { label: say.people.company, value: invitation.company },
          { label: say.people.yourRole, value: invitation.role },
          { label: say.people.eMailAddress, value: invitation.email },
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
            label={say.people.yourPassword}
            hint={say.people.youHaveAnAccount}
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
              label={say.people.yourName}
              hint={say.people.asItStandsBeside}
              autocomplete="name"
              maxlength={120}
              required
              autofocus
              form={form}
            />
            <TextField
              name="password"
              label={say.people.chooseAPassword}
              hint={say.people.atLeast12Characters}
              type="password"
              autocomplete="new-password"
              required
              form={form}
            />
          </>
        )}
        <Button>{say.people.join2}</Button>
      </form>
    </Layout>
  )
}
