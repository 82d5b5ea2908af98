import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  GWP_BASES,
  isFlammable,
  parseRefrigerant,
  REFRIGERANTS,
  type RefrigerantName,
  refrigerant,
} from '../../server/trade/refrigerants.ts'
import {
  liquidDensity,
  saturationPressure,
  saturationSource,
  saturationTemperature,
} from '../../server/trade/saturation.ts'
import { OutsideValidity } from '../../server/trade/validity.ts'
import { waterPhase, waterVapourPressure } from '../../server/trade/water.ts'
import { cell, readTable } from '../reference/read-table.ts'

const K = (celsius: number) => celsius + 273.15
const LINES = ['bubble', 'dew'] as const

describe('saturation of refrigerants', () => {
  it.each(REFRIGERANTS)('%s is within its stated errors over the whole table, −40…65 °C', (name) => {
    const { rows } = readTable(`sat_${name.replace('-', '')}.csv`)
    expect(rows).toHaveLength(106)
    const { pressureError, densityError } = saturationSource(name)
    const worst = { bubble: 0, dew: 0, density: 0, temperature: 0 }
    for (const row of rows) {
      const temperatureK = K(cell(row, 'temperature_C'))
      for (const line of LINES) {
        const reference = cell(row, `pressure_${line}_Pa`)
        worst[line] = Math.max(
          worst[line],
          Math.abs(saturationPressure(name, line, temperatureK) / reference - 1),
        )
        // At the ends of the range the table's own pressure may lie beyond the fit's by its error.
        if (temperatureK > 234 && temperatureK < 338) {
          worst.temperature = Math.max(
            worst.temperature,
            Math.abs(saturationTemperature(name, line, reference) - temperatureK),
          )
        }
      }
      worst.density = Math.max(
        worst.density,
        Math.abs(liquidDensity(name, temperatureK) / cell(row, 'liquid_density_kg_m3') - 1),
      )
    }
    // The stated errors are rounded to two digits.
    expect(worst.bubble).toBeLessThanOrEqual(pressureError.bubble * 1.05)
    expect(worst.dew).toBeLessThanOrEqual(pressureError.dew * 1.05)
    expect(worst.density).toBeLessThanOrEqual(densityError * 1.05)
    expect(worst.temperature).toBeLessThanOrEqual(0.006)
  })

  // Values of the fits at 25 °C as they were published with them.
  it.each([
    ['R-32', 1689599.32, 1689599.32, 961.0212],
    ['R-410A', 1657220.12, 1652109.37, 1058.7791],
    ['R-454B', 1584328.49, 1521636.0, 986.2378],
    ['R-22', 1043906.77, 1043906.77, 1190.6631],
    ['R-134a', 665375.32, 665375.32, 1206.7106],
    ['R-290', 952066.9, 952066.9, 492.363],
  ] as [RefrigerantName, number, number, number][])('%s at 25 °C', (name, bubble, dew, density) => {
    expect(saturationPressure(name, 'bubble', 298.15) / bubble).toBeCloseTo(1, 7)
    expect(saturationPressure(name, 'dew', 298.15) / dew).toBeCloseTo(1, 7)
    expect(liquidDensity(name, 298.15)).toBeCloseTo(density, 3)
  })

  // NIST and ASHRAE Handbook tables as generally known, kPa; gross errors only.
  it.each([
    ['R-32', 40, 2478],
    ['R-32', 0, 813.1],
    ['R-22', 0, 497.99],
    ['R-22', 40, 1533.6],
    ['R-134a', 25, 665.38],
    ['R-290', 40, 1369.4],
    ['R-410A', 25, 1653],
  ] as [RefrigerantName, number, number][])(
    '%s at %d °C is near the printed %d kPa',
    (name, celsius, kPa) => {
      expect(Math.abs(saturationPressure(name, 'bubble', K(celsius)) / 1000 / kPa - 1)).toBeLessThan(0.003)
    },
  )

  it('returns from pressure to temperature, grows with temperature, and dew is never above bubble', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...REFRIGERANTS),
        fc.constantFrom(...LINES),
        fc.double({ min: 233.16, max: 338.1, noNaN: true }),
        (name, line, temperatureK) => {
          const pressure = saturationPressure(name, line, temperatureK)
          expect(saturationTemperature(name, line, pressure)).toBeCloseTo(temperatureK, 8)
          expect(saturationPressure(name, line, temperatureK + 0.04)).toBeGreaterThan(pressure)
          expect(liquidDensity(name, temperatureK + 0.04)).toBeLessThan(liquidDensity(name, temperatureK))
          const gap =
            saturationPressure(name, 'bubble', temperatureK) - saturationPressure(name, 'dew', temperatureK)
          expect(gap).toBeGreaterThanOrEqual(0)
        },
      ),
    )
  })

  it('reaches exactly to the ends of its range and refuses beyond them', () => {
    for (const name of REFRIGERANTS) {
      for (const line of LINES) {
        for (const end of [233.15, 338.15]) {
          expect(saturationTemperature(name, line, saturationPressure(name, line, end))).toBeCloseTo(end, 6)
        }
        expect(() => saturationPressure(name, line, 233.1)).toThrow(OutsideValidity)
        expect(() => saturationPressure(name, line, 338.2)).toThrow(OutsideValidity)
        expect(() =>
          saturationTemperature(name, line, saturationPressure(name, line, 233.15) * 0.999),
        ).toThrow(/−40 to 65/)
        expect(() =>
          saturationTemperature(name, line, saturationPressure(name, line, 338.15) * 1.001),
        ).toThrow(OutsideValidity)
      }
      expect(() => liquidDensity(name, 340)).toThrow(OutsideValidity)
    }
    expect(() => saturationTemperature('R-32', 'bubble', 0)).toThrow(OutsideValidity)
    expect(() => saturationPressure('R-999' as RefrigerantName, 'bubble', 290)).toThrow(/R-999/)
    expect(() => saturationPressure('R-32', 'bubble', Number.NaN)).toThrow(OutsideValidity)
  })
})

