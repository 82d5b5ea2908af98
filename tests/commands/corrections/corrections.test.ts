// Is what was recorded only ever superseded, with a reason and by the right hands? On both databases.

import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { recordCharge } from '../../../server/commands/charging/record-charge.ts'
import { recordRunningCheck } from '../../../server/commands/charging/record-running-check.ts'
import { correctFact } from '../../../server/commands/corrections/correct-fact.ts'
import { decideCorrection } from '../../../server/commands/corrections/decide-correction.ts'
import {
  recordInspection,
  recordLeakCheck,
  recordTorque,
} from '../../../server/commands/joints/record-steps.ts'
import { criteriaJson } from '../../../server/commands/people/criteria.ts'
import { setPolicy } from '../../../server/commands/people/set-policy.ts'
import { signOffJob } from '../../../server/commands/release/sign-off-job.ts'
import { submitJob } from '../../../server/commands/release/submit-job.ts'
import { concludePressureTest } from '../../../server/commands/section-tests/conclude.ts'
import { listCharges } from '../../../server/store/queries/charges.ts'
import { listCorrectionsOfJoint } from '../../../server/store/queries/corrections.ts'
import { listEntriesAbout } from '../../../server/store/queries/entries.ts'
import { findJoint } from '../../../server/store/queries/joints.ts'
import { findPolicy } from '../../../server/store/queries/policy.ts'
import { listRunningChecks } from '../../../server/store/queries/running-checks.ts'
import { findPressureTest } from '../../../server/store/queries/section-tests.ts'
import { scopeOf } from '../../../server/store/store.ts'
import { aCast, type Cast, MINUTE, type Player } from '../../support/cast.ts'
import { STORE_KINDS } from '../../support/stores.ts'
import { faultsIn } from '../../support/tampering.ts'
import {
  aFreshJob,
  aWholeJob,
  heldOn,
  type Made,
  makeJoint,
  pressureTest,
  type Work,
} from '../../support/worked.ts'

