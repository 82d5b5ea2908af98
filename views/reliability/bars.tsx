// Which of a few things is the most frequent, and how far do the first of them reach? A bar for each, and a line that adds them up.

import { scaleLinear } from 'd3-scale'
import type { JSX } from 'preact'

export interface Bar {
  label: string
  number: number
}

const WIDTH = 360
const RIGHT = 340
const ROW = 34
const TOP = 8

export function ParetoPlot(props: {
  id: string
  title: string
  bars: readonly Bar[]
  /** What the line says. */
  together: string
}): JSX.Element {
  const { bars } = props
  const all = bars.reduce((sum, { number }) => sum + number, 0)
  const x = scaleLinear().domain([0, all]).range([8, RIGHT])
  const height = TOP + bars.length * ROW + 26
  const bottom = TOP + bars.length * ROW
  let sum = 0
  const reached = bars.map(({ number }, index) => {
    sum += number
    return { at: x(sum), y: TOP + index * ROW + 24, share: (100 * sum) / all }
  })
  return (
    <svg
      class="rate-plot"
      viewBox={`0 0 ${WIDTH} ${height}`}
      role="img"
      aria-labelledby={`${props.id}-title ${props.id}-desc`}
    >
      <title id={`${props.id}-title`}>{props.title}</title>
      <desc id={`${props.id}-desc`}>
        {bars
          .map(({ label, number }, index) => `${label}: ${number}, ${reached[index]?.share.toFixed(0)} %`)
          .join('; ')}
      </desc>
      {[0, 50, 100].map((percent) => (
        <g key={percent}>
          <path class="curve-grid" d={`M${x((all * percent) / 100).toFixed(1)} ${TOP}V${bottom}`} />
          <text
            class="curve-text"
            x={x((all * percent) / 100).toFixed(1)}
            y={bottom + 15}
            text-anchor={percent === 100 ? 'end' : percent === 0 ? 'start' : 'middle'}
          >
            {percent} %
          </text>
        </g>
      ))}
      {bars.map(({ label, number }, index) => (
        <g key={label}>
          <rect
            class="pareto-bar"
            x={8}
            y={TOP + index * ROW + 16}
            width={(x(number) - 8).toFixed(1)}
            height={14}
          />
          <text class="curve-text curve-halo" x={10} y={TOP + index * ROW + 12}>
            {label} {number}
          </text>
        </g>
      ))}
      <path
        class="curve-fitted"
        d={reached.map(({ at, y }, index) => `${index === 0 ? 'M' : 'L'}${at.toFixed(1)} ${y}`).join('')}
      />
      {reached.map(({ at, y }) => (
        <circle key={y} class="rate-mark" cx={at.toFixed(1)} cy={y} r={3} />
      ))}
      <text class="curve-text curve-name" x={RIGHT} y={TOP + 6} text-anchor="end">
        {props.together}
      </text>
    </svg>
  )
}
