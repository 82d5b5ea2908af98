// Can an owner invite on the page and through the API, and does the link bring the right one in?

import type { FastifyInstance } from 'fastify'
import { parse } from 'node-html-parser'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { newId } from '../../server/ids.ts'
import { aCast, asBrowser, asProgram, type Cast, DAY } from '../support/cast.ts'
import { cookieOf, PASSWORD, postForm, register, TERN, withCookie } from '../support/entrance.ts'

let cast: Cast
let server: FastifyInstance
beforeEach(async () => {
  cast = await aCast()
  server = await cast.server()
})
afterEach(() => cast.remove())

const NILS = { email: 'nils@north.example', role: 'warranty' }
const rows = async (table: string) => (await cast.store.store.query(`select * from ${table}`)).length
const invite = (payload: object = NILS) =>
  server.inject({ method: 'POST', url: '/api/v1/invitations', headers: asProgram(cast.olga), payload })

describe('inviting', () => {
  it('answers a link, once, and lists the invitation without it', async () => {
    const raw = { id: newId(), ...NILS }
    const first = await invite(raw)
    expect(first.statusCode).toBe(201)
    expect(first.json()).toMatchObject({
      id: raw.id,
      ...NILS,
      state: 'waiting',
      createdAt: '2026-03-04T15:00:00.000Z',
      expiresAt: '2026-03-18T15:00:00.000Z',
      acceptedAt: null,
    })
    const { code, link } = first.json()
    expect(link).toBe(`http://jointkeep.test/invitations/accept?code=${code}`)
    const again = await invite(raw)
    expect(again.statusCode).toBe(200)
    expect(again.json()).toEqual({ ...first.json(), code: null, link: null })
    expect((await invite({ ...raw, role: 'owner' })).json()).toMatchObject({ status: 409, code: 'id-reused' })
    const list = await server.inject({ url: '/api/v1/invitations', headers: asProgram(cast.olga) })
    expect(list.json()).toMatchObject({ items: [{ id: raw.id, state: 'waiting' }], nextCursor: null })
    expect(list.body).not.toContain(code)
    expect(list.body).not.toMatch(/code|hash/i)
    expect(await rows('invitations')).toBe(1)
  })

  it('shows the link on the page, once', async () => {
    const page = parse((await server.inject({ url: '/invitations', headers: asBrowser(cast.olga) })).body)
    const id = page.querySelector('form[action="/invitations"] input[name=id]')?.getAttribute('value') ?? ''
    const fields = { id, email: NILS.email, role: 'technician' }
    const made = await postForm(server, '/invitations', fields, { cookie: cast.olga.cookie })
    expect(made.statusCode).toBe(200)
    expect(made.headers['cache-control']).toBe('no-store')
    const link = parse(made.body).querySelector('textarea')?.text.trim() ?? ''
    expect(link).toMatch(/^http:\/\/jointkeep\.test\/invitations\/accept\?code=.{43}$/)
    const again = await postForm(server, '/invitations', fields, { cookie: cast.olga.cookie })
    expect(again.statusCode).toBe(200)
    expect(again.body).toContain('was shown before')
    expect(again.body).not.toContain(link)
    const list = await server.inject({ url: '/invitations', headers: asBrowser(cast.olga) })
    expect(list.body).toContain(NILS.email)
    expect(list.body).not.toContain(link)
  })

  it('keeps the form as it was when it is refused', async () => {
    const answer = await postForm(
      server,
      '/invitations',
      { email: 'nobody', role: 'manager' },
      { cookie: cast.olga.cookie },
    )
    expect(answer.statusCode).toBe(400)
    const page = parse(answer.body)
    expect(page.querySelector('input[name=email]')?.getAttribute('value')).toBe('nobody')
    expect(page.querySelector('#f-email-error')?.text).toContain('Enter an e-mail address')
    expect(page.querySelector('option[value=manager]')?.hasAttribute('selected')).toBe(true)
    expect(await rows('invitations')).toBe(0)
  })

  it.each(['tess', 'sam', 'wren'] as const)('is not for %s', async (name) => {
    const asked = [
      server.inject({ url: '/api/v1/invitations', headers: asProgram(cast[name]) }),
      server.inject({ url: '/invitations', headers: asBrowser(cast[name]) }),
      server.inject({
        method: 'POST',
        url: '/api/v1/invitations',
        headers: asProgram(cast[name]),
        payload: NILS,
      }),
      postForm(server, '/invitations', NILS, { cookie: cast[name].cookie }),
    ]
    for (const answer of await Promise.all(asked)) expect(answer.statusCode).toBe(403)
    expect(await rows('invitations')).toBe(0)
  })

  it('is not for somebody who is signed out', async () => {
    expect((await server.inject({ url: '/api/v1/invitations' })).statusCode).toBe(401)
    expect((await server.inject({ url: '/invitations' })).headers.location).toContain('/sign-in')
    const post = await server.inject({ method: 'POST', url: '/api/v1/invitations', payload: NILS })
    expect(post.statusCode).toBe(401)
  })

  it.each([
    ['nothing', {}, ['email', 'role']],
    ['a role that is none', { ...NILS, role: 'boss' }, ['role']],
    ['an address with a blank', { ...NILS, email: 'a b@north.example' }, ['email']],
    ['an endless address', { ...NILS, email: `${'x'.repeat(250)}@north.example` }, ['email']],
    ['a code of its own', { ...NILS, code: 'easy' }, ['code']],
  ])('refuses %s and writes nothing', async (_what, payload, paths) => {
    const answer = await invite(payload)
    expect(answer.statusCode).toBe(400)
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toEqual(paths)
    expect(await rows('invitations')).toBe(0)
  })
})

