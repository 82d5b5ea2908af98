// Did the vacuum rise, and does the rise look like a leak, like moisture, or like nothing?

import type { ComponentChildren, JSX } from 'preact'
import { say } from '../../server/words/say.ts'
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

const phaseWords = () =>
  ({ pull: say.parts.pullingDown, break: say.parts.brokenWithNitrogen, decay: say.parts.isolated }) as const

export function DecayPlot(props: DecayPlotProps): JSX.Element {
  const whole = props.wholeRun === true
  const shown = whole ? props.readings : props.readings.filter((one) => one.phase === 'decay')
  const decay = props.readings.filter((one) => one.phase === 'decay')
  const first = decay[0] ?? shown[0]
  const last = decay[decay.length - 1] ?? shown[shown.length - 1]
  const span =
    first === undefined || last === undefined
      ? say.parts.noReadingSinceIt
      : first === last
        ? say.parts.oneReading(first.pressureTyped)
        : say.parts.fromToInMinutes(
            first.pressureTyped,
            last.pressureTyped,
            round(last.minutes - first.minutes),
            decay.length,
          )
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
        label: whole ? say.parts.minutes0IsWhen : say.parts.minutesSinceIsolated,
        domain: whole || shown.length > 1 ? undefined : [0, Math.max(10, props.longEnough?.minutes ?? 10)],
      }}
      y={{ label: say.parts.absolutePressure(props.unit), scale: whole ? 'log' : 'linear', fromZero: !whole }}
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
        ...(whole ? [{ x: 0, label: say.parts.isolated }] : []),
        ...(props.longEnough === undefined
          ? []
          : [{ x: props.longEnough.minutes, label: props.longEnough.label }]),
      ]}
      table={{
        columns: [
          say.parts.minute,
          say.parts.time,
          say.parts.phase,
          say.parts.absolutePressure2,
          say.parts.temperature,
        ],
        rows: props.readings.map((one) => [
          round(one.minutes),
          one.atWords ?? '',
          phaseWords()[one.phase],
          one.pressureTyped,
          one.temperatureTyped ?? say.parts.notRead,
        ]),
      }}
      caption={props.caption}
    />
  )
}

function round(minutes: number): string {
  return String(Math.round(minutes * 10) / 10)
}
