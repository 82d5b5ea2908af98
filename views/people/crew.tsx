// Who does the work, and with which licences?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { Credential } from '../../server/rules/dossier.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { ChoiceField, type FormState, OtherErrors, TextField } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'
import { Pager } from '../parts/pager.tsx'
import { When } from '../parts/when.tsx'

export interface CrewItem {
  id: string
  name: string
  hasAccount: boolean
  active: boolean
  credentials: readonly Credential[]
}

export interface CrewProps {
  shell: Shell
  id: string
  now: number
  items: readonly CrewItem[]
  nextHref?: string | undefined
  form?: FormState | undefined
  refused?: string | undefined
}

export function CrewPage(props: CrewProps): JSX.Element {
  const { shell, items, form, refused, now } = props
  return (
    <Layout
      {...shell}
      title={say.people.crew}
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <h1>{say.people.crew}</h1>
      <p class="lead">{say.people.everybodyWhoseWorkIs}</p>
      <p>{say.people.whichLicencesAreAsked(<a href="/policy">{say.people.criteria2}</a>)}</p>
      <div class="two">
        <section>
          <h2>{say.people.people}</h2>
          {items.length === 0 ? (
            <Empty title={say.people.nobodyYet}>{say.people.addThoseWhoDo}</Empty>
          ) : (
            <table class="stack">
              <thead>
                <tr>
                  <th scope="col">{say.people.name}</th>
                  <th scope="col">{say.people.account}</th>
                  <th scope="col">{say.people.licencesAndCertificates}</th>
                </tr>
              </thead>
              <tbody>
                {items.map((item) => (
                  <tr key={item.id}>
                    <th scope="row">
                      <a href={`/crew/${item.id}`}>{item.name}</a>
                      {item.active ? null : <span class="soft"> {say.people.noLongerWorksHere}</span>}
                    </th>
                    <td data-label={say.people.account}>
                      {item.hasAccount ? say.people.yes2 : say.people.none}
                    </td>
                    <td data-label={say.people.licences}>
                      {item.credentials.length === 0 ? (
                        <span class="soft">{say.people.noneRecorded}</span>
                      ) : null}
                      {item.credentials.map((credential) => (
                        <div key={`${credential.scheme} ${credential.number}`}>
                          <CredentialLine credential={credential} now={now} />
                        </div>
                      ))}
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
          )}
          <Pager of={say.people.people2} nextHref={props.nextHref} />
        </section>
        <section>
          <h2>{say.people.addSomebody}</h2>
          <form method="post" action="/crew" class="sheet">
            <input type="hidden" name="id" value={props.id} />
            <OtherErrors form={form} fields={['name', 'credentials']} />
            <TextField name="name" label={say.people.name} maxlength={120} required form={form} />
            <CredentialRows credentials={[]} free={1} form={form} />
            <Button>{say.people.addToTheCrew}</Button>
          </form>
        </section>
      </div>
    </Layout>
  )
}

function CredentialLine({ credential, now }: { credential: Credential; now: number }): JSX.Element {
  const { scheme, category, number, validUntil } = credential
  const past = validUntil !== null && validUntil < now
  return (
    <>
      {scheme}
      {category === null ? null : `, ${category}`}, {number}
      {validUntil === null ? null : (
        <span class="soft">
          {' '}
          ({past ? say.people.ended : say.people.until} <When at={validUntil} show="day" />)
        </span>
      )}
    </>
  )
}

export interface CrewPersonProps {
  shell: Shell
  person: CrewItem
  form?: FormState | undefined
  refused?: string | undefined
}

export function CrewPersonPage({ shell, person, form, refused }: CrewPersonProps): JSX.Element {
  return (
    <Layout
      {...shell}
      title={person.name}
      width="narrow"
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <p>
        <a href="/crew">{say.people.crew}</a>
      </p>
      <h1>{person.name}</h1>
      <p class="lead">{person.hasAccount ? say.people.hasAnAccount : say.people.hasNoAccount}</p>
      <form method="post" action={`/crew/${person.id}`} class="sheet">
        <OtherErrors form={form} fields={['name', 'active?', 'credentials']} />
        <TextField
          name="name"
          label={say.people.name}
          value={person.name}
          maxlength={120}
          required
          form={form}
        />
        <ChoiceField
          name="active?"
          label={say.people.worksHere}
          options={[
            { value: 'yes', label: say.people.yes },
            { value: 'no', label: say.people.noLonger },
          ]}
          value={person.active ? 'yes' : 'no'}
          inline
          form={form}
        />
        <CredentialRows credentials={person.credentials} free={2} form={form} />
        <Button>{say.people.keepTheseChanges}</Button>
      </form>
    </Layout>
  )
}

function CredentialRows(props: {
  credentials: readonly Credential[]
  /** Rows left free beside those that are filled. */
  free: number
  form: FormState | undefined
}): JSX.Element {
  const typed = Object.keys(props.form?.values ?? {}).map((name) =>
    Number(/^credentials\.(\d+)\./.exec(name)?.[1] ?? -1),
  )
  // A form that came back shows every row that it had.
  const length = Math.max(props.credentials.length + props.free, ...typed.map((row) => row + 1))
  const rows = Array.from({ length }, (_, row) => props.credentials[row] ?? null)
  return (
    <>
      <p class="why">
        {say.people.licencesAndCertificates2(
          props.credentials.length === 0 ? say.people.moreCanBeAdded : say.people.emptyOneToTake,
        )}
      </p>
      {rows.map((credential, row) => (
        <fieldset key={row}>
          <legend>{credential?.scheme ?? say.people.licence(row + 1)}</legend>
          <TextField
            name={`credentials.${row}.scheme`}
            label={say.people.lawOrBody}
            value={credential?.scheme}
            maxlength={80}
            form={props.form}
          />
          <TextField
            name={`credentials.${row}.category`}
            label={say.people.category}
            value={credential?.category ?? undefined}
            maxlength={80}
            required={false}
            form={props.form}
          />
          <TextField
            name={`credentials.${row}.number`}
            label={say.people.number}
            value={credential?.number}
            maxlength={80}
            autocomplete="off"
            form={props.form}
          />
          <TextField
            name={`credentials.${row}.validUntil`}
            label={say.people.validUntilThatDay}
            type="date"
            value={dayOf(credential?.validUntil ?? null)}
            required={false}
            form={props.form}
          />
        </fieldset>
      ))}
    </>
  )
}

const dayOf = (at: number | null): string | undefined =>
  at === null ? undefined : new Date(at).toISOString().slice(0, 10)