describe('what is known of each refrigerant', () => {
  it('reads its name as people write it', () => {
    for (const [text, name] of [
      ['r32', 'R-32'],
      ['R 410a', 'R-410A'],
      ['R-454B', 'R-454B'],
      ['r-22', 'R-22'],
      ['R134A', 'R-134a'],
      ['r290', 'R-290'],
    ]) {
      expect(parseRefrigerant(text as string)).toBe(name)
    }
    for (const text of ['', 'R-999', 'water', '32', '__proto__']) expect(parseRefrigerant(text)).toBeNull()
    expect(() => refrigerant('R-999' as RefrigerantName)).toThrow(OutsideValidity)
  })

  it('has blends that follow from their components', () => {
    // 50/50 and R-32/R-1234yf 68.9/31.1 by mass; R-125 3500 and R-1234yf 4 by AR4, 3740 and 0.501 by AR6.
    expect(refrigerant('R-410A').gwp.AR4).toBe(Math.round(0.5 * 675 + 0.5 * 3500))
    expect(refrigerant('R-410A').gwp.AR6).toBe(Math.round(0.5 * 771 + 0.5 * 3740))
    expect(refrigerant('R-454B').gwp.AR4).toBe(Math.round(0.689 * 675 + 0.311 * 4))
    expect(refrigerant('R-454B').gwp.AR6).toBe(Math.round(0.689 * 771 + 0.311 * 0.501))
    expect(1 / refrigerant('R-410A').molarMassKgPerMol).toBeCloseTo(0.5 / 0.052024 + 0.5 / 0.12002, 2)
    expect(1 / refrigerant('R-454B').molarMassKgPerMol).toBeCloseTo(0.689 / 0.052024 + 0.311 / 0.11404, 2)
  })

  it('has the viscosities of the reference table', () => {
    const { rows } = readTable('gas_viscosity.csv')
    const table = new Map(rows.map((row) => [row.gas, cell(row, 'viscosity_Pa_s')]))
    for (const name of REFRIGERANTS)
      expect(refrigerant(name).gasViscosityPaS).toBe(table.get(name.replace('-', '')))
  })

  it('knows which are flammable, and a limit for each that is', () => {
    expect(REFRIGERANTS.filter(isFlammable)).toEqual(['R-32', 'R-454B', 'R-290'])
    for (const name of REFRIGERANTS) {
      expect(refrigerant(name).lflKgPerM3 !== null).toBe(isFlammable(name))
      for (const basis of GWP_BASES) expect(refrigerant(name).gwp[basis]).not.toBeUndefined()
    }
  })
})

describe('water', () => {
  it('is within 5e-6 of IAPWS over the whole table', () => {
    const { rows } = readTable('water_sat.csv')
    expect(rows).toHaveLength(102)
    for (const row of rows) {
      const phase = row.phase as 'ice' | 'liquid'
      const computed = waterVapourPressure(K(cell(row, 'temperature_C')), phase)
      expect(Math.abs(computed / cell(row, 'pressure_Pa') - 1)).toBeLessThan(5e-6)
    }
  })

  it('changes from ice to liquid at 0 °C, where both agree within 1e-4', () => {
    expect(waterPhase(273.149)).toBe('ice')
    expect(waterPhase(273.15)).toBe('liquid')
    expect(waterVapourPressure(273.15, 'ice') / waterVapourPressure(273.15, 'liquid')).toBeCloseTo(1, 3)
  })

  // Micron of mercury: derived from the international formulation.
  it.each([
    [0, 4584.46],
    [20, 17546],
    [30, 31855],
    [-10, 1949],
  ])('at %d °C holds %d micron', (celsius, micron) => {
    expect(Math.abs((waterVapourPressure(K(celsius)) * 1000) / 133.322387415 / micron - 1)).toBeLessThan(1e-3)
  })

  it('refuses outside −40…60 °C and the wrong phase', () => {
    expect(() => waterVapourPressure(K(-41))).toThrow(OutsideValidity)
    expect(() => waterVapourPressure(K(61))).toThrow(OutsideValidity)
    expect(() => waterVapourPressure(K(5), 'ice')).toThrow(OutsideValidity)
    expect(() => waterVapourPressure(K(-5), 'liquid')).toThrow(OutsideValidity)
  })

  it('grows with temperature', () => {
    fc.assert(
      fc.property(fc.double({ min: 233.15, max: 332, noNaN: true }), (t) => {
        expect(waterVapourPressure(t + 0.2)).toBeGreaterThan(waterVapourPressure(t))
      }),
    )
  })
})
