// What do we know of this thing, one line each?

import type { ComponentChildren, JSX } from 'preact'

export interface FactsProps {
  facts: readonly { label: string; value: ComponentChildren; note?: ComponentChildren }[]
}

export function Facts(props: FactsProps): JSX.Element {
  return (
    <dl class="facts">
      {props.facts.map((fact) => (
        <div key={fact.label}>
          <dt>{fact.label}</dt>
          <dd>
            {fact.value}
            {fact.note === undefined ? null : <span class="soft"> {fact.note}</span>}
          </dd>
        </div>
      ))}
    </dl>
  )
}
