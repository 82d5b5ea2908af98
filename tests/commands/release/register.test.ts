// Does the register say what the hold points said, write by write? Random jobs, counted over again by a plain model; on both databases.

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { correctFact } from '../../../server/commands/corrections/correct-fact.ts'
import { leaveOutJoint } from '../../../server/commands/jobs/leave-out-joint.ts'
import {
  recordAssembly,
  recordFlare,
  recordInspection,
  recordLeakCheck,
  recordPreparation,
  recordTorque,
} from '../../../server/commands/joints/record-steps.ts'
import { startMake } from '../../../server/commands/joints/start-make.ts'
import { enterOldRecord } from '../../../server/commands/release/enter-old-record.ts'
import { grantConcession } from '../../../server/commands/release/grant-concession.ts'
import { judgeJob } from '../../../server/commands/release/judge-job.ts'
import { sendBackJob } from '../../../server/commands/release/send-back-job.ts'
import { signOffJob } from '../../../server/commands/release/sign-off-job.ts'
import { submitJob } from '../../../server/commands/release/submit-job.ts'
import { Refusal } from '../../../server/refusals.ts'
import { type Finding, isReleased } from '../../../server/rules/finding.ts'
import { countNonconformities, listNonconformities } from '../../../server/store/queries/nonconformities.ts'
import { scopeOf } from '../../../server/store/store.ts'
import { aCast, type Cast, MINUTE } from '../../support/cast.ts'
import { STORE_KINDS } from '../../support/stores.ts'
import { faultsIn } from '../../support/tampering.ts'
import {
  aFreshJob,
  aWholeJob,
  evacuate,
  goodTorque,
  leakCheckOf,
  makeJoint,
  PLACES,
  type Place,
  pressureTest,
  type Work,
} from '../../support/worked.ts'
import { seededRandom } from '../../trade/seeded-random.ts'

const LISTED = {
  preparation: ['squareCut', 'deburred', 'burrsKeptOut', 'tubeClean', 'nutOn'],
  inspection: ['even', 'smooth', 'centred', 'noCracks', 'noFlatSpots'],
  assembly: ['lubricatedAsSheet', 'threadsDry', 'insideDry', 'aligned', 'startedByHand', 'backingWrench'],
}
/** Every point answered yes, but for the last. */
const butOne = (codes: readonly string[]) => ({
  points: Object.fromEntries(codes.map((code, index) => [code, index === codes.length - 1 ? 'no' : 'yes'])),
  reasons: { [codes.at(-1) ?? '']: 'No room.' },
})

interface Row {
  requirement: string
  subjectId: string
  state: string
}

/** What a step, a test, a turn may newly bring in, told here a second time: docs/nonconformities.md. */
const ASKED: Record<string, (requirement: string) => boolean> = {
  step: (code) =>
    /^(joint-prepared|flare-accepted|joint-assembled|joint-torque-in-range|joint-leak-checked|ports-and-caps-closed)$/.test(
      code,
    ),
  test: (code) => /^(standing-pressure-held|vacuum-held)$/.test(code),
  turn: () => true,
}

/** Looks at all hold points after every write; the register looks only where it must. */
class Model {
  readonly rows: Row[] = []
  private readonly remade = new Set<Row>()

  madeAnew(subjectId: string) {
    for (const row of this.rows) if (row.subjectId === subjectId) this.remade.add(row)
  }

  see(findings: readonly Finding[], what: 'step' | 'test' | 'turn') {
    for (const finding of findings) {
      const { requirement, subject, outcome } = finding
      const mine = this.rows.filter((row) => row.requirement === requirement && row.subjectId === subject.id)
      const isNotMet = outcome === 'failed' || outcome === 'requested' || outcome === 'conceded'
      if (mine.some(({ state }) => state === 'open') || !isNotMet || !ASKED[what]?.(requirement)) continue
      if (outcome === 'conceded' && mine.at(-1)?.state === 'conceded') continue
      this.rows.push({ requirement, subjectId: subject.id, state: 'open' })
    }
    for (const row of this.rows.filter(({ state }) => state === 'open')) {
      const now = findings.find(
        ({ requirement, subject }) => requirement === row.requirement && subject.id === row.subjectId,
      )
      if (now && !isReleased(now)) continue
      if (!now || now.outcome === 'not-applicable') row.state = 'not-asked'
      else if (now.outcome === 'conceded') row.state = 'conceded'
      else row.state = this.remade.has(row) ? 'remade' : 'done-again-or-corrected'
    }
  }
}

