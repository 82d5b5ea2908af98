// How does a crew record its work? Joints, tests, charge and running check, step by step through the commands.

import { recordCharge } from '../server/commands/charging/record-charge.ts'
import { recordRunningCheck } from '../server/commands/charging/record-running-check.ts'
import {
  recordAssembly,
  recordBrazing,
  recordClosing,
  recordFlare,
  recordInspection,
  recordJointLeakCheck,
  recordLeakCheck,
  recordPreparation,
  recordPressing,
  recordTorque,
} from '../server/commands/joints/record-steps.ts'
import { startMake } from '../server/commands/joints/start-make.ts'
import { addLineSet } from '../server/commands/places/add-line-set.ts'
import { addSystem } from '../server/commands/places/add-system.ts'
import { addUnit } from '../server/commands/places/add-unit.ts'
import { concludeEvacuation, concludePressureTest } from '../server/commands/section-tests/conclude.ts'
import {
  recordPressureReadings,
  recordVacuumReadings,
} from '../server/commands/section-tests/record-readings.ts'
import { startEvacuation } from '../server/commands/section-tests/start-evacuation.ts'
import { startPressureTest } from '../server/commands/section-tests/start-pressure-test.ts'
import { atmosphericPressureAt, gaugeFromAbsolute } from '../server/trade/atmosphere.ts'
import { saturationPressure } from '../server/trade/saturation.ts'
import { sameTubeSize } from '../server/trade/tube.ts'
import {
  type LengthUnit,
  type Quantity,
  toKilograms,
  toKilogramsPerMetre,
  toMetres,
  toPascals,
} from '../server/trade/units.ts'
import type {
  INSPECTION_POINTS,
  JointKind,
  LineSetJointKind,
  Mounting,
  RefrigerantName,
  TestConditions,
} from '../server/vocabulary.ts'
import type { Kit, Sheet } from './equipment.ts'
import {
  type Hands,
  iso,
  MINUTE,
  shown,
  typeLength,
  typeMass,
  typePressure,
  typeTemperature,
  typeTorque,
  typeVacuum,
} from './hands.ts'
import { type DecayDrawn, drawDecay, drawHold, type HoldDrawn } from './readings.ts'

export interface Zone {
  /** As people call it: "Kitchen". */
  name: string
  indoorModel: string
  lengthM: number
  riseM: number
  roomM2: number
  mounting: Mounting
  liquidIn: number
  gasIn: number
  /** The main line, which ends in a branch box; or a line that begins at it. */
  box?: 'runs-to-it' | 'starts-at-it'
}

export interface LaidJoint {
  id: string
  tag: string
  place: string
  /** "Kitchen indoor-gas": how the story names it. */
  name: string
  tubeOdM: number
  kind: JointKind
  indoors: boolean
}

export interface Laid {
  systemId: string
  jobId: string
  refrigerant: RefrigerantName
  sheet: Sheet
  lengthM: number
  elevationM: number
  joints: LaidJoint[]
}

const CELSIUS = 273.15

/** Something takes so many minutes, give or take; whole milliseconds, as clocks have them. */
const takes = ({ clock, random }: Hands, low: number, high: number) =>
  clock.pass(Math.round(random.between(low, high) * MINUTE))

