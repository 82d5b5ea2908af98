// What did the last thing you did lead to?

import type { ComponentChildren, JSX } from 'preact'
import { say } from '../../server/words/say.ts'

export interface FlashProps {
  kind: 'done' | 'needs-you' | 'refused'
  children: ComponentChildren
}

const theLead = (): Record<FlashProps['kind'], string> => ({
  done: say.parts.recorded2,
  'needs-you': say.parts.needsYou,
  refused: say.parts.refused2,
})

export function Flash(props: FlashProps & { lead?: string | undefined }): JSX.Element {
  return (
    <div class={`flash flash-${props.kind}`} role={props.kind === 'refused' ? 'alert' : 'status'}>
      <p>
        <strong>{props.lead ?? theLead()[props.kind]}</strong> {props.children}
      </p>
    </div>
  )
}
