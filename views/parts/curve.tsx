// How did a measured thing run, and where do the criteria lie?

import { scaleLinear, scaleLog } from 'd3-scale'
import { area, curveMonotoneX, line } from 'd3-shape'
import type { ComponentChildren, JSX } from 'preact'
import { say } from '../../server/words/say.ts'

export interface CurvePoint {
  x: number
  y: number
}

export interface CurveReading extends CurvePoint {
  /** `before` marks readings that are shown but not judged: raising, pulling down. */
  kind?: 'judged' | 'before' | undefined
  /** Half-height of the whisker. */
  uncertainty?: number | undefined
}

export interface CurveAxis {
  /** "minutes since the source was removed", with its unit. */
  label: string
  /** The ends; default from the data. */
  domain?: readonly [number, number] | undefined
  scale?: 'linear' | 'log' | undefined
  /** The axis begins at nothing. */
  fromZero?: boolean | undefined
  format?: ((value: number) => string) | undefined
}

export interface CurveProps {
  /** Unique on the page; title and description hang on it. */
  id: string
  title: string
  /** What the picture shows, in one or two sentences. */
  desc: string
  x: CurveAxis
  y: CurveAxis
  readings: readonly CurveReading[]
  /** What the dots are, where they are no readings. */
  readingsLabel?: string | undefined
  /** The curve that fits them, over its own span. */
  fitted?: { label: string; points: readonly CurvePoint[] } | undefined
  /** Curves that were tried and not taken. */
  others?: readonly { label: string; points: readonly CurvePoint[] }[] | undefined
  /** What was to be expected, with its uncertainty. */
  band?: { label: string; points: readonly { x: number; low: number; high: number }[] } | undefined
  /** Lines across the plot. */
  criteria?: readonly { value: number; label: string; kind: 'limit' | 'target' }[] | undefined
  /** Moments: a line down the plot. */
  moments?: readonly { x: number; label: string }[] | undefined
  /** The same numbers. */
  table: { title?: string | undefined; columns: readonly string[]; rows: readonly (readonly string[])[] }
  /** Under the picture. */
  caption?: ComponentChildren
}

export const PLOT = { width: 360, height: 236, right: 350, top: 26, bottom: 190 } as const

export interface CurveGeometry {
  /** Where the plot begins, after the widest figure of the axis. */
  left: number
  x: (value: number) => number
  y: (value: number) => number
  xTicks: { value: number; at: number; text: string }[]
  yTicks: { value: number; at: number; text: string }[]
}

export function curveGeometry(
  props: Pick<CurveProps, 'x' | 'y' | 'readings' | 'fitted' | 'others' | 'band' | 'criteria' | 'moments'>,
): CurveGeometry {
  const xs = [
    ...props.readings.map((one) => one.x),
    ...(props.fitted?.points ?? []).map((one) => one.x),
    ...(props.band?.points ?? []).map((one) => one.x),
    ...(props.moments ?? []).map((one) => one.x),
  ]
  const ys = [
    ...props.readings.flatMap((one) => [one.y - (one.uncertainty ?? 0), one.y + (one.uncertainty ?? 0)]),
    ...(props.fitted?.points ?? []).map((one) => one.y),
    ...(props.others ?? []).flatMap((one) => one.points.map((point) => point.y)),
    ...(props.band?.points ?? []).flatMap((one) => [one.low, one.high]),
    ...(props.criteria ?? []).map((one) => one.value),
    ...(props.y.fromZero === true ? [0] : []),
  ]
  const xDomain = props.x.domain ?? spread(xs, 0)
  const log = props.y.scale === 'log'
  const yDomain = props.y.domain ?? (log ? spreadLog(ys) : spread(ys, 0.08))
  const y = (log ? scaleLog() : scaleLinear()).domain([yDomain[0], yDomain[1]]).range([PLOT.bottom, PLOT.top])
  if (props.y.domain === undefined) y.nice(log ? undefined : 4)
  const [low, high] = y.domain() as [number, number]
  const put = (value: number) => y(log ? Math.max(value, low) : value)
  const yValues = log ? decades(low, high) : y.ticks(4)
  const yFormat = props.y.format ?? plain(yValues)
  const yTicks = yValues.map((value) => ({ value, at: put(value), text: yFormat(value) }))
  const left = Math.max(36, 12 + Math.max(0, ...yTicks.map((tick) => tick.text.length)) * 6.6)
  const x = scaleLinear().domain([xDomain[0], xDomain[1]]).range([left, PLOT.right])
  if (props.x.domain === undefined) x.nice(5)
  const xValues = x.ticks(5)
  const xFormat = props.x.format ?? plain(xValues)
  return {
    left,
    x: (value) => x(value),
    y: put,
    xTicks: xValues.map((value) => ({ value, at: x(value), text: xFormat(value) })),
    yTicks,
  }
}

