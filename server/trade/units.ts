/** How many SI units does a typed quantity stand for, and how is a number read from text and printed? */
import { say } from '../words/say.ts'
import { OutsideValidity, requireFinite } from './validity.ts'

export const TORQUE_UNITS = ['N.m', 'ft.lbf', 'in.lbf', 'kgf.cm'] as const
export const PRESSURE_UNITS = ['Pa', 'kPa', 'MPa', 'bar', 'mbar', 'psi', 'micron', 'torr'] as const
export const TEMPERATURE_UNITS = ['degC', 'degF', 'K'] as const
export const TEMPERATURE_DIFFERENCE_UNITS = ['K', 'degF.diff'] as const
export const LENGTH_UNITS = ['mm', 'cm', 'm', 'in', 'ft'] as const
export const MASS_UNITS = ['g', 'kg', 'oz', 'lb'] as const
export const VOLUME_UNITS = ['mL', 'L', 'cu.in'] as const
export const TIME_UNITS = ['s', 'min', 'h'] as const
export const MASS_RATE_UNITS = ['g/yr'] as const
export const AREA_UNITS = ['m2', 'sq.ft'] as const
export const MASS_PER_LENGTH_UNITS = ['g/m', 'oz/ft'] as const

export type TorqueUnit = (typeof TORQUE_UNITS)[number]
export type PressureUnit = (typeof PRESSURE_UNITS)[number]
export type TemperatureUnit = (typeof TEMPERATURE_UNITS)[number]
export type TemperatureDifferenceUnit = (typeof TEMPERATURE_DIFFERENCE_UNITS)[number]
export type LengthUnit = (typeof LENGTH_UNITS)[number]
export type MassUnit = (typeof MASS_UNITS)[number]
export type VolumeUnit = (typeof VOLUME_UNITS)[number]
export type TimeUnit = (typeof TIME_UNITS)[number]
export type MassRateUnit = (typeof MASS_RATE_UNITS)[number]
export type AreaUnit = (typeof AREA_UNITS)[number]
export type MassPerLengthUnit = (typeof MASS_PER_LENGTH_UNITS)[number]

/**
 * The units of each kind of quantity. Gauge and absolute pressure are two kinds with the same units, so that
 * text marked "psia" is never read into a gauge field; a temperature difference is not a temperature.
 */
export const UNITS = {
  torque: TORQUE_UNITS,
  'gauge-pressure': PRESSURE_UNITS,
  'absolute-pressure': PRESSURE_UNITS,
  pressure: PRESSURE_UNITS,
  temperature: TEMPERATURE_UNITS,
  'temperature-difference': TEMPERATURE_DIFFERENCE_UNITS,
  length: LENGTH_UNITS,
  mass: MASS_UNITS,
  volume: VOLUME_UNITS,
  time: TIME_UNITS,
  'mass-rate': MASS_RATE_UNITS,
  area: AREA_UNITS,
  'mass-per-length': MASS_PER_LENGTH_UNITS,
} as const

export type QuantityKind = keyof typeof UNITS
export type UnitOf<K extends QuantityKind> = (typeof UNITS)[K][number]
export type Unit = UnitOf<QuantityKind>

/** A number as it was written, in the unit it was written in. */
export interface Quantity<U extends Unit = Unit> {
  value: number
  unit: U
}

// The few defining constants every factor below is made of. All are exact.
// Inch, foot, pound, ounce: international yard and pound, NIST SP 811 (2008) appendix B.
// Standard gravity, bar, atmosphere: SI brochure (9th ed.), NIST SP 811.
const INCH_M = 0.0254
const FOOT_M = 0.3048
const POUND_KG = 0.45359237
const OUNCE_KG = POUND_KG / 16
const STANDARD_GRAVITY = 9.80665
const POUND_FORCE_N = POUND_KG * STANDARD_GRAVITY
/** Conventional millimetre of mercury: 13 595.1 kg/m³ × standard gravity × 1 mm, NIST SP 811. */
const MILLIMETRE_OF_MERCURY_PA = 133.322387415
/** Torr: a 760th of the standard atmosphere, NIST SP 811. */
const TORR_PA = 101325 / 760
/** The year of "g/yr" has 365 days (common practice in leak rates, no source). */
export const SECONDS_PER_YEAR = 365 * 86400

