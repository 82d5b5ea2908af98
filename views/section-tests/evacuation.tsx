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

const VERDICT_WORDS: Record<Verdict, string> = {
  tight: 'Tight.',
  moisture: 'Moisture, or gas leaving the oil.',
  leak: 'Leak.',
  'cannot-tell': 'Cannot tell.',
}

const NEXT: Record<Verdict, string> = {
  tight: 'Charge it now: what is let in later undoes this.',
  moisture:
    'Break the vacuum with dry nitrogen, sweep it through, and pull down again; warm cold parts. Then isolate and read once more.',
  leak: 'First isolate closer to the system and repeat: hoses and cores leak more than joints. If it climbs again, go back to the pressure test and bubbles.',
  'cannot-tell': 'Start another one and put right what is named here.',
}

const CURVE_WORDS = {
  level: 'stays level',
  line: 'climbs steadily',
  saturating: 'flattens',
  both: 'flattens, with a steady climb on top',
} as const

const FIT_LABELS = {
  level: 'level that fits best',
  line: 'straight line that fits best',
  saturating: 'flattening curve that fits best',
  both: 'flattening curve with a climb that fits best',
} as const

export function EvacuationPage(props: EvacuationPageProps): JSX.Element {
  const { test, judgement } = props
  const concluded = test.concludedAt !== null
  const running = !concluded && props.mayRecord
  return (
    <Layout
      {...props.shell}
      title={`Evacuation of ${test.systemName}`}
      width="narrow"
      flash={props.refused === undefined ? undefined : <Flash kind="refused">{props.refused}</Flash>}
    >
      <h1>Evacuation of {test.systemName}</h1>
      <p class="lead">
        {test.sections.length === 0 ? 'The whole system' : test.sections.join(', ')}.{' '}
        <a href={`/jobs/${test.jobId}`}>To the job</a>
      </p>
      {props.verdictNow === null ? null : <JudgedAgain verdict={VERDICT_WORDS[props.verdictNow]} />}
      {concluded ? <Concluded {...props} /> : running ? <Running {...props} /> : <NotYet {...props} />}
      <Plots {...props} />
      <RecordedFacts label="Readings, one by one" facts={props.recorded} />
      <Photos {...props.photos} />
      {!running ? null : (
        <section class="sheet">
          <h2>End the evacuation</h2>
          {judgement.isolatedAtMs === null ? null : (
            <>
              <p>
                As it stands: <b>{VERDICT_WORDS[judgement.verdict]}</b>
              </p>
              <Reasons judgement={judgement} />
            </>
          )}
          <form method="post" action={`/evacuations/${test.id}/conclude`}>
            <Button kind="other">End it and judge it</Button>
          </form>
          <p class="hint">No reading can be added afterwards. It stays in the record either way.</p>
        </section>
      )}
      <section class="sheet">
        <h2>What it rests on</h2>
        <Facts
          facts={[
            { label: 'Began', value: <When at={test.startedAt} /> },
            {
              label: 'Gauge',
              value: test.gauge,
              note:
                test.gaugeAt === 'far-side'
                  ? 'at the far side'
                  : test.gaugeAt === 'near-pump'
                    ? 'near the pump: it can show less than the lines have'
                    : undefined,
            },
            ...(test.isolatedAt === null
              ? []
              : [
                  {
                    label: 'Isolated with',
                    value:
                      test.isolatedAt === 'core-tool'
                        ? 'a core tool'
                        : 'the manifold: its hoses are tested too',
                  },
                ]),
            {
              label: 'Pull to',
              value: inUnit(judgement.criteria.targetPa.value, props.unit),
              note: judgement.criteria.targetPa.source,
            },
            {
              label: 'Not above',
              value: inUnit(judgement.criteria.limitPa.value, props.unit),
              note: judgement.criteria.limitPa.source,
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

const inUnit = (pressurePa: number, unit: PressureUnit) => formatQuantity(fromPascals(pressurePa, unit), unit)

/** For a reader who can't go on with it: how it stands. */
function NotYet(props: EvacuationPageProps): JSX.Element {
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
          label="Isolated for"
          since={isolated}
          now={props.now}
          enoughMinutes={judgement.criteria.holdS.value / 60}
          enoughWords={`of ${formatNumber(judgement.criteria.holdS.value / 60)} min`}
        />
      )}
      <VacuumSoFar
        next={props.next}
        now={props.now}
        test={test.id}
        target={inUnit(judgement.criteria.targetPa.value, props.unit)}
      >
        {last?.phase === 'decay' && decays < 7 ? (
          <p class="hint">{decays} of 7 readings that tell the curves apart.</p>
        ) : null}
      </VacuumSoFar>
      {last === undefined ? <BeforeVacuum /> : null}
      <form method="post" action={`/evacuations/${test.id}/readings`}>
        <h2>Next reading</h2>
        <OtherErrors form={form} fields={['readings']} />
        <VacuumReadingFields
          form={nextReading(form)}
          phase={last?.phase === 'decay' || atTarget ? 'decay' : 'pull'}
          unit={props.unit}
          temperatureUnit={props.temperatureUnit}
          gauges={props.gauges}
        />
        <Button>Record the reading</Button>
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
        <b>{VERDICT_WORDS[judgement.verdict]}</b> {NEXT[judgement.verdict]}
      </p>
      <Reasons judgement={judgement} />
      <Facts
        facts={[
          {
            label: 'Lowest',
            value:
              judgement.lowestPressurePa === null ? 'not read' : inUnit(judgement.lowestPressurePa, unit),
          },
          {
            label: 'Rise',
            value: judgement.riseInHoldPa === null ? 'not read' : inUnit(judgement.riseInHoldPa, unit),
            note: `in ${formatNumber(Math.round(judgement.holdS / 6) / 10)} min`,
          },
          {
            label: 'The curve',
            value: curve === null ? 'too few readings' : CURVE_WORDS[curve.kind],
            note: curve?.plateauPa == null ? undefined : `at about ${inUnit(curve.plateauPa, unit)}`,
          },
          {
            label: 'Water at the warmest part',
            value: judgement.waterCeilingPa === null ? 'not known' : inUnit(judgement.waterCeilingPa, unit),
            note: 'moisture alone can’t rise above it',
          },
          judgement.verdict === 'leak'
            ? { label: 'The leak', value: <Seen judgement={judgement} /> }
            : { label: 'A steady leak it could not see', value: <Unseen judgement={judgement} /> },
        ]}
      />
      {props.worked === undefined ? null : <HowWorkedOut {...props.worked} />}
    </section>
  )
}

const perDay = (kgPerYear: number) =>
  `${formatNumber(Number(((kgPerYear * 1000) / 365).toPrecision(2)))} g/day`

function Seen(props: { judgement: EvacuationJudgement }): JSX.Element {
  const kgPerYear = props.judgement.refrigerantKgPerYear
  if (kgPerYear === null) return <>not known, since the volume is not</>
  return (
    <>
      about {perDay(kgPerYear)} of refrigerant in service{' '}
      <span class="soft">(an estimate), if it is one.</span>
    </>
  )
}

/** A dryness test first: the page says what stays unseen. */
function Unseen(props: { judgement: EvacuationJudgement }): JSX.Element {
  const kgPerYear = props.judgement.unseenRefrigerantKgPerYear
  if (kgPerYear === null) return <>not known</>
  return (
    <>
      up to about {perDay(kgPerYear)} of refrigerant in service{' '}
      <span class="soft">
        (an estimate). This shows dryness first; the pressure test and bubbles find leaks.
      </span>
    </>
  )
}

function Plots(props: EvacuationPageProps): JSX.Element | null {
  const when = useWhen()
  const { test, judgement, readings, unit } = props
  const zero = judgement.isolatedAtMs ?? readings[0]?.at
  if (zero === undefined) return null
  const y = (pressurePa: number) => fromPascals(pressurePa, unit)
  const title = test.sections.length === 0 ? test.systemName : test.sections.join(' and ')
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
      label: `target ${inUnit(criteria.targetPa.value, unit)}`,
    },
    limit: { value: y(criteria.limitPa.value), label: `limit ${inUnit(criteria.limitPa.value, unit)}` },
  }
  return (
    <>
      {judgement.isolatedAtMs === null ? null : (
        <DecayPlot
          id="plot-decay"
          title={`Decay of ${title}`}
          unit={UNIT_LABELS[unit]}
          // An earlier decay, before the vacuum was broken, is in the plot of the whole run.
          readings={shown.filter((one) => one.minutes >= 0)}
          fitted={
            curve === null
              ? undefined
              : {
                  label: FIT_LABELS[curve.kind],
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
          verdict={test.concludedAt === null ? undefined : VERDICT_WORDS[judgement.verdict]}
        />
      )}
      <DecayPlot
        id="plot-run"
        title={`The whole evacuation of ${title}`}
        unit={UNIT_LABELS[unit]}
        wholeRun
        readings={shown}
        {...limits}
      />
    </>
  )
}
