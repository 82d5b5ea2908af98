// Systems, units and joints over both faces: added on a job, dated, numbered, never overwritten.

import { eq as eqId } from 'drizzle-orm'
import { parse } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { newId } from '../../server/ids.ts'
import { scopeOf } from '../../server/store/store.ts'
import type { JobStage } from '../../server/vocabulary.ts'
import { aCast, type Cast, DAY } from '../support/cast.ts'
import { aJobAtASite, inches, type SingleZone, singleZone } from '../support/setups.ts'
import { twoFaces } from '../support/two-faces.ts'

let cast: Cast
let faces: Awaited<ReturnType<typeof twoFaces>>
let jobId: string
let siteId: string
let zone: SingleZone
beforeAll(async () => {
  cast = await aCast()
  faces = await twoFaces(cast)
  const opened = await aJobAtASite(cast, { reference: 'NR-104' })
  jobId = opened.jobId
  siteId = opened.siteId
  zone = await singleZone(cast, { jobId })
  cast.clock.pass(60_000)
})
afterAll(() => cast.remove())

const patch = (path: string, payload: object, player = cast.tess) =>
  faces.server.inject({
    method: 'PATCH',
    url: `/api/v1${path}`,
    headers: { authorization: `Bearer ${player.token}` },
    payload,
  })
const iso = (at: number) => new Date(at).toISOString()
const SYSTEM = { name: 'Shop', refrigerant: 'R-32' }
const UNIT = { role: 'indoor', model: 'LS-25', serial: 'Kx-9' }
const joint = () => ({
  lineSetId: zone.lineSetId,
  place: 'coupling in the loft',
  line: 'gas',
  tubeOd: inches(0.375),
  kind: 'brazed',
  origin: 'field',
})

describe('a system', () => {
  it('is added at the job’s site with its outdoor unit, and read back whole', async () => {
    const answer = await faces.post(cast.tess, `/jobs/${jobId}/systems`, {
      ...SYSTEM,
      equipmentSheetId: zone.sheetId,
      outdoorModel: 'LS-35 outdoor',
      outdoorSerial: 'OUT-77',
    })
    expect(answer.statusCode).toBe(201)
    const system = answer.json()
    expect(system).toMatchObject({
      siteId,
      tagPrefix: 'NR2',
      refrigerant: 'R-32',
      units: [{ role: 'outdoor', serial: 'OUT-77', removedAt: null }],
      lineSets: [],
      joints: [],
    })
    expect((await faces.get(cast.wren, `/systems/${system.id}`)).json()).toEqual(system)
    const site = (await faces.get(cast.tess, `/sites/${siteId}`)).json()
    expect(site.systems.map((one: { id: string }) => one.id)).toContain(system.id)
  })

  it('answers a repeat with the first result', async () => {
    const body = { ...SYSTEM, id: newId() }
    const first = await faces.post(cast.tess, `/jobs/${jobId}/systems`, body)
    const second = await faces.post(cast.tess, `/jobs/${jobId}/systems`, body)
    expect([first.statusCode, second.statusCode]).toEqual([201, 200])
    expect(second.json()).toEqual(first.json())
  })

  it('takes a prefix of one’s own, once', async () => {
    const own = { ...SYSTEM, tagPrefix: 'shop7' }
    expect((await faces.post(cast.tess, `/jobs/${jobId}/systems`, own)).json().tagPrefix).toBe('SHOP7')
    const again = await faces.post(cast.tess, `/jobs/${jobId}/systems`, own)
    expect([again.statusCode, again.json().code]).toEqual([409, 'tag-prefix-taken'])
  })

  it('is not added to a job that is waiting or sealed', async () => {
    const other = (await aJobAtASite(cast)).jobId
    const stand = (stage: JobStage) =>
      cast.machinery.store.transaction(async (session) => {
        await session.db.update(session.t.jobs).set({ stage }).where(eqId(session.t.jobs.id, other))
      })
    for (const [stage, code] of [
      ['sealed', 'job-sealed'],
      ['submitted', 'job-submitted'],
    ] as const) {
      await stand(stage)
      const before = await faces.entries()
      const answer = await faces.post(cast.tess, `/jobs/${other}/systems`, SYSTEM)
      expect([answer.statusCode, answer.json().code]).toEqual([409, code])
      expect(await faces.entries()).toBe(before)
    }
  })

  it('refuses a sheet for another refrigerant, and changes name and sheet', async () => {
    const system = (
      await faces.post(cast.tess, `/jobs/${jobId}/systems`, { ...SYSTEM, refrigerant: 'R-410A' })
    ).json()
    const wrong = await patch(`/systems/${system.id}`, { equipmentSheetId: zone.sheetId })
    expect([wrong.statusCode, wrong.json().errors[0].path]).toEqual([409, 'equipmentSheetId'])
    expect((await patch(`/systems/${system.id}`, { name: 'Back shop' })).json().name).toBe('Back shop')
    const without = await patch(`/systems/${zone.systemId}`, { equipmentSheetId: null })
    expect(without.json().equipmentSheetId).toBeNull()
    const back = await patch(`/systems/${zone.systemId}`, { equipmentSheetId: zone.sheetId })
    expect(back.json().equipmentSheetId).toBe(zone.sheetId)
  })

  it.each([
    ['no name', { name: undefined }, 'name', 400],
    ['no refrigerant', { refrigerant: undefined }, 'refrigerant', 400],
    ['one that is not known', { refrigerant: 'R-12' }, 'refrigerant', 400],
    ['a model without a serial', { outdoorModel: 'LS' }, 'outdoorSerial', 400],
    ['a serial without a model', { outdoorSerial: '1' }, 'outdoorModel', 400],
    ['a prefix with a hyphen', { tagPrefix: 'NR-1' }, 'tagPrefix', 400],
    ['a sheet that is not there', { equipmentSheetId: newId() }, 'equipmentSheetId', 404],
    ['a field that is not known', { site: 'x' }, 'site', 400],
  ])('is refused with %s, and nothing is written', async (_what, change, path, status) => {
    const before = await faces.entries()
    const answer = await faces.post(cast.tess, `/jobs/${jobId}/systems`, { ...SYSTEM, ...change })
    expect(answer.statusCode).toBe(status)
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toContain(path)
    expect(await faces.entries()).toBe(before)
  })
})

