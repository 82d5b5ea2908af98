// Where does this list go on?

import type { JSX } from 'preact'

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
    <nav class="pager" aria-label={`More ${props.of}`}>
      {props.firstHref === undefined ? null : <a href={props.firstHref}>Back to the first {props.of}</a>}
      {props.shown === undefined ? null : <span class="soft">{props.shown}</span>}
      {props.nextHref === undefined ? null : (
        <a href={props.nextHref} rel="next">
          Next {props.of}
        </a>
      )}
    </nav>
  )
}
