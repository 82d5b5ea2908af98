// What does this gauge's log say, and shall it be taken as it is read?

import type { JSX } from 'preact'
import { useContext } from 'preact/hooks'
import type { ReadLog } from '../../server/gauge-logs/reading-log.ts'
import type { Taking } from '../../server/gauge-logs/taking.ts'
import type { Shell } from '../../server/http/shell.ts'
import { formatNumber, fromPascals, UNIT_LABELS } from '../../server/trade/units.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { DecayPlot } from '../parts/decay-plot.tsx'
import {
  AreaField,
  FileField,
  type FormState,
  OtherErrors,
  QuantityField,
  SelectField,
  TextField,
} from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'
import { PressurePlot } from '../parts/pressure-plot.tsx'
import { formatWhen, ReaderZone } from '../parts/when.tsx'
import { asTypedWords } from './pressure-test.tsx'
import { TEMPERATURE_UNITS, TEST_PRESSURE_UNITS, VACUUM_UNITS } from './unit-options.ts'

export interface LogPreview {
  log: ReadLog
  taking: Taking
  /** Every choice as it stands, by the name of its field. */
  chosen: Record<string, string>
  /** The fields among them that nobody chose. */
  guessed: readonly string[]
}

export interface GaugeLogPageProps {
  shell: Shell
  kind: 'pressure' | 'vacuum'
  test: { id: string; systemName: string; page: string }
  /** It is not concluded, and the reader may record on its job. */
  running: boolean
  preview: LogPreview | null
  /** Of the log that may be taken. */
  freshId: string
  form: FormState
  refused?: string | undefined
}

const KIND_WORDS = { pressure: 'Pressure test', vacuum: 'Evacuation' } as const

export function GaugeLogPage(props: GaugeLogPageProps): JSX.Element {
  const { test, preview, kind } = props
  return (
    <Layout
      {...props.shell}
      title={`Gauge’s log for ${test.systemName}`}
      width="narrow"
      flash={props.refused === undefined ? undefined : <Flash kind="refused">{props.refused}</Flash>}
    >
      <h1>Take a gauge’s log</h1>
      <p class="lead">
        {KIND_WORDS[kind]} of {test.systemName}. <a href={test.page}>Back to the test</a>
      </p>
      {!props.running ? (
        <section class="sheet">
          <p class="why">
            Readings can’t be added here: the test is concluded, its job is not open, or your role does not
            record work.
          </p>
        </section>
      ) : preview === null ? (
        <Choose {...props} />
      ) : (
        <Preview {...props} preview={preview} />
      )}
    </Layout>
  )
}

function Choose(props: GaugeLogPageProps): JSX.Element {
  const zone = useContext(ReaderZone) ?? 'UTC'
  const { form, test, kind } = props
  const wasPasted = (form.values.text ?? '') !== ''
  return (
    <>
      <section class="sheet">
        <p class="why">
          {kind === 'pressure'
            ? 'A row for each reading: when, the pressure, the temperature of the tube.'
            : 'A row for each reading: when, and the pressure.'}{' '}
          You see what is read before any of it is taken.
        </p>
        {wasPasted ? null : <OtherErrors form={form} fields={['log']} />}
        {/* The browser itself sends it: a boosted form would leave the file behind. */}
        <form method="post" action={`${test.page}/log`} encType="multipart/form-data" hx-boost="false">
          <input type="hidden" name="dryRun?" value="yes" />
          <input type="hidden" name="zone" value={zone} />
          <FileField
            name="log"
            label="The log’s file"
            hint="CSV or plain text, as your gauge or its app exports it; up to 2 MB."
            accept=".csv,.txt,.tsv,.log,text/csv,text/plain,text/tab-separated-values"
            form={form}
            required
          />
          <Button>Read the file</Button>
        </form>
      </section>
      <section class="sheet">
        <details open={wasPasted}>
          <summary>
            <span>Paste it instead</span>
          </summary>
          <form method="post" action={`${test.page}/log`}>
            {wasPasted ? <OtherErrors form={form} fields={['text']} /> : null}
            <input type="hidden" name="dryRun?" value="yes" />
            <input type="hidden" name="zone" value={zone} />
            <AreaField
              name="text"
              label="The readings"
              hint="One a line: the minute or the clock, then the pressure. Columns may be parted by anything."
              rows={8}
              form={form}
              required
            />
            <Button kind="other">Read what is pasted</Button>
          </form>
        </details>
      </section>
    </>
  )
}

