// Which instruments are to be checked, and by when?

import type { JSX } from 'preact'
import type { Confirmation } from '../../server/http/confirmation.ts'
import type { DueBy, DueWithin } from '../../server/http/instruments-due.ts'
import type { Shell } from '../../server/http/shell.ts'
import type { UseCount } from '../../server/store/queries/instrument-uses.ts'
import { INSTRUMENT_KINDS, type InstrumentKind } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { SelectField } from '../parts/field.tsx'
import { OutcomeMark } from '../parts/mark.tsx'
import { When } from '../parts/when.tsx'
import { Uses } from './uses.tsx'
import { instrumentKindWords } from './words.ts'

interface Line {
  id: string
  kindWords: string
  name: string
  serial: string
  confirmation: Confirmation
  uses: UseCount | null
  dueAt: number | null
  by: DueBy
  within: DueWithin
}

export interface DueListProps {
  shell: Shell
  within: DueWithin
  by: DueBy | null
  kind: InstrumentKind | null
  counts: Record<DueWithin, number>
  lines: readonly Line[]
  mayKeep: boolean
}

const spans = (): { within: DueWithin; label: string }[] => [
  { within: 'overdue', label: say.instrumentCare.overdue },
  { within: '30', label: say.instrumentCare.within(30) },
  { within: '60', label: say.instrumentCare.within(60) },
  { within: '90', label: say.instrumentCare.within(90) },
]

export function DueListPage(props: DueListProps): JSX.Element {
  const { within, by, kind, counts, lines } = props
  const rest = [by === null ? '' : `&by=${by}`, kind === null ? '' : `&kind=${kind}`].join('')
  const marked = lines.map(({ id }) => `_instrument.${id}=yes`).join('&')
  return (
    <Layout {...props.shell} title={say.instrumentCare.toBeChecked}>
      <h1>{say.instrumentCare.toBeChecked}</h1>
      <p class="lead">
        <a href="/instruments">{say.instrumentCare.allInstruments}</a>
      </p>
      <nav aria-label={say.instrumentCare.byWhen}>
        <ul class="tabs">
          {spans().map((span) => (
            <li key={span.within}>
              <a
                href={`/instruments/due?within=${span.within}${rest}`}
                aria-current={within === span.within ? 'page' : undefined}
              >
                {span.label} ({counts[span.within]})
              </a>
            </li>
          ))}
        </ul>
      </nav>
      <form method="get" action="/instruments/due" class="look-through">
        <input type="hidden" name="within" value={within} />
        <SelectField
          name="by"
          label={say.instrumentCare.dueBy}
          beside
          choose={say.instrumentCare.either}
          options={[
            { value: 'calendar', label: say.instrumentCare.theCalendar },
            { value: 'uses', label: say.instrumentCare.theUses },
          ]}
          value={by ?? undefined}
        />
        <SelectField
          name="kind"
          label={say.instruments.kind}
          beside
          choose={say.instruments.allKinds}
          options={INSTRUMENT_KINDS.map((value) => ({ value, label: instrumentKindWords()[value] }))}
          value={kind ?? undefined}
        />
        <div class="actions">
          <Button kind="other">{say.instruments.show}</Button>
          <a class="button other" href={`/instruments/due.csv?within=${within}${rest}`}>
            {say.instrumentCare.asATable}
          </a>
          {lines.length === 0 ? null : (
            <a class="button other" href={`/instruments/labels?${marked}`}>
              {say.instrumentCare.theirLabels}
            </a>
          )}
        </div>
      </form>
      {lines.length === 0 ? (
        <Empty title={say.instrumentCare.nothingIsDue}>{say.instrumentCare.whatIsTriedOn}</Empty>
      ) : (
        <table class="stack">
          <thead>
            <tr>
              <th scope="col">{say.instruments.instrument}</th>
              <th scope="col">{say.instruments.kind}</th>
              <th scope="col">{say.instruments.serial2}</th>
              <th scope="col">{say.instrumentCare.due}</th>
              <th scope="col">{say.instrumentCare.uses}</th>
              {props.mayKeep ? <th scope="col">{say.instrumentCare.next}</th> : null}
            </tr>
          </thead>
          <tbody>
            {lines.map((line) => (
              <tr key={line.id}>
                <td>
                  <a href={`/instruments/${line.id}`}>{line.name}</a>
                </td>
                <td>{line.kindWords}</td>
                <td data-label={say.instruments.serial2}>{line.serial}</td>
                <td>
                  <span class="standing">
                    <OutcomeMark
                      outcome={
                        line.confirmation.state === 'out-of-tolerance'
                          ? 'failed'
                          : line.within === 'overdue'
                            ? 'open'
                            : 'met'
                      }
                    />
                    <span>
                      <DueWords {...line} />
                    </span>
                  </span>
                </td>
                <td data-label={line.uses === null ? undefined : say.instrumentCare.uses}>
                  {line.uses === null ? null : <Uses uses={line.uses} />}
                </td>
                {props.mayKeep ? (
                  <td>
                    <a href={`/instruments/${line.id}/calibrations/new`}>{say.instruments.recordACheck}</a>
                  </td>
                ) : null}
              </tr>
            ))}
          </tbody>
        </table>
      )}
      <p class="soft">
        {say.instrumentCare.howDueIsWorkedOut(
          <a href="/methods/calibration">{say.instrumentCare.theMethod}</a>,
        )}
      </p>
    </Layout>
  )
}

function DueWords({ confirmation, dueAt, by, uses }: Line): JSX.Element {
  if (confirmation.state === 'out-of-tolerance') return <>{say.instruments.outOfToleranceDo}</>
  if (dueAt === null) return <>{say.instruments.dueNeverChecked}</>
  const when = <When at={dueAt} show="day" />
  if (by === 'calendar') return <>{say.instrumentCare.onTheDay(when)}</>
  return (
    <>{uses?.reachedAt == null ? say.instrumentCare.aboutThen(when) : say.instrumentCare.reachedOn(when)}</>
  )
}
