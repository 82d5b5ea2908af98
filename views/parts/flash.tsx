// What did the last thing you did lead to?

import type { ComponentChildren, JSX } from 'preact'

export interface FlashProps {
  kind: 'done' | 'needs-you' | 'refused'
  children: ComponentChildren
}

const LEAD: Record<FlashProps['kind'], string> = {
  done: 'Recorded.',
  'needs-you': 'Needs you.',
  refused: 'Refused.',
}

export function Flash(props: FlashProps & { lead?: string | undefined }): JSX.Element {
  return (
    <div class={`flash flash-${props.kind}`} role={props.kind === 'refused' ? 'alert' : 'status'}>
      <p>
        <strong>{props.lead ?? LEAD[props.kind]}</strong> {props.children}
      </p>
    </div>
  )
}
