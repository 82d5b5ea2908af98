// Does a job turn once at a time, each turn on the chain of each of its systems? On both databases.

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { changeJob } from '../../../server/commands/jobs/change-job.ts'
import { leaveOutJoint } from '../../../server/commands/jobs/leave-out-joint.ts'
import { openJob } from '../../../server/commands/jobs/open-job.ts'
import { recordJointLeakCheck } from '../../../server/commands/joints/record-steps.ts'
import { startMake } from '../../../server/commands/joints/start-make.ts'
import { addJoint } from '../../../server/commands/places/add-joint.ts'
import { changeLineSet } from '../../../server/commands/places/change-line-set.ts'
import { changeSystem } from '../../../server/commands/places/change-system.ts'
import { reopenJob } from '../../../server/commands/release/reopen-job.ts'
import { sendBackJob } from '../../../server/commands/release/send-back-job.ts'
import { signOffJob } from '../../../server/commands/release/sign-off-job.ts'
import { submitJob } from '../../../server/commands/release/submit-job.ts'
import { findJob, listJobEvents } from '../../../server/store/queries/jobs.ts'
import { scopeOf } from '../../../server/store/store.ts'
import { aCast, type Cast, MINUTE } from '../../support/cast.ts'
import { inches } from '../../support/setups.ts'
import { STORE_KINDS } from '../../support/stores.ts'
import { faultsIn } from '../../support/tampering.ts'
import { aFreshJob, aWholeJob } from '../../support/worked.ts'

