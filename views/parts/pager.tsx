// Where does this list go on?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'

export interface PagerProps {
  /** What is listed, for the name of the navigation: "jobs". */
  of: string
  /** "Jobs 51 to 100" */
  shown?: string | undefined
  firstHref?: string | undefined
  nextHref?: string | undefined
}

export function Pager(props: PagerProps): JSX.Element | null {
  if (props.firstHref === undefined && props.nextHref === undefined) return null
  return (
    <nav class="pager" aria-label={say.parts.more(props.of)}>
      {props.firstHref === undefined ? null : (
        <a href={props.firstHref}>{say.parts.backToTheFirst(props.of)}</a>
      )}
      {props.shown === undefined ? null : <span class="soft">{props.shown}</span>}
      {props.nextHref === undefined ? null : (
        <a href={props.nextHref} rel="next">
          {say.parts.next(props.of)}
        </a>
      )}
    </nav>
  )
}