describe('a unit', () => {
  const aUnit = async () => (await faces.post(cast.tess, `/systems/${zone.systemId}/units`, UNIT)).json()

  it('is added, replaced and taken out; every serial stays', async () => {
    const first = await aUnit()
    cast.clock.pass(60_000)
    const second = await faces.post(cast.tess, `/systems/${zone.systemId}/units`, {
      ...UNIT,
      serial: 'KX-10',
      replacesUnitId: first.id,
      reason: 'Fan seized',
      warrantyStart: '2026-03-01T00:00:00.000Z',
      warrantyEnd: '2031-03-01T00:00:00.000Z',
      registeredWithMaker: true,
    })
    expect(second.statusCode).toBe(201)
    expect(second.json()).toMatchObject({ replacesUnitId: first.id, registeredWithMaker: true })
    const { units } = (await faces.get(cast.tess, `/systems/${zone.systemId}`)).json()
    expect(units.find((unit: { id: string }) => unit.id === first.id)).toMatchObject({
      serial: 'Kx-9',
      removalReason: 'Fan seized',
      removedAt: iso(cast.clock.now),
    })
    const removal = await faces.post(cast.tess, `/units/${second.json().id}/removal`, {
      reason: 'Room given up',
    })
    expect(removal.statusCode).toBe(201)
    expect(removal.json()).toMatchObject({ removalReason: 'Room given up', removedAt: iso(cast.clock.now) })
  })

  it('is found by its serial in lower case', async () => {
    const { db, t } = scopeOf(cast.machinery.store.reader(), cast.tess.companyId)
    const rows = await db.select().from(t.units).where(eqId(t.units.serialLower, 'kx-9'))
    expect(rows.length).toBeGreaterThan(0)
  })

  it('can’t be taken out before it came or in the future', async () => {
    const { id } = await aUnit()
    for (const at of [cast.clock.now - 3650 * DAY, cast.clock.now + DAY]) {
      const answer = await faces.post(cast.tess, `/units/${id}/removal`, { reason: 'x', removedAt: iso(at) })
      expect([answer.statusCode, answer.json().errors[0].path]).toEqual([400, 'removedAt'])
    }
  })

  it.each([
    ['an unknown role', { role: 'attic' }, 'role', 400],
    ['no serial', { serial: '' }, 'serial', 400],
    ['an installation tomorrow', { installedAt: '2031-01-01T00:00:00.000Z' }, 'installedAt', 400],
    ['a day without a zone', { installedAt: '2026-03-01T10:00:00' }, 'installedAt', 400],
    [
      'a warranty that ends before it begins',
      { warrantyStart: '2026-03-01T00:00:00Z', warrantyEnd: '2025-03-01T00:00:00Z' },
      'warrantyEnd',
      400,
    ],
    ['a unit to replace that is not there', { replacesUnitId: newId() }, 'replacesUnitId', 404],
  ])('is refused with %s, and nothing is written', async (_what, change, path, status) => {
    const before = await faces.entries()
    const answer = await faces.post(cast.tess, `/systems/${zone.systemId}/units`, { ...UNIT, ...change })
    expect(answer.statusCode).toBe(status)
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toContain(path)
    expect(await faces.entries()).toBe(before)
  })

  it('does not take the place of a unit with another role', async () => {
    const answer = await faces.post(cast.tess, `/systems/${zone.systemId}/units`, {
      ...UNIT,
      replacesUnitId: zone.outdoorUnitId,
    })
    expect([answer.statusCode, answer.json().errors[0].path]).toEqual([400, 'replacesUnitId'])
  })
})