describe.each(STORE_KINDS)('the register of nonconformities on %s', (kind) => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast(kind)
  })
  afterAll(() => cast.remove())

  const scope = () => scopeOf(cast.store.store.reader(), cast.tess.companyId)
  const registerOf = async (jobId: string) =>
    (await listNonconformities(scope(), { jobId, limit: 200 })).items.toReversed()
  const told = async (jobId: string): Promise<Row[]> =>
    (await registerOf(jobId)).map(({ requirement, subjectId, disposal }) => ({
      requirement,
      subjectId,
      state: /^(re-tested|corrected)$/.test(disposal?.disposition ?? '')
        ? 'done-again-or-corrected'
        : (disposal?.disposition ?? 'open'),
    }))
  const inOrder = (rows: readonly Row[]) =>
    rows.map(({ requirement, subjectId, state }) => `${requirement} ${subjectId} ${state}`).toSorted()

  it.each(kind === 'sqlite' ? [1, 2, 3, 4, 5, 6] : [7])(
    'is what a count of every write comes to, history %d',
    async (seed) => {
      const random = seededRandom(seed)
      const oneOf = <T>(first: T, ...more: T[]): T => [first, ...more][random.whole(0, more.length)] ?? first
      const work: Work = await aFreshJob(cast, `random-${kind}-${seed}`)
      const { jobId, zone } = work
      const model = new Model()
      const makes = new Map<Place, string>()
      const entries: string[] = []
      const findings = async () => (await judgeJob(scope(), jobId, cast.clock.now)).findings
      const attempt = async (what: 'step' | 'test' | 'turn', write: () => Promise<unknown>) => {
        const refused = await write().then(
          () => false,
          (problem) => {
            if (!(problem instanceof Refusal)) throw problem
            return true
          },
        )
        if (!refused) model.see(await findings(), what)
      }
      const step = async (place: Place) => {
        const makeId = makes.get(place) ?? ''
        const bad = random.between(0, 1) < 0.25
        const keep = async (answer: Promise<{ entryId: string }>) => entries.push((await answer).entryId)
        await attempt('step', () =>
          keep(
            cast.run(cast.tess, recordPreparation, {
              makeId,
              ...(bad ? butOne(LISTED.preparation) : { allAsListed: true }),
            } as never),
          ),
        )
        await attempt('step', () =>
          keep(
            cast.run(cast.tess, recordFlare, {
              makeId,
              instrumentId: zone.instruments.flaringTool,
              method: 'powered',
              depthStopUsed: true,
            }),
          ),
        )
        const looked = oneOf('good', 'good', 'good', 'rejected', 'crooked', 'wide')
        await attempt('step', () =>
          keep(
            cast.run(cast.tess, recordInspection, {
              makeId,
              ...(looked === 'crooked' ? butOne(LISTED.inspection) : { allAsListed: true }),
              ...(looked === 'wide'
                ? { diameterCheck: 'measured', outerDiameter: { value: 25, unit: 'mm' } }
                : { diameterCheck: 'gauge-pass' }),
              outcome: looked === 'rejected' ? 'rejected' : 'accepted',
            } as never),
          ),
        )
        const put = oneOf('good', 'good', 'alone', 'sealant')
        await attempt('step', () =>
          keep(
            cast.run(cast.tess, recordAssembly, {
              makeId,
              ...(put === 'alone' ? butOne(LISTED.assembly) : { allAsListed: true }),
              lubricated: put === 'sealant' ? 'sealant' : 'face',
            } as never),
          ),
        )
        const share = oneOf(1, 1, 1, 0.5, 2)
        const good = goodTorque(place)
        await attempt('step', () =>
          keep(
            cast.run(cast.tess, recordTorque, {
              makeId,
              indication: 'read',
              reading: { ...good, value: good.value * share },
              instrumentId: zone.instruments.torqueWrench,
            }),
          ),
        )
        await attempt('step', () =>
          keep(
            cast.run(cast.tess, recordLeakCheck, {
              makeId,
              ...leakCheckOf(zone, place),
              ...(random.between(0, 1) < 0.2 ? { result: 'found', part: 'flare-face' } : {}),
            } as never),
          ),
        )
      }
      const newMake = (place: Place) =>
        attempt('step', async () => {
          const again = makes.has(place) ? { reason: 'Once more.' } : {}
          const { id } = await cast.run(cast.tess, startMake, {
            jointId: zone.joints[place],
            jobId,
            ...again,
          })
          if (makes.has(place)) model.madeAnew(zone.joints[place])
          makes.set(place, id)
        })
      for (const place of PLACES) await newMake(place)

      for (let turn = 0; turn < 22; turn += 1) {
        cast.clock.pass(3 * MINUTE)
        const place = oneOf<Place>('outdoorLiquid', 'outdoorGas', 'indoorLiquid', 'indoorGas')
        const held = (await findings()).filter((finding) => !isReleased(finding))
        const about = held.filter(({ concedable }) => concedable)
        const one = about[random.whole(0, Math.max(0, about.length - 1))]
        const deed = oneOf(
          'step',
          'step',
          'step',
          'step',
          'make',
          'test',
          'vacuum',
          'concede',
          'correct',
          'leave-out',
          'submit',
          'send-back',
        )
        if (deed === 'step') await step(place)
        else if (deed === 'make') await newMake(place)
        else if (deed === 'test')
          await attempt('test', () =>
            pressureTest(
              cast,
              work,
              oneOf<{ end?: number; minutes?: number }>({}, { end: 3.9 }, { minutes: 30 }),
            ),
          )
        else if (deed === 'vacuum') await attempt('test', () => evacuate(cast, work))
        else if (deed === 'concede' && one)
          await attempt('turn', () =>
            cast.run(cast.sam, grantConcession, {
              jobId,
              requirement: one.requirement,
              subjectId: one.subject.id,
              reason: 'Seen.',
            }),
          )
        else if (deed === 'correct')
          // By the one who typed it, and at once: it takes effect.
          await attempt('turn', () =>
            cast.run(cast.tess, correctFact, {
              entryId: entries.at(-1) ?? '',
              reason: 'A slip.',
              replacement: {
                indication: 'read',
                reading: goodTorque(place),
                instrumentId: zone.instruments.torqueWrench,
              },
            }),
          )
        else if (deed === 'leave-out' && turn > 15)
          await attempt('step', () =>
            cast.run(cast.tess, leaveOutJoint, {
              jobId,
              jointId: zone.joints[place],
              reason: 'Behind a wall.',
            }),
          )
        else if (deed === 'submit')
          await attempt('turn', () =>
            cast.run(cast.tess, submitJob, {
              jobId,
              requests: about.map(({ requirement, subject }) => ({
                requirement,
                subjectId: subject.id,
                reason: 'It will do.',
              })),
            }),
          )
        else if (deed === 'send-back')
          await attempt('turn', () => cast.run(cast.sam, sendBackJob, { jobId, reason: 'Look again.' }))
        expect(inOrder(await told(jobId)), `after ${turn}: ${deed}`).toEqual(inOrder(model.rows))
      }
      expect(model.rows.length).toBeGreaterThan(3)
      expect(await faultsIn(cast)).toEqual([])
    },
    120_000,
  )

  const brief = async (jobId: string) =>
    (await registerOf(jobId)).map(({ requirement, outcome, disposal }) => [
      requirement,
      outcome,
      disposal?.disposition ?? 'open',
    ])
  const oneJoint = async (mark: string) => {
    const work = await aFreshJob(cast, `${mark}-${kind}`)
    const { id: makeId } = await cast.run(cast.tess, startMake, {
      jointId: work.zone.joints.outdoorGas,
      jobId: work.jobId,
    })
    await cast.run(cast.tess, recordPreparation, { makeId, allAsListed: true })
    await cast.run(cast.tess, recordFlare, {
      makeId,
      instrumentId: work.zone.instruments.flaringTool,
      method: 'powered',
      depthStopUsed: true,
    })
    const inspect = (outcome: 'accepted' | 'rejected') =>
      cast.run(cast.tess, recordInspection, {
        makeId,
        allAsListed: true,
        diameterCheck: 'gauge-pass',
        outcome,
      })
    const tighten = async (value: number) => {
      await cast.run(cast.tess, recordAssembly, { makeId, allAsListed: true, lubricated: 'face' })
      return torque(value)
    }
    const torque = (value: number) =>
      cast.run(cast.tess, recordTorque, {
        makeId,
        indication: 'read',
        reading: { value, unit: 'N.m' },
        instrumentId: work.zone.instruments.torqueWrench,
      })
    return { ...work, inspect, tighten, torque }
  }

  it('has a low torque with its numbers, until it is brought up', async () => {
    const { jobId, zone, inspect, tighten, torque } = await oneJoint('low')
    await inspect('accepted')
    const { entryId, step } = await tighten(20)
    const [found, ...others] = await registerOf(jobId)
    expect(others).toEqual([])
    expect(found).toMatchObject({
      requirement: 'joint-torque-in-range',
      subjectKind: 'joint',
      subjectId: zone.joints.outdoorGas,
      outcome: 'failed',
      evidence: [step.id],
      entryId,
      foundBy: cast.tess.memberId,
      foundAt: cast.clock.now,
      disposal: null,
    })
    // The sheet's own range for 3/8 in: 34 to 42 N·m.
    expect(found?.numbers[0]).toMatchObject({ value: 20, unit: 'N·m', low: 34, high: 42 })
    expect(await countNonconformities(scope(), { jobId })).toEqual({ total: 1, open: 1 })

    cast.clock.pass(MINUTE)
    const up = await torque(38)
    expect((await registerOf(jobId))[0]?.disposal).toMatchObject({
      disposition: 're-tested',
      evidence: [up.step.id],
      entryId: up.entryId,
      disposedBy: cast.tess.memberId,
      disposedAt: cast.clock.now,
    })
    expect(await countNonconformities(scope(), { jobId })).toEqual({ total: 1, open: 0 })
  })

  it('has a rejected flare until the joint is remade and the next one is accepted', async () => {
    const { jobId, zone, inspect } = await oneJoint('rejected')
    await inspect('rejected')
    expect(await brief(jobId)).toEqual([['flare-accepted', 'failed', 'open']])
    // A new making alone closes nothing: it is not inspected yet.
    const { id: makeId } = await cast.run(cast.tess, startMake, {
      jointId: zone.joints.outdoorGas,
      jobId,
      reason: 'Rejected.',
    })
    expect(await brief(jobId)).toEqual([['flare-accepted', 'failed', 'open']])
    await cast.run(cast.tess, recordPreparation, { makeId, allAsListed: true })
    await cast.run(cast.tess, recordFlare, {
      makeId,
      instrumentId: zone.instruments.flaringTool,
      method: 'powered',
      depthStopUsed: true,
    })
    await cast.run(cast.tess, recordInspection, {
      makeId,
      allAsListed: true,
      diameterCheck: 'gauge-pass',
      outcome: 'accepted',
    })
    expect(await brief(jobId)).toEqual([['flare-accepted', 'failed', 'remade']])
  })

  it('tells a slip of the pen from work put right; what fails again is another one', async () => {
    const { jobId, zone, inspect, tighten, torque } = await oneJoint('slip')
    await inspect('accepted')
    const { entryId } = await tighten(3.8)
    await cast.run(cast.tess, correctFact, {
      entryId,
      reason: 'The point was in the wrong place.',
      replacement: {
        indication: 'read',
        reading: { value: 38, unit: 'N.m' },
        instrumentId: zone.instruments.torqueWrench,
      },
    })
    expect(await brief(jobId)).toEqual([['joint-torque-in-range', 'failed', 'corrected']])
    cast.clock.pass(MINUTE)
    await torque(60)
    expect(await brief(jobId)).toEqual([
      ['joint-torque-in-range', 'failed', 'corrected'],
      ['joint-torque-in-range', 'failed', 'open'],
    ])
    // Left out, nobody asks for it any more.
    await cast.run(cast.tess, startMake, {
      jointId: zone.joints.outdoorGas,
      jobId,
      reason: 'Too tight.',
    })
    expect((await brief(jobId)).at(-1)?.[2]).toBe('open')
  })

  it('has what was conceded, with the release and the criteria it was given under', async () => {
    const { jobId, zone } = await aWholeJob(cast, `conceded-${kind}`, {
      torque: {
        outdoorGas: {
          indication: 'not-measured',
          reason: 'No room for the wrench',
          witnessedBy: cast.wren.crewId,
        },
      },
    })
    // Evidence that is missing is no nonconformity until somebody wants the work let go as it is.
    expect(await brief(jobId)).toEqual([])
    await cast.run(cast.tess, submitJob, {
      jobId,
      requests: [
        {
          requirement: 'joint-torque-in-range',
          subjectId: zone.joints.outdoorGas,
          reason: 'The wall is too near.',
        },
      ],
    })
    expect(await brief(jobId)).toEqual([['joint-torque-in-range', 'open', 'open']])
    const given = await cast.run(cast.sam, grantConcession, {
      jobId,
      requirement: 'joint-torque-in-range',
      subjectId: zone.joints.outdoorGas,
      reason: 'Seen by a second person.',
      conditions: 'Checked again within a year.',
    })
    const [row] = await registerOf(jobId)
    expect(row).toMatchObject({
      disposal: { disposition: 'conceded', policyVersion: 1, disposedBy: cast.sam.memberId },
      concession: {
        id: given.id,
        reason: 'Seen by a second person.',
        conditions: 'Checked again within a year.',
        decidedBy: cast.sam.memberId,
      },
    })
    await cast.run(cast.sam, signOffJob, { jobId })
    expect(await brief(jobId)).toEqual([['joint-torque-in-range', 'open', 'conceded']])
    expect(await faultsIn(cast)).toEqual([])
  })

  it('is never written over, by whatever way', async () => {
    const { jobId, inspect } = await oneJoint('kept')
    await inspect('rejected')
    const [row] = await registerOf(jobId)
    for (const change of [
      `update nonconformities set reason = 'Fine.' where id = '${row?.id}'`,
      `delete from nonconformities where id = '${row?.id}'`,
      `update nonconformity_disposals set disposition = 'corrected'`,
      'delete from nonconformity_disposals',
    ])
      await expect(cast.store.store.execute(change), change).rejects.toThrow()
  })

  it('has no name of anybody in it', async () => {
    const rows = await cast.store.store.query<{ reason: string; subject_name: string }>(
      'select reason, subject_name from nonconformities',
    )
    expect(rows.length).toBeGreaterThan(3)
    for (const name of ['Tess', 'Sam', 'Wren', 'Olga'])
      expect(JSON.stringify(rows)).not.toMatch(new RegExp(`\\b${name}\\b`))
  })
})

