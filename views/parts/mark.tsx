// Which shape says this state, so that nobody has to rely on colour?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'

export type JointState = 'not-begun' | 'begun' | 'done' | 'refused' | 'stale' | 'retired' | 'factory'

export type FindingOutcome = 'failed' | 'open' | 'requested' | 'conceded' | 'met' | 'not-applicable'

/** The word that stands beside the shape, everywhere. */
export const jointStateWords = (): Record<JointState, string> => ({
  'not-begun': say.parts.notBegun,
  begun: say.parts.begun,
  done: say.parts.done,
  refused: say.parts.refused,
  stale: say.parts.changedAfterTheTest,
  factory: say.parts.madeInTheFactory,
  retired: say.parts.retired,
})

export const outcomeWords = (): Record<FindingOutcome, string> => ({
  failed: say.parts.failed,
  open: say.parts.open,
  requested: say.parts.concessionAskedFor,
  conceded: say.parts.conceded,
  met: say.parts.met,
  'not-applicable': say.parts.doesNotApply,
})

/** A joint's mark, drawn around (x, y); `scale` 1 is 18 units across. */
export function JointMark(props: {
  x: number
  y: number
  state: JointState
  scale?: number | undefined
}): JSX.Element {
  const { x, y, state } = props
  const k = props.scale ?? 1
  const shape = `mark mark-${state}`
  switch (state) {
    case 'not-begun':
      return <circle class={shape} data-shape="ring" cx={x} cy={y} r={8 * k} />
    case 'begun':
      return (
        <g class={shape} data-shape="half-ring">
          <circle cx={x} cy={y} r={8 * k} />
          <path class="mark-fill" d={`M${x} ${y - 8 * k}a${8 * k} ${8 * k} 0 0 0 0 ${16 * k}z`} />
        </g>
      )
    case 'done':
      return (
        <g class={shape} data-shape="disc-tick">
          <circle cx={x} cy={y} r={9 * k} />
          <path
            class="mark-cut"
            d={`M${x - 4.2 * k} ${y + 0.2 * k}l${3 * k} ${3.5 * k} ${5.6 * k} ${-7.2 * k}`}
          />
        </g>
      )
    case 'refused':
      return (
        <g class={shape} data-shape="box-cross">
          <rect x={x - 9 * k} y={y - 9 * k} width={18 * k} height={18 * k} />
          <path
            class="mark-cut"
            d={`M${x - 4.5 * k} ${y - 4.5 * k}l${9 * k} ${9 * k}m0 ${-9 * k}l${-9 * k} ${9 * k}`}
          />
        </g>
      )
    case 'stale':
      return (
        <g class={shape} data-shape="diamond-bar">
          <path d={`M${x} ${y - 11 * k}l${11 * k} ${11 * k}l${-11 * k} ${11 * k}l${-11 * k} ${-11 * k}z`} />
          <path class="mark-stroke" d={`M${x - 4.5 * k} ${y}h${9 * k}`} />
        </g>
      )
    case 'factory':
      return (
        <g class={shape} data-shape="sleeve">
          <rect x={x - 4 * k} y={y - 9 * k} width={8 * k} height={18 * k} />
          <path class="mark-cut" d={`M${x} ${y - 5 * k}v${10 * k}`} />
        </g>
      )
    case 'retired':
      return (
        <g class={shape} data-shape="broken-ring">
          <circle cx={x} cy={y} r={7 * k} />
          <path class="mark-stroke" d={`M${x - 8 * k} ${y + 8 * k}l${16 * k} ${-16 * k}`} />
        </g>
      )
  }
}

/** The small mark in front of a finding's word. */
export function OutcomeMark(props: { outcome: FindingOutcome }): JSX.Element {
  const inner: Record<FindingOutcome, { shape: string; drawn: JSX.Element }> = {
    failed: {
      shape: 'box-cross',
      drawn: (
        <>
          <rect class="om-solid" x="2" y="2" width="16" height="16" />
          <path class="om-cut" d="M6 6l8 8m0-8l-8 8" />
        </>
      ),
    },
    open: {
      shape: 'open-bracket',
      drawn: <path class="om-line" d="M7 3H3v14h4M13 3h4v14h-4M8 10h4" />,
    },
    requested: {
      shape: 'ring-up',
      drawn: (
        <>
          <circle class="om-line" cx="10" cy="10" r="8" />
          <path class="om-line" d="M10 14V6.5M6.8 9.5L10 6.2l3.2 3.3" />
        </>
      ),
    },
    conceded: {
      shape: 'ring-tick-under-bar',
      drawn: (
        <>
          <path class="om-line" d="M3 2.5h14" />
          <circle class="om-line" cx="10" cy="12" r="6.8" />
          <path class="om-line" d="M6.8 12l2.4 2.6 4-5" />
        </>
      ),
    },
    met: {
      shape: 'disc-tick',
      drawn: (
        <>
          <circle class="om-solid" cx="10" cy="10" r="9" />
          <path class="om-cut" d="M5.8 10.2l3 3.5 5.6-7.2" />
        </>
      ),
    },
    'not-applicable': {
      shape: 'slash',
      drawn: (
        <>
          <circle class="om-thin" cx="10" cy="10" r="7" />
          <path class="om-thin" d="M4 16L16 4" />
        </>
      ),
    },
  }
  const { shape, drawn } = inner[props.outcome]
  return (
    <svg
      class={`om om-${props.outcome}`}
      data-shape={shape}
      viewBox="0 0 20 20"
      width="20"
      height="20"
      aria-hidden="true"
      focusable="false"
    >
      {drawn}
    </svg>
  )
}
