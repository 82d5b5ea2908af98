// Which equipment and which instruments does the demo use? Invented makers; figures as their invented manuals state them.

import { addInstrument } from '../server/commands/instruments/add-instrument.ts'
import { recordCalibration } from '../server/commands/instruments/record-calibration.ts'
import { addEquipmentSheet, type SheetInput } from '../server/commands/places/add-equipment-sheet.ts'
import type { CalibrationBasis, CalibrationResult, InstrumentKind } from '../server/vocabulary.ts'
import { DAY, type Hands, iso, MINUTE } from './hands.ts'

const inches = (value: number) => ({ value, unit: 'in' as const })
const metres = (value: number) => ({ value, unit: 'm' as const })
const grams = (value: number) => ({ value, unit: 'g' as const })

/** Torque ranges and flare diameters of JIS B 8607 class 2, as they are widely printed (common practice). */
const TORQUE = [
  { tubeOd: inches(0.25), low: 14, high: 18, unit: 'N.m' as const },
  { tubeOd: inches(0.375), low: 34, high: 42, unit: 'N.m' as const },
  { tubeOd: inches(0.5), low: 49, high: 61, unit: 'N.m' as const },
  { tubeOd: inches(0.625), low: 68, high: 82, unit: 'N.m' as const },
]
const FLARE_DIAMETER = [
  { tubeOd: inches(0.25), low: 8.7, high: 9.1, unit: 'mm' as const },
  { tubeOd: inches(0.375), low: 12.8, high: 13.2, unit: 'mm' as const },
  { tubeOd: inches(0.5), low: 16.2, high: 16.6, unit: 'mm' as const },
  { tubeOd: inches(0.625), low: 19.3, high: 19.7, unit: 'mm' as const },
]
const COMMON = {
  testPressureGauge: { value: 4.15, unit: 'MPa' as const },
  maxPressureGauge: { value: 4.3, unit: 'MPa' as const },
  vacuumTarget: { value: 500, unit: 'micron' as const },
  vacuumLimit: { value: 1500, unit: 'micron' as const },
  vacuumHoldMinutes: 10,
  torque: TORQUE,
  flareDiameter: FLARE_DIAMETER,
  flareLubrication: 'face' as const,
}

