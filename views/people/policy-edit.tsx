// Which criteria should the company judge by from now on, and why?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { EvidencePhoto } from '../../server/rules/policy.ts'
import { UNIT_LABELS, type Unit } from '../../server/trade/units.ts'
import type { InstrumentKind } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
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
  type CriterionWords,
  instrumentWords,
  inUnit,
  type SentCriteria,
  theCriteria,
  thePhotoWords,
  valueAt,
} from './criteria-words.ts'
import { PolicyPreviewed, type PolicyPreviewProps } from './policy-previewed.tsx'

export interface PolicyEditProps {
  shell: Shell
  /** The version that this starts from. */
  version: number
  criteria: SentCriteria
  instruments: readonly InstrumentKind[]
  photos: readonly EvidencePhoto[]
  form?: FormState | undefined
  refused?: string | undefined
  /** What these criteria would change, when that was asked for. */
  preview?: PolicyPreviewProps | undefined
}

export function PolicyEditPage(props: PolicyEditProps): JSX.Element {
  const { shell, version, criteria, form, refused } = props
  return (
    <Layout
      {...shell}
      title={say.people.setCriteria}
      width="narrow"
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <p>
        <a href="/policy">{say.people.criteria}</a>
      </p>
      <h1>{say.people.setCriteria}</h1>
      <p class="lead">{say.people.theyHoldForWhat}</p>
      {props.preview ? <PolicyPreviewed {...props.preview} /> : null}
      <form method="post" action="/policy">
        <input type="hidden" name="basedOnVersion#" value={form?.values['basedOnVersion#'] ?? version} />
        <OtherErrors form={form} fields={['criteria', 'criteria.selfSignOff?', 'reason']} />
        {theCriteria().map((group) => (
          <section key={group.title} class="sheet">
            <h2>{group.title}</h2>
            {group.criteria.map((words) => (
              <Criterion key={words.path} words={words} criteria={criteria} form={form} />
            ))}
          </section>
        ))}
        <section class="sheet">
          <h2>{say.people.en3782From}</h2>
          <AreaField
            name="criteria.torqueSet.ranges"
            label={say.people.torqueByTubeSize}
            hint={say.people.oneSizeALine}
            rows={6}
            value={(criteria.torqueSet?.ranges ?? [])
              .map(({ tubeOd, low, high }) => `${inUnit('length', tubeOd, 'mm')} ${low.value} ${high.value}`)
              .join('\n')}
            required={false}
            form={form}
          />
          <TextField
            name="criteria.torqueSet.source"
            label={say.people.editionAndTable}
            value={criteria.torqueSet?.source}
            maxlength={500}
            required={false}
            form={form}
          />
        </section>
        <section class="sheet">
          <h2>{say.people.leaks}</h2>
          <QuantityField
            name="criteria.vacuum.leakRate"
            label={say.people.largestLeakRateOf}
            hint={say.people.emptyNoneIsSet}
            units={[{ value: 'Pa.m3/s', label: 'Pa·m³/s' }]}
            unit="Pa.m3/s"
            quantity="leak-rate"
            value={criteria.vacuum.leakRate === null ? undefined : String(criteria.vacuum.leakRate.value)}
            required={false}
            form={form}
          />
          <QuantityField
            name="criteria.bubbleSensitivity.rate"
            label={say.people.whatBubblesSeeOn}
            hint={say.people.onlyWithAFigure}
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
            label={say.people.whereThatFigureComes}
            value={criteria.bubbleSensitivity?.source}
            maxlength={500}
            required={false}
            form={form}
          />
        </section>
        <section class="sheet">
          <h2>{say.people.instrumentsAreConfirmedEvery}</h2>
          <p class="why">{say.people.inDaysEmptyNot}</p>
          {props.instruments.map((kind) => (
            <TextField
              key={kind}
              name={`criteria.confirmationDays.${kind}#`}
              label={instrumentWords()[kind]}
              inputmode="numeric"
              value={criteria.confirmationDays[kind]?.toString()}
              form={form}
            />
          ))}
        </section>
        <section class="sheet">
          <h2>{say.people.peopleAndPhotos}</h2>
          <AreaField
            name="criteria.handlerSchemes"
            label={say.people.licencesThatThoseWho}
            hint={say.people.oneALineAs}
            value={criteria.handlerSchemes.join('\n')}
            form={form}
          />
          <fieldset class="field">
            <legend>{say.people.photosBeforeRelease}</legend>
            {props.photos.map((photo) => (
              <CheckField
                key={photo}
                name={`criteria.evidence.photos.${photo}`}
                label={thePhotoWords()[photo]}
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
            label={say.people.reason}
            hint={say.people.neededWhenACriterion}
            maxlength={2000}
            form={form}
          />
          <p class="why">{say.policyPreview.whatItDoes}</p>
          <div class="buttons">
            <Button>{say.people.setTheseCriteria}</Button>
            <Button kind="other" formaction="/policy/preview" formmethod="get">
              {say.policyPreview.seeWhatWouldChange}
            </Button>
          </div>
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
          { value: 'yes', label: say.people.yes },
          { value: 'no', label: say.people.no },
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