/** A span that holds all values, also when there is only one of them, or none. */
function spread(values: readonly number[], margin: number): [number, number] {
  const finite = values.filter((value) => Number.isFinite(value))
  if (finite.length === 0) return [0, 1]
  const low = Math.min(...finite)
  const high = Math.max(...finite)
  if (low === high) {
    const room = Math.abs(low) * 0.05 || 1
    return [low === 0 ? 0 : low - room, high + room]
  }
  const room = (high - low) * margin
  return [low >= 0 && low - room < 0 ? 0 : low - room, high + room]
}

function spreadLog(values: readonly number[]): [number, number] {
  const above = values.filter((value) => Number.isFinite(value) && value > 0)
  if (above.length === 0) return [1, 10]
  return [
    10 ** Math.floor(Math.log10(Math.min(...above))),
    10 ** Math.ceil(Math.log10(Math.max(...above) * 1.0001)),
  ]
}

function decades(low: number, high: number): number[] {
  const found: number[] = []
  for (
    let power = Math.ceil(Math.log10(low) - 1e-9);
    power <= Math.floor(Math.log10(high) + 1e-9);
    power += 1
  ) {
    found.push(10 ** power)
  }
  return found
}

/** As many decimals as the ticks need, and a thin gap between thousands. */
function plain(ticks: readonly number[]): (value: number) => string {
  const [first, second] = ticks
  const step = first === undefined || second === undefined ? 1 : Math.abs(second - first)
  const decimals = step >= 1 ? 0 : Math.min(6, Math.ceil(-Math.log10(step) - 1e-9))
  return (value) => {
    const [whole, part] = value.toFixed(decimals).split('.')
    const grouped = (whole ?? '').replace(/\B(?=(\d{3})+$)/g, '\u202f').replace('-', '−')
    return part === undefined ? grouped : `${grouped}.${part}`
  }
}

