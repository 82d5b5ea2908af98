// Instruments over both faces: figures in their own units, checks as facts, and how each stands today.

import { parse } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { newId } from '../../server/ids.ts'
import { verifyChain } from '../../server/store/record.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, type Cast, DAY, HOUR } from '../support/cast.ts'
import { twoFaces } from '../support/two-faces.ts'

let cast: Cast
let faces: Awaited<ReturnType<typeof twoFaces>>
beforeAll(async () => {
  cast = await aCast()
  faces = await twoFaces(cast)
})
afterAll(() => cast.remove())

let serial = 0
const WRENCH = { kind: 'torque-wrench', name: 'Wrench 7' }
const add = async (change: object = {}) => {
  serial += 1
  const answer = await faces.post(cast.tess, '/instruments', { ...WRENCH, serial: `S${serial}`, ...change })
  expect(answer.statusCode, answer.body).toBe(201)
  return answer.json()
}
const daysAgo = (days: number) => new Date(cast.clock.now - days * DAY).toISOString()
const CHECK = { result: 'in-tolerance', basis: 'certificate', reference: 'C-1' }
const check = (id: string, change: object = {}, player = cast.tess) =>
  faces.post(player, `/instruments/${id}/calibrations`, { at: daysAgo(10), ...CHECK, ...change })
const patch = (id: string, payload: object, player = cast.tess) =>
  faces.server.inject({
    method: 'PATCH',
    url: `/api/v1/instruments/${id}`,
    headers: { authorization: `Bearer ${player.token}` },
    payload,
  })
const state = async (id: string) => (await faces.get(cast.tess, `/instruments/${id}`)).json().confirmation

describe('an instrument', () => {
  it('keeps its figures as sent: in its own units, or as bare numbers in SI', async () => {
    const gauge = await add({
      kind: 'pressure-gauge',
      name: 'Gauge 2',
      accuracyPercent: 0.5,
      fullScale: { value: 800, unit: 'psi' },
      resolution: 1000,
    })
    expect(gauge).toMatchObject({
      accuracyPercent: 0.5,
      accuracyAbsolute: null,
      fullScale: { value: 800, unit: 'psi' },
      resolution: { value: 1000, unit: 'Pa' },
      active: true,
      confirmation: { state: 'never-calibrated', confirmed: false },
      calibrations: [],
    })
    const thermometer = await add({
      kind: 'thermometer',
      name: 'Thermometer',
      accuracyAbsolute: { value: 0.9, unit: 'degF.diff' },
    })
    expect(thermometer.accuracyAbsolute).toEqual({ value: 0.9, unit: 'degF.diff' })
    const { db, t } = scopeOf(cast.machinery.store.reader(), cast.tess.companyId)
    const rows = await db.select().from(t.instruments)
    // 1 psi is 6 894.757 Pa (NIST SP 811).
    expect(rows.find((row) => row.id === gauge.id)?.fullScale).toBeCloseTo(800 * 6894.757, -1)
    expect(rows.find((row) => row.id === thermometer.id)?.accuracyAbsolute).toBeCloseTo(0.5, 9)
  })

  it('has a serial of its own among its kind, whatever the case', async () => {
    await add({ serial: 'AbC-1' })
    const again = await faces.post(cast.tess, '/instruments', { ...WRENCH, serial: 'aBc-1' })
    expect([again.statusCode, again.json().code]).toEqual([409, 'serial-taken'])
    expect((await add({ kind: 'scale', serial: 'aBc-1' })).kind).toBe('scale')
  })

  it('answers a repeat with the first result', async () => {
    const body = { ...WRENCH, id: newId(), serial: 'once' }
    const first = await faces.post(cast.tess, '/instruments', body)
    const second = await faces.post(cast.tess, '/instruments', body)
    expect([first.statusCode, second.statusCode]).toEqual([201, 200])
    expect(second.json()).toEqual(first.json())
  })

  it('changes what is named; one way to say the accuracy replaces the other', async () => {
    const wrench = await add({ accuracyPercent: 4 })
    const changed = (await patch(wrench.id, { accuracyAbsolute: { value: 1, unit: 'N.m' } })).json()
    expect(changed).toMatchObject({ accuracyPercent: null, accuracyAbsolute: { value: 1, unit: 'N.m' } })
    const back = (await patch(wrench.id, { accuracyPercent: 6, name: 'Wrench 8', active: false })).json()
    expect(back).toMatchObject({
      accuracyPercent: 6,
      accuracyAbsolute: null,
      name: 'Wrench 8',
      active: false,
      serial: wrench.serial,
    })
    expect((await patch(wrench.id, { accuracyPercent: null })).json().accuracyPercent).toBeNull()
  })

  it.each([
    ['no kind', { kind: undefined }, 'kind'],
    ['an unknown kind', { kind: 'hammer' }, 'kind'],
    ['no serial', { serial: '' }, 'serial'],
    ['a negative accuracy', { accuracyPercent: -4 }, 'accuracyPercent'],
    ['an absurd accuracy', { accuracyPercent: 400 }, 'accuracyPercent'],
    ['an accuracy in words', { accuracyPercent: 'four' }, 'accuracyPercent'],
    ['the accuracy twice', { accuracyPercent: 4, accuracyAbsolute: 1 }, 'accuracyAbsolute'],
    ['a unit of another kind', { accuracyAbsolute: { value: 1, unit: 'psi' } }, 'accuracyAbsolute.unit'],
    ['a resolution of nothing', { resolution: 0 }, 'resolution'],
    ['a negative resolution', { resolution: { value: -1, unit: 'N.m' } }, 'resolution.value'],
    ['a wrench for a ship', { fullScale: { value: 9e9, unit: 'N.m' } }, 'fullScale.value'],
    ['half a day', { calibrationIntervalDays: 0.5 }, 'calibrationIntervalDays'],
    ['a century', { calibrationIntervalDays: 36_500 }, 'calibrationIntervalDays'],
    ['a field that is not known', { colour: 'red' }, 'colour'],
  ])('is refused with %s, and nothing is written', async (_what, change, path) => {
    const before = await faces.entries()
    const answer = await faces.post(cast.tess, '/instruments', { ...WRENCH, serial: 'bad', ...change })
    expect(answer.statusCode).toBe(400)
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toContain(path)
    expect(await faces.entries()).toBe(before)
  })
})

