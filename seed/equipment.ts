// Which equipment and which instruments does the demo use? Invented makers; figures as their invented manuals state them.

import { addInstrument } from '../server/commands/instruments/add-instrument.ts'
import { recordCalibration } from '../server/commands/instruments/record-calibration.ts'
import { addEquipmentSheet, type SheetInput } from '../server/commands/places/add-equipment-sheet.ts'
import type { CalibrationBasis, CalibrationResult, InstrumentKind } from '../server/vocabulary.ts'
import { type Hands, iso, MINUTE } from './hands.ts'

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
  /** Borrowed for the day. */
  pressTool?: string
}

interface CheckStory {
  daysAgo: number
  result: CalibrationResult
  basis: CalibrationBasis
  reference: string
  errorPercent?: number
  /** After it was adjusted. */
  leftErrorPercent?: number
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

/** The same check again and again, back to before the company signed up: one was good when its people began. */
const everSince = (
  newestDaysAgo: number,
  everyDays: number,
  check: (daysAgo: number, back: number) => CheckStory,
) =>
  Array.from({ length: Math.ceil((FIRST_CHECK_DAYS_AGO - newestDaysAgo) / everyDays) + 1 }, (_, back) =>
    check(newestDaysAgo + back * everyDays, back),
  ).reverse()

const FIRST_CHECK_DAYS_AGO = 1480
/** A little sooner than a year, and than half a year, after which a check is out of date. */
const YEARLY = 340
const HALF_YEARLY = 160

type Carried = Exclude<keyof Kit, 'pressTool'>

/** One kit, with the number that is painted on it. The checks lie so that every use below was confirmed. */
const kitOf = (number: number): Record<Carried, InstrumentStory> => ({
  torqueWrench: {
    kind: 'torque-wrench',
    name: `Torque wrench ${number}`,
    accuracyPercent: 4,
    checks: everSince(205 + number, YEARLY, (daysAgo, back) =>
      certificate(
        daysAgo,
        `Certificate TW-${310 + number - 42 * back}`,
        [0.6, -1.1, 1.8][(number + back) % 3],
      ),
    ),
  },
  flaringTool: {
    kind: 'flaring-tool',
    name: `Flaring tool ${number}`,
    checks: everSince(40 + number, HALF_YEARLY, (daysAgo) => ownCheck(daysAgo, 'Sample flare measured')),
  },
  pressureGauge: {
    kind: 'pressure-gauge',
    name: `Pressure gauge ${number}`,
    accuracyPercent: 0.5,
    fullScale: { value: 6, unit: 'MPa' },
    resolution: { value: 1, unit: 'kPa' },
    checks: everSince(210, YEARLY, (daysAgo, back) =>
      certificate(daysAgo, `Certificate PG-${152 + number - 21 * back}`),
    ),
  },
  thermometer: {
    kind: 'thermometer',
    name: `Pipe thermometer ${number}`,
    accuracyAbsolute: { value: 0.5, unit: 'K' },
    resolution: { value: 0.1, unit: 'K' },
    checks: everSince(208, YEARLY, (daysAgo) => ownCheck(daysAgo, 'Ice point')),
  },
  vacuumGauge: {
    kind: 'vacuum-gauge',
    name: `Vacuum gauge ${number}`,
    accuracyPercent: 10,
    resolution: { value: 1, unit: 'micron' },
    checks: everSince(206, YEARLY, (daysAgo, back) =>
      certificate(daysAgo, `Certificate VG-${98 + number - 17 * back}`),
    ),
  },
  scale: {
    kind: 'scale',
    name: `Charging scale ${number}`,
    accuracyAbsolute: { value: 10, unit: 'g' },
    resolution: { value: 2, unit: 'g' },
    fullScale: { value: 50, unit: 'kg' },
    checks: everSince(204, YEARLY, (daysAgo) => ownCheck(daysAgo, 'Check weights, set 2')),
  },
  leakDetector: {
    kind: 'leak-detector',
    name: `Leak detector ${number}`,
    accuracyAbsolute: { value: 3, unit: 'g/yr' },
    checks: everSince(203, YEARLY, (daysAgo) => ownCheck(daysAgo, 'Reference leak 4 g/year')),
  },
})

/** What the company has once, for whoever needs it that day. */
const SHARED = {
  /** Found 9 % low at its yearly check: it showed more than it applied, since a day that nobody knows. */
  torqueWrench: {
    kind: 'torque-wrench',
    name: 'Torque wrench 4, spare',
    accuracyPercent: 4,
    checks: [
      ...everSince(352, YEARLY, (daysAgo, back) =>
        certificate(daysAgo, `Certificate TW-${304 - 42 * back}`, [1.2, -0.4, 0.9][back % 3]),
      ),
      {
        daysAgo: 12,
        result: 'out-of-tolerance',
        basis: 'certificate',
        reference: 'Certificate TW-351',
        errorPercent: 9.9,
      },
      {
        daysAgo: 9,
        result: 'adjusted',
        basis: 'certificate',
        reference: 'Certificate TW-352',
        errorPercent: 9.9,
        leftErrorPercent: 0.4,
      },
    ],
  },
  flaringTool: {
    kind: 'flaring-tool',
    name: 'Flaring tool 5, powered',
    checks: everSince(66, HALF_YEARLY, (daysAgo) => ownCheck(daysAgo, 'Sample flare measured')),
  },
  pressTool: {
    kind: 'press-tool',
    name: 'Press tool 1',
    checks: everSince(58, HALF_YEARLY, (daysAgo) => ownCheck(daysAgo, 'Sample piece gauged')),
  },
} as const satisfies Record<string, InstrumentStory>
export type SharedTool = keyof typeof SHARED
export type SharedTools = Record<SharedTool, string>

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
  // Older checks than the newest are in a drawer; what has not happened yet is entered when it has.
  const before = checks.filter((check) => dayOf(check, today) <= hands.clock.now).at(-1)
  if (before) await enterCheck(hands, id, before, dayOf(before, today))
  return id
}

