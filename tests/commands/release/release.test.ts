// Does a job reach its certificate only when nothing holds it, and by the right hands? On both databases.

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { verifyCopy } from '../../../server/certificate/verify-copy.ts'
import { correctFact } from '../../../server/commands/corrections/correct-fact.ts'
import { decideCorrection } from '../../../server/commands/corrections/decide-correction.ts'
import { recordCalibration } from '../../../server/commands/instruments/record-calibration.ts'
import { recordTorque } from '../../../server/commands/joints/record-steps.ts'
import { criteriaJson } from '../../../server/commands/people/criteria.ts'
import { setPolicy } from '../../../server/commands/people/set-policy.ts'
import { grantConcession } from '../../../server/commands/release/grant-concession.ts'
import { reopenJob } from '../../../server/commands/release/reopen-job.ts'
import { sendBackJob } from '../../../server/commands/release/send-back-job.ts'
import { signOffJob } from '../../../server/commands/release/sign-off-job.ts'
import { submitJob } from '../../../server/commands/release/submit-job.ts'
import { findCertificate } from '../../../server/store/queries/certificates.ts'
import { findPolicy } from '../../../server/store/queries/policy.ts'
import { scopeOf } from '../../../server/store/store.ts'
import { aCast, type Cast, DAY, HOUR, type Player } from '../../support/cast.ts'
import { STORE_KINDS } from '../../support/stores.ts'
import { faultsIn } from '../../support/tampering.ts'
import { aFreshJob, aWholeJob, heldOn, makeJoint, type Whole } from '../../support/worked.ts'

