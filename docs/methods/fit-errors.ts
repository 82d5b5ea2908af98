/**
 * Prints every compact fit in use and its largest error against its reference table: `npx tsx docs/methods/fit-errors.ts`.
 */
import { compressibility, endPressureAtConstantDensity } from '../../server/trade/nitrogen.ts'
import { REFRIGERANTS } from '../../server/trade/refrigerants.ts'
import {
  liquidDensity,
  saturationPressure,
  saturationSource,
  saturationTemperature,
} from '../../server/trade/saturation.ts'
import { waterVapourPressure } from '../../server/trade/water.ts'
import { cell, readTable } from '../../tests/reference/read-table.ts'

const K = (celsius: number) => celsius + 273.15

/** Largest of a set of errors and where it lies. */
function worst(errors: readonly { error: number; at: string }[]): string {
  const largest = errors.reduce((a, b) => (b.error > a.error ? b : a), { error: 0, at: '' })
  return `${largest.error.toExponential(1)} at ${largest.at}`
}

for (const name of REFRIGERANTS) {
  const rows = readTable(`sat_${name.replace('-', '')}.csv`).rows
  const along = (column: string, computed: (temperatureK: number) => number) =>
    worst(
      rows.map((row) => ({
        error: Math.abs(computed(K(cell(row, 'temperature_C'))) / cell(row, column) - 1),
        at: `${row.temperature_C} °C`,
      })),
    )
  const inKelvin = Math.max(
    ...rows.slice(1, -1).map((row) => {
      const t = K(cell(row, 'temperature_C'))
      return Math.abs(saturationTemperature(name, 'bubble', cell(row, 'pressure_bubble_Pa')) - t)
    }),
  )
  console.log(`${name} (${saturationSource(name).source})`)
  console.log(
    `  bubble pressure ${along('pressure_bubble_Pa', (t) => saturationPressure(name, 'bubble', t))}`,
  )
  console.log(`  dew pressure    ${along('pressure_dew_Pa', (t) => saturationPressure(name, 'dew', t))}`)
  console.log(`  liquid density  ${along('liquid_density_kg_m3', (t) => liquidDensity(name, t))}`)
  console.log(`  temperature from bubble pressure ${inKelvin.toFixed(4)} K`)
}

const z = readTable('n2_z.csv').rows.map((row) => ({
  error: Math.abs(
    compressibility(cell(row, 'pressure_Pa'), K(cell(row, 'temperature_C'))) / cell(row, 'Z') - 1,
  ),
  at: `${row.temperature_C} °C, ${row.pressure_Pa} Pa`,
}))
console.log(`nitrogen Z ${worst(z)}`)
const closed = readTable('n2_isochoric.csv').rows.map((row) => ({
  error: Math.abs(
    endPressureAtConstantDensity({
      startPressurePa: cell(row, 'pressure_start_Pa'),
      startTemperatureK: K(cell(row, 'temperature_start_C')),
      endTemperatureK: K(cell(row, 'temperature_end_C')),
    }) /
      cell(row, 'pressure_end_real_Pa') -
      1,
  ),
  at: `${row.pressure_start_Pa} Pa, ${row.temperature_start_C} to ${row.temperature_end_C} °C`,
}))
console.log(`nitrogen end pressure ${worst(closed)}`)
const water = readTable('water_sat.csv').rows.map((row) => ({
  error: Math.abs(
    waterVapourPressure(K(cell(row, 'temperature_C')), row.phase as 'ice' | 'liquid') /
      cell(row, 'pressure_Pa') -
      1,
  ),
  at: `${row.temperature_C} °C (${row.phase})`,
}))
console.log(`water vapour pressure ${worst(water)}`)
