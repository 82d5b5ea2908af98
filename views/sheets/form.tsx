// What does the manual of this model say? Every figure in the unit it is printed in.

import type { ComponentChildren, JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { REFRIGERANT_NAMES } from '../../server/vocabulary.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import {
  type FormState,
  fieldErrors,
  fieldValue,
  type Option,
  OtherErrors,
  QuantityField,
  SelectField,
  TextField,
  type UnitOption,
} from '../parts/field.tsx'
import { MASS_UNITS, TEST_PRESSURE_UNITS, unitOptions, VACUUM_UNITS } from '../section-tests/unit-options.ts'
import { TUBE_SIZES } from '../systems/line-set-form.tsx'

const LENGTH_UNITS = unitOptions('length', ['m', 'ft'])
const DIAMETER_UNITS = unitOptions('length', ['mm', 'in'])
const TORQUE_UNITS = unitOptions('torque', ['N.m', 'ft.lbf', 'in.lbf', 'kgf.cm'])
const ADDER_UNITS = unitOptions('mass-per-length', ['g/m', 'oz/ft'])
const DIFFERENCE_UNITS = unitOptions('temperature-difference', ['K', 'degF.diff'])

const SCHEMES: Option[] = [
  { value: 'per-line', label: 'for each line, beyond the pre-charged length' },
  { value: 'total-length', label: 'for all lines together, beyond it' },
  { value: 'maker-table', label: 'as the maker’s table says' },
]
const LUBRICATIONS: Option[] = [
  { value: 'face', label: 'oil on the flare face' },
  { value: 'face-and-back', label: 'oil on face and back of the flare' },
  { value: 'none', label: 'no oil' },
  { value: 'sealant', label: 'sealant' },
]

const FIELDS = [
  'maker',
  'model',
  'kind',
  'refrigerant',
  'source',
  'factoryCharge',
  'maxCharge',
  'prechargedLength',
  'chargeScheme',
  'chargeAdders',
  'perIndoorUnit',
  'makerTableCharge',
  'minLength',
  'maxLength',
  'maxTotalLength',
  'maxRise',
  'maxRiseOutdoorAbove',
  'maxRiseOutdoorBelow',
  'testPressureGauge',
  'maxPressureGauge',
  'vacuumTarget',
  'vacuumLimit',
  'vacuumHoldMinutes#',
  'torque',
  'flareDiameter',
  'flareLubrication',
  'subcooling',
  'superheat',
  'temperatureSplit',
]

interface SheetFormProps {
  shell: Shell
  /** Field values before anything is typed. */
  start: Record<string, string>
  form?: FormState | undefined
}

export function NewSheet(props: SheetFormProps & { id: string }): JSX.Element {
  return (
    <Layout {...props.shell} title="New equipment sheet" width="narrow">
      <h1>New equipment sheet</h1>
      <p class="lead">
        Enter what the manual states, in the unit it is printed in, and leave out what it does not state.
      </p>
      <form method="post" action="/equipment-sheets">
        <input type="hidden" name="id" value={props.id} />
        <SheetFields start={props.start} form={props.form} />
        <Button>Keep the sheet</Button>
      </form>
    </Layout>
  )
}

export function EditSheet(props: SheetFormProps & { sheet: { id: string; name: string } }): JSX.Element {
  const path = `/equipment-sheets/${props.sheet.id}`
  return (
    <Layout {...props.shell} title={`Change ${props.sheet.name}`} width="narrow">
      <h1>Change {props.sheet.name}</h1>
      <p class="lead">
        Jobs that are open are judged by what stands here. Sealed ones keep what they were judged by.
      </p>
      <form method="post" action={path}>
        <SheetFields start={props.start} form={props.form} />
        <div class="actions">
          <Button>Keep the changes</Button>
          <a class="button other" href={path}>
            Leave it as it was
          </a>
        </div>
      </form>
    </Layout>
  )
}