const NEWTON_METRES: Record<TorqueUnit, number> = {
  'N.m': 1,
  'ft.lbf': FOOT_M * POUND_FORCE_N,
  'in.lbf': INCH_M * POUND_FORCE_N,
  'kgf.cm': STANDARD_GRAVITY / 100,
}
const PASCALS: Record<PressureUnit, number> = {
  Pa: 1,
  kPa: 1e3,
  MPa: 1e6,
  bar: 1e5,
  mbar: 100,
  psi: POUND_FORCE_N / (INCH_M * INCH_M),
  micron: MILLIMETRE_OF_MERCURY_PA / 1000,
  torr: TORR_PA,
}
const METRES: Record<LengthUnit, number> = { mm: 0.001, cm: 0.01, m: 1, in: INCH_M, ft: FOOT_M }
const KILOGRAMS: Record<MassUnit, number> = { g: 0.001, kg: 1, oz: OUNCE_KG, lb: POUND_KG }
const CUBIC_METRES: Record<VolumeUnit, number> = { mL: 1e-6, L: 1e-3, 'cu.in': INCH_M ** 3 }
const SECONDS: Record<TimeUnit, number> = { s: 1, min: 60, h: 3600 }
const SQUARE_METRES: Record<AreaUnit, number> = { m2: 1, 'sq.ft': FOOT_M * FOOT_M }
const KILOGRAMS_PER_METRE: Record<MassPerLengthUnit, number> = { 'g/m': 0.001, 'oz/ft': OUNCE_KG / FOOT_M }
const KELVIN_DIFFERENCE: Record<TemperatureDifferenceUnit, number> = { K: 1, 'degF.diff': 5 / 9 }

function times<U extends Unit>(kind: string, factors: Record<U, number>, quantity: Quantity<U>): number {
  const factor = factors[quantity.unit]
  if (factor === undefined) throw new OutsideValidity(say.trade.unitOf(kind), Number.NaN, {})
  return requireFinite(kind, requireFinite(kind, quantity.value, quantity.unit) * factor)
}

function over<U extends Unit>(kind: string, factors: Record<U, number>, si: number, unit: U): number {
  const factor = factors[unit]
  if (factor === undefined) throw new OutsideValidity(say.trade.unitOf(kind), Number.NaN, {})
  return requireFinite(kind, requireFinite(kind, si) / factor)
}

// Each pair below converts exactly by definition (rounding of doubles only) and refuses what is not finite.

/** Torque in N·m. */
export const toNewtonMetres = (torque: Quantity<TorqueUnit>) => times(say.trade.torque, NEWTON_METRES, torque)
export const fromNewtonMetres = (torqueNm: number, unit: TorqueUnit) =>
  over(say.trade.torque, NEWTON_METRES, torqueNm, unit)
/** Pressure in Pa; a gauge pressure stays a gauge pressure, an absolute one absolute. */
export const toPascals = (pressure: Quantity<PressureUnit>) => times(say.trade.pressure, PASCALS, pressure)
export const fromPascals = (pressurePa: number, unit: PressureUnit) =>
  over(say.trade.pressure, PASCALS, pressurePa, unit)
/** Length in m; negative where the field allows a direction. */
export const toMetres = (length: Quantity<LengthUnit>) => times(say.trade.length, METRES, length)
export const fromMetres = (lengthM: number, unit: LengthUnit) => over(say.trade.length, METRES, lengthM, unit)
/** Mass in kg. */
export const toKilograms = (mass: Quantity<MassUnit>) => times(say.trade.mass, KILOGRAMS, mass)
export const fromKilograms = (massKg: number, unit: MassUnit) => over(say.trade.mass, KILOGRAMS, massKg, unit)
/** Volume in m³. */
export const toCubicMetres = (volume: Quantity<VolumeUnit>) => times(say.trade.volume, CUBIC_METRES, volume)
export const fromCubicMetres = (volumeM3: number, unit: VolumeUnit) =>
  over(say.trade.volume, CUBIC_METRES, volumeM3, unit)
