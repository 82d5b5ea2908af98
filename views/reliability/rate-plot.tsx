// How often does each group leak, and how sure is that? A dot and its interval for each, on one scale.

import { scaleLinear } from 'd3-scale'
import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'

export interface RateLine {
  label: string
  rate: number
  low: number
  high: number
  flagged: boolean
}

const WIDTH = 360
const RIGHT = 348
const ROW = 34
const TOP = 24

export function RatePlot(props: {
  id: string
  lines: readonly RateLine[]
  company: number | null
}): JSX.Element {
  const { lines, company } = props
  // An interval that goes on beyond three times the highest rate says "not known" as well when it is cut there.
  const most = Math.max(company ?? 0, ...lines.map(({ rate }) => rate), 1) * 3
  const x = scaleLinear().domain([0, most]).range([8, RIGHT]).nice(4)
  const top = x.domain()[1] ?? most
  const height = TOP + lines.length * ROW + 40
  const bottom = TOP + lines.length * ROW + 6
  const put = (value: number) => x(Math.min(value, top)).toFixed(1)
  return (
    <svg
      class="rate-plot"
      viewBox={`0 0 ${WIDTH} ${height}`}
      role="img"
      aria-labelledby={`${props.id}-title ${props.id}-desc`}
    >
      <title id={`${props.id}-title`}>{say.reliability.leaksPer1000}</title>
      <desc id={`${props.id}-desc`}>
        {lines
          .map(({ label, rate, low, high, flagged }) =>
            say.reliability.n95BetweenAnd(
              label,
              rate.toFixed(1),
              low.toFixed(1),
              high.toFixed(1),
              flagged ? say.reliability.standsOut : '',
            ),
          )
          .join('; ')}
      </desc>
      {x.ticks(4).map((tick) => (
        <g key={tick}>
          <path class="curve-grid" d={`M${put(tick)} ${TOP - 6}V${bottom}`} />
          <text class="curve-text" x={put(tick)} y={bottom + 15} text-anchor="middle">
            {tick}
          </text>
        </g>
      ))}
      {company === null ? null : (
        <>
          <path class="curve-target" d={`M${put(company)} ${TOP - 6}V${bottom}`} />
          <text class="curve-text curve-label-target" x={put(company)} y={12} text-anchor="start">
            {say.reliability.allJoints(company.toFixed(1))}
          </text>
        </>
      )}
      {lines.map((line, index) => {
        const y = TOP + index * ROW + 24
        return (
          <g key={line.label} class={line.flagged ? 'rate rate-flagged' : 'rate'}>
            <text class="curve-text curve-halo" x={8} y={y - 9}>
              {line.label}
              {line.flagged ? say.reliability.standsOut2 : ''}
            </text>
            <path class="curve-whisker" d={`M${put(line.low)} ${y}H${put(line.high)}`} />
            {line.high > top ? <path class="curve-whisker" d={`M${RIGHT - 5} ${y - 4}l5 4l-5 4`} /> : null}
            {line.flagged ? (
              <path class="rate-mark" d={`M${put(line.rate)} ${y - 6}l6 6l-6 6l-6 -6z`} />
            ) : (
              <circle class="rate-mark" cx={put(line.rate)} cy={y} r={3.6} />
            )}
          </g>
        )
      })}
      <text class="curve-text curve-name" x={RIGHT} y={height - 6} text-anchor="end">
        {say.reliability.leaksPer1000Joint}
      </text>
    </svg>
  )
}