type Shown = GaugeLogPageProps & { preview: LogPreview }

function Preview(props: Shown): JSX.Element {
  const { log, taking, chosen } = props.preview
  const { readings, blocked } = taking
  const zone = log.read.zone
  const when = (at: number, show: 'both' | 'time') => formatWhen({ at, zone: zoneName(zone), show })
  const first = readings[0]
  const last = readings.at(-1)
  return (
    <>
      <section class="sheet">
        <h2>As it is read</h2>
        {first && last ? (
          <p>
            <b>
              {count(readings.length, 'reading', 'readings')} of {count(log.total, 'row', 'rows')}
            </b>
            , from {when(first.at, 'both')} to{' '}
            {when(
              last.at,
              when(first.at, 'both').startsWith(when(last.at, 'both').split(', ')[0] ?? '') ? 'time' : 'both',
            )}
            {zone === 'UTC' ? ' UTC' : ''}.
          </p>
        ) : null}
        {props.form.errors.length === 0 ? (
          blocked === null ? null : (
            <p class="message" role="alert">
              {blocked}
            </p>
          )
        ) : (
          <p class="message" role="alert">
            Something that was chosen can’t be: it stands below. Until then the log is shown as it is guessed.
          </p>
        )}
        <Points points={[...log.doubts, ...taking.notes]} />
        <Rows preview={props.preview} kind={props.kind} when={(at) => when(at, 'time')} />
        <Faults taking={taking} />
      </section>
      <Plot {...props} when={(at) => when(at, 'time')} />
      <How {...props} />
      {blocked !== null || props.form.errors.length > 0 ? null : (
        <section class="sheet">
          <form method="post" action={`${props.test.page}/log`}>
            <input type="hidden" name="id" value={props.freshId} />
            {Object.entries(chosen).map(([name, value]) => (
              <input key={name} type="hidden" name={name} value={value} />
            ))}
            <Button>
              {readings.length === 1 ? 'Take this reading' : `Take these ${readings.length} readings`}
            </Button>
          </form>
          <p class="hint">
            All of them or none. The file is kept as it came, and the record names it by its SHA-256.
          </p>
        </section>
      )}
      <p>
        <a href={`${props.test.page}/log`}>Choose another log</a>
      </p>
    </>
  )
}

const count = (number: number, one: string, several: string) =>
  `${formatNumber(number)} ${number === 1 ? one : several}`

/** What the formatter takes: an offset is shown as it was given. */
const zoneName = (zone: string) => zone

function Points(props: { points: readonly string[] }): JSX.Element | null {
  if (props.points.length === 0) return null
  return (
    <ul>
      {props.points.map((point) => (
        <li key={point}>{point}</li>
      ))}
    </ul>
  )
}

const PHASES = {
  raise: 'raising',
  hold: 'hold',
  pull: 'pulling down',
  break: 'nitrogen',
  decay: 'isolated',
} as const

/** The first rows, and how it ends. */
function Rows(props: {
  preview: LogPreview
  kind: 'pressure' | 'vacuum'
  when: (at: number) => string
}): JSX.Element | null {
  const { readings } = props.preview.taking
  if (readings.length === 0) return null
  const head = readings.slice(0, readings.length > 8 ? 5 : 8)
  const tail = readings.length > 8 ? readings.slice(-2) : []
  const withTemperature = readings.some((one) => one.temperature !== null)
  const row = (one: (typeof readings)[number]) => (
    <tr key={one.line}>
      <td>{one.line}</td>
      <td>{props.when(one.at)}</td>
      <td>{PHASES[one.phase]}</td>
      <td>{asTypedWords(one.pressure)}</td>
      {withTemperature ? <td>{asTypedWords(one.temperature ?? undefined) ?? ''}</td> : null}
    </tr>
  )
  return (
    <section class="table-scroll" tabindex={0} aria-label="The first readings and the last">
      <table>
        <thead>
          <tr>
            <th scope="col">Row</th>
            <th scope="col">Time</th>
            <th scope="col">{props.kind === 'pressure' ? 'Stage' : 'Phase'}</th>
            <th scope="col">{props.kind === 'pressure' ? 'Gauge pressure' : 'Absolute pressure'}</th>
            {withTemperature ? <th scope="col">Temperature</th> : null}
          </tr>
        </thead>
        <tbody>
          {head.map(row)}
          {tail.length === 0 ? null : (
            <tr>
              <td colSpan={withTemperature ? 5 : 4}>
                … {readings.length - head.length - tail.length} more …
              </td>
            </tr>
          )}
          {tail.map(row)}
        </tbody>
      </table>
    </section>
  )
}

