import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { REFRIGERANTS } from '../../server/trade/refrigerants.ts'
import {
  DUCTED_DEFAULT_TOLERANCE_K,
  judgeDifference,
  subcooling,
  superheat,
  temperatureSplit,
} from '../../server/trade/running-check.ts'
import { saturationPressure } from '../../server/trade/saturation.ts'
import { fromKelvinDifference } from '../../server/trade/units.ts'
import { OutsideValidity } from '../../server/trade/validity.ts'
import { cell, readTable } from '../reference/read-table.ts'

const K = (celsius: number) => celsius + 273.15

describe('the running check', () => {
  it('finds subcooling from the bubble line and superheat from the dew line, within 0.006 K of the tables', () => {
    for (const name of REFRIGERANTS) {
      for (const row of readTable(`sat_${name.replace('-', '')}.csv`).rows) {
        const t = K(cell(row, 'temperature_C'))
        if (t < 234 || t > 338) continue
        const cooled = subcooling({
          refrigerant: name,
          absolutePressurePa: cell(row, 'pressure_bubble_Pa'),
          temperatureK: t - 5,
        })
        expect(Math.abs(cooled.subcoolingK - 5)).toBeLessThan(0.006)
        const heated = superheat({
          refrigerant: name,
          absolutePressurePa: cell(row, 'pressure_dew_Pa'),
          temperatureK: t + 4,
        })
        expect(Math.abs(heated.superheatK - 4)).toBeLessThan(0.006)
      }
    }
  })

  it('does not mix the two lines of a blend that glides: R-454B differs by more than a kelvin', () => {
    const pressure = saturationPressure('R-454B', 'dew', K(10))
    const dew = superheat({
      refrigerant: 'R-454B',
      absolutePressurePa: pressure,
      temperatureK: K(15),
    }).saturationK
    const bubble = subcooling({
      refrigerant: 'R-454B',
      absolutePressurePa: pressure,
      temperatureK: K(5),
    }).saturationK
    expect(dew - bubble).toBeGreaterThan(1)
  })

  it('shows gas in the liquid line as negative subcooling', () => {
    const pressure = saturationPressure('R-32', 'bubble', K(40))
    expect(
      subcooling({ refrigerant: 'R-32', absolutePressurePa: pressure, temperatureK: K(42) }).subcoolingK,
    ).toBeCloseTo(-2, 6)
  })

  it('splits return and supply by the mode', () => {
    expect(temperatureSplit({ mode: 'cooling', returnAirK: K(25), supplyAirK: K(13) })).toBeCloseTo(12, 9)
    expect(temperatureSplit({ mode: 'heating', returnAirK: K(20), supplyAirK: K(38) })).toBeCloseTo(18, 9)
  })

  it.each([
    [5, { targetK: 5, toleranceK: 1 }, 'within'],
    [4, { targetK: 5, toleranceK: 1 }, 'within'],
    [6, { targetK: 5, toleranceK: 1 }, 'within'],
    [3.9, { targetK: 5, toleranceK: 1 }, 'low'],
    [6.1, { targetK: 5, toleranceK: 1 }, 'high'],
    [2, { lowK: 2, highK: 8 }, 'within'],
    [1.9, { lowK: 2, highK: 8 }, 'low'],
    [8.1, { lowK: 2, highK: 8 }, 'high'],
  ] as const)('%d K against %j is %s', (measuredK, target, verdict) => {
    expect(judgeDifference({ measuredK, target }).verdict).toBe(verdict)
  })

  it('has ±3 °F and ±5 °F as the defaults for ducted systems only', () => {
    expect(fromKelvinDifference(DUCTED_DEFAULT_TOLERANCE_K.subcooling, 'degF.diff')).toBeCloseTo(3, 12)
    expect(fromKelvinDifference(DUCTED_DEFAULT_TOLERANCE_K.superheat, 'degF.diff')).toBeCloseTo(5, 12)
  })

  it('falls with the line’s temperature and rises with its pressure', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...REFRIGERANTS),
        fc.double({ min: 240, max: 330, noNaN: true }),
        (name, t) => {
          const p = saturationPressure(name, 'bubble', t)
          const at = (pressure: number, temperatureK: number) =>
            subcooling({ refrigerant: name, absolutePressurePa: pressure, temperatureK }).subcoolingK
          expect(at(p, t - 1)).toBeGreaterThan(at(p, t))
          expect(at(p * 1.01, t)).toBeGreaterThan(at(p, t))
        },
      ),
    )
  })

  it('refuses pressures and temperatures outside what is known', () => {
    expect(() => subcooling({ refrigerant: 'R-32', absolutePressurePa: 1e5, temperatureK: 290 })).toThrow(
      OutsideValidity,
    )
    expect(() => superheat({ refrigerant: 'R-32', absolutePressurePa: 8e5, temperatureK: 20 })).toThrow(
      OutsideValidity,
    )
    expect(() =>
      superheat({ refrigerant: 'R-32', absolutePressurePa: Number.NaN, temperatureK: 290 }),
    ).toThrow(OutsideValidity)
    expect(() => temperatureSplit({ mode: 'cooling', returnAirK: 25, supplyAirK: 290 })).toThrow(
      OutsideValidity,
    )
    expect(() => judgeDifference({ measuredK: 5, target: { lowK: 8, highK: 2 } })).toThrow(OutsideValidity)
    expect(() => judgeDifference({ measuredK: 5, target: { targetK: 5, toleranceK: -1 } })).toThrow(
      OutsideValidity,
    )
  })
})
