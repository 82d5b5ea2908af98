// Are the people of the crew kept on the page and through the API, by managers alone?

import type { FastifyInstance } from 'fastify'
import { parse } from 'node-html-parser'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { newId } from '../../server/ids.ts'
import { aCast, asBrowser, asProgram, type Cast } from '../support/cast.ts'
import { cookieOf, postForm, register, withCookie } from '../support/entrance.ts'

let cast: Cast
let server: FastifyInstance
beforeEach(async () => {
  cast = await aCast()
  server = await cast.server()
})
afterEach(() => cast.remove())

const INES = {
  name: 'Ines',
  credentials: [{ scheme: 'Section 608', category: 'Type II', number: 'B-4411', validUntil: '2026-02-28' }],
}
const add = (payload: object, headers: Record<string, string> = asProgram(cast.sam)) =>
  server.inject({ method: 'POST', url: '/api/v1/crew', headers, payload })
const crew = async () => (await cast.store.store.query('select id from crew')).length

describe('the crew', () => {
  it('takes a person once, however often the same is sent', async () => {
    const raw = { id: newId(), ...INES }
    const first = await add(raw)
    expect(first.statusCode).toBe(201)
    expect(first.json()).toEqual({
      id: raw.id,
      name: 'Ines',
      memberId: null,
      active: true,
      credentials: [{ ...INES.credentials[0], validUntil: '2026-02-28T23:59:59.999Z' }],
      createdAt: '2026-03-04T15:00:00.000Z',
    })
    const before = await crew()
    const again = await add(raw)
    expect([again.statusCode, again.json()]).toEqual([200, first.json()])
    expect((await add({ ...raw, name: 'Inez' })).json()).toMatchObject({ status: 409, code: 'id-reused' })
    expect(await crew()).toBe(before)
  })

  it('is listed, and changed, through the API', async () => {
    const { id } = (await add(INES)).json()
    const url = `/api/v1/crew/${id}`
    const headers = asProgram(cast.sam)
    const changed = await server.inject({ method: 'PATCH', url, headers, payload: { active: false } })
    expect(changed.json()).toMatchObject({ id, name: 'Ines', active: false })
    expect((await server.inject({ url, headers })).json()).toEqual(changed.json())
    const list = (await server.inject({ url: '/api/v1/crew?limit=200', headers })).json()
    expect(list.items.map((one: { name: string }) => one.name).sort()).toEqual([
      'Ines',
      'Olga',
      'Sam',
      'Tess',
      'Wren',
    ])
    expect(JSON.stringify(list)).not.toContain('salt')
  })

  it('takes a person on the page, with the rows that were filled in', async () => {
    const page = parse((await server.inject({ url: '/crew', headers: asBrowser(cast.sam) })).body)
    const id = page.querySelector('form[action="/crew"] input[name=id]')?.getAttribute('value') ?? ''
    const fields = {
      id,
      name: 'Ines',
      'credentials.0.scheme': '',
      'credentials.0.number': '',
      'credentials.1.scheme': 'Section 608',
      'credentials.1.number': 'B-4411',
      'credentials.1.validUntil': '2026-02-28',
    }
    for (let press = 0; press < 2; press += 1) {
      const answer = await postForm(server, '/crew', fields, { cookie: cast.sam.cookie })
      expect(answer.headers.location).toBe('/crew')
    }
    const list = parse((await server.inject({ url: '/crew', headers: asBrowser(cast.sam) })).body)
    const row = list.querySelectorAll('tbody tr').filter((one) => one.text.includes('Ines'))
    expect(row).toHaveLength(1)
    expect(row[0]?.text).toContain('Section 608, B-4411 (ended 28 February 2026)')
  })

  it('says which row of the form is wrong', async () => {
    const before = await crew()
    const answer = await postForm(
      server,
      '/crew',
      { name: 'Ines', 'credentials.1.scheme': 'Section 608', 'credentials.1.number': '' },
      { cookie: cast.sam.cookie },
    )
    expect(answer.statusCode).toBe(400)
    const page = parse(answer.body)
    const wrong = page.querySelectorAll('[aria-invalid=true]').map((one) => one.getAttribute('name'))
    expect(wrong).toEqual(['credentials.1.number'])
    expect(page.querySelector('input[name="credentials.1.scheme"]')?.getAttribute('value')).toBe(
      'Section 608',
    )
    expect(await crew()).toBe(before)
  })

  it('is changed on the page, rows that were emptied included', async () => {
    const { id } = (await add(INES)).json()
    const page = parse((await server.inject({ url: `/crew/${id}`, headers: asBrowser(cast.sam) })).body)
    expect(page.querySelector('input[name="credentials.0.validUntil"]')?.getAttribute('value')).toBe(
      '2026-02-28',
    )
    const answer = await postForm(
      server,
      `/crew/${id}`,
      { name: 'Ines B.', 'active?': 'no', 'credentials.0.scheme': '', 'credentials.0.number': '' },
      { cookie: cast.sam.cookie },
    )
    expect(answer.headers.location).toBe('/crew')
    const one = await server.inject({ url: `/api/v1/crew/${id}`, headers: asProgram(cast.sam) })
    expect(one.json()).toMatchObject({ name: 'Ines B.', active: false, credentials: [] })
  })

  it.each(['tess', 'wren'] as const)('is not kept by %s', async (name) => {
    const before = await crew()
    for (const url of ['/api/v1/crew', '/crew', `/crew/${cast.tess.crewId}`])
      expect((await server.inject({ url, headers: asBrowser(cast[name]) })).statusCode, url).toBe(403)
    expect((await add(INES, asProgram(cast[name]))).statusCode).toBe(403)
    expect(await crew()).toBe(before)
  })

  it('of another company is missing, and nothing for somebody signed out', async () => {
    const stranger = withCookie(cookieOf(await register(server)))
    const url = `/api/v1/crew/${cast.tess.crewId}`
    expect((await server.inject({ url, headers: stranger })).statusCode).toBe(404)
    expect((await server.inject({ url: `/crew/${cast.tess.crewId}`, headers: stranger })).statusCode).toBe(
      404,
    )
    const change = { method: 'PATCH', url, payload: { name: 'Mine' } } as const
    expect((await server.inject({ ...change, headers: stranger })).statusCode).toBe(404)
    expect((await server.inject(change)).statusCode).toBe(401)
    expect((await server.inject({ url: '/crew' })).headers.location).toContain('/sign-in')
  })

  it.each([
    ['nothing', {}, ['name']],
    ['a name that is a number', { name: 7 }, ['name']],
    ['an endless name', { name: 'x'.repeat(121) }, ['name']],
    ['a licence without a number', { name: 'A', credentials: [{ scheme: 'B' }] }, ['credentials.0.number']],
    ['a member of nobody', { name: 'A', memberId: 'tess' }, ['memberId']],
    ['a salt of its own', { name: 'A', salt: 'known' }, ['salt']],
  ])('refuses %s and writes nothing', async (_what, payload, paths) => {
    const before = await crew()
    const answer = await add(payload)
    expect(answer.statusCode).toBe(400)
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toEqual(paths)
    expect(await crew()).toBe(before)
  })
})
