import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  formatNumber,
  formatQuantity,
  fromKelvinDifference,
  fromKelvins,
  fromSi,
  parseNumber,
  parseQuantity,
  type QuantityKind,
  toKelvinDifference,
  toKelvins,
  toKilogramsPerMetre,
  toKilogramsPerYear,
  toNewtonMetres,
  toPascals,
  toSeconds,
  toSi,
  toSquareMetres,
  UNIT_LABELS,
  UNITS,
  type Unit,
} from '../../server/trade/units.ts'
import { OutsideValidity } from '../../server/trade/validity.ts'

const KINDS = Object.keys(UNITS) as QuantityKind[]
const convert = (kind: QuantityKind, value: number, unit: Unit) => toSi(kind, { value, unit } as never)

describe('units', () => {
  // NIST SP 811 (2008) appendix B and the SI brochure; products of exact definitions.
  it.each([
    ['torque', 1, 'ft.lbf', 1.3558179483314003, 'NIST SP 811: 1.355 818'],
    ['torque', 1, 'in.lbf', 0.1129848290276167, 'NIST SP 811: 0.112 984 8'],
    ['torque', 1, 'kgf.cm', 0.0980665, 'exact'],
    ['torque', 38, 'N.m', 38, 'SI'],
    ['pressure', 1, 'psi', 6894.757293168361, 'NIST SP 811: 6.894 757 kPa'],
    ['pressure', 1, 'bar', 100000, 'exact'],
    ['pressure', 1, 'mbar', 100, 'exact'],
    ['pressure', 4.15, 'MPa', 4150000, 'SI'],
    ['pressure', 760, 'torr', 101325, 'exact: a 760th of the atmosphere'],
    ['pressure', 1, 'micron', 0.133322387415, 'NIST SP 811: conventional mmHg 133.3224 Pa'],
    ['pressure', 500, 'micron', 66.6611937075, 'derived'],
    ['temperature', 0, 'degC', 273.15, 'exact'],
    ['temperature', 32, 'degF', 273.15, 'exact'],
    ['temperature', -40, 'degF', 233.15, '−40 °F = −40 °C'],
    ['temperature', 212, 'degF', 373.15, 'exact'],
    ['temperature-difference', 9, 'degF.diff', 5, 'exact'],
    ['temperature-difference', 5, 'K', 5, 'SI'],
    ['length', 1, 'in', 0.0254, 'exact'],
    ['length', 1, 'ft', 0.3048, 'exact'],
    ['length', 9.52, 'mm', 0.00952, 'SI'],
    ['mass', 1, 'lb', 0.45359237, 'exact'],
    ['mass', 16, 'oz', 0.45359237, 'exact'],
    ['volume', 1, 'cu.in', 1.6387064e-5, 'exact'],
    ['volume', 2, 'L', 0.002, 'SI'],
    ['time', 1, 'h', 3600, 'exact'],
    ['area', 1, 'sq.ft', 0.09290304, 'exact'],
    ['mass-per-length', 1, 'oz/ft', 0.0930102, 'derived: 93.010 2 g/m'],
    ['mass-rate', 5, 'g/yr', 0.005, 'SI'],
  ] as [QuantityKind, number, Unit, number, string][])('%s: %d %s is %d (%s)', (kind, value, unit, si) => {
    expect(Math.abs(convert(kind, value, unit) / si - 1)).toBeLessThan(
      kind === 'mass-per-length' ? 1e-6 : 1e-14,
    )
  })

  it('agrees with the pairs printed in manuals: 140–180 kgf·cm is 14–18 N·m, 4.15 MPa is 42 kgf/cm² (±2 %)', () => {
    // Common practice, no source.
    expect(toNewtonMetres({ value: 140, unit: 'kgf.cm' })).toBeCloseTo(13.73, 2)
    expect(toNewtonMetres({ value: 180, unit: 'kgf.cm' })).toBeCloseTo(17.65, 2)
    expect(42 * 98066.5).toBeGreaterThan(0.98 * toPascals({ value: 4.15, unit: 'MPa' }))
    expect(42 * 98066.5).toBeLessThan(1.02 * toPascals({ value: 4.15, unit: 'MPa' }))
  })

  it('keeps a temperature difference apart from a temperature', () => {
    expect(toKelvinDifference({ value: 3, unit: 'degF.diff' })).toBeCloseTo(1.6666666667, 9)
    expect(toKelvins({ value: 3, unit: 'degF' })).toBeCloseTo(257.0388889, 6)
    expect(fromKelvinDifference(5, 'degF.diff')).toBeCloseTo(9, 12)
    expect(fromKelvins(273.15, 'degF')).toBeCloseTo(32, 9)
  })

  it('refuses what is not a number, what lies below absolute zero, and a unit of another kind', () => {
    expect(() => toPascals({ value: Number.NaN, unit: 'Pa' })).toThrow(OutsideValidity)
    expect(() => toPascals({ value: Number.POSITIVE_INFINITY, unit: 'bar' })).toThrow(OutsideValidity)
    expect(() => toPascals({ value: 1e308, unit: 'MPa' })).toThrow(OutsideValidity)
    expect(() => toKelvins({ value: -460, unit: 'degF' })).toThrow(/absolute zero/)
    expect(() => fromKelvins(-1, 'degC')).toThrow(OutsideValidity)
    expect(() => toSeconds({ value: 1, unit: 'm' as never })).toThrow(OutsideValidity)
    expect(() => toSi('nothing' as never, { value: 1, unit: 'm' as never })).toThrow(OutsideValidity)
    expect(() => fromSi('nothing' as never, 1, 'm' as never)).toThrow(OutsideValidity)
  })

  it('labels every unit of every kind and prints it', () => {
    for (const kind of KINDS) {
      for (const unit of UNITS[kind]) {
        expect(UNIT_LABELS[unit]).toBeTruthy()
        expect(formatQuantity(12.3456, unit)).toMatch(
          new RegExp(`^12[.\\d]*\u00a0${literally(UNIT_LABELS[unit])}$`),
        )
      }
    }
  })

  it('converts there and back to within rounding, in every unit of every kind', () => {
    for (const kind of KINDS) {
      for (const unit of UNITS[kind]) {
        fc.assert(
          fc.property(
            fc.double({ min: kind === 'temperature' ? 0 : -1e6, max: 1e6, noNaN: true }),
            (value) => {
              const back = fromSi(kind, convert(kind, value, unit), unit as never)
              expect(Math.abs(back - value)).toBeLessThanOrEqual(
                1e-9 * Math.max(1e-3, Math.abs(value)) + (kind === 'temperature' ? 1e-9 : 0),
              )
            },
          ),
          { numRuns: 60 },
        )
      }
    }
  })

  it('grows with the value in every unit of every kind', () => {
    for (const kind of KINDS) {
      for (const unit of UNITS[kind]) {
        fc.assert(
          fc.property(
            fc.double({ min: 0, max: 1e5, noNaN: true }),
            fc.double({ min: 1e-3, max: 1e3, noNaN: true }),
            (value, more) => {
              expect(convert(kind, value + more, unit)).toBeGreaterThan(convert(kind, value, unit))
            },
          ),
          { numRuns: 30 },
        )
      }
    }
  })

  it('has one SI unit per kind: kilograms per year and per metre, square metres', () => {
    expect(toKilogramsPerYear({ value: 1000, unit: 'g/yr' })).toBe(1)
    expect(toKilogramsPerMetre({ value: 20, unit: 'g/m' })).toBeCloseTo(0.02, 15)
    expect(toSquareMetres({ value: 100, unit: 'sq.ft' })).toBeCloseTo(9.290304, 12)
  })
})

