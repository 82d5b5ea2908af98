// What is asked for here, what was typed, and what is wrong with it?

import type { ComponentChildren, JSX } from 'preact'
import { say } from '../../server/words/say.ts'

export interface FormState {
  /** What was typed, by field name, so that nothing is lost on a refusal. */
  values: Record<string, string>
  errors: readonly { path: string; message: string }[]
  /** Sets the ids of two forms on one page apart. */
  scope?: string | undefined
  /** Where these fields are part of something larger: `replacement.` goes before each name. */
  prefix?: string | undefined
}

/** What a control is called in the form. */
export const fieldName = (name: string, form?: FormState | undefined): string => (form?.prefix ?? '') + name

export interface Option {
  value: string
  label: string
  disabled?: boolean | undefined
}

interface Asked {
  name: string
  label: string
  /** What is wanted and why, in one line, before the control. */
  hint?: ComponentChildren
  form?: FormState | undefined
  required?: boolean | undefined
  /** Start value, used while the form holds none. */
  value?: string | undefined
}

/** The id of a field's control; `#${fieldId(…)}` can be linked to. */
export function fieldId(name: string, form?: FormState | undefined): string {
  const safe = name.replace(/[^A-Za-z0-9_-]+/g, '-')
  return form?.scope === undefined ? `f-${safe}` : `f-${form.scope}-${safe}`
}

export function fieldValue(name: string, form?: FormState | undefined, start = ''): string {
  return form?.values[fieldName(name, form)] ?? start
}

/** The messages for a field: those of its own path and, for a quantity, those of its parts. */
export function fieldErrors(name: string, form?: FormState | undefined): string[] {
  if (form === undefined) return []
  const path = fieldName(name, form)
  return form.errors
    .filter((error) => error.path === path || error.path.startsWith(`${path}.`))
    .map((error) => error.message)
}

function isFirstWrong(name: string, form?: FormState | undefined): boolean {
  const first = form?.errors[0]?.path
  const path = fieldName(name, form)
  return first !== undefined && (first === path || first.startsWith(`${path}.`))
}

function wiring(asked: Asked) {
  const id = fieldId(asked.name, asked.form)
  const errors = fieldErrors(asked.name, asked.form)
  const describedBy = [
    asked.hint === undefined ? undefined : `${id}-hint`,
    errors.length === 0 ? undefined : `${id}-error`,
  ].filter((one) => one !== undefined)
  return {
    id,
    errors,
    control: {
      id,
      required: asked.required === true,
      'aria-invalid': errors.length === 0 ? undefined : ('true' as const),
      'aria-describedby': describedBy.length === 0 ? undefined : describedBy.join(' '),
      autofocus: isFirstWrong(asked.name, asked.form),
    },
  }
}

function Around(props: { asked: Asked; kind: string; children: ComponentChildren }): JSX.Element {
  const { id, errors } = wiring(props.asked)
  return (
    <div class={`field field-${props.kind}${errors.length === 0 ? '' : ' field-wrong'}`}>
      <label for={id}>
        {props.asked.label}
        {props.asked.required === false ? <span class="soft"> {say.parts.ifYouHaveIt}</span> : null}
      </label>
      {props.asked.hint === undefined ? null : (
        <p class="hint" id={`${id}-hint`}>
          {props.asked.hint}
        </p>
      )}
      {props.children}
      <Messages id={id} errors={errors} />
    </div>
  )
}

function Messages(props: { id: string; errors: readonly string[] }): JSX.Element | null {
  if (props.errors.length === 0) return null
  return (
    <p class="message" id={`${props.id}-error`}>
      {props.errors.join(' ')}
    </p>
  )
}

export interface TextFieldProps extends Asked {
  type?:
    | 'text'
    | 'email'
    | 'password'
    | 'search'
    | 'tel'
    | 'date'
    | 'datetime-local'
    | 'time'
    | 'url'
    | undefined
  autocomplete?: string | undefined
  inputmode?: 'text' | 'decimal' | 'numeric' | 'email' | 'search' | 'tel' | undefined
  maxlength?: number | undefined
  placeholder?: string | undefined
  autofocus?: boolean | undefined
  /** Of a moment: 1 lets seconds be entered. */
  step?: number | undefined
}

