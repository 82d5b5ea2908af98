// Do the torques pulled on one size form a steady process, and does its spread fit the range?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Curve } from '../parts/curve.tsx'
import { Empty } from '../parts/empty.tsx'
import { Facts } from '../parts/facts.tsx'
import { type FormState, SelectField, TextField } from '../parts/field.tsx'

export interface TorqueChartProps {
  shell: Shell
  sizes: readonly { value: string; label: string }[]
  size: string | null
  /** In the order in which they were pulled. */
  pulled: readonly { jointId: string; tag: string; day: string; torqueNm: number; outside: boolean }[]
  chart: {
    mean: number
    upperLimit: number
    lowerLimit: number
    meanMovingRange: number
    upperRangeLimit: number
    rangeOutside: number
  } | null
  /** Null where the nuts shown have several ranges, or none. */
  range: { lowNm: number; highNm: number; source: string } | null
  capability: { cp: number | null; cpk: number | null; pp: number | null; ppk: number | null } | null
  form: FormState
}

const newtonMetres = (value: number) => `${value.toFixed(1)} N·m`
const index = (value: number | null) => (value === null ? '–' : value.toFixed(2))

export function TorqueChart(props: TorqueChartProps): JSX.Element {
  const { pulled, chart, range, capability } = props
  const outside = pulled.filter((one) => one.outside).length
  return (
    <Layout {...props.shell} title={say.reliability.torquesRead}>
      <h1>{say.reliability.torquesRead}</h1>
      <p class="lead">{say.reliability.torquesReadLead}</p>
      <p>
        <a href="/reliability">{say.reliability.backToTheGroups}</a>
      </p>
      <form method="get" action="/reliability/torque" class="look-through">
        <SelectField
          name="size"
          label={say.reliability.tubeSizeWord}
          beside
          options={props.sizes}
          value={props.size ?? undefined}
        />
        <TextField name="from" label={say.reliability.from} type="date" form={props.form} />
        <TextField name="to" label={say.reliability.to} type="date" form={props.form} />
        <div class="actions">
          <Button kind="other">{say.reliability.show}</Button>
        </div>
      </form>
      {chart === null ? (
        <Empty title={say.reliability.tooFewTorques}>{say.reliability.tooFewTorquesWhy}</Empty>
      ) : (
        <>
          <Facts
            facts={[
              { label: say.reliability.nutsShown, value: pulled.length },
              { label: say.reliability.meanWord, value: newtonMetres(chart.mean) },
              { label: say.reliability.outsideTheLimits, value: outside },
              {
                label: say.reliability.largeSteps,
                value: chart.rangeOutside,
                note: say.reliability.stepsAbove(newtonMetres(chart.upperRangeLimit)),
              },
              ...(capability === null || range === null
                ? []
                : [
                    {
                      label: 'Cp, Cpk',
                      value: `${index(capability.cp)}, ${index(capability.cpk)}`,
                      note: say.reliability.againstRange(
                        newtonMetres(range.lowNm),
                        newtonMetres(range.highNm),
                        range.source,
                      ),
                    },
                    { label: 'Pp, Ppk', value: `${index(capability.pp)}, ${index(capability.ppk)}` },
                  ]),
            ]}
          />
          {range === null ? <p class="soft">{say.reliability.severalRanges}</p> : null}
          <Curve
            id="torques"
            title={say.reliability.torquesRead}
            desc={say.reliability.torquesReadDesc(pulled.length, outside)}
            x={{ label: say.reliability.inOrder, fromZero: true }}
            y={{ label: 'N·m' }}
            readings={pulled.map(({ torqueNm }, at) => ({ x: at + 1, y: torqueNm }))}
            readingsLabel={say.reliability.oneNut}
            criteria={[
              { value: chart.mean, label: say.reliability.meanTorque, kind: 'target' },
              { value: chart.upperLimit, label: say.reliability.upperLimit, kind: 'limit' },
              { value: chart.lowerLimit, label: say.reliability.lowerLimit, kind: 'limit' },
            ]}
            table={{
              title: say.reliability.allNuts,
              columns: [say.reliability.joint, say.reliability.made, 'N·m', say.reliability.outsideTheLimits],
              rows: pulled.map(({ tag, day, torqueNm, outside: is }) => [
                tag,
                day,
                torqueNm.toFixed(1),
                is ? say.reliability.yes : say.reliability.no,
              ]),
            }}
            caption={<a href="/methods/control-chart">{say.reliability.howThatIsWorked}</a>}
          />
        </>
      )}
    </Layout>
  )
}
