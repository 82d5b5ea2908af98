// Callbacks over both faces: taken in on the telephone, filled with what was found, repaired, closed.

import type { FastifyInstance } from 'fastify'
import { parse } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { newId } from '../../server/ids.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, asBrowser, asProgram, type Cast, type Player } from '../support/cast.ts'
import { aJobAtASite, type SingleZone, singleZone } from '../support/setups.ts'

let cast: Cast
let server: FastifyInstance
let zone: SingleZone
beforeAll(async () => {
  cast = await aCast()
  server = await cast.server()
  const { jobId } = await aJobAtASite(cast)
  zone = await singleZone(cast, { jobId })
})
afterAll(() => cast.remove())

const send = (url: string, payload: object, player: Player = cast.wren, method: 'POST' | 'PATCH' = 'POST') =>
  server.inject({ method, url: `/api/v1${url}`, headers: asProgram(player), payload })
const take = async (more: object = {}) =>
  (await send('/callbacks', { systemId: zone.systemId, symptom: 'Cools no more', ...more })).json()
const page = async (url: string, player: Player = cast.wren) =>
  server.inject({ url, headers: asBrowser(player) })
const post = (url: string, fields: Record<string, string>, player: Player = cast.wren) =>
  server.inject({
    method: 'POST',
    url,
    headers: { ...asBrowser(player), 'content-type': 'application/x-www-form-urlencoded' },
    payload: new URLSearchParams(fields).toString(),
  })
const howMany = async () => {
  const { db, t } = scopeOf(cast.machinery.store.reader(), cast.wren.companyId)
  return [(await db.select().from(t.callbacks)).length, (await db.select().from(t.callbackFindings)).length]
}

describe('a program', () => {
  it('takes one in, adds what was found, closes it, and reads it back', async () => {
    const id = newId()
    const body = { id, systemId: zone.systemId, symptom: 'Cools no more' }
    const first = await send('/callbacks', body)
    expect(first.statusCode).toBe(201)
    expect(first.json()).toMatchObject({
      id,
      outcome: 'not-yet-known',
      found: [],
      claim: null,
      repairJobId: null,
      closedAt: null,
    })
    const repeat = await send('/callbacks', body)
    expect([repeat.statusCode, repeat.json()]).toEqual([200, first.json()])
    expect((await send('/callbacks', { ...body, symptom: 'Other' })).json().code).toBe('id-reused')
    const found = {
      part: 'joint',
      jointId: zone.joints.indoorGas,
      where: 'flare-face',
      method: 'bubble',
      cause: 'short-flare',
    }
    const changed = await send(`/callbacks/${id}`, { found: [found] }, cast.wren, 'PATCH')
    expect(changed.json()).toMatchObject({ outcome: 'found', found: [{ ...found, size: null }] })
    const closed = await send(`/callbacks/${id}/close`, {
      outcome: 'found',
      responsibility: 'workmanship',
      refrigerantAdded: { value: 350, unit: 'g' },
      claim: { maker: 'Larkspur', number: 'C-1', status: 'sent', sentAt: '2026-03-01T08:00:00Z' },
    })
    expect(closed.statusCode).toBe(200)
    const read = await server.inject({ url: `/api/v1/callbacks/${id}`, headers: asProgram(cast.tess) })
    expect(read.json()).toEqual(closed.json())
    expect(read.json()).toMatchObject({
      refrigerantAdded: { value: 350, unit: 'g' },
      claim: { sentAt: '2026-03-01T08:00:00.000Z', dueAt: null, amount: null },
      closedBy: cast.wren.memberId,
    })
    expect(read.json()).not.toHaveProperty('detail')
  })

  it('pages through the list, newest report first, by state and by system', async () => {
    const old = await take({ reportedAt: '2025-11-01T08:00:00Z' })
    const list = async (query: string) =>
      (await server.inject({ url: `/api/v1/callbacks?${query}`, headers: asProgram(cast.wren) })).json()
    const all = (await list('limit=200')).items as { id: string; reportedAt: string }[]
    expect(all.at(-1)?.id).toBe(old.id)
    expect(all.map((one) => one.reportedAt)).toEqual(
      all
        .map((one) => one.reportedAt)
        .sort()
        .reverse(),
    )
    const first = await list('limit=1')
    const second = await list(`limit=200&cursor=${first.nextCursor}`)
    expect([...first.items, ...second.items].map((one: { id: string }) => one.id)).toEqual(
      all.map(({ id }) => id),
    )
    const closed = (await list('state=closed')).items as { closedAt: string | null }[]
    expect(closed.length).toBeGreaterThan(0)
    expect(closed.every((one) => one.closedAt !== null)).toBe(true)
    expect((await list(`systemId=${zone.systemId}`)).items).toHaveLength(all.length)
    expect((await list(`systemId=${newId()}`)).items).toEqual([])
  })

  it.each([
    ['nothing said', { symptom: undefined }, 'symptom'],
    ['a number for what is said', { symptom: 7 }, 'symptom'],
    ['no system', { systemId: undefined }, 'systemId'],
    ['an outcome nobody knows', { outcome: 'maybe' }, 'outcome'],
    ['a part nobody knows', { found: [{ part: 'soul', method: 'bubble', cause: 'x' }] }, 'found.0.part'],
    ['a finding without a cause', { found: [{ part: 'coil', method: 'bubble' }] }, 'found.0.cause'],
    ['the wrong unit', { labourTime: { value: 1, unit: 'kg' } }, 'labourTime.unit'],
    ['a negative time', { labourTime: { value: -1, unit: 'h' } }, 'labourTime.value'],
    ['an absurd mass', { refrigerantAdded: { value: 1e9, unit: 'kg' } }, 'refrigerantAdded.value'],
    ['the future', { reportedAt: '2199-01-01T00:00:00Z' }, 'reportedAt'],
    ['a field that is not known', { colour: 'red' }, 'colour'],
  ])('is refused %s, and nothing is written', async (_what, change, path) => {
    const before = await howMany()
    const answer = await send('/callbacks', { systemId: zone.systemId, symptom: 'x', ...change })
    expect(answer.statusCode).toBe(400)
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toContain(path)
    expect(await howMany()).toEqual(before)
  })
})

