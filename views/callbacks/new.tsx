// Who is calling, about which system, and what do they say? Filled in while they are on the telephone.

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { AreaField, type FormState, OtherErrors, TextField } from '../parts/field.tsx'
import { When } from '../parts/when.tsx'
import { FindBox } from '../search/find-box.tsx'
import { MomentField } from '../section-tests/set-up-fields.tsx'
import { type CallbackLine, standing } from './index.tsx'
import { Warranty, type WarrantyProps } from './warranty.tsx'

export interface CalledSystemView {
  id: string
  name: string
  tagPrefix: string
  customerName: string
  address: string
}

/** A system that what was typed may mean, and why. */
export interface FoundSystem extends CalledSystemView {
  /** "serial IN-104, one sign differs"; empty where it is plain. */
  matched: string
}

export interface NewCallbackProps {
  shell: Shell
  freshId: string
  /** What was looked for; empty before anything was. */
  typed: string
  /** Those that it may mean, where it is not clear which. */
  found: readonly FoundSystem[]
  more: boolean
  /** The system that the call is about. */
  called: CalledSystem | null
  form?: FormState | undefined
}

interface CalledSystem {
  system: CalledSystemView
  warranty: Omit<WarrantyProps, 'form'>
  /** Of this system, newest first. */
  before: readonly Omit<CallbackLine, 'customerName' | 'systemName'>[]
}

export function NewCallback(props: NewCallbackProps): JSX.Element {
  return (
    <Layout {...props.shell} title={say.callbacks.newCallback} width="narrow">
      <h1>{say.callbacks.newCallback}</h1>
      {props.called === null ? <WhichSystem {...props} /> : <WhatIsSaid {...props} called={props.called} />}
    </Layout>
  )
}

function WhichSystem({ typed, found, more }: NewCallbackProps): JSX.Element {
  return (
    <>
      <FindBox action="/callbacks/new" typed={typed} find={say.callbacks.findTheSystem} autofocus />
      {typed === '' ? (
        <p class="soft">
          {say.callbacks.nothingAtHandTo(<a href="/sites">{say.callbacks.findTheCustomerAmong}</a>)}
        </p>
      ) : found.length === 0 ? (
        <Empty
          title={say.callbacks.noSystemWith(typed)}
          action={{ href: '/sites', label: say.callbacks.lookAmongTheSites }}
        >
          {say.callbacks.readItOnceMore}
        </Empty>
      ) : (
        <section aria-labelledby="found">
          <h2 id="found">{say.callbacks.whichOfThese}</h2>
          <ul class="rows found">
            {found.map((system) => (
              <li key={system.id}>
                <a class="row" href={`/callbacks/new?system=${system.id}`}>
                  <span class="found-title">
                    {system.name} ({system.tagPrefix})
                  </span>
                  <span class="soft">
                    {system.customerName}, {system.address}
                  </span>
                  {system.matched === '' ? null : <span class="found-how">{system.matched}</span>}
                </a>
              </li>
            ))}
          </ul>
          {more ? <p class="soft">{say.search.thereIsMoreLike}</p> : null}
        </section>
      )}
    </>
  )
}

function WhatIsSaid(props: NewCallbackProps & { called: CalledSystem }): JSX.Element {
  const { form } = props
  const { system, warranty, before } = props.called
  const own = form?.values._form === 'warranty' ? undefined : form
  return (
    <>
      <p class="lead">
        <a href={`/systems/${system.id}`}>
          {system.name} ({system.tagPrefix})
        </a>
        , {system.customerName}, {system.address}
      </p>
      <Warranty {...warranty} form={form} />
      <Before callbacks={before} />
      <form method="post" action="/callbacks">
        <input type="hidden" name="id" value={props.freshId} />
        <input type="hidden" name="systemId" value={system.id} />
        <OtherErrors form={own} fields={['symptom', 'reportedBy', 'reportedAt@']} />
        <AreaField
          name="symptom"
          label={say.callbacks.whatIsSaid}
          hint={say.callbacks.inTheirWordsWhat}
          required
          rows={3}
          maxlength={2000}
          form={own}
        />
        <TextField
          name="reportedBy"
          label={say.callbacks.whoSaysSo}
          required={false}
          maxlength={120}
          autocomplete="off"
          form={own}
        />
        <MomentField
          name="reportedAt@"
          label={say.callbacks.reported}
          hint={say.callbacks.leftEmptyNow}
          form={own}
        />
        <Button>{say.callbacks.takeItIn}</Button>
        <p class="hint">{say.callbacks.theRestLater}</p>
      </form>
      <p>
        <a href="/callbacks/new">{say.callbacks.itIsAboutAnother}</a>
      </p>
    </>
  )
}

function Before({ callbacks }: { callbacks: CalledSystem['before'] }): JSX.Element {
  if (callbacks.length === 0) return <p class="soft">{say.callbacks.neverCameBack}</p>
  return (
    <section aria-labelledby="before">
      <h2 id="before">{say.callbacks.cameBackBefore(callbacks.length)}</h2>
      <ul>
        {callbacks.map((callback) => (
          <li key={callback.id}>
            <a href={`/callbacks/${callback.id}`}>
              <When at={callback.reportedAt} show="day" />
            </a>
            : {callback.symptom} <span class="soft">{standing(callback)}</span>
          </li>
        ))}
      </ul>
    </section>
  )
}