function SheetFields({ start, form: sent }: Omit<SheetFormProps, 'shell'>): JSX.Element {
  const form: FormState = { values: { ...start, ...sent?.values }, errors: sent?.errors ?? [] }
  const quantity = (
    name: string,
    label: string,
    kind: string,
    units: readonly UnitOption[],
    hint?: string,
  ) => (
    <QuantityField
      name={name}
      label={label}
      hint={hint}
      required={false}
      quantity={kind}
      units={units}
      unit={units[0]?.value ?? ''}
      form={form}
    />
  )
  const rows = (list: string) => Array.from({ length: Number(form.values[`_${list}Rows`] ?? 0) }, (_, n) => n)
  return (
    <>
      <OtherErrors form={form} fields={FIELDS} />
      {['torque', 'flareDiameter', 'chargeAdders', 'perIndoorUnit'].map((list) => (
        <input key={list} type="hidden" name={`_${list}Rows`} value={form.values[`_${list}Rows`]} />
      ))}
      <TextField name="maker" label="Maker" required maxlength={120} form={form} />
      <TextField name="model" label="Model" required maxlength={120} form={form} />
      <TextField
        name="kind"
        label="Kind"
        hint="In words: wall split, ducted, four-zone outdoor unit."
        required
        maxlength={60}
        form={form}
      />
      <SelectField
        name="refrigerant"
        label="Refrigerant"
        beside
        options={REFRIGERANT_NAMES.map((name) => ({ value: name, label: name }))}
        form={form}
      />
      <TextField
        name="source.document"
        label="Read from"
        hint="The document’s title, edition or date. Every judgement names it."
        required
        maxlength={200}
        form={form}
      />
      <TextField name="source.page" label="Page" required maxlength={40} form={form} />

      <Part title="Torque and flares" open>
        <RangeRows
          list="torque"
          caption="Nut torque"
          rows={rows('torque')}
          units={TORQUE_UNITS}
          form={form}
        />
        <RangeRows
          list="flareDiameter"
          caption="Flare diameter"
          rows={rows('flareDiameter')}
          units={DIAMETER_UNITS}
          form={form}
        />
        <SelectField
          name="flareLubrication"
          label="On the flare"
          choose="not stated"
          options={LUBRICATIONS}
          form={form}
        />
      </Part>

      <Part title="Pressure and vacuum" open>
        {quantity('testPressureGauge', 'Test pressure, gauge', 'pressure', TEST_PRESSURE_UNITS)}
        {quantity(
          'maxPressureGauge',
          'Never above, gauge',
          'pressure',
          TEST_PRESSURE_UNITS,
          'The largest pressure on the plate.',
        )}
        {quantity('vacuumTarget', 'Vacuum to reach', 'vacuum', VACUUM_UNITS)}
        {quantity('vacuumLimit', 'Limit while isolated', 'vacuum', VACUUM_UNITS)}
        <TextField
          name="vacuumHoldMinutes#"
          label="Isolated for, minutes"
          required={false}
          inputmode="decimal"
          form={form}
        />
      </Part>

      <Part title="Charge" open>
        {quantity('factoryCharge', 'Factory charge', 'mass', MASS_UNITS)}
        {quantity('maxCharge', 'Largest charge', 'mass', MASS_UNITS)}
        {quantity('prechargedLength', 'Pre-charged for a length of', 'length', LENGTH_UNITS)}
        <SelectField
          name="chargeScheme"
          label="More charge is counted"
          choose="not stated"
          options={SCHEMES}
          form={form}
        />
        <table class="fill-in">
          <caption class="vh">More charge by length</caption>
          <thead>
            <tr>
              <th scope="col">Liquid tube</th>
              <th scope="col">More per length</th>
            </tr>
          </thead>
          <tbody>
            {rows('chargeAdders').map((row) => (
              <tr key={row}>
                <td>
                  <Size
                    name={`chargeAdders.${row}.liquidOd`}
                    form={form}
                    label={`Liquid tube, row ${row + 1}`}
                  />
                </td>
                <td>
                  <div class="beside">
                    <Figure
                      name={`chargeAdders.${row}.perLength.value`}
                      form={form}
                      label={`More per length, row ${row + 1}`}
                    />
                    <Units
                      name={`chargeAdders.${row}.perLength.unit`}
                      units={ADDER_UNITS}
                      form={form}
                      label={`Unit, row ${row + 1}`}
                    />
                  </div>
                  <RowMessage path={`chargeAdders.${row}`} form={form} />
                </td>
              </tr>
            ))}
          </tbody>
        </table>
        <details open={rows('perIndoorUnit').length > 2}>
          <summary>More for each indoor unit, or the maker’s table</summary>
          <table class="fill-in">
            <caption class="vh">More charge by indoor unit</caption>
            <thead>
              <tr>
                <th scope="col">Indoor model</th>
                <th scope="col">More charge</th>
              </tr>
            </thead>
            <tbody>
              {rows('perIndoorUnit').map((row) => (
                <tr key={row}>
                  <td>
                    <Figure
                      name={`perIndoorUnit.${row}.model`}
                      form={form}
                      label={`Indoor model, row ${row + 1}`}
                      words
                    />
                  </td>
                  <td>
                    <div class="beside">
                      <Figure
                        name={`perIndoorUnit.${row}.mass.value`}
                        form={form}
                        label={`More charge, row ${row + 1}`}
                      />
                      <Units
                        name={`perIndoorUnit.${row}.mass.unit`}
                        units={MASS_UNITS}
                        form={form}
                        label={`Unit, row ${row + 1}`}
                      />
                    </div>
                    <RowMessage path={`perIndoorUnit.${row}`} form={form} />
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
          {quantity('makerTableCharge', 'Required mass by the maker’s table', 'mass', MASS_UNITS)}
        </details>
      </Part>

      <Part title="Line lengths and rise">
        {quantity('minLength', 'Shortest', 'length', LENGTH_UNITS)}
        {quantity('maxLength', 'Longest, each', 'length', LENGTH_UNITS)}
        {quantity('maxTotalLength', 'Longest, all together', 'length', LENGTH_UNITS)}
        {quantity('maxRise', 'Rise, either way', 'length', LENGTH_UNITS)}
        {quantity('maxRiseOutdoorAbove', 'Rise, outdoor unit above', 'length', LENGTH_UNITS)}
        {quantity('maxRiseOutdoorBelow', 'Rise, outdoor unit below', 'length', LENGTH_UNITS)}
      </Part>

      <Part title="Running">
        <table class="fill-in">
          <caption class="vh">Running figures</caption>
          <thead>
            <tr>
              <th scope="col">Figure</th>
              <th scope="col">Lowest</th>
              <th scope="col">Highest</th>
              <th scope="col">Unit</th>
            </tr>
          </thead>
          <tbody>
            {[
              { name: 'subcooling', label: 'Subcooling' },
              { name: 'superheat', label: 'Superheat' },
              { name: 'temperatureSplit', label: 'Air, return to supply' },
            ].map(({ name, label }) => (
              <tr key={name}>
                <td>
                  {label}
                  <RowMessage path={name} form={form} />
                </td>
                <Ends name={name} label={label} units={DIFFERENCE_UNITS} form={form} />
              </tr>
            ))}
          </tbody>
        </table>
      </Part>
    </>
  )
}

function Part(props: {
  title: string
  open?: boolean | undefined
  children: ComponentChildren
}): JSX.Element {
  return (
    <details class="form-part" open={props.open}>
      <summary>
        <h2>{props.title}</h2>
      </summary>
      {props.children}
    </details>
  )
}

function RangeRows(props: {
  list: string
  caption: string
  rows: readonly number[]
  units: readonly UnitOption[]
  form: FormState
}): JSX.Element {
  return (
    <table class="fill-in">
      <caption>{props.caption}</caption>
      <thead>
        <tr>
          <th scope="col">Tube</th>
          <th scope="col">Lowest</th>
          <th scope="col">Highest</th>
          <th scope="col">Unit</th>
        </tr>
      </thead>
      <tbody>
        {props.rows.map((row) => (
          <tr key={row}>
            <td>
              <Size
                name={`${props.list}.${row}.tubeOd`}
                form={props.form}
                label={`Tube, row ${row + 1} of ${props.caption}`}
              />
              <RowMessage path={`${props.list}.${row}`} form={props.form} />
            </td>
            <Ends
              name={`${props.list}.${row}`}
              label={`${props.caption}, row ${row + 1}`}
              units={props.units}
              form={props.form}
            />
          </tr>
        ))}
      </tbody>
    </table>
  )
}

/** Lowest, highest and their unit: three cells. */
function Ends(props: {
  name: string
  label: string
  units: readonly UnitOption[]
  form: FormState
}): JSX.Element {
  return (
    <>
      <td>
        <Figure name={`${props.name}.low#`} form={props.form} label={`Lowest: ${props.label}`} />
      </td>
      <td>
        <Figure name={`${props.name}.high#`} form={props.form} label={`Highest: ${props.label}`} />
      </td>
      <td>
        <Units
          name={`${props.name}.unit`}
          units={props.units}
          form={props.form}
          label={`Unit: ${props.label}`}
        />
      </td>
    </>
  )
}

/** A control in a table cell: the column says what it is to the eye, the label to who can't see it. */
interface Cell {
  name: string
  label: string
  form: FormState
}

function Figure({ name, label, form, words }: Cell & { words?: boolean | undefined }): JSX.Element {
  const wrong = fieldErrors(name, form).length > 0
  return (
    <input
      class={words === true ? undefined : 'number'}
      type="text"
      inputmode={words === true ? 'text' : 'decimal'}
      autocomplete="off"
      name={name}
      aria-label={label}
      aria-invalid={wrong ? 'true' : undefined}
      value={fieldValue(name, form)}
    />
  )
}

function Units({ name, label, form, units }: Cell & { units: readonly UnitOption[] }): JSX.Element {
  const chosen = fieldValue(name, form, units[0]?.value)
  return (
    <select name={name} aria-label={label}>
      {units.map((unit) => (
        <option key={unit.value} value={unit.value} selected={unit.value === chosen}>
          {unit.label}
        </option>
      ))}
    </select>
  )
}

function Size({ name, label, form }: Cell): JSX.Element {
  const chosen = fieldValue(name, form)
  const listed = chosen === '' || TUBE_SIZES.some((size) => size.value === chosen)
  return (
    <select name={name} aria-label={label}>
      <option value="" selected={chosen === ''}>
        –
      </option>
      {TUBE_SIZES.map((size) => (
        <option key={size.value} value={size.value} selected={size.value === chosen}>
          {size.label}
        </option>
      ))}
      {listed ? null : (
        <option value={chosen} selected>
          {chosen}
        </option>
      )}
    </select>
  )
}

function RowMessage({ path, form }: { path: string; form: FormState }): JSX.Element | null {
  const errors = fieldErrors(path, form)
  return errors.length === 0 ? null : <p class="message">{[...new Set(errors)].join(' ')}</p>
}