describe('a check', () => {
  it('confirms a wrench for the interval, shortened by its own', async () => {
    const { id } = await add()
    const answer = await check(id, { asFoundErrorPercent: 1.5 })
    expect(answer.statusCode).toBe(201)
    expect(answer.json()).toMatchObject({
      result: 'in-tolerance',
      points: [{ asFoundErrorPercent: 1.5, asLeftErrorPercent: null }],
      confirmation: { state: 'confirmed', dueSoon: false },
    })
    expect((await state(id)).confirmedUntil).toBe(new Date(cast.clock.now + 355 * DAY - 1).toISOString())
    await patch(id, { calibrationIntervalDays: 20 })
    expect(await state(id)).toMatchObject({
      state: 'confirmed',
      intervalDays: 20,
      confirmedUntil: new Date(cast.clock.now + 10 * DAY - 1).toISOString(),
    })
    await patch(id, { calibrationIntervalDays: 9 })
    expect(await state(id)).toMatchObject({ state: 'out-of-date', confirmed: false })
  })

  it('says when one is due soon', async () => {
    const { id } = await add()
    await check(id, { at: daysAgo(340) })
    expect(await state(id)).toMatchObject({ state: 'confirmed', dueSoon: true })
  })

  it('of a wrench made against nothing does not count', async () => {
    const { id } = await add()
    await check(id, { basis: 'own-check', reference: undefined })
    expect(await state(id)).toMatchObject({ state: 'never-calibrated', confirmedUntil: null })
    await check(id, { basis: 'own-check', reference: 'certified lever and weight' })
    expect((await state(id)).state).toBe('confirmed')
  })

  it('found out of tolerance forbids it until it is set right, and says the error in words', async () => {
    const { id } = await add()
    await check(id, { at: daysAgo(100) })
    const bad = await check(id, { result: 'out-of-tolerance', asFoundErrorPercent: 9 })
    // 38 shown is 38/1.09 = 34.9 applied (trade.md): 8.3 % less than shown.
    expect(bad.json().points[0].inWords).toBe('applies 8.3 % less than it shows')
    expect(await state(id)).toMatchObject({ state: 'out-of-tolerance', confirmed: false })
    await check(id, { at: daysAgo(1), result: 'adjusted', asFoundErrorPercent: 9, asLeftErrorPercent: 0.4 })
    expect((await state(id)).state).toBe('confirmed')
    const { calibrations } = (await faces.get(cast.tess, `/instruments/${id}`)).json()
    expect(calibrations.map((one: { result: string }) => one.result)).toEqual([
      'in-tolerance',
      'out-of-tolerance',
      'adjusted',
    ])
  })

  it('of a leak detector stands for the day alone; a cutter asks for none', async () => {
    const detector = await add({ kind: 'leak-detector' })
    await check(detector.id, { basis: 'own-check', at: new Date(cast.clock.now - HOUR).toISOString() })
    expect((await state(detector.id)).state).toBe('confirmed')
    const old = await add({ kind: 'leak-detector' })
    await check(old.id, { basis: 'own-check', at: daysAgo(2) })
    expect((await state(old.id)).state).toBe('out-of-date')
    expect((await state((await add({ kind: 'tube-cutter' })).id)).state).toBe('not-asked')
  })

  it('keeps several points as they were typed; a bare number is in the instrument’s unit', async () => {
    const { id } = await add()
    const answer = await check(id, {
      points: [
        { nominal: 20, asFoundErrorPercent: 2 },
        { nominal: { value: 30, unit: 'ft.lbf' }, asFoundErrorPercent: -3, asLeftErrorPercent: 0 },
      ],
    })
    expect(answer.json().points).toMatchObject([
      { nominal: { value: 20, unit: 'N.m' } },
      { nominal: { value: 30, unit: 'ft.lbf' }, asLeftErrorPercent: 0 },
    ])
  })

  it.each([
    ['no result', { result: undefined }, 'result'],
    ['an unknown result', { result: 'fine' }, 'result'],
    ['no basis', { basis: undefined }, 'basis'],
    ['a day to come', { at: '2031-01-01T00:00:00.000Z' }, 'at'],
    ['a day that is none', { at: '2026-02-30T00:00:00.000Z' }, 'at'],
    ['an error that leaves nothing', { asFoundErrorPercent: -100 }, 'asFoundErrorPercent'],
    ['an error in words', { asFoundErrorPercent: 'low' }, 'asFoundErrorPercent'],
    [
      'points and one error besides',
      { points: [{ nominal: 20, asFoundErrorPercent: 1 }], asFoundErrorPercent: 1 },
      'asFoundErrorPercent',
    ],
    ['what was left without what was found', { asLeftErrorPercent: 1 }, 'asFoundErrorPercent'],
    ['a point at nothing', { points: [{ nominal: 0, asFoundErrorPercent: 1 }] }, 'points.0.nominal'],
    [
      'a point in the wrong unit',
      { points: [{ nominal: { value: 1, unit: 'kg' }, asFoundErrorPercent: 1 }] },
      'points.0.nominal.unit',
    ],
    ['no points', { points: [] }, 'points'],
  ])('is refused with %s, and nothing is written', async (_what, change, path) => {
    const { id } = await add()
    const before = await faces.entries()
    const answer = await check(id, change)
    expect(answer.statusCode).toBe(400)
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toContain(path)
    expect(await faces.entries()).toBe(before)
  })

  it('is sealed on the company’s chain', async () => {
    const scope = scopeOf(cast.machinery.store.reader(), cast.tess.companyId)
    expect(await verifyChain(scope, cast.tess.companyId)).toEqual([])
  })
})

