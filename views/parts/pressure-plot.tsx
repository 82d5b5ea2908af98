// Did the nitrogen stay, once the temperature is taken out?

import type { ComponentChildren, JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { Curve, type CurvePoint } from './curve.tsx'

export interface PressureReading {
  /** Minutes since the source was removed; raising lies before it and is negative. */
  minutes: number
  stage: 'raise' | 'hold'
  /** In the unit of the plot. */
  gaugePressure: number
  uncertainty?: number | undefined
  /** For the table, as typed: "4.15 MPa", "21.4 °C", "15:10". */
  pressureTyped: string
  temperatureTyped?: string | undefined
  atWords?: string | undefined
}

export interface PressurePlotProps {
  id: string
  /** "Pressure test of Hall and Kitchen" */
  title: string
  /** The unit's word: "MPa". */
  unit: string
  readings: readonly PressureReading[]
  /** Also the raising; the scale is then too coarse to judge the hold by. Default: only the hold, once it began. */
  wholeRun?: boolean | undefined
  /** The pressure that the temperature alone would have made, with its uncertainty. */
  expected?: readonly { minutes: number; low: number; high: number }[] | undefined
  /** The line through the hold readings, when there is one. */
  fitted?: readonly { minutes: number; gaugePressure: number }[] | undefined
  /** What the test has to reach at the start of the hold. */
  testPressure?: { value: number; label: string } | undefined
  /** What no part may see. */
  limit?: { value: number; label: string } | undefined
  /** When the hold is long enough: "60 min". */
  longEnough?: { minutes: number; label: string } | undefined
  /** The verdict in words; stands in the description too. */
  verdict?: string | undefined
  caption?: ComponentChildren
}

export function PressurePlot(props: PressurePlotProps): JSX.Element {
  const hold = props.readings.filter((one) => one.stage === 'hold')
  const shown = props.wholeRun === true || hold.length === 0 ? props.readings : hold
  const first = hold[0] ?? props.readings[0]
  const last = hold[hold.length - 1] ?? props.readings[props.readings.length - 1]
  const span =
    first === undefined || last === undefined
      ? say.parts.noReadingYet
      : first === last
        ? say.parts.oneReading(first.pressureTyped)
        : say.parts.fromToInMinutes(
            first.pressureTyped,
            last.pressureTyped,
            round(last.minutes - first.minutes),
            props.readings.length,
          )
  const criteria = [
    props.limit === undefined ? undefined : { ...props.limit, kind: 'limit' as const },
    props.testPressure === undefined ? undefined : { ...props.testPressure, kind: 'target' as const },
  ].filter((one) => one !== undefined)
  return (
    <Curve
      id={props.id}
      title={props.title}
      desc={[span, ...criteria.map((one) => `${one.label}.`), props.verdict].filter(Boolean).join(' ')}
      x={{ label: say.parts.minutesSinceTheSource, domain: aSpan(shown, props.longEnough) }}
      y={{ label: say.parts.gaugePressure(props.unit) }}
      readings={shown.map((one) => ({
        x: one.minutes,
        y: one.gaugePressure,
        kind: one.stage === 'raise' ? 'before' : 'judged',
        uncertainty: one.uncertainty,
      }))}
      fitted={
        props.fitted === undefined
          ? undefined
          : {
              label: say.parts.lineThroughTheHold,
              points: props.fitted.map((one): CurvePoint => ({ x: one.minutes, y: one.gaugePressure })),
            }
      }
      band={
        props.expected === undefined
          ? undefined
          : {
              label: say.parts.whatTheTemperatureAlone,
              points: props.expected.map((one) => ({ x: one.minutes, low: one.low, high: one.high })),
            }
      }
      criteria={criteria}
      moments={
        props.longEnough === undefined
          ? undefined
          : [{ x: props.longEnough.minutes, label: props.longEnough.label }]
      }
      table={{
        columns: [
          say.parts.minute,
          say.parts.time,
          say.parts.stage,
          say.parts.gaugePressure2,
          say.parts.temperature,
        ],
        rows: props.readings.map((one) => [
          round(one.minutes),
          one.atWords ?? '',
          one.stage === 'raise' ? say.parts.raisingWord : say.parts.holdWord,
          one.pressureTyped,
          one.temperatureTyped ?? say.parts.notRead,
        ]),
      }}
      caption={props.caption}
    />
  )
}

/** With one reading, or none, the axis still shows the time to come. */
function aSpan(
  readings: readonly { minutes: number }[],
  longEnough: { minutes: number } | undefined,
): [number, number] | undefined {
  return readings.length > 1
    ? undefined
    : [Math.min(0, readings[0]?.minutes ?? 0), Math.max(10, longEnough?.minutes ?? 60)]
}

function round(minutes: number): string {
  return String(Math.round(minutes * 10) / 10)
}
