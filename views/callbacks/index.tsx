// Which systems came back, and how does each of these calls stand?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { CallbackOutcome } from '../../server/vocabulary.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { SelectField } from '../parts/field.tsx'
import { Pager } from '../parts/pager.tsx'
import { When } from '../parts/when.tsx'
import { causeWords, OUTCOME_WORDS } from './words.ts'

export interface CallbackLine {
  id: string
  reportedAt: number
  customerName: string
  systemName: string
  symptom: string
  outcome: CallbackOutcome
  causes: readonly string[]
  closedAt: number | null
}

export interface CallbackListProps {
  shell: Shell
  state: 'open' | 'closed' | null
  callbacks: readonly CallbackLine[]
  isFirstPage: boolean
  nextCursor: string | null
  mayHandle: boolean
}

const TAKE_IN = { href: '/callbacks/new', label: 'Take in a callback' }

export function CallbackList(props: CallbackListProps): JSX.Element {
  const query = props.state === null ? '' : `state=${props.state}&`
  return (
    <Layout {...props.shell} title="Callbacks">
      <h1>Callbacks</h1>
      <form method="get" action="/callbacks" class="look-through">
        <SelectField
          name="state"
          label="Which"
          beside
          choose="all of them"
          options={[
            { value: 'open', label: 'open' },
            { value: 'closed', label: 'closed' },
          ]}
          value={props.state ?? undefined}
        />
        <div class="actions">
          <Button kind="other">Show</Button>
          {props.mayHandle ? (
            <a class="button" href={TAKE_IN.href}>
              {TAKE_IN.label}
            </a>
          ) : null}
        </div>
      </form>
      {props.callbacks.length === 0 ? (
        <Empty title="No callbacks here" action={props.mayHandle ? TAKE_IN : undefined}>
          A callback is a return visit or a claim for a suspected leak.
        </Empty>
      ) : (
        <CallbackLines callbacks={props.callbacks} />
      )}
      <Pager
        of="callbacks"
        firstHref={props.isFirstPage ? undefined : `/callbacks?${query}`}
        nextHref={
          props.nextCursor === null
            ? undefined
            : `/callbacks?${query}cursor=${encodeURIComponent(props.nextCursor)}`
        }
      />
    </Layout>
  )
}

function CallbackLines({ callbacks }: { callbacks: readonly CallbackLine[] }): JSX.Element {
  return (
    <table class="stack">
      <thead>
        <tr>
          <th scope="col">System</th>
          <th scope="col">Reported</th>
          <th scope="col">What was said</th>
          <th scope="col">How it stands</th>
        </tr>
      </thead>
      <tbody>
        {callbacks.map((callback) => (
          <tr key={callback.id}>
            <td>
              <a href={`/callbacks/${callback.id}`}>
                {callback.customerName}, {callback.systemName}
              </a>
            </td>
            <td data-label="Reported">
              <When at={callback.reportedAt} show="day" />
            </td>
            <td>{callback.symptom}</td>
            <td>{standing(callback)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

/** "Closed: leak found, crack" */
export function standing({
  closedAt,
  outcome,
  causes,
}: Pick<CallbackLine, 'closedAt' | 'outcome' | 'causes'>): string {
  const words = [OUTCOME_WORDS[outcome], ...new Set(causes.map(causeWords))].join(', ')
  return `${closedAt === null ? 'Open' : 'Closed'}: ${words}`
}
