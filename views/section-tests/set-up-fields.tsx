// What is asked before either kind of test: which job, which sections, which gauge, and what it repeats?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import {
  CheckField,
  type FormState,
  fieldId,
  fieldName,
  type Option,
  SelectField,
  TextField,
} from '../parts/field.tsx'

export interface SetUpProps {
  system: { id: string; name: string }
  /** Fresh, so that sending twice does no harm. */
  freshId: string
  jobs: readonly Option[]
  jobId: string
  sections: readonly { field: 'lineSetId' | 'unitId' | 'jointId'; id: string; label: string }[]
  gauges: readonly Option[]
  crew: readonly Option[]
  earlier: readonly Option[]
  repeatOf: string
  form?: FormState | undefined
  /** Why the whole was refused, where no field is at fault. */
  refused?: string | undefined
}

/** Where this form stands, whatever the address says after it was refused. */
export const pageOf = ({ system, jobId }: Pick<SetUpProps, 'system' | 'jobId'>, kind: string): string =>
  `/systems/${system.id}/${kind}/new${jobId === '' ? '' : `?jobId=${jobId}`}`

export function SetUpFields(props: SetUpProps & { gaugeLabel: string }): JSX.Element {
  return (
    <>
      <input type="hidden" name="id" value={props.freshId} />
      {props.jobs.length === 1 ? (
        <input type="hidden" name="jobId" value={props.jobs[0]?.value} />
      ) : (
        <SelectField
          name="jobId"
          label={say.tests.job}
          options={props.jobs}
          value={props.jobId}
          form={props.form}
        />
      )}
      <Sections sections={props.sections} form={props.form} />
      <SelectField
        name="gaugeInstrumentId"
        label={props.gaugeLabel}
        choose={say.tests.chooseAGauge}
        options={props.gauges}
        value={props.gauges.length === 1 ? props.gauges[0]?.value : undefined}
        form={props.form}
        required
      />
      <CheckField
        name="throughOutdoorUnit?"
        label={say.tests.withTheOutdoorUnit}
        hint={say.tests.leaveItEmptyWhile}
        form={props.form}
      />
    </>
  )
}

/** Ticking none means all of it, so that the common case takes no tap. */
function Sections(props: Pick<SetUpProps, 'sections' | 'form'>): JSX.Element | null {
  if (props.sections.length < 2) return null
  return (
    <fieldset class="field field-choice">
      <legend>{say.tests.underTest}</legend>
      <p class="hint" id="sections-hint">
        {say.tests.leaveAllOfThem}
      </p>
      <div class="choices">
        {props.sections.map((section, index) => {
          const name = `covers.${index}.${section.field}`
          return (
            <label class="choice" key={section.id}>
              <input
                type="checkbox"
                id={fieldId(name, props.form)}
                name={name}
                value={section.id}
                checked={props.form?.values[name] === section.id}
                aria-describedby="sections-hint"
              />
              <span>{section.label}</span>
            </label>
          )
        })}
      </div>
    </fieldset>
  )
}

export function RepeatFields(props: Pick<SetUpProps, 'earlier' | 'repeatOf' | 'form'>): JSX.Element | null {
  if (props.earlier.length === 0) return null
  return (
    <details open={props.repeatOf !== '' || props.form?.values.repeatCause !== undefined}>
      <summary>
        <span>{say.tests.repeatsAnEarlierTest}</span>
      </summary>
      <SelectField
        name="repeatOf"
        label={say.tests.whichOne}
        choose={say.tests.itRepeatsNone}
        options={props.earlier}
        value={props.repeatOf}
        form={props.form}
        required={false}
      />
      <TextField
        name="repeatCause"
        label={say.tests.whatWasWrongAnd}
        hint={say.tests.afterAFailedTest}
        form={props.form}
        required={false}
        maxlength={500}
      />
    </details>
  )
}

/** When it was done and by whom, where that is not now and not whoever types. */
export function WhoAndWhen(props: {
  crew: readonly Option[]
  form?: FormState | undefined
  /** "When it began" */
  when: string
  /** Set where something recorded is corrected: left empty, all of this stays as it was said. */
  kept?: boolean | undefined
}): JSX.Element {
  const kept = props.kept === true
  const given = ['performedAt@', 'performedBy', 'supervisedBy'].some(
    (name) => (props.form?.values[fieldName(name, props.form)] ?? '') !== '',
  )
  return (
    <details open={given}>
      <summary>
        <span>{kept ? say.tests.whenItWasDone : say.tests.earlierOrBySomebody}</span>
      </summary>
      <MomentField
        name="performedAt@"
        label={props.when}
        hint={kept ? say.tests.leaveItEmptyTo : say.tests.leaveItEmptyFor}
        form={props.form}
      />
      <SelectField
        name="performedBy"
        label={say.tests.whoDidIt}
        choose={kept ? say.tests.asRecorded : say.tests.you}
        options={props.crew}
        form={props.form}
        required={false}
      />
      <SelectField
        name="supervisedBy"
        label={say.tests.whoSupervised}
        choose={kept ? say.tests.asRecorded : say.tests.nobody}
        options={props.crew}
        form={props.form}
        required={false}
      />
    </details>
  )
}

/** A local date and time; `_offset` is filled by the small script, without it the time counts as UTC. */
export function MomentField(props: {
  name: string
  label: string
  hint: string
  form?: FormState | undefined
}): JSX.Element {
  return (
    <>
      <TextField
        name={props.name}
        label={props.label}
        type="datetime-local"
        hint={
          <>
            {props.hint}
            <noscript> {say.tests.timesWithoutScriptAre}</noscript>
          </>
        }
        form={props.form}
        required={false}
      />
      <input type="hidden" name="_offset" value="0" data-offset />
    </>
  )
}
