// Which instruments does the company have, and which need to be checked?

import type { JSX } from 'preact'
import type { Confirmation } from '../../server/http/confirmation.ts'
import type { Shell } from '../../server/http/shell.ts'
import { INSTRUMENT_KINDS, type InstrumentKind } from '../../server/vocabulary.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { SelectField } from '../parts/field.tsx'
import { Pager } from '../parts/pager.tsx'
import { ConfirmationState } from './confirmation.tsx'
import { INSTRUMENT_KIND_WORDS } from './words.ts'

interface Line {
  id: string
  kind: InstrumentKind
  name: string
  serial: string
  active: boolean
  confirmation: Confirmation
}

export interface InstrumentListProps {
  shell: Shell
  kind: InstrumentKind | null
  instruments: readonly Line[]
  isFirstPage: boolean
  nextCursor: string | null
  mayAdd: boolean
}

/** What needs somebody stands first, what is out of use last. */
function urgency({ active, confirmation }: Line): number {
  if (!active) return 5
  if (confirmation.state === 'out-of-tolerance') return 0
  if (!confirmation.confirmed) return 1
  return confirmation.dueSoon ? 2 : 3
}

export function InstrumentList(props: InstrumentListProps): JSX.Element {
  const query = props.kind === null ? '' : `kind=${props.kind}&`
  const lines = props.instruments.toSorted((a, b) => urgency(a) - urgency(b) || (a.name < b.name ? -1 : 1))
  const add = { href: '/instruments/new', label: 'Add an instrument' }
  return (
    <Layout {...props.shell} title="Instruments">
      <h1>Instruments</h1>
      <form method="get" action="/instruments" class="look-through">
        <SelectField
          name="kind"
          label="Kind"
          beside
          choose="all kinds"
          options={INSTRUMENT_KINDS.map((kind) => ({ value: kind, label: INSTRUMENT_KIND_WORDS[kind] }))}
          value={props.kind ?? undefined}
        />
        <div class="actions">
          <Button kind="other">Show</Button>
          {props.mayAdd ? (
            <a class="button" href={add.href}>
              {add.label}
            </a>
          ) : null}
        </div>
      </form>
      {lines.length === 0 ? (
        <Empty title="No instruments yet" action={props.mayAdd ? add : undefined}>
          Whatever measures or forms: wrenches, gauges, thermometers, scales, detectors, flaring tools.
        </Empty>
      ) : (
        <table class="stack">
          <thead>
            <tr>
              <th scope="col">Instrument</th>
              <th scope="col">Kind</th>
              <th scope="col">Serial</th>
              <th scope="col">Checked</th>
            </tr>
          </thead>
          <tbody>
            {lines.map((line) => (
              <tr key={line.id}>
                <td>
                  <a href={`/instruments/${line.id}`}>{line.name}</a>
                </td>
                <td>{INSTRUMENT_KIND_WORDS[line.kind]}</td>
                <td data-label="Serial">{line.serial}</td>
                <td>
                  {line.active ? (
                    <ConfirmationState confirmation={line.confirmation} />
                  ) : (
                    <span class="soft">out of use</span>
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      <Pager
        of="instruments"
        firstHref={props.isFirstPage ? undefined : `/instruments?${query}`}
        nextHref={
          props.nextCursor === null
            ? undefined
            : `/instruments?${query}cursor=${encodeURIComponent(props.nextCursor)}`
        }
      />
    </Layout>
  )
}
