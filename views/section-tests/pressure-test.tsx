// Does this section hold its pressure? The running test, its readings and its verdict.

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { PressureTestJudgement } from '../../server/rules/judge-pressure-test.ts'
import type { NextInTest, PressureAdvice } from '../../server/rules/next-in-test.ts'
import type { AsTyped } from '../../server/store/rows.ts'
import {
  formatNumber,
  formatQuantity,
  fromKelvins,
  fromPascals,
  type PressureUnit,
  type TemperatureUnit,
  UNIT_LABELS,
} from '../../server/trade/units.ts'
import type { PressureStage, TestMedium } from '../../server/vocabulary.ts'
import { type RecordedFact, RecordedFacts } from '../corrections/form.tsx'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Caution } from '../parts/caution.tsx'
import { Clock } from '../parts/clock.tsx'
import { Facts } from '../parts/facts.tsx'
import { type FormState, type Option, OtherErrors, QuantityField } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'
import { JudgedNumber } from '../parts/judged-number.tsx'
import type { FindingOutcome } from '../parts/mark.tsx'
import { Photos, type PhotosProps } from '../parts/photos.tsx'
import { PressurePlot } from '../parts/pressure-plot.tsx'
import { useWhen, When } from '../parts/when.tsx'
import { HowWorkedOut, type WorkedProps } from '../parts/worked.tsx'
import { BeforePressure, UnderPressure } from './cautions.tsx'
import { JudgedAgain } from './judged-again.tsx'
import { nextReading, PressureReadingFields } from './reading-fields.tsx'
import { Reasons } from './reasons.tsx'
import { PressureSoFar } from './so-far.tsx'
import { type TakenLog, ToLog, takenLogs } from './taken-logs.tsx'
import { TEMPERATURE_UNITS } from './unit-options.ts'

export interface ShownReading {
  id: string
  at: number
  stage: PressureStage
  gaugePressurePa: number
  temperatureK: number
  typed: AsTyped
}

export interface PressureTestPageProps {
  shell: Shell
  now: number
  /** The job is open, and the reader's role records work. */
  mayRecord: boolean
  /** How long the gas is left to settle after the source is removed. */
  settleMinutes: number
  test: {
    id: string
    systemId: string
    systemName: string
    jobId: string
    sections: readonly string[]
    medium: TestMedium
    startedAt: number
    concludedAt: number | null
    gauge: string
    thermometer: string | null
    air: string
    repeatCause: string | null
  }
  readings: readonly ShownReading[]
  /** As it stands; the final one once concluded. */
  judgement: PressureTestJudgement
  /** Once concluded: what the record would be judged today, when that is something else. */
  verdictNow: PressureTestJudgement['verdict'] | null
  /** What temperature alone would have made of the pressure at the start, with its uncertainty. */
  expected: readonly { at: number; lowPa: number; highPa: number }[]
  worked: WorkedProps | undefined
  /** The readings one by one, as they are corrected. */
  recorded: readonly RecordedFact[]
  next: NextInTest<PressureAdvice>
  logs: readonly TakenLog[]
  unit: PressureUnit
  temperatureUnit: TemperatureUnit
  gauges: readonly Option[]
  thermometers: readonly Option[]
  warmest: Warmest
  photos: PhotosProps
  form?: FormState | undefined
  refused?: string | undefined
}

export interface Warmest {
  form: FormState
  /** Null until both temperatures are known. */
  answer: {
    temperatureK: number
    warmestK: number
    /** What the last reading would become; null before the first. */
    pressurePa: number | null
    /** How high it may be filled now; null without a limit. */
    highestFillPa: number | null
    /** Why there is no answer. */
    because: string | null
  } | null
}

const MEDIUM_WORDS: Record<TestMedium, string> = {
  nitrogen: 'dry nitrogen',
  helium: 'helium',
  'nitrogen-trace': 'nitrogen with a trace gas',
  'carbon-dioxide': 'carbon dioxide',
  oxygen: 'oxygen',
  air: 'air',
}

const OUTCOMES: Record<PressureTestJudgement['verdict'], FindingOutcome> = {
  holds: 'met',
  falls: 'failed',
  'cannot-tell': 'open',
  void: 'failed',
}

const VERDICT_WORDS: Record<PressureTestJudgement['verdict'], string> = {
  holds: 'Holds.',
  falls: 'Falls.',
  'cannot-tell': 'Cannot tell.',
  void: 'Void.',
}