export function TextField(props: TextFieldProps): JSX.Element {
  const { control } = wiring(props)
  // preact types an input by its kind; one of them stands for all the kinds that take text.
  const type = (props.type ?? 'text') as 'text'
  return (
    <Around asked={props} kind="text">
      <input
        {...control}
        autofocus={control.autofocus || (props.autofocus === true && (props.form?.errors.length ?? 0) === 0)}
        name={fieldName(props.name, props.form)}
        type={type}
        value={props.type === 'password' ? undefined : fieldValue(props.name, props.form, props.value)}
        autocomplete={props.autocomplete}
        inputmode={props.inputmode}
        maxlength={props.maxlength}
        placeholder={props.placeholder}
        step={props.step}
      />
    </Around>
  )
}

export function AreaField(
  props: Asked & {
    rows?: number | undefined
    maxlength?: number | undefined
    /** The reader came here to fill it in. */
    focus?: boolean | undefined
  },
): JSX.Element {
  const { control } = wiring(props)
  return (
    <Around asked={props} kind="area">
      <textarea
        {...control}
        autofocus={control.autofocus || props.focus === true}
        name={fieldName(props.name, props.form)}
        rows={props.rows ?? 3}
        maxlength={props.maxlength}
      >
        {fieldValue(props.name, props.form, props.value)}
      </textarea>
    </Around>
  )
}

export interface SelectFieldProps extends Asked {
  options: readonly Option[]
  /** Shown first while nothing is chosen: "Choose a wrench". */
  choose?: string | undefined
  /** The label stands beside the control, to save a line on a phone. */
  beside?: boolean | undefined
}

export function SelectField(props: SelectFieldProps): JSX.Element {
  const { control } = wiring(props)
  const chosen = fieldValue(props.name, props.form, props.value)
  return (
    <Around asked={props} kind={props.beside === true ? 'select field-beside' : 'select'}>
      <select {...control} name={fieldName(props.name, props.form)}>
        {props.choose === undefined ? null : (
          <option value="" selected={chosen === ''}>
            {props.choose}
          </option>
        )}
        <Options options={props.options} chosen={chosen} />
      </select>
    </Around>
  )
}

function Options(props: { options: readonly Option[]; chosen: string }): JSX.Element {
  return (
    <>
      {props.options.map((option) => (
        <option
          key={option.value}
          value={option.value}
          selected={option.value === props.chosen}
          disabled={option.disabled === true}
        >
          {option.label}
        </option>
      ))}
    </>
  )
}

export interface UnitOption extends Option {
  /** One of this unit in the quantity's SI unit; lets the phone show the other unit while typing. */
  factor?: number | undefined
  /** Added after the factor: degrees. */
  offset?: number | undefined
}

export interface QuantityFieldProps extends Asked {
  units: readonly UnitOption[]
  /** The unit that stands first: the person's own. */
  unit: string
  /** The kind of quantity ("torque", "pressure"): the unit switch is remembered by it. */
  quantity: string
  /** Large figures, for the one number of a step. */
  large?: boolean | undefined
  /** The same value in the other unit, in words: "28.3 ft·lbf". */
  also?: string | undefined
}

/** Posts `<name>.value` and `<name>.unit`; what was typed goes out as typed. */
export function QuantityField(props: QuantityFieldProps): JSX.Element {
  const { id, control } = wiring(props)
  const chosen = fieldValue(`${props.name}.unit`, props.form, props.unit)
  const only = props.units.length === 1 ? props.units[0] : undefined
  const factors = props.units.every((unit) => unit.factor !== undefined)
    ? JSON.stringify(
        props.units.map((unit) => ({
          unit: unit.value,
          label: unit.label,
          factor: unit.factor,
          offset: unit.offset ?? 0,
        })),
      )
    : undefined
  return (
    <Around asked={props} kind="quantity">
      <div class="quantity" data-quantity={props.quantity} data-units={factors}>
        <input
          {...control}
          class={props.large === true ? 'number number-large' : 'number'}
          name={fieldName(`${props.name}.value`, props.form)}
          type="text"
          inputmode="decimal"
          autocomplete="off"
          value={fieldValue(`${props.name}.value`, props.form, props.value)}
        />
        {only === undefined ? (
          <select
            name={fieldName(`${props.name}.unit`, props.form)}
            id={`${id}-unit`}
            aria-label={say.parts.unitOf(props.label)}
          >
            <Options options={props.units} chosen={chosen} />
          </select>
        ) : (
          <span class="unit">
            {only.label}
            <input type="hidden" name={fieldName(`${props.name}.unit`, props.form)} value={only.value} />
          </span>
        )}
        <output class="also" for={id}>
          {props.also}
        </output>
      </div>
    </Around>
  )
}