/** Span of time in s. */
export const toSeconds = (time: Quantity<TimeUnit>) => times(say.trade.time, SECONDS, time)
export const fromSeconds = (timeS: number, unit: TimeUnit) => over(say.trade.time, SECONDS, timeS, unit)
/** Difference of two temperatures in K. */
export const toKelvinDifference = (difference: Quantity<TemperatureDifferenceUnit>) =>
  times(say.trade.temperatureDifference, KELVIN_DIFFERENCE, difference)
export const fromKelvinDifference = (differenceK: number, unit: TemperatureDifferenceUnit) =>
  over(say.trade.temperatureDifference, KELVIN_DIFFERENCE, differenceK, unit)
/** Area in m². */
export const toSquareMetres = (area: Quantity<AreaUnit>) => times(say.trade.area, SQUARE_METRES, area)
export const fromSquareMetres = (areaM2: number, unit: AreaUnit) =>
  over(say.trade.area, SQUARE_METRES, areaM2, unit)
/** Mass per length in kg/m. */
export const toKilogramsPerMetre = (adder: Quantity<MassPerLengthUnit>) =>
  times(say.trade.massPerLength, KILOGRAMS_PER_METRE, adder)
export const fromKilogramsPerMetre = (kgPerM: number, unit: MassPerLengthUnit) =>
  over(say.trade.massPerLength, KILOGRAMS_PER_METRE, kgPerM, unit)
/** Mass rate in kg per year of 365 days. */
export const toKilogramsPerYear = (rate: Quantity<MassRateUnit>) =>
  times(say.trade.massRate, { 'g/yr': 0.001 }, rate)
export const fromKilogramsPerYear = (kgPerYear: number, unit: MassRateUnit) =>
  over(say.trade.massRate, { 'g/yr': 0.001 }, kgPerYear, unit)

/** Temperature in K. Zero points by definition (SI brochure; NIST SP 811). Refuses below absolute zero. */
export function toKelvins(temperature: Quantity<TemperatureUnit>): number {
  const value = requireFinite(say.trade.temperature, temperature.value, temperature.unit)
  const kelvin =
    temperature.unit === 'degC'
      ? value + 273.15
      : temperature.unit === 'degF'
        ? (value + 459.67) / 1.8
        : value
  if (kelvin < -1e-9) {
    throw new OutsideValidity(say.trade.temperature, value, {
      unit: temperature.unit,
      because: say.trade.belowAbsoluteZero,
    })
  }
  return Math.max(0, kelvin)
}

/** The reverse of `toKelvins`. */
export function fromKelvins(temperatureK: number, unit: TemperatureUnit): number {
  const kelvin = requireFinite(say.trade.temperature, temperatureK, 'K')
  if (kelvin < 0) throw new OutsideValidity(say.trade.temperature, kelvin, { low: 0, unit: 'K' })
  return unit === 'degC' ? kelvin - 273.15 : unit === 'degF' ? kelvin * 1.8 - 459.67 : kelvin
}

/** Every quantity in the SI unit of its kind (N·m, Pa, K, m, kg, m³, s, kg/year, m², kg/m). */
export function toSi<K extends QuantityKind>(kind: K, quantity: Quantity<UnitOf<K>>): number {
  const any = quantity as Quantity<never>
  switch (kind) {
    case 'torque':
      return toNewtonMetres(any)
    case 'pressure':
    case 'gauge-pressure':
    case 'absolute-pressure':
      return toPascals(any)
    case 'temperature':
      return toKelvins(any)
    case 'temperature-difference':
      return toKelvinDifference(any)
    case 'length':
      return toMetres(any)
    case 'mass':
      return toKilograms(any)
    case 'volume':
      return toCubicMetres(any)
    case 'time':
      return toSeconds(any)
    case 'mass-rate':
      return toKilogramsPerYear(any)
    case 'area':
      return toSquareMetres(any)
    case 'mass-per-length':
      return toKilogramsPerMetre(any)
    default:
      throw new OutsideValidity(say.trade.kindOfQuantity, Number.NaN, {})
  }
}

