// A wrench is found 9 % off: sixty joints on nine jobs are judged anew, followed up, settled, and the recall closed.

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { addInstrument } from '../../server/commands/instruments/add-instrument.ts'
import { recordCalibration } from '../../server/commands/instruments/record-calibration.ts'
import { signOffJob } from '../../server/commands/release/sign-off-job.ts'
import { submitJob } from '../../server/commands/release/submit-job.ts'
import { newId } from '../../server/ids.ts'
import { verifyChain } from '../../server/store/record.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, type Cast, DAY, HOUR } from '../support/cast.ts'
import { aJobAtASite, type SingleZone, singleZone } from '../support/setups.ts'
import { STORE_KINDS } from '../support/stores.ts'
import { twoFaces } from '../support/two-faces.ts'
import { Visitor } from '../support/visitor.ts'
import { aWholeJob, makeJoint, PLACES } from '../support/worked.ts'

interface Item {
  evidenceId: string
  jobId: string
  tag: string
  judgement: string
  shown: string
  real: string
  reason: string
  disposition: string | null
  note: string | null
}
interface Whole {
  since: string
  recall: { id: string; closedAt: string | null } | null
  counts: Record<string, number>
  items: Item[]
}

/**
 * What the wrench showed, and what becomes of it: it applied the reading over 1.09, and scatters by 4 % of that.
 * 1/4 in wants 14–18 N·m: 16 → 14.68 ± 0.59; 15.5 → 14.22 ± 0.57; 15 → 13.76.
 * 3/8 in wants 34–42 N·m: 40 → 36.70 ± 1.47; 38 → 34.86 ± 1.39; 37 → 33.94.
 */
const READINGS = {
  Liquid: [16, 15.5, 15],
  Gas: [40, 38, 37],
} as const
const BY_HAND: Record<string, [real: string, judgement: string]> = {
  '16.0 N·m': ['14.7 N·m', 'stands'],
  '15.5 N·m': ['14.2 N·m', 'doubtful'],
  '15.0 N·m': ['13.8 N·m', 'fails'],
  '40.0 N·m': ['36.7 N·m', 'stands'],
  '38.0 N·m': ['34.9 N·m', 'doubtful'],
  '37.0 N·m': ['33.9 N·m', 'fails'],
}

