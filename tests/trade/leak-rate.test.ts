import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  bubbleSensitivity,
  kgPerYearToThroughput,
  pressureTestLeakFor,
  serviceLossFromPressureTest,
  serviceLossFromVacuum,
  TEST_GAS_MOLAR_MASS_KG,
  throughputToKgPerYear,
  viscousFactor,
} from '../../server/trade/leak-rate.ts'
import { type RefrigerantName, refrigerant } from '../../server/trade/refrigerants.ts'
import { OutsideValidity } from '../../server/trade/validity.ts'

const grams = (kg: number) => kg * 1000

describe('a leak in grams per year and in Pa·m³/s', () => {
  // Derived: Q = (m/M)·R·T/31 536 000 at 20 °C.
  it.each([
    ['R-32', 1, 1.49e-6],
    ['R-32', 5, 7.43e-6],
    ['R-32', 14, 2.08e-5],
    ['R-410A', 5, 5.32e-6],
    ['R-410A', 14, 1.49e-5],
    ['R-454B', 5, 6.17e-6],
    ['R-134a', 1, 7.58e-7],
    ['R-134a', 14, 1.06e-5],
  ] as [RefrigerantName, number, number][])(
    '%s: %d g/year is %d Pa·m³/s',
    (name, gramsPerYear, throughput) => {
      const molarMassKgPerMol = refrigerant(name).molarMassKgPerMol
      const computed = kgPerYearToThroughput({
        kgPerYear: gramsPerYear / 1000,
        molarMassKgPerMol,
        temperatureK: 293.15,
      })
      expect(Math.abs(computed / throughput - 1)).toBeLessThan(0.005)
    },
  )

  it('agrees for nitrogen: 5 g/year is 1.38e-5 Pa·m³/s', () => {
    const computed = kgPerYearToThroughput({
      kgPerYear: 0.005,
      molarMassKgPerMol: TEST_GAS_MOLAR_MASS_KG.nitrogen,
      temperatureK: 293.15,
    })
    expect(computed).toBeCloseTo(1.38e-5, 7)
  })

  it('agrees with a vacuum-technique handbook: 4 L losing 1 bar in 30 days is 1.5e-4 Pa·m³/s', () => {
    expect((0.004 * 1e5) / (30 * 86400)).toBeCloseTo(1.543e-4, 7)
  })

  it('agrees with the same handbook: 10 g of R-134a in 10 years is 7.1e-7 Pa·m³/s (1 % slack: its temperature)', () => {
    const computed = kgPerYearToThroughput({
      kgPerYear: 0.001,
      molarMassKgPerMol: 0.102,
      temperatureK: 275.15,
    })
    expect(Math.abs(computed / 7.1e-7 - 1)).toBeLessThan(0.01)
  })

  it('goes there and back, keeps the sign, and is linear', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-9, max: 1, noNaN: true }),
        fc.double({ min: 0.004, max: 0.12, noNaN: true }),
        (q, m) => {
          const kg = throughputToKgPerYear({
            throughputPaM3PerS: q,
            molarMassKgPerMol: m,
            temperatureK: 293.15,
          })
          expect(
            kgPerYearToThroughput({ kgPerYear: kg, molarMassKgPerMol: m, temperatureK: 293.15 }),
          ).toBeCloseTo(q, 9)
          expect(kg).toBeGreaterThan(0)
          expect(
            throughputToKgPerYear({ throughputPaM3PerS: -q, molarMassKgPerMol: m, temperatureK: 293.15 }),
          ).toBe(-kg)
        },
      ),
    )
  })
})

