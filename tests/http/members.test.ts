// Can an owner see and change who belongs to the company, and nobody else?

import type { FastifyInstance } from 'fastify'
import { parse } from 'node-html-parser'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { aCast, asBrowser, asProgram, type Cast } from '../support/cast.ts'
import { cookieOf, postForm, register, withCookie } from '../support/entrance.ts'

let cast: Cast
let server: FastifyInstance
beforeEach(async () => {
  cast = await aCast()
  server = await cast.server()
})
afterEach(() => cast.remove())

const patch = (memberId: string, payload: object, headers: Record<string, string> = asProgram(cast.olga)) =>
  server.inject({ method: 'PATCH', url: `/api/v1/members/${memberId}`, headers, payload })

describe('members', () => {
  it('are listed for an owner, those of this company only', async () => {
    const { items } = (await server.inject({ url: '/api/v1/members', headers: asProgram(cast.olga) })).json()
    expect(items.map((item: { name: string }) => item.name).sort()).toEqual(['Olga', 'Sam', 'Tess', 'Wren'])
    expect(items.find((item: { name: string }) => item.name === 'Tess')).toEqual({
      id: cast.tess.memberId,
      personId: cast.tess.personId,
      crewId: cast.tess.crewId,
      name: 'Tess',
      email: expect.any(String),
      role: 'technician',
      active: true,
      createdAt: '2026-03-04T15:00:00.000Z',
    })
    const page = await server.inject({ url: '/members', headers: asBrowser(cast.olga) })
    for (const name of ['Olga', 'Sam', 'Tess', 'Wren']) expect(page.body).toContain(name)
    expect(page.body).not.toContain('Zoe')
  })

  it('get another role through the API and on the page', async () => {
    expect((await patch(cast.tess.memberId, { role: 'manager' })).json()).toMatchObject({ role: 'manager' })
    const answer = await postForm(
      server,
      `/members/${cast.tess.memberId}`,
      { role: 'warranty', 'active?': 'yes' },
      { cookie: cast.olga.cookie },
    )
    expect(answer.headers.location).toBe('/members')
    const one = await server.inject({
      url: `/api/v1/members/${cast.tess.memberId}`,
      headers: asProgram(cast.olga),
    })
    expect(one.json()).toMatchObject({ role: 'warranty', active: true })
  })

  it('are out at once when they are shut out, cookie and token alike', async () => {
    expect((await server.inject({ url: '/api/v1/me', headers: asBrowser(cast.tess) })).statusCode).toBe(200)
    await postForm(
      server,
      `/members/${cast.tess.memberId}`,
      { role: 'technician', 'active?': 'no' },
      { cookie: cast.olga.cookie },
    )
    for (const headers of [asBrowser(cast.tess), asProgram(cast.tess)])
      expect((await server.inject({ url: '/api/v1/me', headers })).statusCode).toBe(401)
  })

  it('keep their last owner, and the page says so beside the field', async () => {
    const refused = await patch(cast.olga.memberId, { active: false })
    expect(refused.json()).toMatchObject({ status: 409, code: 'last-owner', errors: [{ path: 'active' }] })
    const answer = await postForm(
      server,
      `/members/${cast.olga.memberId}`,
      { role: 'technician', 'active?': 'yes' },
      { cookie: cast.olga.cookie },
    )
    expect(answer.statusCode).toBe(409)
    const page = parse(answer.body)
    const open = page.querySelectorAll('details').filter((one) => one.hasAttribute('open'))
    expect(open).toHaveLength(1)
    expect(open[0]?.text).toContain('This is the last owner')
    expect((await server.inject({ url: '/api/v1/me', headers: asBrowser(cast.olga) })).json().role).toBe(
      'owner',
    )
  })

  it.each(['tess', 'sam', 'wren'] as const)('are neither shown to nor changed by %s', async (name) => {
    const player = cast[name]
    for (const url of ['/api/v1/members', `/api/v1/members/${cast.olga.memberId}`, '/members'])
      expect((await server.inject({ url, headers: asBrowser(player) })).statusCode, url).toBe(403)
    expect((await patch(player.memberId, { role: 'owner' }, asProgram(player))).statusCode).toBe(403)
    const me = await server.inject({ url: '/api/v1/me', headers: asProgram(player) })
    expect(me.json().role).toBe(player.role)
  })

  it('are missing for an owner of another company, and for somebody signed out', async () => {
    const stranger = withCookie(cookieOf(await register(server)))
    const url = `/api/v1/members/${cast.tess.memberId}`
    expect((await server.inject({ url, headers: stranger })).statusCode).toBe(404)
    expect((await patch(cast.tess.memberId, { role: 'owner' }, stranger)).statusCode).toBe(404)
    expect((await server.inject({ url })).statusCode).toBe(401)
    expect((await patch(cast.tess.memberId, { role: 'owner' }, {})).statusCode).toBe(401)
    expect((await server.inject({ url: '/members' })).headers.location).toContain('/sign-in')
  })

  it.each([
    ['nothing', {}, ['role']],
    ['a role that is none', { role: 'boss' }, ['role']],
    ['an answer that is neither yes nor no', { active: 'no' }, ['active']],
    ['a name', { role: 'manager', name: 'Tessa' }, ['name']],
  ])('are not changed by %s', async (_what, payload, paths) => {
    const answer = await patch(cast.tess.memberId, payload)
    expect(answer.statusCode).toBe(400)
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toEqual(paths)
  })

  it('are not found by what is no id', async () => {
    expect((await patch('everybody', { role: 'owner' })).json()).toMatchObject({
      status: 400,
      errors: [{ path: 'memberId' }],
    })
  })
})
