// Who belongs to the company, and what may they do?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { Role } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { ChoiceField, type FormState, type Option, SelectField } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'
import { Pager } from '../parts/pager.tsx'
import { When } from '../parts/when.tsx'

export interface MemberItem {
  id: string
  name: string
  email: string
  role: Role
  roleWords: string
  active: boolean
  createdAt: number
  you: boolean
}

export interface MembersProps {
  shell: Shell
  roles: readonly Option[]
  items: readonly MemberItem[]
  nextHref?: string | undefined
  /** A change that was refused, as it was filled in. */
  changing?: { memberId: string; form: FormState } | undefined
  refused?: string | undefined
}

export function MembersPage(props: MembersProps): JSX.Element {
  const { shell, roles, items, changing, refused } = props
  return (
    <Layout
      {...shell}
      title={say.people.people}
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <h1>{say.people.people}</h1>
      <p class="actions">
        <a class="button" href="/invitations">
          {say.people.inviteSomebody}
        </a>
        <a class="button" href="/crew">
          {say.people.crewAndLicences}
        </a>
        <a class="button" href="/company/second-step">
          {say.secondStep.secondStep}
        </a>
        <a class="button" href="/company/sign-in">
          {say.openid.ownProvider}
        </a>
        <a class="button" href="/policy">
          {say.people.criteria}
        </a>
      </p>
      <table class="stack">
        <thead>
          <tr>
            <th scope="col">{say.people.name}</th>
            <th scope="col">{say.people.eMailAddress}</th>
            <th scope="col">{say.people.role}</th>
            <th scope="col">{say.people.since}</th>
            <th scope="col">
              <span class="vh">{say.people.whatYouCanDo}</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {items.map((item) => (
            <tr key={item.id}>
              <th scope="row">
                {item.name}
                {item.you ? <span class="soft"> {say.people.you2}</span> : null}
              </th>
              <td data-label={say.people.eMail}>{item.email}</td>
              <td data-label={say.people.role}>
                {item.roleWords}
                {item.active ? null : say.people.shutOut}
              </td>
              <td data-label={say.people.since}>
                <When at={item.createdAt} show="day" />
              </td>
              <td>
                <Change
                  item={item}
                  roles={roles}
                  form={changing?.memberId === item.id ? changing.form : undefined}
                />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <Pager of={say.people.people2} nextHref={props.nextHref} />
    </Layout>
  )
}

function Change(props: {
  item: MemberItem
  roles: readonly Option[]
  form: FormState | undefined
}): JSX.Element {
  const { item, roles } = props
  const form: FormState = { values: {}, errors: [], ...props.form, scope: item.id }
  return (
    <details open={props.form !== undefined}>
      <summary>{say.people.change(<span class="vh"> {item.name}</span>)}</summary>
      <p>
        <a href={`/members/${item.id}`}>
          {say.signing.more}
          <span class="vh"> {item.name}</span>
        </a>
      </p>
      <form method="post" action={`/members/${item.id}`}>
        <SelectField
          name="role"
          label={say.people.role}
          options={roles}
          value={item.role}
          required
          form={form}
        />
        <ChoiceField
          name="active?"
          label={say.people.maySignInTo}
          hint={say.people.noEndsTheirSessions}
          options={[
            { value: 'yes', label: say.people.yes },
            { value: 'no', label: say.people.no },
          ]}
          value={item.active ? 'yes' : 'no'}
          inline
          form={form}
        />
        <Button>{say.people.change2}</Button>
      </form>
    </details>
  )
}