const NEXT: Record<PressureTestJudgement['verdict'], string> = {
  holds:
    'Check every joint with bubbles while the pressure is on: slow leaks show there first. Then release it and evacuate.',
  falls:
    'Look for the leak with bubbles at every joint, hose and core at this pressure. Release the pressure, mend it, then test again and say what it was.',
  'cannot-tell': 'Start another test and put right what is named here.',
  void: 'Release the pressure slowly, inspect the parts, then test again with dry nitrogen below the limit.',
}

export function PressureTestPage(props: PressureTestPageProps): JSX.Element {
  const { test, judgement } = props
  const concluded = test.concludedAt !== null
  const running = !concluded && props.mayRecord
  return (
    <Layout
      {...props.shell}
      title={`Pressure test of ${test.systemName}`}
      width="narrow"
      flash={props.refused === undefined ? undefined : <Flash kind="refused">{props.refused}</Flash>}
    >
      <h1>Pressure test of {test.systemName}</h1>
      <p class="lead">
        {test.sections.length === 0 ? 'The whole system' : test.sections.join(', ')},{' '}
        {MEDIUM_WORDS[test.medium]}. <a href={`/jobs/${test.jobId}`}>To the job</a>
      </p>
      {props.verdictNow === null ? null : <JudgedAgain verdict={VERDICT_WORDS[props.verdictNow]} />}
      {concluded ? <Verdict {...props} /> : running ? <Running {...props} /> : <NotYet {...props} />}
      <Plot {...props} />
      <RecordedFacts label="Readings, one by one" facts={props.recorded} />
      {running ? <AtWarmest {...props} /> : null}
      <Photos {...props.photos} />
      {!running ? null : (
        <section class="sheet">
          <h2>End the test</h2>
          {props.readings.length === 0 ? null : (
            <>
              <p>
                As it stands: <b>{VERDICT_WORDS[judgement.verdict]}</b>
              </p>
              <Reasons judgement={judgement} />
            </>
          )}
          <form method="post" action={`/pressure-tests/${test.id}/conclude`}>
            <Button kind="other">End the test and judge it</Button>
          </form>
          <p class="hint">No reading can be added afterwards. The test stays in the record either way.</p>
        </section>
      )}
      <section class="sheet">
        <h2>What it rests on</h2>
        <Facts
          facts={[
            { label: 'Began', value: <When at={test.startedAt} /> },
            { label: 'Gauge', value: test.gauge, note: errorWords(judgement.gaugeSource, test.gauge) },
            {
              label: 'Thermometer',
              value: test.thermometer ?? 'none stated',
              note: errorWords(judgement.thermometerSource, test.thermometer),
            },
            { label: 'Air', value: test.air },
            {
              label: 'Test pressure',
              value: judgement.required ? inUnit(judgement.required.pressurePa, props.unit) : 'not known',
              note: judgement.required?.source,
            },
            {
              label: 'Not above',
              value: judgement.limit ? inUnit(judgement.limit.pressurePa, props.unit) : 'not known',
              note: judgement.limit?.source,
            },
            {
              label: 'Volume',
              value:
                judgement.volumeM3 === null ? 'not known' : formatQuantity(judgement.volumeM3 * 1000, 'L'),
              note: judgement.volumeSource,
            },
            ...takenLogs(props.logs),
            ...(test.repeatCause === null ? [] : [{ label: 'Put right before', value: test.repeatCause }]),
          ]}
        />
      </section>
    </Layout>
  )
}

const errorWords = (source: string, name: string | null) => (source === name ? undefined : source)

const inUnit = (pressurePa: number, unit: PressureUnit) => formatQuantity(fromPascals(pressurePa, unit), unit)

/** The moment the source was removed, as far as the readings tell. */
function zeroOf(readings: readonly ShownReading[]): number | null {
  const raised = readings.filter((one) => one.stage === 'raise').at(-1)
  return (raised ?? readings[0])?.at ?? null
}

/** For a reader who can't go on with it: how it stands. */
function NotYet(props: PressureTestPageProps): JSX.Element {
  return (
    <section class="sheet">
      <p class="why">
        <b>Not concluded.</b>{' '}
        {props.readings.length === 0
          ? 'No reading was taken.'
          : `As it stands: ${VERDICT_WORDS[props.judgement.verdict]}`}
      </p>
      <Reasons judgement={props.judgement} />
    </section>
  )
}