/** A system with its units and line sets, on an open job. */
export async function laySystem(
  hands: Hands,
  laying: {
    jobId: string
    name: string
    sheet: Sheet
    serial: string
    zones: readonly Zone[]
    elevationM: number
    jointKind?: LineSetJointKind | undefined
  },
): Promise<Laid> {
  const { jobId, sheet } = laying
  const { system } = await hands.run(hands.by, addSystem, {
    jobId,
    name: laying.name,
    refrigerant: sheet.input.refrigerant,
    equipmentSheetId: sheet.id,
    outdoorModel: sheet.input.model,
    outdoorSerial: laying.serial,
  })
  const joints: LaidJoint[] = []
  let boxId: string | undefined
  for (const [index, zone] of laying.zones.entries()) {
    hands.clock.pass(2 * MINUTE)
    const serial = `${laying.serial}-${index + 1}`
    if (zone.box === 'runs-to-it') {
      const unit = { systemId: system.id, role: 'branch' as const, name: zone.name }
      boxId = (await hands.run(hands.by, addUnit, { ...unit, model: zone.indoorModel, serial })).id
    }
    const ends =
      zone.box === 'runs-to-it' && boxId
        ? { toUnitId: boxId }
        : { indoorModel: zone.indoorModel, indoorSerial: serial }
    const laid = await hands.run(hands.by, addLineSet, {
      systemId: system.id,
      jobId,
      name: zone.name,
      ...ends,
      ...(zone.box === 'starts-at-it' && boxId ? { fromUnitId: boxId } : {}),
      liquidOd: { value: zone.liquidIn, unit: 'in' },
      gasOd: { value: zone.gasIn, unit: 'in' },
      length: typeLength(hands, zone.lengthM),
      rise: typeLength(hands, zone.riseM),
      tubing: 'new',
      jointKind: laying.jointKind ?? 'flare',
      room: {
        floorArea: { value: zone.roomM2, unit: 'm2' },
        mounting: zone.mounting,
        method: 'unventilated',
        measured: true,
      },
    })
    for (const joint of laid.joints)
      joints.push({
        id: joint.id,
        tag: joint.tag,
        place: joint.place,
        name: `${zone.name} ${joint.place}`,
        tubeOdM: joint.tubeOdM,
        kind: joint.kind,
        indoors: joint.indoors,
      })
  }
  return {
    systemId: system.id,
    jobId,
    refrigerant: sheet.input.refrigerant,
    sheet,
    lengthM: laying.zones.reduce((sum, zone) => sum + zone.lengthM, 0),
    elevationM: laying.elevationM,
    joints,
  }
}

const isPort = (joint: LaidJoint) => joint.kind === 'service-port' || joint.kind === 'valve-cap'
export const fieldJoints = (laid: Laid) => laid.joints.filter((joint) => !isPort(joint))

/** What a sheet gives for a tube of this size, in the sheet's own unit. */
function rowFor<Row extends { tubeOd: Quantity<LengthUnit> }>(rows: Row[] | undefined, tubeOdM: number): Row {
  const found = rows?.find((row) => sameTubeSize(toMetres(row.tubeOd), tubeOdM))
  if (!found) throw new Error(`The sheet gives nothing for a tube of ${tubeOdM} m.`)
  return found
}

export type FlarePoint = (typeof INSPECTION_POINTS)[number]

export interface JointStory {
  /** What the wrench showed; left out, something in the middle of the range. */
  torqueNm?: number
  /** The first flare was rejected for this, and cut off. */
  rejected?: { point: FlarePoint; reason: string }
  /** It was made before, and is made again for this. */
  again?: string
  /** How far it has come. */
  upTo?: 'preparation' | 'flare' | 'inspection' | 'assembly' | 'torque'
}

