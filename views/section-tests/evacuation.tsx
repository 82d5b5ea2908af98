// Is this section dry and tight? The running evacuation, its decay and its verdict.

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { EvacuationJudgement } from '../../server/rules/judge-evacuation.ts'
import type { NextInTest, VacuumAdvice } from '../../server/rules/next-in-test.ts'
import type { AsTyped } from '../../server/store/rows.ts'
import {
  formatNumber,
  formatQuantity,
  fromPascals,
  type PressureUnit,
  type TemperatureUnit,
  UNIT_LABELS,
} from '../../server/trade/units.ts'
import type { VacuumPhase } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { type RecordedFact, RecordedFacts } from '../corrections/form.tsx'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Clock } from '../parts/clock.tsx'
import { DecayPlot } from '../parts/decay-plot.tsx'
import { Facts } from '../parts/facts.tsx'
import { type FormState, type Option, OtherErrors } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'
import { Photos, type PhotosProps } from '../parts/photos.tsx'
import { useWhen, When } from '../parts/when.tsx'
import { HowWorkedOut, type WorkedProps } from '../parts/worked.tsx'
import { BeforeVacuum } from './cautions.tsx'
import { JudgedAgain } from './judged-again.tsx'
import { asTypedWords } from './pressure-test.tsx'
import { nextReading, VacuumReadingFields } from './reading-fields.tsx'
import { Reasons } from './reasons.tsx'
import { VacuumSoFar } from './so-far.tsx'
import { type TakenLog, ToLog, takenLogs } from './taken-logs.tsx'

export interface EvacuationPageProps {
  shell: Shell
  now: number
  /** The job is open, and the reader's role records work. */
  mayRecord: boolean
  test: {
    id: string
    systemName: string
    jobId: string
    sections: readonly string[]
    startedAt: number
    concludedAt: number | null
    gauge: string
    gaugeAt: 'far-side' | 'near-pump' | null
    isolatedAt: 'core-tool' | 'manifold' | null
    repeatCause: string | null
  }
  readings: readonly {
    id: string
    at: number
    phase: VacuumPhase
    absolutePressurePa: number
    typed: AsTyped
  }[]
  /** As it stands; the final one once concluded. */
  judgement: EvacuationJudgement
  /** Once concluded: what the record would be judged today, when that is something else. */
  verdictNow: EvacuationJudgement['verdict'] | null
  worked: WorkedProps | undefined
  /** The readings one by one, as they are corrected. */
  recorded: readonly RecordedFact[]
  next: NextInTest<VacuumAdvice>
  logs: readonly TakenLog[]
  unit: PressureUnit
  temperatureUnit: TemperatureUnit
  gauges: readonly Option[]
  photos: PhotosProps
  form?: FormState | undefined
  refused?: string | undefined
}

type Verdict = EvacuationJudgement['verdict']

const verdictWords = (): Record<Verdict, string> => ({
  tight: say.tests.tight,
  moisture: say.tests.moistureOrGasLeaving,
  leak: say.tests.leak,
  'cannot-tell': say.tests.cannotTell,
})

const theNext = (): Record<Verdict, string> => ({
  tight: say.tests.chargeItNowWhat,
  moisture: say.tests.breakTheVacuumWithDry,
  leak: say.tests.firstIsolateCloserToThe,
  'cannot-tell': say.tests.startAnotherOneAnd,
})

const curveWords = () =>
  ({
    level: say.tests.staysLevel,
    line: say.tests.climbsSteadily,
    saturating: say.tests.flattens,
    both: say.tests.flattensWithASteady,
  }) as const

const fitLabels = () =>
  ({
    level: say.tests.levelThatFitsBest,
    line: say.tests.straightLineThatFits,
    saturating: say.tests.flatteningCurveThatFits,
    both: say.tests.flatteningCurveWithA,
  }) as const

