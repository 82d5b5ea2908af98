// What was the number, what should it have been, and how sure are we?

import { scaleLinear } from 'd3-scale'
import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { type FindingOutcome, OutcomeMark } from './mark.tsx'

export interface JudgedNumberProps {
  /** What the number is: "Torque at the nut". */
  label?: string | undefined
  /** The value as typed: "38.4". */
  value: string
  unit: string
  /** The value on the scale, in the same unit. */
  at: number
  /** The range; either side may be missing ("at most", "at least"). */
  low?: number | undefined
  high?: number | undefined
  /** Half-width of the whisker. */
  uncertainty?: number | undefined
  /** The whisker where it is not symmetric; goes before `uncertainty`. */
  whisker?: { low: number; high: number } | undefined
  /** The verdict in words: "in range". */
  verdict: string
  outcome: FindingOutcome
  /** The same in the other unit: "28.3 ft·lbf". */
  also?: string | undefined
  /** Where the range comes from: "equipment sheet, page 12". */
  source?: string | undefined
}

export const RANGE_BAR = { width: 320, height: 48, left: 12, right: 308, line: 20 } as const

export interface RangeGeometry {
  x: (value: number) => number
  low: number | undefined
  high: number | undefined
  tick: number
  whisker: { from: number; to: number } | undefined
  /** The value lies so far out that its tick stands at the end of the bar. */
  off: 'below' | 'above' | undefined
}

/** Where everything stands on the bar. The range takes the middle half, so that two bars can be compared. */
export function rangeGeometry(
  props: Pick<JudgedNumberProps, 'at' | 'low' | 'high' | 'uncertainty' | 'whisker'>,
): RangeGeometry {
  const { low, high, at } = props
  const whisker =
    props.whisker ??
    (props.uncertainty === undefined
      ? undefined
      : { low: at - props.uncertainty, high: at + props.uncertainty })
  const [from, to] = rangeDomain(low, high, at)
  const scale = scaleLinear().domain([from, to]).range([RANGE_BAR.left, RANGE_BAR.right]).clamp(true)
  return {
    x: (value) => scale(value),
    low: low === undefined ? undefined : scale(low),
    high: high === undefined ? undefined : scale(high),
    tick: scale(at),
    whisker: whisker === undefined ? undefined : { from: scale(whisker.low), to: scale(whisker.high) },
    off: at < from ? 'below' : at > to ? 'above' : undefined,
  }
}

export function rangeDomain(low: number | undefined, high: number | undefined, at: number): [number, number] {
  if (low !== undefined && high !== undefined) {
    const room = (high - low) / 2 || Math.abs(high) / 2 || 1
    return [low - room, high + room]
  }
  const bound = low ?? high
  if (bound === undefined) return at === 0 ? [-1, 1] : [Math.min(0, at * 1.5), Math.max(0, at * 1.5)]
  const reach =
    Math.max(Math.abs(bound) * 0.75, Math.min(Math.abs(at - bound) * 1.25, Math.abs(bound) * 1.5)) || 1
  return low === undefined ? [bound - reach, bound + reach / 2] : [bound - reach / 2, bound + reach]
}

export function rangeWords(low: number | undefined, high: number | undefined, unit: string): string {
  if (low !== undefined && high !== undefined)
    return low < 0
      ? say.parts.to(asFigure(low), asFigure(high), unit)
      : `${asFigure(low)}–${asFigure(high)} ${unit}`
  if (high !== undefined) return say.parts.atMost(asFigure(high), unit)
  if (low !== undefined) return say.parts.atLeast(asFigure(low), unit)
  return say.parts.noRangeGiven
}

/** A figure of the range, without the noise of a conversion. */
export function asFigure(value: number): string {
  return String(Number(value.toPrecision(6))).replace('-', '−')
}

