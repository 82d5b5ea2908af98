// Nothing is listed here: why, and what is there to do?

import type { ComponentChildren, JSX } from 'preact'

export interface EmptyProps {
  /** "No jobs yet" */
  title: string
  /** One sentence on what would stand here. */
  children?: ComponentChildren
  action?: { href: string; label: string } | undefined
}

export function Empty(props: EmptyProps): JSX.Element {
  return (
    <div class="empty">
      <p class="empty-title">{props.title}</p>
      {props.children === undefined ? null : <p>{props.children}</p>}
      {props.action === undefined ? null : (
        <p>
          <a class="button" href={props.action.href}>
            {props.action.label}
          </a>
        </p>
      )}
    </div>
  )
}
