// What is this instrument, and how far may it be off?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { INSTRUMENT_KINDS, type InstrumentKind } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import {
  CheckField,
  ChoiceField,
  type FormState,
  OtherErrors,
  QuantityField,
  TextField,
} from '../parts/field.tsx'
import { FIGURE_UNITS, MEASURES } from './units.ts'
import { instrumentKindWords } from './words.ts'

interface Typed {
  value: number
  unit: string
}

export interface InstrumentView {
  id: string
  kind: InstrumentKind
  name: string
  active: boolean
  compound: boolean
  accuracyPercent: number | null
  calibrationIntervalDays: number | null
  accuracyAbsolute: Typed | null
  resolution: Typed | null
  repeatability: Typed | null
  fullScale: Typed | null
}

const FIELDS = [
  'kind',
  'name',
  'serial',
  'active?',
  'compound?',
  'accuracyPercent#',
  'accuracyAbsolute',
  'resolution',
  'repeatability',
  'fullScale',
  'calibrationIntervalDays#',
]

export interface NewInstrumentProps {
  shell: Shell
  id: string
  /** Asked for first: the units of the figures depend on it. */
  kind: InstrumentKind | null
  form?: FormState | undefined
}

export function NewInstrument({ shell, id, kind, form }: NewInstrumentProps): JSX.Element {
  if (kind === null) return <ChooseKind shell={shell} />
  return (
    <Layout {...shell} title={say.instruments.newWord(instrumentKindWords()[kind])} width="narrow">
      <h1>{say.instruments.newWord(instrumentKindWords()[kind])}</h1>
      <p>
        <a href="/instruments/new">{say.instruments.anotherKind}</a>
      </p>
      <form method="post" action="/instruments">
        <input type="hidden" name="id" value={id} />
        <input type="hidden" name="kind" value={kind} />
        <OtherErrors form={form} fields={FIELDS} />
        <TextField
          name="name"
          label={say.instruments.name}
          hint={say.instruments.asTheCrewCalls}
          required
          maxlength={120}
          autocomplete="off"
          form={form}
          autofocus
        />
        <TextField
          name="serial"
          label={say.instruments.serial2}
          required
          maxlength={120}
          autocomplete="off"
          form={form}
        />
        <Figures kind={kind} form={form} />
        <Button>{say.instruments.addTheInstrument}</Button>
      </form>
    </Layout>
  )
}

function ChooseKind({ shell }: { shell: Shell }): JSX.Element {
  return (
    <Layout {...shell} title={say.instruments.newInstrument} width="narrow">
      <h1>{say.instruments.newInstrument}</h1>
      <form method="get" action="/instruments/new">
        <ChoiceField
          name="kind"
          label={say.instruments.whatIsIt}
          required
          options={INSTRUMENT_KINDS.map((kind) => ({ value: kind, label: instrumentKindWords()[kind] }))}
        />
        <Button>{say.instruments.goOn}</Button>
      </form>
    </Layout>
  )
}

export interface EditInstrumentProps {
  shell: Shell
  instrument: InstrumentView
  /** What the policy asks for this kind. */
  policyDays: number | null
  form?: FormState | undefined
}

export function EditInstrument({ shell, instrument, policyDays, form }: EditInstrumentProps): JSX.Element {
  return (
    <Layout {...shell} title={say.instruments.change(instrument.name)} width="narrow">
      <h1>{say.instruments.change(instrument.name)}</h1>
      <p class="lead">{say.instruments.aWhatWasMeasured(instrumentKindWords()[instrument.kind])}</p>
      <form method="post" action={`/instruments/${instrument.id}`}>
        <OtherErrors form={form} fields={FIELDS} />
        <TextField
          name="name"
          label={say.instruments.name}
          required
          maxlength={120}
          value={instrument.name}
          form={form}
        />
        <Figures kind={instrument.kind} instrument={instrument} policyDays={policyDays} form={form} />
        <ChoiceField
          name="active?"
          label={say.instruments.inUse}
          inline
          required
          options={[
            { value: 'yes', label: say.instruments.inUse2 },
            { value: 'no', label: say.instruments.outOfUse },
          ]}
          value={instrument.active ? 'yes' : 'no'}
          form={form}
        />
        <div class="actions">
          <Button>{say.instruments.keepTheChanges}</Button>
          <a class="button other" href={`/instruments/${instrument.id}`}>
            {say.instruments.leaveItAsIt}
          </a>
        </div>
      </form>
    </Layout>
  )
}

interface FiguresProps {
  kind: InstrumentKind
  instrument?: InstrumentView | undefined
  policyDays?: number | null | undefined
  form?: FormState | undefined
}

function Figures({ kind, instrument, policyDays, form }: FiguresProps): JSX.Element {
  const units = FIGURE_UNITS[kind]
  const figure = (
    name: 'accuracyAbsolute' | 'resolution' | 'repeatability' | 'fullScale',
    label: string,
    hint?: string,
  ) => (
    <QuantityField
      name={name}
      label={label}
      hint={hint}
      required={false}
      quantity={`figure-${kind}`}
      units={units}
      unit={instrument?.[name]?.unit ?? units[0]?.value ?? ''}
      value={instrument?.[name] == null ? undefined : String(instrument[name].value)}
      form={form}
    />
  )
  return (
    <>
      {MEASURES.has(kind) ? (
        <>
          <TextField
            name="accuracyPercent#"
            label={say.instruments.accuracyPercent}
            hint={say.instruments.ofFullScaleWhere}
            required={false}
            inputmode="decimal"
            value={instrument?.accuracyPercent == null ? undefined : String(instrument.accuracyPercent)}
            form={form}
          />
          {figure('accuracyAbsolute', say.instruments.orAccuracy)}
          {figure('fullScale', say.instruments.fullScale)}
          {figure('resolution', say.instruments.resolution, say.instruments.theSmallestStepIt)}
          {figure('repeatability', say.instruments.repeatability, say.instruments.fromItsDataSheet)}
        </>
      ) : null}
      {kind === 'pressure-gauge' || kind === 'vacuum-gauge' ? (
        <CheckField
          name="compound?"
          label={say.instruments.showsBothPressureAnd}
          hint={say.instruments.suchAGaugeCant}
          value={instrument?.compound === true ? 'true' : undefined}
          form={form}
        />
      ) : null}
      <TextField
        name="calibrationIntervalDays#"
        label={say.instruments.checkedEveryDays}
        hint={
          policyDays === undefined || policyDays === null
            ? say.instruments.leftOutAsThe
            : say.instruments.leftOutEveryDays(policyDays)
        }
        required={false}
        inputmode="numeric"
        value={
          instrument?.calibrationIntervalDays == null ? undefined : String(instrument.calibrationIntervalDays)
        }
        form={form}
      />
    </>
  )
}