describe('reading numbers', () => {
  it.each([
    ['28', 28],
    ['28.5', 28.5],
    ['28,5', 28.5],
    ['1 234', 1234],
    ['1 234,5', 1234.5],
    ['12\u00a0500', 12500],
    ['12\u202f500.25', 12500.25],
    ['−5', -5],
    ['-0,4', -0.4],
    ['+3', 3],
    ['.5', 0.5],
    [',5', 0.5],
    ['0,500', 0.5],
    ['1.500', 1.5],
    ['  7 ', 7],
    ['1.2e-6', 1.2e-6],
    ['0', 0],
    ['007', 7],
  ])('reads %j as %d', (text, value) => {
    expect(parseNumber(text)).toBe(value)
  })

  it.each([
    '',
    ' ',
    '-',
    '.',
    '1,500',
    '12,345',
    '1.2.3',
    '1,2,3',
    '1.234,5',
    '1,234.5',
    '12 34',
    '1 2345',
    'abc',
    '12abc',
    'NaN',
    'Infinity',
    '1e999',
    '0x10',
    '1e',
    '--1',
    '5.',
    '1/4',
    'e5',
    '٣',
  ])('refuses %j', (text) => {
    expect(parseNumber(text)).toBeNull()
  })

  it('reads back what it prints', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -999_999_999, max: 999_999_999 }),
        fc.integer({ min: 0, max: 4 }),
        (n, decimals) => {
          const value = n / 10 ** decimals
          fc.pre(value === 0 || Math.abs(value) >= 1e-3)
          expect(parseNumber(formatNumber(value, decimals))).toBeCloseTo(value, 9)
        },
      ),
    )
  })

  it('never answers with a number that is not finite, whatever is typed', () => {
    fc.assert(
      fc.property(fc.string(), (text) => {
        const value = parseNumber(text)
        expect(value === null || Number.isFinite(value)).toBe(true)
      }),
    )
  })
})

