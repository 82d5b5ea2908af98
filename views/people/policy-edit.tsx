// Which criteria should the company judge by from now on, and why?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { EvidencePhoto } from '../../server/rules/policy.ts'
import { UNIT_LABELS, type Unit } from '../../server/trade/units.ts'
import type { InstrumentKind } from '../../server/vocabulary.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import {
  AreaField,
  CheckField,
  ChoiceField,
  type FormState,
  OtherErrors,
  QuantityField,
  SelectField,
  TextField,
} from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'
import {
  CRITERIA,
  type CriterionWords,
  INSTRUMENT_WORDS,
  inUnit,
  PHOTO_WORDS,
  type SentCriteria,
  valueAt,
} from './criteria-words.ts'

export interface PolicyEditProps {
  shell: Shell
  /** The version that this starts from. */
  version: number
  criteria: SentCriteria
  instruments: readonly InstrumentKind[]
  photos: readonly EvidencePhoto[]
  form?: FormState | undefined
  refused?: string | undefined
}

export function PolicyEditPage(props: PolicyEditProps): JSX.Element {
  const { shell, version, criteria, form, refused } = props
  return (
    <Layout
      {...shell}
      title="Set criteria"
      width="narrow"
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <p>
        <a href="/policy">Criteria</a>
      </p>
      <h1>Set criteria</h1>
      <p class="lead">
        They hold for what is judged from now on. The equipment's manual, local code and licensed practice
        come first; a criterion that asks less than the built-in one needs a reason and is named on each
        certificate.
      </p>
      <form method="post" action="/policy">
        <input type="hidden" name="basedOnVersion#" value={form?.values['basedOnVersion#'] ?? version} />
        <OtherErrors form={form} fields={['criteria', 'criteria.selfSignOff?', 'reason']} />
        {CRITERIA.map((group) => (
          <section key={group.title} class="sheet">
            <h2>{group.title}</h2>
            {group.criteria.map((words) => (
              <Criterion key={words.path} words={words} criteria={criteria} form={form} />
            ))}
          </section>
        ))}
        <section class="sheet">
          <h2>EN 378-2, from your own copy</h2>
          <AreaField
            name="criteria.torqueSet.ranges"
            label="Torque by tube size"
            hint="One size a line: tube in mm, lowest and highest torque in N·m, for example 9.52 33 42. Needed before EN 378-2 can be chosen above."
            rows={6}
            value={(criteria.torqueSet?.ranges ?? [])
              .map(({ tubeOd, low, high }) => `${inUnit('length', tubeOd, 'mm')} ${low.value} ${high.value}`)
              .join('\n')}
            required={false}
            form={form}
          />
          <TextField
            name="criteria.torqueSet.source"
            label="Edition and table"
            value={criteria.torqueSet?.source}
            maxlength={500}
            required={false}
            form={form}
          />
        </section>
        <section class="sheet">
          <h2>Leaks</h2>
          <QuantityField
            name="criteria.vacuum.leakRate"
            label="Largest leak rate of the decay"
            hint="Empty: none is set. The criteria above still hold."
            units={[{ value: 'Pa.m3/s', label: 'Pa·m³/s' }]}
            unit="Pa.m3/s"
            quantity="leak-rate"
            value={criteria.vacuum.leakRate === null ? undefined : String(criteria.vacuum.leakRate.value)}
            required={false}
            form={form}
          />
          <QuantityField
            name="criteria.bubbleSensitivity.rate"
            label="What bubbles see on indoor joints of flammable systems"
            hint="Only with a figure that you validated. Empty: bubbles alone are not enough there."
            units={[{ value: 'g/yr', label: 'g/yr' }]}
            unit="g/yr"
            quantity="mass-rate"
            value={
              criteria.bubbleSensitivity === null ? undefined : String(criteria.bubbleSensitivity.rate.value)
            }
            required={false}
            form={form}
          />
          <TextField
            name="criteria.bubbleSensitivity.source"
            label="Where that figure comes from"
            value={criteria.bubbleSensitivity?.source}
            maxlength={500}
            required={false}
            form={form}
          />
        </section>
        <section class="sheet">
          <h2>Instruments are confirmed every</h2>
          <p class="why">In days. Empty: not asked for.</p>
          {props.instruments.map((kind) => (
            <TextField
              key={kind}
              name={`criteria.confirmationDays.${kind}#`}
              label={INSTRUMENT_WORDS[kind]}
              inputmode="numeric"
              value={criteria.confirmationDays[kind]?.toString()}
              form={form}
            />
          ))}
        </section>
        <section class="sheet">
          <h2>People and photos</h2>
          <AreaField
            name="criteria.handlerSchemes"
            label="Licences that those who handle refrigerant need"
            hint="One a line, as they stand in the crew's list. Empty: none."
            value={criteria.handlerSchemes.join('\n')}
            form={form}
          />
          <fieldset class="field">
            <legend>Photos before release</legend>
            {props.photos.map((photo) => (
              <CheckField
                key={photo}
                name={`criteria.evidence.photos.${photo}`}
                label={PHOTO_WORDS[photo]}
                // A tick taken out is not posted; a form that came back says so by holding none.
                value={form === undefined && criteria.evidence.photos.includes(photo) ? 'true' : undefined}
                form={form}
              />
            ))}
          </fieldset>
        </section>
        <section class="sheet">
          <AreaField
            name="reason"
            label="Reason"
            hint="Needed when a criterion is looser than the built-in one."
            maxlength={2000}
            form={form}
          />
          <Button>Set these criteria</Button>
        </section>
      </form>
    </Layout>
  )
}

function Criterion(props: {
  words: CriterionWords
  criteria: SentCriteria
  form: FormState | undefined
}): JSX.Element {
  const { words, criteria, form } = props
  const { ask, label, hint } = words
  const name = `criteria.${words.path}`
  const value = valueAt(criteria, words.path)
  if (ask.kind === 'choice')
    return (
      <SelectField
        name={name}
        label={label}
        hint={hint}
        options={ask.options}
        value={String(value)}
        form={form}
      />
    )
  if (ask.kind === 'yes-no')
    return (
      <ChoiceField
        name={`${name}?`}
        label={label}
        hint={hint}
        options={[
          { value: 'yes', label: 'Yes' },
          { value: 'no', label: 'No' },
        ]}
        value={value === true ? 'yes' : 'no'}
        inline
        form={form}
      />
    )
  if (ask.kind === 'number')
    return (
      <TextField
        name={`${name}#`}
        label={label}
        hint={hint}
        inputmode="decimal"
        value={String(value)}
        required
        form={form}
      />
    )
  const unit = ask.units[0]
  return (
    <QuantityField
      name={name}
      label={label}
      hint={hint}
      units={ask.units.map((one) => ({ value: one, label: UNIT_LABELS[one] }))}
      unit={unit}
      quantity={ask.quantity}
      value={String(inUnit(ask.quantity, value as { value: number; unit: Unit }, unit))}
      required
      form={form}
    />
  )
}
