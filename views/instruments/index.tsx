// Which instruments does the company have, and which need to be checked?

import type { JSX } from 'preact'
import type { Confirmation } from '../../server/http/confirmation.ts'
import type { Shell } from '../../server/http/shell.ts'
import type { UseCount } from '../../server/store/queries/instrument-uses.ts'
import { INSTRUMENT_KINDS, type InstrumentKind } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { SelectField } from '../parts/field.tsx'
import { Pager } from '../parts/pager.tsx'
import { ConfirmationState } from './confirmation.tsx'
import { Uses } from './uses.tsx'
import { instrumentKindWords } from './words.ts'

interface Line {
  id: string
  kind: InstrumentKind
  name: string
  serial: string
  active: boolean
  confirmation: Confirmation
  uses: UseCount | null
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
  const add = { href: '/instruments/new', label: say.instruments.addAnInstrument }
  return (
    <Layout {...props.shell} title={say.instruments.instruments}>
      <h1>{say.instruments.instruments}</h1>
      <p class="lead">
        <a href="/instruments/due">{say.instrumentCare.checkThem}</a> ·{' '}
        <a href="/instruments/labels">{say.instrumentCare.labels}</a>
      </p>
      <form method="get" action="/instruments" class="look-through">
        <SelectField
          name="kind"
          label={say.instruments.kind}
          beside
          choose={say.instruments.allKinds}
          options={INSTRUMENT_KINDS.map((kind) => ({ value: kind, label: instrumentKindWords()[kind] }))}
          value={props.kind ?? undefined}
        />
        <div class="actions">
          <Button kind="other">{say.instruments.show}</Button>
          {props.mayAdd ? (
            <a class="button" href={add.href}>
              {add.label}
            </a>
          ) : null}
        </div>
      </form>
      {lines.length === 0 ? (
        <Empty title={say.instruments.noInstrumentsYet} action={props.mayAdd ? add : undefined}>
          {say.instruments.whateverMeasuresOrForms}
        </Empty>
      ) : (
        <table class="stack">
          <thead>
            <tr>
              <th scope="col">{say.instruments.instrument}</th>
              <th scope="col">{say.instruments.kind}</th>
              <th scope="col">{say.instruments.serial2}</th>
              <th scope="col">{say.instruments.checked}</th>
            </tr>
          </thead>
          <tbody>
            {lines.map((line) => (
              <tr key={line.id}>
                <td>
                  <a href={`/instruments/${line.id}`}>{line.name}</a>
                </td>
                <td>{instrumentKindWords()[line.kind]}</td>
                <td data-label={say.instruments.serial2}>{line.serial}</td>
                <td>
                  {line.active ? (
                    <>
                      <ConfirmationState confirmation={line.confirmation} />
                      {line.uses === null ? null : (
                        <div class="soft">
                          {say.instrumentCare.uses}: <Uses uses={line.uses} />
                        </div>
                      )}
                    </>
                  ) : (
                    <span class="soft">{say.instruments.outOfUse}</span>
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      <Pager
        of={say.instruments.instruments2}
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
