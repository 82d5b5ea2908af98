// What does a job usually start from? A site, an equipment sheet, a single-zone system, the usual instruments.

import type { Actor } from '../../server/access/actor.ts'
import { addInstrument } from '../../server/commands/instruments/add-instrument.ts'
import { recordCalibration } from '../../server/commands/instruments/record-calibration.ts'
import { openJob } from '../../server/commands/jobs/open-job.ts'
import { addEquipmentSheet, type SheetInput } from '../../server/commands/places/add-equipment-sheet.ts'
import { addLineSet } from '../../server/commands/places/add-line-set.ts'
import { addSite } from '../../server/commands/places/add-site.ts'
import { addSystem } from '../../server/commands/places/add-system.ts'
import type { InstrumentKind, JobKind, LineSetJointKind } from '../../server/vocabulary.ts'
import { type Cast, DAY, HOUR } from './cast.ts'

export const inches = (value: number) => ({ value, unit: 'in' as const })
export const metres = (value: number) => ({ value, unit: 'm' as const })
const iso = (at: number) => new Date(at).toISOString()

/** An invented single-zone R-32 model. Torque and flare figures are those of JIS B 8607 class 2. */
export const SHEET: SheetInput = {
  maker: 'Larkspur',
  model: 'LS-35 single',
  kind: 'wall split',
  refrigerant: 'R-32',
  factoryCharge: { value: 1000, unit: 'g' },
  maxCharge: { value: 1.4, unit: 'kg' },
  prechargedLength: metres(7.5),
  chargeScheme: 'total-length',
  chargeAdders: [{ liquidOd: inches(0.25), perLength: { value: 20, unit: 'g/m' } }],
  minLength: metres(3),
  maxLength: metres(20),
  maxRise: metres(12),
  testPressureGauge: { value: 4.15, unit: 'MPa' },
  maxPressureGauge: { value: 4.3, unit: 'MPa' },
  vacuumTarget: { value: 500, unit: 'micron' },
  vacuumLimit: { value: 1500, unit: 'micron' },
  vacuumHoldMinutes: 10,
  torque: [
    { tubeOd: inches(0.25), low: 14, high: 18, unit: 'N.m' },
    { tubeOd: inches(0.375), low: 34, high: 42, unit: 'N.m' },
  ],
  flareDiameter: [
    { tubeOd: inches(0.25), low: 8.7, high: 9.1, unit: 'mm' },
    { tubeOd: inches(0.375), low: 12.8, high: 13.2, unit: 'mm' },
  ],
  flareLubrication: 'face',
  source: { document: 'Larkspur LS installation manual, 3rd edition', page: '14' },
}

export async function aSite(cast: Cast, by: Actor = cast.tess) {
  return cast.run(by, addSite, {
    customerName: 'Ida Fenwick',
    address: '12 Mill Lane, Brackwater',
    contact: '0150 555 0134',
    elevation: metres(40),
  })
}

/** A site with an open job on it. */
export async function aJobAtASite(
  cast: Cast,
  options: { kind?: JobKind; reference?: string; by?: Actor } = {},
) {
  const by = options.by ?? cast.tess
  const site = await aSite(cast, by)
  const job = await cast.run(by, openJob, {
    siteId: site.id,
    kind: options.kind ?? 'installation',
    ...(options.reference ? { reference: options.reference } : {}),
  })
  return { siteId: site.id, jobId: job.id }
}

interface Tool {
  kind: InstrumentKind
  name: string
  accuracyPercent?: number
  accuracyAbsolute?: { value: number; unit: string }
  resolution?: { value: number; unit: string }
  fullScale?: { value: number; unit: string }
  /** How long before now it was checked; default 30 days. */
  checkedAgo?: number
}

const TOOLS = {
  torqueWrench: { kind: 'torque-wrench', name: 'Torque wrench 1', accuracyPercent: 4 },
  pressureGauge: {
    kind: 'pressure-gauge',
    name: 'Digital gauge 1',
    accuracyPercent: 0.5,
    fullScale: { value: 6, unit: 'MPa' },
    resolution: { value: 1, unit: 'kPa' },
  },
  thermometer: {
    kind: 'thermometer',
    name: 'Pipe thermometer 1',
    accuracyAbsolute: { value: 0.5, unit: 'K' },
    resolution: { value: 0.1, unit: 'K' },
  },
  vacuumGauge: {
    kind: 'vacuum-gauge',
    name: 'Vacuum gauge 1',
    accuracyPercent: 10,
    resolution: { value: 1, unit: 'micron' },
  },
  scale: {
    kind: 'scale',
    name: 'Charging scale 1',
    accuracyAbsolute: { value: 10, unit: 'g' },
    resolution: { value: 2, unit: 'g' },
    fullScale: { value: 50, unit: 'kg' },
  },
  flaringTool: { kind: 'flaring-tool', name: 'Flaring tool 1' },
  /** Tried on a reference leak on the day. */
  leakDetector: { kind: 'leak-detector', name: 'Leak detector 1', checkedAgo: HOUR },
} as const satisfies Record<string, Tool>
export type ToolName = keyof typeof TOOLS