export interface ChoiceFieldProps extends Asked {
  options: readonly (Option & { note?: string | undefined })[]
  /** Side by side where there is room. */
  inline?: boolean | undefined
}

/** One of a few: radio buttons, each as large as a thumb. */
export function ChoiceField(props: ChoiceFieldProps): JSX.Element {
  const { id, errors, control } = wiring(props)
  const chosen = fieldValue(props.name, props.form, props.value)
  return (
    <fieldset
      class={`field field-choice${props.inline === true ? ' inline' : ''}${errors.length === 0 ? '' : ' field-wrong'}`}
      aria-describedby={control['aria-describedby']}
    >
      <legend>{props.label}</legend>
      {props.hint === undefined ? null : (
        <p class="hint" id={`${id}-hint`}>
          {props.hint}
        </p>
      )}
      <div class="choices">
        {props.options.map((option, index) => (
          <label class="choice" key={option.value}>
            <input
              type="radio"
              id={index === 0 ? id : `${id}-${index}`}
              name={fieldName(props.name, props.form)}
              value={option.value}
              checked={option.value === chosen}
              disabled={option.disabled === true}
              required={props.required === true}
              aria-invalid={control['aria-invalid']}
              autofocus={index === 0 && control.autofocus}
            />
            <span>
              {option.label}
              {option.note === undefined ? null : <span class="soft"> {option.note}</span>}
            </span>
          </label>
        ))}
      </div>
      <Messages id={id} errors={errors} />
    </fieldset>
  )
}

/** A yes that stands alone; posts `true` when ticked and nothing otherwise. */
export function CheckField(props: Asked): JSX.Element {
  const { id, errors, control } = wiring(props)
  return (
    <div class={`field field-check${errors.length === 0 ? '' : ' field-wrong'}`}>
      <label class="choice" for={id}>
        <input
          {...control}
          type="checkbox"
          name={fieldName(props.name, props.form)}
          value="true"
          checked={fieldValue(props.name, props.form, props.value) === 'true'}
        />
        <span>{props.label}</span>
      </label>
      {props.hint === undefined ? null : (
        <p class="hint" id={`${id}-hint`}>
          {props.hint}
        </p>
      )}
      <Messages id={id} errors={errors} />
    </div>
  )
}

/**
 * `camera`: a phone opens its camera at once. HEIC is left out of what is taken, so that a phone which keeps its photos
 * so hands them over as JPEG.
 */
export function PhotoField(
  props: Asked & { several?: boolean | undefined; camera?: boolean | undefined },
): JSX.Element {
  const { control } = wiring(props)
  return (
    <Around asked={props} kind="photo">
      <input
        {...control}
        type="file"
        name={fieldName(props.name, props.form)}
        accept="image/jpeg,image/png,image/webp"
        capture={props.camera === true ? 'environment' : undefined}
        multiple={props.several === true}
      />
    </Around>
  )
}

/** A file that is read rather than kept to look at: a log, a table. */
export function FileField(props: Asked & { accept: string }): JSX.Element {
  const { control } = wiring(props)
  return (
    <Around asked={props} kind="file">
      <input {...control} type="file" name={fieldName(props.name, props.form)} accept={props.accept} />
    </Around>
  )
}

/** Messages that belong to no field of this form; without it they would be lost. */
export function OtherErrors(props: {
  form?: FormState | undefined
  fields: readonly string[]
}): JSX.Element | null {
  const left = (props.form?.errors ?? []).filter(
    (error) =>
      !props.fields
        .map((name) => fieldName(name, props.form))
        .some((path) => error.path === path || error.path.startsWith(`${path}.`)),
  )
  if (left.length === 0) return null
  return (
    <div class="message message-form" role="alert" tabindex={-1}>
      {left.map((error) => (
        <p key={`${error.path} ${error.message}`}>{error.message}</p>
      ))}
    </div>
  )
}