export const SHEETS = {
  single35: {
    ...COMMON,
    maker: 'Larkspur',
    model: 'LS-35',
    kind: 'wall split',
    refrigerant: 'R-32',
    factoryCharge: grams(950),
    maxCharge: grams(1400),
    prechargedLength: metres(7.5),
    chargeScheme: 'total-length',
    chargeAdders: [{ liquidOd: inches(0.25), perLength: { value: 20, unit: 'g/m' } }],
    minLength: metres(3),
    maxLength: metres(20),
    maxRise: metres(12),
    temperatureSplit: { low: 8, high: 16, unit: 'K' },
    source: { document: 'Larkspur LS installation manual, 3rd edition', page: '14' },
  },
  single50: {
    ...COMMON,
    maker: 'Larkspur',
    model: 'LS-50',
    kind: 'wall split',
    refrigerant: 'R-32',
    factoryCharge: grams(1250),
    maxCharge: grams(1800),
    prechargedLength: metres(7.5),
    chargeScheme: 'total-length',
    chargeAdders: [{ liquidOd: inches(0.25), perLength: { value: 20, unit: 'g/m' } }],
    minLength: metres(3),
    maxLength: metres(30),
    maxRise: metres(15),
    temperatureSplit: { low: 8, high: 16, unit: 'K' },
    source: { document: 'Larkspur LS installation manual, 3rd edition', page: '16' },
  },
  ducted: {
    ...COMMON,
    maker: 'Larkspur',
    model: 'LD-70',
    kind: 'ducted split',
    refrigerant: 'R-454B',
    factoryCharge: grams(1750),
    maxCharge: grams(2600),
    prechargedLength: metres(7.5),
    chargeScheme: 'per-line',
    chargeAdders: [{ liquidOd: inches(0.375), perLength: { value: 30, unit: 'g/m' } }],
    minLength: metres(5),
    maxLength: metres(30),
    maxRise: metres(15),
    subcooling: { low: 5, high: 8, unit: 'K' },
    source: { document: 'Larkspur LD service data', page: '22' },
  },
  dual: {
    ...COMMON,
    maker: 'Quillon',
    model: 'QM-52',
    kind: 'two-zone outdoor unit',
    refrigerant: 'R-32',
    factoryCharge: grams(1450),
    maxCharge: grams(1800),
    prechargedLength: metres(20),
    chargeScheme: 'total-length',
    chargeAdders: [{ liquidOd: inches(0.25), perLength: { value: 15, unit: 'g/m' } }],
    minLength: metres(3),
    maxLength: metres(20),
    maxTotalLength: metres(30),
    maxRise: metres(10),
    temperatureSplit: { low: 8, high: 16, unit: 'K' },
    source: { document: 'Quillon QM multi handbook', page: '31' },
  },
  four: {
    ...COMMON,
    maker: 'Quillon',
    model: 'QM-90',
    kind: 'four-zone outdoor unit',
    refrigerant: 'R-410A',
    factoryCharge: grams(2400),
    maxCharge: grams(3600),
    prechargedLength: metres(30),
    chargeScheme: 'total-length',
    chargeAdders: [{ liquidOd: inches(0.25), perLength: { value: 20, unit: 'g/m' } }],
    minLength: metres(3),
    maxLength: metres(25),
    maxTotalLength: metres(70),
    maxRise: metres(15),
    temperatureSplit: { low: 8, high: 16, unit: 'K' },
    source: { document: 'Quillon QM multi handbook', page: '44' },
  },
} as const satisfies Record<string, SheetInput>
export type SheetName = keyof typeof SHEETS

export interface Sheet {
  id: string
  input: SheetInput
}

export async function enterSheet(hands: Hands, name: SheetName): Promise<Sheet> {
  const input: SheetInput = SHEETS[name]
  return { id: (await hands.run(hands.by, addEquipmentSheet, input)).id, input }
}

/** What a technician carries. */
export interface Kit {
  torqueWrench: string
  flaringTool: string
  pressureGauge: string
  thermometer: string
  vacuumGauge: string
  scale: string
  leakDetector: string
}

interface CheckStory {
  daysAgo: number
  result: CalibrationResult
  basis: CalibrationBasis
  reference: string
  errorPercent?: number
}

interface InstrumentStory {
  kind: InstrumentKind
  name: string
  accuracyPercent?: number
  accuracyAbsolute?: { value: number; unit: string }
  resolution?: { value: number; unit: string }
  fullScale?: { value: number; unit: string }
  checks: readonly CheckStory[]
}

const certificate = (daysAgo: number, reference: string, errorPercent?: number): CheckStory => ({
  daysAgo,
  result: 'in-tolerance',
  basis: 'certificate',
  reference,
  ...(errorPercent === undefined ? {} : { errorPercent }),
})
const ownCheck = (daysAgo: number, reference: string): CheckStory => ({
  daysAgo,
  result: 'in-tolerance',
  basis: 'own-check',
  reference,
})

