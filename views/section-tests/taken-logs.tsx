// Which gauges' logs are in this test, and where is the next one taken?

import type { JSX } from 'preact'
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
      <a href={`${props.page}/log`}>Take readings from a gauge’s log</a>
    </p>
  )
}

/** A line for the facts that a test rests on; none where it holds no log. */
export function takenLogs(logs: readonly TakenLog[]) {
  if (logs.length === 0) return []
  return [
    {
      label: logs.length === 1 ? 'Gauge’s log' : 'Gauge’s logs',
      value: (
        <>
          {logs.map((log) => (
            <span key={log.id} class="lines">
              <a href={`/reading-logs/${log.id}`} hx-boost="false" download>
                <When at={log.from} show="time" /> to <When at={log.to} show="time" />
              </a>
              <span class="soft">
                {' '}
                {log.taken} of {log.rows} rows; the file as it came
              </span>{' '}
            </span>
          ))}
        </>
      ),
    },
  ]
}