/** One joint from cut tube to tightened nut, or brazed, or pressed; answers the making that counts. */
export async function recordJoint(
  hands: Hands,
  laid: Laid,
  joint: LaidJoint,
  kit: Kit,
  story: JointStory = {},
): Promise<string> {
  const { run, by, random, clock } = hands
  const { jobId } = laid
  if (joint.kind === 'brazed' || joint.kind === 'press') return recordFixed(hands, laid, joint, kit)
  const diameter = rowFor(laid.sheet.input.flareDiameter, joint.tubeOdM)
  const flared = async (reason?: string): Promise<string> => {
    const make = await run(by, startMake, { jointId: joint.id, jobId, ...(reason ? { reason } : {}) })
    takes(hands, 1, 2)
    await run(by, recordPreparation, { makeId: make.id, allAsListed: true })
    if (story.upTo === 'preparation') return make.id
    takes(hands, 2, 3)
    await run(by, recordFlare, {
      makeId: make.id,
      instrumentId: kit.flaringTool,
      method: 'manual-clutch',
      depthStopUsed: true,
      projection: { value: shown(random.between(0, 0.5), 0.1), unit: 'mm' },
    })
    takes(hands, 0.5, 1.5)
    return make.id
  }
  const outerDiameter = () => ({
    value: shown(random.between(diameter.low + 0.1, diameter.high - 0.1), 0.05),
    unit: diameter.unit,
  })

  let makeId = await flared(story.again)
  if (story.upTo === 'preparation' || story.upTo === 'flare') return makeId
  if (story.rejected) {
    await run(by, recordInspection, {
      makeId,
      points: { ...ALL_GOOD, [story.rejected.point]: 'no' },
      reasons: { [story.rejected.point]: story.rejected.reason },
      diameterCheck: 'measured',
      outerDiameter: outerDiameter(),
      outcome: 'rejected',
    })
    clock.pass(3 * MINUTE)
    makeId = await flared(`Flare rejected: ${story.rejected.reason} Cut off and made again.`)
  }
  await run(by, recordInspection, {
    makeId,
    allAsListed: true,
    diameterCheck: 'measured',
    outerDiameter: outerDiameter(),
    outcome: 'accepted',
  })
  if (story.upTo === 'inspection') return makeId
  takes(hands, 1, 2)
  await run(by, recordAssembly, { makeId, allAsListed: true, lubricated: 'face' })
  if (story.upTo === 'assembly') return makeId
  takes(hands, 0.5, 1.5)
  await tighten(hands, laid, joint, makeId, kit, story.torqueNm)
  return makeId
}

/** A joint that no nut holds: brazed under nitrogen, or pressed to its mark and gauged. */
async function recordFixed(hands: Hands, laid: Laid, joint: LaidJoint, kit: Kit): Promise<string> {
  const { run, by } = hands
  const { id: makeId } = await run(by, startMake, { jointId: joint.id, jobId: laid.jobId })
  takes(hands, 1, 2)
  await run(by, recordPreparation, { makeId, allAsListed: true })
  takes(hands, 3, 5)
  if (joint.kind === 'brazed') {
    await run(by, recordBrazing, { makeId, nitrogenFlow: true, filler: 'copper-phosphorus, 5 % silver' })
    return makeId
  }
  if (!kit.pressTool) throw new Error(`${laid.sheet.input.model} is pressed, and nobody has the tool.`)
  const jawSize = `${joint.tubeOdM < 0.008 ? '1/4' : '3/8'} in`
  await run(by, recordPressing, { makeId, instrumentId: kit.pressTool, jawSize, insertionMarked: true })
  takes(hands, 1, 2)
  await run(by, recordInspection, {
    makeId,
    allAsListed: true,
    diameterCheck: 'gauge-pass',
    outcome: 'accepted',
  })
  return makeId
}

const ALL_GOOD = { even: 'yes', smooth: 'yes', centred: 'yes', noCracks: 'yes', noFlatSpots: 'yes' } as const

/** A pull of the wrench; without a figure somewhere about the middle of the range. */
export async function tighten(
  hands: Hands,
  laid: Laid,
  joint: LaidJoint,
  makeId: string,
  kit: Kit,
  torqueNm?: number,
): Promise<void> {
  const range = rowFor(laid.sheet.input.torque, joint.tubeOdM)
  const middle = (range.low + range.high) / 2
  const drawn = middle + hands.random.normal((range.high - range.low) / 9)
  const usual = Math.min(Math.max(drawn, range.low + 0.3), range.high - 0.3)
  await hands.run(hands.by, recordTorque, {
    makeId,
    indication: 'read',
    reading: typeTorque(hands, torqueNm ?? usual),
    instrumentId: kit.torqueWrench,
    witnessMark: true,
    circuitState: 'empty',
  })
}

/** Bubbles at every field joint, while the section stands under test pressure. */
export async function checkWithBubbles(
  hands: Hands,
  laid: Laid,
  gaugePa: number,
  joints: LaidJoint[] = fieldJoints(laid),
): Promise<void> {
  for (const joint of joints) {
    takes(hands, 1, 2)
    await hands.run(hands.by, recordJointLeakCheck, {
      jointId: joint.id,
      jobId: laid.jobId,
      method: 'bubble',
      medium: 'nitrogen',
      gaugePressure: typePressure(hands, gaugePa),
      result: 'none-found',
    })
  }
}