describe('an extra joint', () => {
  it('gets the next number, and can be retired on an open job', async () => {
    const answer = await faces.post(cast.tess, `/systems/${zone.systemId}/joints`, joint())
    expect(answer.statusCode).toBe(201)
    expect(answer.json()).toMatchObject({
      tag: 'NR1-8',
      number: 8,
      indoors: true,
      tubeOd: { value: 0.375, unit: 'in' },
    })
    const retired = await faces.post(cast.tess, `/joints/${answer.json().id}/retire`, {
      jobId,
      reason: 'Cut out with the old tube',
    })
    expect(retired.statusCode).toBe(201)
    expect(retired.json()).toMatchObject({ tag: 'NR1-8', retiredReason: 'Cut out with the old tube' })
    // A retired joint keeps its number for ever.
    const next = await faces.post(cast.tess, `/systems/${zone.systemId}/joints`, joint())
    expect(next.json().tag).toBe('NR1-9')
  })

  it('is retired only on a job that has its system in scope', async () => {
    const other = (await aJobAtASite(cast)).jobId
    const path = `/joints/${zone.joints.indoorGas}/retire`
    const elsewhere = await faces.post(cast.tess, path, { jobId: other, reason: 'x' })
    expect([elsewhere.statusCode, elsewhere.json().code]).toEqual([409, 'not-on-this-job'])
    const nowhere = await faces.post(cast.tess, path, { jobId: newId(), reason: 'x' })
    expect([nowhere.statusCode, nowhere.json().errors[0].path]).toEqual([404, 'jobId'])
    expect((await faces.post(cast.tess, path, { jobId })).json().errors[0].path).toBe('reason')
  })

  it.each([
    ['no place', { place: undefined }, 'place', 400],
    ['an unknown line', { line: 'water' }, 'line', 400],
    ['an unknown kind', { kind: 'glued' }, 'kind', 400],
    ['an unknown origin', { origin: 'here' }, 'origin', 400],
    ['a tube without a unit', { tubeOd: { value: 0.375 } }, 'tubeOd.unit', 400],
    ['a tube like a drum', { tubeOd: { value: 375, unit: 'in' } }, 'tubeOd.value', 400],
    ['a negative tube', { tubeOd: { value: -1, unit: 'mm' } }, 'tubeOd.value', 400],
    ['a line set that is not there', { lineSetId: newId() }, 'lineSetId', 404],
  ])('is refused with %s, and nothing is written', async (_what, change, path, status) => {
    const before = await faces.entries()
    const answer = await faces.post(cast.tess, `/systems/${zone.systemId}/joints`, { ...joint(), ...change })
    expect(answer.statusCode).toBe(status)
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toContain(path)
    expect(await faces.entries()).toBe(before)
  })
})

describe('who may', () => {
  it('asks for a sign-in, keeps the warranty desk from writing and lets it look', async () => {
    expect((await faces.post(null, `/jobs/${jobId}/systems`, SYSTEM)).statusCode).toBe(401)
    expect((await faces.post(cast.wren, `/jobs/${jobId}/systems`, SYSTEM)).statusCode).toBe(403)
    expect((await faces.post(cast.wren, `/systems/${zone.systemId}/units`, UNIT)).statusCode).toBe(403)
    expect((await faces.post(cast.wren, `/systems/${zone.systemId}/joints`, joint())).statusCode).toBe(403)
    expect((await patch(`/systems/${zone.systemId}`, { name: 'x' }, cast.wren)).statusCode).toBe(403)
    const page = await faces.look(cast.wren, `/systems/${zone.systemId}`)
    expect(page.statusCode).toBe(200)
    expect(parse(page.body).querySelectorAll('main form')).toHaveLength(0)
    expect(page.body).not.toContain('Add a line set')
  })

  it('shows a stranger nothing on either face', async () => {
    const unit = zone.outdoorUnitId
    const answers = [
      faces.get(cast.zoe, `/systems/${zone.systemId}`),
      faces.look(cast.zoe, `/systems/${zone.systemId}`),
      faces.look(cast.zoe, `/systems/${zone.systemId}/edit`),
      faces.look(cast.zoe, `/systems/${zone.systemId}/units/new`),
      faces.look(cast.zoe, `/systems/${zone.systemId}/joints/new`),
      faces.look(cast.zoe, `/jobs/${jobId}/systems/new`),
      faces.look(cast.zoe, `/units/${unit}/removal`),
      faces.look(cast.zoe, `/joints/${zone.joints.indoorGas}/retire`),
      faces.post(cast.zoe, `/jobs/${jobId}/systems`, SYSTEM),
      faces.post(cast.zoe, `/systems/${zone.systemId}/units`, UNIT),
      faces.post(cast.zoe, `/systems/${zone.systemId}/joints`, { ...joint(), lineSetId: undefined }),
      faces.post(cast.zoe, `/units/${unit}/removal`, { reason: 'x' }),
      faces.post(cast.zoe, `/joints/${zone.joints.indoorGas}/retire`, { jobId, reason: 'x' }),
      patch(`/systems/${zone.systemId}`, { name: 'x' }, cast.zoe),
    ]
    const before = await faces.entries()
    for (const answer of await Promise.all(answers)) expect(answer.statusCode).toBe(404)
    expect(await faces.entries()).toBe(before)
  })
})

