// Which instruments were recalled, and what is left to settle?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { RecallJudgementWord } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Empty } from '../parts/empty.tsx'
import { When } from '../parts/when.tsx'
import { theGroups } from './words.ts'

export interface RecallListProps {
  shell: Shell
  recalls: readonly {
    id: string
    instrumentName: string
    openedAt: number
    closedAt: number | null
    counts: Record<RecallJudgementWord, number>
    undecided: number
  }[]
}

export function RecallList(props: RecallListProps): JSX.Element {
  return (
    <Layout {...props.shell} title={say.recalls.recalls}>
      <h1>{say.recalls.recalls}</h1>
      <p class="lead">{say.recalls.anInstrumentFoundOut}</p>
      {props.recalls.length === 0 ? (
        <Empty
          title={say.recalls.noRecalls}
          action={{ href: '/instruments', label: say.recalls.theInstruments }}
        >
          {say.recalls.aRecallIsOpened}
        </Empty>
      ) : (
        <table class="stack">
          <thead>
            <tr>
              <th scope="col">{say.recalls.instrument}</th>
              <th scope="col">{say.recalls.opened}</th>
              <th scope="col">{say.recalls.records}</th>
              <th scope="col">{say.recalls.howItStands}</th>
            </tr>
          </thead>
          <tbody>
            {props.recalls.map((recall) => (
              <tr key={recall.id}>
                <td>
                  <a href={`/recalls/${recall.id}`}>{recall.instrumentName}</a>
                </td>
                <td data-label={say.recalls.opened}>
                  <When at={recall.openedAt} show="day" />
                </td>
                <td data-label={say.recalls.records}>
                  {theGroups()
                    .map(({ judgement, title }) => `${recall.counts[judgement]} ${title.toLowerCase()}`)
                    .join(', ')}
                </td>
                <td>
                  {recall.closedAt !== null
                    ? say.recalls.closedOn(<When at={recall.closedAt} show="day" />)
                    : recall.undecided === 0
                      ? say.recalls.openEverythingIsSettled
                      : say.recalls.openToSettle(recall.undecided)}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </Layout>
  )
}
