// Who belongs to the company, and what may they do?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { Role } from '../../server/vocabulary.ts'
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
      title="People"
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <h1>People</h1>
      <p class="actions">
        <a class="button" href="/invitations">
          Invite somebody
        </a>
        <a class="button" href="/crew">
          Crew and licences
        </a>
        <a class="button" href="/policy">
          Criteria
        </a>
      </p>
      <table class="stack">
        <thead>
          <tr>
            <th scope="col">Name</th>
            <th scope="col">E-mail address</th>
            <th scope="col">Role</th>
            <th scope="col">Since</th>
            <th scope="col">
              <span class="vh">What you can do</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {items.map((item) => (
            <tr key={item.id}>
              <th scope="row">
                {item.name}
                {item.you ? <span class="soft"> (you)</span> : null}
              </th>
              <td data-label="E-mail">{item.email}</td>
              <td data-label="Role">
                {item.roleWords}
                {item.active ? null : ', shut out'}
              </td>
              <td data-label="Since">
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
      <Pager of="people" nextHref={props.nextHref} />
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
      <summary>
        Change<span class="vh"> {item.name}</span>
      </summary>
      <form method="post" action={`/members/${item.id}`}>
        <SelectField name="role" label="Role" options={roles} value={item.role} required form={form} />
        <ChoiceField
          name="active?"
          label="May sign in to this company"
          hint="No ends their sessions and tokens here at once. What they recorded stays."
          options={[
            { value: 'yes', label: 'Yes' },
            { value: 'no', label: 'No' },
          ]}
          value={item.active ? 'yes' : 'no'}
          inline
          form={form}
        />
        <Button>Change</Button>
      </form>
    </details>
  )
}