/** More than these tell nothing new. */
const SHOWN_FAULTS = 40

function Faults(props: { taking: Taking }): JSX.Element | null {
  const { faults } = props.taking
  if (faults.length === 0) return null
  return (
    <details>
      <summary>
        <span>
          {faults.length === 1 ? 'One row is not taken' : `${formatNumber(faults.length)} rows are not taken`}
        </span>
      </summary>
      <ul>
        {faults.slice(0, SHOWN_FAULTS).map((fault) => (
          <li key={fault.line}>
            Row {fault.line}: {fault.why}.
          </li>
        ))}
      </ul>
      {faults.length > SHOWN_FAULTS ? <p>And {faults.length - SHOWN_FAULTS} more.</p> : null}
    </details>
  )
}

function Plot(props: Shown & { when: (at: number) => string }): JSX.Element | null {
  const { log, taking } = props.preview
  const { readings } = taking
  const [first] = readings
  if (!first) return null
  const unit = first.pressure.unit
  const held = readings.find((one) => one.phase === 'hold' || one.phase === 'decay')
  const zero = held?.at ?? first.at
  const common = readings.map((one) => ({
    minutes: (one.at - zero) / 60_000,
    pressureTyped: asTypedWords(one.pressure) ?? '',
    temperatureTyped: asTypedWords(one.temperature ?? undefined) ?? undefined,
    atWords: props.when(one.at),
    value: fromPascals(one.pressurePa, unit),
    phase: one.phase,
  }))
  const title = `The log as it is read, ${props.test.systemName}`
  return log.kind === 'pressure' ? (
    <PressurePlot
      id="plot-log"
      title={title}
      unit={UNIT_LABELS[unit]}
      wholeRun
      readings={common.map(({ value, phase, ...one }) => ({
        ...one,
        stage: phase === 'raise' ? ('raise' as const) : ('hold' as const),
        gaugePressure: value,
      }))}
    />
  ) : (
    <DecayPlot
      id="plot-log"
      title={title}
      unit={UNIT_LABELS[unit]}
      wholeRun={readings.some((one) => one.phase !== 'decay')}
      readings={common.map(({ value, phase, ...one }) => ({
        ...one,
        phase: phase === 'pull' || phase === 'break' ? phase : ('decay' as const),
        absolutePressure: value,
      }))}
    />
  )
}

const TIMES = [
  { value: 'moment', label: 'Date and time' },
  { value: 'clock', label: 'Time of day' },
  { value: 's', label: 'Seconds since it began' },
  { value: 'min', label: 'Minutes since it began' },
  { value: 'h', label: 'Hours since it began' },
  { value: 'h:mm:ss', label: 'h:mm:ss since it began' },
  { value: 'unix', label: 'Seconds since 1970' },
]

const FOLDED = ['columns.date#', 'dateOrder', 'decimal', 'zone', 'columns.phase#']

