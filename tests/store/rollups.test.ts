// Whatever happens, in whatever order: are the projections of time in service what a recount of the facts gives?

import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Actor } from '../../server/access/actor.ts'
import { changeCallback } from '../../server/commands/callbacks/change-callback.ts'
import { closeCallback } from '../../server/commands/callbacks/close-callback.ts'
import { openCallback } from '../../server/commands/callbacks/open-callback.ts'
import type { Command } from '../../server/commands/command.ts'
import { correctFact } from '../../server/commands/corrections/correct-fact.ts'
import { decideCorrection } from '../../server/commands/corrections/decide-correction.ts'
import {
  recordFlare,
  recordInspection,
  recordPreparation,
  recordTorque,
} from '../../server/commands/joints/record-steps.ts'
import { startMake } from '../../server/commands/joints/start-make.ts'
import { addUnit } from '../../server/commands/places/add-unit.ts'
import { retireJoint } from '../../server/commands/places/retire-joint.ts'
import { reopenJob } from '../../server/commands/release/reopen-job.ts'
import { signOffJob } from '../../server/commands/release/sign-off-job.ts'
import { submitJob } from '../../server/commands/release/submit-job.ts'
import { Refusal } from '../../server/refusals.ts'
import {
  addedUp,
  agesOf,
  type CohortRow,
  exposureOf,
  KEY_OF,
  type Life,
  leavingOf,
  monthsOf,
  nameOf,
} from '../../server/rules/cohorts.ts'
import {
  agesOfJoints,
  type JointInService,
  judgeReliability,
  survivalOf,
} from '../../server/rules/judge-reliability.ts'
import { listFieldJointIds, listLivesOf } from '../../server/store/queries/lives.ts'
import { rebuildRollups } from '../../server/store/rollups.ts'
import { scopeOf } from '../../server/store/store.ts'
import { ROLLUP_DIMENSIONS } from '../../server/vocabulary.ts'
import { aCast, type Cast, DAY } from '../support/cast.ts'
import { STORE_KINDS } from '../support/stores.ts'
import { aWholeJob, PLACES, type Whole } from '../support/worked.ts'

const YEAR = 365.25 * DAY
const JOBS = 4