/** The detector, tried on its reference leak, at every indoor joint of the charged system at rest. */
export async function checkWithDetector(
  hands: Hands,
  laid: Laid,
  kit: Kit,
  roomC: number,
  joints: LaidJoint[] = fieldJoints(laid).filter((joint) => joint.indoors),
): Promise<void> {
  const atRestPa = gaugeFromAbsolute(
    saturationPressure(laid.refrigerant, 'dew', roomC + CELSIUS),
    atmosphericPressureAt(laid.elevationM),
  )
  for (const joint of joints) {
    takes(hands, 1, 2)
    await hands.run(hands.by, recordJointLeakCheck, {
      jointId: joint.id,
      jobId: laid.jobId,
      method: 'refrigerant-detector',
      medium: 'refrigerant',
      instrumentId: kit.leakDetector,
      gaugePressure: typePressure(hands, atRestPa),
      sensitivity: { value: 3, unit: 'g/yr' },
      sensitivitySource: 'trial-leak',
      checkedOnTrialLeak: true,
      result: 'none-found',
    })
  }
}

/** Ports and valve caps, where the system has them on record: closed, capped, checked. */
export async function closePorts(hands: Hands, laid: Laid, kit: Kit, again?: string): Promise<void> {
  for (const port of laid.joints.filter(isPort)) {
    hands.clock.pass(MINUTE)
    const make = await hands.run(hands.by, startMake, {
      jointId: port.id,
      jobId: laid.jobId,
      ...(again ? { reason: again } : {}),
    })
    await hands.run(hands.by, recordClosing, { makeId: make.id, allAsListed: true })
    await hands.run(hands.by, recordLeakCheck, {
      makeId: make.id,
      method: 'refrigerant-detector',
      medium: 'refrigerant',
      instrumentId: kit.leakDetector,
      sensitivity: { value: 3, unit: 'g/yr' },
      sensitivitySource: 'trial-leak',
      checkedOnTrialLeak: true,
      result: 'none-found',
    })
  }
}

export interface PressureStory {
  /** Minutes between the source's removal and each look at the gauge. */
  readAtMinutes?: readonly number[]
  /** Temperature at the pipe, at the start and at the end. */
  fromC: number
  toC: number
  conditions?: TestConditions
  following?: number
  lossPaPerMinute?: number
}

const USUAL_LOOKS = [12, 25, 40, 60, 76] as const

/** A standing pressure test with bubbles on every joint; `stillRunning` leaves it to be concluded. */
export async function testPressure(
  hands: Hands,
  laid: Laid,
  kit: Kit,
  story: PressureStory,
  stillRunning = false,
): Promise<string> {
  const { run, by, clock, random } = hands
  const requiredPa = toPascals(laid.sheet.input.testPressureGauge ?? { value: 4.15, unit: 'MPa' })
  const fillGaugePa = requiredPa + random.between(15_000, 35_000)
  const hold: HoldDrawn = {
    fillGaugePa,
    atmosphericPa: atmosphericPressureAt(laid.elevationM),
    fromK: story.fromC + CELSIUS,
    toK: story.toC + CELSIUS,
    readAtMinutes: story.readAtMinutes ?? USUAL_LOOKS,
    ...(story.following === undefined ? {} : { following: story.following }),
    ...(story.lossPaPerMinute === undefined ? {} : { lossPaPerMinute: story.lossPaPerMinute }),
  }
  const drawn = drawHold(hold, random)
  const { test } = await run(by, startPressureTest, {
    systemId: laid.systemId,
    jobId: laid.jobId,
    medium: 'nitrogen',
    gaugeInstrumentId: kit.pressureGauge,
    thermometerInstrumentId: kit.thermometer,
    conditions: story.conditions ?? 'shade',
  })
  const began = clock.now + 12 * MINUTE
  let bubbled = false
  for (const reading of drawn) {
    const at = began + reading.minute * MINUTE
    // There is time for the bubbles between the first look at the gauge and the next ones.
    if (reading.stage === 'hold' && !bubbled && reading.minute > (hold.readAtMinutes[0] ?? 0)) {
      await checkWithBubbles(hands, laid, fillGaugePa)
      bubbled = true
    }
    clock.now = Math.max(clock.now, at)
    await run(by, recordPressureReadings, {
      pressureTestId: test.id,
      readings: [
        {
          at: iso(at),
          stage: reading.stage,
          gaugePressure: typePressure(hands, reading.gaugePa),
          temperature: typeTemperature(hands, reading.temperatureK),
        },
      ],
    })
  }
  if (stillRunning) return test.id
  clock.pass(MINUTE)
  await run(by, concludePressureTest, { pressureTestId: test.id })
  return test.id
}