/** The reverse of `toSi`: a number of SI units of this kind, in `unit`. */
export function fromSi<K extends QuantityKind>(kind: K, si: number, unit: UnitOf<K>): number {
  const any = unit as never
  switch (kind) {
    case 'torque':
      return fromNewtonMetres(si, any)
    case 'pressure':
    case 'gauge-pressure':
    case 'absolute-pressure':
      return fromPascals(si, any)
    case 'temperature':
      return fromKelvins(si, any)
    case 'temperature-difference':
      return fromKelvinDifference(si, any)
    case 'length':
      return fromMetres(si, any)
    case 'mass':
      return fromKilograms(si, any)
    case 'volume':
      return fromCubicMetres(si, any)
    case 'time':
      return fromSeconds(si, any)
    case 'mass-rate':
      return fromKilogramsPerYear(si, any)
    case 'area':
      return fromSquareMetres(si, any)
    case 'mass-per-length':
      return fromKilogramsPerMetre(si, any)
    default:
      throw new OutsideValidity(say.trade.kindOfQuantity, Number.NaN, {})
  }
}

const BLANKS = /[\u00a0\u2009\u202f\t]/g
const MINUS = /[\u2212\u2012\u2013]/g

/**
 * Reads a number as people write it: decimal point or comma, thousands set apart by blanks, an optional power
 * of ten ("1.2e-6"). Answers null for anything else, and for "1,500", which means fifteen hundred to one reader
 * and one and a half to another: asking again is safer than guessing.
 */
export function parseNumber(text: string): number | null {
  const plain = text.replace(BLANKS, ' ').replace(MINUS, '-').trim()
  if (/^[+-]?[1-9]\d{0,2},\d{3}$/.test(plain)) return null
  if (!/^[+-]?(?:\d{1,3}(?: \d{3})+|\d+)?(?:[.,]\d+)?(?:e[+-]?\d{1,3})?$/i.test(plain)) return null
  if (!/^[+-]?[.,]?\d/.test(plain)) return null
  const value = Number(plain.replaceAll(' ', '').replace(',', '.'))
  return Number.isFinite(value) ? value : null
}

/** A spelling of a unit: the unit it means, and a factor where the spelling is a multiple (mTorr). */
type Spelling = readonly [unit: Unit, factor?: number, mark?: 'gauge' | 'absolute']

const TORQUE_SPELLINGS: Record<string, Spelling> = {}
for (const foot of ['ft', 'foot', 'feet']) {
  for (const pound of ['lb', 'lbs', 'lbf', 'pound', 'pounds']) {
    TORQUE_SPELLINGS[foot + pound] = ['ft.lbf']
    TORQUE_SPELLINGS[pound + foot] = ['ft.lbf']
  }
}
for (const inch of ['in', 'inch', 'inches']) {
  for (const pound of ['lb', 'lbs', 'lbf', 'pound', 'pounds']) {
    TORQUE_SPELLINGS[inch + pound] = ['in.lbf']
    TORQUE_SPELLINGS[pound + inch] = ['in.lbf']
  }
}
Object.assign(TORQUE_SPELLINGS, {
  nm: ['N.m'],
  newtonmetre: ['N.m'],
  newtonmetres: ['N.m'],
  newtonmeter: ['N.m'],
  newtonmeters: ['N.m'],
  kgfcm: ['kgf.cm'],
  kgcm: ['kgf.cm'],
} satisfies Record<string, Spelling>)

