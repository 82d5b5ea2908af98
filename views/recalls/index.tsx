// Which instruments were recalled, and what is left to settle?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { RecallJudgementWord } from '../../server/vocabulary.ts'
import { Layout } from '../layout.tsx'
import { Empty } from '../parts/empty.tsx'
import { When } from '../parts/when.tsx'
import { GROUPS } from './words.ts'

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
    <Layout {...props.shell} title="Recalls">
      <h1>Recalls</h1>
      <p class="lead">An instrument found out of tolerance takes with it what was measured with it.</p>
      {props.recalls.length === 0 ? (
        <Empty title="No recalls" action={{ href: '/instruments', label: 'The instruments' }}>
          A recall is opened from the page of an instrument that a check found off.
        </Empty>
      ) : (
        <table class="stack">
          <thead>
            <tr>
              <th scope="col">Instrument</th>
              <th scope="col">Opened</th>
              <th scope="col">Records</th>
              <th scope="col">How it stands</th>
            </tr>
          </thead>
          <tbody>
            {props.recalls.map((recall) => (
              <tr key={recall.id}>
                <td>
                  <a href={`/recalls/${recall.id}`}>{recall.instrumentName}</a>
                </td>
                <td data-label="Opened">
                  <When at={recall.openedAt} show="day" />
                </td>
                <td data-label="Records">
                  {GROUPS.map(
                    ({ judgement, title }) => `${recall.counts[judgement]} ${title.toLowerCase()}`,
                  ).join(', ')}
                </td>
                <td>
                  {recall.closedAt !== null ? (
                    <>
                      Closed on <When at={recall.closedAt} show="day" />
                    </>
                  ) : recall.undecided === 0 ? (
                    'Open, everything is settled'
                  ) : (
                    `Open, ${recall.undecided} to settle`
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </Layout>
  )
}
