// Which reading is wanted next, and how long until then?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { elapsed } from './clock.tsx'
import { When } from './when.tsx'

export interface ReadingDueProps {
  /** "Next reading" */
  what: string
  at: number
  /** The moment of this page; what stands there without script. */
  now: number
  /** The test that it belongs to: it is called for once, on whichever page. */
  test: string
}

/** The small script counts down, and calls when it is due; without it the time stands there. */
export function ReadingDue(props: ReadingDueProps): JSX.Element {
  const isDue = props.at <= props.now
  return (
    <div
      class={isDue ? 'due due-now' : 'due'}
      data-due={new Date(props.at).toISOString()}
      data-due-test={props.test}
      data-due-what={props.what}
    >
      <p>
        {props.what} {isDue ? say.parts.since : say.parts.at} <When at={props.at} show="time" />
        <span data-due-left>{isDue ? '' : `, in ${elapsed(props.now, props.at)}`}</span>
      </p>
      <p role="status" class="due-said" />
      <button type="button" class="quiet" data-due-remind hidden>
        {say.parts.remindMeOnThis}
      </button>
    </div>
  )
}
