// Does a second step keep out who has the password alone, whichever way they come, and let in who has the code?

import type { FastifyInstance } from 'fastify'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { bytesOf, codeOf, stepAt } from '../../server/access/one-time-codes.ts'
import { hashPassword } from '../../server/access/passwords.ts'
import { sealedFor } from '../../server/commands/people/check-code.ts'
import { invitePerson } from '../../server/commands/people/invite-person.ts'
import { resetSecondStepOf } from '../../server/commands/people/reset-second-step.ts'
import { aCast, asBrowser, asProgram, type Cast, MINUTE } from '../support/cast.ts'
import { cookieOf, PASSWORD, postForm, register, signIn, TERN, withCookie } from '../support/entrance.ts'
import { STORE_KINDS } from '../support/stores.ts'

const HALF_MINUTE = 30_000

describe.each(STORE_KINDS)('a second step, on %s', (kind) => {
  let cast: Cast
  let server: FastifyInstance
  let secret: string
  let here: Record<string, string>
  let paper: string[]

  const post = (url: string, payload: object, headers: Record<string, string> = {}) =>
    server.inject({ method: 'POST', url: `/api/v1${url}`, headers, payload })
  const statusOf = async (headers: Record<string, string>) =>
    (await server.inject({ url: '/api/v1/me', headers })).statusCode
  const code = (away = 0) => codeOf(bytesOf(secret), stepAt(cast.clock.now) + away)
  const withPassword = (more: object = {}) =>
    post('/session', { email: TERN.email, password: PASSWORD, ...more })
  const stepFor = async () => (await withPassword()).json().secondStep.step as string
  const own = async () => (await server.inject({ url: '/api/v1/me/second-step', headers: here })).json()

  /** Ida owns a company, sets up an authenticator, and is signed in. */
  beforeEach(async () => {
    cast = await aCast(kind)
    server = await cast.server()
    const before = withCookie(cookieOf(await register(server)))
    secret = (await post('/me/authenticator', { password: PASSWORD }, before)).json().secret
    const confirmed = await post('/me/authenticator/confirm', { code: code() }, before)
    paper = confirmed.json().recoveryCodes
    here = withCookie(cookieOf(confirmed))
    cast.clock.pass(HALF_MINUTE)
  })
  afterEach(() => cast.remove())

  it('is asked for after the password, which by itself opens nothing', async () => {
    const first = await withPassword()
    expect(first.statusCode).toBe(202)
    expect(first.cookies).toEqual([])
    const { step, expiresAt } = first.json().secondStep
    expect(Date.parse(expiresAt) - cast.clock.now).toBe(10 * MINUTE)
    expect(first.body).not.toContain('Ida')
    const second = await post('/session/second-step', { step, code: code() })
    expect(second.statusCode).toBe(201)
    expect(second.json()).toMatchObject({ person: { email: TERN.email }, role: 'owner' })
    expect(await statusOf(withCookie(cookieOf(second)))).toBe(200)
    // What went on once does not go on again, with another good code neither.
    cast.clock.pass(HALF_MINUTE)
    expect((await post('/session/second-step', { step, code: code() })).json().code).toBe('step-over')
  })

  it('may come along with the password in one call', async () => {
    const answer = await withPassword({ code: code() })
    expect(answer.statusCode).toBe(201)
    expect(await statusOf(withCookie(cookieOf(answer)))).toBe(200)
    cast.clock.pass(HALF_MINUTE)
    const wrong = await withPassword({ code: '000000' })
    expect(wrong.json()).toMatchObject({ status: 401, code: 'wrong-code', errors: [{ path: 'code' }] })
    expect(wrong.cookies).toEqual([])
  })

  it('takes each code once, of two browsers at the same moment too, and none from before', async () => {
    const [one, two] = [await stepFor(), await stepFor()]
    const same = code()
    const answers = await Promise.all(
      [one, two].map((step) => post('/session/second-step', { step, code: same })),
    )
    expect(answers.map(({ statusCode }) => statusCode).sort()).toEqual([201, 401])
    expect((await withPassword({ code: same })).statusCode).toBe(401)
    expect((await withPassword({ code: code(-1) })).statusCode).toBe(401)
    cast.clock.pass(HALF_MINUTE)
    expect((await withPassword({ code: code() })).statusCode).toBe(201)
  })

  it('takes a recovery code in place of it, once, however it is written', async () => {
    const [first = '', second = ''] = paper
    expect(paper).toHaveLength(10)
    const typed = first.toUpperCase().replaceAll('-', ' ').replaceAll('0', 'O').replaceAll('1', 'L')
    expect((await withPassword({ code: typed })).statusCode).toBe(201)
    expect((await withPassword({ code: first })).json().code).toBe('wrong-code')
    expect(await own()).toMatchObject({ state: 'on', recoveryCodesLeft: 9 })
    // A new set puts the old one out of use.
    const made = await post('/me/recovery-codes', { password: PASSWORD }, here)
    expect(made.statusCode).toBe(201)
    expect((await withPassword({ code: second })).json().code).toBe('wrong-code')
    expect((await withPassword({ code: made.json().recoveryCodes[0] })).statusCode).toBe(201)
  })

  it('is not guessed: after five wrong codes a right one does not open either, and paper still does', async () => {
    const step = await stepFor()
    for (let time = 0; time < 5; time += 1)
      expect((await post('/session/second-step', { step, code: '000000' })).statusCode).toBe(401)
    expect((await post('/session/second-step', { step, code: code() })).statusCode).toBe(429)
    expect((await withPassword({ code: code() })).statusCode).toBe(429)
    expect((await post('/session/second-step', { step, code: paper[0] })).statusCode).toBe(201)
    cast.clock.pass(15 * MINUTE)
    expect((await withPassword({ code: code() })).statusCode).toBe(201)
  })

  it('lasts ten minutes', async () => {
    const step = await stepFor()
    cast.clock.pass(10 * MINUTE)
    expect((await post('/session/second-step', { step, code: code() })).json()).toMatchObject({
      status: 401,
      code: 'step-over',
    })
  })

  it('says nothing to who has not got the password: the answer is as for anybody', async () => {
    const wrong = await post('/session', { email: TERN.email, password: 'not this one at all', code: code() })
    const nobody = await post('/session', { email: 'no@tern.example', password: PASSWORD, code: code() })
    expect(wrong.json()).toEqual(nobody.json())
    expect((await withPassword({ code: code() })).statusCode).toBe(201)
  })

  it('is asked for as well of who founds another company or joins one by their password', async () => {
    const founded = await register(server, { ...TERN, name: 'Second Tern' })
    expect(founded.statusCode).toBe(202)
    expect(founded.cookies).toEqual([])
    const { code: invitation } = await cast.run(cast.olga, invitePerson, {
      email: TERN.email,
      role: 'owner',
    })
    const joined = await post('/invitations/accept', { code: invitation?.reveal(), password: PASSWORD })
    expect(joined.statusCode).toBe(202)
    expect(joined.cookies).toEqual([])
    const { step } = joined.json().secondStep
    const inside = await post('/session/second-step', { step, code: code() })
    expect(inside.json().company.id).toBe(cast.olga.companyId)
    // Who is signed in with their second step is not asked once more.
    const third = await post('/companies', { ...TERN, name: 'Third Tern' }, here)
    expect(third.statusCode).toBe(201)
  })

  it('ends every other session when it is set up, and this one gets a new secret', async () => {
    const tess = asBrowser(cast.tess)
    const passwordHash = await hashPassword(PASSWORD)
    await cast.store.store.transaction(async ({ db, t }) => {
      await db.update(t.people).set({ passwordHash })
    })
    const other = withCookie(
      `jointkeep_session=${await cast.deps.sessions.start(cast.tess.personId, cast.tess.companyId)}`,
    )
    const begun = await post('/me/authenticator', { password: PASSWORD }, tess)
    secret = begun.json().secret
    expect(begun.json().address).toContain(`secret=${secret}`)
    const confirmed = await post('/me/authenticator/confirm', { code: code() }, tess)
    expect(await statusOf(tess)).toBe(401)
    expect(await statusOf(other)).toBe(401)
    expect(await statusOf(withCookie(cookieOf(confirmed)))).toBe(200)
    // Programs go on.
    expect(await statusOf(asProgram(cast.tess))).toBe(200)
    const kinds = await cast.store.store.query(
      `select id from entries where kind = 'second-step-set-up' and company_id = '${cast.tess.companyId}'`,
    )
    expect(kinds).toHaveLength(1)
  })

  it('is kept so that neither key nor codes can be read from the database', async () => {
    const rows = JSON.stringify([
      await cast.store.store.query('select * from authenticators'),
      await cast.store.store.query('select * from recovery_codes'),
    ])
    expect(rows).not.toContain(secret)
    for (const one of paper) expect(rows).not.toContain(one)
    // A row that was moved to somebody else opens nothing for them.
    const [ida] = await cast.store.store.query<{ secret: string; person_id: string }>(
      'select secret, person_id from authenticators',
    )
    expect(cast.machinery.sealer.open(ida?.secret ?? '', sealedFor(ida?.person_id ?? ''))).toBe(secret)
    expect(cast.machinery.sealer.open(ida?.secret ?? '', sealedFor(cast.tess.personId))).toBeNull()
  })

  it('needs the password for each change, and is neither shown nor changed by a token', async () => {
    for (const url of ['/me/authenticator', '/me/recovery-codes', '/me/authenticator/remove']) {
      const wrong = await post(url, { password: 'not this one at all' }, here)
      expect(wrong.json(), url).toMatchObject({ status: 400, errors: [{ path: 'password' }] })
      expect((await post(url, {}, here)).statusCode, url).toBe(400)
      for (const headers of [asProgram(cast.olga), {}])
        expect((await post(url, { password: PASSWORD }, headers)).statusCode, url).toBe(401)
    }
    for (const headers of [asProgram(cast.olga), {}]) {
      expect((await server.inject({ url: '/api/v1/me/second-step', headers })).statusCode).toBe(401)
      expect((await post('/me/authenticator/confirm', { code: '123456' }, headers)).statusCode).toBe(401)
    }
    expect(await own()).toMatchObject({ state: 'on', recoveryCodesLeft: 10 })
  })

  it('is not set up over one that is there, nor confirmed without one that waits', async () => {
    expect((await post('/me/authenticator', { password: PASSWORD }, here)).json().code).toBe(
      'second-step-there',
    )
    const again = await post('/me/authenticator/confirm', { code: code() }, here)
    expect(again.json().code).toBe('second-step-there')
    const none = await post('/me/authenticator/confirm', { code: '123456' }, asBrowser(cast.tess))
    expect(none.json().code).toBe('authenticator-not-begun')
  })

  it('is taken away by its owner, and the password alone then opens', async () => {
    expect((await post('/me/authenticator/remove', { password: PASSWORD }, here)).json()).toEqual({
      removed: true,
    })
    expect((await post('/me/authenticator/remove', { password: PASSWORD }, here)).json()).toEqual({
      removed: false,
    })
    expect((await withPassword()).statusCode).toBe(201)
    // A paper of then opens nothing, and is not needed.
    expect(await own()).toMatchObject({ state: 'off' })
  })

  it('is taken away by an owner for a member who lost it, which stands in the record and ends their sessions', async () => {
    const { code: invitation } = await cast.run(cast.olga, invitePerson, {
      email: 'new@tern.example',
      role: 'technician',
    })
    const joined = await post('/invitations/accept', {
      code: invitation?.reveal(),
      name: 'Nils',
      password: PASSWORD,
    })
    const nils = withCookie(cookieOf(joined))
    secret = (await post('/me/authenticator', { password: PASSWORD }, nils)).json().secret
    const session = withCookie(cookieOf(await post('/me/authenticator/confirm', { code: code() }, nils)))
    const url = `/members/${joined.json().member.id}/reset-second-step`
    for (const player of [cast.tess, cast.sam, cast.wren])
      expect((await post(url, {}, asProgram(player))).statusCode).toBe(403)
    expect((await post(url, {}, here)).statusCode).toBe(404)
    expect((await post(url, {})).statusCode).toBe(401)
    expect(await statusOf(session)).toBe(200)
    const page = await server.inject({
      url: `/members/${joined.json().member.id}`,
      headers: asBrowser(cast.olga),
    })
    expect(page.body).toContain('Take their second step away')
    expect((await post(url, {}, asProgram(cast.olga))).statusCode).toBe(200)
    expect(await statusOf(session)).toBe(401)
    expect((await signIn(server, 'new@tern.example')).statusCode).toBe(201)
    const kinds = await cast.store.store.query(`select id from entries where kind = 'second-step-reset'`)
    expect(kinds).toHaveLength(1)
  })

  it('is not for one company to take away when it guards another, nor for an owner their own', async () => {
    const { code: invitation } = await cast.run(cast.olga, invitePerson, {
      email: TERN.email,
      role: 'technician',
    })
    const joined = await post('/invitations/accept', { code: invitation?.reveal(), password: PASSWORD }, here)
    expect(joined.statusCode).toBe(201)
    const reset = (memberId: string) =>
      post(`/members/${memberId}/reset-second-step`, {}, asProgram(cast.olga))
    expect((await reset(joined.json().member.id)).json().code).toBe('second-step-shared')
    expect((await reset(cast.olga.memberId)).json().code).toBe('own-second-step')
    expect((await withPassword()).statusCode).toBe(202)
  })

  it('is taken away at the console for whoever is left', async () => {
    expect(await resetSecondStepOf(cast.machinery, { email: TERN.email })).toBe(true)
    expect(await statusOf(here)).toBe(401)
    expect((await withPassword()).statusCode).toBe(201)
    await expect(resetSecondStepOf(cast.machinery, { email: 'no@tern.example' })).rejects.toThrow()
  })

  it('is wanted by a company: who has none gets no further than setting it up, and programs go on', async () => {
    const wanted = (of: string, headers: Record<string, string>) =>
      server.inject({ method: 'PUT', url: '/api/v1/company/second-step', headers, payload: { of } })
    // Not before the owner has one, nor by anybody else.
    const early = await wanted('everybody', asBrowser(cast.olga))
    expect(early.json()).toMatchObject({
      status: 409,
      code: 'own-second-step-first',
      errors: [{ path: 'of' }],
    })
    for (const player of [cast.tess, cast.sam, cast.wren])
      expect((await wanted('nobody', asBrowser(player))).statusCode).toBe(403)
    expect((await wanted('everybody', {})).statusCode).toBe(401)
    expect((await wanted('sometimes', here)).json()).toMatchObject({ status: 400, errors: [{ path: 'of' }] })
    const { code: invitation } = await cast.run(cast.olga, invitePerson, { email: TERN.email, role: 'owner' })
    await post('/invitations/accept', { code: invitation?.reveal(), password: PASSWORD }, here)
    const inside = await withPassword({ code: code() })
    const ida = withCookie(cookieOf(inside))
    await post('/session/company', { companyId: cast.olga.companyId }, ida)
    const jobsOf = async (headers: Record<string, string>) =>
      (await server.inject({ url: '/api/v1/jobs', headers })).statusCode

    expect((await wanted('managers', ida)).json()).toEqual({ of: 'managers' })
    expect(await jobsOf(ida)).toBe(200)
    expect(await jobsOf(asBrowser(cast.tess))).toBe(200)
    for (const player of [cast.sam, cast.olga]) {
      const refused = await server.inject({ url: '/api/v1/jobs', headers: asBrowser(player) })
      expect(refused.json()).toMatchObject({ status: 401, code: 'second-step-wanted' })
      expect(await jobsOf(asProgram(player))).toBe(200)
    }
    const tokenless = await post('/tokens', { name: 'x', scopes: ['read'] }, asBrowser(cast.sam))
    expect(tokenless.json().code).toBe('second-step-wanted')
    for (const url of ['/', '/jobs', '/sign-in', '/me'])
      expect((await server.inject({ url, headers: asBrowser(cast.sam) })).headers.location, url).toBe(
        '/me/second-step',
      )
    const page = await server.inject({ url: '/me/second-step', headers: asBrowser(cast.sam) })
    expect(page.body).toContain('This company wants a second step of you')

    await wanted('everybody', ida)
    expect(await jobsOf(asBrowser(cast.tess))).toBe(401)
    const passwordHash = await hashPassword(PASSWORD)
    await cast.store.store.transaction(async ({ db, t }) => {
      await db.update(t.people).set({ passwordHash })
    })
    const begun = await post('/me/authenticator', { password: PASSWORD }, asBrowser(cast.tess))
    const first = codeOf(bytesOf(begun.json().secret), stepAt(cast.clock.now))
    const done = await post('/me/authenticator/confirm', { code: first }, asBrowser(cast.tess))
    // In the company where they were held, at once.
    expect(await jobsOf(withCookie(cookieOf(done)))).toBe(200)
    const listed = await server.inject({ url: '/api/v1/company/second-step', headers: ida })
    expect(listed.json().of).toBe('everybody')
    expect(listed.json().without.map(({ name }: { name: string }) => name)).toEqual(['Sam', 'Wren', 'Olga'])
    // The other company of the same server is as it was.
    expect(await jobsOf(asBrowser(cast.zoe))).toBe(200)

    const form = await postForm(server, '/company/second-step', { of: 'nobody' }, ida)
    expect(form.headers.location).toBe('/company/second-step')
    expect(await jobsOf(asBrowser(cast.sam))).toBe(200)
    const kinds = await cast.store.store.query(`select id from entries where kind = 'second-step-rule-set'`)
    expect(kinds).toHaveLength(3)
  })

  it('stands in the history, the wrong codes as well', async () => {
    await withPassword({ code: '000000' })
    await withPassword({ code: paper[0] })
    const { signIns } = (await server.inject({ url: '/api/v1/me/signing-in', headers: here })).json()
    expect(signIns).toMatchObject([
      { way: 'recovery-code', succeeded: true },
      { way: 'authenticator', succeeded: false },
      { way: 'authenticator', succeeded: true },
      { way: 'sign-up', succeeded: true },
    ])
  })

  it('works by forms alone, and the way leads on to where somebody wanted, on this server only', async () => {
    const fields = { email: TERN.email, password: PASSWORD }
    const first = await postForm(server, '/sign-in?next=%2Fsites', fields)
    expect(first.statusCode).toBe(200)
    const step = /name="step" value="([^"]+)"/.exec(first.body)?.[1] ?? ''
    expect(first.body).toContain('action="/sign-in/second-step?next=%2Fsites"')
    expect(first.body).not.toContain(PASSWORD)
    const wrong = await postForm(server, '/sign-in/second-step?next=%2Fsites', { step, code: '000000' })
    expect(wrong.statusCode).toBe(401)
    expect(wrong.body).toContain('This code is wrong')
    const done = await postForm(server, '/sign-in/second-step?next=%2Fsites', { step, code: code() })
    expect(done.headers.location).toBe('/sites')
    cast.clock.pass(HALF_MINUTE)
    const away = await postForm(server, '/sign-in/second-step?next=https%3A%2F%2Fevil.example', {
      step: await stepFor(),
      code: code(),
    })
    expect(away.headers.location).toBe('/jobs')
    const over = await postForm(server, '/sign-in/second-step', { step, code: code() })
    expect(over.body).toContain('Sign in again.')
    expect((await server.inject({ url: '/sign-in/second-step' })).headers.location).toBe('/sign-in')
    // The pages of the person themselves.
    const made = await postForm(server, '/me/recovery-codes', { password: PASSWORD }, here)
    expect(made.body.match(/<li>/g)?.length).toBeGreaterThanOrEqual(10)
    await postForm(server, '/me/authenticator/remove', { password: PASSWORD }, here)
    const begun = await postForm(server, '/me/authenticator', { password: PASSWORD }, here)
    expect(begun.headers.location).toBe('/me/second-step')
    const shown = await server.inject({ url: '/me/second-step', headers: here })
    secret = (/<code>([A-Z2-7 ]+)<\/code>/.exec(shown.body)?.[1] ?? '').replaceAll(' ', '')
    const notYet = await postForm(server, '/me/authenticator/confirm', { code: '000000' }, here)
    expect(notYet.statusCode).toBe(400)
    const confirmed = await postForm(server, '/me/authenticator/confirm', { code: code() }, here)
    expect(confirmed.statusCode).toBe(200)
    expect(confirmed.body).toContain('shown only once')
    expect(confirmed.headers['cache-control']).toBe('no-store')
  })

  it.each([
    ['no step', { code: '123456' }, 'step'],
    ['no code', { step: 'x' }, 'code'],
    ['a short code', { step: 'x', code: '12345' }, 'code'],
    ['a code that is a number', { step: 'x', code: 123_456 }, 'code'],
    ['a field nobody knows', { step: 'x', code: '123456', remember: true }, 'remember'],
  ])('does not go on with %s', async (_what, payload, path) => {
    const answer = await post('/session/second-step', payload)
    expect(answer.json()).toMatchObject({ status: 400, errors: [{ path }] })
  })
})
