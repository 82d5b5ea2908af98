// In which unit does each kind of instrument measure, and how are its figures read?

import { z } from 'zod'
import { malformedField } from '../../refusals.ts'
import type { AsTyped } from '../../store/rows.ts'
import { type QuantityKind, toSi, UNITS, type UnitOf } from '../../trade/units.ts'
import { INSTRUMENT_KINDS, type InstrumentKind } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'

/** What an instrument shows; a tool that shows nothing is told by the size it works to. */
export const QUANTITY_OF: Record<InstrumentKind, QuantityKind> = {
  'torque-wrench': 'torque',
  'pressure-gauge': 'pressure',
  'vacuum-gauge': 'pressure',
  thermometer: 'temperature-difference',
  scale: 'mass',
  'leak-detector': 'mass-rate',
  'flaring-tool': 'length',
  'press-tool': 'length',
  'tube-cutter': 'length',
  'deburring-tool': 'length',
}

/** The SI unit of each kind, as it is written: what a bare number is taken in. */
export const SI_UNIT_OF: Record<InstrumentKind, string> = {
  'torque-wrench': 'N.m',
  'pressure-gauge': 'Pa',
  'vacuum-gauge': 'Pa',
  thermometer: 'K',
  scale: 'kg',
  'leak-detector': 'kg/yr',
  'flaring-tool': 'm',
  'press-tool': 'm',
  'tube-cutter': 'm',
  'deburring-tool': 'm',
}

export const instrumentKind = z.enum(INSTRUMENT_KINDS, {
  error: () => say.instruments.useOneOf(INSTRUMENT_KINDS.join(', ')),
})

/** A bare number in SI, or a quantity in a unit of the instrument's own kind. */
export const figure = z
  .union(
    [
      z.number(),
      z.strictObject({
        value: z.number({ error: () => say.instruments.enterANumber }),
        unit: z.string({ error: () => say.instruments.enterAUnit }).max(20),
      }),
    ],
    { error: () => say.instruments.enterANumberOr },
  )
  .meta({ description: 'A number in the SI unit of the instrument’s kind, or { value, unit }.' })
export type Figure = z.output<typeof figure>

/** No instrument of the trade is this large; what is above is a typing slip. */
const LARGEST: Partial<Record<QuantityKind, number>> = {
  torque: 1000,
  pressure: 1e8,
  'temperature-difference': 1000,
  mass: 1000,
  length: 2,
  'mass-rate': 10,
}

/** The figure in SI. Zero only where it may be; never below. */
export function figureSi(
  kind: InstrumentKind,
  path: string,
  given: Figure,
  least: 'zero' | 'above-zero' = 'above-zero',
): number {
  const quantity = QUANTITY_OF[kind]
  let si: number
  if (typeof given === 'number') si = given
  else {
    const units: readonly string[] = UNITS[quantity]
    if (!units.includes(given.unit))
      throw malformedField(`${path}.unit`, say.instruments.useOneOfFor(units.join(', ')))
    si = toSi(quantity, { value: given.value, unit: given.unit as UnitOf<typeof quantity> })
  }
  const at = typeof given === 'number' ? path : `${path}.value`
  if (si < 0 || (si === 0 && least === 'above-zero'))
    throw malformedField(at, say.instruments.enterANumberAbove)
  if (si > (LARGEST[quantity] ?? 1e9)) throw malformedField(at, say.instruments.noInstrumentOfThis)
  return si
}

/** The quantities among some figures, as they were typed. */
export function figuresTyped(figures: Record<string, Figure | null | undefined>): AsTyped {
  const typed: AsTyped = {}
  for (const [path, given] of Object.entries(figures))
    if (typeof given === 'object' && given !== null) typed[path] = given
  return typed
}