describe('who may', () => {
  it('asks for a sign-in, lets a technician read only, and shows a stranger nothing', async () => {
    const { id } = await take()
    expect((await server.inject({ url: '/api/v1/callbacks' })).statusCode).toBe(401)
    const before = await howMany()
    const body = { systemId: zone.systemId, symptom: 'x' }
    expect((await send('/callbacks', body, cast.tess)).statusCode).toBe(403)
    expect((await send(`/callbacks/${id}`, { symptom: 'x' }, cast.tess, 'PATCH')).statusCode).toBe(403)
    expect((await page('/callbacks/new', cast.tess)).statusCode).toBe(403)
    expect((await page(`/callbacks/${id}`, cast.tess)).body).not.toContain('Close the callback')
    expect((await page('/jobs', cast.tess)).body).not.toContain('href="/callbacks"')
    expect((await page('/jobs', cast.wren)).body).toContain('href="/callbacks"')
    for (const url of [`/callbacks/${id}`, `/api/v1/callbacks/${id}`]) {
      const headers = url.startsWith('/api') ? asProgram(cast.zoe) : asBrowser(cast.zoe)
      expect((await server.inject({ url, headers })).statusCode).toBe(404)
    }
    expect(await howMany()).toEqual(before)
  })
})

const WORK = {
  _form: 'work',
  'refrigerantAdded.value': '',
  'refrigerantAdded.unit': 'g',
  'labourTime.value': '',
  'labourTime.unit': 'h',
  'partsReplaced.0.part': '',
  'partsReplaced.0.oldSerial': '',
  'claim.maker': '',
  'claim.number': '',
  'claim.status': 'to-send',
}