describe('what a test leak would lose in service (estimates)', () => {
  const R32 = { refrigerant: 'R-32', testGas: 'nitrogen', testAbsolutePa: 4.15e6 + 101325 } as const

  // Derived for a 1 L line set, R-32 at 25 °C saturation (trade-facts 8.4); its viscosities differ by some percent.
  it.each([
    ['1 h, a gauge of 5 % of the test pressure', 0.05 * 4.15e6, 3600, 8600],
    ['1 h, 20 kPa', 20e3, 3600, 830],
    ['1 h, 7 kPa', 7e3, 3600, 290],
    ['24 h, 7 kPa', 7e3, 86400, 12],
  ])('%s: about the same as published', (_, fallPa, seconds, gramsPerYear) => {
    const loss = grams(serviceLossFromPressureTest({ ...R32, leakPaM3PerS: (0.001 * fallPa) / seconds }))
    expect(Math.abs(loss / gramsPerYear - 1)).toBeLessThan(0.1)
  })

  it('2 L seen to 15 kPa in an hour is of the order of a kilogram a year', () => {
    expect(
      grams(serviceLossFromPressureTest({ ...R32, leakPaM3PerS: (0.002 * 15e3) / 3600 })),
    ).toBeGreaterThan(1000)
  })

  it('a vacuum rise of 133 Pa in 10 min on 1 L is about 170 g/day, 13 Pa in 30 min about 5 g/day', () => {
    const perDay = (pa: number, s: number) =>
      grams(serviceLossFromVacuum({ refrigerant: 'R-32', leakPaM3PerS: (0.001 * pa) / s })) / 365
    expect(Math.abs(perDay(133, 600) / 170 - 1)).toBeLessThan(0.12)
    expect(Math.abs(perDay(13, 1800) / 5 - 1)).toBeLessThan(0.12)
  })

  it('1e-4 Pa·m³/s of nitrogen at 4.15 MPa is about 15 g/year: the built-in sensitivity of bubbles', () => {
    expect(
      Math.abs(grams(serviceLossFromPressureTest({ ...R32, leakPaM3PerS: 1e-4 })) / 15 - 1),
    ).toBeLessThan(0.1)
    expect(grams(bubbleSensitivity(4.15e6))).toBeCloseTo(15, 12)
    expect(grams(bubbleSensitivity(1.04e6))).toBeGreaterThan(15 * 12)
  })

  it('comes back from a loss to the test leak that causes it', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-4, max: 10, noNaN: true }),
        fc.double({ min: 5e5, max: 4.5e6, noNaN: true }),
        (kgPerYear, testAbsolutePa) => {
          const leakPaM3PerS = pressureTestLeakFor({ ...R32, testAbsolutePa, kgPerYear })
          expect(
            serviceLossFromPressureTest({ ...R32, testAbsolutePa, leakPaM3PerS }) / kgPerYear,
          ).toBeCloseTo(1, 9)
        },
      ),
    )
  })

  it('a higher test pressure stands for a smaller loss in service', () => {
    fc.assert(
      fc.property(fc.double({ min: 2e5, max: 4e6, noNaN: true }), (testAbsolutePa) => {
        const loss = (pressure: number) =>
          serviceLossFromPressureTest({ ...R32, testAbsolutePa: pressure, leakPaM3PerS: 1e-4 })
        expect(loss(testAbsolutePa * 1.05)).toBeLessThan(loss(testAbsolutePa))
        expect(bubbleSensitivity(testAbsolutePa * 1.05)).toBeLessThan(bubbleSensitivity(testAbsolutePa))
      }),
    )
  })

  it('is driven by any pressure above the air’s, and by none at it', () => {
    const at = (highPa: number) =>
      viscousFactor(
        { highPa, lowPa: 101_325, viscosityPaS: 1 },
        { highPa: 2e6, lowPa: 101_325, viscosityPaS: 1 },
      )
    expect(() => at(101_325)).toThrow(/nothing drives the leak/)
    expect(at(101_326)).toBeGreaterThan(0)
  })

  it('refuses a leak that nothing drives', () => {
    expect(() => serviceLossFromPressureTest({ ...R32, testAbsolutePa: 1e5, leakPaM3PerS: 1e-4 })).toThrow(
      /drives/,
    )
    expect(() =>
      viscousFactor(
        { highPa: 2e5, lowPa: 1e5, viscosityPaS: 0 },
        { highPa: 2e5, lowPa: 1e5, viscosityPaS: 1 },
      ),
    ).toThrow(OutsideValidity)
    expect(() => bubbleSensitivity(0)).toThrow(OutsideValidity)
    expect(() =>
      throughputToKgPerYear({ throughputPaM3PerS: Number.NaN, molarMassKgPerMol: 0.05, temperatureK: 293 }),
    ).toThrow(OutsideValidity)
  })
})
