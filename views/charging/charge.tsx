// Is the right mass of refrigerant in the circuit, and may it be there?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { ChargeJudgement } from '../../server/rules/judge-charge.ts'
import type { RoomJudgement } from '../../server/rules/judge-room.ts'
import type { AsTyped } from '../../server/store/rows.ts'
import { formatNumber, formatQuantity, fromKilograms, UNIT_LABELS } from '../../server/trade/units.ts'
import type { ChargeDirection, ChargeSource, RefrigerantName } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
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

const directionWords = (): Record<ChargeDirection, string> => ({
  in: say.charging.letIn,
  out: say.charging.takenOut,
  'factory-released': say.charging.factoryChargeReleased,
})
const sourceWords = (): Record<ChargeSource, string> => ({
  factory: say.charging.fromTheFactory,
  virgin: say.charging.newWord,
  reclaimed: say.charging.reclaimed,
  'recovered-here': say.charging.recoveredHere,
})
const OUTCOMES: Record<ChargeJudgement['verdict'], FindingOutcome> = {
  within: 'met',
  under: 'failed',
  over: 'failed',
  'above-maximum': 'failed',
  unknown: 'open',
}
const theVerdicts = (): Record<ChargeJudgement['verdict'], string> => ({
  within: say.charging.matches,
  under: say.charging.tooLittle,
  over: say.charging.tooMuch,
  'above-maximum': say.charging.moreThanIsAllowed,
  unknown: say.charging.notKnown,
})
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
      title={say.charging.chargeOf(system.name)}
      width="narrow"
      flash={props.refused === undefined ? undefined : <Flash kind="refused">{props.refused}</Flash>}
    >
      <h1>{say.charging.chargeOf(system.name)}</h1>
      <p class="lead">
        {system.refrigerant}.{' '}
        {props.jobId === '' ? (
          <a href={`/systems/${system.id}`}>{say.charging.toTheSystem}</a>
        ) : (
          <a href={`/jobs/${props.jobId}`}>{say.charging.toTheJob}</a>
        )}
      </p>
      <section class="sheet">
        <h2>{say.charging.whatItShouldHold}</h2>
        {judgement.required === null ? (
          <p>{say.charging.notKnownChargeBy(props.unknown)}</p>
        ) : (
          <>
            <Facts
              facts={[
                { label: say.charging.fromTheFactory2, value: both(judgement.required.factoryKg) },
                {
                  label: say.charging.toAdd,
                  value:
                    judgement.required.additionalKg === 0
                      ? say.charging.nothingWord
                      : both(judgement.required.additionalKg),
                },
                {
                  label: say.charging.inAll,
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
        <h2>{say.charging.forTheClimate}</h2>
        {judgement.co2e === null ? (
          <p>{say.charging.theCoEquivalentIs}</p>
        ) : (
          <p>
            {say.charging.ofAreAsMuch(
              kg(judgement.net.totalKg ?? 0),
              system.refrigerant,
              <b>{say.charging.kgOfCo(formatNumber(Math.round(judgement.co2e.kg)))}</b>,
              <span class="soft">
                {say.charging.n100YearFactor(
                  formatNumber(judgement.co2e.gwp),
                  judgement.co2e.basis,
                  judgement.co2e.source,
                )}
              </span>,
            )}
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
      <h2>{say.charging.whatIsIn}</h2>
      {net.totalKg === null || required === null || toleranceKg === null ? (
        <p>{judgement.reason}</p>
      ) : (
        <JudgedNumber
          label={say.charging.inTheCircuit}
          value={formatNumber(net.totalKg, 3)}
          unit="kg"
          at={net.totalKg}
          low={Number((required.totalKg - toleranceKg).toPrecision(6))}
          high={Number((required.totalKg + toleranceKg).toPrecision(6))}
          verdict={theVerdicts()[judgement.verdict]}
          outcome={OUTCOMES[judgement.verdict]}
          also={formatQuantity(fromKilograms(net.totalKg, 'oz'), 'oz')}
          source={judgement.toleranceSource.replace(/^policy: /, '')}
        />
      )}
      <Facts
        facts={[
          {
            label: say.charging.weighedIn,
            value: both(net.weighedInKg - net.takenOutKg),
            note: net.takenOutKg > 0 ? say.charging.takenOutIsCounted(kg(net.takenOutKg)) : undefined,
          },
          {
            label: say.charging.atMost,
            value: maximum === null ? say.charging.noLimitOnThe : both(maximum.massKg),
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
      <Empty
        title={say.charging.noOpenJob}
        action={{ href: `/systems/${system.id}`, label: say.charging.toTheSystem }}
      >
        {say.charging.aChargeIsRecorded}
      </Empty>
    )
  return (
    <section class="sheet">
      <h2>{say.charging.record}</h2>
      {nothingToAdd ? <p class="why">{say.charging.nothingToAddOpen}</p> : null}
      <Caution harm={system.flammable ? ['flammable', 'frostbite'] : ['frostbite', 'environment']}>
        {system.flammable ? say.charging.noFlameSwitchOr : say.charging.glovesAndGogglesLiquid}
      </Caution>
      <form method="post" action={`/systems/${system.id}/charges`}>
        <OtherErrors form={form} fields={CHARGE_FIELDS} />
        <input type="hidden" name="id" value={props.freshId} />
        {props.jobs.length === 1 ? (
          <input type="hidden" name="jobId" value={props.jobs[0]?.value} />
        ) : (
          <SelectField
            name="jobId"
            label={say.charging.job}
            options={props.jobs}
            value={props.jobId}
            form={form}
          />
        )}
        <ChargeFields
          form={form}
          scales={props.scales}
          crew={props.crew}
          direction={released ? 'in' : 'factory-released'}
        />
        <Button>{say.charging.recordIt}</Button>
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
        label={say.charging.whatWasDone}
        options={[
          {
            value: 'factory-released',
            label: say.charging.factoryChargeReleased,
            note: say.charging.valvesOpenAllThe,
          },
          { value: 'in', label: say.charging.letIn },
          { value: 'out', label: say.charging.takenOut },
        ]}
        value={props.direction}
        form={form}
        required
      />
      <QuantityField
        name="mass"
        label={say.charging.mass}
        hint={say.charging.whatTheScaleSays}
        quantity="mass"
        units={MASS_UNITS}
        unit="g"
        form={form}
        large
        required={false}
      />
      <SelectField
        name="scaleInstrumentId"
        label={say.charging.scale}
        choose={say.charging.notWeighed}
        options={props.scales}
        form={form}
        required={false}
      />
      <details open={fieldValue('source', form) !== '' || fieldValue('cylinderId', form) !== ''}>
        <summary>
          <span>{say.charging.whereItCameFrom}</span>
        </summary>
        <SelectField
          name="source"
          label={say.charging.refrigerant}
          choose={say.charging.notSaid}
          options={[
            { value: 'virgin', label: say.charging.newWord2 },
            { value: 'reclaimed', label: say.charging.reclaimed2 },
            { value: 'recovered-here', label: say.charging.recoveredFromThisSystem },
            { value: 'factory', label: say.charging.fromTheFactory2 },
          ]}
          form={form}
          required={false}
        />
        <TextField
          name="cylinderId"
          label={say.charging.cylinder}
          form={form}
          required={false}
          maxlength={80}
        />
      </details>
      <WhoAndWhen crew={props.crew} form={form} when={say.charging.whenItWasDone} kept={props.kept} />
    </>
  )
}

function Recorded(props: ChargePageProps): JSX.Element {
  return (
    <section class="sheet">
      <h2>{say.charging.recorded}</h2>
      <table class="stack">
        <thead>
          <tr>
            <th scope="col">{say.charging.what}</th>
            <th scope="col" class="figure">
              {say.charging.mass}
            </th>
            <th scope="col">{say.charging.withWord}</th>
            <th scope="col">{say.charging.when}</th>
          </tr>
        </thead>
        <tbody>
          {props.charges.map((charge) => (
            <tr key={charge.id}>
              <th scope="row">{whatWords(charge)}</th>
              <td data-label={say.charging.mass} class="figure">
                {massWords(charge)}
              </td>
              <td data-label={say.charging.withWord}>
                {charge.scale ?? say.charging.noScale}
                {charge.cylinderId === null ? null : say.charging.cylinder2(charge.cylinderId)}
              </td>
              <td data-label={say.charging.when}>
                <When at={charge.at} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <RecordedFacts label={say.charging.oneByOne} facts={props.recorded} />
    </section>
  )
}

type Said = Pick<
  ChargePageProps['charges'][number],
  'direction' | 'source' | 'massKg' | 'typed' | 'scale' | 'cylinderId'
>

const whatWords = ({ direction, source }: Pick<Said, 'direction' | 'source'>): string =>
  source === null || direction === 'factory-released'
    ? directionWords()[direction]
    : `${directionWords()[direction]}, ${sourceWords()[source]}`

/** "Let in, new, 100 g, with Scale 1" */
export const chargeWords = (charge: Said): string =>
  [
    whatWords(charge),
    massWords(charge),
    charge.scale === null ? say.charging.noScale : say.charging.withWord2(charge.scale),
    charge.cylinderId === null ? null : say.charging.cylinder3(charge.cylinderId),
  ]
    .filter((part) => part !== null)
    .join(', ')

function massWords(charge: Pick<Said, 'typed' | 'direction'>): string {
  const typed = charge.typed.mass
  if (typed) return `${typed.value}\u00a0${UNIT_LABELS[typed.unit as 'g'] ?? typed.unit}`
  return charge.direction === 'factory-released' ? say.charging.asTheSheetSays : say.charging.notWeighed2
}

function Rooms(props: ChargePageProps): JSX.Element {
  return (
    <section class="sheet">
      <h2>{say.charging.rooms}</h2>
      <p class="hint">{say.charging.isFlammableEachRoom(props.system.refrigerant)}</p>
      {props.rooms.length === 0 ? (
        <p>{say.charging.noLineSetOf}</p>
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
