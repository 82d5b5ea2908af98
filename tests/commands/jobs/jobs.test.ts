// Does a job turn once at a time, each turn on the chain of each of its systems? On both databases.

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { changeJob } from '../../../server/commands/jobs/change-job.ts'
import { leaveOutJoint } from '../../../server/commands/jobs/leave-out-joint.ts'
import { openJob } from '../../../server/commands/jobs/open-job.ts'
import { startMake } from '../../../server/commands/joints/start-make.ts'
import { reopenJob } from '../../../server/commands/release/reopen-job.ts'
import { sendBackJob } from '../../../server/commands/release/send-back-job.ts'
import { signOffJob } from '../../../server/commands/release/sign-off-job.ts'
import { submitJob } from '../../../server/commands/release/submit-job.ts'
import { findJob, listJobEvents } from '../../../server/store/queries/jobs.ts'
import { scopeOf } from '../../../server/store/store.ts'
import { aCast, type Cast, MINUTE } from '../../support/cast.ts'
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

  it('leaves every chain whole', async () => {
    expect(await faultsIn(cast)).toEqual([])
  })
})