const PRESSURE_SPELLINGS: Record<string, Spelling> = {
  pa: ['Pa'],
  kpa: ['kPa'],
  mpa: ['MPa'],
  bar: ['bar'],
  bars: ['bar'],
  mbar: ['mbar'],
  millibar: ['mbar'],
  hpa: ['mbar'],
  psi: ['psi'],
  lbf2: ['psi'],
  micron: ['micron'],
  microns: ['micron'],
  mic: ['micron'],
  µ: ['micron'],
  µm: ['micron'],
  um: ['micron'],
  µmhg: ['micron'],
  umhg: ['micron'],
  torr: ['torr'],
  mtorr: ['torr', 0.001],
  mmhg: ['micron', 1000],
}
for (const base of ['pa', 'kpa', 'mpa', 'bar', 'mbar', 'psi']) {
  const unit = (PRESSURE_SPELLINGS[base] as Spelling)[0]
  PRESSURE_SPELLINGS[`${base}g`] = [unit, 1, 'gauge']
  PRESSURE_SPELLINGS[`${base}a`] = [unit, 1, 'absolute']
}
PRESSURE_SPELLINGS.barabs = ['bar', 1, 'absolute']

const TEMPERATURE_SPELLINGS: Record<string, Spelling> = {
  '°c': ['degC'],
  c: ['degC'],
  degc: ['degC'],
  celsius: ['degC'],
  '°f': ['degF'],
  f: ['degF'],
  degf: ['degF'],
  fahrenheit: ['degF'],
  k: ['K'],
  kelvin: ['K'],
}
const DIFFERENCE_SPELLINGS: Record<string, Spelling> = {
  '°c': ['K'],
  c: ['K'],
  degc: ['K'],
  k: ['K'],
  kelvin: ['K'],
  '°f': ['degF.diff'],
  f: ['degF.diff'],
  degf: ['degF.diff'],
  degfdiff: ['degF.diff'],
}
const SPELLINGS: Record<QuantityKind, Record<string, Spelling>> = {
  torque: TORQUE_SPELLINGS,
  pressure: PRESSURE_SPELLINGS,
  'gauge-pressure': PRESSURE_SPELLINGS,
  'absolute-pressure': PRESSURE_SPELLINGS,
  temperature: TEMPERATURE_SPELLINGS,
  'temperature-difference': DIFFERENCE_SPELLINGS,
  length: {
    mm: ['mm'],
    cm: ['cm'],
    m: ['m'],
    metre: ['m'],
    metres: ['m'],
    meter: ['m'],
    meters: ['m'],
    in: ['in'],
    inch: ['in'],
    inches: ['in'],
    '"': ['in'],
    ft: ['ft'],
    foot: ['ft'],
    feet: ['ft'],
    "'": ['ft'],
  },
  mass: {
    g: ['g'],
    gram: ['g'],
    grams: ['g'],
    kg: ['kg'],
    oz: ['oz'],
    ounce: ['oz'],
    ounces: ['oz'],
    lb: ['lb'],
    lbs: ['lb'],
    pound: ['lb'],
    pounds: ['lb'],
  },
  volume: {
    ml: ['mL'],
    cc: ['mL'],
    'cm³': ['mL'],
    cm3: ['mL'],
    l: ['L'],
    litre: ['L'],
    litres: ['L'],
    liter: ['L'],
    liters: ['L'],
    cuin: ['cu.in'],
    in3: ['cu.in'],
    'in³': ['cu.in'],
  },
  time: {
    s: ['s'],
    sec: ['s'],
    seconds: ['s'],
    min: ['min'],
    mins: ['min'],
    minutes: ['min'],
    h: ['h'],
    hr: ['h'],
    hrs: ['h'],
    hour: ['h'],
    hours: ['h'],
  },
  'mass-rate': {
    'g/yr': ['g/yr'],
    'g/year': ['g/yr'],
    'g/a': ['g/yr'],
    'kg/yr': ['g/yr', 1000],
    'kg/year': ['g/yr', 1000],
  },
  area: { m2: ['m2'], 'm²': ['m2'], sqm: ['m2'], sqft: ['sq.ft'], ft2: ['sq.ft'], 'ft²': ['sq.ft'] },
  'mass-per-length': { 'g/m': ['g/m'], 'kg/m': ['g/m', 1000], 'oz/ft': ['oz/ft'] },
}