export function EvacuationPage(props: EvacuationPageProps): JSX.Element {
  const { test, judgement } = props
  const concluded = test.concludedAt !== null
  const running = !concluded && props.mayRecord
  return (
    <Layout
      {...props.shell}
      title={say.tests.evacuationOf(test.systemName)}
      width="narrow"
      flash={props.refused === undefined ? undefined : <Flash kind="refused">{props.refused}</Flash>}
    >
      <h1>{say.tests.evacuationOf(test.systemName)}</h1>
      <p class="lead">
        {test.sections.length === 0 ? say.tests.theWholeSystem : test.sections.join(', ')}.{' '}
        <a href={`/jobs/${test.jobId}`}>{say.tests.toTheJob}</a>
      </p>
      {props.verdictNow === null ? null : <JudgedAgain verdict={verdictWords()[props.verdictNow]} />}
      {concluded ? <Concluded {...props} /> : running ? <Running {...props} /> : <NotYet {...props} />}
      <Plots {...props} />
      <RecordedFacts label={say.tests.readingsOneByOne} facts={props.recorded} />
      <Photos {...props.photos} />
      {!running ? null : (
        <section class="sheet">
          <h2>{say.tests.endTheEvacuation}</h2>
          {judgement.isolatedAtMs === null ? null : (
            <>
              <p>{say.tests.asItStands(<b>{verdictWords()[judgement.verdict]}</b>)}</p>
              <Reasons judgement={judgement} />
            </>
          )}
          <form method="post" action={`/evacuations/${test.id}/conclude`}>
            <Button kind="other">{say.tests.endItAndJudge}</Button>
          </form>
          <p class="hint">{say.tests.noReadingCanBeAdded}</p>
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
              note:
                test.gaugeAt === 'far-side'
                  ? say.tests.atTheFarSide
                  : test.gaugeAt === 'near-pump'
                    ? say.tests.nearThePumpIt
                    : undefined,
            },
            ...(test.isolatedAt === null
              ? []
              : [
                  {
                    label: say.tests.isolatedWith,
                    value:
                      test.isolatedAt === 'core-tool' ? say.tests.aCoreTool : say.tests.theManifoldItsHoses,
                  },
                ]),
            {
              label: say.tests.pullTo,
              value: inUnit(judgement.criteria.targetPa.value, props.unit),
              note: judgement.criteria.targetPa.source,
            },
            {
              label: say.tests.notAbove,
              value: inUnit(judgement.criteria.limitPa.value, props.unit),
              note: judgement.criteria.limitPa.source,
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

const inUnit = (pressurePa: number, unit: PressureUnit) => formatQuantity(fromPascals(pressurePa, unit), unit)

/** For a reader who can't go on with it: how it stands. */
function NotYet(props: EvacuationPageProps): JSX.Element {
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

function Running(props: EvacuationPageProps): JSX.Element {
  const { test, judgement, form } = props
  const isolated = judgement.isolatedAtMs
  const last = props.readings.at(-1)
  const decays = props.readings.filter((one) => one.phase === 'decay').length
  const atTarget = last !== undefined && last.absolutePressurePa <= judgement.criteria.targetPa.value
  return (
    <section class="sheet">
      {isolated === null || last?.phase !== 'decay' ? null : (
        <Clock
          label={say.tests.isolatedFor}
          since={isolated}
          now={props.now}
          enoughMinutes={judgement.criteria.holdS.value / 60}
          enoughWords={say.tests.ofMin2(formatNumber(judgement.criteria.holdS.value / 60))}
        />
      )}
      <VacuumSoFar
        next={props.next}
        now={props.now}
        test={test.id}
        target={inUnit(judgement.criteria.targetPa.value, props.unit)}
      >
        {last?.phase === 'decay' && decays < 7 ? (
          <p class="hint">{say.tests.of7ReadingsThat(decays)}</p>
        ) : null}
      </VacuumSoFar>
      {last === undefined ? <BeforeVacuum /> : null}
      <form method="post" action={`/evacuations/${test.id}/readings`}>
        <h2 data-goes-on>{say.tests.nextReading}</h2>
        <OtherErrors form={form} fields={['readings']} />
        <VacuumReadingFields
          form={nextReading(form)}
          phase={last?.phase === 'decay' || atTarget ? 'decay' : 'pull'}
          unit={props.unit}
          temperatureUnit={props.temperatureUnit}
          gauges={props.gauges}
        />
        <Button>{say.tests.recordTheReading}</Button>
      </form>
      <ToLog page={`/evacuations/${test.id}`} />
    </section>
  )
}

function Concluded(props: EvacuationPageProps): JSX.Element {
  const { judgement, unit } = props
  const { curve } = judgement
  return (
    <section class="sheet">
      <p class="why">
        <b>{verdictWords()[judgement.verdict]}</b> {theNext()[judgement.verdict]}
      </p>
      <Reasons judgement={judgement} />
      <Facts
        facts={[
          {
            label: say.tests.lowest,
            value:
              judgement.lowestPressurePa === null
                ? say.tests.notRead
                : inUnit(judgement.lowestPressurePa, unit),
          },
          {
            label: say.tests.rise,
            value: judgement.riseInHoldPa === null ? say.tests.notRead : inUnit(judgement.riseInHoldPa, unit),
            note: `in ${formatNumber(Math.round(judgement.holdS / 6) / 10)} min`,
          },
          {
            label: say.tests.theCurve,
            value: curve === null ? say.tests.tooFewReadings : curveWords()[curve.kind],
            note: curve?.plateauPa == null ? undefined : say.tests.atAbout(inUnit(curve.plateauPa, unit)),
          },
          {
            label: say.tests.waterAtTheWarmest,
            value:
              judgement.waterCeilingPa === null ? say.tests.notKnown : inUnit(judgement.waterCeilingPa, unit),
            note: say.tests.moistureAloneCantRise,
          },
          judgement.verdict === 'leak'
            ? { label: say.tests.theLeak, value: <Seen judgement={judgement} /> }
            : { label: say.tests.aSteadyLeakIt, value: <Unseen judgement={judgement} /> },
        ]}
      />
      {props.worked === undefined ? null : <HowWorkedOut {...props.worked} />}
    </section>
  )
}

const perDay = (kgPerYear: number) =>
  say.tests.gramsPerDay(formatNumber(Number(((kgPerYear * 1000) / 365).toPrecision(2))))

function Seen(props: { judgement: EvacuationJudgement }): JSX.Element {
  const kgPerYear = props.judgement.refrigerantKgPerYear
  if (kgPerYear === null) return <>{say.tests.notKnownSinceTheVolume}</>
  return (
    <>
      {say.tests.aboutOfRefrigerantIn(
        perDay(kgPerYear),
        <span class="soft">{say.tests.anEstimateIfIt}</span>,
      )}
    </>
  )
}

/** A dryness test first: the page says what stays unseen. */
function Unseen(props: { judgement: EvacuationJudgement }): JSX.Element {
  const kgPerYear = props.judgement.unseenRefrigerantKgPerYear
  if (kgPerYear === null) return <>{say.tests.notKnown}</>
  return (
    <>{say.tests.upToAboutOf(perDay(kgPerYear), <span class="soft">{say.tests.anEstimateThisShows}</span>)}</>
  )
}

function Plots(props: EvacuationPageProps): JSX.Element | null {
  const when = useWhen()
  const { test, judgement, readings, unit } = props
  const zero = judgement.isolatedAtMs ?? readings[0]?.at
  if (zero === undefined) return null
  const y = (pressurePa: number) => fromPascals(pressurePa, unit)
  const title = test.sections.length === 0 ? test.systemName : test.sections.join(say.tests.and)
  const { criteria, curve } = judgement
  const last = readings.at(-1)?.at ?? zero
  const shown = readings.map((one) => ({
    minutes: (one.at - zero) / 60_000,
    phase: one.phase,
    absolutePressure: y(one.absolutePressurePa),
    pressureTyped: asTypedWords(one.typed.absolutePressure) ?? inUnit(one.absolutePressurePa, unit),
    temperatureTyped: asTypedWords(one.typed.temperature) ?? undefined,
    atWords: when({ at: one.at, show: 'time' }),
  }))
  const limits = {
    target: {
      value: y(criteria.targetPa.value),
      label: say.tests.target(inUnit(criteria.targetPa.value, unit)),
    },
    limit: { value: y(criteria.limitPa.value), label: say.tests.limit(inUnit(criteria.limitPa.value, unit)) },
  }
  return (
    <>
      {judgement.isolatedAtMs === null ? null : (
        <DecayPlot
          id="plot-decay"
          title={say.tests.decayOf(title)}
          unit={UNIT_LABELS[unit]}
          // An earlier decay, before the vacuum was broken, is in the plot of the whole run.
          readings={shown.filter((one) => one.minutes >= 0)}
          fitted={
            curve === null
              ? undefined
              : {
                  label: fitLabels()[curve.kind],
                  points: curve.points
                    .filter(
                      (point) =>
                        zero + point.timeS * 1000 <= Math.max(last, zero + criteria.holdS.value * 1000),
                    )
                    .map((point) => ({ minutes: point.timeS / 60, absolutePressure: y(point.pressurePa) })),
                }
          }
          {...limits}
          longEnough={{
            minutes: criteria.holdS.value / 60,
            label: `${formatNumber(criteria.holdS.value / 60)} min`,
          }}
          verdict={test.concludedAt === null ? undefined : verdictWords()[judgement.verdict]}
        />
      )}
      <DecayPlot
        id="plot-run"
        title={say.tests.theWholeEvacuationOf(title)}
        unit={UNIT_LABELS[unit]}
        wholeRun
        readings={shown}
        {...limits}
      />
    </>
  )
}
