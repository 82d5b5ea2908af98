// How long does it take to read the largest job out of SQLite, and to judge what was read? Printed, nothing asserted.

import { recordSeveral } from '../../server/commands/joints/record-steps.ts'
import { addJoint } from '../../server/commands/places/add-joint.ts'
import { addLineSet } from '../../server/commands/places/add-line-set.ts'
import { newId } from '../../server/ids.ts'
import { evaluate } from '../../server/rules/index.ts'
import { isPort } from '../../server/rules/scope.ts'
import { loadDossier } from '../../server/store/queries/dossier.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, type Cast, HOUR } from '../support/cast.ts'
import { inches, metres } from '../support/setups.ts'
import { aFreshJob, chargeAndRun, evacuate, pressureTest, type Work } from '../support/worked.ts'

const ZONES = 16
const COUPLINGS = 6
const WARMING = 10
const ROUNDS = 30

export async function largeJob(say: (line?: string) => void) {
  const cast = await aCast('sqlite')
  try {
    const work = await aWholeLargeJob(cast)
    const scope = scopeOf(cast.store.store.reader(), cast.tess.companyId)
    const load = () => loadDossier(scope, work.jobId, cast.clock.now)
    const dossier = await load()
    const joints = dossier.systems.flatMap((system) => system.joints)
    const steps = joints.flatMap((joint) => joint.makes.flatMap((make) => make.steps))
    const loaded = await msEach(load)
    const both = await msEach(async () => evaluate(await load()))
    const findings = evaluate(dossier)
    const held = findings.filter(({ outcome }) => outcome !== 'met' && outcome !== 'not-applicable')
    say(
      `          the same from SQLite, recorded by commands: ${joints.filter((joint) => !isPort(joint)).length} joints and ${joints.filter(isPort).length} ports and caps, ${steps.length} steps, ${findings.length} findings, ${held.length} held`,
    )
    say(
      `          loadDossier: ${loaded.toFixed(1)} ms, loaded and judged: ${both.toFixed(1)} ms (processor time, median of ${ROUNDS} once warm)`,
    )
  } finally {
    await cast.remove()
  }
}

/** Laid, made, tested, charged and run. */
export async function aWholeLargeJob(cast: Cast, zones = ZONES, couplings = COUPLINGS): Promise<Work> {
  const work = await aFreshJob(cast, 'large')
  const { jobId, zone } = work
  const { systemId } = zone
  for (let number = 2; number <= zones; number += 1)
    await cast.run(cast.tess, addLineSet, {
      systemId,
      jobId,
      name: `Room ${number}`,
      indoorModel: 'LS-35 indoor',
      indoorSerial: `IN-large-${number}`,
      liquidOd: inches(0.25),
      gasOd: inches(0.375),
      length: metres(4),
      tubing: 'new',
      jointKind: 'flare',
      roomFloorArea: { value: 200, unit: 'm2' },
      mounting: 'wall',
    })
  const scope = scopeOf(cast.store.store.reader(), cast.tess.companyId)
  const laid = (await loadDossier(scope, jobId, cast.clock.now)).systems[0]
  for (const line of laid?.lineSets ?? [])
    for (let number = 1; number <= couplings; number += 1)
      await cast.run(cast.tess, addJoint, {
        systemId,
        jobId,
        lineSetId: line.id,
        place: `coupling ${number}`,
        indoors: true,
        line: 'gas',
        tubeOd: inches(0.375),
        kind: 'flare',
        origin: 'field',
      })
  const whole = (await loadDossier(scope, jobId, cast.clock.now)).systems[0]
  for (const joint of whole?.joints.filter((one) => !isPort(one)) ?? []) {
    const makeId = newId()
    await cast.run(cast.tess, recordSeveral, {
      jobId,
      steps: [
        { step: 'make', id: makeId, jointId: joint.id },
        { step: 'preparation', makeId, allAsListed: true },
        {
          step: 'flare',
          makeId,
          instrumentId: zone.instruments.flaringTool,
          method: 'powered',
          depthStopUsed: true,
        },
        {
          step: 'inspection',
          makeId,
          allAsListed: true,
          diameterCheck: 'gauge-pass',
          outcome: 'accepted',
        },
        { step: 'assembly', makeId, allAsListed: true, lubricated: 'face' },
        {
          step: 'torque',
          makeId,
          indication: 'read',
          reading: { value: joint.line === 'gas' ? 38 : 16, unit: 'N.m' },
          instrumentId: zone.instruments.torqueWrench,
        },
        {
          step: 'leak-check',
          makeId,
          method: 'tracer-hydrogen',
          medium: 'tracer-mix',
          instrumentId: zone.instruments.leakDetector,
          gaugePressure: { value: 2, unit: 'MPa' },
          sensitivity: { value: 3, unit: 'g/yr' },
          sensitivitySource: 'instrument',
          checkedOnTrialLeak: true,
          result: 'none-found',
        },
      ],
    })
  }
  cast.clock.pass(HOUR)
  await pressureTest(cast, work)
  await evacuate(cast, work)
  await chargeAndRun(cast, work)
  return work
}

async function msEach(work: () => Promise<unknown>): Promise<number> {
  const times: number[] = []
  for (let turn = 0; turn < WARMING + ROUNDS; turn += 1) {
    const from = process.cpuUsage()
    await work()
    const { user, system } = process.cpuUsage(from)
    if (turn >= WARMING) times.push((user + system) / 1000)
  }
  return times.toSorted((a, b) => a - b)[Math.floor(ROUNDS / 2)] ?? 0
}