/** One kit, with the number that is painted on it. The checks lie so that every use below was confirmed. */
const kitOf = (number: number): Record<keyof Kit, InstrumentStory> => ({
  torqueWrench: {
    kind: 'torque-wrench',
    name: `Torque wrench ${number}`,
    accuracyPercent: 4,
    checks: [certificate(205 + number, `Certificate TW-${310 + number}`, [0.6, -1.1, 1.8][number % 3])],
  },
  flaringTool: {
    kind: 'flaring-tool',
    name: `Flaring tool ${number}`,
    checks: [ownCheck(200 + number, 'Sample flare measured'), ownCheck(40 + number, 'Sample flare measured')],
  },
  pressureGauge: {
    kind: 'pressure-gauge',
    name: `Pressure gauge ${number}`,
    accuracyPercent: 0.5,
    fullScale: { value: 6, unit: 'MPa' },
    resolution: { value: 1, unit: 'kPa' },
    checks: [certificate(210, `Certificate PG-${52 + number}`)],
  },
  thermometer: {
    kind: 'thermometer',
    name: `Pipe thermometer ${number}`,
    accuracyAbsolute: { value: 0.5, unit: 'K' },
    resolution: { value: 0.1, unit: 'K' },
    checks: [ownCheck(208, 'Ice point')],
  },
  vacuumGauge: {
    kind: 'vacuum-gauge',
    name: `Vacuum gauge ${number}`,
    accuracyPercent: 10,
    resolution: { value: 1, unit: 'micron' },
    checks: [certificate(206, `Certificate VG-${18 + number}`)],
  },
  scale: {
    kind: 'scale',
    name: `Charging scale ${number}`,
    accuracyAbsolute: { value: 10, unit: 'g' },
    resolution: { value: 2, unit: 'g' },
    fullScale: { value: 50, unit: 'kg' },
    checks: [ownCheck(204, 'Check weights, set 2')],
  },
  leakDetector: {
    kind: 'leak-detector',
    name: `Leak detector ${number}`,
    accuracyAbsolute: { value: 3, unit: 'g/yr' },
    checks: [ownCheck(203, 'Reference leak 4 g/year')],
  },
})

/** On the shelf: its check is long overdue, and nothing rests on it. */
const SPARE: InstrumentStory = {
  kind: 'vacuum-gauge',
  name: 'Vacuum gauge, spare',
  accuracyPercent: 15,
  resolution: { value: 10, unit: 'micron' },
  checks: [certificate(512, 'Certificate VG-3')],
}

async function enterInstrument(
  hands: Hands,
  today: number,
  story: InstrumentStory,
  serial: string,
): Promise<string> {
  const { checks, ...fields } = story
  hands.clock.pass(3 * MINUTE)
  const { id } = await hands.run(hands.by, addInstrument, { ...fields, serial })
  for (const { daysAgo, errorPercent, ...check } of checks) {
    const at = today - daysAgo * DAY
    // What has not happened yet at this time of the story is entered when it has.
    if (at > hands.clock.now) continue
    await hands.run(hands.by, recordCalibration, {
      instrumentId: id,
      at: iso(at),
      ...check,
      ...(errorPercent === undefined ? {} : { asFoundErrorPercent: errorPercent }),
    })
  }
  return id
}

export async function enterKit(hands: Hands, today: number, number: number): Promise<Kit> {
  const stories = kitOf(number)
  const kit: Partial<Kit> = {}
  for (const [what, story] of Object.entries(stories) as [keyof Kit, InstrumentStory][])
    kit[what] = await enterInstrument(hands, today, story, `${story.kind.toUpperCase()}-${700 + number}`)
  return kit as Kit
}

export async function enterSpare(hands: Hands, today: number): Promise<void> {
  await enterInstrument(hands, today, SPARE, 'VACUUM-GAUGE-688')
}

/** The later checks of a kit, each entered on its day. */
export function laterChecks(kit: Kit, number: number, since: number, today: number) {
  const stories = kitOf(number)
  return (Object.entries(stories) as [keyof Kit, InstrumentStory][]).flatMap(([what, { checks }]) =>
    checks
      .map(({ daysAgo, errorPercent, ...check }) => ({ at: today - daysAgo * DAY, check }))
      .filter(({ at }) => at > since)
      .map(({ at, check }) => ({
        at,
        enter: (hands: Hands) =>
          hands.run(hands.by, recordCalibration, { instrumentId: kit[what], ...check }),
      })),
  )
}
