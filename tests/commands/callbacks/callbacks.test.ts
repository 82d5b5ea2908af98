// Does a callback keep what was found, whatever comes later, and does it close only with a story that fits?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { changeCallback } from '../../../server/commands/callbacks/change-callback.ts'
import { closeCallback } from '../../../server/commands/callbacks/close-callback.ts'
import { openCallback } from '../../../server/commands/callbacks/open-callback.ts'
import { openJob } from '../../../server/commands/jobs/open-job.ts'
import { newId } from '../../../server/ids.ts'
import { verifyChain } from '../../../server/store/record.ts'
import { scopeOf } from '../../../server/store/store.ts'
import { aCast, type Cast, DAY, NOON } from '../../support/cast.ts'
import { aJobAtASite, type SingleZone, singleZone } from '../../support/setups.ts'
import { STORE_KINDS } from '../../support/stores.ts'

const LEAK = { part: 'joint', method: 'bubble', cause: 'crack', where: 'flare-face' } as const

describe.each(STORE_KINDS)('a callback on %s', (kind) => {
  let cast: Cast
  let zone: SingleZone
  let other: SingleZone
  let siteId: string
  let jobId: string
  beforeAll(async () => {
    cast = await aCast(kind)
    const first = await aJobAtASite(cast)
    siteId = first.siteId
    jobId = first.jobId
    zone = await singleZone(cast, { jobId, mark: 'one' })
    const second = await aJobAtASite(cast)
    other = await singleZone(cast, {
      jobId: second.jobId,
      mark: 'two',
      sheetId: zone.sheetId,
      instruments: zone.instruments,
    })
  })
  afterAll(() => cast.remove())

  const scope = () => scopeOf(cast.machinery.store.reader(), cast.wren.companyId)
  const open = (more: object = {}) =>
    cast.run(cast.wren, openCallback, { systemId: zone.systemId, symptom: 'Cools no more', ...more })
  const entriesOf = async (callbackId: string) => {
    const { db, t } = scope()
    return (await db.select().from(t.entries)).filter(({ subjectId }) => subjectId === callbackId)
  }
  const howMany = async () => {
    const { db, t } = scope()
    const counts = [t.callbacks, t.callbackFindings, t.entries].map(
      async (table) => (await db.select().from(table)).length,
    )
    return Promise.all(counts)
  }

  it('is taken in with what is said alone, and stands as not known yet', async () => {
    const callback = await open()
    expect(callback).toMatchObject({
      outcome: 'not-yet-known',
      reportedAt: NOON,
      closedAt: null,
      findings: [],
    })
    const [entry] = await entriesOf(callback.id)
    expect(entry).toMatchObject({ kind: 'callback-opened', chainId: zone.systemId })
    // What the customer said is in the row; the chain has only a hash of it.
    expect(JSON.stringify(entry)).not.toContain('Cools no more')
  })

  it('takes findings one after the other, each sealed, and none is ever changed', async () => {
    const { id } = await open()
    await cast.run(cast.wren, changeCallback, {
      callbackId: id,
      found: [{ ...LEAK, jointId: zone.joints.indoorGas, size: '12 g/yr' }],
    })
    cast.clock.pass(1000)
    const after = await cast.run(cast.wren, changeCallback, {
      callbackId: id,
      found: [{ part: 'port-core', method: 'refrigerant-detector', cause: 'a grain of sand' }],
    })
    expect(after.outcome).toBe('found')
    expect(after.findings.map(({ part, jointId, cause }) => [part, jointId, cause])).toEqual([
      ['joint', zone.joints.indoorGas, 'crack'],
      ['port-core', null, 'a grain of sand'],
    ])
    const entries = (await entriesOf(id)).map((entry) => entry.content)
    for (const finding of after.findings)
      expect(entries.filter((content) => content.includes(finding.id))).toHaveLength(1)
    await expect(
      cast.store.store.execute(`update callback_findings set cause = 'burr' where callback_id = '${id}'`),
    ).rejects.toThrow()
    await expect(
      cast.store.store.execute(`delete from callback_findings where callback_id = '${id}'`),
    ).rejects.toThrow()
    expect(await verifyChain(scope(), zone.systemId)).toEqual([])
  })

  it.each([
    [
      'a joint of another system',
      () => ({ found: [{ ...LEAK, jointId: other.joints.indoorGas }] }),
      404,
      'found.0.jointId',
    ],
    ['a joint that is not there', () => ({ found: [{ ...LEAK, jointId: newId() }] }), 404, 'found.0.jointId'],
    ['a leak found and nothing named', () => ({ outcome: 'found' }), 400, 'outcome'],
    ['no leak found and a leak named', () => ({ outcome: 'none-found', found: [LEAK] }), 400, 'outcome'],
    [
      'a report from the future',
      () => ({ reportedAt: new Date(NOON + 40 * DAY).toISOString() }),
      400,
      'reportedAt',
    ],
    ['a system that is not there', () => ({ systemId: newId() }), 404, 'systemId'],
    [
      'a negative mass',
      () => ({ refrigerantAdded: { value: -1, unit: 'kg' } }),
      400,
      'refrigerantAdded.value',
    ],
    [
      'a mass in a unit of time',
      () => ({ refrigerantAdded: { value: 1, unit: 'h' } }),
      400,
      'refrigerantAdded.unit',
    ],
    [
      'a claim due before it was sent',
      () => ({
        claim: {
          maker: 'Larkspur',
          number: '7',
          status: 'sent',
          sentAt: '2026-03-02T08:00:00Z',
          dueAt: '2026-03-01T08:00:00Z',
        },
      }),
      400,
      'claim.dueAt',
    ],
  ])('refuses %s, and nothing is written', async (_what, change, status, path) => {
    const before = await howMany()
    await expect(open(change())).rejects.toMatchObject({
      status,
      errors: expect.arrayContaining([expect.objectContaining({ path })]),
    })
    expect(await howMany()).toEqual(before)
  })

  it('closes with what leaked and why, once, and nothing is added afterwards', async () => {
    const { id } = await open()
    await expect(
      cast.run(cast.wren, closeCallback, { callbackId: id, outcome: 'found' }),
    ).rejects.toMatchObject({ status: 400, errors: [expect.objectContaining({ path: 'outcome' })] })
    const closed = await cast.run(cast.sam, closeCallback, {
      callbackId: id,
      outcome: 'found',
      found: [{ ...LEAK, jointId: zone.joints.indoorGas }],
      responsibility: 'workmanship',
      refrigerantAdded: { value: 14, unit: 'oz' },
      labourTime: { value: 90, unit: 'min' },
    })
    expect(closed).toMatchObject({
      outcome: 'found',
      closedBy: cast.sam.memberId,
      detail: {
        responsibility: 'workmanship',
        labourS: 5400,
        typed: { refrigerantAdded: { value: 14, unit: 'oz' }, labourTime: { value: 90, unit: 'min' } },
      },
    })
    expect(closed.detail.refrigerantAddedKg).toBeCloseTo(0.396893, 5)
    expect((await entriesOf(id)).map((entry) => entry.kind)).toEqual(['callback-opened', 'callback-closed'])
    for (const again of [
      () => cast.run(cast.wren, closeCallback, { callbackId: id, outcome: 'found' }),
      () => cast.run(cast.wren, changeCallback, { callbackId: id, found: [LEAK] }),
    ])
      await expect(again()).rejects.toMatchObject({ status: 409, code: 'callback-closed' })
  })

  it.each(['none-found', 'not-yet-known'] as const)('closes honestly with %s', async (outcome) => {
    const { id } = await open()
    expect(await cast.run(cast.wren, closeCallback, { callbackId: id, outcome })).toMatchObject({
      outcome,
      findings: [],
    })
  })

  it('of two who close it at once, one closes it', async () => {
    const { id } = await open()
    const both = await Promise.allSettled([
      cast.run(cast.wren, closeCallback, { callbackId: id, outcome: 'none-found' }),
      cast.run(cast.sam, closeCallback, { callbackId: id, outcome: 'not-yet-known' }),
    ])
    expect(both.map(({ status }) => status).sort()).toEqual(['fulfilled', 'rejected'])
    expect((await entriesOf(id)).filter((entry) => entry.kind === 'callback-closed')).toHaveLength(1)
  })

  it('leaves what is not named, and forgets what is taken away', async () => {
    const { id } = await open({
      refrigerantRecovered: { value: 300, unit: 'g' },
      claim: { maker: 'Larkspur', number: '7', status: 'to-send', amount: '90 EUR' },
    })
    const change = (more: object) => cast.run(cast.wren, changeCallback, { callbackId: id, ...more })
    const first = await change({ symptom: 'Ices up' })
    expect(first).toMatchObject({
      symptom: 'Ices up',
      detail: { refrigerantRecoveredKg: 0.3, claim: { number: '7', amount: '90 EUR', dueAt: null } },
    })
    const second = await change({ refrigerantRecovered: null, claim: null })
    expect(second.detail).toMatchObject({ refrigerantRecoveredKg: null, claim: null, typed: {} })
  })

  it('is repaired by a job on its system: opened for it, or named afterwards', async () => {
    const { id } = await open()
    const repair = await cast.run(cast.tess, openJob, {
      siteId,
      kind: 'repair',
      systemIds: [zone.systemId],
      callbackId: id,
    })
    const second = await open()
    const named = await cast.run(cast.wren, changeCallback, { callbackId: second.id, repairJobId: jobId })
    expect(named.repairJobIds).toEqual([jobId])
    await expect(
      cast.run(cast.wren, changeCallback, { callbackId: second.id, repairJobId: repair.id }),
    ).rejects.toMatchObject({ status: 400, errors: [expect.objectContaining({ path: 'repairJobId' })] })
    const elsewhere = await cast.run(cast.wren, openCallback, { systemId: other.systemId, symptom: 'x' })
    for (const refused of [
      () => cast.run(cast.tess, openJob, { siteId, kind: 'repair', callbackId: elsewhere.id }),
      () => cast.run(cast.wren, changeCallback, { callbackId: elsewhere.id, repairJobId: repair.id }),
    ])
      await expect(refused()).rejects.toMatchObject({ status: 400 })
  })
})
