// Did the vacuum rise, and does the rise look like a leak, like moisture, or like nothing?

import type { ComponentChildren, JSX } from 'preact'
import { Curve } from './curve.tsx'

export interface VacuumReading {
  /** Minutes since it was isolated; pulling down lies before it and is negative. */
  minutes: number
  phase: 'pull' | 'break' | 'decay'
  /** In the unit of the plot. */
  absolutePressure: number
  uncertainty?: number | undefined
  /** For the table, as typed: "310 micron". */
  pressureTyped: string
  temperatureTyped?: string | undefined
  atWords?: string | undefined
}

export interface DecayPlotProps {
  id: string
  /** "Evacuation of Hall and Kitchen" */
  title: string
  /** The unit's word: "micron". */
  unit: string
  readings: readonly VacuumReading[]
  /** Also the pull-down; the scale is then logarithmic. Default: only the decay. */
  wholeRun?: boolean | undefined
  /** The chosen curve: "saturating curve that fits best". */
  fitted?: { label: string; points: readonly { minutes: number; absolutePressure: number }[] } | undefined
  /** To be reached before isolating. */
  target?: { value: number; label: string } | undefined
  /** Not to be passed while isolated. */
  limit?: { value: number; label: string } | undefined
  longEnough?: { minutes: number; label: string } | undefined
  verdict?: string | undefined
  caption?: ComponentChildren
}

const PHASE_WORDS = { pull: 'pulling down', break: 'broken with nitrogen', decay: 'isolated' } as const

export function DecayPlot(props: DecayPlotProps): JSX.Element {
  const whole = props.wholeRun === true
  const shown = whole ? props.readings : props.readings.filter((one) => one.phase === 'decay')
  const decay = props.readings.filter((one) => one.phase === 'decay')
  const first = decay[0] ?? shown[0]
  const last = decay[decay.length - 1] ?? shown[shown.length - 1]
  const span =
    first === undefined || last === undefined
      ? 'No reading since it was isolated.'
      : first === last
        ? `One reading: ${first.pressureTyped}.`
        : `From ${first.pressureTyped} to ${last.pressureTyped} in ${round(last.minutes - first.minutes)} minutes, ${decay.length} readings.`
  const criteria = [
    props.limit === undefined ? undefined : { ...props.limit, kind: 'limit' as const },
    props.target === undefined ? undefined : { ...props.target, kind: 'target' as const },
  ].filter((one) => one !== undefined)
  return (
    <Curve
      id={props.id}
      title={props.title}
      desc={[span, ...criteria.map((one) => `${one.label}.`), props.verdict].filter(Boolean).join(' ')}
      x={{
        label: whole ? 'minutes, 0 is when it was isolated' : 'minutes since isolated',
        domain: whole || shown.length > 1 ? undefined : [0, Math.max(10, props.longEnough?.minutes ?? 10)],
      }}
      y={{ label: `absolute pressure, ${props.unit}`, scale: whole ? 'log' : 'linear', fromZero: !whole }}
      readings={shown.map((one) => ({
        x: one.minutes,
        y: one.absolutePressure,
        kind: one.phase === 'decay' ? 'judged' : 'before',
        uncertainty: one.uncertainty,
      }))}
      fitted={
        props.fitted === undefined
          ? undefined
          : {
              label: props.fitted.label,
              points: props.fitted.points.map((one) => ({ x: one.minutes, y: one.absolutePressure })),
            }
      }
      criteria={criteria}
      moments={[
        ...(whole ? [{ x: 0, label: 'isolated' }] : []),
        ...(props.longEnough === undefined
          ? []
          : [{ x: props.longEnough.minutes, label: props.longEnough.label }]),
      ]}
      table={{
        columns: ['Minute', 'Time', 'Phase', 'Absolute pressure', 'Temperature'],
        rows: props.readings.map((one) => [
          round(one.minutes),
          one.atWords ?? '',
          PHASE_WORDS[one.phase],
          one.pressureTyped,
          one.temperatureTyped ?? 'not read',
        ]),
      }}
      caption={props.caption}
    />
  )
}

function round(minutes: number): string {
  return String(Math.round(minutes * 10) / 10)
}
