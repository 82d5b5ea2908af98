// Which systems came back, and how does each of these calls stand?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { CallbackOutcome } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { SelectField } from '../parts/field.tsx'
import { Pager } from '../parts/pager.tsx'
import { When } from '../parts/when.tsx'
import { causeWords, outcomeWords } from './words.ts'

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

const takeIn = () => ({ href: '/callbacks/new', label: say.callbacks.takeInACallback })

export function CallbackList(props: CallbackListProps): JSX.Element {
  const query = props.state === null ? '' : `state=${props.state}&`
  return (
    <Layout {...props.shell} title={say.callbacks.callbacks}>
      <h1>{say.callbacks.callbacks}</h1>
      <form method="get" action="/callbacks" class="look-through">
        <SelectField
          name="state"
          label={say.callbacks.which}
          beside
          choose={say.callbacks.allOfThem}
          options={[
            { value: 'open', label: say.callbacks.open },
            { value: 'closed', label: say.callbacks.closed },
          ]}
          value={props.state ?? undefined}
        />
        <div class="actions">
          <Button kind="other">{say.callbacks.show}</Button>
          {props.mayHandle ? (
            <a class="button" href={takeIn().href}>
              {takeIn().label}
            </a>
          ) : null}
        </div>
      </form>
      {props.callbacks.length === 0 ? (
        <Empty title={say.callbacks.noCallbacksHere} action={props.mayHandle ? takeIn() : undefined}>
          {say.callbacks.aCallbackIsA}
        </Empty>
      ) : (
        <CallbackLines callbacks={props.callbacks} />
      )}
      <Pager
        of={say.callbacks.callbacks2}
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
          <th scope="col">{say.callbacks.system}</th>
          <th scope="col">{say.callbacks.reported}</th>
          <th scope="col">{say.callbacks.whatWasSaid}</th>
          <th scope="col">{say.callbacks.howItStands}</th>
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
            <td data-label={say.callbacks.reported}>
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
  const words = [outcomeWords()[outcome], ...new Set(causes.map(causeWords))].join(', ')
  return `${closedAt === null ? say.callbacks.open2 : say.callbacks.closed2}: ${words}`
}