/** Late in the day, when the vans are back. */
function dayOf({ daysAgo }: CheckStory, today: number): number {
  const day = new Date(today)
  day.setHours(18, 0, 0, 0)
  day.setDate(day.getDate() - daysAgo)
  return day.getTime()
}

const enterCheck = (
  hands: Hands,
  instrumentId: string,
  { daysAgo: _day, errorPercent, leftErrorPercent, ...check }: CheckStory,
  at: number,
) =>
  hands.run(hands.by, recordCalibration, {
    instrumentId,
    at: iso(at),
    ...check,
    ...(errorPercent === undefined ? {} : { asFoundErrorPercent: errorPercent }),
    ...(leftErrorPercent === undefined ? {} : { asLeftErrorPercent: leftErrorPercent }),
  })

async function enterAll<Name extends string>(
  hands: Hands,
  today: number,
  stories: Record<Name, InstrumentStory>,
  number: number,
): Promise<Record<Name, string>> {
  const ids = {} as Record<Name, string>
  for (const [name, story] of Object.entries(stories) as [Name, InstrumentStory][])
    ids[name] = await enterInstrument(hands, today, story, `${story.kind.toUpperCase()}-${700 + number}`)
  return ids
}

export const enterKit = (hands: Hands, today: number, number: number): Promise<Kit> =>
  enterAll(hands, today, kitOf(number), number)

export const enterShared = (hands: Hands, today: number): Promise<SharedTools> =>
  enterAll(hands, today, SHARED, 40)

export async function enterSpare(hands: Hands, today: number): Promise<void> {
  await enterInstrument(hands, today, SPARE, 'VACUUM-GAUGE-688')
}

interface LaterCheck {
  at: number
  enter(hands: Hands): Promise<unknown>
}

function laterChecks(
  ids: Partial<Record<string, string>>,
  stories: Record<string, InstrumentStory>,
  since: number,
  today: number,
): LaterCheck[] {
  return Object.entries(stories).flatMap(([name, { checks }]) => {
    const id = ids[name]
    if (id === undefined) return []
    return checks
      .map((check) => ({ check, at: dayOf(check, today) }))
      .filter(({ at }) => at > since)
      .map(({ check, at }) => ({ at, enter: (hands) => enterCheck(hands, id, check, at) }))
  })
}

/** The later checks of a kit, each entered on its day. */
export const laterChecksOfKit = (kit: Kit, number: number, since: number, today: number): LaterCheck[] =>
  laterChecks({ ...kit }, kitOf(number), since, today)

export const laterChecksOfShared = (
  tools: Partial<SharedTools>,
  since: number,
  today: number,
): LaterCheck[] => laterChecks({ ...tools }, SHARED, since, today)
