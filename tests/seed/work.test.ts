// Do the demo's builders serve a test as well: a job told step by step, with its ports, until nothing holds it?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { enterKit, enterSheet } from '../../seed/equipment.ts'
import { type Hands, METRIC } from '../../seed/hands.ts'
import { randomOf } from '../../seed/random.ts'
import * as work from '../../seed/work.ts'
import { addJoint } from '../../server/commands/places/add-joint.ts'
import { judgeJob } from '../../server/commands/release/judge-job.ts'
import { evaluate } from '../../server/rules/index.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, type Cast, DAY } from '../support/cast.ts'
import { aJobAtASite, inches } from '../support/setups.ts'

describe('the builders of the story', () => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast()
  })
  afterAll(() => cast.remove())

  it('take a system with ports from laid to released, and each leaves its own hold point met', async () => {
    const hands: Hands = { ...cast, random: randomOf(2), by: cast.tess, typing: METRIC }
    const { jobId } = await aJobAtASite(cast)
    const sheet = await enterSheet(hands, 'single35')
    const kit = await enterKit(hands, cast.clock.now, 1)
    const laid = await work.laySystem(hands, {
      jobId,
      name: 'Hall',
      sheet,
      serial: '77',
      elevationM: 40,
      zones: [
        {
          name: 'Hall',
          indoorModel: 'LS-35 indoor',
          lengthM: 9.5,
          riseM: 2,
          roomM2: 20,
          mounting: 'wall',
          liquidIn: 0.25,
          gasIn: 0.375,
        },
      ],
    })
    const lineSetJoint = work.fieldJoints(laid)[0]
    if (!lineSetJoint) throw new Error('no joint was laid')
    if (!laid.joints.some(({ kind }) => kind === 'service-port')) {
      const port = await cast.run(cast.tess, addJoint, {
        systemId: laid.systemId,
        jobId,
        place: 'service port at the outdoor unit',
        indoors: false,
        line: 'gas',
        tubeOd: inches(0.25),
        kind: 'service-port',
        origin: 'factory',
      })
      laid.joints.push({ ...lineSetJoint, id: port.id, tag: port.tag, name: 'port', kind: 'service-port' })
    }
    const held = async () => {
      const scope = scopeOf(cast.machinery.store.reader(), cast.tess.companyId)
      const { dossier } = await judgeJob(scope, jobId, cast.clock.now)
      const findings = evaluate({ ...dossier, policy: { ...dossier.policy, evidence: { photos: [] } } })
      return new Set(
        findings
          .filter(({ outcome }) => outcome !== 'met' && outcome !== 'not-applicable')
          .map((f) => f.requirement),
      )
    }

    expect(await held()).toContain('every-joint-made')
    for (const joint of work.fieldJoints(laid)) await work.recordJoint(hands, laid, joint, kit)
    const made = await held()
    for (const met of [
      'every-joint-made',
      'joint-prepared',
      'flare-accepted',
      'joint-torque-in-range',
    ] as const)
      expect(made).not.toContain(met)

    expect(made).toContain('standing-pressure-held')
    await work.testPressure(hands, laid, kit, { fromC: 12, toC: 13 })
    expect(await held()).not.toContain('standing-pressure-held')

    expect(await held()).toContain('vacuum-held')
    await work.evacuate(hands, laid, kit, work.DRY, 13)
    expect(await held()).not.toContain('vacuum-held')

    await work.charge(hands, laid, kit, { cylinder: 'C1' })
    expect(await held()).not.toContain('charge-matches')
    await work.checkWithDetector(hands, laid, kit, 21)
    expect(await held()).not.toContain('joint-leak-checked')

    expect(await held()).toContain('ports-and-caps-closed')
    await work.closePorts(hands, laid, kit)
    expect(await held()).not.toContain('ports-and-caps-closed')
    await work.checkRunning(hands, laid, { mode: 'cooling', ambientC: 26, roomC: 24 })
    expect([...(await held())]).toEqual([])
    expect(cast.clock.now).toBeGreaterThan(0)
  })

  it('leave a damp line held by its vacuum, and a leaking one by its pressure', async () => {
    cast.clock.pass(DAY)
    const hands: Hands = { ...cast, random: randomOf(5), by: cast.tess, typing: METRIC }
    const { jobId } = await aJobAtASite(cast)
    const sheet = await enterSheet(hands, 'single50')
    const kit = await enterKit(hands, cast.clock.now, 2)
    const laid = await work.laySystem(hands, {
      jobId,
      name: 'Shed',
      sheet,
      serial: '78',
      elevationM: 40,
      zones: [
        {
          name: 'Shed',
          indoorModel: 'LS-50 indoor',
          lengthM: 6,
          riseM: 0,
          roomM2: 30,
          mounting: 'wall',
          liquidIn: 0.25,
          gasIn: 0.5,
        },
      ],
    })
    for (const joint of work.fieldJoints(laid)) await work.recordJoint(hands, laid, joint, kit)
    await work.testPressure(hands, laid, kit, { fromC: 12, toC: 13, lossPaPerMinute: 1200 })
    await work.evacuate(hands, laid, kit, work.DAMP, 13)
    const scope = scopeOf(cast.machinery.store.reader(), cast.tess.companyId)
    const { findings } = await judgeJob(scope, jobId, cast.clock.now)
    const outcome = (code: string) => findings.find(({ requirement }) => requirement === code)?.outcome
    expect(outcome('standing-pressure-held')).toBe('failed')
    expect(outcome('vacuum-held')).toBe('failed')
  })
})
