import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  compressibility,
  endPressureAtConstantDensity,
  idealEndPressure,
  slopeAtConstantDensity,
} from '../../server/trade/nitrogen.ts'
import { OutsideValidity } from '../../server/trade/validity.ts'
import { cell, readTable } from '../reference/read-table.ts'

const K = (celsius: number) => celsius + 273.15

describe('nitrogen as a real gas', () => {
  it('is within 8.5e-5 of the equation of state over the whole table, −30…70 °C and 0.1…6 MPa', () => {
    const { rows, source } = readTable('n2_z.csv')
    expect(source).toMatch(/Span/)
    expect(rows).toHaveLength(1260)
    let worst = 0
    for (const row of rows) {
      const z = compressibility(cell(row, 'pressure_Pa'), K(cell(row, 'temperature_C')))
      worst = Math.max(worst, Math.abs(z / cell(row, 'Z') - 1))
    }
    expect(worst).toBeLessThanOrEqual(8.55e-5)
    expect(worst).toBeGreaterThan(8e-5)
  })

  it('finds the end pressure of a closed vessel within 5.5e-5 over the whole table, and the ideal one exactly', () => {
    const { rows } = readTable('n2_isochoric.csv')
    expect(rows).toHaveLength(315)
    let worst = 0
    let worstPa = 0
    for (const row of rows) {
      const input = {
        startPressurePa: cell(row, 'pressure_start_Pa'),
        startTemperatureK: K(cell(row, 'temperature_start_C')),
        endTemperatureK: K(cell(row, 'temperature_end_C')),
      }
      const real = cell(row, 'pressure_end_real_Pa')
      const error = Math.abs(endPressureAtConstantDensity(input) - real)
      worst = Math.max(worst, error / real)
      worstPa = Math.max(worstPa, error)
      expect(idealEndPressure(input)).toBeCloseTo(cell(row, 'pressure_end_ideal_Pa'), 1)
    }
    expect(worst).toBeLessThanOrEqual(5.55e-5)
    expect(worstPa).toBeLessThanOrEqual(233)
  })

  it('reproduces the test values of the fit', () => {
    expect(compressibility(4e6, 300)).toBeCloseTo(0.996407, 6)
    expect(compressibility(4.2e6, 273.15)).toBeCloseTo(0.986026, 6)
    expect(compressibility(6e6, 243.15)).toBeCloseTo(0.95811, 6)
    // NIST tables as generally known: Z(300 K, 4 MPa) = 0.9964.
    expect(compressibility(4e6, 300)).toBeCloseTo(0.9964, 4)
  })

  // Slopes derived from the equation of state (trade-facts 4.5), kPa/K, gauge pressures at 101.325 kPa.
  it.each([
    [1.0, 20, 3.86],
    [2.0, 20, 7.53],
    [3.0, 20, 11.4],
    [3.8, 0, 15.9],
    [3.8, 20, 14.6],
    [3.8, 40, 13.5],
    [4.15, 0, 17.5],
    [4.15, 20, 16.0],
    [4.15, 40, 14.8],
  ])('rises at %d MPa gauge and %d °C by %d kPa/K', (gaugeMPa, celsius, slope) => {
    const kPaPerK = slopeAtConstantDensity(gaugeMPa * 1e6 + 101325, K(celsius)) / 1000
    expect(Math.abs(kPaPerK - slope)).toBeLessThan(0.06)
  })

  it('has a slope that is the derivative of its own end pressure', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e5, max: 5.9e6, noNaN: true }),
        fc.double({ min: 245, max: 342, noNaN: true }),
        (p, t) => {
          const end = (dt: number) =>
            endPressureAtConstantDensity({
              startPressurePa: p,
              startTemperatureK: t,
              endTemperatureK: t + dt,
            })
          const numeric = (end(0.5) - end(-0.5)) / 1
          expect(slopeAtConstantDensity(p, t) / numeric).toBeCloseTo(1, 4)
        },
      ),
    )
  })

  it('returns to where it came from', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e5, max: 4e6, noNaN: true }),
        fc.double({ min: 250, max: 330, noNaN: true }),
        fc.double({ min: 250, max: 330, noNaN: true }),
        (startPressurePa, startTemperatureK, endTemperatureK) => {
          const there = endPressureAtConstantDensity({ startPressurePa, startTemperatureK, endTemperatureK })
          const back = endPressureAtConstantDensity({
            startPressurePa: there,
            startTemperatureK: endTemperatureK,
            endTemperatureK: startTemperatureK,
          })
          expect(back / startPressurePa).toBeCloseTo(1, 9)
        },
      ),
    )
  })

  it('rises with temperature and with the start pressure', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e5, max: 5e6, noNaN: true }),
        fc.double({ min: 250, max: 320, noNaN: true }),
        fc.double({ min: 0.1, max: 20, noNaN: true }),
        (p, t, dt) => {
          const end = (from: number, to: number) =>
            endPressureAtConstantDensity({ startPressurePa: from, startTemperatureK: t, endTemperatureK: to })
          expect(end(p, t + dt)).toBeGreaterThan(end(p, t))
          expect(end(p * 1.01, t + dt)).toBeGreaterThan(end(p, t + dt))
        },
      ),
    )
  })

  it('is steeper than an ideal gas at test pressure by 5–13 %', () => {
    for (const [p, t] of [
      [2.1e6, 293],
      [3.9e6, 293],
      [4.25e6, 273],
      [4.25e6, 313],
    ] as const) {
      const share = slopeAtConstantDensity(p, t) / (p / t)
      expect(share).toBeGreaterThan(1.04)
      expect(share).toBeLessThan(1.14)
    }
  })

  it.each([
    ['too cold', 1e6, 243],
    ['too warm', 1e6, 343.2],
    ['too high', 6.01e6, 293],
    ['no pressure', 0, 293],
    ['a negative pressure', -1, 293],
    ['no number', Number.NaN, 293],
    ['no temperature', 1e6, Number.NaN],
  ])('refuses what is %s', (_, p, t) => {
    expect(() => compressibility(p, t)).toThrow(OutsideValidity)
    expect(() => slopeAtConstantDensity(p, t)).toThrow(OutsideValidity)
    expect(() =>
      endPressureAtConstantDensity({ startPressurePa: p, startTemperatureK: t, endTemperatureK: 293 }),
    ).toThrow(OutsideValidity)
  })

  it('refuses an end temperature outside the range and keeps still without a change', () => {
    const start = { startPressurePa: 4e6, startTemperatureK: 293 }
    expect(() => endPressureAtConstantDensity({ ...start, endTemperatureK: 350 })).toThrow(OutsideValidity)
    expect(() =>
      endPressureAtConstantDensity({ startPressurePa: 5.9e6, startTemperatureK: 293, endTemperatureK: 303 }),
    ).toThrow(/end pressure/)
    expect(endPressureAtConstantDensity({ ...start, endTemperatureK: 293 })).toBe(4e6)
    expect(() => idealEndPressure({ ...start, endTemperatureK: 0 })).toThrow(OutsideValidity)
  })
})
