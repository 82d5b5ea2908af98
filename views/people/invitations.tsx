// Who was asked to join, and who is asked next?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { type FormState, type Option, OtherErrors, SelectField, TextField } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'
import { Pager } from '../parts/pager.tsx'
import { When } from '../parts/when.tsx'

export interface InvitationsProps {
  shell: Shell
  id: string
  roles: readonly Option[]
  items: readonly {
    id: string
    email: string
    role: string
    state: 'waiting' | 'used' | 'ended'
    createdAt: number
    /** When it was used, or ends or ended. */
    endsAt: number
  }[]
  nextHref?: string | undefined
  form?: FormState | undefined
  refused?: string | undefined
}

const STATE_WORDS = { waiting: 'Waiting until', used: 'Joined on', ended: 'Ended on' } as const

export function InvitationsPage(props: InvitationsProps): JSX.Element {
  const { shell, id, roles, items, form, refused } = props
  return (
    <Layout
      {...shell}
      title="Invitations"
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <p>
        <a href="/members">People</a>
      </p>
      <h1>Invitations</h1>
      <div class="two">
        <section>
          <h2>Invited so far</h2>
          {items.length === 0 ? (
            <Empty title="Nobody was invited yet">Whom you invite stands here until they join.</Empty>
          ) : (
            <table class="stack">
              <thead>
                <tr>
                  <th scope="col">E-mail address</th>
                  <th scope="col">Role</th>
                  <th scope="col">State</th>
                  <th scope="col">
                    <span class="vh">What you can do</span>
                  </th>
                </tr>
              </thead>
              <tbody>
                {items.map((item) => (
                  <tr key={item.id}>
                    <th scope="row">{item.email}</th>
                    <td data-label="Role">{item.role}</td>
                    <td data-label="State">
                      {STATE_WORDS[item.state]} <When at={item.endsAt} show="day" />
                    </td>
                    <td>
                      {item.state === 'waiting' ? (
                        <form method="post" action={`/invitations/${item.id}/revoke`}>
                          <Button kind="refuse">
                            Take back<span class="vh"> the invitation of {item.email}</span>
                          </Button>
                        </form>
                      ) : null}
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
          )}
          <Pager of="invitations" nextHref={props.nextHref} />
        </section>
        <section>
          <h2>Invite somebody</h2>
          <form method="post" action="/invitations" class="sheet">
            <input type="hidden" name="id" value={id} />
            <OtherErrors form={form} fields={['email', 'role']} />
            <TextField
              name="email"
              label="E-mail address"
              type="email"
              inputmode="email"
              autocomplete="off"
              required
              form={form}
            />
            <SelectField
              name="role"
              label="Role"
              options={roles}
              choose="Choose a role"
              required
              form={form}
            />
            <p class="why">You get a link to hand on. No mail is sent from here.</p>
            <Button>Make the link</Button>
          </form>
        </section>
      </div>
    </Layout>
  )
}

export interface InvitationMadeProps {
  shell: Shell
  email: string
  role: string
  expiresAt: number
  /** Null when it was shown before. */
  link: string | null
}

export function InvitationMadePage(props: InvitationMadeProps): JSX.Element {
  return (
    <Layout {...props.shell} title="Invitation made" width="narrow">
      <h1>Invitation made</h1>
      {props.link === null ? (
        <p class="lead">
          The link was shown before and is not kept. If it is lost, take the invitation back and make another.
        </p>
      ) : (
        <>
          <p class="lead">
            Hand this link to {props.email}, who joins as {props.role}. It works once, until{' '}
            <When at={props.expiresAt} show="day" />, and is shown only now.
          </p>
          <div class="field field-text">
            <label for="link">Link to hand on</label>
            <textarea id="link" readonly rows={4} autofocus>
              {props.link}
            </textarea>
          </div>
          <p class="why">Whoever holds the link can join. Send it only to the person it is for.</p>
        </>
      )}
      <p>
        <a class="button" href="/invitations">
          Back to the invitations
        </a>
      </p>
    </Layout>
  )
}
