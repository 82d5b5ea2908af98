// Is the right mass of refrigerant in the circuit, and may it be there?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { ChargeJudgement } from '../../server/rules/judge-charge.ts'
import type { RoomJudgement } from '../../server/rules/judge-room.ts'
import type { AsTyped } from '../../server/store/rows.ts'
import { formatNumber, formatQuantity, fromKilograms, UNIT_LABELS } from '../../server/trade/units.ts'
import type { ChargeDirection, ChargeSource, RefrigerantName } from '../../server/vocabulary.ts'
import { type RecordedFact, RecordedFacts } from '../corrections/form.tsx'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Caution } from '../parts/caution.tsx'
import { Empty } from '../parts/empty.tsx'
import { Facts } from '../parts/facts.tsx'
import {
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
import { type FindingOutcome, OutcomeMark } from '../parts/mark.tsx'
import { When } from '../parts/when.tsx'
import { HowWorkedOut, type WorkedProps } from '../parts/worked.tsx'
import { WhoAndWhen } from '../section-tests/set-up-fields.tsx'
import { MASS_UNITS } from '../section-tests/unit-options.ts'

export interface ChargePageProps {
  shell: Shell
  system: { id: string; name: string; refrigerant: RefrigerantName; flammable: boolean }
  jobs: readonly Option[]
  jobId: string
  freshId: string
  scales: readonly Option[]
  crew: readonly Option[]
  judgement: ChargeJudgement
  /** How the mass to add comes about, a line of arithmetic each. */
  arithmetic: readonly string[]
  worked: WorkedProps | undefined
  /** Why nothing can be computed. */
  unknown: string | null
  charges: readonly {
    id: string
    at: number
    direction: ChargeDirection
    massKg: number | null
    source: ChargeSource | null
    cylinderId: string | null
    scale: string | null
    typed: AsTyped
  }[]
  /** The same one by one, as they are corrected. */
  recorded: readonly RecordedFact[]
  rooms: readonly { name: string; judgement: RoomJudgement }[]
  mayRecord: boolean
  form?: FormState | undefined
  refused?: string | undefined
}

const DIRECTION_WORDS: Record<ChargeDirection, string> = {
  in: 'Let in',
  out: 'Taken out',
  'factory-released': 'Factory charge released',
}
const SOURCE_WORDS: Record<ChargeSource, string> = {
  factory: 'from the factory',
  virgin: 'new',
  reclaimed: 'reclaimed',
  'recovered-here': 'recovered here',
}
const OUTCOMES: Record<ChargeJudgement['verdict'], FindingOutcome> = {
  within: 'met',
  under: 'failed',
  over: 'failed',
  'above-maximum': 'failed',
  unknown: 'open',
}
const VERDICTS: Record<ChargeJudgement['verdict'], string> = {
  within: 'Matches.',
  under: 'Too little.',
  over: 'Too much.',
  'above-maximum': 'More than is allowed.',
  unknown: 'Not known.',
}
const ROOM_OUTCOMES: Record<RoomJudgement['verdict'], FindingOutcome> = {
  fits: 'met',
  'too-small': 'failed',
  'beyond-method': 'failed',
  unknown: 'open',
}
export const CHARGE_FIELDS = [
  'id',
  'jobId',
  'direction',
  'mass',
  'scaleInstrumentId',
  'source',
  'cylinderId',
  'performedAt@',
  'performedBy',
  'supervisedBy',
]

const kg = (massKg: number) => formatQuantity(massKg, 'kg')
const both = (massKg: number) =>
  `${formatQuantity(massKg, 'kg')} (${formatQuantity(fromKilograms(massKg, 'oz'), 'oz')})`

export function ChargePage(props: ChargePageProps): JSX.Element {
  const { system, judgement } = props
  return (
    <Layout
      {...props.shell}
      title={`Charge of ${system.name}`}
      width="narrow"
      flash={props.refused === undefined ? undefined : <Flash kind="refused">{props.refused}</Flash>}
    >
      <h1>Charge of {system.name}</h1>
      <p class="lead">
        {system.refrigerant}.{' '}
        {props.jobId === '' ? (
          <a href={`/systems/${system.id}`}>To the system</a>
        ) : (
          <a href={`/jobs/${props.jobId}`}>To the job</a>
        )}
      </p>
      <section class="sheet">
        <h2>What it should hold</h2>
        {judgement.required === null ? (
          <p>
            Not known: {props.unknown}. Charge by the equipment’s own manual and enter the figures on its
            sheet.
          </p>
        ) : (
          <>
            <Facts
              facts={[
                { label: 'From the factory', value: both(judgement.required.factoryKg) },
                {
                  label: 'To add',
                  value:
                    judgement.required.additionalKg === 0 ? 'nothing' : both(judgement.required.additionalKg),
                },
                {
                  label: 'In all',
                  value: both(judgement.required.totalKg),
                  note: judgement.required.source,
                },
              ]}
            />
            {props.arithmetic.length === 0 ? null : (
              <ul>
                {props.arithmetic.map((line) => (
                  <li key={line}>{line}</li>
                ))}
              </ul>
            )}
            {props.worked === undefined ? null : <HowWorkedOut {...props.worked} />}
          </>
        )}
      </section>
      {props.charges.length === 0 ? null : <WhatIsIn {...props} />}
      {props.mayRecord ? <Record {...props} /> : null}
      {props.charges.length === 0 ? null : <Recorded {...props} />}
      {system.flammable ? <Rooms {...props} /> : null}
      <section class="sheet">
        <h2>For the climate</h2>
        {judgement.co2e === null ? (
          <p>The CO₂-equivalent is not known: the mass in the circuit, or a factor for it, is missing.</p>
        ) : (
          <p>
            {kg(judgement.net.totalKg ?? 0)} of {system.refrigerant} are as much as{' '}
            <b>{formatNumber(Math.round(judgement.co2e.kg))} kg of CO₂</b>{' '}
            <span class="soft">
              (100-year factor {formatNumber(judgement.co2e.gwp)}, {judgement.co2e.basis};{' '}
              {judgement.co2e.source}).
            </span>
          </p>
        )}
      </section>
    </Layout>
  )
}

function WhatIsIn({ judgement }: ChargePageProps): JSX.Element {
  const { net, required, toleranceKg, maximum } = judgement
  return (
    <section class="sheet">
      <h2>What is in</h2>
      {net.totalKg === null || required === null || toleranceKg === null ? (
        <p>{judgement.reason}</p>
      ) : (
        <JudgedNumber
          label="In the circuit"
          value={formatNumber(net.totalKg, 3)}
          unit="kg"
          at={net.totalKg}
          low={Number((required.totalKg - toleranceKg).toPrecision(6))}
          high={Number((required.totalKg + toleranceKg).toPrecision(6))}
          verdict={VERDICTS[judgement.verdict]}
          outcome={OUTCOMES[judgement.verdict]}
          also={formatQuantity(fromKilograms(net.totalKg, 'oz'), 'oz')}
          source={judgement.toleranceSource.replace(/^policy: /, '')}
        />
      )}
      <Facts
        facts={[
          {
            label: 'Weighed in',
            value: both(net.weighedInKg - net.takenOutKg),
            note: net.takenOutKg > 0 ? `${kg(net.takenOutKg)} taken out is counted` : undefined,
          },
          {
            label: 'At most',
            value: maximum === null ? 'no limit on the sheet' : both(maximum.massKg),
            note: maximum?.source,
          },
        ]}
      />
    </section>
  )
}

function Record(props: ChargePageProps): JSX.Element {
  const { system, judgement, form } = props
  const nothingToAdd = judgement.required?.additionalKg === 0
  const released = props.charges.some((charge) => charge.direction === 'factory-released')
  if (props.jobs.length === 0)
    return (
      <Empty title="No open job" action={{ href: `/systems/${system.id}`, label: 'To the system' }}>
        A charge is recorded on an open job of this system. Open one first.
      </Empty>
    )
  return (
    <section class="sheet">
      <h2>Record</h2>
      {nothingToAdd ? (
        <p class="why">
          Nothing to add: open the valves all the way and record the factory charge as released. No scale is
          needed.
        </p>
      ) : null}
      <Caution harm={system.flammable ? ['flammable', 'frostbite'] : ['frostbite', 'environment']}>
        {system.flammable
          ? 'No flame, switch or spark near it; detector on and air moving. Gloves and goggles: liquid freezes skin and eyes. Nothing is let out to the air.'
          : 'Gloves and goggles: liquid freezes skin and eyes. Nothing is let out to the air; recover into a cylinder filled to four fifths at most.'}
      </Caution>
      <form method="post" action={`/systems/${system.id}/charges`}>
        <OtherErrors form={form} fields={CHARGE_FIELDS} />
        <input type="hidden" name="id" value={props.freshId} />
        {props.jobs.length === 1 ? (
          <input type="hidden" name="jobId" value={props.jobs[0]?.value} />
        ) : (
          <SelectField name="jobId" label="Job" options={props.jobs} value={props.jobId} form={form} />
        )}
        <ChargeFields
          form={form}
          scales={props.scales}
          crew={props.crew}
          direction={released ? 'in' : 'factory-released'}
        />
        <Button>Record it</Button>
      </form>
    </section>
  )
}

/** What is asked for a charge, when it is recorded and when it is corrected. */
export function ChargeFields(props: {
  form: FormState | undefined
  scales: readonly Option[]
  crew: readonly Option[]
  direction: ChargeDirection
  /** Who and when stay as they were said, where they are left empty. */
  kept?: boolean | undefined
}): JSX.Element {
  const { form } = props
  return (
    <>
      <ChoiceField
        name="direction"
        label="What was done"
        options={[
          {
            value: 'factory-released',
            label: 'Factory charge released',
            note: 'valves open all the way',
          },
          { value: 'in', label: 'Let in' },
          { value: 'out', label: 'Taken out' },
        ]}
        value={props.direction}
        form={form}
        required
      />
      <QuantityField
        name="mass"
        label="Mass"
        hint="What the scale says. Leave it empty for the factory charge."
        quantity="mass"
        units={MASS_UNITS}
        unit="g"
        form={form}
        large
        required={false}
      />
      <SelectField
        name="scaleInstrumentId"
        label="Scale"
        choose="Not weighed"
        options={props.scales}
        form={form}
        required={false}
      />
      <details open={fieldValue('source', form) !== '' || fieldValue('cylinderId', form) !== ''}>
        <summary>
          <span>Where it came from</span>
        </summary>
        <SelectField
          name="source"
          label="Refrigerant"
          choose="Not said"
          options={[
            { value: 'virgin', label: 'New' },
            { value: 'reclaimed', label: 'Reclaimed' },
            { value: 'recovered-here', label: 'Recovered from this system' },
            { value: 'factory', label: 'From the factory' },
          ]}
          form={form}
          required={false}
        />
        <TextField name="cylinderId" label="Cylinder" form={form} required={false} maxlength={80} />
      </details>
      <WhoAndWhen crew={props.crew} form={form} when="When it was done" kept={props.kept} />
    </>
  )
}

function Recorded(props: ChargePageProps): JSX.Element {
  return (
    <section class="sheet">
      <h2>Recorded</h2>
      <table class="stack">
        <thead>
          <tr>
            <th scope="col">What</th>
            <th scope="col" class="figure">
              Mass
            </th>
            <th scope="col">With</th>
            <th scope="col">When</th>
          </tr>
        </thead>
        <tbody>
          {props.charges.map((charge) => (
            <tr key={charge.id}>
              <th scope="row">{whatWords(charge)}</th>
              <td data-label="Mass" class="figure">
                {massWords(charge)}
              </td>
              <td data-label="With">
                {charge.scale ?? 'no scale'}
                {charge.cylinderId === null ? null : `, cylinder ${charge.cylinderId}`}
              </td>
              <td data-label="When">
                <When at={charge.at} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <RecordedFacts label="One by one" facts={props.recorded} />
    </section>
  )
}

type Said = Pick<
  ChargePageProps['charges'][number],
  'direction' | 'source' | 'massKg' | 'typed' | 'scale' | 'cylinderId'
>

const whatWords = ({ direction, source }: Pick<Said, 'direction' | 'source'>): string =>
  source === null || direction === 'factory-released'
    ? DIRECTION_WORDS[direction]
    : `${DIRECTION_WORDS[direction]}, ${SOURCE_WORDS[source]}`

/** "Let in, new, 100 g, with Scale 1" */
export const chargeWords = (charge: Said): string =>
  [
    whatWords(charge),
    massWords(charge),
    charge.scale === null ? 'no scale' : `with ${charge.scale}`,
    charge.cylinderId === null ? null : `cylinder ${charge.cylinderId}`,
  ]
    .filter((part) => part !== null)
    .join(', ')

function massWords(charge: Pick<Said, 'typed' | 'direction'>): string {
  const typed = charge.typed.mass
  if (typed) return `${typed.value}\u00a0${UNIT_LABELS[typed.unit as 'g'] ?? typed.unit}`
  return charge.direction === 'factory-released' ? 'as the sheet says' : 'not weighed'
}

function Rooms(props: ChargePageProps): JSX.Element {
  return (
    <section class="sheet">
      <h2>Rooms</h2>
      <p class="hint">
        {props.system.refrigerant} is flammable: each room that the circuit reaches must be able to take all
        of it.
      </p>
      {props.rooms.length === 0 ? (
        <p>No line set of this system reaches a room yet.</p>
      ) : (
        props.rooms.map((room) => (
          <p class="judged-words" key={room.name}>
            <OutcomeMark outcome={ROOM_OUTCOMES[room.judgement.verdict]} /> <strong>{room.name}.</strong>{' '}
            {room.judgement.reason} <span class="soft">({room.judgement.source})</span>
          </p>
        ))
      )}
    </section>
  )
}
