// How does the form of an equipment sheet become the same body that a program would send?

import type { FormState } from '../../views/parts/field.tsx'
import type { TypedSheet } from './equipment-sheets.ts'
import type { Fields } from './form.ts'
import { chosenQuantity, emptyAsNull, numberOrNull, quantityOrNull } from './form-fields.ts'

const WORDS = ['maker', 'model', 'kind', 'refrigerant'] as const
const CHOICES = ['chargeScheme', 'flareLubrication'] as const
const QUANTITIES = [
  'factoryCharge',
  'maxCharge',
  'prechargedLength',
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
] as const
const SPANS = ['subcooling', 'superheat', 'temperatureSplit'] as const

/** The lists that the form shows as rows, and which fields of a row say that it is filled in. */
const ROWS = {
  torque: ['low#', 'high#'],
  flareDiameter: ['low#', 'high#'],
  chargeAdders: ['perLength.value'],
  perIndoorUnit: ['model', 'mass.value'],
} as const
type List = keyof typeof ROWS

/** The rows that were filled in, in order; empty ones are left out. */
function filledRows(fields: Fields, list: List): number[] {
  const numbers = new Set<number>()
  for (const name of Object.keys(fields)) {
    const match = new RegExp(`^${list}\\.(\\d{1,3})\\.`).exec(name)
    if (match) numbers.add(Number(match[1]))
  }
  return [...numbers]
    .toSorted((a, b) => a - b)
    .filter((row) => ROWS[list].some((field) => emptyAsNull(fields[`${list}.${row}.${field}`]) !== null))
}

/** A form for changing shows all that is known, so there an empty field takes its value away. */
export function sheetFromForm(fields: Fields, face: 'new' | 'change'): Record<string, unknown> {
  const sheet: Record<string, unknown> = {
    source: {
      document: emptyAsNull(fields['source.document']) ?? undefined,
      page: emptyAsNull(fields['source.page']) ?? undefined,
    },
  }
  const put = (name: string, value: unknown) => {
    if (value !== null) sheet[name] = value
    else if (face === 'change') sheet[name] = null
  }
  for (const name of WORDS) sheet[name] = emptyAsNull(fields[name]) ?? undefined
  for (const name of CHOICES) put(name, emptyAsNull(fields[name]))
  for (const name of QUANTITIES) put(name, quantityOrNull(fields, name))
  put('vacuumHoldMinutes', numberOrNull(fields['vacuumHoldMinutes#']))
  for (const name of SPANS) {
    const low = numberOrNull(fields[`${name}.low#`])
    const high = numberOrNull(fields[`${name}.high#`])
    put(name, low === null && high === null ? null : { low, high, unit: fields[`${name}.unit`] })
  }
  for (const list of ['torque', 'flareDiameter'] as const) {
    const rows = filledRows(fields, list).map((row) => ({
      tubeOd: chosenQuantity(fields[`${list}.${row}.tubeOd`]),
      low: numberOrNull(fields[`${list}.${row}.low#`]),
      high: numberOrNull(fields[`${list}.${row}.high#`]),
      unit: fields[`${list}.${row}.unit`],
    }))
    put(list, rows.length > 0 ? rows : null)
  }
  const adders = filledRows(fields, 'chargeAdders').map((row) => ({
    liquidOd: chosenQuantity(fields[`chargeAdders.${row}.liquidOd`]),
    perLength: quantityOrNull(fields, `chargeAdders.${row}.perLength`),
  }))
  put('chargeAdders', adders.length > 0 ? adders : null)
  const units = filledRows(fields, 'perIndoorUnit').map((row) => ({
    model: emptyAsNull(fields[`perIndoorUnit.${row}.model`]) ?? undefined,
    mass: quantityOrNull(fields, `perIndoorUnit.${row}.mass`) ?? undefined,
  }))
  put('perIndoorUnit', units.length > 0 ? units : null)
  return sheet
}

/** What was refused names the place among the filled rows; the form knows them by where they stand. */
export function withRowErrors(form: FormState): FormState {
  return {
    ...form,
    errors: form.errors.map((error) => {
      const match = /^(torque|flareDiameter|chargeAdders|perIndoorUnit)\.(\d+)(.*)$/.exec(error.path)
      if (!match) return error
      const row = filledRows(form.values, match[1] as List)[Number(match[2])]
      return row === undefined ? error : { ...error, path: `${match[1]}.${row}${match[3]}` }
    }),
  }
}

/** The form's fields as they stand before anything is typed: what the sheet says, and a few usual sizes. */
export function sheetFields(sheet: TypedSheet | null): Record<string, string> {
  const values: Record<string, string> = {}
  if (sheet) {
    for (const name of WORDS) values[name] = sheet[name]
    for (const name of CHOICES) values[name] = sheet[name] ?? ''
    for (const name of QUANTITIES) {
      const typed = sheet[name]
      if (!typed) continue
      values[`${name}.value`] = String(typed.value)
      values[`${name}.unit`] = typed.unit
    }
    if (sheet.vacuumHoldMinutes !== undefined) values['vacuumHoldMinutes#'] = String(sheet.vacuumHoldMinutes)
    for (const name of SPANS) {
      const typed = sheet[name]
      if (!typed) continue
      values[`${name}.low#`] = String(typed.low)
      values[`${name}.high#`] = String(typed.high)
      values[`${name}.unit`] = typed.unit
    }
    values['source.document'] = sheet.source.document
    values['source.page'] = sheet.source.page
  }
  for (const list of ['torque', 'flareDiameter'] as const) {
    const rows = sheet?.[list] ?? []
    rows.forEach((row, index) => {
      values[`${list}.${index}.tubeOd`] = `${row.tubeOd.value} ${row.tubeOd.unit}`
      values[`${list}.${index}.low#`] = String(row.low)
      values[`${list}.${index}.high#`] = String(row.high)
      values[`${list}.${index}.unit`] = row.unit
    })
    values[`_${list}Rows`] = String(rows.length === 0 ? USUAL.length : rows.length + 2)
    if (rows.length === 0) {
      USUAL.forEach((size, index) => {
        values[`${list}.${index}.tubeOd`] = size
      })
    }
  }
  sheet?.chargeAdders.forEach((row, index) => {
    values[`chargeAdders.${index}.liquidOd`] = `${row.liquidOd.value} ${row.liquidOd.unit}`
    values[`chargeAdders.${index}.perLength.value`] = String(row.perLength.value)
    values[`chargeAdders.${index}.perLength.unit`] = row.perLength.unit
  })
  values._chargeAddersRows = String((sheet?.chargeAdders.length ?? 0) + 2)
  sheet?.perIndoorUnit.forEach((row, index) => {
    values[`perIndoorUnit.${index}.model`] = row.model
    values[`perIndoorUnit.${index}.mass.value`] = String(row.mass.value)
    values[`perIndoorUnit.${index}.mass.unit`] = row.mass.unit
  })
  values._perIndoorUnitRows = String((sheet?.perIndoorUnit.length ?? 0) + 2)
  return values
}

/** The sizes that most single-zone sheets list. */
const USUAL = ['0.25 in', '0.375 in', '0.5 in', '0.625 in', '0.75 in']
