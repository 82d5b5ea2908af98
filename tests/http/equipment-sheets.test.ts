// Equipment sheets over both faces: kept as typed and in SI, checked as a whole, with their source.

import { parse } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { newId } from '../../server/ids.ts'
import { aCast, type Cast } from '../support/cast.ts'
import { SHEET } from '../support/setups.ts'
import { twoFaces } from '../support/two-faces.ts'

let cast: Cast
let faces: Awaited<ReturnType<typeof twoFaces>>
beforeAll(async () => {
  cast = await aCast()
  faces = await twoFaces(cast)
})
afterAll(() => cast.remove())

const add = async (change: object = {}) =>
  (await faces.post(cast.tess, '/equipment-sheets', { ...SHEET, ...change })).json()
const patch = (id: string, payload: object, token = cast.tess.token) =>
  faces.server.inject({
    method: 'PATCH',
    url: `/api/v1/equipment-sheets/${id}`,
    headers: { authorization: `Bearer ${token}` },
    payload,
  })

describe('a program', () => {
  it('gets back exactly what it sent, and the same in SI', async () => {
    const answer = await faces.post(cast.tess, '/equipment-sheets', {
      ...SHEET,
      testPressureGauge: { value: 600, unit: 'psi' },
      torque: [{ tubeOd: { value: 6.35, unit: 'mm' }, low: 10.3, high: 13.3, unit: 'ft.lbf' }],
      subcooling: { low: 5, high: 11, unit: 'degF.diff' },
    })
    expect(answer.statusCode).toBe(201)
    const sheet = answer.json()
    expect(sheet).toMatchObject({
      ...SHEET,
      testPressureGauge: { value: 600, unit: 'psi' },
      torque: [{ tubeOd: { value: 6.35, unit: 'mm' }, low: 10.3, high: 13.3, unit: 'ft.lbf' }],
      subcooling: { low: 5, high: 11, unit: 'degF.diff' },
    })
    // 1 psi is 6 894.757 Pa, 1 ft·lbf is 1.355 818 N·m (NIST SP 811); 9 °F apart are 5 K.
    expect(sheet.si.testPressureGaugePa).toBeCloseTo(600 * 6894.757, -1)
    expect(sheet.si.torqueNm[0].lowNm).toBeCloseTo(10.3 * 1.355818, 4)
    expect(sheet.si.subcoolingK).toEqual({
      low: expect.closeTo(5 / 1.8, 9),
      high: expect.closeTo(11 / 1.8, 9),
    })
    expect((await faces.get(cast.wren, `/equipment-sheets/${sheet.id}`)).json()).toEqual(sheet)
  })

  it('answers a repeat with the first result', async () => {
    const body = { ...SHEET, id: newId() }
    const first = await faces.post(cast.tess, '/equipment-sheets', body)
    const second = await faces.post(cast.tess, '/equipment-sheets', body)
    expect([first.statusCode, second.statusCode]).toEqual([201, 200])
    expect(second.json()).toEqual(first.json())
    const other = await faces.post(cast.tess, '/equipment-sheets', { ...body, model: 'LS-50' })
    expect([other.statusCode, other.json().code]).toEqual([409, 'id-reused'])
  })

  it('changes one figure and keeps the others; null takes one away', async () => {
    const { id } = await add()
    const changed = (await patch(id, { factoryCharge: { value: 2.2, unit: 'lb' }, maxLength: null })).json()
    expect(changed.factoryCharge).toEqual({ value: 2.2, unit: 'lb' })
    expect(changed.si.factoryChargeKg).toBeCloseTo(0.9979, 4)
    expect(changed).not.toHaveProperty('maxLength')
    expect(changed.si.maxLengthM).toBeNull()
    expect(changed.torque).toEqual(SHEET.torque)
  })

  it('is refused a change that does not fit what stays', async () => {
    const { id } = await add()
    const before = await faces.entries()
    const answer = await patch(id, { maxCharge: { value: 900, unit: 'g' } })
    expect([answer.statusCode, answer.json().errors[0].path]).toEqual([400, 'maxCharge.value'])
    expect((await patch(id, { source: null })).statusCode).toBe(400)
    expect((await patch(id, { maxRiseOutdoorAbove: { value: 3, unit: 'm' } })).json().errors[0].path).toBe(
      'maxRise',
    )
    expect(await faces.entries()).toBe(before)
  })

  const sized = (low: unknown, high: unknown, unit: unknown = 'N.m') => ({
    torque: [{ tubeOd: { value: 0.25, unit: 'in' }, low, high, unit }],
  })
  it.each([
    ['no source', { source: undefined }, 'source'],
    ['no page', { source: { document: 'Manual' } }, 'source.page'],
    ['a refrigerant that is not known', { refrigerant: 'R-12' }, 'refrigerant'],
    ['a range upside down', sized(18, 14), 'torque.0.high'],
    ['a range without a unit', sized(14, 18, null), 'torque.0.unit'],
    ['a range in the wrong unit', sized(14, 18, 'MPa'), 'torque.0.unit'],
    ['a torque in words', sized('tight', 18), 'torque.0.low'],
    ['a negative torque', sized(-2, 18), 'torque.0.low'],
    ['an absurd torque', sized(14, 18_000), 'torque.0.high'],
    [
      'a tube like a drum',
      { torque: [{ ...sized(1, 2).torque[0], tubeOd: { value: 2, unit: 'm' } }] },
      'torque.0.tubeOd.value',
    ],
    ['a negative charge', { factoryCharge: { value: -1, unit: 'kg' } }, 'factoryCharge.value'],
    ['a charge without a unit', { factoryCharge: { value: 1 } }, 'factoryCharge.unit'],
    ['a bare number', { testPressureGauge: 4.15 }, 'testPressureGauge'],
    ['an absurd pressure', { testPressureGauge: { value: 500, unit: 'MPa' } }, 'testPressureGauge.value'],
    ['a largest charge below the factory charge', { maxCharge: { value: 1, unit: 'g' } }, 'maxCharge.value'],
    ['a limit below its target', { vacuumLimit: { value: 100, unit: 'micron' } }, 'vacuumLimit.value'],
    [
      'an adder in the wrong unit',
      { chargeAdders: [{ liquidOd: { value: 0.25, unit: 'in' }, perLength: { value: 20, unit: 'g' } }] },
      'chargeAdders.0.perLength.unit',
    ],
    ['both kinds of rise', { maxRiseOutdoorBelow: { value: 3, unit: 'm' } }, 'maxRise'],
    ['a field that is not known', { colour: 'grey' }, 'colour'],
  ])('is refused %s, and nothing is written', async (_what, change, path) => {
    const before = await faces.entries()
    const answer = await faces.post(cast.tess, '/equipment-sheets', { ...SHEET, ...change })
    expect(answer.statusCode).toBe(400)
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toContain(path)
    expect(await faces.entries()).toBe(before)
  })
})