export interface VacuumStory extends Omit<DecayDrawn, 'readAtMinutes'> {
  readAtMinutes?: readonly number[]
  repeatOf?: string
  repeatCause?: string
  /** With the outdoor unit, whose charge was taken out. */
  throughOutdoorUnit?: true
}

/** Dry and tight: it climbs a little and levels off far below the limit. */
export const DRY: VacuumStory = { pullMinutes: 45, lowestPa: 34, climbPa: 14, timeConstantMinutes: 4 }
/** Damp lines: it levels off above the limit, below the vapour pressure of water. */
export const DAMP: VacuumStory = {
  pullMinutes: 30,
  lowestPa: 58,
  climbPa: 520,
  timeConstantMinutes: 6,
  readAtMinutes: [0, 1, 2, 3, 4, 6, 8, 10, 13, 16, 20, 25, 30, 35, 40],
}

export async function evacuate(
  hands: Hands,
  laid: Laid,
  kit: Kit,
  story: VacuumStory,
  lineC: number,
): Promise<string> {
  const { run, by, clock, random } = hands
  const { test } = await run(by, startEvacuation, {
    systemId: laid.systemId,
    jobId: laid.jobId,
    gaugeInstrumentId: kit.vacuumGauge,
    gaugeAt: 'far-side',
    isolatedAt: 'core-tool',
    ...(story.throughOutdoorUnit ? { throughOutdoorUnit: true } : {}),
    ...(story.repeatOf ? { repeatOf: story.repeatOf } : {}),
    ...(story.repeatCause ? { repeatCause: story.repeatCause } : {}),
  })
  const readAtMinutes = story.readAtMinutes ?? [0, 1, 2, 3, 4, 5, 6, 8, 10, 12, 14]
  const drawn = drawDecay({ ...story, readAtMinutes }, random)
  const isolatedAt = clock.now + story.pullMinutes * MINUTE
  const last = drawn.at(-1)?.minute ?? 0
  clock.now = isolatedAt + last * MINUTE
  await run(by, recordVacuumReadings, {
    evacuationId: test.id,
    readings: drawn.map((reading) => ({
      at: iso(isolatedAt + reading.minute * MINUTE),
      phase: reading.phase,
      absolutePressure: typeVacuum(hands, reading.absolutePa),
      temperature: typeTemperature(hands, lineC + CELSIUS),
    })),
  })
  clock.pass(MINUTE)
  await run(by, concludeEvacuation, { evacuationId: test.id })
  return test.id
}

/** The factory's charge released, and what the sheet asks for longer lines weighed in. */
export async function charge(
  hands: Hands,
  laid: Laid,
  kit: Kit,
  story: { cylinder?: string } = {},
): Promise<void> {
  const { run, by, clock, random } = hands
  const { input } = laid.sheet
  clock.pass(5 * MINUTE)
  await run(by, recordCharge, {
    systemId: laid.systemId,
    jobId: laid.jobId,
    direction: 'factory-released',
    ...(input.factoryCharge ? { mass: typeMass(hands, toKilograms(input.factoryCharge)) } : {}),
  })
  const beyondM = laid.lengthM - (input.prechargedLength ? toMetres(input.prechargedLength) : 0)
  const [adder] = input.chargeAdders ?? []
  if (beyondM <= 0 || !adder) return
  const askedKg = beyondM * toKilogramsPerMetre(adder.perLength)
  clock.pass(8 * MINUTE)
  await run(by, recordCharge, {
    systemId: laid.systemId,
    jobId: laid.jobId,
    direction: 'in',
    mass: typeMass(hands, askedKg + random.normal(0.003)),
    scaleInstrumentId: kit.scale,
    source: 'virgin',
    ...(story.cylinder === undefined ? {} : { cylinderId: story.cylinder }),
  })
}