describe('a record from before there was a register', () => {
  it('is entered once, as it would have been in its time', async () => {
    const cast = await aCast()
    try {
      const work = await aFreshJob(cast, 'old')
      const { jobId, zone } = work
      await makeJoint(cast, work, 'outdoorLiquid', {
        torque: {
          indication: 'read',
          reading: { value: 30, unit: 'N.m' },
          instrumentId: zone.instruments.torqueWrench,
        },
      })
      await makeJoint(cast, work, 'outdoorLiquid', { reason: 'Too tight.' })
      await makeJoint(cast, work, 'outdoorGas', {
        leakCheck: { ...leakCheckOf(zone, 'outdoorGas'), result: 'found', part: 'flare-face' },
      })
      cast.clock.pass(MINUTE)
      await makeJoint(cast, work, 'indoorGas')
      await makeJoint(cast, work, 'indoorLiquid')
      await pressureTest(cast, work, { end: 3.9 })
      cast.clock.pass(MINUTE)
      const scope = scopeOf(cast.store.store.reader(), cast.tess.companyId)
      const told = async () =>
        (await listNonconformities(scope, { jobId, limit: 50 })).items.map(({ id: _, disposal, ...row }) => ({
          ...row,
          disposal: disposal && { ...disposal, id: '', nonconformityId: '' },
        }))
      const inTime = await told()
      expect(
        inTime.map(({ requirement, disposal }) => [requirement, disposal?.disposition ?? 'open']),
      ).toEqual([
        ['standing-pressure-held', 'open'],
        ['joint-leak-checked', 'open'],
        ['joint-torque-in-range', 'remade'],
      ])

      // As it was before: nothing in the register.
      for (const table of ['nonconformity_disposals', 'nonconformities']) {
        await cast.store.store.execute(`drop trigger ${table}_no_delete`)
        await cast.store.store.execute(`delete from ${table}`)
      }
      expect(await told()).toEqual([])
      const enter = () => enterOldRecord(cast.store.store, cast.tess.companyId, cast.clock.now)
      expect(await enter()).toEqual({ jobs: 1, entered: 3 })
      expect(await told()).toEqual(inTime)
      expect(await enter()).toEqual({ jobs: 1, entered: 0 })
    } finally {
      await cast.remove()
    }
  })
})
