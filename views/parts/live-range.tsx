// Would the number that is being typed lie in the range?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { RANGE_BAR, RangeBar, rangeDomain, rangeGeometry, rangeWords } from './judged-number.tsx'

export interface LiveRangeProps {
  /** The id of the control that is typed into: `fieldId('reading', form)`. */
  for: string
  /** What the number is: "Torque". */
  label: string
  low: number
  high: number
  /** The unit of `low` and `high`: its code, as the unit switch has it, and its word. */
  unit: string
  unitLabel: string
  /** Of the instrument, in percent of what it shows; draws the whisker. */
  accuracyPercent?: number | undefined
  /** What the typed number is multiplied by to reach the joint (adapter). Default 1. */
  factor?: number | undefined
  /** Sentences for the three cases. */
  words: { within: string; below: string; above: string }
}

/**
 * Without script it shows the range alone; with script the tick and the whisker follow the typing. The server's
 * verdict alone counts.
 */
export function LiveRange(props: LiveRangeProps): JSX.Element {
  const place = rangeGeometry({ at: (props.low + props.high) / 2, low: props.low, high: props.high })
  const [from, to] = rangeDomain(props.low, props.high, props.low)
  return (
    <div
      class="live-range"
      data-live-range={props.for}
      data-low={props.low}
      data-high={props.high}
      data-from={from}
      data-to={to}
      data-left={RANGE_BAR.left}
      data-right={RANGE_BAR.right}
      data-line={RANGE_BAR.line}
      data-unit={props.unit}
      data-unit-label={props.unitLabel}
      data-accuracy={props.accuracyPercent}
      data-factor={props.factor}
      data-within={props.words.within}
      data-below={props.words.below}
      data-above={props.words.above}
    >
      <svg
        class="range-bar"
        viewBox={`0 0 ${RANGE_BAR.width} ${RANGE_BAR.height}`}
        role="img"
        aria-label={say.parts.wanted2(props.label, rangeWords(props.low, props.high, props.unitLabel))}
      >
        <RangeBar low={props.low} high={props.high} place={place} />
        <path class="rb-whisker" data-live="whisker" d="" />
        <path class="rb-tick" data-live="tick" d="" />
      </svg>
      <output class="live-words" for={props.for} aria-live="polite">
        {say.parts.wanted3(rangeWords(props.low, props.high, props.unitLabel))}
      </output>
    </div>
  )
}
