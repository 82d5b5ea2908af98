// What does the manual of this model say? Every figure in the unit it is printed in.

import type { ComponentChildren, JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { REFRIGERANT_NAMES } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
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

const schemes = (): Option[] => [
  { value: 'per-line', label: say.sheets.forEachLineBeyond },
  { value: 'total-length', label: say.sheets.forAllLinesTogether },
  { value: 'maker-table', label: say.sheets.asTheMakersTable },
]
const lubrications = (): Option[] => [
  { value: 'face', label: say.sheets.oilOnTheFlare },
  { value: 'face-and-back', label: say.sheets.oilOnFaceAnd },
  { value: 'none', label: say.sheets.noOil },
  { value: 'sealant', label: say.sheets.sealant },
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
    <Layout {...props.shell} title={say.sheets.newEquipmentSheet} width="narrow">
      <h1>{say.sheets.newEquipmentSheet}</h1>
      <p class="lead">{say.sheets.enterWhatTheManual}</p>
      <form method="post" action="/equipment-sheets">
        <input type="hidden" name="id" value={props.id} />
        <SheetFields start={props.start} form={props.form} />
        <Button>{say.sheets.keepTheSheet}</Button>
      </form>
    </Layout>
  )
}

export function EditSheet(props: SheetFormProps & { sheet: { id: string; name: string } }): JSX.Element {
  const path = `/equipment-sheets/${props.sheet.id}`
  return (
    <Layout {...props.shell} title={say.sheets.change(props.sheet.name)} width="narrow">
      <h1>{say.sheets.change(props.sheet.name)}</h1>
      <p class="lead">{say.sheets.jobsThatAreOpen}</p>
      <form method="post" action={path}>
        <SheetFields start={props.start} form={props.form} />
        <div class="actions">
          <Button>{say.sheets.keepTheChanges}</Button>
          <a class="button other" href={path}>
            {say.sheets.leaveItAsIt}
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
      <TextField name="maker" label={say.sheets.maker} required maxlength={120} form={form} />
      <TextField name="model" label={say.sheets.model} required maxlength={120} form={form} />
      <TextField
        name="kind"
        label={say.sheets.kind}
        hint={say.sheets.inWordsWallSplit}
        required
        maxlength={60}
        form={form}
      />
      <SelectField
        name="refrigerant"
        label={say.sheets.refrigerant}
        beside
        options={REFRIGERANT_NAMES.map((name) => ({ value: name, label: name }))}
        form={form}
      />
      <TextField
        name="source.document"
        label={say.sheets.readFrom}
        hint={say.sheets.theDocumentsTitleEdition}
        required
        maxlength={200}
        form={form}
      />
      <TextField name="source.page" label={say.sheets.page} required maxlength={40} form={form} />

      <Part title={say.sheets.torqueAndFlares} open>
        <RangeRows
          list="torque"
          caption={say.sheets.nutTorque}
          rows={rows('torque')}
          units={TORQUE_UNITS}
          form={form}
        />
        <RangeRows
          list="flareDiameter"
          caption={say.sheets.flareDiameter}
          rows={rows('flareDiameter')}
          units={DIAMETER_UNITS}
          form={form}
        />
        <SelectField
          name="flareLubrication"
          label={say.sheets.onTheFlare}
          choose={say.sheets.notStated}
          options={lubrications()}
          form={form}
        />
      </Part>

      <Part title={say.sheets.pressureAndVacuum} open>
        {quantity('testPressureGauge', say.sheets.testPressureGauge, 'pressure', TEST_PRESSURE_UNITS)}
        {quantity(
          'maxPressureGauge',
          say.sheets.neverAboveGauge,
          'pressure',
          TEST_PRESSURE_UNITS,
          say.sheets.theLargestPressureOn,
        )}
        {quantity('vacuumTarget', say.sheets.vacuumToReach, 'vacuum', VACUUM_UNITS)}
        {quantity('vacuumLimit', say.sheets.limitWhileIsolated, 'vacuum', VACUUM_UNITS)}
        <TextField
          name="vacuumHoldMinutes#"
          label={say.sheets.isolatedForMinutes}
          required={false}
          inputmode="decimal"
          form={form}
        />
      </Part>

      <Part title={say.sheets.charge} open>
        {quantity('factoryCharge', say.sheets.factoryCharge, 'mass', MASS_UNITS)}
        {quantity('maxCharge', say.sheets.largestCharge, 'mass', MASS_UNITS)}
        {quantity('prechargedLength', say.sheets.preChargedForA, 'length', LENGTH_UNITS)}
        <SelectField
          name="chargeScheme"
          label={say.sheets.moreChargeIsCounted}
          choose={say.sheets.notStated}
          options={schemes()}
          form={form}
        />
        <table class="fill-in">
          <caption class="vh">{say.sheets.moreChargeByLength}</caption>
          <thead>
            <tr>
              <th scope="col">{say.sheets.liquidTube}</th>
              <th scope="col">{say.sheets.morePerLength}</th>
            </tr>
          </thead>
          <tbody>
            {rows('chargeAdders').map((row) => (
              <tr key={row}>
                <td>
                  <Size
                    name={`chargeAdders.${row}.liquidOd`}
                    form={form}
                    label={say.sheets.liquidTubeRow(row + 1)}
                  />
                </td>
                <td>
                  <div class="beside">
                    <Figure
                      name={`chargeAdders.${row}.perLength.value`}
                      form={form}
                      label={say.sheets.morePerLengthRow(row + 1)}
                    />
                    <Units
                      name={`chargeAdders.${row}.perLength.unit`}
                      units={ADDER_UNITS}
                      form={form}
                      label={say.sheets.unitRow(row + 1)}
                    />
                  </div>
                  <RowMessage path={`chargeAdders.${row}`} form={form} />
                </td>
              </tr>
            ))}
          </tbody>
        </table>
        <details open={rows('perIndoorUnit').length > 2}>
          <summary>{say.sheets.moreForEachIndoor}</summary>
          <table class="fill-in">
            <caption class="vh">{say.sheets.moreChargeByIndoor}</caption>
            <thead>
              <tr>
                <th scope="col">{say.sheets.indoorModel}</th>
                <th scope="col">{say.sheets.moreCharge}</th>
              </tr>
            </thead>
            <tbody>
              {rows('perIndoorUnit').map((row) => (
                <tr key={row}>
                  <td>
                    <Figure
                      name={`perIndoorUnit.${row}.model`}
                      form={form}
                      label={say.sheets.indoorModelRow(row + 1)}
                      words
                    />
                  </td>
                  <td>
                    <div class="beside">
                      <Figure
                        name={`perIndoorUnit.${row}.mass.value`}
                        form={form}
                        label={say.sheets.moreChargeRow(row + 1)}
                      />
                      <Units
                        name={`perIndoorUnit.${row}.mass.unit`}
                        units={MASS_UNITS}
                        form={form}
                        label={say.sheets.unitRow(row + 1)}
                      />
                    </div>
                    <RowMessage path={`perIndoorUnit.${row}`} form={form} />
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
          {quantity('makerTableCharge', say.sheets.requiredMassByThe, 'mass', MASS_UNITS)}
        </details>
      </Part>

      <Part title={say.sheets.lineLengthsAndRise}>
        {quantity('minLength', say.sheets.shortest, 'length', LENGTH_UNITS)}
        {quantity('maxLength', say.sheets.longestEach, 'length', LENGTH_UNITS)}
        {quantity('maxTotalLength', say.sheets.longestAllTogether, 'length', LENGTH_UNITS)}
        {quantity('maxRise', say.sheets.riseEitherWay, 'length', LENGTH_UNITS)}
        {quantity('maxRiseOutdoorAbove', say.sheets.riseOutdoorUnitAbove, 'length', LENGTH_UNITS)}
        {quantity('maxRiseOutdoorBelow', say.sheets.riseOutdoorUnitBelow, 'length', LENGTH_UNITS)}
      </Part>

      <Part title={say.sheets.running}>
        <table class="fill-in">
          <caption class="vh">{say.sheets.runningFigures}</caption>
          <thead>
            <tr>
              <th scope="col">{say.sheets.figure}</th>
              <th scope="col">{say.sheets.lowest}</th>
              <th scope="col">{say.sheets.highest}</th>
              <th scope="col">{say.sheets.unit}</th>
            </tr>
          </thead>
          <tbody>
            {[
              { name: 'subcooling', label: say.sheets.subcooling },
              { name: 'superheat', label: say.sheets.superheat },
              { name: 'temperatureSplit', label: say.sheets.airReturnToSupply },
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
          <th scope="col">{say.sheets.tube}</th>
          <th scope="col">{say.sheets.lowest}</th>
          <th scope="col">{say.sheets.highest}</th>
          <th scope="col">{say.sheets.unit}</th>
        </tr>
      </thead>
      <tbody>
        {props.rows.map((row) => (
          <tr key={row}>
            <td>
              <Size
                name={`${props.list}.${row}.tubeOd`}
                form={props.form}
                label={say.sheets.tubeRowOf(row + 1, props.caption)}
              />
              <RowMessage path={`${props.list}.${row}`} form={props.form} />
            </td>
            <Ends
              name={`${props.list}.${row}`}
              label={say.sheets.row(props.caption, row + 1)}
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
        <Figure name={`${props.name}.low#`} form={props.form} label={say.sheets.lowest2(props.label)} />
      </td>
      <td>
        <Figure name={`${props.name}.high#`} form={props.form} label={say.sheets.highest2(props.label)} />
      </td>
      <td>
        <Units
          name={`${props.name}.unit`}
          units={props.units}
          form={props.form}
          label={say.sheets.unit2(props.label)}
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