function Running(props: PressureTestPageProps): JSX.Element {
  const { test, judgement, form } = props
  const hold = props.readings.filter((one) => one.stage === 'hold')
  const since = hold[0]?.at
  const requiredMinutes = judgement.requiredHoldS / 60
  const raised = props.readings.length > 0
  return (
    <section class="sheet">
      {since === undefined ? null : (
        <Clock
          label="Holding for"
          since={since}
          now={props.now}
          enoughMinutes={requiredMinutes}
          enoughWords={`of ${formatNumber(requiredMinutes)} min`}
        />
      )}
      <PressureSoFar
        next={props.next}
        now={props.now}
        test={test.id}
        settleMinutes={formatNumber(props.settleMinutes)}
      />
      {raised ? <UnderPressure /> : <BeforePressure />}
      {judgement.overLimit === 'no' ? null : (
        <Caution harm="pressure" comesFirst={false}>
          A reading is above the limit of {inUnit(judgement.limit?.pressurePa ?? 0, props.unit)}. Release the
          pressure slowly and have the parts looked at.
        </Caution>
      )}
      <form method="post" action={`/pressure-tests/${test.id}/readings`}>
        <h2>Next reading</h2>
        <OtherErrors form={form} fields={['readings']} />
        <PressureReadingFields
          form={nextReading(form)}
          stage={since === undefined ? 'raise' : 'hold'}
          unit={props.unit}
          temperatureUnit={props.temperatureUnit}
          gauges={props.gauges}
          thermometers={props.thermometers}
        />
        <Button>Record the reading</Button>
      </form>
      <ToLog page={`/pressure-tests/${test.id}`} />
    </section>
  )
}

function Verdict(props: PressureTestPageProps): JSX.Element {
  const { judgement, unit } = props
  const { changePa, changeUncertaintyPa, bandPa } = judgement
  return (
    <section class="sheet">
      <p class="why">
        <b>{VERDICT_WORDS[judgement.verdict]}</b> {NEXT[judgement.verdict]}
      </p>
      {judgement.verdict === 'void' ? (
        <Caution harm={['oxygen', 'pressure']}>
          Oxygen or air with oil in the lines can explode, and a part taken above its limit can burst later.
          Release the pressure slowly, away from flames, before anything else.
        </Caution>
      ) : null}
      <Reasons judgement={judgement} />
      {changePa === null || bandPa === null ? null : (
        <JudgedNumber
          label="Change beyond temperature"
          value={formatNumber(fromPascals(changePa, 'kPa'), 1)}
          unit="kPa"
          at={changePa / 1000}
          low={tenths(-bandPa)}
          high={tenths(bandPa)}
          whisker={
            changeUncertaintyPa === null
              ? undefined
              : {
                  low: tenths(changePa - changeUncertaintyPa),
                  high: tenths(changePa + changeUncertaintyPa),
                }
          }
          verdict={VERDICT_WORDS[judgement.verdict]}
          outcome={OUTCOMES[judgement.verdict]}
          also={unit === 'psi' ? inUnit(changePa, 'psi') : undefined}
          source="policy; a fall that is proven never passes, however small"
        />
      )}
      <Facts
        facts={[
          { label: 'Held', value: `${formatNumber(Math.round(judgement.holdS / 60))} min` },
          {
            label: 'Expected at the end',
            value:
              judgement.expectedGaugePressurePa === null
                ? 'not known'
                : inUnit(judgement.expectedGaugePressurePa, unit),
            note:
              judgement.idealGasGaugePressurePa === null || judgement.law === 'ideal-gas'
                ? 'by the ideal gas'
                : `nitrogen as a real gas; an ideal gas would show ${inUnit(judgement.idealGasGaugePressurePa, unit)}`,
          },
          ...(judgement.verdict === 'falls' && judgement.refrigerantKgPerYear !== null
            ? [
                {
                  label: 'The leak',
                  value: `about ${perYear(judgement.refrigerantKgPerYear)}`,
                  note: 'of refrigerant in service, an estimate',
                },
              ]
            : []),
          { label: 'Smallest leak it could have seen', value: <SmallestLeak judgement={judgement} /> },
        ]}
      />
      {props.worked === undefined ? null : <HowWorkedOut {...props.worked} />}
    </section>
  )
}

const perYear = (kgPerYear: number) => formatQuantity(Number((kgPerYear * 1000).toPrecision(2)), 'g/yr')

/** In kPa, to the tenth. */
const tenths = (pressurePa: number) => Math.round(pressurePa / 100) / 10

