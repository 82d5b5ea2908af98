// Who was asked to join, and who is asked next?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
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

const stateWords = () =>
  ({ waiting: say.people.waitingUntil, used: say.people.joinedOn, ended: say.people.endedOn }) as const

export function InvitationsPage(props: InvitationsProps): JSX.Element {
  const { shell, id, roles, items, form, refused } = props
  return (
    <Layout
      {...shell}
      title={say.people.invitations}
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <p>
        <a href="/members">{say.people.people}</a>
      </p>
      <h1>{say.people.invitations}</h1>
      <div class="two">
        <section>
          <h2>{say.people.invitedSoFar}</h2>
          {items.length === 0 ? (
            <Empty title={say.people.nobodyWasInvitedYet}>{say.people.whomYouInviteStands}</Empty>
          ) : (
            <table class="stack">
              <thead>
                <tr>
                  <th scope="col">{say.people.eMailAddress}</th>
                  <th scope="col">{say.people.role}</th>
                  <th scope="col">{say.people.state}</th>
                  <th scope="col">
                    <span class="vh">{say.people.whatYouCanDo}</span>
                  </th>
                </tr>
              </thead>
              <tbody>
                {items.map((item) => (
                  <tr key={item.id}>
                    <th scope="row">{item.email}</th>
                    <td data-label={say.people.role}>{item.role}</td>
                    <td data-label={say.people.state}>
                      {stateWords()[item.state]} <When at={item.endsAt} show="day" />
                    </td>
                    <td>
                      {item.state === 'waiting' ? (
                        <form method="post" action={`/invitations/${item.id}/revoke`}>
                          <Button kind="refuse">
                            {say.people.takeBack(
                              <span class="vh"> {say.people.theInvitationOf(item.email)}</span>,
                            )}
                          </Button>
                        </form>
                      ) : null}
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
          )}
          <Pager of={say.people.invitations2} nextHref={props.nextHref} />
        </section>
        <section>
          <h2>{say.people.inviteSomebody}</h2>
          <form method="post" action="/invitations" class="sheet">
            <input type="hidden" name="id" value={id} />
            <OtherErrors form={form} fields={['email', 'role']} />
            <TextField
              name="email"
              label={say.people.eMailAddress}
              type="email"
              inputmode="email"
              autocomplete="off"
              required
              form={form}
            />
            <SelectField
              name="role"
              label={say.people.role}
              options={roles}
              choose={say.people.chooseARole}
              required
              form={form}
            />
            <p class="why">{say.people.youGetALink}</p>
            <Button>{say.people.makeTheLink}</Button>
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
    <Layout {...props.shell} title={say.people.invitationMade} width="narrow">
      <h1>{say.people.invitationMade}</h1>
      {props.link === null ? (
        <p class="lead">{say.people.theLinkWasShown}</p>
      ) : (
        <>
          <p class="lead">
            {say.people.handThisLinkTo(props.email, props.role, <When at={props.expiresAt} show="day" />)}
          </p>
          <div class="field field-text">
            <label for="link">{say.people.linkToHandOn}</label>
            <textarea id="link" readonly rows={4} autofocus>
              {props.link}
            </textarea>
          </div>
          <p class="why">{say.people.whoeverHoldsTheLink}</p>
        </>
      )}
      <p>
        <a class="button" href="/invitations">
          {say.people.backToTheInvitations}
        </a>
      </p>
    </Layout>
  )
}
