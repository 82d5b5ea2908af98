// How is a measured value sent? With its unit; kept as typed, and turned into SI once, here.

import { z } from 'zod'
import type { AsTyped } from '../store/rows.ts'
import {
  AREA_UNITS,
  formatQuantity,
  LENGTH_UNITS,
  MASS_PER_LENGTH_UNITS,
  MASS_RATE_UNITS,
  MASS_UNITS,
  PRESSURE_UNITS,
  TEMPERATURE_DIFFERENCE_UNITS,
  TEMPERATURE_UNITS,
  TIME_UNITS,
  TORQUE_UNITS,
  toCubicMetres,
  toKelvinDifference,
  toKelvins,
  toKilograms,
  toKilogramsPerMetre,
  toKilogramsPerYear,
  toMetres,
  toNewtonMetres,
  toPascals,
  toSeconds,
  toSquareMetres,
  type Unit,
  VOLUME_UNITS,
} from '../trade/units.ts'
import { OutsideValidity } from '../trade/validity.ts'
import { say } from '../words/say.ts'

export interface Measured<U extends string = string> {
  value: number
  unit: U
  /** The same in SI: N·m, Pa, K, m, kg, s, m², m³. */
  si: number
}

interface Bounds {
  /** In SI; what lies outside can't have happened. */
  min?: number
  max?: number
}

function measured<const U extends readonly [Unit, ...Unit[]]>(
  units: U,
  toSi: (quantity: { value: number; unit: U[number] }) => number,
  siUnit: U[number],
  fallback: Bounds,
) {
  return (bounds: Bounds = {}) => {
    const min = bounds.min ?? fallback.min ?? Number.NEGATIVE_INFINITY
    const max = bounds.max ?? fallback.max ?? Number.POSITIVE_INFINITY
    return z
      .strictObject({
        value: z.number({ error: () => say.fields.enterANumber }),
        unit: z.enum(units, { error: () => say.fields.useOneOf(units.join(', ')) }),
      })
      .transform((typed, context): Measured<U[number]> => {
        const si = orNull(() => toSi(typed))
        if (si === null) {
          // Below absolute zero, or so large that it has no SI number.
          context.addIssue({ code: 'custom', path: ['value'], message: say.fields.thatCantBe })
          return z.NEVER
        }
        if (si < min || si > max) {
          context.addIssue({
            code: 'custom',
            path: ['value'],
            // Of mass rates and the like, the unit that is printed is not the SI one.
            message: outside(
              (si < min ? min : max) / toSi({ value: 1, unit: siUnit }),
              si < min ? say.fields.atLeast : say.fields.atMost,
              siUnit,
            ),
          })
        }
        return { ...typed, si }
      })
  }
}

function orNull(compute: () => number): number | null {
  try {
    return compute()
  } catch (problem) {
    if (problem instanceof OutsideValidity) return null
    throw problem
  }
}

function outside(bound: number, which: string, unit: Unit): string {
  return say.fields.thatCantBeIt(which, formatQuantity(bound, unit))
}

export const torque = measured(TORQUE_UNITS, toNewtonMetres, 'N.m', { min: 0, max: 1000 })
export const gaugePressure = measured(PRESSURE_UNITS, toPascals, 'Pa', { min: -101_325, max: 2e7 })
export const absolutePressure = measured(PRESSURE_UNITS, toPascals, 'Pa', { min: 0, max: 2e7 })
export const temperature = measured(TEMPERATURE_UNITS, toKelvins, 'K', { min: 193.15, max: 473.15 })
export const temperatureDifference = measured(TEMPERATURE_DIFFERENCE_UNITS, toKelvinDifference, 'K', {
  min: 0,
  max: 100,
})
export const length = measured(LENGTH_UNITS, toMetres, 'm', { min: 0, max: 1000 })
export const signedLength = measured(LENGTH_UNITS, toMetres, 'm', { min: -1000, max: 1000 })
export const elevation = measured(LENGTH_UNITS, toMetres, 'm', { min: -450, max: 6000 })
export const mass = measured(MASS_UNITS, toKilograms, 'kg', { min: 0, max: 1000 })
export const area = measured(AREA_UNITS, toSquareMetres, 'm2', { min: 0, max: 1e5 })
export const volume = measured(VOLUME_UNITS, toCubicMetres, 'L', { min: 0, max: 1 })
export const time = measured(TIME_UNITS, toSeconds, 's', { min: 0, max: 31_557_600 })
export const massPerLength = measured(MASS_PER_LENGTH_UNITS, toKilogramsPerMetre, 'g/m', { min: 0, max: 10 })
/** A leak; SI here is kilograms per year. */
export const massRate = measured(MASS_RATE_UNITS, toKilogramsPerYear, 'g/yr', { min: 0, max: 1 })

const isMeasured = (value: unknown): value is Measured =>
  typeof value === 'object' && value !== null && 'unit' in value && 'si' in value

/** Every quantity of an input as it was typed, by the path of its field. */
export function asTyped(input: unknown, path = ''): AsTyped {
  const found: AsTyped = {}
  if (typeof input !== 'object' || input === null) return found
  for (const [name, value] of Object.entries(input)) {
    const at = path === '' ? name : `${path}.${name}`
    if (isMeasured(value)) found[at] = { value: value.value, unit: value.unit }
    else Object.assign(found, asTyped(value, at))
  }
  return found
}
