// One system ready to be tested: two units, one line set, four joints, an open job, and instruments that state how good they are.

import { newId } from '../../server/ids.ts'
import { startChain } from '../../server/store/record.ts'
import type { SheetFigures } from '../../server/store/rows.ts'
import { scopeOf } from '../../server/store/store.ts'
import type { RefrigerantName } from '../../server/vocabulary.ts'
import { type Cast, DAY, NOON, type Player } from './cast.ts'

export interface ReadySection {
  siteId: string
  systemId: string
  jobId: string
  lineSetId: string
  outdoorId: string
  indoorId: string
  jointIds: string[]
  gauge: string
  thermometer: string
  vacuumGauge: string
  compoundGauge: string
  scale: string
  wrench: string
}

export const NO_FIGURES: SheetFigures = {
  factoryChargeKg: null,
  maxChargeKg: null,
  prechargedLengthM: null,
  chargeScheme: null,
  chargeAdders: [],
  perIndoorUnit: [],
  makerTableChargeKg: null,
  minLengthM: null,
  maxLengthM: null,
  maxTotalLengthM: null,
  maxRiseOutdoorAboveM: null,
  maxRiseOutdoorBelowM: null,
  testPressureGaugePa: null,
  maxPressureGaugePa: null,
  vacuumTargetPa: null,
  vacuumLimitPa: null,
  vacuumHoldS: null,
  torqueNm: [],
  flareDiameterM: [],
  flareLubrication: null,
  subcoolingK: null,
  superheatK: null,
  temperatureSplitK: null,
}

/** 1/4 and 3/8 in, 10 m: R-32, 0.9 kg from the factory for 7.5 m, 20 g for each metre more, 1.5 kg at most. */
const FIGURES: SheetFigures = {
  ...NO_FIGURES,
  factoryChargeKg: 0.9,
  maxChargeKg: 1.5,
  prechargedLengthM: 7.5,
  chargeScheme: 'per-line',
  chargeAdders: [{ liquidOdM: 0.00635, kgPerM: 0.02 }],
  testPressureGaugePa: 4.15e6,
  maxPressureGaugePa: 4.3e6,
  subcoolingK: { low: 4, high: 8 },
}

