// What is this instrument, and how far may it be off?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { INSTRUMENT_KINDS, type InstrumentKind } from '../../server/vocabulary.ts'
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
import { INSTRUMENT_KIND_WORDS } from './words.ts'

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
    <Layout {...shell} title={`New ${INSTRUMENT_KIND_WORDS[kind]}`} width="narrow">
      <h1>New {INSTRUMENT_KIND_WORDS[kind]}</h1>
      <p>
        <a href="/instruments/new">Another kind</a>
      </p>
      <form method="post" action="/instruments">
        <input type="hidden" name="id" value={id} />
        <input type="hidden" name="kind" value={kind} />
        <OtherErrors form={form} fields={FIELDS} />
        <TextField
          name="name"
          label="Name"
          hint="As the crew calls it: “Wrench 7”."
          required
          maxlength={120}
          autocomplete="off"
          form={form}
          autofocus
        />
        <TextField name="serial" label="Serial" required maxlength={120} autocomplete="off" form={form} />
        <Figures kind={kind} form={form} />
        <Button>Add the instrument</Button>
      </form>
    </Layout>
  )
}

function ChooseKind({ shell }: { shell: Shell }): JSX.Element {
  return (
    <Layout {...shell} title="New instrument" width="narrow">
      <h1>New instrument</h1>
      <form method="get" action="/instruments/new">
        <ChoiceField
          name="kind"
          label="What is it?"
          required
          options={INSTRUMENT_KINDS.map((kind) => ({ value: kind, label: INSTRUMENT_KIND_WORDS[kind] }))}
        />
        <Button>Go on</Button>
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
    <Layout {...shell} title={`Change ${instrument.name}`} width="narrow">
      <h1>Change {instrument.name}</h1>
      <p class="lead">
        A {INSTRUMENT_KIND_WORDS[instrument.kind]}. What was measured with it before stays as it is.
      </p>
      <form method="post" action={`/instruments/${instrument.id}`}>
        <OtherErrors form={form} fields={FIELDS} />
        <TextField name="name" label="Name" required maxlength={120} value={instrument.name} form={form} />
        <Figures kind={instrument.kind} instrument={instrument} policyDays={policyDays} form={form} />
        <ChoiceField
          name="active?"
          label="In use?"
          inline
          required
          options={[
            { value: 'yes', label: 'in use' },
            { value: 'no', label: 'out of use' },
          ]}
          value={instrument.active ? 'yes' : 'no'}
          form={form}
        />
        <div class="actions">
          <Button>Keep the changes</Button>
          <a class="button other" href={`/instruments/${instrument.id}`}>
            Leave it as it was
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
            label="Accuracy, ± percent"
            hint="Of full scale where that is given below, else of the reading."
            required={false}
            inputmode="decimal"
            value={instrument?.accuracyPercent == null ? undefined : String(instrument.accuracyPercent)}
            form={form}
          />
          {figure('accuracyAbsolute', 'or accuracy, ±')}
          {figure('fullScale', 'Full scale')}
          {figure('resolution', 'Resolution', 'The smallest step it shows.')}
          {figure('repeatability', 'Repeatability', 'From its data sheet.')}
        </>
      ) : null}
      {kind === 'pressure-gauge' || kind === 'vacuum-gauge' ? (
        <CheckField
          name="compound?"
          label="Shows both pressure and vacuum"
          hint="Such a gauge can’t show a deep vacuum, and no evacuation is judged by it."
          value={instrument?.compound === true ? 'true' : undefined}
          form={form}
        />
      ) : null}
      <TextField
        name="calibrationIntervalDays#"
        label="Checked every, days"
        hint={
          policyDays === undefined || policyDays === null
            ? 'Left out: as the policy says for its kind. Where both are given the shorter one counts.'
            : `Left out: every ${policyDays} days, as the policy says. Where both are given the shorter one counts.`
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