export function JudgedNumber(props: JudgedNumberProps): JSX.Element {
  const place = rangeGeometry(props)
  const whisker =
    props.whisker ??
    (props.uncertainty === undefined
      ? undefined
      : { low: props.at - props.uncertainty, high: props.at + props.uncertainty })
  const words = [
    say.parts.wanted4(props.value, props.unit, rangeWords(props.low, props.high, props.unit)),
    whisker === undefined
      ? undefined
      : say.parts.betweenAndWhenIts(asFigure(whisker.low), asFigure(whisker.high)),
    props.verdict,
  ].filter((one) => one !== undefined)
  return (
    <div class={`judged judged-${props.outcome}`}>
      <p class="judged-head">
        {props.label === undefined ? null : <span class="judged-label">{props.label}</span>}
        <span class="judged-value">
          <b>{props.value}</b> {props.unit}
        </span>
        {props.also === undefined ? null : <span class="soft">{props.also}</span>}
      </p>
      <svg
        class="range-bar"
        viewBox={`0 0 ${RANGE_BAR.width} ${RANGE_BAR.height}`}
        role="img"
        aria-label={words.join('; ')}
      >
        <RangeBar low={props.low} high={props.high} place={place} />
        {place.whisker === undefined ? null : <Whisker from={place.whisker.from} to={place.whisker.to} />}
        <ValueTick x={place.tick} off={place.off} />
      </svg>
      <p class="judged-words">
        <OutcomeMark outcome={props.outcome} />{' '}
        <strong>{/[.!?]$/.test(props.verdict) ? props.verdict : `${props.verdict}.`}</strong>
        <span class="soft">
          {' '}
          {say.parts.wanted(
            rangeWords(props.low, props.high, props.unit),
            props.source === undefined ? null : ` (${props.source})`,
            whisker === undefined
              ? null
              : say.parts.itLiesBetweenAnd(asFigure(whisker.low), asFigure(whisker.high)),
          )}
        </span>
      </p>
    </div>
  )
}

/** The range alone: a bracket on a hairline, open on the side that has no bound. */
export function RangeBar(props: {
  low: number | undefined
  high: number | undefined
  place: Pick<RangeGeometry, 'low' | 'high'>
}): JSX.Element {
  const { left, right, line, height } = RANGE_BAR
  const from = props.place.low ?? left
  const to = props.place.high ?? right
  const tight = props.place.low !== undefined && props.place.high !== undefined && to - from < 60
  return (
    <>
      <path class="rb-hair" d={`M${left} ${line}H${right}`} />
      {props.low === undefined && props.high === undefined ? null : (
        <path class="rb-range" d={`M${from.toFixed(1)} ${line}H${to.toFixed(1)}`} />
      )}
      {props.low === undefined || props.place.low === undefined ? null : (
        <>
          <path class="rb-bound" data-bound="low" d={`M${from.toFixed(1)} ${line - 8}v16`} />
          <text class="rb-text" x={from.toFixed(1)} y={height - 4} text-anchor={tight ? 'end' : 'middle'}>
            {asFigure(props.low)}
          </text>
        </>
      )}
      {props.high === undefined || props.place.high === undefined ? null : (
        <>
          <path class="rb-bound" data-bound="high" d={`M${to.toFixed(1)} ${line - 8}v16`} />
          <text class="rb-text" x={to.toFixed(1)} y={height - 4} text-anchor={tight ? 'start' : 'middle'}>
            {asFigure(props.high)}
          </text>
        </>
      )}
    </>
  )
}

export function Whisker(props: { from: number; to: number; live?: boolean | undefined }): JSX.Element {
  const { line } = RANGE_BAR
  const [from, to] = [props.from.toFixed(1), props.to.toFixed(1)]
  return <path class="rb-whisker" d={`M${from} ${line - 5}v10M${to} ${line - 5}v10M${from} ${line}H${to}`} />
}

export function ValueTick(props: { x: number; off?: 'below' | 'above' | undefined }): JSX.Element {
  const { line } = RANGE_BAR
  const x = Number(props.x.toFixed(1))
  return (
    <g class="rb-value" data-x={x}>
      <path class="rb-tick" d={`M${x} ${line - 16}v32`} />
      {props.off === undefined ? null : (
        <path
          class="rb-off"
          d={props.off === 'above' ? `M${x - 8} ${line - 6}l8 6l-8 6` : `M${x + 8} ${line - 6}l-8 6l8 6`}
        />
      )}
    </g>
  )
}