function SmallestLeak(props: { judgement: PressureTestJudgement }): JSX.Element {
  const kgPerYear = props.judgement.smallestSeenRefrigerantKgPerYear
  if (kgPerYear === null) return <>not known, since the volume or the change is not</>
  return (
    <>
      about {perYear(kgPerYear)}{' '}
      <span class="soft">
        (an estimate). A slower one goes unseen here: only the check joint by joint finds it, or{' '}
        <a href="/calculators/hold-time">a longer hold</a>.
      </span>
    </>
  )
}

function Plot(props: PressureTestPageProps): JSX.Element | null {
  const when = useWhen()
  const { test, judgement, readings, unit } = props
  const zero = zeroOf(readings)
  if (zero === null) return null
  const minutes = (at: number) => (at - zero) / 60_000
  const y = (pressurePa: number) => fromPascals(pressurePa, unit)
  const hold = readings.filter((one) => one.stage === 'hold')
  const start = hold[0]
  const { required, limit } = judgement
  return (
    <PressurePlot
      id="plot-pressure"
      title={`Pressure test of ${test.sections.length === 0 ? test.systemName : test.sections.join(' and ')}`}
      unit={UNIT_LABELS[unit]}
      readings={readings.map((one) => ({
        minutes: minutes(one.at),
        stage: one.stage,
        gaugePressure: y(one.gaugePressurePa),
        pressureTyped: asTypedWords(one.typed.gaugePressure) ?? inUnit(one.gaugePressurePa, unit),
        temperatureTyped:
          asTypedWords(one.typed.temperature) ??
          formatQuantity(fromKelvins(one.temperatureK, 'degC'), 'degC'),
        atWords: when({ at: one.at, show: 'time' }),
      }))}
      expected={
        props.expected.length < 2
          ? undefined
          : props.expected.map((one) => ({
              minutes: minutes(one.at),
              low: y(one.lowPa),
              high: y(one.highPa),
            }))
      }
      testPressure={
        required
          ? { value: y(required.pressurePa), label: `test pressure ${inUnit(required.pressurePa, unit)}` }
          : undefined
      }
      limit={
        limit ? { value: y(limit.pressurePa), label: `limit ${inUnit(limit.pressurePa, unit)}` } : undefined
      }
      longEnough={
        start
          ? {
              minutes: minutes(start.at) + judgement.requiredHoldS / 60,
              label: `${formatNumber(judgement.requiredHoldS / 60)} min`,
            }
          : undefined
      }
      verdict={test.concludedAt === null ? undefined : VERDICT_WORDS[judgement.verdict]}
    />
  )
}

export const asTypedWords = (typed: { value: number; unit: string } | undefined): string | null =>
  typed === undefined
    ? null
    : `${typed.value}\u00a0${UNIT_LABELS[typed.unit as keyof typeof UNIT_LABELS] ?? typed.unit}`

function AtWarmest(props: PressureTestPageProps): JSX.Element {
  const { warmest, unit, temperatureUnit } = props
  const { answer } = warmest
  const limitPa = props.judgement.limit?.pressurePa
  const degrees = (kelvin: number) => formatQuantity(fromKelvins(kelvin, temperatureUnit), temperatureUnit)
  return (
    <section class="sheet" id="warmest">
      <h2>At the warmest time of the hold</h2>
      {answer?.pressurePa == null || limitPa === undefined || answer.pressurePa <= limitPa ? null : (
        <Caution harm="pressure" comesFirst={false}>
          What is in now would pass the limit of {inUnit(limitPa, unit)} when it gets that warm: let some out.
        </Caution>
      )}
      {answer === null ? null : answer.because !== null ? (
        <p>{answer.because}</p>
      ) : (
        <p>
          {answer.pressurePa === null
            ? null
            : `What is in now will show ${inUnit(answer.pressurePa, unit)} at ${degrees(answer.warmestK)}. `}
          {answer.highestFillPa === null
            ? 'No limit is on record: read the plates of all parts under test. '
            : `At ${degrees(answer.temperatureK)}, fill to no more than ${inUnit(answer.highestFillPa, unit)} to stay below the limit. `}
          <span class="soft">Nitrogen as a real gas.</span>
        </p>
      )}
      <form method="get" action={`/pressure-tests/${props.test.id}#warmest`}>
        <QuantityField
          name="at"
          label="Temperature now"
          quantity="temperature"
          units={TEMPERATURE_UNITS}
          unit={temperatureUnit}
          form={warmest.form}
        />
        <QuantityField
          name="warmest"
          label="Warmest expected"
          quantity="temperature"
          units={TEMPERATURE_UNITS}
          unit={temperatureUnit}
          form={warmest.form}
        />
        <Button kind="other">Work it out</Button>
      </form>
    </section>
  )
}
