// Which joint is this, as it is written on the pipe?

import type { JSX } from 'preact'

export function Tag(props: { tag: string; href?: string | undefined }): JSX.Element {
  return props.href === undefined ? (
    <span class="tag">{props.tag}</span>
  ) : (
    <a class="tag" href={props.href}>
      {props.tag}
    </a>
  )
}