/** The usual instruments, each checked and found in tolerance; ids by what they are. */
export async function usualInstruments(
  cast: Cast,
  options: { by?: Actor; mark?: string } = {},
): Promise<Record<ToolName, string>> {
  const by = options.by ?? cast.tess
  const mark = options.mark ?? '1'
  const ids = {} as Record<ToolName, string>
  for (const [name, tool] of Object.entries(TOOLS) as [ToolName, Tool][]) {
    const { checkedAgo, ...fields } = tool
    const instrument = await cast.run(by, addInstrument, { ...fields, serial: `${tool.kind}-${mark}` })
    await cast.run(by, recordCalibration, {
      instrumentId: instrument.id,
      at: iso(cast.clock.now - (checkedAgo ?? 30 * DAY)),
      result: 'in-tolerance',
      basis: tool.kind === 'torque-wrench' || tool.kind === 'pressure-gauge' ? 'certificate' : 'own-check',
      ...(tool.kind === 'torque-wrench' ? { asFoundErrorPercent: 0.5 } : {}),
      reference: `check ${mark}`,
    })
    ids[name] = instrument.id
  }
  return ids
}

export interface SingleZone {
  sheetId: string
  systemId: string
  tagPrefix: string
  outdoorUnitId: string
  indoorUnitId: string
  lineSetId: string
  joints: Record<'outdoorLiquid' | 'outdoorGas' | 'indoorLiquid' | 'indoorGas', string>
  /** Tags by joint id. */
  tags: Record<string, string>
  instruments: Record<ToolName, string>
}

/** One outdoor and one indoor unit with four joints, on an open job; instruments are added unless they are given. */
export async function singleZone(
  cast: Cast,
  options: {
    jobId: string
    by?: Actor
    name?: string
    mark?: string
    sheet?: Partial<SheetInput>
    sheetId?: string
    lengthM?: number
    roomFloorAreaM2?: number
    jointKind?: LineSetJointKind
    instruments?: Record<ToolName, string>
  },
): Promise<SingleZone> {
  const by = options.by ?? cast.tess
  const mark = options.mark ?? '1'
  const sheetId =
    options.sheetId ?? (await cast.run(by, addEquipmentSheet, { ...SHEET, ...options.sheet })).id
  const { system, units } = await cast.run(by, addSystem, {
    jobId: options.jobId,
    name: options.name ?? 'Living room',
    refrigerant: options.sheet?.refrigerant ?? 'R-32',
    equipmentSheetId: sheetId,
    outdoorModel: 'LS-35 outdoor',
    outdoorSerial: `OUT-${mark}`,
  })
  const { lineSet, joints } = await cast.run(by, addLineSet, {
    systemId: system.id,
    jobId: options.jobId,
    name: options.name ?? 'Living room',
    indoorModel: 'LS-35 indoor',
    indoorSerial: `IN-${mark}`,
    liquidOd: inches(0.25),
    gasOd: inches(0.375),
    length: metres(options.lengthM ?? 6.4),
    rise: metres(1.5),
    tubing: 'new',
    jointKind: options.jointKind ?? 'flare',
    roomFloorArea: { value: options.roomFloorAreaM2 ?? 22, unit: 'm2' },
    mounting: 'wall',
  })
  const at = (place: string) => joints.find((joint) => joint.place === place)?.id ?? ''
  return {
    sheetId,
    systemId: system.id,
    tagPrefix: system.tagPrefix,
    outdoorUnitId: units[0]?.id ?? '',
    indoorUnitId: lineSet.toUnitId ?? '',
    lineSetId: lineSet.id,
    joints: {
      outdoorLiquid: at('outdoor-liquid'),
      outdoorGas: at('outdoor-gas'),
      indoorLiquid: at('indoor-liquid'),
      indoorGas: at('indoor-gas'),
    },
    tags: Object.fromEntries(joints.map((joint) => [joint.id, joint.tag])),
    instruments: options.instruments ?? (await usualInstruments(cast, { by, mark })),
  }
}
