// Can a member make and take back their own tokens, and only those?

import type { FastifyInstance } from 'fastify'
import { parse } from 'node-html-parser'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { newId } from '../../server/ids.ts'
import { aCast, asBrowser, asProgram, type Cast, type Player } from '../support/cast.ts'
import { postForm } from '../support/entrance.ts'

let cast: Cast
let server: FastifyInstance
beforeEach(async () => {
  cast = await aCast()
  server = await cast.server()
})
afterEach(() => cast.remove())

const make = (player: Player, payload: object) =>
  server.inject({ method: 'POST', url: '/api/v1/tokens', headers: asBrowser(player), payload })
const tokens = async () => (await cast.store.store.query('select id from tokens')).length
const meWith = (token: string) =>
  server.inject({ url: '/api/v1/me', headers: { authorization: `Bearer ${token}` } })

describe('a token', () => {
  it.each(['tess', 'sam', 'wren', 'olga'] as const)('is made by %s, and answered once', async (name) => {
    const raw = { id: newId(), name: 'loader', scopes: ['write', 'read'] }
    const answer = await make(cast[name], raw)
    expect(answer.statusCode).toBe(201)
    expect(answer.json()).toEqual({
      id: raw.id,
      name: 'loader',
      scopes: ['read', 'write'],
      createdAt: '2026-03-04T15:00:00.000Z',
      expiresAt: '2026-06-02T15:00:00.000Z',
      revokedAt: null,
      token: expect.stringMatching(/^jk_.{43}$/),
    })
    const { token } = answer.json()
    expect((await meWith(token)).json()).toMatchObject({ member: { id: cast[name].memberId }, via: 'token' })
    const again = await make(cast[name], raw)
    expect([again.statusCode, again.json()]).toEqual([200, { ...answer.json(), token: null }])
    const list = await server.inject({ url: '/api/v1/tokens', headers: asBrowser(cast[name]) })
    expect(list.json().items.map((one: { name: string }) => one.name)).toContain('loader')
    expect(list.body).not.toContain(token)
    expect(list.body).not.toMatch(/hash/i)
  })

  it('is made on the page and shown there once', async () => {
    const page = parse((await server.inject({ url: '/tokens', headers: asBrowser(cast.tess) })).body)
    const id = page.querySelector('form[action="/tokens"] input[name=id]')?.getAttribute('value') ?? ''
    const fields = { id, name: 'loader', 'scopes.read': 'true', 'expiresInDays#': '30' }
    const made = await postForm(server, '/tokens', fields, { cookie: cast.tess.cookie })
    expect(made.statusCode).toBe(200)
    expect(made.headers['cache-control']).toBe('no-store')
    const token = parse(made.body).querySelector('textarea')?.text.trim() ?? ''
    expect((await meWith(token)).json()).toMatchObject({ scopes: ['read'] })
    const again = await postForm(server, '/tokens', fields, { cookie: cast.tess.cookie })
    expect(again.body).toContain('was shown before')
    expect(again.body).not.toContain(token)
  })

  it('is taken back through the API and on the page', async () => {
    const one = (await make(cast.tess, { name: 'one', scopes: ['read'] })).json()
    const two = (await make(cast.tess, { name: 'two', scopes: ['read'] })).json()
    const answer = await server.inject({
      method: 'DELETE',
      url: `/api/v1/tokens/${one.id}`,
      headers: asBrowser(cast.tess),
    })
    expect(answer.json()).toMatchObject({ id: one.id, revokedAt: '2026-03-04T15:00:00.000Z' })
    const page = await postForm(server, `/tokens/${two.id}/revoke`, {}, { cookie: cast.tess.cookie })
    expect(page.headers.location).toBe('/tokens')
    for (const { token } of [one, two]) expect((await meWith(token)).statusCode).toBe(401)
  })

  it('of a colleague or of a stranger is missing, even for an owner', async () => {
    const { id, token } = (await make(cast.tess, { name: 'mine', scopes: ['read'] })).json()
    for (const player of [cast.olga, cast.sam, cast.zoe]) {
      const headers = asBrowser(player)
      const url = `/api/v1/tokens/${id}`
      expect((await server.inject({ method: 'DELETE', url, headers })).statusCode).toBe(404)
      const list = await server.inject({ url: '/api/v1/tokens', headers })
      expect(list.json().items.map((one: { id: string }) => one.id)).not.toContain(id)
    }
    expect((await meWith(token)).statusCode).toBe(200)
  })

  it('makes no other, but can be given up', async () => {
    const before = await tokens()
    const refused = await server.inject({
      method: 'POST',
      url: '/api/v1/tokens',
      headers: asProgram(cast.olga),
      payload: { name: 'child', scopes: ['read'] },
    })
    expect(refused.json()).toMatchObject({ status: 403, code: 'token-makes-no-token' })
    expect(await tokens()).toBe(before)
  })

  it('is nothing for somebody signed out', async () => {
    expect((await server.inject({ url: '/api/v1/tokens' })).statusCode).toBe(401)
    expect((await server.inject({ url: '/tokens' })).headers.location).toContain('/sign-in')
    const answer = await server.inject({
      method: 'POST',
      url: '/api/v1/tokens',
      payload: { name: 'x', scopes: ['read'] },
    })
    expect(answer.statusCode).toBe(401)
  })

  it.each([
    ['nothing', {}, ['name', 'scopes']],
    ['no scope', { name: 'x', scopes: [] }, ['scopes']],
    ['a scope that is none', { name: 'x', scopes: ['admin'] }, ['scopes.0']],
    ['a scope beside a list', { name: 'x', scopes: 'read' }, ['scopes']],
    ['no day', { name: 'x', scopes: ['read'], expiresInDays: 0 }, ['expiresInDays']],
    ['days before today', { name: 'x', scopes: ['read'], expiresInDays: -1 }, ['expiresInDays']],
    ['half a day', { name: 'x', scopes: ['read'], expiresInDays: 0.5 }, ['expiresInDays']],
    ['more than 400 days', { name: 'x', scopes: ['read'], expiresInDays: 401 }, ['expiresInDays']],
    ['days in words', { name: 'x', scopes: ['read'], expiresInDays: 'ten' }, ['expiresInDays']],
    ['a member of its own', { name: 'x', scopes: ['read'], memberId: newId() }, ['memberId']],
  ])('is not made of %s', async (_what, payload, paths) => {
    const before = await tokens()
    const answer = await make(cast.tess, payload)
    expect(answer.statusCode).toBe(400)
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toEqual(paths)
    expect(await tokens()).toBe(before)
  })

  it('keeps the form as it was on the page when it is refused', async () => {
    const answer = await postForm(
      server,
      '/tokens',
      { name: 'loader', 'scopes.write': 'true', 'expiresInDays#': '500' },
      { cookie: cast.tess.cookie },
    )
    expect(answer.statusCode).toBe(400)
    const page = parse(answer.body)
    expect(page.querySelector('input[name=name]')?.getAttribute('value')).toBe('loader')
    expect(page.querySelector('input[name="scopes.write"]')?.hasAttribute('checked')).toBe(true)
    expect(page.querySelector('input[name="scopes.read"]')?.hasAttribute('checked')).toBe(false)
    expect(page.querySelector('#f-expiresInDays--error, .field-wrong .message')?.text).toContain(
      'At most 400',
    )
  })
})
