// How does work get on record in few words? A flare job told step by step through the commands, whole or with a flaw.

import type { Actor } from '../../server/access/actor.ts'
import { recordCharge } from '../../server/commands/charging/record-charge.ts'
import { recordRunningCheck } from '../../server/commands/charging/record-running-check.ts'
import type { StepAnswer } from '../../server/commands/joints/record-step.ts'
import {
  recordAssembly,
  recordClosing,
  recordFlare,
  recordInspection,
  recordLeakCheck,
  recordPreparation,
  recordTorque,
} from '../../server/commands/joints/record-steps.ts'
import { startMake } from '../../server/commands/joints/start-make.ts'
import { judgeJob } from '../../server/commands/release/judge-job.ts'
import { concludeEvacuation, concludePressureTest } from '../../server/commands/section-tests/conclude.ts'
import {
  recordPressureReadings,
  recordVacuumReadings,
} from '../../server/commands/section-tests/record-readings.ts'
import { startEvacuation } from '../../server/commands/section-tests/start-evacuation.ts'
import { startPressureTest } from '../../server/commands/section-tests/start-pressure-test.ts'
import { isPort } from '../../server/rules/scope.ts'
import { scopeOf } from '../../server/store/store.ts'
import { type Cast, HOUR, MINUTE } from './cast.ts'
import { aJobAtASite, type SingleZone, singleZone, usualInstruments } from './setups.ts'

const iso = (at: number) => new Date(at).toISOString()

export type Place = keyof SingleZone['joints']
export const PLACES: readonly Place[] = ['outdoorLiquid', 'outdoorGas', 'indoorLiquid', 'indoorGas']

export interface Work {
  jobId: string
  zone: SingleZone
}

export interface Made {
  makeId: string
  preparation: StepAnswer
  flare: StepAnswer
  inspection: StepAnswer
  assembly: StepAnswer
  torque: StepAnswer
  leakCheck: StepAnswer | null
}

/** A job with a single zone on it, and nothing made yet. */
export async function aFreshJob(cast: Cast, mark: string): Promise<Work> {
  const { jobId } = await aJobAtASite(cast)
  return { jobId, zone: await singleZone(cast, { jobId, mark }) }
}

/** In the middle of its range. */
export const goodTorque = (place: Place) => ({
  value: place.endsWith('Liquid') ? 16 : 38,
  unit: 'N.m' as const,
})

export const leakCheckOf = (zone: SingleZone, place: Place) =>
  place.startsWith('indoor')
    ? ({
        method: 'tracer-hydrogen',
        medium: 'tracer-mix',
        instrumentId: zone.instruments.leakDetector,
        gaugePressure: { value: 2, unit: 'MPa' },
        sensitivity: { value: 3, unit: 'g/yr' },
        sensitivitySource: 'instrument',
        checkedOnTrialLeak: true,
        result: 'none-found',
      } as const)
    : ({
        method: 'bubble',
        medium: 'nitrogen',
        gaugePressure: { value: 4.15, unit: 'MPa' },
        result: 'none-found',
      } as const)

/** Every step of one flare, ten minutes of work; `torque` stands in place of a good one; `reason` makes it again. */
export async function makeJoint(
  cast: Cast,
  { jobId, zone }: Work,
  place: Place,
  options: { by?: Actor; torque?: object; leakCheck?: object | null; reason?: string } = {},
): Promise<Made> {
  const by = options.by ?? cast.tess
  const { instruments } = zone
  const again = options.reason === undefined ? {} : { reason: options.reason }
  const { id: makeId } = await cast.run(by, startMake, { jointId: zone.joints[place], jobId, ...again })
  const made = {
    makeId,
    preparation: await cast.run(by, recordPreparation, { makeId, allAsListed: true }),
    flare: await cast.run(by, recordFlare, {
      makeId,
      instrumentId: instruments.flaringTool,
      method: 'powered',
      depthStopUsed: true,
    }),
    inspection: await cast.run(by, recordInspection, {
      makeId,
      allAsListed: true,
      diameterCheck: 'gauge-pass',
      outcome: 'accepted',
    }),
    assembly: await cast.run(by, recordAssembly, { makeId, allAsListed: true, lubricated: 'face' }),
    torque: await cast.run(by, recordTorque, {
      makeId,
      ...(options.torque ?? {
        indication: 'read',
        reading: goodTorque(place),
        instrumentId: instruments.torqueWrench,
      }),
    } as never),
    leakCheck: null as StepAnswer | null,
  }
  cast.clock.pass(10 * MINUTE)
  if (options.leakCheck !== null)
    made.leakCheck = await cast.run(by, recordLeakCheck, {
      makeId,
      ...(options.leakCheck ?? leakCheckOf(zone, place)),
    } as never)
  return made
}

