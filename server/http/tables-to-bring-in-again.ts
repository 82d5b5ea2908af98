// Which tables go out in the form in which they can be brought in elsewhere? Sites and equipment sheets.

import { SIZES, sizeM } from '../commands/imports/table-kinds.ts'
import type { Range } from '../rules/dossier.ts'
import { listSheets } from '../store/queries/equipment-sheets.ts'
import { listSites } from '../store/queries/sites.ts'
import { sameTubeSize } from '../trade/tube.ts'
import { fromSi } from '../trade/units.ts'
import type { CsvRow } from './csv.ts'
import { instant } from './json.ts'
import { figure, PAGE, pages, type TableOut } from './table-out.ts'

export const SITES_OUT: TableOut = {
  summary: 'Every site with its customer; can be brought in again.',
  columns: ['site_id', 'customer', 'address', 'town', 'contact', 'elevation_m', 'added_at'],
  rows: async function* (scope) {
    for await (const page of pages((cursor) => listSites(scope, { limit: PAGE, cursor })))
      for (const site of page)
        yield {
          site_id: site.id,
          customer: site.customerName,
          address: site.address,
          town: site.town,
          contact: site.contact,
          elevation_m: figure(site.elevationM),
          added_at: instant(site.createdAt),
        }
  },
}

/** In the units in which a table that is brought in is read where its headings name none. */
export const SHEETS_OUT: TableOut = {
  summary: 'Every equipment sheet with its figures and where they were read; can be brought in again.',
  columns: [
    'sheet_id',
    'maker',
    'model',
    'kind',
    'refrigerant',
    'document',
    'page',
    ...SIZES.map((size) => `torque_${size}_nm`),
    ...SIZES.map((size) => `flare_${size}_mm`),
    ...SIZES.map((size) => `adder_${size}_g_per_m`),
    'factory_charge_kg',
    'max_charge_kg',
    'maker_table_charge_kg',
    'precharged_length_m',
    'charge_scheme',
    'min_length_m',
    'max_length_m',
    'max_total_length_m',
    'max_rise_outdoor_above_m',
    'max_rise_outdoor_below_m',
    'test_pressure_mpa',
    'max_pressure_mpa',
    'vacuum_target_micron',
    'vacuum_limit_micron',
    'vacuum_hold_minutes',
    'flare_lubrication',
    'subcooling_k',
    'superheat_k',
    'temperature_split_k',
    'added_at',
  ],
  rows: async function* (scope) {
    for await (const page of pages((cursor) => listSheets(scope, { limit: PAGE, cursor })))
      for (const { figures, ...sheet } of page) {
        yield {
          sheet_id: sheet.id,
          maker: sheet.maker,
          model: sheet.model,
          kind: sheet.kind,
          refrigerant: sheet.refrigerant,
          document: sheet.sourceDocument,
          page: sheet.sourcePage,
          ...bySize(figures.torqueNm, 'tubeOdM', 'torque', 'nm', (of) =>
            span({ low: of.lowNm, high: of.highNm }),
          ),
          ...bySize(figures.flareDiameterM, 'tubeOdM', 'flare', 'mm', (of) =>
            span({ low: of.lowM * 1000, high: of.highM * 1000 }),
          ),
          ...bySize(figures.chargeAdders, 'liquidOdM', 'adder', 'g_per_m', (of) => figure(of.kgPerM * 1000)),
          factory_charge_kg: figure(figures.factoryChargeKg),
          max_charge_kg: figure(figures.maxChargeKg),
          maker_table_charge_kg: figure(figures.makerTableChargeKg),
          precharged_length_m: figure(figures.prechargedLengthM),
          charge_scheme: figures.chargeScheme,
          min_length_m: figure(figures.minLengthM),
          max_length_m: figure(figures.maxLengthM),
          max_total_length_m: figure(figures.maxTotalLengthM),
          max_rise_outdoor_above_m: figure(figures.maxRiseOutdoorAboveM),
          max_rise_outdoor_below_m: figure(figures.maxRiseOutdoorBelowM),
          test_pressure_mpa: scaled(figures.testPressureGaugePa, 1e-6),
          max_pressure_mpa: scaled(figures.maxPressureGaugePa, 1e-6),
          vacuum_target_micron: microns(figures.vacuumTargetPa),
          vacuum_limit_micron: microns(figures.vacuumLimitPa),
          vacuum_hold_minutes: scaled(figures.vacuumHoldS, 1 / 60),
          flare_lubrication: figures.flareLubrication,
          subcooling_k: span(figures.subcoolingK),
          superheat_k: span(figures.superheatK),
          temperature_split_k: span(figures.temperatureSplitK),
          added_at: instant(sheet.createdAt),
        }
      }
  },
}

const scaled = (value: number | null, by: number) => figure(value === null ? null : value * by)
const microns = (pascals: number | null) =>
  figure(pascals === null ? null : fromSi('absolute-pressure', pascals, 'micron'))
/** As ranges are written in a table that is brought in. */
const span = (range: Range | null) => (range ? `${figure(range.low)}–${figure(range.high)}` : null)

function bySize<Row>(
  rows: readonly Row[],
  od: keyof Row,
  what: string,
  unit: string,
  write: (row: Row) => string | number | null,
): CsvRow {
  return Object.fromEntries(
    SIZES.map((size) => {
      const row = rows.find((one) => sameTubeSize(Number(one[od]), sizeM(size)))
      return [`${what}_${size}_${unit}`, row ? write(row) : null]
    }),
  )
}
