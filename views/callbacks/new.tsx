// Who is calling, about which system, and what do they say? Filled in while they are on the telephone.

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
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
    <Layout {...props.shell} title={say.callbacks.newCallback} width="narrow">
      <h1>{say.callbacks.newCallback}</h1>
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
          label={say.callbacks.serialOfAUnit}
          hint={say.callbacks.wholeAsItIs}
          type="search"
          value={mark}
          maxlength={120}
          autocomplete="off"
          required
          autofocus
        />
        <Button>{say.callbacks.findTheSystem}</Button>
      </form>
      {mark === '' ? (
        <p class="soft">
          {say.callbacks.nothingAtHandTo(<a href="/sites">{say.callbacks.findTheCustomerAmong}</a>)}
        </p>
      ) : systems.length === 0 ? (
        <Empty
          title={say.callbacks.noSystemWith(mark)}
          action={{ href: '/sites', label: say.callbacks.lookAmongTheSites }}
        >
          {say.callbacks.readItOnceMore}
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
          label={say.callbacks.whatIsSaid}
          hint={say.callbacks.inTheirWordsWhat}
          required
          rows={4}
          maxlength={2000}
          form={form}
        />
        <MomentField
          name="reportedAt@"
          label={say.callbacks.reported}
          hint={say.callbacks.leftEmptyNow}
          form={form}
        />
        <Button>{say.callbacks.takeItIn}</Button>
      </form>
      <p>
        <a href="/callbacks/new">{say.callbacks.itIsAboutAnother}</a>
      </p>
    </>
  )
}