function How(props: Shown): JSX.Element {
  const { log, taking, chosen } = props.preview
  const form: FormState = {
    values: props.form.errors.length > 0 ? { ...chosen, ...props.form.values } : chosen,
    errors: props.form.errors,
    scope: 'how',
  }
  const isPressure = props.kind === 'pressure'
  const columns = log.shape.map((one) => ({
    value: String(one.number),
    label: `${one.number}: ${[one.heading, one.example]
      .filter((text) => text !== '')
      .join(' · ')
      .slice(0, 48)}`,
  }))
  const column = (name: string, label: string, none: string | null) => (
    <SelectField
      name={`columns.${name}#`}
      label={label}
      options={none === null ? columns : [{ value: '0', label: none }, ...columns]}
      form={form}
      required
    />
  )
  const counts = !['moment', 'unix'].includes(log.read.timeAs)
  const hasHeadingUnit = log.read.pressureUnit === null
  const unitOptions = (known: readonly { value: string; label: string }[], read: string | null) => [
    { value: '', label: 'As the log says' },
    ...known,
    ...(read !== null && !known.some((one) => one.value === read)
      ? [{ value: read, label: UNIT_LABELS[read as keyof typeof UNIT_LABELS] }]
      : []),
  ]
  const partedLabel = isPressure ? 'Source taken off at' : 'Isolated at'
  return (
    <section class="sheet">
      <details open={log.doubts.length > 0 || taking.blocked !== null || form.errors.length > 0}>
        <summary>
          <span>How it is read</span>
        </summary>
        <OtherErrors form={form} fields={Object.keys(form.values)} />
        <form method="get" action={`${props.test.page}/log`} data-reread>
          <input type="hidden" name="log" value={chosen.log} />
          {/* What was guessed is guessed anew when something else is changed. */}
          {props.preview.guessed.map((name) => (
            <input key={name} type="hidden" name={`_${name}`} value={chosen[name]} />
          ))}
          <SelectField
            name="only"
            label="It shows"
            options={
              isPressure
                ? [
                    { value: '', label: 'The raising, then the hold' },
                    { value: 'hold', label: 'The hold alone' },
                    { value: 'raise', label: 'The raising alone' },
                  ]
                : [
                    { value: '', label: 'Pulling down, then isolated' },
                    { value: 'decay', label: 'Isolated all the time' },
                    { value: 'pull', label: 'Pulling down all the time' },
                  ]
            }
            form={form}
          />
          <TextField
            name="partedLocal"
            label={partedLabel}
            type="datetime-local"
            step={1}
            hint={
              isPressure
                ? 'Guessed from the highest pressure. Only where it shows both.'
                : 'Guessed from the lowest pressure, unless you recorded it. Only where it shows both.'
            }
            form={form}
          />
          {column('time', 'Time', log.read.columns.time === 0 ? 'Choose the column' : null)}
          <SelectField name="timeAs" label="Times are" options={TIMES} form={form} />
          {counts ? (
            <TextField
              name="beganLocal"
              label={log.read.timeAs === 'clock' ? 'The log’s day, and when it began' : 'The log began at'}
              type="datetime-local"
              step={1}
              form={form}
              hint="In the zone below."
            />
          ) : null}
          {column(
            'pressure',
            isPressure ? 'Gauge pressure' : 'Absolute pressure',
            log.read.columns.pressure === 0 ? 'Choose the column' : null,
          )}
          <SelectField
            name="pressureUnit"
            label="Unit of the pressure"
            options={unitOptions(isPressure ? TEST_PRESSURE_UNITS : VACUUM_UNITS, log.read.pressureUnit)}
            hint={hasHeadingUnit ? undefined : 'The log names none: check it.'}
            form={form}
          />
          {column('temperature', isPressure ? 'Temperature on the tube' : 'Warmest part', 'None in the log')}
          {log.read.columns.temperature === 0 ? null : (
            <SelectField
              name="temperatureUnit"
              label="Unit of the temperature"
              options={unitOptions(TEMPERATURE_UNITS, log.read.temperatureUnit)}
              form={form}
            />
          )}
          {isPressure && log.read.columns.temperature === 0 ? (
            <>
              <QuantityField
                name="temperatureAtStart"
                label="Temperature at the start of the hold"
                hint="As you read it then. With these two, the first and the last reading of the hold are taken."
                quantity="temperature"
                units={TEMPERATURE_UNITS}
                unit="degC"
                form={form}
              />
              <QuantityField
                name="temperatureAtEnd"
                label="Temperature at the end of the hold"
                quantity="temperature"
                units={TEMPERATURE_UNITS}
                unit="degC"
                form={form}
              />
            </>
          ) : null}
          <details open={form.errors.some(({ path }) => FOLDED.some((name) => path === name))}>
            <summary>
              <span>Dates, commas, zone, more columns</span>
            </summary>
            {column('date', 'Date, where it has its own column', 'None')}
            <SelectField
              name="dateOrder"
              label="Dates are written"
              options={[
                { value: 'year-first', label: 'year, month, day' },
                { value: 'day-first', label: 'day, month, year' },
                { value: 'month-first', label: 'month, day, year' },
              ]}
              form={form}
            />
            <SelectField
              name="decimal"
              label="Decimals stand behind"
              options={[
                { value: 'point', label: 'a point: 4.15' },
                { value: 'comma', label: 'a comma: 4,15' },
              ]}
              form={form}
            />
            <TextField
              name="zone"
              label="Zone of the log’s clock"
              hint="Such as Europe/Berlin, or +02:00."
              form={form}
              maxlength={64}
            />
            {column(
              'phase',
              isPressure ? 'Stage, in the log’s own words' : 'Phase, in the log’s own words',
              'None',
            )}
          </details>
          <Button kind="other">Read it so</Button>
        </form>
      </details>
    </section>
  )
}