describe.each(STORE_KINDS)('the release of a job on %s', (kind) => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast(kind)
  })
  afterAll(() => cast.remove())

  const scope = () => scopeOf(cast.store.store.reader(), cast.tess.companyId)
  const submit = (jobId: string, requests: object[] = [], by: Player = cast.tess) =>
    cast.run(by, submitJob, { jobId, requests } as never)
  const signOff = (jobId: string, by: Player = cast.sam) => cast.run(by, signOffJob, { jobId })
  const payloadOf = async (certificateId: string) => {
    const { signedCopy } = await findCertificate(scope(), certificateId)
    const { verdict, payload } = verifyCopy(signedCopy, { keys: cast.machinery.signer.publicKeys })
    if (verdict !== 'genuine' || !payload) throw new Error('This certificate does not verify.')
    return payload
  }
  const keys = (findings: readonly { requirement: string; subject: { id: string } }[]) =>
    findings.map(({ requirement, subject }) => `${requirement} ${subject.id}`).sort()
  const count = async (table: string) =>
    Number((await cast.store.store.query<{ n: number }>(`select count(*) as n from ${table}`))[0]?.n)

  it('is refused with exactly what is open, and nothing is written', async () => {
    const work = await aFreshJob(cast, `open-${kind}`)
    await makeJoint(cast, work, 'outdoorLiquid')
    const held = await heldOn(cast, work.jobId)
    expect(held.length).toBeGreaterThan(5)
    const before = await count('entries')
    const refusal = await submit(work.jobId).then(
      () => null,
      (problem) => problem,
    )
    expect(refusal).toMatchObject({ status: 422, code: 'hold-points' })
    expect(keys(refusal.findings)).toEqual(keys(held))
    expect(await count('entries')).toBe(before)
    await expect(signOff(work.jobId)).rejects.toMatchObject({ status: 409, code: 'not-submitted' })
  })

  it('takes what is whole to a certificate, and then takes nothing more', async () => {
    const whole = await aWholeJob(cast, `whole-${kind}`)
    expect(keys(await heldOn(cast, whole.jobId))).toEqual([])
    await submit(whole.jobId)
    await expect(submit(whole.jobId)).rejects.toMatchObject({ code: 'job-submitted' })
    await expect(late(whole)).rejects.toMatchObject({ status: 409, code: 'job-submitted' })
    const { certificate } = await signOff(whole.jobId)
    const payload = await payloadOf(certificate.id)
    expect(payload.signedOff).toMatchObject({ byMember: cast.sam.memberId, ownWork: false })
    expect(payload.concessions).toEqual([])
    expect(payload.certificate.revision).toBe(1)
    await expect(signOff(whole.jobId)).rejects.toMatchObject({ code: 'job-sealed' })
    await expect(late(whole)).rejects.toMatchObject({ status: 409, code: 'job-sealed' })
  })

  const late = ({ made, zone }: Whole) =>
    cast.run(cast.tess, recordTorque, {
      makeId: made.indoorGas.makeId,
      indication: 'read',
      reading: { value: 38, unit: 'N.m' },
      instrumentId: zone.instruments.torqueWrench,
    })

  it('lets a test that can not tell be asked for, sent back, asked again and conceded', async () => {
    const whole = await aWholeJob(cast, `short-${kind}`, { holdMinutes: 30 })
    const held = await heldOn(cast, whole.jobId)
    expect(
      held.map(({ requirement, outcome, concedable }) => ({ requirement, outcome, concedable })),
    ).toEqual([{ requirement: 'standing-pressure-held', outcome: 'open', concedable: true }])
    const [open] = held
    const request = {
      requirement: open?.requirement,
      subjectId: open?.subject.id,
      reason: 'The gas was needed.',
    }
    await expect(submit(whole.jobId)).rejects.toMatchObject({ code: 'hold-points' })
    await submit(whole.jobId, [request])
    expect((await heldOn(cast, whole.jobId)).map(({ outcome }) => outcome)).toEqual(['requested'])
    await expect(signOff(whole.jobId)).rejects.toMatchObject({ status: 422, code: 'hold-points' })

    await cast.run(cast.sam, sendBackJob, { jobId: whole.jobId, reason: 'Hold it for an hour if you can.' })
    await expect(signOff(whole.jobId)).rejects.toMatchObject({ code: 'not-submitted' })
    await expect(submit(whole.jobId)).rejects.toMatchObject({ code: 'hold-points' })
    await submit(whole.jobId, [{ ...request, reason: 'It was not possible.' }])
    await cast.run(cast.sam, grantConcession, {
      jobId: whole.jobId,
      requirement: 'standing-pressure-held',
      subjectId: request.subjectId ?? '',
      reason: 'Each joint was checked with bubbles and tracer.',
    })
    const { certificate } = await signOff(whole.jobId)
    const { concessions } = await payloadOf(certificate.id)
    expect(concessions).toHaveLength(1)
    expect(JSON.stringify(concessions)).toContain('Each joint was checked with bubbles and tracer.')
    expect(JSON.stringify(concessions)).toContain('standing-pressure-held')
  })

  it('lets a torque that was not measured be conceded only with a witness and bubbles at test pressure', async () => {
    const torque = { indication: 'not-measured', reason: 'No room for the wrench' }
    const alone = await aFreshJob(cast, `alone-${kind}`)
    await makeJoint(cast, alone, 'outdoorGas', { torque })
    const whole = await aWholeJob(cast, `witness-${kind}`, {
      torque: { outdoorGas: { ...torque, witnessedBy: cast.sam.crewId } },
    })
    const subjectId = whole.zone.joints.outdoorGas
    const request = { requirement: 'joint-torque-in-range', subjectId, reason: 'Witnessed.' }
    const concede = (jobId: string, jointId: string) =>
      cast.run(cast.sam, grantConcession, {
        jobId,
        requirement: 'joint-torque-in-range',
        subjectId: jointId,
        reason: 'Witnessed, and no bubbles.',
      })
    await expect(concede(alone.jobId, alone.zone.joints.outdoorGas)).rejects.toMatchObject({
      status: 422,
      code: 'no-concession',
    })
    expect(keys(await heldOn(cast, whole.jobId))).toEqual([`joint-torque-in-range ${subjectId}`])
    await submit(whole.jobId, [request])
    await concede(whole.jobId, subjectId)
    await expect(concede(whole.jobId, subjectId)).rejects.toMatchObject({ code: 'nothing-to-concede' })
    const { certificate } = await cast.run(cast.olga, signOffJob, { jobId: whole.jobId })
    expect((await payloadOf(certificate.id)).concessions).toHaveLength(1)
  })

  it('lets nobody concede their own work, unless the policy allows it and the certificate says so', async () => {
    const whole = await aWholeJob(cast, `own-concession-${kind}`, { holdMinutes: 30, vacuumReader: cast.sam })
    const asked = {
      requirement: 'standing-pressure-held' as const,
      subjectId: whole.zone.lineSetId,
      reason: 'The gas was needed.',
    }
    await submit(whole.jobId, [asked])
    const grant = (by: Player) => cast.run(by, grantConcession, { jobId: whole.jobId, ...asked })
    const before = await count('entries')
    await expect(grant(cast.sam)).rejects.toMatchObject({ status: 422, code: 'own-work' })
    expect(await count('entries')).toBe(before)

    const { criteria } = await findPolicy(scope())
    await cast.run(cast.olga, setPolicy, {
      criteria: criteriaJson({ ...criteria, selfSignOff: true }),
      reason: 'Two people, one island; no camera.',
    })
    await grant(cast.sam)
    // Somebody else signs off, and still the certificate says whose hand the concession was.
    const { certificate } = await signOff(whole.jobId, cast.olga)
    const payload = await payloadOf(certificate.id)
    expect(payload.signedOff.ownWork).toBe(false)
    expect(payload.concessions).toMatchObject([{ byMember: cast.sam.memberId, ownWork: true }])
    await cast.run(cast.olga, setPolicy, { criteria: criteriaJson(criteria), reason: 'No camera.' })

    const other = await aWholeJob(cast, `other-concession-${kind}`, { holdMinutes: 30 })
    await submit(other.jobId, [{ ...asked, subjectId: other.zone.lineSetId }])
    await cast.run(cast.sam, grantConcession, {
      jobId: other.jobId,
      ...asked,
      subjectId: other.zone.lineSetId,
    })
    const given = (await payloadOf((await signOff(other.jobId)).certificate.id)).concessions
    expect(given).toHaveLength(1)
    expect(given[0]).not.toHaveProperty('ownWork')
  })

  it('does not let a concession speak for what an instrument was found to be afterwards', async () => {
    const whole = await aWholeJob(cast, `late-wrench-${kind}`)
    const { torqueWrench } = whole.zone.instruments
    const asked = { requirement: 'instruments-confirmed' as const, subjectId: torqueWrench, reason: 'Late.' }
    await cast.run(cast.sam, recordCalibration, {
      instrumentId: torqueWrench,
      at: iso(cast.clock.now),
      result: 'out-of-tolerance',
      basis: 'certificate',
      asFoundErrorPercent: 7,
      reference: 'Lab sheet 1',
    })
    await submit(whole.jobId, [asked])
    await cast.run(cast.sam, grantConcession, { jobId: whole.jobId, ...asked, reason: 'Nuts pulled again.' })
    const outcomes = async () => (await heldOn(cast, whole.jobId)).map(({ outcome }) => outcome)
    expect(await outcomes()).toEqual(['conceded'])
    cast.clock.pass(HOUR)
    await cast.run(cast.olga, recordCalibration, {
      instrumentId: torqueWrench,
      at: iso(cast.clock.now),
      result: 'out-of-tolerance',
      basis: 'certificate',
      asFoundErrorPercent: 14,
      reference: 'Lab sheet 2',
    })
    expect(await outcomes()).toEqual(['failed'])
    await expect(signOff(whole.jobId)).rejects.toMatchObject({ status: 422, code: 'hold-points' })
  })

  it('never releases what allows no concession, however it is asked', async () => {
    const whole = await aWholeJob(cast, `low-${kind}`, {
      torque: {
        indoorLiquid: { indication: 'read', reading: { value: 9, unit: 'N.m' } },
      },
    }).catch((problem) => problem)
    // A reading without its wrench is no measurement.
    expect(whole).toMatchObject({ status: 400, errors: [{ path: 'instrumentId' }] })

    const work = await aFreshJob(cast, `none-${kind}`)
    await makeJoint(cast, work, 'indoorLiquid', {
      torque: {
        indication: 'read',
        reading: { value: 9, unit: 'N.m' },
        instrumentId: work.zone.instruments.torqueWrench,
      },
    })
    const subjectId = work.zone.joints.indoorLiquid
    const asked = { requirement: 'joint-torque-in-range' as const, subjectId, reason: 'It will do.' }
    const before = await count('entries')
    await expect(submit(work.jobId, [asked])).rejects.toMatchObject({ status: 422, code: 'no-concession' })
    await expect(cast.run(cast.sam, grantConcession, { jobId: work.jobId, ...asked })).rejects.toMatchObject({
      status: 422,
      code: 'no-concession',
    })
    await expect(
      cast.run(cast.sam, grantConcession, { jobId: work.jobId, ...asked, subjectId: work.zone.lineSetId }),
    ).rejects.toMatchObject({ status: 400, errors: [{ path: 'subjectId' }] })
    expect(await count('entries')).toBe(before)
  })

  it('is not by who performed or recorded the work, be it one step', async () => {
    const performed = await aWholeJob(cast, `performed-${kind}`)
    await cast.run(cast.tess, recordTorque, {
      makeId: performed.made.outdoorGas.makeId,
      indication: 'read',
      reading: { value: 38, unit: 'N.m' },
      instrumentId: performed.zone.instruments.torqueWrench,
      performedBy: cast.sam.crewId,
      performedAt: new Date(
        Date.parse(iso(performed.made.outdoorGas.torque.step.performedAt)) + 1000,
      ).toISOString(),
    })
    expect(keys(await heldOn(cast, performed.jobId))).toEqual([])
    await submit(performed.jobId)
    await expect(signOff(performed.jobId)).rejects.toMatchObject({ status: 422, code: 'own-work' })

    const { version, criteria } = await findPolicy(scope())
    await cast.run(cast.olga, setPolicy, {
      criteria: criteriaJson({ ...criteria, selfSignOff: true }),
      reason: 'Two people, one island; no camera.',
    })
    const { certificate } = await signOff(performed.jobId)
    const payload = await payloadOf(certificate.id)
    expect(payload.signedOff.ownWork).toBe(true)
    expect(payload.criteria.policyVersion).toBe(version + 1)

    await cast.run(cast.olga, setPolicy, { criteria: criteriaJson(criteria), reason: 'No camera.' })
    expect((await payloadOf(certificate.id)).criteria.policyVersion).toBe(version + 1)
    expect((await findPolicy(scope())).version).toBe(version + 2)

    const recorded = await aWholeJob(cast, `recorded-${kind}`, { by: cast.sam })
    await submit(recorded.jobId, [], cast.sam)
    await expect(signOff(recorded.jobId)).rejects.toMatchObject({ status: 422, code: 'own-work' })
    await signOff(recorded.jobId, cast.olga)
  })

  it('knows a hand that only took the last reading', async () => {
    const { criteria } = await findPolicy(scope())
    const whole = await aWholeJob(cast, `reader-${kind}`, { vacuumReader: cast.sam })
    expect(keys(await heldOn(cast, whole.jobId))).toEqual([])
    await submit(whole.jobId)
    await expect(signOff(whole.jobId)).rejects.toMatchObject({ status: 422, code: 'own-work' })
    await cast.run(cast.olga, setPolicy, {
      criteria: criteriaJson({ ...criteria, selfSignOff: true }),
      reason: 'Two people, one island; no camera.',
    })
    const { certificate } = await signOff(whole.jobId)
    expect((await payloadOf(certificate.id)).signedOff.ownWork).toBe(true)
    await cast.run(cast.olga, setPolicy, { criteria: criteriaJson(criteria), reason: 'No camera.' })
  })

  const iso = (at: number) => new Date(at).toISOString()

  it('gives one certificate when two sign off at once', async () => {
    const whole = await aWholeJob(cast, `race-${kind}`)
    await submit(whole.jobId)
    const before = await count('certificates')
    const both = await Promise.allSettled([signOff(whole.jobId), signOff(whole.jobId, cast.olga)])
    expect(both.map(({ status }) => status).sort()).toEqual(['fulfilled', 'rejected'])
    const lost = both.find((one) => one.status === 'rejected')
    expect(lost).toMatchObject({ reason: { code: 'job-sealed' } })
    expect(await count('certificates')).toBe(before + 1)
  })

  it('waits for the answer to a correction', async () => {
    const whole = await aWholeJob(cast, `waiting-${kind}`)
    const { entryId, step } = whole.made.outdoorGas.torque
    const asked = await cast.run(cast.tess, correctFact, {
      entryId,
      factId: step.id,
      reason: 'The wrench showed less.',
      replacement: {
        indication: 'read',
        reading: { value: 30, unit: 'N.m' },
        instrumentId: whole.zone.instruments.torqueWrench,
      },
    })
    expect(asked).toMatchObject({ state: 'waiting', changesOutcome: true })
    await submit(whole.jobId)
    await expect(signOff(whole.jobId)).rejects.toMatchObject({ status: 409, code: 'correction-waiting' })
    await cast.run(cast.sam, decideCorrection, {
      correctionId: asked.id,
      decision: 'accepted',
      reason: 'The photo shows 30.',
    })
    await expect(signOff(whole.jobId)).rejects.toMatchObject({ status: 422, code: 'hold-points' })
    await cast.run(cast.sam, sendBackJob, {
      jobId: whole.jobId,
      reason: 'Then pull it up.',
      subjects: [whole.zone.joints.outdoorGas],
    })
    expect(keys(await heldOn(cast, whole.jobId))).toContain(
      `joint-torque-in-range ${whole.zone.joints.outdoorGas}`,
    )
  })

  it('is taken back by reopening, and given again as revision 2', async () => {
    const whole = await aWholeJob(cast, `again-${kind}`)
    await expect(
      cast.run(cast.sam, reopenJob, { jobId: whole.jobId, reason: 'Too early.' }),
    ).rejects.toMatchObject({ code: 'not-sealed' })
    await submit(whole.jobId)
    const first = await signOff(whole.jobId)
    cast.clock.pass(DAY)
    await cast.run(cast.sam, reopenJob, { jobId: whole.jobId, reason: 'A cap was tightened.' })
    await expect(signOff(whole.jobId)).rejects.toMatchObject({ code: 'not-submitted' })
    await submit(whole.jobId)
    const second = await signOff(whole.jobId)
    expect(second.certificate.id).not.toBe(first.certificate.id)
    expect((await payloadOf(second.certificate.id)).certificate.revision).toBe(2)
    expect((await payloadOf(first.certificate.id)).certificate.revision).toBe(1)
  })

  it('leaves every chain whole', async () => {
    cast.clock.pass(HOUR)
    expect(await faultsIn(cast)).toEqual([])
  })
})
