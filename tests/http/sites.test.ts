// Sites over both faces: who may, who may not, what is refused, and what is kept out of the chain.

import type { FastifyInstance } from 'fastify'
import { parse } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { newId } from '../../server/ids.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, asBrowser, asProgram, type Cast } from '../support/cast.ts'

let cast: Cast
let server: FastifyInstance
beforeAll(async () => {
  cast = await aCast()
  server = await cast.server()
})
afterAll(() => cast.remove())

const SITE = {
  customerName: 'Ida Fenwick',
  address: '12 Mill Lane, Brackwater',
  contact: '0150 555 0134',
  elevation: { value: 400, unit: 'ft' },
}
const post = (payload: object, player = cast.tess) =>
  server.inject({ method: 'POST', url: '/api/v1/sites', headers: asProgram(player), payload })
const howMany = async () => {
  const { db, t } = scopeOf(cast.machinery.store.reader(), cast.tess.companyId)
  return (await db.select().from(t.sites)).length
}

describe('a program', () => {
  it('adds a site and reads it back; the town is what follows the last comma', async () => {
    const answer = await post(SITE)
    expect(answer.statusCode).toBe(201)
    const site = answer.json()
    expect(site).toMatchObject({
      customerName: 'Ida Fenwick',
      town: 'Brackwater',
      elevation: { value: expect.closeTo(121.92, 6), unit: 'm' },
    })
    expect(site).not.toHaveProperty('salt')
    expect(site).not.toHaveProperty('searchText')
    const again = await server.inject({ url: `/api/v1/sites/${site.id}`, headers: asProgram(cast.wren) })
    expect(again.json()).toMatchObject({ ...site, systems: [] })
  })

  it('gives no town away when the address has no comma', async () => {
    expect((await post({ ...SITE, address: '12 Mill Lane Brackwater' })).json().town).toBe('')
  })

  it('answers the first result to the same request again, and refuses the id for something else', async () => {
    const id = newId()
    const first = await post({ ...SITE, id })
    const before = await howMany()
    const second = await post({ ...SITE, id })
    expect([first.statusCode, second.statusCode]).toEqual([201, 200])
    expect(second.json()).toEqual(first.json())
    const other = await post({ ...SITE, id, customerName: 'Somebody else' })
    expect(other.statusCode).toBe(409)
    expect(other.json().code).toBe('id-reused')
    expect(await howMany()).toBe(before)
  })

  it('changes what it names, and nothing else; a town read from the address follows it', async () => {
    const { id } = (await post(SITE)).json()
    const patch = (payload: object) =>
      server.inject({ method: 'PATCH', url: `/api/v1/sites/${id}`, headers: asProgram(cast.sam), payload })
    expect((await patch({ address: '3 Ferry Road, Saltby' })).json()).toMatchObject({
      customerName: 'Ida Fenwick',
      town: 'Saltby',
      contact: SITE.contact,
    })
    expect((await patch({ contact: null, elevation: null })).json()).toMatchObject({
      contact: null,
      elevation: null,
    })
    expect((await patch({ customerName: null })).statusCode).toBe(400)
  })

  it('pages through the list, newest first, and finds part of a name, street or town', async () => {
    cast.clock.pass(1000)
    await post({ ...SITE, customerName: 'Zebulon Unusual' })
    const list = async (query: string) =>
      (await server.inject({ url: `/api/v1/sites?${query}`, headers: asProgram(cast.tess) })).json()
    const first = await list('limit=2')
    expect(first.items[0].customerName).toBe('Zebulon Unusual')
    expect(first.items).toHaveLength(2)
    const second = await list(`limit=2&cursor=${first.nextCursor}`)
    const ids = [...first.items, ...second.items].map((site: { id: string }) => site.id)
    expect(new Set(ids).size).toBe(ids.length)
    expect((await list('q=UNUSUAL')).items).toHaveLength(1)
    expect((await list('q=ferry')).items).toHaveLength(1)
    expect((await list('q=%25')).items.length).toBe((await list('limit=200')).items.length)
    const bad = await server.inject({ url: '/api/v1/sites?cursor=nonsense', headers: asProgram(cast.tess) })
    expect(bad.statusCode).toBe(400)
    expect(bad.json().errors[0].path).toBe('cursor')
  })

  it.each([
    ['a missing customer', { customerName: undefined }, 'customerName'],
    ['an empty customer', { customerName: '  ' }, 'customerName'],
    ['a number for a name', { customerName: 7 }, 'customerName'],
    ['a missing address', { address: undefined }, 'address'],
    ['a name too long', { customerName: 'x'.repeat(201) }, 'customerName'],
    ['the character zero', { customerName: 'a\u0000b' }, 'customerName'],
    ['a wrong unit', { elevation: { value: 3, unit: 'kg' } }, 'elevation.unit'],
    ['a bare number', { elevation: 3 }, 'elevation'],
    ['a mountain that is not there', { elevation: { value: 20_000, unit: 'm' } }, 'elevation.value'],
    ['a field that is not known', { colour: 'red' }, 'colour'],
    ['an id that is none', { id: '123' }, 'id'],
  ])('is refused %s, and nothing is written', async (_what, change, path) => {
    const before = await howMany()
    const answer = await post({ ...SITE, ...change })
    expect(answer.statusCode).toBe(400)
    expect(answer.headers['content-type']).toContain('application/problem+json')
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toContain(path)
    expect(await howMany()).toBe(before)
  })
})