describe('warranty, as far as it is recorded', () => {
  const units = async () =>
    (await server.inject({ url: `/api/v1/systems/${zone.systemId}`, headers: asProgram(cast.wren) })).json()
      .units as { id: string; role: string; warrantyEnd: string | null }[]
  const outdoor = async () => (await units()).find(({ role }) => role === 'outdoor')?.id ?? ''
  const intake = async (player = cast.wren) =>
    parse((await page(`/callbacks/new?system=${zone.systemId}`, player)).body)

  it('is said to be not recorded before anybody entered it, and is entered where it is missed', async () => {
    const before = await intake()
    expect(before.querySelector('#warranty ~ table tbody tr')?.text).toMatch(/Not recorded\. Installed on/)
    const unitId = await outdoor()
    const stated = await post(`/units/${unitId}/warranty?system=${zone.systemId}`, {
      _form: 'warranty',
      _unit: unitId,
      warrantyStart: '2026-01-10',
      warrantyEnd: '2031-01-09',
      registeredWithMaker: 'true',
    })
    expect([stated.statusCode, stated.headers.location]).toEqual([
      303,
      `/callbacks/new?system=${zone.systemId}`,
    ])
    const row = (await intake()).querySelector('#warranty ~ table tbody tr')?.text ?? ''
    // From 4 March 2026, the day of the cast, to 9 January 2031: 301 days of 2026 after it, 365 + 366 + 365 + 365, and 9.
    expect(row).toContain('Yes, until 9 January 2031: 1772 days left')
    expect(row).toContain('By 9 January 2031, the last day of its warranty')
    expect(before.querySelector('form[action="/callbacks"] textarea[name=symptom]')).not.toBeNull()
  })

  it('gives way to the day that the claim itself names, on the callback', async () => {
    const { id } = await take({
      claim: { maker: 'Larkspur', status: 'to-send', dueAt: '2026-04-01T12:00:00Z' },
    })
    const shown = parse((await page(`/callbacks/${id}`)).body)
    expect(shown.querySelector('#warranty ~ table tbody tr')?.text).toContain(
      'By 1 April 2026, as the claim says',
    )
    // Whoever may not change it reads what the desk has in its form.
    expect((await page(`/callbacks/${id}`, cast.tess)).body).toContain('(no number yet)')
  })

  it('refuses an end before its start beside the field, and a technician, and writes nothing', async () => {
    const unitId = await outdoor()
    const before = await units()
    const bad = await post(`/units/${unitId}/warranty?system=${zone.systemId}`, {
      _form: 'warranty',
      _unit: unitId,
      warrantyStart: '2026-01-10',
      warrantyEnd: '2025-01-09',
    })
    expect(bad.statusCode).toBe(400)
    const field = parse(bad.body).querySelector('.field-wrong input')
    expect([field?.getAttribute('name'), field?.getAttribute('value')]).toEqual(['warrantyEnd', '2025-01-09'])
    const body = { registeredWithMaker: false }
    expect((await send(`/units/${unitId}/warranty`, body, cast.tess)).statusCode).toBe(403)
    expect(await units()).toEqual(before)
  })

  it('says what to do when a part that was replaced is a whole unit', async () => {
    const { id } = await take({
      partsReplaced: [{ part: 'outdoor unit', oldSerial: 'out-1', newSerial: 'OUT-9' }],
    })
    const desk = await page(`/callbacks/${id}`)
    expect(desk.body).toContain('records the new unit on the system’s page')
    const office = parse((await page(`/callbacks/${id}`, cast.sam)).body)
    const link = office.querySelector('a[href*="/units/new?replaces="]')
    expect(link?.getAttribute('href')).toBe(`/systems/${zone.systemId}/units/new?replaces=${await outdoor()}`)
  })
})