describe.each(STORE_KINDS)('time in service on %s', (kind) => {
  let cast: Cast
  let works: Whole[]
  const made: { jobId: string; makeId: string; entries: string[] }[] = []
  const callbacks: string[] = []
  const waiting: string[] = []
  const went: Record<string, number> = {}

  beforeAll(async () => {
    cast = await aCast(kind)
    works = []
    for (let index = 0; index < JOBS; index += 1) {
      const work = await aWholeJob(cast, `w${index}`)
      works.push(work)
      for (const place of PLACES) {
        const { makeId, flare, inspection, torque } = work.made[place]
        made.push({
          jobId: work.jobId,
          makeId,
          entries: [flare.entryId, inspection.entryId, torque.entryId],
        })
      }
      cast.clock.pass(20 * DAY)
    }
    await cast.run(cast.tess, submitJob, { jobId: works[0]?.jobId ?? '' })
    await cast.run(cast.sam, signOffJob, { jobId: works[0]?.jobId ?? '' })
  }, 240_000)
  afterAll(() => cast.remove())

  const scope = () => scopeOf(cast.store.store.reader(), cast.tess.companyId)
  const at = <One>(list: readonly One[], index: number): One => {
    const one = list[index % list.length]
    if (one === undefined) throw new Refusal('missing', 'nothing-there', 'There is none yet.')
    return one
  }
  const ago = (days: number) => new Date(cast.clock.now - (days % 200) * DAY).toISOString()

  async function recount() {
    const lives = await listLivesOf(scope(), await listFieldJointIds(scope(), '', 10_000))
    return { lives, sums: addedUp(lives.map((life) => ({ life, sign: 1 as const }))) }
  }
  async function kept() {
    const { db, t, companyId } = scope()
    const own = <Row extends { companyId: string }>(rows: Row[]) =>
      rows.filter((row) => row.companyId === companyId).map(({ companyId: _company, ...row }) => row)
    return {
      lives: own(await db.select().from(t.serviceLives)) as Life[],
      sums: (own(await db.select().from(t.serviceCohorts)) as CohortRow[]).filter(({ count }) => count !== 0),
    }
  }
  const byId = (lives: Life[]) => lives.toSorted((a, b) => (a.id < b.id ? -1 : 1))
  const byName = (rows: CohortRow[]) => rows.toSorted((a, b) => (nameOf(a) < nameOf(b) ? -1 : 1))

  async function assertAlike() {
    const [now, fresh] = [await kept(), await recount()]
    expect(byId(now.lives)).toEqual(byId(fresh.lives))
    expect(byName(now.sums)).toEqual(byName(fresh.sums))
    return now
  }

  type Deed = [name: string, a: number, b: number]
  async function run<Result>(actor: Actor, command: Command<never, Result>, input: unknown): Promise<Result> {
    return cast.run(actor, command as never, input as never) as Promise<Result>
  }
  const DEEDS: Record<string, (a: number, b: number) => Promise<unknown>> = {
    'time passes': async (a) => cast.clock.pass((1 + (a % 60)) * DAY),
    'signed off': async (a) => {
      const { jobId } = at(works, a)
      await run(cast.tess, submitJob as never, { jobId }).catch(() => {})
      await run(cast.sam, signOffJob as never, { jobId })
    },
    reopened: (a) => run(cast.sam, reopenJob as never, { jobId: at(works, a).jobId, reason: 'Look again' }),
    'made again': async (a, b) => {
      const work = at(works, a)
      const jointId = work.zone.joints[at(PLACES, b)]
      const { id: makeId } = await run<{ id: string }>(cast.tess, startMake as never, {
        jointId,
        jobId: work.jobId,
        reason: 'It leaked',
        ...(b % 3 === 0 ? { performedAt: ago(b) } : {}),
      })
      const { flaringTool } = at(works, b).zone.instruments
      const entries = []
      for (const [command, input] of [
        [recordPreparation, { allAsListed: true }],
        [recordFlare, { instrumentId: flaringTool, method: 'manual-wing', depthStopUsed: true }],
        [recordInspection, { allAsListed: true, diameterCheck: 'gauge-pass', outcome: 'accepted' }],
      ] as const) {
        const { entryId } = await run<{ entryId: string }>(cast.tess, command as never, { makeId, ...input })
        entries.push(entryId)
      }
      made.push({ jobId: work.jobId, makeId, entries: entries.slice(1) })
    },
    'pulled again': (a, b) =>
      run(cast.tess, recordTorque as never, {
        makeId: at(made, a).makeId,
        indication: b % 2 ? 'read' : 'set-and-clicked',
        reading: { value: 15 + (b % 30), unit: 'N.m' },
        instrumentId: at(works, b).zone.instruments.torqueWrench,
      }),
    retired: (a, b) => {
      const work = at(works, a)
      return run(cast.sam, retireJoint as never, {
        jointId: work.zone.joints[at(PLACES, b)],
        jobId: work.jobId,
        reason: 'Cut out',
        ...(b % 2 ? { retiredAt: ago(b) } : {}),
      })
    },
    corrected: async (a, b) => {
      const own = at(made, a)
      const which = b % own.entries.length
      const entryId = at(own.entries, which)
      const replacement = [
        {
          instrumentId: at(works, b).zone.instruments.flaringTool,
          method: b % 2 ? 'manual-clutch' : 'powered',
          depthStopUsed: true,
          performedBy: b % 3 ? cast.sam.crewId : cast.tess.crewId,
        },
        {
          allAsListed: true,
          diameterCheck: 'gauge-pass',
          outcome: b % 2 ? 'rejected' : 'accepted',
        },
        {
          indication: 'read',
          reading: { value: 14 + (b % 30), unit: 'N.m' },
          instrumentId: at(works, b).zone.instruments.torqueWrench,
          performedBy: b % 3 ? cast.sam.crewId : cast.tess.crewId,
        },
      ][which]
      const { id, state } = await run<{ id: string; state: string }>(cast.tess, correctFact as never, {
        entryId,
        reason: 'Mistyped',
        replacement,
      })
      if (state === 'waiting') waiting.push(id)
    },
    decided: async (a) => {
      const correctionId = waiting.pop()
      if (correctionId === undefined) throw new Refusal('missing', 'nothing-there', 'There is none yet.')
      await run(cast.sam, decideCorrection as never, {
        correctionId,
        decision: a % 3 ? 'accepted' : 'refused',
        reason: 'Seen',
      })
    },
    'came back': async (a, b) => {
      const work = at(works, a)
      const found = b % 4 === 0 ? [] : [PLACES[b % 4], PLACES[(b + a) % 4]]
      const { id } = await run<{ id: string }>(cast.wren, openCallback as never, {
        systemId: work.zone.systemId,
        reportedAt: ago(a * 7 + b),
        symptom: 'No cooling',
        found: [...new Set(found)].map((place) => ({
          part: 'joint',
          jointId: work.zone.joints[place ?? 'indoorGas'],
          method: 'bubble',
          cause: b % 2 ? 'over-torque' : 'burr',
        })),
      })
      callbacks.push(id)
    },
    'callback changed': (a, b) =>
      run(cast.wren, changeCallback as never, {
        callbackId: at(callbacks, a),
        ...(b % 2 ? { reportedAt: ago(b * 3) } : {}),
        ...(b % 3 === 0
          ? {
              found: [
                {
                  part: 'joint',
                  jointId: at(works, a).zone.joints[at(PLACES, b)],
                  method: 'bubble',
                  cause: 'crack',
                },
              ],
            }
          : {}),
      }),
    'callback closed': (a) =>
      run(cast.wren, closeCallback as never, { callbackId: at(callbacks, a), outcome: 'not-yet-known' }),
    'unit found to have stood there before': (a, b) =>
      run(cast.sam, addUnit as never, {
        systemId: at(works, a).zone.systemId,
        role: 'outdoor',
        model: `Old ${b % 3}`,
        serial: `OLD-${a}-${b}-${callbacks.length}-${made.length}`,
        installedAt: ago(150 + b),
      }),
  }

  async function does([name, a, b]: Deed) {
    try {
      await DEEDS[name]?.(a, b)
      went[name] = (went[name] ?? 0) + 1
    } catch (problem) {
      // What can't be done in this order is refused, and must change nothing.
      if (!(problem instanceof Refusal)) throw problem
    }
  }

  // A joint is taken out once and for ever; were that as likely as the rest, soon there were none.
  const usual = Object.keys(DEEDS).filter((name) => name !== 'retired')
  const deed = fc.tuple(fc.constantFrom(...usual, ...usual, ...usual, 'retired'), fc.nat(1000), fc.nat(1000))
  /** The property says so of any history; the company is one, so that each run goes on where the last one ended. */
  it('is what a recount gives, after each of many deeds in any order', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(deed, { minLength: 12, maxLength: 20 }), async (deeds) => {
        for (const one of deeds) {
          await does(one)
          await assertAlike()
        }
        assertExposure(await assertAlike())
      }),
      // Not made smaller where it fails: the company has changed by then.
      { seed: 20_261, numRuns: kind === 'sqlite' ? 14 : 5, endOnFailure: true },
    )
    const { lives } = await kept()
    expect(lives.filter(({ leakAt }) => leakAt !== null).length).toBeGreaterThan(2)
    expect(
      lives.filter(({ served, leakAt, endedAt }) => served && leakAt === null && endedAt === null).length,
    ).toBeGreaterThan(0)
    // Each thing that may happen did happen, else nothing was shown of it.
    const least = kind === 'sqlite' ? Object.keys(DEEDS) : ['signed off', 'reopened', 'came back', 'retired']
    for (const name of least) expect(went[name] ?? 0, name).toBeGreaterThan(0)
  }, 600_000)

  it('is found to be as it was when it is made anew; and put right where somebody changed it', async () => {
    const { store } = cast.store
    const { companyId } = cast.tess
    const before = await assertAlike()
    expect(await rebuildRollups(store, companyId, cast.clock.now)).toEqual({
      lives: before.lives.length,
      sums: before.sums.length,
      differed: 0,
    })
    await assertAlike()
    await store.execute(
      `update service_cohorts set count = count + 1 where dimension = 'kind' and part = 'entered'`,
    )
    const { differed } = await rebuildRollups(store, companyId, cast.clock.now)
    expect(differed).toBeGreaterThan(0)
    await assertAlike()
  })

  function assertExposure({ lives, sums }: { lives: Life[]; sums: CohortRow[] }) {
    const { now } = cast.clock
    const served = lives.filter((life) => life.served)
    const spans = [
      { from: 0, to: now },
      { from: now - 75 * DAY, to: now },
      { from: now - 300 * DAY, to: now - 40 * DAY },
    ]
    for (const dimension of ROLLUP_DIMENSIONS) {
      const joints = served.map(
        (life): JointInService => ({
          key: KEY_OF[dimension](life),
          systemId: life.systemId,
          signedOffAt: life.signedOffAt,
          endAt: leavingOf(life) ?? now,
          leak:
            life.leakAt === null || life.leakCallbackId === null
              ? null
              : { callbackId: life.leakCallbackId, at: life.leakAt },
        }),
      )
      for (const span of spans)
        for (const key of new Set(joints.map((one) => one.key))) {
          const own = joints.filter((one) => one.key === key)
          const exact = judgeReliability(own, span).all
          const rows = sums.filter((row) => row.dimension === dimension && row.key === key)
          const { jointYears, within, joints: counted } = exposureOf(rows, span, now)
          const sum = jointYears.reduce((a, b) => a + b)
          const bound = within.reduce((a, b) => a + b) + 1e-9
          expect(Math.abs(sum - exact.jointYears)).toBeLessThanOrEqual(bound)
          // An eighth of a month for each joint of the months that an end of the span or of a band lies in, at most.
          expect(bound).toBeLessThanOrEqual((own.length * 14 * 31 * DAY) / 8 / YEAR + 1e-9)
          if (span.from === 0) {
            expect(sum).toBeCloseTo(exact.jointYears, 9)
            expect(counted).toBe(exact.joints)
          }
        }
    }
    const all = sums.filter((row) => row.dimension === 'all')
    const joints = served.map(
      (life): JointInService => ({
        key: '',
        systemId: life.systemId,
        signedOffAt: life.signedOffAt,
        endAt: leavingOf(life) ?? now,
        leak: life.leakAt === null ? null : { callbackId: '', at: life.leakAt },
      }),
    )
    expect(survivalOf(agesOf(all, now)).steps).toEqual(survivalOf(agesOfJoints(joints)).steps)
    const months = monthsOf(all, { from: 0, to: now }, now)
    expect(months.reduce((sum, { jointYears }) => sum + jointYears, 0)).toBeCloseTo(
      joints.reduce((sum, { signedOffAt, endAt }) => sum + (endAt - signedOffAt) / YEAR, 0),
      9,
    )
    expect(months.reduce((sum, { signedOff }) => sum + signedOff, 0)).toBe(served.length)
  }
})