describe('who may', () => {
  it('lets the warranty desk read but not write, and shows a stranger nothing', async () => {
    const { id } = await add()
    expect((await faces.post(null, '/equipment-sheets', SHEET)).statusCode).toBe(401)
    expect((await faces.post(cast.wren, '/equipment-sheets', SHEET)).statusCode).toBe(403)
    expect((await patch(id, { model: 'x' }, cast.wren.token)).statusCode).toBe(403)
    expect((await faces.look(cast.wren, `/equipment-sheets/${id}`)).statusCode).toBe(200)
    expect((await faces.look(cast.wren, `/equipment-sheets/${id}/edit`)).statusCode).toBe(403)
    expect((await faces.get(cast.zoe, `/equipment-sheets/${id}`)).statusCode).toBe(404)
    expect((await faces.look(cast.zoe, `/equipment-sheets/${id}`)).statusCode).toBe(404)
    expect((await faces.look(cast.zoe, `/equipment-sheets/${id}/edit`)).statusCode).toBe(404)
    expect((await patch(id, { model: 'x' }, cast.zoe.token)).statusCode).toBe(404)
    expect((await faces.get(cast.zoe, '/equipment-sheets')).json().items).toEqual([])
  })
})

describe('a browser', () => {
  /** What the form would send as it stands. */
  const fieldsOf = (html: string) => {
    const fields: Record<string, string> = {}
    const form = parse(html).querySelector('main form')
    for (const input of form?.querySelectorAll('input,textarea') ?? [])
      fields[input.getAttribute('name') ?? ''] = input.getAttribute('value') ?? input.text
    for (const select of form?.querySelectorAll('select') ?? []) {
      const chosen = select.querySelector('option[selected]') ?? select.querySelector('option')
      fields[select.getAttribute('name') ?? ''] = chosen?.getAttribute('value') ?? ''
    }
    return fields
  }

  it('enters a sheet by the form; rows left empty are no rows', async () => {
    const fields = fieldsOf((await faces.look(cast.tess, '/equipment-sheets/new')).body)
    const answer = await faces.send(cast.tess, '/equipment-sheets', {
      ...fields,
      maker: 'Larkspur',
      model: 'LS-50',
      kind: 'wall split',
      'source.document': 'Manual',
      'source.page': '9',
      'torque.1.low#': '34',
      'torque.1.high#': '42,5',
      'factoryCharge.value': '1,2',
      'factoryCharge.unit': 'kg',
    })
    expect(answer.statusCode).toBe(303)
    const sheet = (await faces.get(cast.tess, `${answer.headers.location}`)).json()
    expect(sheet).toMatchObject({
      refrigerant: 'R-32',
      torque: [{ tubeOd: { value: 0.375, unit: 'in' }, low: 34, high: 42.5, unit: 'N.m' }],
      factoryCharge: { value: 1.2, unit: 'kg' },
    })
    expect(sheet).not.toHaveProperty('flareDiameter')
    expect(sheet).not.toHaveProperty('chargeAdders')
  })

  it('says beside the row what is wrong with it, also when rows above are empty', async () => {
    const fields = fieldsOf((await faces.look(cast.tess, '/equipment-sheets/new')).body)
    const answer = await faces.send(cast.tess, '/equipment-sheets', {
      ...fields,
      maker: 'Larkspur',
      model: 'LS-50',
      kind: 'wall split',
      'source.document': 'Manual',
      'source.page': '9',
      'torque.3.low#': '80',
      'torque.3.high#': '60',
    })
    expect(answer.statusCode).toBe(400)
    const page = parse(answer.body)
    expect(page.querySelector('input[name="torque.3.high#"]')?.getAttribute('aria-invalid')).toBe('true')
    expect(page.querySelector('input[name="torque.3.high#"]')?.getAttribute('value')).toBe('60')
    expect(page.querySelector('input[name="torque.0.high#"]')?.getAttribute('aria-invalid')).toBeUndefined()
    expect(page.querySelector('.message')?.text).toContain('upper end')
  })

  it('sends the edit form back unchanged and changes nothing', async () => {
    const before = await add({ subcooling: { low: 4, high: 8, unit: 'K' } })
    const page = await faces.look(cast.tess, `/equipment-sheets/${before.id}/edit`)
    const answer = await faces.send(cast.tess, `/equipment-sheets/${before.id}`, fieldsOf(page.body))
    expect(answer.statusCode).toBe(303)
    expect((await faces.get(cast.tess, `/equipment-sheets/${before.id}`)).json()).toEqual(before)
  })

  it('shows each figure as typed beside SI', async () => {
    const { id } = await add({ testPressureGauge: { value: 600, unit: 'psi' } })
    const page = parse((await faces.look(cast.tess, `/equipment-sheets/${id}`)).body)
    const row = page.querySelectorAll('tr').find((one) => one.text.includes('Test pressure'))
    expect(row?.querySelectorAll('td').map((cell) => cell.text.replaceAll('\u00a0', ' '))).toEqual([
      '600 psi',
      '4.137 MPa',
    ])
  })
})