describe('the joints to look at first', () => {
  it('stand on the callback with their reasons, lead to their histories, and are the same for programs', async () => {
    const { id } = await take()
    const answer = await server.inject({
      url: `/api/v1/callbacks/${id}/look-first`,
      headers: asProgram(cast.tess),
    })
    const { items } = answer.json() as {
      items: { jointId: string; tag: string; points: number; reasons: { code: string; sentence: string }[] }[]
    }
    // Nothing is made on this system yet.
    const gas = items.find(({ jointId }) => jointId === zone.joints.indoorGas)
    expect(gas?.reasons.map(({ code }) => code)).toEqual(expect.arrayContaining(['not-made', 'no-test']))
    expect(items.map(({ points }) => points)).toEqual(
      items.map(({ points }) => points).toSorted((a, b) => b - a),
    )
    const shown = parse((await page(`/callbacks/${id}`)).body)
    const list = shown.querySelectorAll(
      '#look-first ~ ol.look-first > li, #look-first ~ details ol.look-first > li',
    )
    expect(list.map((one) => one.querySelector('a.tag')?.getAttribute('href'))).toEqual(
      items.filter(({ points }) => points > 0).map(({ jointId }) => `/joints/${jointId}/history`),
    )
    expect(list[0]?.text).toContain(items[0]?.reasons[0]?.sentence)
    const strange = await server.inject({
      url: `/api/v1/callbacks/${id}/look-first`,
      headers: asProgram(cast.zoe),
    })
    expect(strange.statusCode).toBe(404)
  })

  it('say of a joint that it leaked before, on the next callback of its system', async () => {
    const first = await take()
    const found = [{ part: 'joint', jointId: zone.joints.outdoorGas, method: 'bubble', cause: 'crack' }]
    await send(`/callbacks/${first.id}/close`, { outcome: 'found', found })
    const reasonsOn = async (id: string) => {
      const answer = await server.inject({
        url: `/api/v1/callbacks/${id}/look-first`,
        headers: asProgram(cast.wren),
      })
      const { items } = answer.json() as { items: { jointId: string; reasons: { code: string }[] }[] }
      return items.find(({ jointId }) => jointId === zone.joints.outdoorGas)?.reasons.map(({ code }) => code)
    }
    expect(await reasonsOn(first.id)).not.toContain('leaked-before')
    expect(await reasonsOn((await take()).id)).toContain('leaked-before')
  })
})

