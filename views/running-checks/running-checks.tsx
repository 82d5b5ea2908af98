// What does the system show while it runs, and is that what its maker asks for?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { RunningJudgement } from '../../server/rules/judge-running-check.ts'
import { formatNumber, formatQuantity, fromKelvinDifference, fromKelvins } from '../../server/trade/units.ts'
import type { RefrigerantName, RunningMode } from '../../server/vocabulary.ts'
import { coded } from '../../server/words/coded.ts'
import { say } from '../../server/words/say.ts'
import { type RecordedFact, RecordedFacts } from '../corrections/form.tsx'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Caution } from '../parts/caution.tsx'
import { Empty } from '../parts/empty.tsx'
import { Facts } from '../parts/facts.tsx'
import {
  AreaField,
  ChoiceField,
  type FormState,
  fieldValue,
  type Option,
  OtherErrors,
  QuantityField,
  SelectField,
  TextField,
} from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'
import { JudgedNumber } from '../parts/judged-number.tsx'
import type { FindingOutcome } from '../parts/mark.tsx'
import { When } from '../parts/when.tsx'
import { HowWorkedOut, type WorkedProps } from '../parts/worked.tsx'
import { MomentField, WhoAndWhen } from '../section-tests/set-up-fields.tsx'
import { TEMPERATURE_UNITS, TEST_PRESSURE_UNITS } from '../section-tests/unit-options.ts'

export interface ShownCheck {
  mode: RunningMode
  judgement: RunningJudgement
  /** Where the refrigerant boils and condenses at the pressures read; null where none was read. */
  worked: WorkedProps | undefined
  bubbleK: number | null
  dewK: number | null
  notPossible: { reason: string; dueAt: number } | null
}

export interface RunningChecksPageProps {
  shell: Shell
  system: { id: string; name: string; refrigerant: RefrigerantName }
  jobs: readonly Option[]
  jobId: string
  freshId: string
  steadyMinutes: number
  crew: readonly Option[]
  mayRecord: boolean
  /** Worked out and not recorded. */
  tried: ShownCheck | null
  /** Newest first. */
  checks: readonly (ShownCheck & { id: string; at: number })[]
  /** The same one by one, as they are corrected. */
  recorded: readonly RecordedFact[]
  form?: FormState | undefined
  refused?: string | undefined
}

export const RUNNING_FIELDS = [
  'id',
  'jobId',
  'mode',
  'steadyMinutes#',
  'liquidLinePressure',
  'liquidLineTemperature',
  'suctionPressure',
  'suctionTemperature',
  'supplyAir',
  'returnAir',
  'ambient',
  'notPossible.reason',
  'notPossible.dueAt@',
  'performedAt@',
  'performedBy',
  'supervisedBy',
]

const theVerdicts = (): Record<RunningJudgement['verdict'], { words: string; outcome: FindingOutcome }> => ({
  within: { words: say.running.asSpecified, outcome: 'met' },
  outside: { words: say.running.notAsSpecified, outcome: 'failed' },
  'nothing-to-compare': { words: say.running.nothingToCompareWith, outcome: 'open' },
  'not-steady': { words: say.running.notSteadyLongEnough, outcome: 'open' },
  incomplete: { words: say.running.somethingIsMissing, outcome: 'open' },
  'not-possible': { words: say.running.notPossibleYet, outcome: 'open' },
})

const differenceWords = (): Record<RunningJudgement['differences'][number]['verdict'], string> => ({
  within: say.running.within,
  low: say.running.tooLow,
  high: say.running.tooHigh,
  'not-measured': say.running.notMeasured,
  'no-target': say.running.nothingToCompareWith,
})

const degrees = (kelvin: number) =>
  `${formatQuantity(fromKelvins(kelvin, 'degC'), 'degC')} (${formatQuantity(fromKelvins(kelvin, 'degF'), 'degF')})`

