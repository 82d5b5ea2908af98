// What does an edit form mean by a field that came back empty? That its value was taken away.

import { parseNumber } from '../trade/units.ts'
import type { Fields } from './form.ts'

export const emptyAsNull = (value: string | undefined): string | null =>
  value === undefined || value.trim() === '' ? null : value

export const numberOrNull = (value: string | undefined): number | string | null => {
  const text = emptyAsNull(value)
  return text === null ? null : (parseNumber(text) ?? text)
}

/** `<name>.value` and `<name>.unit`. */
export function quantityOrNull(
  fields: Fields,
  name: string,
): { value: number | string; unit: string } | null {
  const value = numberOrNull(fields[`${name}.value`])
  return value === null ? null : { value, unit: fields[`${name}.unit`] ?? '' }
}

/** A quantity chosen from a list as one word: "0.25 in". */
export function chosenQuantity(
  value: string | undefined,
): { value: number; unit: string } | string | undefined {
  const text = value?.trim() ?? ''
  if (text === '') return undefined
  const [number = '', unit = ''] = text.split(' ')
  const parsed = parseNumber(number)
  return parsed === null ? text : { value: parsed, unit }
}
