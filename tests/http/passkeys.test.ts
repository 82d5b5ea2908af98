// Does a passkey open for whom it was made, by what it was asked just now, and for nobody and nothing else?

import type { FastifyInstance } from 'fastify'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { placeOf } from '../../server/access/passkeys.ts'
import { resetSecondStepOf } from '../../server/commands/people/reset-second-step.ts'
import { setSecondStep } from '../../server/commands/people/set-second-step.ts'
import { aCast, type Cast, MINUTE } from '../support/cast.ts'
import { cookieOf, PASSWORD, register, signIn, TERN, withCookie } from '../support/entrance.ts'
import { SoftPasskey, type Told } from '../support/passkey.ts'
import { STORE_KINDS } from '../support/stores.ts'

describe.each(STORE_KINDS)('a passkey, on %s', (kind) => {
  let cast: Cast
  let server: FastifyInstance
  let here: Record<string, string>
  let passkey: SoftPasskey
  let owner: string

  const post = (url: string, payload: object, headers: Record<string, string> = {}) =>
    server.inject({ method: 'POST', url: `/api/v1${url}`, headers, payload })
  const own = async () => (await server.inject({ url: '/api/v1/me/second-step', headers: here })).json()
  const begin = async (headers = here) =>
    (await post('/me/passkeys/begin', { password: PASSWORD }, headers)).json()
  const add = async (one: SoftPasskey, told: Partial<Told> = {}, name = 'Phone') => {
    const { step, options } = await begin()
    const credential = one.made({ challenge: options.challenge, ...told })
    return post('/me/passkeys', { step, name, credential }, here)
  }
  const ask = async (step?: string) =>
    (await post('/session/passkey/begin', step === undefined ? {} : { step })).json()
  const waiting = async (): Promise<string> => (await signIn(server, TERN.email)).json().secondStep.step
  /** With nothing but the passkey. */
  const alone = async (told: Partial<Told> = {}, one = passkey) => {
    const { step, options } = await ask()
    const credential = one.answers({ challenge: options.challenge, userHandle: owner, ...told })
    return post('/session/passkey', { step, credential })
  }
  const signIns = async () =>
    (await server.inject({ url: '/api/v1/me/signing-in', headers: here }))
      .json()
      .signIns.map(({ way, succeeded }: { way: string; succeeded: boolean }) => `${way} ${succeeded}`)

  /** Ida owns a company and has one passkey. */
  beforeEach(async () => {
    cast = await aCast(kind)
    cast.machinery.settings.publicUrl = 'http://localhost'
    server = await cast.server()
    here = withCookie(cookieOf(await register(server)))
    passkey = new SoftPasskey()
    owner = (await begin()).options.user.id
    const added = await add(passkey)
    expect(added.statusCode).toBe(201)
    expect(added.json().recoveryCodes).toHaveLength(10)
    here = withCookie(cookieOf(added))
  })
  afterEach(() => cast.remove())

  it('is added with the password, listed with its days, and asked for after the password', async () => {
    expect(await own()).toMatchObject({
      state: 'off',
      recoveryCodesLeft: 10,
      passkeys: [{ name: 'Phone', lastUsedAt: null }],
    })
    const step = await waiting()
    const { options } = await ask(step)
    expect(options.allowCredentials).toMatchObject([{ id: passkey.id.toString('base64url') }])
    expect(options.userVerification).toBe('preferred')
    const credential = passkey.answers({ challenge: options.challenge, verified: false })
    const answer = await post('/session/passkey', { step, credential })
    expect(answer.statusCode).toBe(201)
    expect(answer.json()).toMatchObject({ person: { email: TERN.email }, role: 'owner' })
    expect(await signIns()).toContain('password-and-passkey true')
    expect((await own()).passkeys[0].lastUsedAt).not.toBeNull()
    // Its step went on, and does not go on again.
    expect((await post('/session/passkey', { step, credential })).json().code).toBe('step-over')
  })

  it('signs in by itself, where it knows its owner and made sure that it is they', async () => {
    const answer = await alone()
    expect(answer.statusCode).toBe(201)
    const inside = withCookie(cookieOf(answer))
    expect((await server.inject({ url: '/api/v1/me', headers: inside })).json().person.email).toBe(TERN.email)
    expect(await signIns()).toContain('passkey true')
    for (const told of [{ verified: false }, { userHandle: 'bm90IHRoZXk' }])
      expect((await alone(told)).json()).toMatchObject({ status: 401, code: 'passkey-refused' })
    expect(await signIns()).toContain('passkey false')
  })

  it.each<[string, Partial<Told>]>([
    ['another question', { challenge: 'YW5vdGhlciBxdWVzdGlvbg' }],
    ['another site', { origin: 'https://localhost.example' }],
    ['another port of this site', { origin: 'http://localhost:81' }],
    ['another name', { rpId: 'localhost.example' }],
    ['another purpose', { type: 'webauthn.create' }],
  ])('opens nothing with what it answered to %s', async (_what, told) => {
    const answer = await alone(told)
    expect(answer.statusCode).toBe(401)
    expect(answer.cookies).toEqual([])
    const made = await add(new SoftPasskey(), told.type ? { type: 'webauthn.get' } : told)
    expect(made.json()).toMatchObject({ status: 409, code: 'passkey-not-made' })
    expect((await own()).passkeys).toHaveLength(1)
  })

  it('opens nothing once what was signed, or by whom, was changed', async () => {
    const { step, options } = await ask()
    const credential = passkey.answers({ challenge: options.challenge, userHandle: owner })
    const other = new SoftPasskey().answers({ challenge: options.challenge, userHandle: owner })
    const forged = {
      ...credential,
      response: { ...credential.response, signature: other.response.signature },
    }
    expect((await post('/session/passkey', { step, credential: forged })).statusCode).toBe(401)
    // It was asked once: the right answer comes too late.
    expect((await post('/session/passkey', { step, credential })).json().code).toBe('step-over')
    expect((await alone({}, new SoftPasskey())).json().code).toBe('passkey-refused')
  })

  it('is not asked twice the same after a password either, and a code is still taken', async () => {
    const step = await waiting()
    const { options } = await ask(step)
    const wrong = passkey.answers({ challenge: options.challenge, origin: 'https://other.example' })
    expect((await post('/session/passkey', { step, credential: wrong })).statusCode).toBe(401)
    const right = passkey.answers({ challenge: options.challenge })
    expect((await post('/session/passkey', { step, credential: right })).json().code).toBe('step-over')
    const [paper] = (await post('/me/recovery-codes', { password: PASSWORD }, here)).json().recoveryCodes
    expect((await post('/session/second-step', { step, code: paper })).statusCode).toBe(201)
  })

  it('goes on with nobody else’s sign-in', async () => {
    const stranger = { ...TERN, name: 'Dunlin Air', email: 'eve@dunlin.example' }
    const theirs = withCookie(cookieOf(await register(server, stranger)))
    const eves = new SoftPasskey()
    const { step, options } = await begin(theirs)
    const made = { step, name: 'Key', credential: eves.made({ challenge: options.challenge }) }
    // Begun in one session, it is not done in another.
    expect((await post('/me/passkeys', made, here)).json().code).toBe('passkey-question-over')
    expect((await post('/me/passkeys', made, theirs)).statusCode).toBe(201)
    const idas = await waiting()
    const asked = await ask(idas)
    const credential = eves.answers({ challenge: asked.options.challenge })
    expect((await post('/session/passkey', { step: idas, credential })).statusCode).toBe(401)
  })

  it('whose count went back is refused, of two at the same moment the second', async () => {
    expect((await alone({ counter: 7 })).statusCode).toBe(201)
    expect((await alone({ counter: 7 })).statusCode).toBe(401)
    expect((await alone({ counter: 3 })).statusCode).toBe(401)
    const both = await Promise.all([alone({ counter: 8 }), alone({ counter: 8 })])
    expect(both.map(({ statusCode }) => statusCode).sort()).toEqual([201, 401])
  })

  it('waits ten minutes for its answer', async () => {
    const { step, options } = await ask()
    cast.clock.pass(10 * MINUTE)
    const credential = passkey.answers({ challenge: options.challenge, userHandle: owner })
    expect((await post('/session/passkey', { step, credential })).json().code).toBe('step-over')
  })

  it('is called something else, and removed with the password; what is left opens on', async () => {
    const [{ id }] = (await own()).passkeys
    const rename = (payload: object, headers = here) =>
      server.inject({ method: 'PATCH', url: `/api/v1/me/passkeys/${id}`, headers, payload })
    expect((await rename({ name: 'Old phone' })).json()).toEqual({ id, name: 'Old phone' })
    expect((await rename({ name: '' })).statusCode).toBe(400)
    expect(
      (await rename({ name: 'Mine' }, { cookie: cast.zoe.cookie, origin: here.origin ?? '' })).statusCode,
    ).toBe(404)
    const second = new SoftPasskey()
    const added = await add(second, {}, 'Key')
    expect(added.json()).toMatchObject({ passkey: { name: 'Key' }, recoveryCodes: null })
    expect((await add(second)).json().code).toBe('passkey-there')
    const remove = (payload: object) => post(`/me/passkeys/${id}/remove`, payload, here)
    expect((await remove({ password: 'not this one at all' })).json().errors[0].path).toBe('password')
    expect((await remove({ password: PASSWORD })).json()).toEqual({ removed: true })
    expect((await remove({ password: PASSWORD })).statusCode).toBe(404)
    expect((await alone()).json().code).toBe('passkey-refused')
    expect((await alone({}, second)).statusCode).toBe(201)
    expect(await own()).toMatchObject({ recoveryCodesLeft: 10, passkeys: [{ name: 'Key' }] })
  })

  it('that is the last second step goes with its recovery codes, unless a company wants one', async () => {
    const [{ id }] = (await own()).passkeys
    const me = (await server.inject({ url: '/api/v1/me', headers: here })).json()
    const actor = {
      ...cast.olga,
      personId: me.person.id,
      memberId: me.member.id,
      companyId: me.company.id,
    }
    await cast.run(actor, setSecondStep, { of: 'managers' })
    const remove = () => post(`/me/passkeys/${id}/remove`, { password: PASSWORD }, here)
    expect((await remove()).json()).toMatchObject({ status: 409, code: 'last-second-step' })
    expect((await own()).passkeys).toHaveLength(1)
    await cast.run(actor, setSecondStep, { of: 'nobody' })
    expect((await remove()).json()).toEqual({ removed: true })
    expect(await own()).toMatchObject({ recoveryCodesLeft: 0, passkeys: [] })
    expect((await signIn(server, TERN.email)).statusCode).toBe(201)
  })

  it('counts where a company asks who has no second step', async () => {
    const without = async () =>
      (await server.inject({ url: '/api/v1/company/second-step', headers: here })).json().without
    expect(await without()).toEqual([])
    const [{ id }] = (await own()).passkeys
    await post(`/me/passkeys/${id}/remove`, { password: PASSWORD }, here)
    expect(await without()).toMatchObject([{ name: 'Ida' }])
  })

  it('goes with everything else where a second step is reset, and so do the sessions', async () => {
    expect(await resetSecondStepOf(cast.machinery, { email: TERN.email })).toBe(true)
    expect((await alone()).json().code).toBe('passkey-refused')
    expect((await server.inject({ url: '/api/v1/me', headers: here })).statusCode).toBe(401)
    expect((await signIn(server, TERN.email)).statusCode).toBe(201)
  })

  it('is made neither by a token nor by who has not got the password', async () => {
    const byToken = { authorization: `Bearer ${cast.tess.token}` }
    expect((await post('/me/passkeys/begin', { password: PASSWORD }, byToken)).statusCode).toBe(401)
    expect((await post('/me/passkeys/begin', { password: 'not this one at all' }, here)).statusCode).toBe(400)
    expect((await post('/me/passkeys/begin', { password: PASSWORD })).statusCode).toBe(401)
  })

  it('says without JavaScript that it needs it, and offers what does not', async () => {
    const page = (await server.inject({ url: '/me/second-step', headers: here })).body
    expect(page).toMatch(/<noscript><p class="why">A passkey needs JavaScript/)
    expect(page).toMatch(/<form [^>]*action="\/me\/passkeys"[^>]* hidden/)
    const password = new URLSearchParams({ email: TERN.email, password: PASSWORD }).toString()
    const asForm = { origin: here.origin ?? '', 'content-type': 'application/x-www-form-urlencoded' }
    const step = await server.inject({ method: 'POST', url: '/sign-in', headers: asForm, payload: password })
    expect(step.body).toMatch(/<noscript><p class="why">Signing in with a passkey needs JavaScript/)
    expect(step.body).toContain('name="code"')
  })

  it('is told of in words where the server’s address is none that browsers make one for', async () => {
    cast.machinery.settings.publicUrl = 'http://jointkeep.test'
    expect((await begin()).code).toBe('no-passkeys-here')
    expect((await ask()).code).toBe('no-passkeys-here')
    const page = await server.inject({ url: '/me/second-step', headers: here })
    expect(page.body).toContain('this server’s is http://jointkeep.test')
    expect((await server.inject({ url: '/sign-in' })).body).not.toContain('data-passkey')
  })
})

describe('where passkeys are made for', () => {
  it.each([
    ['https://keep.tern.example', { id: 'keep.tern.example', origin: 'https://keep.tern.example' }],
    [
      'https://keep.tern.example:8443/',
      { id: 'keep.tern.example', origin: 'https://keep.tern.example:8443' },
    ],
    ['http://localhost:8080', { id: 'localhost', origin: 'http://localhost:8080' }],
    ['http://keep.tern.example', null],
    ['http://127.0.0.1:8080', null],
    ['https://192.0.2.7', null],
    ['https://[2001:db8::7]', null],
  ])('%s', (address, place) => {
    expect(placeOf(address)).toEqual(place)
  })
})