describe('an invitation', () => {
  it('brings a new person in through the page, signed in, in the role', async () => {
    const { link } = (await invite()).json()
    const address = new URL(link)
    const page = parse((await server.inject({ url: address.pathname + address.search })).body)
    expect(page.querySelector('h1')?.text).toBe('Join North Ridge Air')
    expect(page.querySelector('input[name=name]')).not.toBeNull()
    const code = page.querySelector('input[name=code]')?.getAttribute('value') ?? ''
    const wrong = await postForm(server, '/invitations/accept', { code, name: 'Nils', password: 'short' })
    expect(wrong.statusCode).toBe(400)
    expect(parse(wrong.body).querySelector('input[name=name]')?.getAttribute('value')).toBe('Nils')
    const done = await postForm(server, '/invitations/accept', { code, name: 'Nils', password: PASSWORD })
    expect(done.headers.location).toBe('/jobs')
    const me = await server.inject({ url: '/api/v1/me', headers: withCookie(cookieOf(done)) })
    expect(me.json()).toMatchObject({ person: { name: 'Nils' }, role: 'warranty' })
  })

  it('asks a known person for their password alone', async () => {
    await register(server)
    const { code } = (await invite({ ...NILS, email: TERN.email })).json()
    const page = await server.inject({ url: `/invitations/accept?code=${code}` })
    expect(parse(page.body).querySelector('input[name=name]')).toBeNull()
    const accept = (password: string) =>
      server.inject({ method: 'POST', url: '/api/v1/invitations/accept', payload: { code, password } })
    const wrong = await accept('another pass phrase')
    expect(wrong.statusCode).toBe(401)
    expect(wrong.headers['set-cookie']).toBeUndefined()
    const done = await accept(PASSWORD)
    expect(done.statusCode).toBe(201)
    expect(done.json()).toMatchObject({ company: { id: cast.olga.companyId }, role: 'warranty' })
    const me = await server.inject({ url: '/api/v1/me', headers: withCookie(cookieOf(done)) })
    expect(me.json()).toMatchObject({ company: { id: cast.olga.companyId } })
    expect(me.json().companies).toHaveLength(2)
  })

  it('taken back, past its date or made up leads nowhere, in the same words', async () => {
    const back = (await invite()).json()
    const revoked = await server.inject({
      method: 'DELETE',
      url: `/api/v1/invitations/${back.id}`,
      headers: asProgram(cast.olga),
    })
    expect(revoked.json()).toMatchObject({ id: back.id, state: 'ended' })
    const late = (await invite()).json()
    const accept = (code: string) =>
      server.inject({
        method: 'POST',
        url: '/api/v1/invitations/accept',
        payload: { code, name: 'Nils', password: PASSWORD },
      })
    cast.clock.pass(14 * DAY)
    const bodies = []
    for (const code of [back.code, late.code, 'made-up']) {
      const answer = await accept(code)
      expect(answer.statusCode).toBe(404)
      bodies.push(answer.body)
      const page = await server.inject({ url: `/invitations/accept?code=${code}` })
      expect(page.body).toContain('This link leads nowhere')
    }
    expect(new Set(bodies).size).toBe(1)
    expect((await server.inject({ url: '/invitations/accept' })).body).toContain('This link leads nowhere')
  })

  it('is taken back on the page', async () => {
    const { id } = (await invite()).json()
    const answer = await postForm(server, `/invitations/${id}/revoke`, {}, { cookie: cast.olga.cookie })
    expect(answer.headers.location).toBe('/invitations')
    const list = await server.inject({ url: '/api/v1/invitations', headers: asProgram(cast.olga) })
    expect(list.json().items[0].state).toBe('ended')
  })

  it('of one company is not there for an owner of another', async () => {
    const { id } = (await invite()).json()
    const stranger = withCookie(cookieOf(await register(server)))
    const answer = await server.inject({
      method: 'DELETE',
      url: `/api/v1/invitations/${id}`,
      headers: stranger,
    })
    expect(answer.statusCode).toBe(404)
    const list = await server.inject({ url: '/api/v1/invitations', headers: stranger })
    expect(list.json().items).toEqual([])
  })

  it('stands in a list that is read in pages', async () => {
    for (let n = 0; n < 5; n += 1) {
      await invite({ ...NILS, email: `n${n}@north.example` })
      cast.clock.pass(n % 2 === 0 ? 1000 : 0)
    }
    const seen: string[] = []
    let cursor = ''
    for (let page = 0; page < 3; page += 1) {
      const answer = await server.inject({
        url: `/api/v1/invitations?limit=2${cursor}`,
        headers: asProgram(cast.olga),
      })
      seen.push(...answer.json().items.map((item: { email: string }) => item.email))
      cursor = answer.json().nextCursor === null ? '' : `&cursor=${answer.json().nextCursor}`
    }
    expect(cursor).toBe('')
    expect([...seen].sort()).toEqual([0, 1, 2, 3, 4].map((n) => `n${n}@north.example`))
    const wrong = await server.inject({
      url: '/api/v1/invitations?cursor=nonsense',
      headers: asProgram(cast.olga),
    })
    expect(wrong.json()).toMatchObject({ status: 400, errors: [{ path: 'cursor' }] })
    for (const limit of ['0', '201', 'many']) {
      const refused = await server.inject({
        url: `/api/v1/invitations?limit=${limit}`,
        headers: asProgram(cast.olga),
      })
      expect(refused.json()).toMatchObject({ status: 400, errors: [{ path: 'limit' }] })
    }
  })
})
