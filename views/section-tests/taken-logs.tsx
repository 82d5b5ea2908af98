// Which gauges' logs are in this test, and where is the next one taken?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { When } from '../parts/when.tsx'

export interface TakenLog {
  id: string
  rows: number
  taken: number
  from: number
  to: number
}

export function ToLog(props: { page: string }): JSX.Element {
  return (
    <p>
      <a href={`${props.page}/log`}>{say.tests.takeReadingsFromA}</a>
    </p>
  )
}

/** A line for the facts that a test rests on; none where it holds no log. */
export function takenLogs(logs: readonly TakenLog[]) {
  if (logs.length === 0) return []
  return [
    {
      label: logs.length === 1 ? say.tests.gaugesLog : say.tests.gaugesLogs,
      value: (
        <>
          {logs.map((log) => (
            <span key={log.id} class="lines">
              <a href={`/reading-logs/${log.id}`} hx-boost="false" download>
                {say.tests.to(<When at={log.from} show="time" />, <When at={log.to} show="time" />)}
              </a>
              <span class="soft"> {say.tests.ofRowsTheFile(log.taken, log.rows)}</span>{' '}
            </span>
          ))}
        </>
      ),
    },
  ]
}