export function RunningChecksPage(props: RunningChecksPageProps): JSX.Element {
  const { system } = props
  return (
    <Layout
      {...props.shell}
      title={say.running.runningCheckOf(system.name)}
      width="narrow"
      flash={props.refused === undefined ? undefined : <Flash kind="refused">{props.refused}</Flash>}
    >
      <h1>{say.running.runningCheckOf(system.name)}</h1>
      <p class="lead">
        {system.refrigerant}.{' '}
        {props.jobId === '' ? (
          <a href={`/systems/${system.id}`}>{say.running.toTheSystem}</a>
        ) : (
          <a href={`/jobs/${props.jobId}`}>{say.running.toTheJob}</a>
        )}
      </p>
      {props.tried === null ? null : (
        <section class="sheet" id="tried">
          <h2>{say.running.workedOutNotRecorded}</h2>
          <Check check={props.tried} />
        </section>
      )}
      {props.mayRecord ? <Record {...props} /> : null}
      {props.checks.length === 0 ? null : (
        <section class="sheet">
          <h2>{say.running.recorded}</h2>
          {props.checks.map((check) => (
            <div key={check.id} id={`check-${check.id}`}>
              <h3>
                <When at={check.at} />, {coded(check.mode)}
              </h3>
              <Check check={check} />
            </div>
          ))}
          <RecordedFacts label={say.running.oneByOneAs} facts={props.recorded} />
        </section>
      )}
    </Layout>
  )
}

function Check({ check }: { check: ShownCheck }): JSX.Element {
  const { judgement } = check
  const { words } = theVerdicts()[judgement.verdict]
  return (
    <>
      <p class="why">
        <b>{words}</b>{' '}
        {check.notPossible === null
          ? judgement.reason
          : say.running.dueBy(check.notPossible.reason, <When at={check.notPossible.dueAt} show="day" />)}
      </p>
      {judgement.differences.map((difference) =>
        difference.measuredK === null ? null : difference.range === null ? (
          <p key={difference.name}>
            {capital(coded(difference.name))} {formatQuantity(difference.measuredK, 'K')} (
            {formatQuantity(fromKelvinDifference(difference.measuredK, 'degF.diff'), 'degF.diff')}).{' '}
            <span class="soft">{say.running.theSheetStatesNone}</span>
          </p>
        ) : (
          <JudgedNumber
            key={difference.name}
            label={capital(coded(difference.name))}
            value={formatNumber(difference.measuredK, 1)}
            unit="K"
            at={difference.measuredK}
            low={Number(difference.range.lowK.toPrecision(4))}
            high={Number(difference.range.highK.toPrecision(4))}
            also={formatQuantity(fromKelvinDifference(difference.measuredK, 'degF.diff'), 'degF.diff')}
            verdict={differenceWords()[difference.verdict]}
            outcome={difference.verdict === 'within' ? 'met' : 'failed'}
            source={difference.range.source}
          />
        ),
      )}
      {check.bubbleK === null && check.dewK === null ? null : (
        <Facts
          facts={[
            ...(check.bubbleK === null
              ? []
              : [
                  {
                    label: say.running.bubblePointAtThe,
                    value: degrees(check.bubbleK),
                    note: say.running.subcoolingIsThisLess,
                  },
                ]),
            ...(check.dewK === null
              ? []
              : [
                  {
                    label: say.running.dewPointAtThe,
                    value: degrees(check.dewK),
                    note: say.running.superheatIsTheLine,
                  },
                ]),
          ]}
        />
      )}
      {check.worked === undefined ? null : <HowWorkedOut {...check.worked} />}
    </>
  )
}

const capital = (words: string) => `${words.charAt(0).toUpperCase()}${words.slice(1)}`

