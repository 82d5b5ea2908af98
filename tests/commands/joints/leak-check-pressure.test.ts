// At which pressure does a leak check count as made, where nobody said? On both databases.

import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { recordJointLeakCheck, recordTorque } from '../../../server/commands/joints/record-steps.ts'
import { concludePressureTest } from '../../../server/commands/section-tests/conclude.ts'
import { aCast, type Cast, HOUR, MINUTE } from '../../support/cast.ts'
import { STORE_KINDS } from '../../support/stores.ts'
import { aFreshJob, makeJoint, pressureTest, type Work } from '../../support/worked.ts'

describe.each(STORE_KINDS)('a leak check on %s', (kind) => {
  let cast: Cast
  let work: Work
  let marks = 0
  beforeAll(async () => {
    cast = await aCast(kind)
  })
  afterAll(() => cast.remove())
  beforeEach(async () => {
    marks += 1
    work = await aFreshJob(cast, `${kind}-${marks}`)
  })
  const bubbles = async (more: object = {}) => {
    const { step } = await cast.run(cast.tess, recordJointLeakCheck, {
      jointId: work.zone.joints.outdoorGas,
      jobId: work.jobId,
      method: 'bubble',
      medium: 'nitrogen',
      result: 'none-found',
      ...more,
    } as never)
    if (step.kind !== 'leak-check') throw new Error('This is no leak check.')
    return step
  }

  it('takes the last reading of the test that runs over its joint, made here or not, and keeps that nobody typed it', async () => {
    const testId = await pressureTest(cast, work, { end: 4.1, conclude: false })
    const unmade = await bubbles()
    expect(unmade.body.gaugePressurePa).toBeCloseTo(4.1e6, 3)
    expect(unmade.typed).toEqual({})
    await makeJoint(cast, work, 'outdoorGas', { leakCheck: null })
    expect((await bubbles()).body.gaugePressurePa).toBeCloseTo(4.1e6, 3)
    expect((await bubbles({ gaugePressure: { value: 3, unit: 'MPa' } })).body.gaugePressurePa).toBeCloseTo(
      3e6,
      3,
    )
    expect((await bubbles({ medium: 'refrigerant' })).body.gaugePressurePa).toBeNull()
    await cast.run(cast.tess, concludePressureTest, { pressureTestId: testId })
    const concludedAt = cast.clock.now
    cast.clock.pass(HOUR)
    expect((await bubbles()).body.gaugePressurePa).toBeNull()
    // Entered in the evening: it was made while the test ran, when the gauge stood higher.
    const early = new Date(concludedAt - 40 * MINUTE).toISOString()
    expect((await bubbles({ performedAt: early })).body.gaugePressurePa).toBeCloseTo(4.16e6, 3)
  })

  it('and any other step has no witness in who did it', async () => {
    const made = await makeJoint(cast, work, 'outdoorGas', { leakCheck: null })
    await expect(
      cast.run(cast.tess, recordTorque, {
        makeId: made.makeId,
        indication: 'not-measured',
        reason: 'No room.',
        witnessedBy: cast.tess.crewId,
      }),
    ).rejects.toMatchObject({ status: 400, errors: [{ path: 'witnessedBy' }] })
  })
})