describe('a browser', () => {
  it('adds a system by its form and is led on to its line set', async () => {
    const page = parse((await faces.look(cast.tess, `/jobs/${jobId}/systems/new`)).body)
    const id = page.querySelector('input[name=id]')?.getAttribute('value') ?? ''
    const answer = await faces.send(cast.tess, `/jobs/${jobId}/systems`, {
      id,
      name: 'Upstairs',
      refrigerant: 'R-32',
      equipmentSheetId: '',
      outdoorModel: '',
      outdoorSerial: '',
      tagPrefix: '',
    })
    expect([answer.statusCode, answer.headers.location]).toEqual([
      303,
      `/systems/${id}/line-sets/new?job=${jobId}`,
    ])
  })

  it('keeps the form filled when it is refused', async () => {
    const answer = await faces.send(cast.tess, `/jobs/${jobId}/systems`, {
      id: newId(),
      name: 'Upstairs',
      refrigerant: 'R-290',
      equipmentSheetId: zone.sheetId,
    })
    expect(answer.statusCode).toBe(409)
    const page = parse(answer.body)
    expect(page.querySelector('input[name=name]')?.getAttribute('value')).toBe('Upstairs')
    expect(page.querySelector('select[name=refrigerant] option[selected]')?.text).toBe('R-290')
    expect(page.querySelector('#f-equipmentSheetId-error')?.text).toContain('R-32')
  })

  it('shows the system as piped, with its units and joints', async () => {
    const page = parse((await faces.look(cast.tess, `/systems/${zone.systemId}`)).body)
    expect(page.querySelector('.pipe-strip-full')).not.toBeNull()
    expect(page.text).toContain('OUT-1')
    expect(page.querySelectorAll('a.tag').map((tag) => tag.text)).toContain('NR1-4')
    expect(page.text).toContain('Retired 4 March 2026: Cut out with the old tube')
  })

  it('replaces a unit, adds a joint and retires it by form', async () => {
    const indoor = zone.indoorUnitId
    const replaced = await faces.send(cast.tess, `/systems/${zone.systemId}/units`, {
      id: newId(),
      role: 'indoor',
      replacesUnitId: indoor,
      model: 'LS-35 indoor',
      serial: 'IN-3',
      reason: 'Warranty',
      'installedAt@': '',
      _offset: '0',
    })
    expect([replaced.statusCode, replaced.headers.location]).toEqual([303, `/systems/${zone.systemId}`])
    const id = newId()
    const added = await faces.send(cast.tess, `/systems/${zone.systemId}/joints`, {
      id,
      lineSetId: zone.lineSetId,
      line: 'liquid',
      place: 'elbow behind the cupboard',
      kind: 'brazed',
      tubeOd: '0.25 in',
      origin: 'field',
      'indoors?': 'no',
    })
    expect(added.statusCode).toBe(303)
    const { joints } = (await faces.get(cast.tess, `/systems/${zone.systemId}`)).json()
    expect(joints.find((one: { id: string }) => one.id === id)).toMatchObject({
      line: 'liquid',
      indoors: false,
    })
    const page = await faces.look(cast.tess, `/joints/${id}/retire`)
    expect(parse(page.body).querySelector('input[name=jobId]')?.getAttribute('value')).toBe(jobId)
    const retired = await faces.send(cast.tess, `/joints/${id}/retire`, {
      id: newId(),
      jobId,
      reason: 'Rerouted',
      'retiredAt@': '2026-03-04T15:01',
      _offset: '0',
    })
    expect(retired.statusCode).toBe(303)
  })
})