/** Nitrogen for an hour, or for `minutes`; `end` is what the gauge shows last, in MPa. */
export async function pressureTest(
  cast: Cast,
  { jobId, zone }: Work,
  options: { by?: Actor; minutes?: number; end?: number; conclude?: boolean } = {},
) {
  const by = options.by ?? cast.tess
  const minutes = options.minutes ?? 61
  const { test } = await cast.run(by, startPressureTest, {
    systemId: zone.systemId,
    jobId,
    medium: 'nitrogen',
    gaugeInstrumentId: zone.instruments.pressureGauge,
    thermometerInstrumentId: zone.instruments.thermometer,
  })
  const begun = cast.clock.now
  cast.clock.pass((minutes + 20) * MINUTE)
  const readings = (
    [
      [5, 'raise', 1.5],
      [15, 'hold', 4.16],
      [15 + minutes, 'hold', options.end ?? 4.16],
    ] as const
  ).map(([minute, stage, value]) => ({
    at: iso(begun + minute * MINUTE),
    stage,
    gaugePressure: { value, unit: 'MPa' as const },
    temperature: { value: 20, unit: 'degC' as const },
  }))
  await cast.run(by, recordPressureReadings, { pressureTestId: test.id, readings })
  if (options.conclude !== false) await cast.run(by, concludePressureTest, { pressureTestId: test.id })
  return test.id
}

/** A decay that flattens at about 620 micron. */
export async function evacuate(cast: Cast, { jobId, zone }: Work, by: Actor = cast.tess, reader: Actor = by) {
  const { test } = await cast.run(by, startEvacuation, {
    systemId: zone.systemId,
    jobId,
    gaugeInstrumentId: zone.instruments.vacuumGauge,
    gaugeAt: 'far-side',
    isolatedAt: 'core-tool',
  })
  const begun = cast.clock.now
  cast.clock.pass(HOUR)
  const read = (minute: number, phase: 'pull' | 'decay', microns: number) => ({
    at: iso(begun + minute * MINUTE),
    phase,
    absolutePressure: { value: microns, unit: 'micron' as const },
  })
  const decay = [0, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20].map((minute) =>
    read(30 + minute, 'decay', Math.round(310 + 310 * (1 - Math.exp(-minute / 4)))),
  )
  await cast.run(reader, recordVacuumReadings, {
    evacuationId: test.id,
    readings: [read(5, 'pull', 4000), read(28, 'pull', 320), ...decay],
  })
  await cast.run(by, concludeEvacuation, { evacuationId: test.id })
  return test.id
}

/** Charge, ports and caps, running check. */
export async function chargeAndRun(cast: Cast, { jobId, zone }: Work, by: Actor = cast.tess) {
  cast.clock.pass(10 * MINUTE)
  await cast.run(by, recordCharge, { systemId: zone.systemId, jobId, direction: 'factory-released' })
  cast.clock.pass(10 * MINUTE)
  const scope = scopeOf(cast.store.store.reader(), cast.tess.companyId)
  const { dossier } = await judgeJob(scope, jobId, cast.clock.now)
  for (const joint of dossier.systems.flatMap((system) => system.joints).filter(isPort)) {
    const { id: makeId } = await cast.run(by, startMake, { jointId: joint.id, jobId })
    await cast.run(by, recordClosing, { makeId, allAsListed: true })
    await cast.run(by, recordLeakCheck, {
      makeId,
      method: 'refrigerant-detector',
      medium: 'refrigerant',
      instrumentId: zone.instruments.leakDetector,
      result: 'none-found',
    })
  }
  cast.clock.pass(20 * MINUTE)
  await cast.run(by, recordRunningCheck, {
    systemId: zone.systemId,
    jobId,
    mode: 'cooling',
    steadyMinutes: 20,
    supplyAir: { value: 13, unit: 'degC' },
    returnAir: { value: 24, unit: 'degC' },
    ambient: { value: 28, unit: 'degC' },
  })
}

export interface Whole extends Work {
  made: Record<Place, Made>
  pressureTestId: string
  evacuationId: string
}

/** A job with everything on record, ready to be submitted but for the flaw that was asked for. */
export async function aWholeJob(
  cast: Cast,
  mark: string,
  flaw: {
    by?: Actor
    torque?: Partial<Record<Place, object>>
    leakCheck?: Partial<Record<Place, object>>
    holdMinutes?: number
    /** Who reads the vacuum gauge, and does nothing else. */
    vacuumReader?: Actor
  } = {},
): Promise<Whole> {
  // Detectors are tried on the day, so each job brings its own instruments.
  const { jobId } = await aJobAtASite(cast)
  const instruments = await usualInstruments(cast, { mark })
  const work: Work = { jobId, zone: await singleZone(cast, { jobId, mark, instruments }) }
  const made = {} as Record<Place, Made>
  for (const place of PLACES) {
    const torque = flaw.torque?.[place]
    const leakCheck = flaw.leakCheck?.[place]
    made[place] = await makeJoint(cast, work, place, {
      ...(flaw.by ? { by: flaw.by } : {}),
      ...(torque ? { torque } : {}),
      ...(leakCheck ? { leakCheck } : {}),
    })
  }
  const pressureTestId = await pressureTest(cast, work, {
    ...(flaw.by ? { by: flaw.by } : {}),
    ...(flaw.holdMinutes ? { minutes: flaw.holdMinutes } : {}),
  })
  const evacuationId = await evacuate(cast, work, flaw.by, flaw.vacuumReader)
  await chargeAndRun(cast, work, flaw.by)
  return { ...work, made, pressureTestId, evacuationId }
}

/** How the job stands: what is neither met nor not applicable, with its outcome. */
export async function heldOn(cast: Cast, jobId: string) {
  const scope = scopeOf(cast.store.store.reader(), cast.tess.companyId)
  const { findings } = await judgeJob(scope, jobId, cast.clock.now)
  return findings.filter(({ outcome }) => outcome !== 'met' && outcome !== 'not-applicable')
}
