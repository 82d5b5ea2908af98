// How long has this test been running, and is it long enough?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'

export interface ClockProps {
  /** "Holding for" */
  label: string
  /** ISO 8601 instant or milliseconds. */
  since: string | number
  /** The moment of this page; what stands there without script. */
  now: string | number
  enoughMinutes?: number | undefined
  /** "of 60 min" */
  enoughWords?: string | undefined
}

/** Minutes and seconds, with hours once there are any; the small script writes the same. */
export function elapsed(since: string | number, now: string | number): string {
  const span = Math.max(0, new Date(now).getTime() - new Date(since).getTime())
  if (Number.isNaN(span)) return say.parts.timeNotKnown
  const seconds = Math.floor(span / 1000)
  const two = (part: number) => String(part).padStart(2, '0')
  const hours = Math.floor(seconds / 3600)
  return `${hours > 0 ? `${hours}:` : ''}${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`
}

export function Clock(props: ClockProps): JSX.Element {
  const since = new Date(props.since)
  return (
    <p class="clock-line">
      {props.label}{' '}
      <span
        class="clock"
        role="timer"
        data-since={Number.isNaN(since.getTime()) ? undefined : since.toISOString()}
        data-enough={props.enoughMinutes}
      >
        {elapsed(props.since, props.now)}
      </span>
      {props.enoughWords === undefined ? null : <span class="soft"> {props.enoughWords}</span>}
    </p>
  )
}
