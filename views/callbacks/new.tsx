// Who is calling, about which system, and what do they say? Filled in while they are on the telephone.

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { AreaField, type FormState, OtherErrors, TextField } from '../parts/field.tsx'
import { MomentField } from '../section-tests/set-up-fields.tsx'

export interface CalledSystemView {
  id: string
  name: string
  tagPrefix: string
  customerName: string
  address: string
}

export interface NewCallbackProps {
  shell: Shell
  freshId: string
  /** What was looked for; empty before anything was. */
  mark: string
  /** Those that carry it, where there is more than one. */
  systems: readonly CalledSystemView[]
  /** The system that the call is about. */
  system: CalledSystemView | null
  form?: FormState | undefined
}

export function NewCallback(props: NewCallbackProps): JSX.Element {
  const { system } = props
  return (
    <Layout {...props.shell} title="New callback" width="narrow">
      <h1>New callback</h1>
      {system === null ? <WhichSystem {...props} /> : <WhatIsSaid {...props} system={system} />}
    </Layout>
  )
}

function WhichSystem({ mark, systems }: NewCallbackProps): JSX.Element {
  return (
    <>
      <form method="get" action="/callbacks/new">
        <TextField
          name="mark"
          label="Serial of a unit, or tag on a pipe"
          hint="Whole, as it is printed. An old unit’s serial finds the system too."
          type="search"
          value={mark}
          maxlength={120}
          autocomplete="off"
          required
          autofocus
        />
        <Button>Find the system</Button>
      </form>
      {mark === '' ? (
        <p class="soft">
          Nothing at hand to read out? <a href="/sites">Find the customer among the sites</a>, and take it in
          from the system’s page.
        </p>
      ) : systems.length === 0 ? (
        <Empty title={`No system with “${mark}”`} action={{ href: '/sites', label: 'Look among the sites' }}>
          Read it once more, letter by letter; or find the customer.
        </Empty>
      ) : (
        <ul>
          {systems.map((system) => (
            <li key={system.id}>
              <a href={`/callbacks/new?system=${system.id}`}>
                {system.name} ({system.tagPrefix})
              </a>
              , {system.customerName}, {system.address}
            </li>
          ))}
        </ul>
      )}
    </>
  )
}

function WhatIsSaid(props: NewCallbackProps & { system: CalledSystemView }): JSX.Element {
  const { system, form } = props
  return (
    <>
      <p class="lead">
        <a href={`/systems/${system.id}`}>
          {system.name} ({system.tagPrefix})
        </a>
        , {system.customerName}, {system.address}
      </p>
      <form method="post" action="/callbacks">
        <input type="hidden" name="id" value={props.freshId} />
        <input type="hidden" name="systemId" value={system.id} />
        <OtherErrors form={form} fields={['symptom', 'reportedAt@']} />
        <AreaField
          name="symptom"
          label="What is said"
          hint="In their words: what it does or no longer does, and since when."
          required
          rows={4}
          maxlength={2000}
          form={form}
        />
        <MomentField name="reportedAt@" label="Reported" hint="Left empty: now." form={form} />
        <Button>Take it in</Button>
      </form>
      <p>
        <a href="/callbacks/new">It is about another system</a>
      </p>
    </>
  )
}
