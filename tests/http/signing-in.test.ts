// Does a person see where and when they signed in, and can they sign out elsewhere, without reaching anybody else?

import type { FastifyInstance } from 'fastify'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { newId } from '../../server/ids.ts'
import { removeOldSignIns } from '../../server/store/queries/sign-ins.ts'
import { aCast, asBrowser, asProgram, type Cast, DAY, HOUR } from '../support/cast.ts'
import { cookieOf, PASSWORD, postForm, register, signIn, TERN, withCookie } from '../support/entrance.ts'

const FIREFOX = 'Mozilla/5.0 (Windows NT 10.0; Win64; x64; rv:128.0) Gecko/20100101 Firefox/128.0'
let cast: Cast
let server: FastifyInstance
beforeEach(async () => {
  cast = await aCast()
  server = await cast.server()
})
afterEach(() => cast.remove())

const known = async (headers: Record<string, string>) =>
  (await server.inject({ url: '/api/v1/me/signing-in', headers })).json()
const statusOf = async (headers: Record<string, string>) =>
  (await server.inject({ url: '/api/v1/me', headers })).statusCode
const signInWith = (userAgent: string) =>
  server.inject({
    method: 'POST',
    url: '/api/v1/session',
    headers: { 'user-agent': userAgent },
    payload: { email: TERN.email, password: PASSWORD },
  })

describe('where somebody is signed in', () => {
  it('names each browser in words, when it came and was last used, and which one asks', async () => {
    const first = withCookie(cookieOf(await register(server)))
    cast.clock.pass(2 * HOUR)
    const second = withCookie(cookieOf(await signInWith(FIREFOX)))
    const { sessions } = await known(second)
    expect(sessions).toMatchObject([
      { browser: 'Firefox/Windows', createdAt: '2026-03-04T17:00:00.000Z', here: true },
      { createdAt: '2026-03-04T15:00:00.000Z', lastUsedAt: '2026-03-04T15:00:00.000Z', here: false },
    ])
    expect(JSON.stringify(sessions)).not.toContain('Gecko')
    await statusOf(first)
    expect((await known(second)).sessions[1].lastUsedAt).toBe('2026-03-04T17:00:00.000Z')
    const page = await server.inject({ url: '/me/signing-in', headers: second })
    expect(page.body).toContain('Firefox on Windows')
    expect(page.body).toContain('(this one)')
  })

  it('ends where they say, and a second time there is none', async () => {
    const lost = withCookie(cookieOf(await register(server)))
    const here = withCookie(cookieOf(await signIn(server, TERN.email)))
    const { sessions } = await known(here)
    const { id } = sessions.find((one: { here: boolean }) => !one.here)
    const end = () => server.inject({ method: 'DELETE', url: `/api/v1/me/sessions/${id}`, headers: here })
    expect((await end()).statusCode).toBe(200)
    expect(await statusOf(lost)).toBe(401)
    expect(await statusOf(here)).toBe(200)
    expect((await end()).statusCode).toBe(404)
  })

  it('ends everywhere else at once, by the form', async () => {
    const others = [await register(server), await signIn(server, TERN.email)].map((one) =>
      withCookie(cookieOf(one)),
    )
    const here = withCookie(cookieOf(await signIn(server, TERN.email)))
    const answer = await postForm(server, '/me/sessions/end-others', {}, here)
    expect(answer.headers.location).toBe('/me/signing-in')
    for (const other of others) expect(await statusOf(other)).toBe(401)
    expect(await statusOf(here)).toBe(200)
    // Nobody else's ended with them.
    expect(await statusOf(asBrowser(cast.tess))).toBe(200)
  })

  it('is nobody else’s to end', async () => {
    const theirs = (await known(asBrowser(cast.tess))).sessions[0].id
    for (const player of [cast.olga, cast.zoe]) {
      const headers = asBrowser(player)
      const answer = await server.inject({ method: 'DELETE', url: `/api/v1/me/sessions/${theirs}`, headers })
      expect(answer.statusCode).toBe(404)
    }
    expect(await statusOf(asBrowser(cast.tess))).toBe(200)
  })

  it('is neither shown to a token nor to who is signed out, and ended by neither', async () => {
    for (const headers of [asProgram(cast.tess), {}]) {
      expect((await server.inject({ url: '/api/v1/me/signing-in', headers })).statusCode).toBe(401)
      const others = await server.inject({ method: 'POST', url: '/api/v1/me/sessions/end-others', headers })
      expect(others.statusCode).toBe(401)
      const one = await server.inject({ method: 'DELETE', url: `/api/v1/me/sessions/${newId()}`, headers })
      expect(one.statusCode).toBe(401)
    }
    expect(await statusOf(asBrowser(cast.tess))).toBe(200)
    expect((await server.inject({ url: '/me/signing-in' })).headers.location).toContain('/sign-in')
  })

  it.each([
    ['what is no id', 'DELETE', '/api/v1/me/sessions/everything', {}, 'handle'],
    ['a field that is not known', 'POST', '/api/v1/me/sessions/end-others', { all: true }, 'all'],
  ] as const)('does not end by %s', async (_what, method, url, payload, path) => {
    const answer = await server.inject({ method, url, headers: asBrowser(cast.tess), payload })
    expect(answer.json()).toMatchObject({ status: 400, errors: [{ path }] })
  })
})

describe('when somebody signed in', () => {
  it('says how and with what, newest first, for the person and for an owner', async () => {
    const owner = withCookie(cookieOf(await register(server)))
    cast.clock.pass(HOUR)
    await signInWith(FIREFOX)
    const { signIns } = await known(owner)
    expect(signIns).toMatchObject([
      { way: 'password', browser: 'Firefox/Windows', succeeded: true, at: '2026-03-04T16:00:00.000Z' },
      { way: 'sign-up', succeeded: true, at: '2026-03-04T15:00:00.000Z' },
    ])
    const me = (await server.inject({ url: '/api/v1/me', headers: owner })).json()
    const url = `/members/${me.member.id}`
    const listed = await server.inject({ url: `/api/v1${url}/sign-ins`, headers: owner })
    expect(listed.json().items).toEqual(signIns)
    expect((await server.inject({ url, headers: owner })).body).toContain('with the password')
  })

  it('is kept for 90 days, and no longer', async () => {
    const first = withCookie(cookieOf(await register(server)))
    cast.clock.pass(89 * DAY)
    await signInWith(FIREFOX)
    const second = withCookie(cookieOf(await signInWith(FIREFOX)))
    expect((await known(second)).signIns).toHaveLength(3)
    cast.clock.pass(2 * DAY)
    expect((await known(second)).signIns).toHaveLength(2)
    expect(await statusOf(first)).toBe(401)
    const rows = () => cast.store.store.query('select id from sign_ins')
    expect(await rows()).toHaveLength(3)
    await cast.store.store.transaction((session) => removeOldSignIns(session, cast.clock.now))
    expect(await rows()).toHaveLength(2)
  })

  it('is not shown to an owner of another company, nor to who is no owner', async () => {
    const stranger = withCookie(cookieOf(await register(server)))
    const url = `/api/v1/members/${cast.tess.memberId}/sign-ins`
    expect((await server.inject({ url, headers: stranger })).statusCode).toBe(404)
    for (const player of [cast.tess, cast.sam, cast.wren])
      expect((await server.inject({ url, headers: asBrowser(player) })).statusCode).toBe(403)
    expect((await server.inject({ url })).statusCode).toBe(401)
  })
})
