// Is a session that a company's own provider opened good for that company, and for nothing else of the person's?

import type { FastifyInstance, LightMyRequestResponse } from 'fastify'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { aCast, type Cast } from '../support/cast.ts'
import { cookieOf, PASSWORD, register, TERN, withCookie } from '../support/entrance.ts'

describe('a session that a company’s provider opened', () => {
  let cast: Cast
  let server: FastifyInstance
  let bound: Record<string, string>
  let tern: string
  let second: string

  const get = (path: string) => server.inject({ url: `/api/v1${path}`, headers: bound })
  const post = (path: string, payload: object) =>
    server.inject({ method: 'POST', url: `/api/v1${path}`, headers: bound, payload })

  /** Ida owns two companies; the provider of the first says who she is. */
  beforeEach(async () => {
    cast = await aCast()
    cast.machinery.settings.publicUrl = 'http://localhost'
    server = await cast.server()
    const whoIs = async (answer: LightMyRequestResponse) =>
      (await server.inject({ url: '/api/v1/me', headers: withCookie(cookieOf(answer)) })).json()
    const first = await whoIs(await register(server))
    tern = first.company.id
    second = (await whoIs(await register(server, { ...TERN, name: 'Second Tern' }))).company.id
    const personId = first.person.id
    const secret = await cast.deps.sessions.start(personId, tern, { boundTo: tern })
    bound = withCookie(`jointkeep_session=${secret}`)
  })
  afterEach(() => cast.remove())

  it('works in that company', async () => {
    expect((await get('/jobs')).statusCode).toBe(200)
    expect((await get('/me')).json()).toMatchObject({ company: { id: tern }, role: 'owner' })
  })

  it('does not reach another one, and hears nothing of it', async () => {
    const answer = await post('/session/company', { companyId: second })
    expect(answer.json()).toMatchObject({ status: 403, code: 'bound-session' })
    expect((await post('/session/company', { companyId: tern })).statusCode).toBe(200)
    expect((await get('/me')).json().companies.map(({ id }: { id: string }) => id)).toEqual([tern])
    for (const path of ['/me', '/companies', '/me/signing-in'])
      expect((await server.inject({ url: path, headers: bound })).body, path).not.toContain('Second Tern')
    const { sessions, signIns } = (await get('/me/signing-in')).json()
    expect(sessions.map(({ companyId }: { companyId: string }) => companyId)).not.toContain(second)
    // Both came in by founding a company: the other one stands in no list here.
    expect(signIns.filter(({ way }: { way: string }) => way === 'sign-up')).toHaveLength(1)
  })

  it.each([
    ['/me/authenticator', { password: PASSWORD }],
    ['/me/authenticator/confirm', { code: '123456' }],
    ['/me/authenticator/remove', { password: PASSWORD }],
    ['/me/recovery-codes', { password: PASSWORD }],
    ['/me/passkeys/begin', { password: PASSWORD }],
    ['/me/passkeys/019cb8e0-0000-7000-8000-000000000000/remove', { password: PASSWORD }],
  ])('changes nothing of what guards the whole account: %s', async (path, payload) => {
    expect((await post(path, payload)).json()).toMatchObject({ status: 403, code: 'bound-session' })
  })

  it('is not shown what guards the account either', async () => {
    expect((await get('/me/second-step')).json()).toMatchObject({ status: 403, code: 'bound-session' })
  })

  it('is not held for a second step, which is for its provider to ask', async () => {
    await cast.store.store.transaction(async ({ db, t }) => {
      await db.update(t.companies).set({ secondStep: 'everybody' })
    })
    expect((await get('/jobs')).statusCode).toBe(200)
  })

  it('does not count as a second step where somebody joins or founds another company', async () => {
    const ida = (await get('/me')).json().person.id
    await cast.store.store.transaction(async ({ db, t }) => {
      await db
        .insert(t.authenticators)
        .values({ personId: ida, secret: 'sealed', lastStep: 0, createdAt: 1, confirmedAt: 1 })
      await db.update(t.sessions).set({ secondStepAt: 1 })
    })
    const third = await post('/companies', { ...TERN, name: 'Third Tern' })
    expect(third.statusCode).toBe(202)
    expect(third.cookies).toEqual([])
  })
})
