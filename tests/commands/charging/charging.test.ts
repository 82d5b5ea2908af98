// Are charges and running checks recorded as they were? On both databases.

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { recordCharge } from '../../../server/commands/charging/record-charge.ts'
import { recordRunningCheck } from '../../../server/commands/charging/record-running-check.ts'
import { judgeCharge } from '../../../server/rules/judge-charge.ts'
import { judgeRunningCheck } from '../../../server/rules/judge-running-check.ts'
import { listCharges } from '../../../server/store/queries/charges.ts'
import { loadForJudging } from '../../../server/store/queries/judging.ts'
import { verifyChain } from '../../../server/store/record.ts'
import { scopeOf } from '../../../server/store/store.ts'
import { aCast, type Cast, DAY, NOON } from '../../support/cast.ts'
import { aSection, type ReadySection } from '../../support/section.ts'
import { STORE_KINDS } from '../../support/stores.ts'

describe.each(STORE_KINDS)('charging on %s', (kind) => {
  let cast: Cast
  let section: ReadySection
  beforeAll(async () => {
    cast = await aCast(kind)
    section = await aSection(cast)
  })
  afterAll(() => cast.remove())

  const scope = () => scopeOf(cast.store.store.reader(), cast.tess.companyId)
  const where = () => ({ systemId: section.systemId, jobId: section.jobId })

  it('counts what was released and what was weighed in', async () => {
    const released = await cast.run(cast.tess, recordCharge, { ...where(), direction: 'factory-released' })
    expect(released).toMatchObject({ source: 'factory', massKg: null })
    const weighed = await cast.run(cast.tess, recordCharge, {
      ...where(),
      direction: 'in',
      mass: { value: 50, unit: 'g' },
      scaleInstrumentId: section.scale,
      source: 'virgin',
      cylinderId: 'C-11',
    })
    expect(weighed.massKg).toBeCloseTo(0.05, 12)
    expect(weighed.typed).toEqual({ mass: { value: 50, unit: 'g' } })
    const { system, policy } = await loadForJudging(scope(), section.systemId)
    // 10 m, 7.5 m pre-charged, 20 g/m: 50 g to add to 900 g.
    expect(judgeCharge(system, { policy: policy.criteria, instruments: [] })).toMatchObject({
      verdict: 'within',
      required: { additionalKg: 0.05, totalKg: expect.closeTo(0.95, 9) },
    })
    expect(await verifyChain(scope(), section.systemId)).toEqual([])
  })

  it('refuses a weighing without a mass, and a scale that is none', async () => {
    const before = (await listCharges(scope(), [section.systemId])).get(section.systemId)?.length
    await expect(
      cast.run(cast.tess, recordCharge, { ...where(), direction: 'in', scaleInstrumentId: section.scale }),
    ).rejects.toMatchObject({ status: 400, errors: [{ path: 'mass' }] })
    await expect(
      cast.run(cast.tess, recordCharge, {
        ...where(),
        direction: 'in',
        mass: { value: 50, unit: 'g' },
        scaleInstrumentId: section.gauge,
      }),
    ).rejects.toMatchObject({ status: 400, errors: [{ path: 'scaleInstrumentId' }] })
    expect((await listCharges(scope(), [section.systemId])).get(section.systemId)?.length).toBe(before)
  })

  it('refuses a job of another system', async () => {
    const other = await aSection(cast)
    await expect(
      cast.run(cast.tess, recordCharge, {
        systemId: section.systemId,
        jobId: other.jobId,
        direction: 'factory-released',
      }),
    ).rejects.toMatchObject({ status: 409, code: 'not-on-this-job' })
  })

  it('keeps a running check and finds its subcooling', async () => {
    const check = await cast.run(cast.tess, recordRunningCheck, {
      ...where(),
      mode: 'cooling',
      steadyMinutes: 20,
      liquidLinePressure: { value: 2.4, unit: 'MPa' },
      liquidLineTemperature: { value: 34, unit: 'degC' },
    })
    const { system, policy } = await loadForJudging(scope(), section.systemId)
    const judged = judgeRunningCheck(check, system, policy.criteria)
    const [subcooling] = judged.differences
    // tests/reference/sat_R32.csv: 2.5013 MPa absolute boils at about 40.4 °C.
    expect(subcooling?.measuredK).toBeGreaterThan(6)
    expect(subcooling?.measuredK).toBeLessThan(6.8)
    expect(judged.verdict).toBe('within')
  })

  it('keeps the reason and the date when it can not be run today', async () => {
    const dueAt = new Date(NOON + 14 * DAY).toISOString()
    const check = await cast.run(cast.tess, recordRunningCheck, {
      ...where(),
      mode: 'heating',
      notPossible: { reason: 'No mains yet', dueAt },
    })
    expect(check.notPossible).toEqual({ reason: 'No mains yet', dueAt: NOON + 14 * DAY })
  })

  it('refuses a check in which nothing was read', async () => {
    await expect(
      cast.run(cast.tess, recordRunningCheck, { ...where(), mode: 'cooling', steadyMinutes: 20 }),
    ).rejects.toMatchObject({ status: 400 })
  })
})
