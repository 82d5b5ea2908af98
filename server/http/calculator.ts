// What is a calculator made of? One computation, its answer as JSON, and the same answer explained for the page.

import { z } from 'zod'
import type { Explained } from '../../views/calculators/calculator.tsx'
import type { CalculatorPath } from '../../views/calculators/fields.ts'
import { absolutePressure, elevation, type Measured } from '../commands/quantities.ts'
import { BUILT_IN_POLICY } from '../rules/policy.ts'
import { atmosphericPressureAt, STANDARD_ATMOSPHERE_PA } from '../trade/atmosphere.ts'
import {
  formatNumber,
  formatQuantity,
  fromSi,
  type QuantityKind,
  type Unit,
  type UnitOf,
} from '../trade/units.ts'
import type { OutsideValidity } from '../trade/validity.ts'
import { REFRIGERANT_NAMES } from '../vocabulary.ts'
import { say } from '../words/say.ts'
import type { Fields } from './form.ts'

export interface CalculatorDefinition<Schema extends z.ZodType, Answer> {
  path: CalculatorPath
  summary: string
  input: Schema
  /** What the arithmetic refuses (`OutsideValidity`) is answered as malformed. */
  compute(input: z.output<Schema>): Answer
  /** Which field a number that the arithmetic refused came from; undefined where it is none of them alone. */
  fieldOf?(refused: OutsideValidity, input: z.output<Schema>): string | undefined
  json(answer: Answer): Record<string, unknown>
  /** The same answer in words, with the steps that led to it. */
  explain(answer: Answer): Explained
  /** What the fields of the page mean, when dotted names do not say it all. */
  fields?(fields: Fields): unknown
}

export const defineCalculator = <Schema extends z.ZodType, Answer>(
  definition: CalculatorDefinition<Schema, Answer>,
): CalculatorDefinition<Schema, Answer> => definition

export const refrigerantName = z.enum(REFRIGERANT_NAMES, {
  error: () => say.calculators.useOneOf(REFRIGERANT_NAMES.join(', ')),
})

export const airFields = {
  siteElevation: elevation().optional(),
  absoluteAtmosphericPressure: absolutePressure({ min: 30_000, max: 120_000 }).optional(),
}

export const airOf = (input: {
  siteElevation?: Measured | undefined
  absoluteAtmosphericPressure?: Measured | undefined
}): number =>
  input.absoluteAtmosphericPressure?.si ??
  (input.siteElevation ? atmosphericPressureAt(input.siteElevation.si) : STANDARD_ATMOSPHERE_PA)

/** Taken where nothing is said of the instruments: a 0.5 % gauge of 6 MPa, a thermometer of 0.5 K (common practice, no source). */
export const ASSUMED_GAUGE_PA = 30_000 / 4
export const ASSUMED_THERMOMETER_K = 0.5 / 4

export const builtIn = BUILT_IN_POLICY

/** For each unit the one that readers of the other system look for. */
const OTHER_SYSTEM: Partial<Record<Unit, Unit>> = {
  'N.m': 'ft.lbf',
  'ft.lbf': 'N.m',
  'in.lbf': 'N.m',
  'kgf.cm': 'N.m',
  MPa: 'psi',
  kPa: 'psi',
  bar: 'psi',
  psi: 'kPa',
  Pa: 'micron',
  micron: 'Pa',
  mbar: 'micron',
  torr: 'Pa',
  degC: 'degF',
  degF: 'degC',
  K: 'degF.diff',
  'degF.diff': 'K',
  mm: 'in',
  in: 'mm',
  m: 'ft',
  ft: 'm',
  cm: 'in',
  kg: 'lb',
  g: 'oz',
  oz: 'g',
  lb: 'kg',
  m2: 'sq.ft',
  'sq.ft': 'm2',
  L: 'cu.in',
  mL: 'cu.in',
  'cu.in': 'mL',
}

/** A number of SI units in the unit given: "38.0 N·m". */
export const inUnit = <K extends QuantityKind>(kind: K, si: number, unit: UnitOf<K>): string =>
  formatQuantity(fromSi(kind, si, unit), unit)

/** The same in the other system; undefined where both use the same unit. */
export function inOther<K extends QuantityKind>(kind: K, si: number, unit: UnitOf<K>): string | undefined {
  const other = OTHER_SYSTEM[unit]
  return other === undefined ? undefined : inUnit(kind, si, other as UnitOf<K>)
}

/** The value without its unit, to be put into a formula. */
export const figure = (value: number, digits = 4): string => formatNumber(Number(value.toPrecision(digits)))

/** A figure that is subtracted or squared needs more digits than one that is read. */
export const exactly = (value: number, decimals: number): string => formatNumber(value, decimals)

/** From less to more by an uncertainty, rounded as far as anybody reads it. */
export const spanOf = (value: number, uncertainty: number): { low: number; high: number } => ({
  low: Number((value - uncertainty).toPrecision(4)),
  high: Number((value + uncertainty).toPrecision(4)),
})

/** What the arithmetic refused, in the units that people read: °C, MPa, mm. */
export function outsideInWords(problem: OutsideValidity): string {
  const { quantity, value, low, high, unit, because } = problem
  const name = quantity.charAt(0).toUpperCase() + quantity.slice(1)
  const ends = [low, high].filter((end) => end !== null)
  const [show, shown]: [(si: number) => number, string] =
    unit === 'K' && quantity.includes('temperature')
      ? [(si) => si - 273.15, '°C']
      : unit === 'Pa'
        ? [(si) => si / 1e6, 'MPa']
        : unit === 'm' && ends.every((end) => Math.abs(end) < 1)
          ? [(si) => si * 1000, 'mm']
          : [(si) => si, unit]
  const wordOf = (si: number) => figure(show(si), 5)
  const inUnits = shown === '' ? '' : ` ${shown}`
  const [from, to] = [low === null ? null : wordOf(low), high === null ? null : wordOf(high)]
  const bounds =
    from !== null && to !== null
      ? say.calculators.betweenAnd(from, to, inUnits)
      : from !== null
        ? say.calculators.atLeast(from, inUnits)
        : to !== null
          ? say.calculators.atMost(to, inUnits)
          : null
  if (!Number.isFinite(value) || bounds === null)
    return because ? `${name}: ${because}.` : say.calculators.cantBeThis(name)
  return say.calculators.mustBeNot(name, bounds, wordOf(value), inUnits, because ? ` (${because})` : '')
}