export async function aSection(
  cast: Cast,
  given: {
    player?: Player
    elevationM?: number
    refrigerant?: RefrigerantName
    figures?: Partial<SheetFigures>
  } = {},
): Promise<ReadySection> {
  const player = given.player ?? cast.tess
  const { companyId } = player
  return cast.store.store.transaction(async (session) => {
    const scope = scopeOf(session, companyId)
    const { db, t } = scope
    const own = () => ({ companyId, id: newId() })
    const site = {
      ...own(),
      customerName: 'Bo Marsh',
      address: '14 Lantern Row',
      town: 'Brackwater',
      contact: null,
      elevationM: given.elevationM ?? null,
      searchText: 'bo marsh',
      salt: 'salt',
      createdAt: NOON - DAY,
    }
    await db.insert(t.sites).values(site)
    const refrigerant = given.refrigerant ?? 'R-32'
    const sheet = {
      ...own(),
      maker: 'Fenwick',
      model: `FW-${newId().slice(-6)}`,
      kind: 'outdoor',
      refrigerant,
      figures: { ...FIGURES, ...given.figures },
      typed: {},
      sourceDocument: 'Installation manual FW',
      sourcePage: '12',
      createdAt: NOON - DAY,
    }
    await db.insert(t.equipmentSheets).values(sheet)
    const system = {
      ...own(),
      siteId: site.id,
      name: 'Hall',
      tagPrefix: newId().slice(-4).toUpperCase(),
      refrigerant,
      equipmentSheetId: sheet.id,
      createdAt: NOON - DAY,
    }
    await db.insert(t.systems).values(system)
    await startChain(scope, system.id, 'system')
    const unit = async (role: 'outdoor' | 'indoor') => {
      const row = {
        ...own(),
        systemId: system.id,
        role,
        name: role,
        model: `FW-${role}`,
        serial: newId(),
        serialLower: newId(),
        equipmentSheetId: null,
        replacesUnitId: null,
        installedAt: NOON - DAY,
        warrantyStartAt: null,
        warrantyEndAt: null,
        registeredWithMaker: false,
        createdAt: NOON - DAY,
      }
      await db.insert(t.units).values(row)
      return row.id
    }
    const outdoorId = await unit('outdoor')
    const indoorId = await unit('indoor')
    const job = {
      ...own(),
      siteId: site.id,
      kind: 'installation' as const,
      reference: null,
      referenceLower: '',
      stage: 'open' as const,
      stageAt: NOON - DAY,
      assignedTo: null,
      scheduledFor: null,
      callbackId: null,
      openedAt: NOON - DAY,
    }
    await db.insert(t.jobs).values(job)
    await db.insert(t.jobSystems).values({ companyId, jobId: job.id, systemId: system.id })
    const line = {
      ...own(),
      systemId: system.id,
      name: 'Kitchen',
      fromUnitId: outdoorId,
      toUnitId: indoorId,
      liquidOdM: 0.00635,
      gasOdM: 0.009525,
      lengthM: 10,
      riseM: null,
      tubing: 'new' as const,
      tubeWallM: null,
      previousRefrigerant: null,
      cleaning: null,
      jointKind: 'flare' as const,
      room: {
        floorAreaM2: 20,
        releaseHeightM: null,
        mounting: 'wall' as const,
        method: 'unventilated' as const,
        document: null,
        page: null,
        measured: true,
      },
      typed: {},
      jobId: job.id,
      createdAt: NOON - DAY,
    }
    await db.insert(t.lineSets).values(line)
    const jointIds: string[] = []
    for (const [index, place] of ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid', 'indoor-gas'].entries()) {
      const joint = {
        ...own(),
        systemId: system.id,
        lineSetId: line.id,
        unitId: place.startsWith('outdoor') ? outdoorId : indoorId,
        number: index + 1,
        tag: `${system.tagPrefix}-${index + 1}`,
        tagLower: `${system.tagPrefix}-${index + 1}`.toLowerCase(),
        place,
        indoors: place.startsWith('indoor'),
        line: place.endsWith('gas') ? ('gas' as const) : ('liquid' as const),
        tubeOdM: place.endsWith('gas') ? 0.009525 : 0.00635,
        kind: 'flare' as const,
        origin: 'field' as const,
        createdAt: NOON - DAY,
      }
      await db.insert(t.joints).values(joint)
      jointIds.push(joint.id)
    }
    const instrument = async (
      kind: 'pressure-gauge' | 'thermometer' | 'vacuum-gauge' | 'scale' | 'torque-wrench',
      more: {
        name: string
        accuracyAbsolute?: number
        accuracyPercent?: number
        resolution?: number
        fullScale?: number
        compound?: boolean
      },
    ) => {
      const row = {
        ...own(),
        kind,
        serial: newId(),
        serialLower: newId(),
        accuracyPercent: null,
        accuracyAbsolute: null,
        resolution: null,
        repeatability: null,
        fullScale: null,
        compound: false,
        calibrationIntervalDays: null,
        typed: {},
        active: true,
        createdAt: NOON - DAY,
        ...more,
      }
      await db.insert(t.instruments).values(row)
      return row.id
    }
    return {
      siteId: site.id,
      systemId: system.id,
      jobId: job.id,
      lineSetId: line.id,
      outdoorId,
      indoorId,
      jointIds,
      gauge: await instrument('pressure-gauge', {
        name: 'Gauge 2',
        accuracyPercent: 0.5,
        fullScale: 6e6,
        resolution: 1000,
      }),
      thermometer: await instrument('thermometer', {
        name: 'Thermometer 1',
        accuracyAbsolute: 0.5,
        resolution: 0.1,
      }),
      vacuumGauge: await instrument('vacuum-gauge', { name: 'Vacuum gauge 4', resolution: 0.133 }),
      compoundGauge: await instrument('pressure-gauge', { name: 'Compound gauge', compound: true }),
      scale: await instrument('scale', { name: 'Scale 3', accuracyAbsolute: 0.005, resolution: 0.005 }),
      wrench: await instrument('torque-wrench', { name: 'Wrench 7', accuracyPercent: 4 }),
    }
  })
}
