// Do instruments and their checks keep on each database, and does the record hold them?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { addInstrument } from '../../../server/commands/instruments/add-instrument.ts'
import { changeInstrument } from '../../../server/commands/instruments/change-instrument.ts'
import { recordCalibration } from '../../../server/commands/instruments/record-calibration.ts'
import { confirmationOf } from '../../../server/http/confirmation.ts'
import { BUILT_IN_POLICY } from '../../../server/rules/policy.ts'
import { findInstrument, listInstruments } from '../../../server/store/queries/instruments.ts'
import { verifyChain } from '../../../server/store/record.ts'
import { scopeOf } from '../../../server/store/store.ts'
import { aCast, type Cast, DAY } from '../../support/cast.ts'
import { usualInstruments } from '../../support/setups.ts'
import { STORE_KINDS } from '../../support/stores.ts'

describe.each(STORE_KINDS)('instruments on %s', (kind) => {
  let cast: Cast
  const scope = () => scopeOf(cast.machinery.store.reader(), cast.tess.companyId)
  beforeAll(async () => {
    cast = await aCast(kind)
  })
  afterAll(() => cast.remove())

  it('are all confirmed when they were checked as the policy asks', async () => {
    const ids = await usualInstruments(cast)
    for (const [name, id] of Object.entries(ids)) {
      const instrument = await findInstrument(scope(), id)
      expect([name, confirmationOf(instrument, BUILT_IN_POLICY, cast.clock.now).state]).toEqual([
        name,
        'confirmed',
      ])
    }
  })

  it('are listed in pages without one missing or twice', async () => {
    const seen: string[] = []
    let cursor: string | undefined
    do {
      const page = await listInstruments(scope(), { limit: 3, cursor })
      seen.push(...page.items.map((instrument) => instrument.id))
      cursor = page.nextCursor ?? undefined
    } while (cursor !== undefined)
    expect(seen).toHaveLength(7)
    expect(new Set(seen).size).toBe(7)
  })

  it('get one serial even when two people add it at once', async () => {
    const add = () =>
      cast.run(cast.tess, addInstrument, { kind: 'scale', name: 'Scale', serial: 'twice' }).then(
        () => 'added',
        (problem: { status: number }) => problem.status,
      )
    expect((await Promise.all([add(), add()])).toSorted()).toEqual([409, 'added'])
  })

  it('keep every check, and the chain of the company holds them', async () => {
    const wrench = await cast.run(cast.tess, addInstrument, {
      kind: 'torque-wrench',
      name: 'Wrench 7',
      serial: 'W7',
      fullScale: { value: 60, unit: 'ft.lbf' },
    })
    for (const days of [400, 40])
      await cast.run(cast.tess, recordCalibration, {
        instrumentId: wrench.id,
        at: new Date(cast.clock.now - days * DAY).toISOString(),
        result: days === 40 ? 'out-of-tolerance' : 'in-tolerance',
        basis: 'certificate',
        asFoundErrorPercent: days === 40 ? 9 : 1,
      })
    await cast.run(cast.sam, changeInstrument, { instrumentId: wrench.id, active: false })
    const kept = await findInstrument(scope(), wrench.id)
    expect(kept.active).toBe(false)
    expect(kept.fullScale).toBeCloseTo(60 * 1.355818, 3)
    expect(kept.calibrations.map((calibration) => calibration.points)).toEqual([
      [{ nominal: kept.fullScale, asFoundErrorPercent: 1, asLeftErrorPercent: null }],
      [{ nominal: kept.fullScale, asFoundErrorPercent: 9, asLeftErrorPercent: null }],
    ])
    expect(await verifyChain(scope(), cast.tess.companyId)).toEqual([])
  })
})