export function Curve(props: CurveProps): JSX.Element {
  const place = curveGeometry(props)
  const lineOf = line<CurvePoint>()
    .x((one) => place.x(one.x))
    .y((one) => place.y(one.y))
    .digits(1)
  const areaOf = area<{ x: number; low: number; high: number }>()
    .x((one) => place.x(one.x))
    .y0((one) => place.y(one.low))
    .y1((one) => place.y(one.high))
    .digits(1)
  const moments = (props.moments ?? []).map((moment) => {
    const at = place.x(moment.x)
    const room = PLOT.right - at > moment.label.length * LETTER + 6
    return {
      ...moment,
      at,
      words: {
        text: moment.label,
        x: at + (room ? 4 : -4),
        y: PLOT.bottom - 6,
        anchor: room ? 'start' : 'end',
      } as Words,
    }
  })
  const criteria = (props.criteria ?? []).map((one) => ({ ...one, at: place.y(one.value) }))
  const labels = placeLabels(
    criteria.map((one) => ({ text: one.label, at: one.at })),
    place,
    [...props.readings, ...(props.fitted?.points ?? [])].map((one) => ({
      x: place.x(one.x),
      y: place.y(one.y),
    })),
    moments.map((moment) => moment.words),
  )
  const before = props.readings.filter((one) => one.kind === 'before')
  const joined = before.length > 1 ? lineOf.curve(curveMonotoneX)(before) : null
  const legend = [
    {
      shown: props.readings.some((one) => one.kind !== 'before'),
      kind: 'judged',
      words: props.readingsLabel ?? say.parts.readings,
    },
    { shown: before.length > 0, kind: 'before', words: say.parts.readingsBeforeItNot },
    { shown: props.fitted !== undefined, kind: 'fitted', words: props.fitted?.label ?? '' },
    ...(props.others ?? []).map((one, index) => ({
      shown: true,
      kind: `other curve-other-${index + 1}`,
      words: one.label,
    })),
    { shown: props.band !== undefined, kind: 'band', words: props.band?.label ?? '' },
  ].filter((one) => one.shown)
  return (
    <figure class="curve">
      <svg
        class="curve-plot"
        viewBox={`0 0 ${PLOT.width} ${PLOT.height}`}
        role="img"
        aria-labelledby={`${props.id}-title ${props.id}-desc`}
      >
        <title id={`${props.id}-title`}>{props.title}</title>
        <desc id={`${props.id}-desc`}>{props.desc}</desc>
        {place.yTicks.map((tick) => (
          <g key={tick.value} class="tick tick-y" data-value={tick.value}>
            <path class="curve-grid" d={`M${place.left} ${tick.at.toFixed(1)}H${PLOT.right}`} />
            <text class="curve-text" x={place.left - 6} y={(tick.at + 4).toFixed(1)} text-anchor="end">
              {tick.text}
            </text>
          </g>
        ))}
        {place.xTicks.map((tick) => (
          <g key={tick.value} class="tick tick-x" data-value={tick.value}>
            <path class="curve-axis" d={`M${tick.at.toFixed(1)} ${PLOT.bottom}v5`} />
            <text class="curve-text" x={tick.at.toFixed(1)} y={PLOT.bottom + 18} text-anchor="middle">
              {tick.text}
            </text>
          </g>
        ))}
        <path class="curve-axis" d={`M${place.left} ${PLOT.top}V${PLOT.bottom}H${PLOT.right}`} />
        <text class="curve-text curve-name" x={4} y={13}>
          {props.y.label}
        </text>
        <text class="curve-text curve-name" x={PLOT.right} y={PLOT.height - 8} text-anchor="end">
          {props.x.label}
        </text>
        {props.band === undefined ? null : (
          <path class="curve-band" data-part="band" d={areaOf(props.band.points) ?? ''} />
        )}
        {moments.map((moment) => (
          <g key={moment.label} class="curve-moment" data-x={moment.x}>
            <path d={`M${moment.at.toFixed(1)} ${PLOT.top}V${PLOT.bottom}`} />
            <text
              class="curve-text curve-halo"
              x={moment.words.x.toFixed(1)}
              y={moment.words.y}
              text-anchor={moment.words.anchor}
            >
              {moment.label}
            </text>
          </g>
        ))}
        {joined === null ? null : <path class="curve-joined" d={joined} />}
        {criteria.map((one) => (
          <path
            key={one.label}
            class={`curve-${one.kind}`}
            data-criterion={one.value}
            d={`M${place.left} ${one.at.toFixed(1)}H${PLOT.right}`}
          />
        ))}
        {(props.others ?? []).map((one, index) => (
          <path
            key={one.label}
            class={`curve-other curve-other-${index + 1}`}
            data-part="other"
            d={lineOf(one.points) ?? ''}
          />
        ))}
        {props.fitted === undefined || props.fitted.points.length < 2 ? null : (
          <path class="curve-fitted" data-part="fitted" d={lineOf(props.fitted.points) ?? ''} />
        )}
        {props.readings.map((one, index) => {
          const cx = place.x(one.x)
          const cy = place.y(one.y)
          return (
            <g key={`${index} ${one.x}`} class={`curve-reading curve-reading-${one.kind ?? 'judged'}`}>
              {one.uncertainty === undefined ? null : (
                <path
                  class="curve-whisker"
                  d={`M${cx.toFixed(1)} ${place.y(one.y - one.uncertainty).toFixed(1)}V${place.y(one.y + one.uncertainty).toFixed(1)}`}
                />
              )}
              <circle cx={cx.toFixed(1)} cy={cy.toFixed(1)} r={3.2} />
            </g>
          )
        })}
        {criteria.map((one, index) => (
          <text
            key={one.label}
            class={`curve-text curve-halo curve-label-${one.kind}`}
            x={labels[index]?.x.toFixed(1)}
            y={labels[index]?.y.toFixed(1)}
            text-anchor={labels[index]?.anchor}
          >
            {one.label}
          </text>
        ))}
      </svg>
      <figcaption>
        <ul class="curve-legend">
          {legend.map((one) => (
            <li key={one.kind}>
              <svg viewBox="0 0 28 12" width="28" height="12" aria-hidden="true" focusable="false">
                {one.kind === 'fitted' ? <path class="curve-fitted" d="M1 6H27" /> : null}
                {one.kind.startsWith('other') ? <path class={`curve-${one.kind}`} d="M1 6H27" /> : null}
                {one.kind === 'band' ? <path class="curve-band" d="M1 1H27V11H1z" /> : null}
                {one.kind === 'judged' || one.kind === 'before' ? (
                  <g class={`curve-reading curve-reading-${one.kind}`}>
                    <circle cx="14" cy="6" r="3.6" />
                  </g>
                ) : null}
              </svg>
              {one.words}
            </li>
          ))}
        </ul>
        {props.caption === undefined ? null : <p>{props.caption}</p>}
      </figcaption>
      <details class="curve-table">
        <summary>
          <span>
            {props.table.title ?? say.parts.tableOfTheReadings} ({props.table.rows.length})
          </span>
        </summary>
        <section class="table-scroll" tabindex={0} aria-label={say.parts.tableOfTheReadings2(props.title)}>
          <table>
            <thead>
              <tr>
                {props.table.columns.map((column) => (
                  <th key={column} scope="col">
                    {column}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {props.table.rows.map((row, index) => (
                <tr key={`${index} ${row[0] ?? ''}`}>
                  {row.map((cell, column) => (
                    <td key={props.table.columns[column] ?? column}>{cell}</td>
                  ))}
                </tr>
              ))}
            </tbody>
          </table>
        </section>
      </details>
    </figure>
  )
}

interface Words {
  text: string
  x: number
  y: number
  anchor: 'start' | 'end'
}

const LETTER = 6.3

function boxOf(words: Words): { left: number; right: number; top: number; bottom: number } {
  const width = words.text.length * LETTER
  const left = words.anchor === 'start' ? words.x : words.x - width
  return { left, right: left + width, top: words.y - 10, bottom: words.y + 3 }
}

/**
 * Puts the words of each criterion where they hide least: above or below their line, at its right or left end,
 * away from readings, curve, other lines and other words.
 */
export function placeLabels(
  criteria: readonly { text: string; at: number }[],
  plot: { left: number },
  drawn: readonly { x: number; y: number }[],
  taken: readonly Words[] = [],
): Words[] {
  const words = [...taken]
  const placed: Words[] = []
  for (const one of criteria) {
    const tries: Words[] = (['end', 'start'] as const).flatMap((anchor) =>
      [-5, 13].map((dy) => ({
        text: one.text,
        x: anchor === 'end' ? PLOT.right - 2 : plot.left + 5,
        y: one.at + dy,
        anchor,
      })),
    )
    const cost = (candidate: Words): number => {
      const box = boxOf(candidate)
      const hides = (point: { x: number; y: number }) =>
        point.x > box.left - 4 && point.x < box.right + 4 && point.y > box.top - 3 && point.y < box.bottom + 3
      const over = words.filter((other) => {
        const there = boxOf(other)
        return (
          there.left < box.right && there.right > box.left && there.top < box.bottom && there.bottom > box.top
        )
      }).length
      const crossed = criteria.filter(
        (other) => other !== one && other.at > box.top - 1 && other.at < box.bottom + 1,
      )
      const outside = box.top < PLOT.top - 12 || box.bottom > PLOT.bottom
      return drawn.filter(hides).length + over * 30 + crossed.length * 12 + (outside ? 60 : 0)
    }
    const best = tries.reduce((a, b) => (cost(b) < cost(a) ? b : a))
    words.push(best)
    placed.push(best)
  }
  return placed
}
