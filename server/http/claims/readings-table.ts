// What did the gauges show? Every reading of every test of a system, as rows of a table.

import { isPressureTest } from '../../rules/staleness.ts'
import type { CsvRow } from '../csv.ts'
import { instant } from '../json.ts'
import type { ClaimRecord } from './claim-record.ts'

export const READING_COLUMNS = [
  'test_id',
  'test',
  'job_id',
  'verdict',
  'reading_id',
  'at',
  'phase',
  'pressure_pa',
  'pressure_is',
  'pressure_typed',
  'pressure_typed_unit',
  'temperature_k',
  'temperature_typed',
  'temperature_typed_unit',
  'gauge_serial',
  'thermometer_serial',
] as const

/** In the order in which the tests were begun and the readings taken; SI beside what was typed. */
export function readingRows(record: ClaimRecord): CsvRow[] {
  const serials = new Map(record.instruments.map(({ id, serial }) => [id, serial]))
  const serialOf = (id: string | null | undefined) => (id ? serials.get(id) : null)
  const tests = [...record.pressureTests, ...record.evacuations].sort(
    (a, b) => a.test.performedAt - b.test.performedAt || (a.test.id < b.test.id ? -1 : 1),
  )
  return tests.flatMap(({ test, readingsTyped }) => {
    const isPressure = isPressureTest(test)
    return test.readings.map((reading) => {
      const typed = readingsTyped[reading.id] ?? {}
      const pressure = typed[isPressure ? 'gaugePressure' : 'absolutePressure']
      return {
        test_id: test.id,
        test: isPressure ? 'pressure-test' : 'evacuation',
        job_id: test.jobId,
        verdict: test.verdict,
        reading_id: reading.id,
        at: instant(reading.at),
        phase: 'stage' in reading ? reading.stage : reading.phase,
        pressure_pa: 'gaugePressurePa' in reading ? reading.gaugePressurePa : reading.absolutePressurePa,
        pressure_is: isPressure ? 'gauge' : 'absolute',
        pressure_typed: pressure?.value,
        pressure_typed_unit: pressure?.unit,
        temperature_k: reading.temperatureK,
        temperature_typed: typed.temperature?.value,
        temperature_typed_unit: typed.temperature?.unit,
        // A reading by another gauge than its test's says so.
        gauge_serial: serialOf(reading.instrumentId ?? test.gaugeInstrumentId),
        thermometer_serial: serialOf(
          'thermometerInstrumentId' in reading && 'thermometerInstrumentId' in test
            ? (reading.thermometerInstrumentId ?? test.thermometerInstrumentId)
            : null,
        ),
      }
    })
  })
}
