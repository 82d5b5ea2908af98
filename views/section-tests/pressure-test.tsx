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
import { say } from '../../server/words/say.ts'
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

const mediumWords = (): Record<TestMedium, string> => ({
  nitrogen: say.tests.dryNitrogen2,
  helium: say.tests.helium2,
  'nitrogen-trace': say.tests.nitrogenWithATraceGas,
  'carbon-dioxide': say.tests.carbonDioxide,
  oxygen: say.tests.oxygen,
  air: say.tests.air,
})

const OUTCOMES: Record<PressureTestJudgement['verdict'], FindingOutcome> = {
  holds: 'met',
  falls: 'failed',
  'cannot-tell': 'open',
  void: 'failed',
}

const verdictWords = (): Record<PressureTestJudgement['verdict'], string> => ({
  holds: say.tests.holds,
  falls: say.tests.falls,
  'cannot-tell': say.tests.cannotTell,
  void: say.tests.voidWord,
})

const theNext = (): Record<PressureTestJudgement['verdict'], string> => ({
  holds: say.tests.checkEveryJointWithBubbles,
  falls: say.tests.lookForTheLeakWith,
  'cannot-tell': say.tests.startAnotherTestAnd,
  void: say.tests.releaseThePressureSlowlyInspect,
})

export function PressureTestPage(props: PressureTestPageProps): JSX.Element {
  const { test, judgement } = props
  const concluded = test.concludedAt !== null
  const running = !concluded && props.mayRecord
  return (
    <Layout
      {...props.shell}
      title={say.tests.pressureTestOf(test.systemName)}
      width="narrow"
      flash={props.refused === undefined ? undefined : <Flash kind="refused">{props.refused}</Flash>}
    >
      <h1>{say.tests.pressureTestOf(test.systemName)}</h1>
      <p class="lead">
        {test.sections.length === 0 ? say.tests.theWholeSystem : test.sections.join(', ')},{' '}
        {mediumWords()[test.medium]}. <a href={`/jobs/${test.jobId}`}>{say.tests.toTheJob}</a>
      </p>
      {props.verdictNow === null ? null : <JudgedAgain verdict={verdictWords()[props.verdictNow]} />}
      {concluded ? <Verdict {...props} /> : running ? <Running {...props} /> : <NotYet {...props} />}
      <Plot {...props} />
      <RecordedFacts label={say.tests.readingsOneByOne} facts={props.recorded} />
      {running ? <AtWarmest {...props} /> : null}
      <Photos {...props.photos} />
      {!running ? null : (
        <section class="sheet">
          <h2>{say.tests.endTheTest}</h2>
          {props.readings.length === 0 ? null : (
            <>
              <p>{say.tests.asItStands(<b>{verdictWords()[judgement.verdict]}</b>)}</p>
              <Reasons judgement={judgement} />
            </>
          )}
          <form method="post" action={`/pressure-tests/${test.id}/conclude`}>
            <Button kind="other">{say.tests.endTheTestAnd}</Button>
          </form>
          <p class="hint">{say.tests.noReadingCanBe}</p>
        </section>
      )}
      <section class="sheet">
        <h2>{say.tests.whatItRestsOn}</h2>
        <Facts
          facts={[
            { label: say.tests.began, value: <When at={test.startedAt} /> },
            {
              label: say.tests.gauge,
              value: test.gauge,
              note: errorWords(judgement.gaugeSource, test.gauge),
            },
            {
              label: say.tests.thermometer,
              value: test.thermometer ?? say.tests.noneStated2,
              note: errorWords(judgement.thermometerSource, test.thermometer),
            },
            { label: say.tests.air2, value: test.air },
            {
              label: say.tests.testPressure,
              value: judgement.required
                ? inUnit(judgement.required.pressurePa, props.unit)
                : say.tests.notKnown,
              note: judgement.required?.source,
            },
            {
              label: say.tests.notAbove,
              value: judgement.limit ? inUnit(judgement.limit.pressurePa, props.unit) : say.tests.notKnown,
              note: judgement.limit?.source,
            },
            {
              label: say.tests.volume,
              value:
                judgement.volumeM3 === null
                  ? say.tests.notKnown
                  : formatQuantity(judgement.volumeM3 * 1000, 'L'),
              note: judgement.volumeSource,
            },
            ...takenLogs(props.logs),
            ...(test.repeatCause === null
              ? []
              : [{ label: say.tests.putRightBefore, value: test.repeatCause }]),
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
        <b>{say.tests.notConcluded}</b>{' '}
        {props.readings.length === 0
          ? say.tests.noReadingWasTaken
          : say.tests.asItStands2(verdictWords()[props.judgement.verdict])}
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
          label={say.tests.holdingFor}
          since={since}
          now={props.now}
          enoughMinutes={requiredMinutes}
          enoughWords={say.tests.ofMin2(formatNumber(requiredMinutes))}
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
          {say.tests.aReadingIsAbove(inUnit(judgement.limit?.pressurePa ?? 0, props.unit))}
        </Caution>
      )}
      <form method="post" action={`/pressure-tests/${test.id}/readings`}>
        <h2 data-goes-on>{say.tests.nextReading}</h2>
        <OtherErrors form={form} fields={['readings']} />
        <PressureReadingFields
          form={nextReading(form)}
          stage={since === undefined ? 'raise' : 'hold'}
          unit={props.unit}
          temperatureUnit={props.temperatureUnit}
          gauges={props.gauges}
          thermometers={props.thermometers}
        />
        <Button>{say.tests.recordTheReading}</Button>
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
        <b>{verdictWords()[judgement.verdict]}</b> {theNext()[judgement.verdict]}
      </p>
      {judgement.verdict === 'void' ? (
        <Caution harm={['oxygen', 'pressure']}>{say.tests.oxygenOrAirWith}</Caution>
      ) : null}
      <Reasons judgement={judgement} />
      {changePa === null || bandPa === null ? null : (
        <JudgedNumber
          label={say.tests.changeBeyondTemperature}
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
          verdict={verdictWords()[judgement.verdict]}
          outcome={OUTCOMES[judgement.verdict]}
          also={unit === 'psi' ? inUnit(changePa, 'psi') : undefined}
          source={say.tests.policyAFallThat}
        />
      )}
      <Facts
        facts={[
          { label: say.tests.held, value: `${formatNumber(Math.round(judgement.holdS / 60))} min` },
          {
            label: say.tests.expectedAtTheEnd,
            value:
              judgement.expectedGaugePressurePa === null
                ? say.tests.notKnown
                : inUnit(judgement.expectedGaugePressurePa, unit),
            note:
              judgement.idealGasGaugePressurePa === null || judgement.law === 'ideal-gas'
                ? say.tests.byTheIdealGas
                : say.tests.nitrogenAsAReal(inUnit(judgement.idealGasGaugePressurePa, unit)),
          },
          ...(judgement.verdict === 'falls' && judgement.refrigerantKgPerYear !== null
            ? [
                {
                  label: say.tests.theLeak,
                  value: say.tests.about(perYear(judgement.refrigerantKgPerYear)),
                  note: say.tests.ofRefrigerantInService,
                },
              ]
            : []),
          { label: say.tests.smallestLeakItCould, value: <SmallestLeak judgement={judgement} /> },
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
  if (kgPerYear === null) return <>{say.tests.notKnownSinceThe}</>
  return (
    <>
      {say.tests.about2(
        perYear(kgPerYear),
        <span class="soft">
          {say.tests.anEstimateASlower(<a href="/calculators/hold-time">{say.tests.aLongerHold}</a>)}
        </span>,
      )}
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
      title={say.tests.pressureTestOf(
        test.sections.length === 0 ? test.systemName : test.sections.join(say.tests.and),
      )}
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
          ? {
              value: y(required.pressurePa),
              label: say.tests.testPressure2(inUnit(required.pressurePa, unit)),
            }
          : undefined
      }
      limit={
        limit
          ? { value: y(limit.pressurePa), label: say.tests.limit(inUnit(limit.pressurePa, unit)) }
          : undefined
      }
      longEnough={
        start
          ? {
              minutes: minutes(start.at) + judgement.requiredHoldS / 60,
              label: `${formatNumber(judgement.requiredHoldS / 60)} min`,
            }
          : undefined
      }
      verdict={test.concludedAt === null ? undefined : verdictWords()[judgement.verdict]}
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
      <h2>{say.tests.atTheWarmestTime}</h2>
      {answer?.pressurePa == null || limitPa === undefined || answer.pressurePa <= limitPa ? null : (
        <Caution harm="pressure" comesFirst={false}>
          {say.tests.whatIsInNow(inUnit(limitPa, unit))}
        </Caution>
      )}
      {answer === null ? null : answer.because !== null ? (
        <p>{answer.because}</p>
      ) : (
        <p>
          {answer.pressurePa === null
            ? null
            : say.tests.whatIsInNowWill(inUnit(answer.pressurePa, unit), degrees(answer.warmestK))}
          {answer.highestFillPa === null
            ? say.tests.noLimitIsOn
            : say.tests.atFillToNo(degrees(answer.temperatureK), inUnit(answer.highestFillPa, unit))}
          <span class="soft">{say.tests.nitrogenAsARealGas}</span>
        </p>
      )}
      <form method="get" action={`/pressure-tests/${props.test.id}#warmest`}>
        <QuantityField
          name="at"
          label={say.tests.temperatureNow}
          quantity="temperature"
          units={TEMPERATURE_UNITS}
          unit={temperatureUnit}
          form={warmest.form}
        />
        <QuantityField
          name="warmest"
          label={say.tests.warmestExpected}
          quantity="temperature"
          units={TEMPERATURE_UNITS}
          unit={temperatureUnit}
          form={warmest.form}
        />
        <Button kind="other">{say.tests.workItOut}</Button>
      </form>
    </section>
  )
}
