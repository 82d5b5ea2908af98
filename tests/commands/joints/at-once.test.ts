// Do two hands on one joint, or on one job, leave one story? On both databases.

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import {
  recordFlare,
  recordPreparation,
  recordSeveral,
  recordTorque,
} from '../../../server/commands/joints/record-steps.ts'
import { startMake } from '../../../server/commands/joints/start-make.ts'
import { submitJob } from '../../../server/commands/release/submit-job.ts'
import { findJoint } from '../../../server/store/queries/joints.ts'
import { scopeOf } from '../../../server/store/store.ts'
import { aCast, type Cast } from '../../support/cast.ts'
import { STORE_KINDS } from '../../support/stores.ts'
import { faultsIn } from '../../support/tampering.ts'
import { aFreshJob, aWholeJob, heldOn } from '../../support/worked.ts'

describe.each(STORE_KINDS)('two at once on %s', (kind) => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast(kind)
  })
  afterAll(() => cast.remove())
  const scope = () => scopeOf(cast.store.store.reader(), cast.tess.companyId)
  const won = (both: PromiseSettledResult<unknown>[]) =>
    both.filter(({ status }) => status === 'fulfilled').length
  const lost = (both: PromiseSettledResult<unknown>[]) => both.find((one) => one.status === 'rejected')

  it('start one making, and the other is asked why', async () => {
    const { jobId, zone } = await aFreshJob(cast, `makes-${kind}`)
    const jointId = zone.joints.indoorGas
    const start = (by = cast.tess) => cast.run(by, startMake, { jointId, jobId })
    const both = await Promise.allSettled([start(), start(cast.sam)])
    expect(won(both)).toBe(1)
    expect(lost(both)).toMatchObject({ reason: { status: 400, errors: [{ path: 'reason' }] } })
    expect((await findJoint(scope(), jointId)).makes.map((make) => make.number)).toEqual([1])
  })

  it('record one preparation and one flare, each once', async () => {
    const { jobId, zone } = await aFreshJob(cast, `once-${kind}`)
    const { id: makeId } = await cast.run(cast.tess, startMake, { jointId: zone.joints.outdoorGas, jobId })
    const prepare = () => cast.run(cast.tess, recordPreparation, { makeId, allAsListed: true })
    const prepared = await Promise.allSettled([prepare(), prepare()])
    expect(won(prepared)).toBe(1)
    expect(lost(prepared)).toMatchObject({ reason: { code: 'step-out-of-order' } })
    const flare = {
      instrumentId: zone.instruments.flaringTool,
      method: 'powered',
      depthStopUsed: true,
    } as const
    const flared = await Promise.allSettled([
      cast.run(cast.tess, recordFlare, { makeId, ...flare }),
      cast.run(cast.sam, recordSeveral, { jobId, steps: [{ step: 'flare', makeId, ...flare }] }),
    ])
    expect(won(flared)).toBe(1)
    const [make] = (await findJoint(scope(), zone.joints.outdoorGas)).makes
    expect(make?.steps.map((step) => step.kind)).toEqual(['preparation', 'flare'])
  })

  it('never let work slip in behind what was judged at submission', async () => {
    const whole = await aWholeJob(cast, `slip-${kind}`)
    const low = () =>
      cast.run(cast.tess, recordTorque, {
        makeId: whole.made.indoorGas.makeId,
        indication: 'read',
        reading: { value: 20, unit: 'N.m' },
        instrumentId: whole.zone.instruments.torqueWrench,
      })
    const both = await Promise.allSettled([cast.run(cast.tess, submitJob, { jobId: whole.jobId }), low()])
    expect(won(both)).toBe(1)
    const failed = (await heldOn(cast, whole.jobId)).some(({ outcome }) => outcome === 'failed')
    // Either it was submitted and the torque refused, or the torque came first and held the submission.
    if (both[0]?.status === 'fulfilled') {
      expect(lost(both)).toMatchObject({ reason: { code: 'job-submitted' } })
      expect(failed).toBe(false)
    } else {
      expect(lost(both)).toMatchObject({ reason: { code: 'hold-points' } })
      expect(failed).toBe(true)
    }
  })

  it('leave every chain whole', async () => {
    expect(await faultsIn(cast)).toEqual([])
  })
})