describe('on the page', () => {
  it.each([
    ['a serial, in any case', () => 'out-1'],
    ['a tag', () => zone.tags[zone.joints.indoorGas]?.toLowerCase() ?? ''],
    ['the letters that its tags begin with', () => zone.tagPrefix],
  ])('the system is found by %s, and the form is there at once', async (_what, mark) => {
    const { body } = await page(`/callbacks/new?q=${encodeURIComponent(mark())}`)
    const form = parse(body).querySelector('form[action="/callbacks"]')
    expect(form?.querySelector('input[name=systemId]')?.getAttribute('value')).toBe(zone.systemId)
  })

  it('says so when nothing carries the mark, and keeps a stranger’s system to itself', async () => {
    const nothing = await page('/callbacks/new?q=NOPE-1X77')
    expect(nothing.statusCode).toBe(200)
    expect(nothing.body).toContain('No system with “NOPE-1X77”')
    expect((await page(`/callbacks/new?system=${newId()}`)).statusCode).toBe(404)
  })

  it('goes from the call to the finding, the repair job and the end, without a script', async () => {
    const id = newId()
    const taken = await post('/callbacks', { id, systemId: zone.systemId, symptom: 'Ices up since Monday' })
    expect([taken.statusCode, taken.headers.location]).toEqual([303, `/callbacks/${id}`])
    const finding = {
      _form: 'finding',
      _key: newId(),
      'found.part': 'joint',
      'found.jointId': zone.joints.indoorGas,
      'found.where': 'flare-face',
      'found.method': 'refrigerant-detector',
      'found.cause': 'unknown',
      'found.otherCause': 'a scratch from the cutter',
    }
    for (const _twice of [1, 2]) expect((await post(`/callbacks/${id}`, finding)).statusCode).toBe(303)
    const shown = parse((await page(`/callbacks/${id}`, cast.sam)).body)
    expect(shown.querySelectorAll('#found ~ table tbody tr')).toHaveLength(1)
    expect(shown.text).toContain('a scratch from the cutter')
    expect(shown.querySelector(`form[action="/callbacks/${id}/repair"]`)).not.toBeNull()
    const repair = { _form: 'repair', id: newId(), assignedTo: cast.tess.crewId }
    for (const _twice of [1, 2]) {
      const opened = await post(`/callbacks/${id}/repair`, repair)
      expect([opened.statusCode, opened.headers.location]).toEqual([303, `/callbacks/${id}`])
    }
    const answer = await server.inject({ url: `/api/v1/callbacks/${id}`, headers: asProgram(cast.wren) })
    expect(answer.json().repairJobId).toBe(repair.id)
    const job = await page(`/jobs/${repair.id}`, cast.tess)
    expect(job.body).toContain(`href="/callbacks/${id}"`)
    // Nothing is done yet, and the job asks for the joint that was found, and for no other.
    const points = await server.inject({
      url: `/api/v1/jobs/${repair.id}/hold-points`,
      headers: asProgram(cast.tess),
    })
    const asked = (points.json().items ?? points.json()) as {
      outcome: string
      subject: { kind: string; id: string }
    }[]
    const joints = asked.filter(({ outcome, subject }) => subject.kind === 'joint' && outcome !== 'met')
    expect([...new Set(joints.map(({ subject }) => subject.id))]).toEqual([zone.joints.indoorGas])
    const done = await post(`/callbacks/${id}`, {
      ...WORK,
      'refrigerantAdded.value': '0,4',
      'refrigerantAdded.unit': 'kg',
    })
    expect(done.statusCode).toBe(303)
    const closed = await post(`/callbacks/${id}/close`, { _form: 'close', outcome: 'found' })
    expect(closed.statusCode).toBe(303)
    const { body } = await page(`/callbacks/${id}`)
    expect(body).toContain('0.4 kg')
    expect(body).not.toContain('Close the callback')
    expect((await page(`/systems/${zone.systemId}`)).body).toContain('Ices up since Monday')
  })

  it('keeps what was typed when it is refused, with the message beside its field', async () => {
    const { id } = await take()
    const refused = await post(`/callbacks/${id}`, {
      ...WORK,
      'refrigerantAdded.value': '12 g',
      'refrigerantAdded.unit': 'g',
      // A part by its serials alone, in the second row: the message stands there and not in the first.
      'partsReplaced.1.oldSerial': 'C-1',
      'claim.maker': 'Larkspur',
      'claim.sentAt': '2026-03-02',
      'claim.dueAt': 'soon',
    })
    expect(refused.statusCode).toBe(400)
    const shown = parse(refused.body)
    const beside = (name: string) =>
      shown.querySelector(`[name="${name}"]`)?.closest('.field')?.querySelector('.message')?.text
    expect(shown.querySelector('input[name="refrigerantAdded.value"]')?.getAttribute('value')).toBe('12 g')
    expect(beside('refrigerantAdded.value')).toContain('Enter a number')
    expect(beside('partsReplaced.1.part')).toBeDefined()
    expect(beside('partsReplaced.0.part')).toBeUndefined()
    expect(beside('claim.dueAt')).toBeDefined()
    expect(shown.querySelector('.message-form')).toBeNull()
    const unfit = await post(`/callbacks/${id}/close`, { _form: 'close', outcome: 'found' })
    expect(unfit.statusCode).toBe(400)
    expect(parse(unfit.body).querySelector('.field-choice .message')?.text).toContain('what was found')
    const empty = await post('/callbacks', { id: newId(), systemId: zone.systemId, symptom: '' })
    expect(empty.statusCode).toBe(400)
    expect(parse(empty.body).querySelector('.field-area .message')).not.toBeNull()
  })

  it('shows the list, with the open ones apart from the closed ones', async () => {
    const { id } = await take({ symptom: 'Only this one hums' })
    expect((await page('/callbacks')).body).toContain(`href="/callbacks/${id}"`)
    expect((await page('/callbacks?state=closed')).body).not.toContain('Only this one hums')
    expect((await page('/callbacks?state=wrong')).statusCode).toBe(400)
  })
})
