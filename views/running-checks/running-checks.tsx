// What does the system show while it runs, and is that what its maker asks for?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { RunningJudgement } from '../../server/rules/judge-running-check.ts'
import { formatNumber, formatQuantity, fromKelvinDifference, fromKelvins } from '../../server/trade/units.ts'
import type { RefrigerantName, RunningMode } from '../../server/vocabulary.ts'
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

const VERDICTS: Record<RunningJudgement['verdict'], { words: string; outcome: FindingOutcome }> = {
  within: { words: 'As specified.', outcome: 'met' },
  outside: { words: 'Not as specified.', outcome: 'failed' },
  'nothing-to-compare': { words: 'Nothing to compare with.', outcome: 'open' },
  'not-steady': { words: 'Not steady long enough.', outcome: 'open' },
  incomplete: { words: 'Something is missing.', outcome: 'open' },
  'not-possible': { words: 'Not possible yet.', outcome: 'open' },
}

const DIFFERENCE_WORDS: Record<RunningJudgement['differences'][number]['verdict'], string> = {
  within: 'Within.',
  low: 'Too low.',
  high: 'Too high.',
  'not-measured': 'Not measured.',
  'no-target': 'Nothing to compare with.',
}

const degrees = (kelvin: number) =>
  `${formatQuantity(fromKelvins(kelvin, 'degC'), 'degC')} (${formatQuantity(fromKelvins(kelvin, 'degF'), 'degF')})`

export function RunningChecksPage(props: RunningChecksPageProps): JSX.Element {
  const { system } = props
  return (
    <Layout
      {...props.shell}
      title={`Running check of ${system.name}`}
      width="narrow"
      flash={props.refused === undefined ? undefined : <Flash kind="refused">{props.refused}</Flash>}
    >
      <h1>Running check of {system.name}</h1>
      <p class="lead">
        {system.refrigerant}.{' '}
        {props.jobId === '' ? (
          <a href={`/systems/${system.id}`}>To the system</a>
        ) : (
          <a href={`/jobs/${props.jobId}`}>To the job</a>
        )}
      </p>
      {props.tried === null ? null : (
        <section class="sheet" id="tried">
          <h2>Worked out, not recorded</h2>
          <Check check={props.tried} />
        </section>
      )}
      {props.mayRecord ? <Record {...props} /> : null}
      {props.checks.length === 0 ? null : (
        <section class="sheet">
          <h2>Recorded</h2>
          {props.checks.map((check) => (
            <div key={check.id} id={`check-${check.id}`}>
              <h3>
                <When at={check.at} />, {check.mode}
              </h3>
              <Check check={check} />
            </div>
          ))}
          <RecordedFacts label="One by one, as recorded" facts={props.recorded} />
        </section>
      )}
    </Layout>
  )
}

function Check({ check }: { check: ShownCheck }): JSX.Element {
  const { judgement } = check
  const { words } = VERDICTS[judgement.verdict]
  return (
    <>
      <p class="why">
        <b>{words}</b>{' '}
        {check.notPossible === null ? (
          judgement.reason
        ) : (
          <>
            {check.notPossible.reason}. Due by <When at={check.notPossible.dueAt} show="day" />.
          </>
        )}
      </p>
      {judgement.differences.map((difference) =>
        difference.measuredK === null ? null : difference.range === null ? (
          <p key={difference.name}>
            {capital(difference.name)} {formatQuantity(difference.measuredK, 'K')} (
            {formatQuantity(fromKelvinDifference(difference.measuredK, 'degF.diff'), 'degF.diff')}).{' '}
            <span class="soft">The sheet states none to compare with.</span>
          </p>
        ) : (
          <JudgedNumber
            key={difference.name}
            label={capital(difference.name)}
            value={formatNumber(difference.measuredK, 1)}
            unit="K"
            at={difference.measuredK}
            low={Number(difference.range.lowK.toPrecision(4))}
            high={Number(difference.range.highK.toPrecision(4))}
            also={formatQuantity(fromKelvinDifference(difference.measuredK, 'degF.diff'), 'degF.diff')}
            verdict={DIFFERENCE_WORDS[difference.verdict]}
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
                    label: 'Bubble point at the liquid line',
                    value: degrees(check.bubbleK),
                    note: 'subcooling is this less the line',
                  },
                ]),
            ...(check.dewK === null
              ? []
              : [
                  {
                    label: 'Dew point at the suction line',
                    value: degrees(check.dewK),
                    note: 'superheat is the line less this',
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
      <Empty title="No open job" action={{ href: `/systems/${system.id}`, label: 'To the system' }}>
        A running check is recorded on an open job of this system. Open one first.
      </Empty>
    )
  return (
    <section class="sheet">
      <h2>Record</h2>
      <p class="why">
        Run it in the maker’s test mode for {formatNumber(props.steadyMinutes)} minutes without a change, then
        read.
      </p>
      <Caution harm={['electricity', 'pressure']}>
        Isolate and lock out before you reach inside; an inverter’s capacitors stay charged after that: wait
        the label’s time and measure. When pumping down, stop before the low side goes below the air’s
        pressure.
      </Caution>
      <form method="post" action={here}>
        <OtherErrors form={form} fields={RUNNING_FIELDS} />
        <input type="hidden" name="id" value={props.freshId} />
        {props.jobs.length === 1 ? (
          <input type="hidden" name="jobId" value={props.jobs[0]?.value} />
        ) : (
          <SelectField name="jobId" label="Job" options={props.jobs} value={props.jobId} form={form} />
        )}
        <RunningFields form={form} crew={props.crew} />
        <div class="actions">
          <Button>Record it</Button>
          <button type="submit" class="other" formmethod="get" formaction={`${here}#tried`} formnovalidate>
            Work it out first
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
        label="It runs"
        inline
        options={[
          { value: 'cooling', label: 'Cooling' },
          { value: 'heating', label: 'Heating' },
        ]}
        value="cooling"
        form={form}
        required
      />
      <TextField
        name="steadyMinutes#"
        label="Minutes without a change"
        inputmode="decimal"
        form={form}
        required={false}
      />
      <Pressure name="liquidLinePressure" label="Liquid line, gauge pressure" form={form} />
      <Temperature name="liquidLineTemperature" label="Liquid line, temperature" form={form} />
      <Pressure name="suctionPressure" label="Suction, gauge pressure" form={form} />
      <Temperature name="suctionTemperature" label="Suction, temperature" form={form} />
      <Temperature name="returnAir" label="Air into the indoor unit" form={form} />
      <Temperature name="supplyAir" label="Air out of the indoor unit" form={form} />
      <Temperature name="ambient" label="Outdoor air" form={form} />
      <details
        open={['notPossible.reason', 'notPossible.dueAt@'].some((name) => fieldValue(name, form) !== '')}
      >
        <summary>
          <span>It can’t be run today</span>
        </summary>
        <AreaField
          name="notPossible.reason"
          label="Why not"
          hint="It stays on the worklist until the date you give."
          form={form}
          required={false}
        />
        <MomentField
          name="notPossible.dueAt@"
          label="To be done by"
          hint={props.kept ? 'Leave it empty to keep the day that was given.' : 'A day you can keep.'}
          form={form}
        />
      </details>
      <WhoAndWhen crew={props.crew} form={form} when="When it was read" kept={props.kept} />
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