function readUnit(written: string, kind: QuantityKind): Spelling | null {
  // "mPa" is a millipascal: nobody means that here, and reading it as a megapascal would be a guess.
  if (written.trim() === 'mPa') return null
  const key = written
    .toLowerCase()
    .replaceAll('μ', 'µ')
    .replaceAll('º', '°')
    .replace(/[″”“]|''/g, '"')
    .replace(/[′’]/g, "'")
    .replace(/[\s.·⋅*\-()]/g, '')
  const spelling = SPELLINGS[kind][key]
  if (!spelling || !Object.hasOwn(SPELLINGS[kind], key)) return null
  if (spelling[2] === 'gauge' && kind !== 'gauge-pressure') return null
  if (spelling[2] === 'absolute' && kind !== 'absolute-pressure') return null
  return spelling
}

const FRACTIONS: Record<string, string> = {
  '½': '1/2',
  '¼': '1/4',
  '¾': '3/4',
  '⅛': '1/8',
  '⅜': '3/8',
  '⅝': '5/8',
  '⅞': '7/8',
}

function readAmount(text: string): { value: number; rest: string } | null {
  const fraction = /^([+-]?)(?:(\d+)(?: +| ?- ?))?(\d+) ?\/ ?(\d+)(?![\d.,])/.exec(text)
  if (fraction) {
    const [whole, sign, units, top, bottom] = fraction
    if (Number(bottom) === 0) return null
    const value = Number(units ?? 0) + Number(top) / Number(bottom)
    return { value: sign === '-' ? -value : value, rest: text.slice(whole.length) }
  }
  const plain = /^[+-]?[\d., ]*\d(?:e[+-]?\d{1,3})?/i.exec(text)
  if (!plain) return null
  const value = parseNumber(plain[0])
  return value === null ? null : { value, rest: text.slice(plain[0].length) }
}

/**
 * Reads a quantity as people type it ("1/4 in", `3/8"`, "28 ft-lb", "500 µ", "1 ft 6 in", "12,5 bar").
 * Answers null for what can't be read with certainty: a missing unit (unless `unitWhenMissing` is given), a
 * unit of another kind, a gauge mark in an absolute field or the reverse, and the ambiguous "1,500".
 */
export function parseQuantity<K extends QuantityKind>(
  text: string,
  kind: K,
  unitWhenMissing?: UnitOf<K>,
): Quantity<UnitOf<K>> | null {
  const plain = text
    .replace(BLANKS, ' ')
    .replace(MINUS, '-')
    .replace(
      /(\d)?([½¼¾⅛⅜⅝⅞])/g,
      (_, before: string | undefined, sign: string) => `${before ? `${before} ` : ''}${FRACTIONS[sign]}`,
    )
    .trim()
  const pair = readPair(plain, kind)
  if (pair) return pair as Quantity<UnitOf<K>>
  const amount = readAmount(plain)
  if (!amount) return null
  if (amount.rest.trim() === '') {
    return unitWhenMissing === undefined ? null : { value: amount.value, unit: unitWhenMissing }
  }
  const spelling = readUnit(amount.rest, kind)
  if (!spelling) return null
  const value = amount.value * (spelling[1] ?? 1)
  return Number.isFinite(value) ? { value, unit: spelling[0] as UnitOf<K> } : null
}

