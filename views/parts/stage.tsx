// How far is this job?

import type { JSX } from 'preact'
import type { JobStage } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'

export interface StageProps {
  stage: JobStage
  /** How it came to be open again. */
  after?: 'sent-back' | 'reopened' | undefined
  /** "since yesterday 16:05" */
  since?: string | undefined
}

const theWords = (): Record<JobStage, string> => ({
  open: say.parts.open,
  submitted: say.parts.waitingForAudit,
  sealed: say.parts.signedOffAndSealed,
})

const afterWords = () => ({ 'sent-back': say.parts.sentBackToBe, reopened: say.parts.openedAgain }) as const

export function stageWords(props: Pick<StageProps, 'stage' | 'after'>): string {
  return props.stage === 'open' && props.after !== undefined
    ? afterWords()[props.after]
    : theWords()[props.stage]
}

export function Stage(props: StageProps): JSX.Element {
  const shape = props.stage === 'open' ? (props.after ?? 'open') : props.stage
  return (
    <span class={`stage stage-${shape}`}>
      <svg data-shape={shape} viewBox="0 0 24 14" width="24" height="14" aria-hidden="true" focusable="false">
        {SHAPES[shape]}
      </svg>
      <span>
        {stageWords(props)}
        {props.since === undefined ? null : <span class="soft"> {props.since}</span>}
      </span>
    </span>
  )
}

/* A pipe end: open, capped and waiting, crimped shut; turned back where the job came back. */
const SHAPES: Record<JobStage | 'sent-back' | 'reopened', JSX.Element> = {
  open: <path class="om-line" d="M22 3H5a3 4 0 0 0 0 8h17" />,
  submitted: (
    <>
      <path class="om-line" d="M14 3H2m12 8H2" />
      <rect class="om-solid" x="14" y="1" width="4" height="12" />
      <path class="om-line" d="M22 3v8" />
    </>
  ),
  sealed: <path class="om-solid" d="M1 2h12l5 4h5v2h-5l-5 4H1z" />,
  'sent-back': <path class="om-line" d="M22 3H8a4 4 0 0 0 0 8h8M13 8l4 3-4 3" />,
  reopened: (
    <>
      <path class="om-line" d="M22 3H5a3 4 0 0 0 0 8h17" />
      <path class="om-line" d="M11 7h8" />
    </>
  ),
}
