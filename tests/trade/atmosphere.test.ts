import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  absoluteFromGauge,
  atmosphericPressureAt,
  elevationAt,
  gaugeFromAbsolute,
} from '../../server/trade/atmosphere.ts'
import { OutsideValidity } from '../../server/trade/validity.ts'

describe('the air at the site', () => {
  // ISO 2533 table values (from memory), Pa.
  it.each([
    [-500, 107478],
    [0, 101325],
    [500, 95461.3],
    [1000, 89876.2],
    [1609.344, 83437],
    [2000, 79501.4],
    [3000, 70121.1],
    [5000, 54048.2],
  ])('at %d m is %d Pa', (elevationM, pressurePa) => {
    expect(Math.abs(atmosphericPressureAt(elevationM) / pressurePa - 1)).toBeLessThan(5e-4)
  })

  it('falls with elevation and refuses what no house stands on', () => {
    fc.assert(
      fc.property(fc.double({ min: -500, max: 5990, noNaN: true }), (h) => {
        expect(atmosphericPressureAt(h + 5)).toBeLessThan(atmosphericPressureAt(h))
      }),
    )
    expect(() => atmosphericPressureAt(-501)).toThrow(OutsideValidity)
    expect(() => atmosphericPressureAt(9000)).toThrow(OutsideValidity)
    expect(() => atmosphericPressureAt(Number.NaN)).toThrow(OutsideValidity)
  })

  it('finds the elevation back from the air’s pressure', () => {
    for (const elevationM of [-500, -1, 0, 1, 250, 1609, 6000])
      expect(elevationAt(atmosphericPressureAt(elevationM))).toBeCloseTo(elevationM, 6)
    expect(() => elevationAt(20_000)).toThrow(OutsideValidity)
    expect(() => elevationAt(110_000)).toThrow(OutsideValidity)
  })

  it('goes from gauge to absolute and back', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -5e4, max: 6e6, noNaN: true }),
        fc.double({ min: 5e4, max: 108000, noNaN: true }),
        (gauge, air) => {
          expect(gaugeFromAbsolute(absoluteFromGauge(gauge, air), air)).toBeCloseTo(gauge, 6)
        },
      ),
    )
  })

  it('refuses a pressure below vacuum and air that is none', () => {
    expect(absoluteFromGauge(-101325, 101325)).toBe(0)
    expect(() => absoluteFromGauge(-101326, 101325)).toThrow(
      'gauge pressure must be at least -101325 Pa, not -101326 Pa (below vacuum)',
    )
    expect(() => absoluteFromGauge(0, 1000)).toThrow(OutsideValidity)
    expect(() => gaugeFromAbsolute(-1, 101325)).toThrow(OutsideValidity)
    expect(() => gaugeFromAbsolute(1, Number.NaN)).toThrow(OutsideValidity)
  })
})
