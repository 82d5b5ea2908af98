// What happens when you press this?

import type { ComponentChildren, JSX } from 'preact'

export interface ButtonProps {
  children: ComponentChildren
  /** `do` is the one thing this form is for; `other` the way around it; `refuse` undoes or turns down. */
  kind?: 'do' | 'other' | 'refuse' | undefined
  name?: string | undefined
  value?: string | undefined
  formaction?: string | undefined
  formmethod?: 'get' | undefined
  /** Lets the browser send the form without its own checks, e.g. for "leave it for now". */
  unchecked?: boolean | undefined
  /** What it is called where the words on it are not enough: "Accept 3 Quay Street". */
  label?: string | undefined
}

export function Button(props: ButtonProps): JSX.Element {
  return (
    <button
      type="submit"
      class={props.kind ?? 'do'}
      name={props.name}
      value={props.value}
      formaction={props.formaction}
      formmethod={props.formmethod}
      formnovalidate={props.unchecked}
      aria-label={props.label}
    >
      {props.children}
    </button>
  )
}