describe('who may', () => {
  it('asks for a sign-in', async () => {
    expect((await server.inject({ url: '/api/v1/sites' })).statusCode).toBe(401)
    const page = await server.inject({ url: '/sites' })
    expect(page.statusCode).toBe(303)
    expect(page.headers.location).toBe('/sign-in?next=%2Fsites')
  })

  it('lets the warranty desk look but not add or change', async () => {
    const { id } = (await post(SITE)).json()
    expect((await post(SITE, cast.wren)).statusCode).toBe(403)
    const patch = await server.inject({
      method: 'PATCH',
      url: `/api/v1/sites/${id}`,
      headers: asProgram(cast.wren),
      payload: { customerName: 'x' },
    })
    expect(patch.statusCode).toBe(403)
    expect((await server.inject({ url: '/sites/new', headers: asBrowser(cast.wren) })).statusCode).toBe(403)
    const page = await server.inject({ url: `/sites/${id}`, headers: asBrowser(cast.wren) })
    expect(page.statusCode).toBe(200)
    expect(page.body).not.toContain('Change this site')
  })

  it('shows a stranger nothing on either face', async () => {
    const { id } = (await post(SITE)).json()
    const calls = [
      { method: 'GET', url: `/api/v1/sites/${id}`, headers: asProgram(cast.zoe) },
      { method: 'GET', url: `/sites/${id}`, headers: asBrowser(cast.zoe) },
      { method: 'GET', url: `/sites/${id}/edit`, headers: asBrowser(cast.zoe) },
      {
        method: 'PATCH',
        url: `/api/v1/sites/${id}`,
        headers: asProgram(cast.zoe),
        payload: { customerName: 'x' },
      },
    ] as const
    for (const call of calls) expect((await server.inject(call)).statusCode, call.url).toBe(404)
    const list = await server.inject({ url: '/api/v1/sites', headers: asProgram(cast.zoe) })
    expect(list.json()).toEqual({ items: [], nextCursor: null })
  })
})

describe('a browser', () => {
  const form = async (url: string) => {
    const page = await server.inject({ url, headers: asBrowser(cast.tess) })
    expect(page.statusCode).toBe(200)
    return parse(page.body)
  }
  const send = (url: string, fields: Record<string, string>) =>
    server.inject({
      method: 'POST',
      url,
      headers: { ...asBrowser(cast.tess), 'content-type': 'application/x-www-form-urlencoded' },
      payload: new URLSearchParams(fields).toString(),
    })

  it('adds a site by its form, once however often it is sent, and shows it', async () => {
    const id = (await form('/sites/new')).querySelector('input[name=id]')?.getAttribute('value') ?? ''
    const fields = {
      id,
      customerName: 'Osric Bell',
      address: '4 Quay Street, Saltby',
      town: '',
      contact: '',
      'elevation.value': '12,5',
      'elevation.unit': 'm',
    }
    const before = await howMany()
    const first = await send('/sites', fields)
    expect([first.statusCode, first.headers.location]).toEqual([303, `/sites/${id}`])
    expect((await send('/sites', fields)).headers.location).toBe(`/sites/${id}`)
    expect(await howMany()).toBe(before + 1)
    const page = await form(`/sites/${id}`)
    expect(page.querySelector('h1')?.text).toBe('Osric Bell')
    expect(page.querySelector('.lead')?.text).toBe('4 Quay Street, Saltby')
  })

  it('keeps what was typed beside the message when it is refused', async () => {
    const answer = await send('/sites', {
      id: newId(),
      customerName: 'Osric Bell',
      address: '',
      'elevation.value': 'high',
      'elevation.unit': 'm',
    })
    expect(answer.statusCode).toBe(400)
    const page = parse(answer.body)
    expect(page.querySelector('input[name=customerName]')?.getAttribute('value')).toBe('Osric Bell')
    expect(page.querySelector('input[name="elevation.value"]')?.getAttribute('value')).toBe('high')
    expect(page.querySelectorAll('[aria-invalid=true]').length).toBe(2)
  })

  it('changes a site by its form; a field that comes back empty was taken away', async () => {
    const { id } = (await post(SITE)).json()
    const page = await form(`/sites/${id}/edit`)
    expect(page.querySelector('input[name=contact]')?.getAttribute('value')).toBe(SITE.contact)
    const answer = await send(`/sites/${id}`, {
      customerName: 'Ida Fenwick-Bell',
      address: SITE.address,
      town: 'Brackwater',
      contact: '',
      'elevation.value': '121.9',
      'elevation.unit': 'm',
    })
    expect([answer.statusCode, answer.headers.location]).toEqual([303, `/sites/${id}`])
    const site = (await server.inject({ url: `/api/v1/sites/${id}`, headers: asProgram(cast.tess) })).json()
    expect(site).toMatchObject({ customerName: 'Ida Fenwick-Bell', contact: null })
  })
})

it('puts no customer, address, town or contact on the chain', async () => {
  const { db, t } = scopeOf(cast.machinery.store.reader(), cast.tess.companyId)
  const entries = await db.select({ content: t.entries.content, kind: t.entries.kind }).from(t.entries)
  expect(entries.filter((entry) => entry.kind === 'site-added').length).toBeGreaterThan(3)
  for (const { content } of entries)
    for (const personal of ['Fenwick', 'Mill Lane', 'Brackwater', '0150'])
      expect(content).not.toContain(personal)
})