/** "1 ft 6 in" and "5 lb 4 oz": two units of one kind, the answer in the smaller. */
function readPair(text: string, kind: QuantityKind): Quantity | null {
  if (kind !== 'length' && kind !== 'mass') return null
  const split =
    kind === 'length'
      ? /^(\d+) ?(?:ft|feet|foot|'|′|’)\.? ?(\d.*)$/i.exec(text)
      : /^(\d+) ?(?:lbs?|pounds?)\.? ?(\d.*)$/i.exec(text)
  if (!split) return null
  const rest = readAmount(split[2] ?? '')
  const spelling = rest && readUnit(rest.rest, kind)
  if (!rest || !spelling) return null
  if (kind === 'length' && spelling[0] === 'in')
    return { value: Number(split[1]) * 12 + rest.value, unit: 'in' }
  if (kind === 'mass' && spelling[0] === 'oz')
    return { value: Number(split[1]) * 16 + rest.value, unit: 'oz' }
  return null
}

/** What is printed for each unit. */
export const UNIT_LABELS: Record<Unit, string> = {
  'N.m': 'N·m',
  'ft.lbf': 'ft·lbf',
  'in.lbf': 'in·lbf',
  'kgf.cm': 'kgf·cm',
  Pa: 'Pa',
  kPa: 'kPa',
  MPa: 'MPa',
  bar: 'bar',
  mbar: 'mbar',
  psi: 'psi',
  micron: 'micron',
  torr: 'Torr',
  degC: '°C',
  degF: '°F',
  K: 'K',
  'degF.diff': '°F',
  mm: 'mm',
  cm: 'cm',
  m: 'm',
  in: 'in',
  ft: 'ft',
  g: 'g',
  kg: 'kg',
  oz: 'oz',
  lb: 'lb',
  mL: 'mL',
  L: 'L',
  'cu.in': 'in³',
  s: 's',
  min: 'min',
  h: 'h',
  get 'g/yr'() {
    return say.trade.gramsPerYear
  },
  m2: 'm²',
  'sq.ft': 'sq ft',
  'g/m': 'g/m',
  'oz/ft': 'oz/ft',
}

/** Digits after the point that a field instrument gives in this unit (common practice, no source). */
const DECIMALS: Record<Unit, number> = {
  'N.m': 1,
  'ft.lbf': 1,
  'in.lbf': 0,
  'kgf.cm': 0,
  Pa: 0,
  kPa: 1,
  MPa: 3,
  bar: 2,
  mbar: 2,
  psi: 1,
  micron: 0,
  torr: 3,
  degC: 1,
  degF: 1,
  K: 1,
  'degF.diff': 1,
  mm: 2,
  cm: 1,
  m: 2,
  in: 3,
  ft: 1,
  g: 0,
  kg: 3,
  oz: 1,
  lb: 2,
  mL: 0,
  L: 2,
  'cu.in': 1,
  s: 0,
  min: 1,
  h: 1,
  'g/yr': 0,
  m2: 2,
  'sq.ft': 1,
  'g/m': 1,
  'oz/ft': 2,
}

const SUPERSCRIPTS = '⁰¹²³⁴⁵⁶⁷⁸⁹'

/**
 * Prints a number: a real minus sign, narrow blanks between thousands from 10 000 on. With `decimals`, that
 * many digits after the point (but two significant ones rather than a bare zero); without, four significant
 * digits and no trailing zeros. Numbers too large or too small for that are printed with a power of ten.
 */
export function formatNumber(value: number, decimals?: number): string {
  requireFinite(say.trade.numberToPrint, value)
  if (value === 0) return decimals ? (0).toFixed(decimals) : '0'
  const size = Math.abs(value)
  if (size >= 1e9 || size < 1e-4) {
    // Not by dividing: ten to the power of −324 is nothing to a double.
    const [digits, power10] = size.toExponential(2).split('e')
    const exponent = Number(power10)
    const power = String(Math.abs(exponent)).replace(/\d/g, (digit) => SUPERSCRIPTS[Number(digit)] ?? '')
    return `${value < 0 ? '−' : ''}${Number(digits)} × 10${exponent < 0 ? '⁻' : ''}${power}`
  }
  let digits: string
  if (decimals === undefined) digits = plainDigits(Number(size.toPrecision(4)))
  else {
    digits = size.toFixed(decimals)
    if (Number(digits) === 0) digits = plainDigits(Number(size.toPrecision(2)))
  }
  const [whole = '0', part] = digits.split('.')
  const grouped = whole.length > 4 ? whole.replace(/\B(?=(\d{3})+$)/g, '\u202f') : whole
  return `${value < 0 ? '−' : ''}${grouped}${part === undefined ? '' : `.${part}`}`
}

function plainDigits(value: number): string {
  const text = String(value)
  return text.includes('e') ? value.toFixed(10).replace(/\.?0+$/, '') : text
}

/** Prints a number of `unit` with its label and the digits a field instrument gives: "38.0 N·m", "500 micron". */
export function formatQuantity(value: number, unit: Unit): string {
  return `${formatNumber(value, DECIMALS[unit])}\u00a0${UNIT_LABELS[unit]}`
}