describe.each(STORE_KINDS)('the recall of a wrench, on %s', (kind) => {
  let cast: Cast
  let faces: Awaited<ReturnType<typeof twoFaces>>
  let wrench: string
  const zones: { zone: SingleZone; jobId: string }[] = []
  const whole = async (path: string): Promise<Whole> =>
    (await faces.get(cast.sam, `${path}?limit=200`)).json()
  const check = (result: 'in-tolerance' | 'out-of-tolerance', asFoundErrorPercent: number) =>
    cast.run(cast.sam, recordCalibration, {
      instrumentId: wrench,
      result,
      basis: 'certificate',
      asFoundErrorPercent,
      reference: 'C-9',
    })

  beforeAll(async () => {
    cast = await aCast(kind)
    faces = await twoFaces(cast)
    wrench = (
      await cast.run(cast.sam, addInstrument, {
        kind: 'torque-wrench',
        name: 'Wrench 9',
        serial: 'TW-9',
        accuracyPercent: 4,
      })
    ).id
    // Nine jobs, six of them with two systems of four joints: sixty joints.
    let instruments: SingleZone['instruments'] | undefined
    const before = async () => {
      const { jobId } = await aJobAtASite(cast)
      const zone = await singleZone(cast, { jobId, mark: 'before' })
      instruments = { ...zone.instruments, torqueWrench: wrench }
      await makeJoint(cast, { jobId, zone: { ...zone, instruments } }, 'outdoorGas')
    }
    await before()
    cast.clock.pass(HOUR)
    await check('in-tolerance', 1)
    cast.clock.pass(DAY)
    for (let job = 0; job < 9; job += 1) {
      const { jobId } = await aJobAtASite(cast, { reference: `R-${job}` })
      for (let system = 0; system < (job < 6 ? 2 : 1); system += 1) {
        const zone = await singleZone(cast, {
          jobId,
          mark: `${job}-${system}`,
          ...(instruments ? { instruments } : {}),
        })
        zones.push({ zone, jobId })
      }
    }
    for (const [index, work] of zones.entries())
      for (const place of PLACES) {
        const value = READINGS[place.endsWith('Gas') ? 'Gas' : 'Liquid'][index % 3] ?? 0
        await makeJoint(cast, work, place, {
          torque: { indication: 'read', reading: { value, unit: 'N.m' }, instrumentId: wrench },
          leakCheck: null,
        })
      }
    cast.clock.pass(DAY)
  }, 300_000)
  afterAll(() => cast.remove())

  it('has nothing to recall before a check found it off', async () => {
    expect((await faces.get(cast.sam, `/instruments/${wrench}/recall`)).statusCode).toBe(404)
    const early = await faces.post(cast.sam, `/instruments/${wrench}/recall`, {})
    expect([early.statusCode, early.json().code]).toEqual([409, 'nothing-to-recall'])
  })

  it('judges all sixty as they come out by hand, and none of those before the last good check', async () => {
    await check('out-of-tolerance', 9)
    const found = await whole(`/instruments/${wrench}/recall`)
    expect(found.counts).toEqual({ fails: 20, doubtful: 20, stands: 20 })
    expect(new Set(found.items.map(({ jobId }) => jobId)).size).toBe(9)
    for (const { shown, real, judgement } of found.items) expect([real, judgement]).toEqual(BY_HAND[shown])
    expect(found.recall).toBeNull()
    const [first, second] = await Promise.all(
      ['limit=40', 'limit=40&cursor=40'].map(async (query) =>
        (await faces.get(cast.sam, `/instruments/${wrench}/recall?${query}`)).json(),
      ),
    )
    expect([first.nextCursor, second.nextCursor]).toEqual(['40', null])
    expect([...first.items, ...second.items]).toEqual(found.items)
    expect(first.counts).toEqual(found.counts)
    const page = await new Visitor(await cast.server()).go('/recalls')
    expect(page.url).toMatch(/^\/sign-in/)
  })

  it('is opened once, by a manager, on the page of the instrument', async () => {
    const sam = new Visitor(await cast.server())
    sam.carry(cast.sam.cookie)
    const instrument = await sam.go(`/instruments/${wrench}`)
    expect(instrument.text).toContain('A check found it off.')
    const before = await sam.go(`/instruments/${wrench}/recall`)
    expect(before.text).toContain('it applies 8.3 % less than it shows')
    expect(before.text).toContain('60 records: 20 fails, 20 doubtful, 20 stands')
    const opened = await sam.send(before, `/instruments/${wrench}/recall`)
    expect(opened.url).toMatch(/^\/recalls\//)
    expect(opened.text).toContain('40 to settle')
    const twice = await faces.post(cast.sam, `/instruments/${wrench}/recall`, {})
    expect([twice.statusCode, twice.json().code]).toEqual([409, 'recall-open'])
    const tess = new Visitor(await cast.server())
    tess.carry(cast.tess.cookie)
    const read = await tess.go(opened.url)
    expect(read.status).toBe(200)
    expect(read.page.querySelectorAll('main form')).toHaveLength(0)
  })

  it('opens one follow-up job a site, on the systems in question', async () => {
    const { recall } = await whole(`/instruments/${wrench}/recall`)
    const answer = await faces.post(cast.sam, `/recalls/${recall?.id}/follow-up-jobs`, {})
    expect(answer.statusCode, answer.body).toBe(200)
    const { jobIds } = answer.json()
    // Each third system only had what stands.
    const sites = new Set(zones.filter((_zone, index) => index % 3 !== 0).map(({ jobId }) => jobId)).size
    expect(jobIds).toHaveLength(sites)
    const job = (await faces.get(cast.sam, `/jobs/${jobIds[0]}`)).json()
    expect(job).toMatchObject({ kind: 'maintenance', reference: 'Recall: Wrench 9', stage: 'open' })
    expect(job.systems?.length ?? job.systemIds?.length).toBeGreaterThan(0)
    const again = await faces.post(cast.sam, `/recalls/${recall?.id}/follow-up-jobs`, {})
    expect([again.statusCode, again.json().code]).toEqual([409, 'nothing-to-follow-up'])
    // A job that was opened decides nothing yet.
    const early = await faces.post(cast.sam, `/recalls/${recall?.id}/close`, {})
    expect([early.statusCode, early.json().code]).toEqual([409, 'recall-unsettled'])
  })

  it('keeps what was marked and typed when a reason is missing, and settles what was marked', async () => {
    const { recall, items } = await whole(`/instruments/${wrench}/recall`)
    const path = `/recalls/${recall?.id}`
    const failing = items.filter(({ judgement }) => judgement === 'fails')
    const sam = new Visitor(await cast.server())
    sam.carry(cast.sam.cookie)
    const first = failing[0]?.evidenceId ?? ''
    const wrong = await sam.send(path, `${path}/decisions`, {
      [`_record.${first}`]: true,
      disposition: 'put-right',
    })
    expect(wrong.status).toBe(400)
    expect(wrong.page.querySelector(`input[name="_record.${first}"]`)?.hasAttribute('checked')).toBe(true)
    const right = await sam.send(wrong, `${path}/decisions`, {
      note: 'Torqued again with wrench 4: 38.2 N·m',
    })
    expect(right.status, right.text).toBe(200)
    expect(right.text).toContain('Put right on site. Torqued again with wrench 4')
    const none = await faces.post(cast.sam, `${path}/decisions`, {
      evidenceIds: [],
      disposition: 'put-right',
      note: 'x',
    })
    expect(none.json().errors).toEqual([{ path: 'evidenceIds', message: 'Choose at least one.' }])
    const strange = await faces.post(cast.sam, `${path}/decisions`, {
      evidenceIds: [newId()],
      disposition: 'put-right',
      note: 'x',
    })
    expect(strange.statusCode).toBe(404)
  })

  it('no longer counts a joint that was made again', async () => {
    const work = zones[2]
    if (!work) throw new Error('no third system')
    const other = { ...work.zone.instruments, torqueWrench: (await anotherWrench()).id }
    await makeJoint(cast, { ...work, zone: { ...work.zone, instruments: other } }, 'indoorGas', {
      leakCheck: null,
      reason: 'After the recall of wrench 9',
    })
    const found = await whole(`/instruments/${wrench}/recall`)
    expect(found.items).toHaveLength(59)
    expect(found.counts).toEqual({ fails: 19, doubtful: 20, stands: 20 })
  })

  it('is closed once everything else is settled, and its chain holds', async () => {
    const { recall, items } = await whole(`/instruments/${wrench}/recall`)
    const path = `/recalls/${recall?.id}`
    const left = items.filter((item) => item.judgement !== 'stands' && item.disposition !== 'put-right')
    const settled = await faces.post(cast.sam, `${path}/decisions`, {
      evidenceIds: left.map(({ evidenceId }) => evidenceId),
      disposition: 'left-as-is',
      note: 'Held at the pressure test, checked joint by joint.',
    })
    expect(settled.statusCode, settled.body).toBe(200)
    const sam = new Visitor(await cast.server())
    sam.carry(cast.sam.cookie)
    const closed = await sam.send(path, `${path}/close`)
    expect(closed.text).toContain('Closed on')
    const late = await faces.post(cast.sam, `${path}/close`, {})
    expect([late.statusCode, late.json().code]).toEqual([409, 'recall-closed'])
    const list = (await faces.get(cast.sam, '/recalls')).json()
    expect(list.items).toMatchObject([{ counts: { fails: 20, doubtful: 20, stands: 20 }, undecided: 0 }])
    const { companyId } = cast.sam
    expect(await verifyChain(scopeOf(cast.store.store.reader(), companyId), companyId)).toEqual([])
  })

  const anotherWrench = () =>
    cast.run(cast.sam, addInstrument, {
      kind: 'torque-wrench',
      name: 'Wrench 4',
      serial: 'TW-4',
      accuracyPercent: 4,
    })
})

describe('a certificate that rests on an instrument under recall', () => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast()
  })
  afterAll(() => cast.remove())

  it('says so on its public page until everything is settled', async () => {
    const faces = await twoFaces(cast)
    const { jobId, zone } = await aWholeJob(cast, 'sealed')
    await cast.run(cast.tess, submitJob, { jobId })
    const { certificate } = await cast.run(cast.sam, signOffJob, { jobId })
    const standing = async () =>
      (await new Visitor(await cast.server()).go(`/verify/${certificate.code}`)).text
    expect(await standing()).toMatch(/genuine/i)
    cast.clock.pass(DAY)
    const gauge = zone.instruments.pressureGauge
    await cast.run(cast.sam, recordCalibration, {
      instrumentId: gauge,
      result: 'out-of-tolerance',
      basis: 'certificate',
      asFoundErrorPercent: 40,
    })
    expect(await standing()).toMatch(/genuine/i)
    const opened = await faces.post(cast.sam, `/instruments/${gauge}/recall`, {})
    expect(opened.statusCode, opened.body).toBe(201)
    expect(await standing()).toMatch(/under recall/i)
    const found: Whole = (await faces.get(cast.sam, `/recalls/${opened.json().id}`)).json()
    expect(found.items).toMatchObject([{ kind: 'pressure-test', judgement: 'doubtful' }])
    const settled = await faces.post(cast.sam, `/recalls/${opened.json().id}/decisions`, {
      evidenceIds: found.items.map(({ evidenceId }) => evidenceId),
      disposition: 'put-right',
      note: 'Tested again with gauge 2 on 6 March: holds.',
    })
    expect(settled.statusCode, settled.body).toBe(200)
    expect(await standing()).toMatch(/genuine/i)
  })
})