describe('printing numbers', () => {
  it.each([
    [0, undefined, '0'],
    [0, 2, '0.00'],
    [38, 1, '38.0'],
    [-5.25, 1, '−5.3'],
    [1234.5, 1, '1234.5'],
    [12345.6, 0, '12\u202f346'],
    [4150000, 0, '4\u202f150\u202f000'],
    [0.004, 1, '0.004'],
    [0.00444, 1, '0.0044'],
    [1.54321e-4, undefined, '0.0001543'],
    [1.543e-5, undefined, '1.54 × 10⁻⁵'],
    [2e12, 0, '2 × 10¹²'],
    [-3.21e-7, 2, '−3.21 × 10⁻⁷'],
    [27.5, undefined, '27.5'],
    [1 / 3, undefined, '0.3333'],
    [123456, undefined, '123\u202f500'],
    [9.9999e-5, undefined, '1 × 10⁻⁴'],
  ] as [number, number | undefined, string][])(
    'prints %d with %s decimals as %s',
    (value, decimals, text) => {
      expect(formatNumber(value, decimals)).toBe(text)
    },
  )

  it('prints what is too small for any gauge without losing its size', () => {
    expect(formatNumber(5e-324)).toBe('4.94 × 10⁻³²⁴')
    expect(formatNumber(-2.5e-7)).toBe('−2.5 × 10⁻⁷')
    expect(formatNumber(9.999e-5)).toBe('1 × 10⁻⁴')
    expect(formatNumber(1.7976931348623157e308)).toBe('1.8 × 10³⁰⁸')
  })

  it('refuses to print what is not a number', () => {
    expect(() => formatNumber(Number.NaN)).toThrow(OutsideValidity)
  })

  it('prints quantities as a field instrument would show them', () => {
    expect(formatQuantity(38, 'N.m')).toBe('38.0\u00a0N·m')
    expect(formatQuantity(3.701, 'MPa')).toBe('3.701\u00a0MPa')
    expect(formatQuantity(500, 'micron')).toBe('500\u00a0micron')
    expect(formatQuantity(68, 'degF')).toBe('68.0\u00a0°F')
    expect(formatQuantity(0.00001, 'm')).toMatch(/10⁻⁵/)
  })
})