describe('who may', () => {
  it('keeps the warranty desk from writing, and shows a stranger nothing', async () => {
    const { id } = await add()
    expect((await faces.post(null, '/instruments', { ...WRENCH, serial: 'x' })).statusCode).toBe(401)
    expect((await faces.post(cast.wren, '/instruments', { ...WRENCH, serial: 'x' })).statusCode).toBe(403)
    expect((await check(id, {}, cast.wren)).statusCode).toBe(403)
    expect((await patch(id, { name: 'x' }, cast.wren)).statusCode).toBe(403)
    expect((await faces.look(cast.wren, `/instruments/${id}`)).statusCode).toBe(200)
    expect((await check(id, {}, cast.zoe)).statusCode).toBe(404)
    expect((await patch(id, { name: 'x' }, cast.zoe)).statusCode).toBe(404)
    expect((await faces.get(cast.zoe, `/instruments/${id}`)).statusCode).toBe(404)
    for (const path of ['', '/edit', '/calibrations/new'])
      expect((await faces.look(cast.zoe, `/instruments/${id}${path}`)).statusCode).toBe(404)
    expect((await faces.get(cast.zoe, '/instruments')).json().items).toEqual([])
  })
})

describe('a browser', () => {
  it('asks for the kind first, then for figures in its units', async () => {
    const first = parse((await faces.look(cast.tess, '/instruments/new')).body)
    expect(first.querySelectorAll('input[name=kind]')).toHaveLength(10)
    const page = parse((await faces.look(cast.tess, '/instruments/new?kind=scale')).body)
    expect(page.querySelector('select[name="accuracyAbsolute.unit"] option')?.text).toBe('g')
    const answer = await faces.send(cast.tess, '/instruments', {
      id: newId(),
      kind: 'scale',
      name: 'Scale 3',
      serial: 'SC3',
      'accuracyPercent#': '',
      'accuracyAbsolute.value': '10',
      'accuracyAbsolute.unit': 'g',
      'calibrationIntervalDays#': '',
    })
    expect(answer.statusCode).toBe(303)
    const scale = (await faces.get(cast.tess, `${answer.headers.location}`)).json()
    expect(scale).toMatchObject({ accuracyAbsolute: { value: 10, unit: 'g' }, calibrationIntervalDays: null })
  })

  it('records a check at several points, and says which one is wrong', async () => {
    const { id } = await add()
    const fields = {
      id: newId(),
      result: 'adjusted',
      basis: 'certificate',
      reference: 'C-9',
      'at@': '2026-03-01T09:30',
      _offset: '-60',
      'points.0.nominal.value': '',
      'points.0.nominal.unit': 'N.m',
      'points.0.asFoundErrorPercent#': '',
      'points.1.nominal.value': '20',
      'points.1.nominal.unit': 'N.m',
      'points.1.asFoundErrorPercent#': '-2,5',
      'points.1.asLeftErrorPercent#': '0',
    }
    const wrong = await faces.send(cast.tess, `/instruments/${id}/calibrations`, {
      ...fields,
      'points.1.asFoundErrorPercent#': '',
    })
    expect(wrong.statusCode).toBe(400)
    const page = parse(wrong.body)
    expect(page.querySelector('[name="points.1.asFoundErrorPercent#"]')?.getAttribute('aria-invalid')).toBe(
      'true',
    )
    expect(page.querySelector('input[name=result][checked]')?.getAttribute('value')).toBe('adjusted')
    const answer = await faces.send(cast.tess, `/instruments/${id}/calibrations`, fields)
    expect([answer.statusCode, answer.headers.location]).toEqual([303, `/instruments/${id}`])
    const { calibrations } = (await faces.get(cast.tess, `/instruments/${id}`)).json()
    expect(calibrations).toMatchObject([
      {
        at: '2026-03-01T08:30:00.000Z',
        points: [{ nominal: { value: 20, unit: 'N.m' }, asFoundErrorPercent: -2.5, asLeftErrorPercent: 0 }],
      },
    ])
  })

  it('changes one by its form; an emptied figure was taken away', async () => {
    const { id } = await add({ accuracyPercent: 4, resolution: { value: 0.5, unit: 'ft.lbf' } })
    const page = parse((await faces.look(cast.tess, `/instruments/${id}/edit`)).body)
    expect(page.querySelector('[name="resolution.value"]')?.getAttribute('value')).toBe('0.5')
    const answer = await faces.send(cast.tess, `/instruments/${id}`, {
      name: 'Wrench 9',
      'accuracyPercent#': '6',
      'resolution.value': '',
      'resolution.unit': 'ft.lbf',
      'calibrationIntervalDays#': '180',
      'active?': 'no',
    })
    expect(answer.statusCode).toBe(303)
    expect((await faces.get(cast.tess, `/instruments/${id}`)).json()).toMatchObject({
      name: 'Wrench 9',
      accuracyPercent: 6,
      resolution: null,
      calibrationIntervalDays: 180,
      active: false,
    })
  })

  it('lists what needs somebody first, and says so in words', async () => {
    const bad = await add({ name: 'Zz last by name', kind: 'press-tool' })
    await check(bad.id, { result: 'out-of-tolerance' })
    const good = await add({ name: 'Aa first by name', kind: 'press-tool' })
    await check(good.id, {})
    const page = parse((await faces.look(cast.tess, '/instruments?kind=press-tool')).body)
    expect(page.querySelectorAll('tbody tr').map((row) => row.querySelector('a')?.text)).toEqual([
      'Zz last by name',
      'Aa first by name',
    ])
    expect(page.querySelector('tbody tr')?.text).toContain('Out of tolerance: do not use it')
  })
})