describe.each(STORE_KINDS)('a correction on %s', (kind) => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast(kind)
  })
  afterAll(() => cast.remove())

  let marks = 0
  let work: Work
  let made: Made
  /** A flare at the outdoor gas line, torqued too low: 20 N·m in 34–42. */
  beforeEach(async () => {
    marks += 1
    work = await aFreshJob(cast, `${kind}-${marks}`)
    made = await makeJoint(cast, work, 'outdoorGas', { torque: read(20), leakCheck: null })
    cast.clock.now = made.torque.step.recordedAt
  })

  const scope = () => scopeOf(cast.store.store.reader(), cast.tess.companyId)
  const read = (value: number) => ({
    indication: 'read',
    reading: { value, unit: 'N.m' },
    instrumentId: work.zone.instruments.torqueWrench,
  })
  const correct = (fact: { entryId: string; factId: string }, replacement: object, by: Player = cast.tess) =>
    cast.run(by, correctFact, { ...fact, reason: 'Typed wrongly.', replacement } as never)
  const torqueFact = () => ({ entryId: made.torque.entryId, factId: made.torque.step.id })
  const decide = (correctionId: string, decision: 'accepted' | 'refused', by: Player = cast.sam) =>
    cast.run(by, decideCorrection, { correctionId, decision, reason: 'Asked Tess, saw the photo.' })
  const jointId = () => work.zone.joints.outdoorGas
  const torqueHeld = async () =>
    (await heldOn(cast, work.jobId)).find(
      ({ requirement, subject }) => requirement === 'joint-torque-in-range' && subject.id === jointId(),
    )?.outcome ?? 'met'
  const torques = async () =>
    (await findJoint(scope(), jointId())).makes.flatMap((make) =>
      make.steps.flatMap((step) => (step.kind === 'torque' ? [step.body.readingNm] : [])),
    )
  const stored = async (id: string) =>
    JSON.stringify((await cast.store.store.query(`select * from steps where id = '${id}'`))[0])

  it('by the same person within ten minutes stands, even where it turns a failed torque into a pass', async () => {
    expect(await torqueHeld()).toBe('failed')
    const before = await stored(made.torque.step.id)
    cast.clock.pass(10 * MINUTE)
    const answer = await correct(torqueFact(), read(38))
    expect(answer).toMatchObject({ state: 'accepted', changesOutcome: true, jointId: jointId() })
    expect(await torqueHeld()).toBe('met')
    expect(await torques()).toEqual([38])
    expect(await stored(made.torque.step.id)).toBe(before)
  })

  it('that comes later waits for a manager, and changes nothing until then', async () => {
    cast.clock.pass(10 * MINUTE + 1)
    const before = await stored(made.torque.step.id)
    const asked = await correct(torqueFact(), read(38))
    expect(asked).toMatchObject({ state: 'waiting', changesOutcome: true })
    expect(await torqueHeld()).toBe('failed')
    expect(await torques()).toEqual([20])
    await expect(decide(asked.id, 'accepted', cast.tess)).rejects.toMatchObject({ status: 403 })

    await decide(asked.id, 'accepted')
    expect(await torqueHeld()).toBe('met')
    expect(await torques()).toEqual([38])
    const [kept] = await listCorrectionsOfJoint(scope(), jointId())
    expect(kept).toMatchObject({
      state: 'accepted',
      reason: 'Typed wrongly.',
      original: { id: made.torque.step.id, body: { readingNm: 20 } },
      replacement: { id: asked.replacementId, body: { readingNm: 38 } },
    })
    expect(await stored(made.torque.step.id)).toBe(before)
    const told = (await listEntriesAbout(scope(), jointId())).map((entry) => entry.kind)
    expect(told.slice(-3)).toEqual(['correction-asked', 'correction-accepted', 'nonconformity-disposed'])
    await expect(decide(asked.id, 'refused')).rejects.toMatchObject({ code: 'already-decided' })
  })

  it('by another waits at once', async () => {
    expect(await correct(torqueFact(), read(38), cast.olga)).toMatchObject({ state: 'waiting' })
  })

  it('that changes no outcome stands whenever it comes, and who did the work is kept', async () => {
    cast.clock.pass(60 * MINUTE)
    const answer = await correct(torqueFact(), read(21), cast.sam)
    expect(answer).toMatchObject({ state: 'accepted', changesOutcome: false })
    expect(await torques()).toEqual([21])
    const [step] =
      (await findJoint(scope(), jointId())).makes[0]?.steps.filter((one) => one.kind === 'torque') ?? []
    expect(step).toMatchObject({
      performedBy: cast.tess.crewId,
      performedAt: made.torque.step.performedAt,
      recordedBy: cast.sam.memberId,
    })
  })

  it('of a correction does not begin the ten minutes anew, nor make them another’s', async () => {
    cast.clock.pass(60 * MINUTE)
    const first = await correct(torqueFact(), read(21))
    expect(first.state).toBe('accepted')
    const again = await correct({ entryId: first.entryId, factId: first.replacementId }, read(38))
    expect(again).toMatchObject({ state: 'waiting', changesOutcome: true })
    expect(await torqueHeld()).toBe('failed')
    await decide(again.id, 'accepted')
    expect(await torques()).toEqual([38])
  })

  it('that is refused leaves all as it was, and can be asked for once more', async () => {
    cast.clock.pass(60 * MINUTE)
    const asked = await correct(torqueFact(), read(38))
    for (const decision of ['accepted', 'refused'] as const)
      await expect(
        cast.run(cast.sam, decideCorrection, { correctionId: asked.id, decision } as never),
      ).rejects.toMatchObject({ status: 400, errors: [{ path: 'reason' }] })
    await decide(asked.id, 'refused')
    expect(await torqueHeld()).toBe('failed')
    expect(await torques()).toEqual([20])
    expect(await correct(torqueFact(), read(39))).toMatchObject({ state: 'waiting' })
  })

  it('is not answered by who asked for it', async () => {
    const asked = await correct(torqueFact(), read(38), cast.sam)
    await expect(decide(asked.id, 'accepted')).rejects.toMatchObject({ status: 422, code: 'own-work' })
    await decide(asked.id, 'accepted', cast.olga)
    expect(await torqueHeld()).toBe('met')
  })

  it('is accepted by who asked for it where the policy lets people release their own work, and taken back by them anyhow', async () => {
    const asked = await correct(torqueFact(), read(38), cast.sam)
    await decide(asked.id, 'refused')
    expect(await torqueHeld()).toBe('failed')
    const again = await correct(torqueFact(), read(38), cast.sam)
    await expect(decide(again.id, 'accepted')).rejects.toMatchObject({ code: 'own-work' })
    const { criteria } = await findPolicy(scope())
    await cast.run(cast.olga, setPolicy, {
      criteria: criteriaJson({ ...criteria, selfSignOff: true }),
      reason: 'One person, one island.',
    })
    await decide(again.id, 'accepted')
    expect(await torqueHeld()).toBe('met')
    await cast.run(cast.olga, setPolicy, { criteria: criteriaJson(criteria), reason: 'As before.' })
  })

  it('that only makes something concedable waits too', async () => {
    const { step, entryId } = await cast.run(cast.tess, recordTorque, {
      makeId: made.makeId,
      indication: 'not-measured',
      reason: 'No room for the wrench',
    })
    cast.clock.pass(5 * MINUTE)
    await cast.run(cast.tess, recordLeakCheck, {
      makeId: made.makeId,
      method: 'bubble',
      medium: 'nitrogen',
      gaugePressure: { value: 4.15, unit: 'MPa' },
      result: 'none-found',
    })
    cast.clock.pass(60 * MINUTE)
    const held = async () =>
      (await heldOn(cast, work.jobId)).find(
        ({ requirement, subject }) => requirement === 'joint-torque-in-range' && subject.id === jointId(),
      )
    expect(await held()).toMatchObject({ outcome: 'open', concedable: false })
    const asked = await correct(
      { entryId, factId: step.id },
      { indication: 'not-measured', reason: 'No room for the wrench', witnessedBy: cast.wren.crewId },
    )
    expect(asked).toMatchObject({ state: 'waiting', changesOutcome: true })
    expect(await held()).toMatchObject({ concedable: false })
    await decide(asked.id, 'accepted')
    expect(await held()).toMatchObject({ outcome: 'open', concedable: true })
  })

  it('of a reading of a running test waits when it makes another verdict of what has run so far', async () => {
    const testId = await pressureTest(cast, work, { end: 4.0, conclude: false })
    const [entry] = (await listEntriesAbout(scope(), testId)).filter(({ facts }) => facts.length > 1)
    const first = { entryId: entry?.id ?? '', factId: entry?.facts.at(1)?.id ?? '' }
    cast.clock.pass(20 * MINUTE)
    const asked = await correct(first, { gaugePressure: { value: 4.0, unit: 'MPa' } })
    expect(asked).toMatchObject({
      state: 'waiting',
      changesOutcome: true,
      about: { kind: 'pressure-test', id: testId },
    })
    await cast.run(cast.tess, concludePressureTest, { pressureTestId: testId })
    const pressureHeld = async () =>
      (await heldOn(cast, work.jobId)).find(({ requirement }) => requirement === 'standing-pressure-held')
        ?.outcome
    expect(await pressureHeld()).toBe('failed')
    // A slip in the last decimal is no other verdict, and stands at once.
    const last = { entryId: entry?.id ?? '', factId: entry?.facts.at(2)?.id ?? '' }
    expect(await correct(last, { gaugePressure: { value: 4.001, unit: 'MPa' } })).toMatchObject({
      state: 'accepted',
      changesOutcome: false,
    })
  })

  it('of a reading may say that another gauge was read, and no other instrument', async () => {
    const testId = await pressureTest(cast, work)
    const [entry] = (await listEntriesAbout(scope(), testId)).filter(({ facts }) => facts.length > 1)
    const last = { entryId: entry?.id ?? '', factId: entry?.facts.at(-1)?.id ?? '' }
    const { pressureGauge, torqueWrench } = work.zone.instruments
    await expect(correct(last, { instrumentId: torqueWrench })).rejects.toMatchObject({
      status: 400,
      errors: [{ path: 'replacement.instrumentId' }],
    })
    await correct(last, { instrumentId: pressureGauge })
    const { test } = await findPressureTest(scope(), testId)
    expect(test.readings.at(-1)).toMatchObject({ instrumentId: pressureGauge, correctedAt: cast.clock.now })
  })

  it('is one for each fact: the second is refused while the first waits or stands', async () => {
    await correct(torqueFact(), read(38), cast.sam)
    await expect(correct(torqueFact(), read(39))).rejects.toMatchObject({
      status: 409,
      code: 'already-corrected',
    })
    const fact = { entryId: made.flare.entryId, factId: made.flare.step.id }
    const flare = {
      instrumentId: work.zone.instruments.flaringTool,
      method: 'manual-clutch',
      depthStopUsed: true,
    }
    await correct(fact, flare)
    await expect(correct(fact, flare)).rejects.toMatchObject({ code: 'already-corrected' })
  })

  it('gives one of two that come at once', async () => {
    const both = await Promise.allSettled([correct(torqueFact(), read(37)), correct(torqueFact(), read(38))])
    expect(both.map(({ status }) => status).sort()).toEqual(['fulfilled', 'rejected'])
    expect(both.find(({ status }) => status === 'rejected')).toMatchObject({
      reason: { code: 'already-corrected' },
    })
    expect(await torques()).toHaveLength(1)
  })

  it('of a rejected inspection into an accepted one opens the making again only once accepted', async () => {
    const rejected = await cast.run(cast.tess, recordInspection, {
      makeId: made.makeId,
      points: { even: 'no', smooth: 'yes', centred: 'yes', noCracks: 'yes', noFlatSpots: 'yes' },
      reasons: { even: 'One side is thin.' },
      outcome: 'rejected',
    })
    const again = () => cast.run(cast.tess, recordTorque, { makeId: made.makeId, ...read(38) } as never)
    await expect(again()).rejects.toMatchObject({ code: 'step-out-of-order' })
    cast.clock.pass(20 * MINUTE)
    const asked = await correct(
      { entryId: rejected.entryId, factId: rejected.step.id },
      { allAsListed: true, diameterCheck: 'gauge-pass', outcome: 'accepted' },
    )
    expect(asked.state).toBe('waiting')
    await expect(again()).rejects.toMatchObject({ code: 'step-out-of-order' })
    await decide(asked.id, 'accepted')
    await again()
    expect(await torqueHeld()).toBe('met')
  })

  it('of a reading says which of its batch, and the test is judged anew', async () => {
    const testId = await pressureTest(cast, work)
    const [entry] = (await listEntriesAbout(scope(), testId)).filter(({ facts }) => facts.length > 1)
    if (!entry) throw new Error('The readings left no entry.')
    const replacement = { gaugePressure: { value: 4.0, unit: 'MPa' } }
    await expect(
      cast.run(cast.tess, correctFact, { entryId: entry.id, reason: 'Misread.', replacement }),
    ).rejects.toMatchObject({ status: 400, errors: [{ path: 'factId' }] })
    const pressureHeld = async () =>
      (await heldOn(cast, work.jobId)).find(({ requirement }) => requirement === 'standing-pressure-held')
        ?.outcome
    expect(await pressureHeld()).toBeUndefined()
    const last = entry.facts.at(-1)
    cast.clock.pass(20 * MINUTE)
    const asked = await correct({ entryId: entry.id, factId: last?.id ?? '' }, replacement)
    expect(asked).toMatchObject({ state: 'waiting', changesOutcome: true, jointId: null })
    expect(await pressureHeld()).toBeUndefined()
    await decide(asked.id, 'accepted')
    expect(await pressureHeld()).toBe('failed')
    await expect(
      correct({ entryId: entry.id, factId: made.torque.step.id }, replacement),
    ).rejects.toMatchObject({ status: 400, errors: [{ path: 'factId' }] })
  })

  it('of a charge and a running check keeps both, and the later counts', async () => {
    const { systemId } = work.zone
    const here = { systemId, jobId: work.jobId }
    await cast.run(cast.tess, recordCharge, {
      ...here,
      direction: 'in',
      mass: { value: 100, unit: 'g' },
      scaleInstrumentId: work.zone.instruments.scale,
    })
    const entryOf = async (subjectId: string) => (await listEntriesAbout(scope(), subjectId))[0]?.id ?? ''
    const [charge] = (await listCharges(scope(), [systemId])).get(systemId) ?? []
    const chargeId = charge?.id ?? ''
    await correct(
      { entryId: await entryOf(chargeId), factId: chargeId },
      { direction: 'in', mass: { value: 0.22, unit: 'lb' }, scaleInstrumentId: work.zone.instruments.scale },
    )
    const after = (await listCharges(scope(), [systemId])).get(systemId) ?? []
    expect(after.map(({ massKg, typed }) => ({ massKg, typed }))).toEqual([
      { massKg: expect.closeTo(0.22 * 0.45359237, 9), typed: { mass: { value: 0.22, unit: 'lb' } } },
    ])

    await cast.run(cast.tess, recordRunningCheck, {
      ...here,
      mode: 'cooling',
      steadyMinutes: 20,
      supplyAir: { value: 13, unit: 'degC' },
      returnAir: { value: 24, unit: 'degC' },
    })
    const [check] = (await listRunningChecks(scope(), [systemId])).get(systemId) ?? []
    const checkId = check?.id ?? ''
    await correct(
      { entryId: await entryOf(checkId), factId: checkId },
      {
        mode: 'cooling',
        steadyMinutes: 25,
        supplyAir: { value: 12, unit: 'degC' },
        returnAir: { value: 24, unit: 'degC' },
      },
    )
    const checks = (await listRunningChecks(scope(), [systemId])).get(systemId) ?? []
    expect(checks).toHaveLength(1)
    expect(JSON.stringify(checks)).toContain('"steadyS":1500')
  })

  it('names the field that is wrong, as part of the replacement, and what can not be corrected', async () => {
    await expect(correct(torqueFact(), { indication: 'read' })).rejects.toMatchObject({
      status: 400,
      errors: [{ path: 'replacement.reading.value' }],
    })
    await expect(correct(torqueFact(), { ...read(38), performedBy: cast.zoe.crewId })).rejects.toMatchObject({
      status: 404,
      errors: [{ path: 'replacement.performedBy' }],
    })
    await expect(
      correct(torqueFact(), { ...read(38), circuitState: 'under-test-pressure' }),
    ).rejects.toMatchObject({
      code: 'under-test-pressure',
    })
    const [started] = await listEntriesAbout(scope(), jointId())
    await expect(
      correct({ entryId: started?.id ?? '', factId: made.makeId }, { reason: 'again' }),
    ).rejects.toMatchObject({ status: 422, code: 'not-correctable' })
    await expect(correct({ ...torqueFact(), entryId: work.jobId }, read(38))).rejects.toMatchObject({
      status: 404,
    })
    await expect(correct(torqueFact(), read(38), cast.zoe)).rejects.toMatchObject({ status: 404 })
    expect(await torques()).toEqual([20])
  })

  it('comes too late for a job that is submitted or sealed', async () => {
    const whole = await aWholeJob(cast, `sealed-${kind}`)
    const fact = {
      entryId: whole.made.outdoorGas.torque.entryId,
      factId: whole.made.outdoorGas.torque.step.id,
    }
    const asked = await correct(fact, read(30))
    expect(asked.state).toBe('waiting')
    await cast.run(cast.tess, submitJob, { jobId: whole.jobId })
    const flare = {
      entryId: whole.made.outdoorGas.flare.entryId,
      factId: whole.made.outdoorGas.flare.step.id,
    }
    const otherwise = {
      instrumentId: whole.zone.instruments.flaringTool,
      method: 'manual-wing',
      depthStopUsed: true,
    }
    await expect(correct(flare, otherwise)).rejects.toMatchObject({ code: 'job-submitted' })
    await decide(asked.id, 'refused')
    await cast.run(cast.sam, signOffJob, { jobId: whole.jobId })
    await expect(correct(flare, otherwise)).rejects.toMatchObject({ status: 409, code: 'job-sealed' })
  })

  it('leaves every chain whole', async () => {
    expect(await faultsIn(cast)).toEqual([])
  })
})