describe.each(STORE_KINDS)('a job on %s', (kind) => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast(kind)
  })
  afterAll(() => cast.remove())
  const scope = () => scopeOf(cast.store.store.reader(), cast.tess.companyId)
  const eventsOf = async (jobId: string) =>
    (await listJobEvents(scope(), jobId)).map(({ number, event }) => [number, event])
  const entriesOf = async (jobId: string) =>
    (
      await cast.store.store.query<{ kind: string }>(
        `select kind from entries where subject_id = '${jobId}' order by at, number`,
      )
    ).map((row) => row.kind)

  it('turns in order, and every turn has its number, its entry and its time', async () => {
    const { jobId } = await aWholeJob(cast, `turns-${kind}`)
    const turn = async (work: () => Promise<unknown>) => {
      cast.clock.pass(MINUTE)
      await work()
      expect((await findJob(scope(), jobId)).stageAt).toBe(cast.clock.now)
    }
    await turn(() => cast.run(cast.tess, submitJob, { jobId }))
    await turn(() => cast.run(cast.sam, sendBackJob, { jobId, reason: 'Look again.' }))
    await turn(() => cast.run(cast.tess, submitJob, { jobId }))
    await turn(() => cast.run(cast.sam, signOffJob, { jobId }))
    await turn(() => cast.run(cast.sam, reopenJob, { jobId, reason: 'A cap was loose.' }))
    const turns = ['opened', 'submitted', 'sent-back', 'submitted', 'signed-off', 'reopened']
    expect(await eventsOf(jobId)).toEqual(turns.map((event, index) => [index + 1, event]))
    expect((await entriesOf(jobId)).filter((entry) => entry.startsWith('job-'))).toEqual(
      turns.map((event) => `job-${event}`),
    )
  })

  it('is submitted once when two submit at once, and sent back or signed off, not both', async () => {
    const { jobId } = await aWholeJob(cast, `once-${kind}`)
    const submitted = await Promise.allSettled([
      cast.run(cast.tess, submitJob, { jobId }),
      cast.run(cast.tess, submitJob, { jobId }),
    ])
    expect(submitted.map(({ status }) => status).sort()).toEqual(['fulfilled', 'rejected'])
    const ended = await Promise.allSettled([
      cast.run(cast.sam, signOffJob, { jobId }),
      cast.run(cast.olga, sendBackJob, { jobId, reason: 'Wait.' }),
    ])
    expect(ended.map(({ status }) => status).sort()).toEqual(['fulfilled', 'rejected'])
    expect(await eventsOf(jobId)).toHaveLength(3)
  })

  it('writes on the chain of each of its systems', async () => {
    const { jobId, zone } = await aFreshJob(cast, `one-${kind}`)
    const { siteId } = await findJob(scope(), jobId)
    const visit = await cast.run(cast.tess, openJob, {
      siteId,
      kind: 'maintenance',
      systemIds: [zone.systemId],
    })
    const chains = await cast.store.store.query<{ chain: string }>(
      `select chain_id as chain from entries where subject_id = '${visit.id}'`,
    )
    expect(chains.map((row) => row.chain)).toEqual([zone.systemId])
  })

  it('keeps a reference and a name out of its chain', async () => {
    const { jobId } = await aFreshJob(cast, `private-${kind}`)
    await cast.run(cast.sam, changeJob, { jobId, reference: 'Fenwick kitchen' })
    expect((await findJob(scope(), jobId)).reference).toBe('Fenwick kitchen')
    const [found] = await cast.store.store.query<{ n: number }>(
      `select count(*) as n from entries where content like '%Fenwick%'`,
    )
    expect(Number(found?.n)).toBe(0)
  })

  it('has a joint left out once, and keeps it out until another job', async () => {
    const { jobId, zone } = await aFreshJob(cast, `left-${kind}`)
    const jointId = zone.joints.indoorLiquid
    const leave = () => cast.run(cast.tess, leaveOutJoint, { jobId, jointId, reason: 'Not reached.' })
    await leave()
    await expect(leave()).rejects.toMatchObject({ status: 409 })
    await expect(cast.run(cast.tess, startMake, { jointId, jobId })).rejects.toMatchObject({
      code: 'joint-left-out',
    })
    const { siteId } = await findJob(scope(), jobId)
    const next = await cast.run(cast.tess, openJob, { siteId, kind: 'repair', systemIds: [zone.systemId] })
    await cast.run(cast.tess, startMake, { jointId, jobId: next.id })
  })

  it('has no joint left out where it found a leak', async () => {
    const { jobId, zone } = await aFreshJob(cast, `leaking-${kind}`)
    const joint = await cast.run(cast.tess, addJoint, {
      systemId: zone.systemId,
      jobId,
      lineSetId: zone.lineSetId,
      place: 'old coupling',
      line: 'gas',
      tubeOd: inches(0.375),
      kind: 'flare',
      origin: 'existing',
      indoors: false,
    })
    const leave = () => cast.run(cast.tess, leaveOutJoint, { jobId, jointId: joint.id, reason: 'Old.' })
    await cast.run(cast.tess, recordJointLeakCheck, {
      jointId: joint.id,
      jobId,
      method: 'bubble',
      medium: 'nitrogen',
      result: 'found',
    })
    await expect(leave()).rejects.toMatchObject({ status: 409, code: 'leak-found-here' })
  })

  it('keeps the lines, units and sheet it was handed in with while it waits', async () => {
    const whole = await aWholeJob(cast, `handed-in-${kind}`)
    await cast.run(cast.tess, submitJob, { jobId: whole.jobId })
    const change = (jobId?: string) =>
      cast.run(cast.tess, changeLineSet, {
        lineSetId: whole.zone.lineSetId,
        length: { value: 3.2, unit: 'm' },
        ...(jobId ? { jobId } : {}),
      })
    await expect(change()).rejects.toMatchObject({ status: 409, code: 'job-submitted' })
    await expect(change(whole.jobId)).rejects.toMatchObject({ status: 409, code: 'job-submitted' })
    await expect(
      cast.run(cast.tess, changeSystem, { systemId: whole.zone.systemId, name: 'Another' }),
    ).rejects.toMatchObject({ code: 'job-submitted' })
    await cast.run(cast.sam, sendBackJob, { jobId: whole.jobId, reason: 'Measure again.' })
    expect((await change()).lineSet.lengthM).toBeCloseTo(3.2, 9)
  })

  it('leaves every chain whole', async () => {
    expect(await faultsIn(cast)).toEqual([])
  })
})