function Record(props: RunningChecksPageProps): JSX.Element {
  const { system, form } = props
  const here = `/systems/${system.id}/running-checks`
  if (props.jobs.length === 0)
    return (
      <Empty
        title={say.running.noOpenJob}
        action={{ href: `/systems/${system.id}`, label: say.running.toTheSystem }}
      >
        {say.running.aRunningCheckIs}
      </Empty>
    )
  return (
    <section class="sheet">
      <h2>{say.running.record}</h2>
      <p class="why">{say.running.runItInThe(formatNumber(props.steadyMinutes))}</p>
      <Caution harm={['electricity', 'pressure']}>{say.running.isolateAndLockOut}</Caution>
      <form method="post" action={here}>
        <OtherErrors form={form} fields={RUNNING_FIELDS} />
        <input type="hidden" name="id" value={props.freshId} />
        {props.jobs.length === 1 ? (
          <input type="hidden" name="jobId" value={props.jobs[0]?.value} />
        ) : (
          <SelectField
            name="jobId"
            label={say.running.job}
            options={props.jobs}
            value={props.jobId}
            form={form}
          />
        )}
        <RunningFields form={form} crew={props.crew} />
        <div class="actions">
          <Button>{say.running.recordIt}</Button>
          <button type="submit" class="other" formmethod="get" formaction={`${here}#tried`} formnovalidate>
            {say.running.workItOutFirst}
          </button>
        </div>
      </form>
    </section>
  )
}

/** What is asked for a running check, when it is recorded and when it is corrected. */
export function RunningFields(props: {
  form: FormState | undefined
  crew: readonly Option[]
  /** Who, when and by when stay as they were said, where they are left empty. */
  kept?: boolean | undefined
}): JSX.Element {
  const { form } = props
  return (
    <>
      <ChoiceField
        name="mode"
        label={say.running.itRuns}
        inline
        options={[
          { value: 'cooling', label: say.running.cooling },
          { value: 'heating', label: say.running.heating },
        ]}
        value="cooling"
        form={form}
        required
      />
      <TextField
        name="steadyMinutes#"
        label={say.running.minutesWithoutAChange}
        inputmode="decimal"
        form={form}
        required={false}
      />
      <Pressure name="liquidLinePressure" label={say.running.liquidLineGaugePressure} form={form} />
      <Temperature name="liquidLineTemperature" label={say.running.liquidLineTemperature} form={form} />
      <Pressure name="suctionPressure" label={say.running.suctionGaugePressure} form={form} />
      <Temperature name="suctionTemperature" label={say.running.suctionTemperature} form={form} />
      <Temperature name="returnAir" label={say.running.airIntoTheIndoor} form={form} />
      <Temperature name="supplyAir" label={say.running.airOutOfThe} form={form} />
      <Temperature name="ambient" label={say.running.outdoorAir} form={form} />
      <details
        open={['notPossible.reason', 'notPossible.dueAt@'].some((name) => fieldValue(name, form) !== '')}
      >
        <summary>
          <span>{say.running.itCantBeRun}</span>
        </summary>
        <AreaField
          name="notPossible.reason"
          label={say.running.whyNot}
          hint={say.running.itStaysOnThe}
          form={form}
          required={false}
        />
        <MomentField
          name="notPossible.dueAt@"
          label={say.running.toBeDoneBy}
          hint={props.kept ? say.running.leaveItEmptyTo : say.running.aDayYouCan}
          form={form}
        />
      </details>
      <WhoAndWhen crew={props.crew} form={form} when={say.running.whenItWasRead} kept={props.kept} />
    </>
  )
}

function Pressure(props: { name: string; label: string; form?: FormState | undefined }): JSX.Element {
  return (
    <QuantityField
      {...props}
      quantity="test-pressure"
      units={TEST_PRESSURE_UNITS}
      unit="MPa"
      required={false}
    />
  )
}

function Temperature(props: { name: string; label: string; form?: FormState | undefined }): JSX.Element {
  return (
    <QuantityField {...props} quantity="temperature" units={TEMPERATURE_UNITS} unit="degC" required={false} />
  )
}