describe('reading quantities', () => {
  it.each([
    ['1/4 in', 'length', 0.25, 'in'],
    ['3/8"', 'length', 0.375, 'in'],
    ['3/8 ″', 'length', 0.375, 'in'],
    ['1-1/8 in', 'length', 1.125, 'in'],
    ['1 1/8"', 'length', 1.125, 'in'],
    ['1  1/8 in', 'length', 1.125, 'in'],
    ['12 3/8 in', 'length', 12.375, 'in'],
    ['11/16 in', 'length', 0.6875, 'in'],
    ['3/16 in', 'length', 0.1875, 'in'],
    ['3 / 16 in', 'length', 0.1875, 'in'],
    ['+3/8 in', 'length', 0.375, 'in'],
    ['1.5e-4 MPa', 'gauge-pressure', 1.5e-4, 'MPa'],
    ['2E+12 Pa', 'pressure', 2e12, 'Pa'],
    ['1e-12 m²', 'area', 1e-12, 'm2'],
    ['1e5 Pa', 'absolute-pressure', 1e5, 'Pa'],
    ['½ in', 'length', 0.5, 'in'],
    ['1½ in', 'length', 1.5, 'in'],
    ['-1/4 in', 'length', -0.25, 'in'],
    ['9,52 mm', 'length', 9.52, 'mm'],
    ['25 ft', 'length', 25, 'ft'],
    ['15\' 6"', 'length', 186, 'in'],
    ['15 ft 6 1/2 in', 'length', 186.5, 'in'],
    ['5 lb 4 oz', 'mass', 84, 'oz'],
    ['1.84 kg', 'mass', 1.84, 'kg'],
    ['  28   ft-lb  ', 'torque', 28, 'ft.lbf'],
    ['28 \u00a0ft-lb', 'torque', 28, 'ft.lbf'],
    ['28 ft-lb', 'torque', 28, 'ft.lbf'],
    ['28 ft·lbf', 'torque', 28, 'ft.lbf'],
    ['28 lb-ft', 'torque', 28, 'ft.lbf'],
    ['340 in-lbs', 'torque', 340, 'in.lbf'],
    ['340 inch pounds', 'torque', 340, 'in.lbf'],
    ['38 Nm', 'torque', 38, 'N.m'],
    ['38 N·m', 'torque', 38, 'N.m'],
    ['38N.m', 'torque', 38, 'N.m'],
    ['380 kgf·cm', 'torque', 380, 'kgf.cm'],
    ['500 µ', 'pressure', 500, 'micron'],
    ['500 μm', 'absolute-pressure', 500, 'micron'],
    ['500 microns', 'absolute-pressure', 500, 'micron'],
    ['1 500 micron', 'absolute-pressure', 1500, 'micron'],
    ['500 mTorr', 'absolute-pressure', 0.5, 'torr'],
    ['5 mmHg', 'absolute-pressure', 5000, 'micron'],
    ['600 psig', 'gauge-pressure', 600, 'psi'],
    ['600 PSI', 'gauge-pressure', 600, 'psi'],
    ['14.7 psia', 'absolute-pressure', 14.7, 'psi'],
    ['4.15 MPa', 'gauge-pressure', 4.15, 'MPa'],
    ['41,5 bar', 'gauge-pressure', 41.5, 'bar'],
    ['68 °F', 'temperature', 68, 'degF'],
    ['20°C', 'temperature', 20, 'degC'],
    ['−5 C', 'temperature', -5, 'degC'],
    ['293.15 K', 'temperature', 293.15, 'K'],
    ['3 °F', 'temperature-difference', 3, 'degF.diff'],
    ['3 °C', 'temperature-difference', 3, 'K'],
    ['2 L', 'volume', 2, 'L'],
    ['90 min', 'time', 90, 'min'],
    ['5 g/year', 'mass-rate', 5, 'g/yr'],
    ['12.5 m²', 'area', 12.5, 'm2'],
    ['150 sq ft', 'area', 150, 'sq.ft'],
    ['0.6 oz/ft', 'mass-per-length', 0.6, 'oz/ft'],
  ] as [string, QuantityKind, number, Unit][])('reads %j (%s) as %d %s', (text, kind, value, unit) => {
    const quantity = parseQuantity(text, kind)
    expect(quantity?.unit).toBe(unit)
    expect(quantity?.value).toBeCloseTo(value, 12)
  })

  it.each([
    ['28', 'torque', 'no unit'],
    ['28 kg', 'torque', 'a unit of another kind'],
    ['600 psia', 'gauge-pressure', 'absolute in a gauge field'],
    ['600 psig', 'absolute-pressure', 'gauge in an absolute field'],
    ['600 psig', 'pressure', 'a mark where neither is meant'],
    ['4.15 mPa', 'gauge-pressure', 'a millipascal'],
    ['1,500 micron', 'absolute-pressure', 'ambiguous'],
    ['1/0 in', 'length', 'division by nothing'],
    ['1/4/8 in', 'length', 'two strokes'],
    ['about 3/8 in', 'length', 'a word before the fraction'],
    ['about 9 mm', 'length', 'a word before the number'],
    ['3/8.5 in', 'length', 'a fraction of a fraction'],
    ['in', 'length', 'no number'],
    ['', 'length', 'nothing'],
    ['constructor', 'length', 'a word of the language'],
    ['5 constructor', 'length', 'a word of the language as a unit'],
    ['5 toString', 'mass', 'a word of the language as a unit'],
    ['20 °C', 'mass', 'a temperature'],
    ['5 m extra', 'length', 'words after it'],
  ] as [string, QuantityKind, string][])('refuses %j as %s: %s', (text, kind) => {
    expect(parseQuantity(text, kind)).toBeNull()
  })

  it('takes the field’s unit when none is typed', () => {
    expect(parseQuantity('28', 'torque', 'ft.lbf')).toEqual({ value: 28, unit: 'ft.lbf' })
    expect(parseQuantity('1/4', 'length', 'in')).toEqual({ value: 0.25, unit: 'in' })
  })

  it('reads back every unit by its own code and its own label', () => {
    for (const kind of KINDS) {
      for (const unit of UNITS[kind]) {
        // "°F" of a difference is read as a difference only in a field that asks for one.
        expect(parseQuantity(`12.5 ${unit}`, kind), `${kind} ${unit}`).toEqual({ value: 12.5, unit })
        expect(parseQuantity(`12.5 ${UNIT_LABELS[unit]}`, kind), `${kind} ${UNIT_LABELS[unit]}`).toEqual({
          value: 12.5,
          unit,
        })
      }
    }
  })

  it('never throws and never answers with a number that is not finite', () => {
    fc.assert(
      fc.property(fc.string(), fc.constantFrom(...KINDS), (text, kind) => {
        const quantity = parseQuantity(text, kind)
        expect(quantity === null || Number.isFinite(quantity.value)).toBe(true)
      }),
    )
  })
})

function literally(text: string): string {
  return text.replace(/[.*+?^${}()|[\]\\/]/g, '\\$&')
}
