// What does this gauge's log say, and shall it be taken as it is read?

import type { JSX } from 'preact'
import { useContext } from 'preact/hooks'
import type { ReadLog } from '../../server/gauge-logs/reading-log.ts'
import type { Taking } from '../../server/gauge-logs/taking.ts'
import type { Shell } from '../../server/http/shell.ts'
import { formatNumber, fromPascals, UNIT_LABELS } from '../../server/trade/units.ts'
import { say } from '../../server/words/say.ts'
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

const kindWords = () => ({ pressure: say.tests.pressureTest, vacuum: say.tests.evacuation }) as const

export function GaugeLogPage(props: GaugeLogPageProps): JSX.Element {
  const { test, preview, kind } = props
  return (
    <Layout
      {...props.shell}
      title={say.tests.gaugesLogFor(test.systemName)}
      width="narrow"
      flash={props.refused === undefined ? undefined : <Flash kind="refused">{props.refused}</Flash>}
    >
      <h1>{say.tests.takeAGaugesLog}</h1>
      <p class="lead">
        {say.tests.ofWord2(
          kindWords()[kind],
          test.systemName,
          <a href={test.page}>{say.tests.backToTheTest}</a>,
        )}
      </p>
      {!props.running ? (
        <section class="sheet">
          <p class="why">{say.tests.readingsCantBeAdded}</p>
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
          {say.tests.youSeeWhatIs(kind === 'pressure' ? say.tests.aRowForEach : say.tests.aRowForEachReading)}
        </p>
        {wasPasted ? null : <OtherErrors form={form} fields={['log']} />}
        {/* The browser itself sends it: a boosted form would leave the file behind. */}
        <form method="post" action={`${test.page}/log`} encType="multipart/form-data" hx-boost="false">
          <input type="hidden" name="dryRun?" value="yes" />
          <input type="hidden" name="zone" value={zone} />
          <FileField
            name="log"
            label={say.tests.theLogsFile}
            hint={say.tests.csvOrPlainText}
            accept=".csv,.txt,.tsv,.log,text/csv,text/plain,text/tab-separated-values"
            form={form}
            required
          />
          <Button>{say.tests.readTheFile}</Button>
        </form>
      </section>
      <section class="sheet">
        <details open={wasPasted}>
          <summary>
            <span>{say.tests.pasteItInstead}</span>
          </summary>
          <form method="post" action={`${test.page}/log`}>
            {wasPasted ? <OtherErrors form={form} fields={['text']} /> : null}
            <input type="hidden" name="dryRun?" value="yes" />
            <input type="hidden" name="zone" value={zone} />
            <AreaField
              name="text"
              label={say.tests.theReadings}
              hint={say.tests.oneALineThe}
              rows={8}
              form={form}
              required
            />
            <Button kind="other">{say.tests.readWhatIsPasted}</Button>
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
        <h2 data-goes-on>{say.tests.asItIsRead}</h2>
        {first && last ? (
          <p>
            {say.tests.fromTo(
              <b>
                {say.tests.ofWord(
                  count(readings.length, say.tests.readingOfLog, say.tests.readingsOfLog),
                  count(log.total, say.tests.rowOfLog, say.tests.rowsOfLog),
                )}
              </b>,
              when(first.at, 'both'),
              when(
                last.at,
                when(first.at, 'both').startsWith(when(last.at, 'both').split(', ')[0] ?? '')
                  ? 'time'
                  : 'both',
              ),
              zone === 'UTC' ? ' UTC' : '',
            )}
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
            {say.tests.somethingThatWasChosen}
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
              {readings.length === 1
                ? say.tests.takeThisReading
                : say.tests.takeTheseReadings(readings.length)}
            </Button>
          </form>
          <p class="hint">{say.tests.allOfThemOr}</p>
        </section>
      )}
      <p>
        <a href={`${props.test.page}/log`}>{say.tests.chooseAnotherLog}</a>
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

const phases = () =>
  ({
    raise: say.tests.raisingPhase,
    hold: say.tests.holdPhase,
    pull: say.tests.pullingDown2,
    break: say.tests.nitrogenPhase,
    decay: say.tests.isolatedPhase,
  }) as const

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
      <td>{phases()[one.phase]}</td>
      <td>{asTypedWords(one.pressure)}</td>
      {withTemperature ? <td>{asTypedWords(one.temperature ?? undefined) ?? ''}</td> : null}
    </tr>
  )
  return (
    <section class="table-scroll" tabindex={0} aria-label={say.tests.theFirstReadingsAnd}>
      <table>
        <thead>
          <tr>
            <th scope="col">{say.tests.row}</th>
            <th scope="col">{say.tests.time}</th>
            <th scope="col">{props.kind === 'pressure' ? say.tests.stage : say.tests.phase}</th>
            <th scope="col">
              {props.kind === 'pressure' ? say.tests.gaugePressure : say.tests.absolutePressure}
            </th>
            {withTemperature ? <th scope="col">{say.tests.temperature}</th> : null}
          </tr>
        </thead>
        <tbody>
          {head.map(row)}
          {tail.length === 0 ? null : (
            <tr>
              <td colSpan={withTemperature ? 5 : 4}>
                {say.tests.more(readings.length - head.length - tail.length)}
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
          {faults.length === 1
            ? say.tests.oneRowIsNot
            : say.tests.rowsAreNotTaken(formatNumber(faults.length))}
        </span>
      </summary>
      <ul>
        {faults.slice(0, SHOWN_FAULTS).map((fault) => (
          <li key={fault.line}>{say.tests.row2(fault.line, fault.why)}</li>
        ))}
      </ul>
      {faults.length > SHOWN_FAULTS ? <p>{say.tests.andMore(faults.length - SHOWN_FAULTS)}</p> : null}
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
  const title = say.tests.theLogAsIt(props.test.systemName)
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

const times = () => [
  { value: 'moment', label: say.tests.dateAndTime },
  { value: 'clock', label: say.tests.timeOfDay },
  { value: 's', label: say.tests.secondsSinceItBegan },
  { value: 'min', label: say.tests.minutesSinceItBegan },
  { value: 'h', label: say.tests.hoursSinceItBegan },
  { value: 'h:mm:ss', label: say.tests.hMmSsSince },
  { value: 'unix', label: say.tests.secondsSince1970 },
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
    { value: '', label: say.tests.asTheLogSays },
    ...known,
    ...(read !== null && !known.some((one) => one.value === read)
      ? [{ value: read, label: UNIT_LABELS[read as keyof typeof UNIT_LABELS] }]
      : []),
  ]
  const partedLabel = isPressure ? say.tests.sourceTakenOffAt : say.tests.isolatedAt
  return (
    <section class="sheet">
      <details open={log.doubts.length > 0 || taking.blocked !== null || form.errors.length > 0}>
        <summary>
          <span>{say.tests.howItIsRead}</span>
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
            label={say.tests.itShows}
            options={
              isPressure
                ? [
                    { value: '', label: say.tests.theRaisingThenThe },
                    { value: 'hold', label: say.tests.theHoldAlone },
                    { value: 'raise', label: say.tests.theRaisingAlone },
                  ]
                : [
                    { value: '', label: say.tests.pullingDownThenIsolated },
                    { value: 'decay', label: say.tests.isolatedAllTheTime },
                    { value: 'pull', label: say.tests.pullingDownAllThe },
                  ]
            }
            form={form}
          />
          <TextField
            name="partedLocal"
            label={partedLabel}
            type="datetime-local"
            step={1}
            hint={isPressure ? say.tests.guessedFromTheHighest : say.tests.guessedFromTheLowest}
            form={form}
          />
          {column('time', say.tests.time, log.read.columns.time === 0 ? say.tests.chooseTheColumn : null)}
          <SelectField name="timeAs" label={say.tests.timesAre} options={times()} form={form} />
          {counts ? (
            <TextField
              name="beganLocal"
              label={log.read.timeAs === 'clock' ? say.tests.theLogsDayAnd : say.tests.theLogBeganAt}
              type="datetime-local"
              step={1}
              form={form}
              hint={say.tests.inTheZoneBelow}
            />
          ) : null}
          {column(
            'pressure',
            isPressure ? say.tests.gaugePressure : say.tests.absolutePressure,
            log.read.columns.pressure === 0 ? say.tests.chooseTheColumn : null,
          )}
          <SelectField
            name="pressureUnit"
            label={say.tests.unitOfThePressure}
            options={unitOptions(isPressure ? TEST_PRESSURE_UNITS : VACUUM_UNITS, log.read.pressureUnit)}
            hint={hasHeadingUnit ? undefined : say.tests.theLogNamesNone}
            form={form}
          />
          {column(
            'temperature',
            isPressure ? say.tests.temperatureOnTheTube : say.tests.warmestPart,
            say.tests.noneInTheLog,
          )}
          {log.read.columns.temperature === 0 ? null : (
            <SelectField
              name="temperatureUnit"
              label={say.tests.unitOfTheTemperature}
              options={unitOptions(TEMPERATURE_UNITS, log.read.temperatureUnit)}
              form={form}
            />
          )}
          {isPressure && log.read.columns.temperature === 0 ? (
            <>
              <QuantityField
                name="temperatureAtStart"
                label={say.tests.temperatureAtTheStart}
                hint={say.tests.asYouReadIt}
                quantity="temperature"
                units={TEMPERATURE_UNITS}
                unit="degC"
                form={form}
              />
              <QuantityField
                name="temperatureAtEnd"
                label={say.tests.temperatureAtTheEnd}
                quantity="temperature"
                units={TEMPERATURE_UNITS}
                unit="degC"
                form={form}
              />
            </>
          ) : null}
          <details open={form.errors.some(({ path }) => FOLDED.some((name) => path === name))}>
            <summary>
              <span>{say.tests.datesCommasZoneMore}</span>
            </summary>
            {column('date', say.tests.dateWhereItHas, say.tests.none)}
            <SelectField
              name="dateOrder"
              label={say.tests.datesAreWritten}
              options={[
                { value: 'year-first', label: say.tests.yearMonthDay },
                { value: 'day-first', label: say.tests.dayMonthYear },
                { value: 'month-first', label: say.tests.monthDayYear },
              ]}
              form={form}
            />
            <SelectField
              name="decimal"
              label={say.tests.decimalsStandBehind}
              options={[
                { value: 'point', label: say.tests.aPoint415 },
                { value: 'comma', label: say.tests.aComma415 },
              ]}
              form={form}
            />
            <TextField
              name="zone"
              label={say.tests.zoneOfTheLogs}
              hint={say.tests.suchAsEuropeBerlin}
              form={form}
              maxlength={64}
            />
            {column(
              'phase',
              isPressure ? say.tests.stageInTheLogs : say.tests.phaseInTheLogs,
              say.tests.none,
            )}
          </details>
          <Button kind="other">{say.tests.readItSo}</Button>
        </form>
      </details>
    </section>
  )
}