/** What was left in it, taken out into a cylinder before anything is opened. */
export async function recover(hands: Hands, laid: Laid, kit: Kit, massKg: number): Promise<void> {
  hands.clock.pass(20 * MINUTE)
  await hands.run(hands.by, recordCharge, {
    systemId: laid.systemId,
    jobId: laid.jobId,
    direction: 'out',
    mass: typeMass(hands, massKg),
    scaleInstrumentId: kit.scale,
  })
}

/** What this system holds when it is full: the factory's charge and what its lines ask for. */
export function fullChargeKg({ sheet: { input }, lengthM }: Laid): number {
  const beyondM = lengthM - (input.prechargedLength ? toMetres(input.prechargedLength) : 0)
  const [adder] = input.chargeAdders ?? []
  const factoryKg = input.factoryCharge ? toKilograms(input.factoryCharge) : 0
  return factoryKg + (adder ? Math.max(0, beyondM) * toKilogramsPerMetre(adder.perLength) : 0)
}

/** A whole charge, weighed into an empty system. */
export async function refill(hands: Hands, laid: Laid, kit: Kit, cylinder: string): Promise<void> {
  hands.clock.pass(12 * MINUTE)
  await hands.run(hands.by, recordCharge, {
    systemId: laid.systemId,
    jobId: laid.jobId,
    direction: 'in',
    mass: typeMass(hands, fullChargeKg(laid) + hands.random.normal(0.003)),
    scaleInstrumentId: kit.scale,
    source: 'virgin',
    cylinderId: cylinder,
  })
}

export interface RunningStory {
  mode: 'cooling' | 'heating'
  ambientC: number
  roomC: number
  /** Why it can't be run today, and in how many days somebody comes back for it. */
  notPossible?: { reason: string; inDays: number }
}

/** What the running system showed: pressures at saturation, with the subcooling and superheat of a sound system. */
export async function checkRunning(hands: Hands, laid: Laid, story: RunningStory): Promise<void> {
  const { run, by, clock, random } = hands
  const asked = { systemId: laid.systemId, jobId: laid.jobId, mode: story.mode }
  if (story.notPossible) {
    const { reason, inDays } = story.notPossible
    const dueAt = iso(clock.now + inDays * 24 * 60 * MINUTE)
    await run(by, recordRunningCheck, { ...asked, notPossible: { reason, dueAt } })
    return
  }
  clock.pass(25 * MINUTE)
  const airPa = atmosphericPressureAt(laid.elevationM)
  const gauge = (line: 'bubble' | 'dew', celsius: number) =>
    typePressure(
      hands,
      gaugeFromAbsolute(saturationPressure(laid.refrigerant, line, celsius + CELSIUS), airPa),
    )
  const cooling = story.mode === 'cooling'
  const condensingC = cooling ? story.ambientC + 14 : story.roomC + 20
  const evaporatingC = cooling ? story.roomC - 15 : story.ambientC - 7
  const split = 12 + random.normal(0.8)
  const temperature = (celsius: number) => typeTemperature(hands, celsius + CELSIUS)
  await run(by, recordRunningCheck, {
    ...asked,
    steadyMinutes: 20,
    liquidLinePressure: gauge('bubble', condensingC),
    liquidLineTemperature: temperature(condensingC - 6.4 + random.normal(0.2)),
    suctionPressure: gauge('dew', evaporatingC),
    suctionTemperature: temperature(evaporatingC + 6.5 + random.normal(0.3)),
    returnAir: temperature(story.roomC),
    supplyAir: temperature(story.roomC + (cooling ? -split : split)),
    ambient: temperature(story.ambientC),
  })
}
