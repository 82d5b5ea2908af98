// Does a company's own provider open the door to its members, each as who they are, and to nobody else?

import type { FastifyInstance, LightMyRequestResponse } from 'fastify'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { changeMember } from '../../server/commands/people/change-member.ts'
import { aCast, asBrowser, asProgram, type Cast, ORIGIN, type Player } from '../support/cast.ts'
import { cookieOf, postForm, withCookie } from '../support/entrance.ts'
import { anOwnProvider, CLIENT, type Claims, type OwnProvider } from '../support/identity-provider.ts'
import { STORE_KINDS } from '../support/stores.ts'

describe.each(STORE_KINDS)('sign-in through a company’s own provider, on %s', (kind) => {
  let cast: Cast
  let server: FastifyInstance
  let provider: OwnProvider
  let wayIn: string

  const set = (more: object = {}, by: Player | null = cast.olga) =>
    server.inject({
      method: 'POST',
      url: '/api/v1/company/sign-in',
      headers: by ? asProgram(by) : {},
      payload: {
        name: 'Office account',
        issuer: provider.issuer,
        clientId: CLIENT.id,
        clientSecret: CLIENT.secret,
        ...more,
      },
    })
  const held = (answer: LightMyRequestResponse) => {
    const cookie = answer.cookies.find(({ name }) => name === 'jointkeep_on_the_way')
    return cookie?.value ? `jointkeep_on_the_way=${cookie.value}` : ''
  }
  const go = (query = '') => server.inject({ url: `${wayIn}/go${query}` })
  const back = (to: string, cookie: string) => server.inject({ url: to, headers: { cookie } })
  const emailOf = async (player: Player) => {
    const [row] = await cast.store.store.query<{ email: string }>(
      `select people.email from people join members on members.person_id = people.id where members.id = '${player.memberId}'`,
    )
    return row?.email ?? ''
  }
  /** There and back again, as whom the provider says. */
  const through = async (claims: Claims, query = '') => {
    const sent = await go(query)
    expect(sent.statusCode, sent.body).toBe(303)
    return back(provider.signedIn(String(sent.headers.location), claims), held(sent))
  }
  const tess = async (more: Partial<Claims> = {}): Promise<Claims> => ({
    sub: 'tess-1',
    email: await emailOf(cast.tess),
    email_verified: true,
    ...more,
  })
  const meBy = async (answer: LightMyRequestResponse) =>
    (await server.inject({ url: '/api/v1/me', headers: withCookie(cookieOf(answer)) })).json()

  beforeEach(async () => {
    cast = await aCast(kind)
    cast.machinery.settings.ownNetworks = '127.0.0.1'
    server = await cast.server()
    provider = await anOwnProvider()
    const answer = await set()
    expect(answer.statusCode, answer.body).toBe(200)
    wayIn = new URL(answer.json().signInAt).pathname
  })
  afterEach(async () => {
    await provider.close()
    await cast.remove()
  })

  it('lets a member in whom it names by a verified address, into this company alone', async () => {
    const sent = await go()
    const asked = new URL(String(sent.headers.location)).searchParams
    expect(asked.get('code_challenge_method')).toBe('S256')
    expect(asked.get('redirect_uri')).toBe(
      `${new URL(cast.machinery.settings.publicUrl).origin}/sign-in/openid`,
    )
    expect(sent.cookies[0]).toMatchObject({ httpOnly: true, sameSite: 'Lax', path: '/sign-in' })
    const came = await through(await tess())
    expect(came.statusCode, came.body).toBe(303)
    expect(came.headers.location).toBe('/jobs')
    expect(await meBy(came)).toMatchObject({
      member: { id: cast.tess.memberId },
      company: { id: cast.tess.companyId },
    })
    const sessions = await cast.store.store.query<{ bound_to: string }>(
      `select bound_to from sessions where bound_to is not null`,
    )
    expect(sessions).toEqual([{ bound_to: cast.tess.companyId }])
    const history = await server.inject({ url: '/api/v1/me/signing-in', headers: withCookie(cookieOf(came)) })
    expect(history.json().signIns[0]).toMatchObject({ way: 'openid', succeeded: true })
  })

  it('knows them again by the provider’s own name for them, whatever their address becomes', async () => {
    await through(await tess())
    const again = await through({ sub: 'tess-1', email: 'elsewhere@example.net', email_verified: false })
    expect(await meBy(again)).toMatchObject({ member: { id: cast.tess.memberId } })
    // Another name with the same address is somebody else: addresses are given to others.
    const other = await through(await tess({ sub: 'tess-2' }))
    expect(other.statusCode).toBe(401)
    expect(other.body).toContain('You are no member here by that address')
  })

  it('leads on to where they wanted, on this server only', async () => {
    expect((await through(await tess(), '?next=/instruments')).headers.location).toBe('/instruments')
    expect((await through(await tess(), '?next=https://elsewhere.example/')).headers.location).toBe('/jobs')
    expect((await through(await tess(), '?next=//elsewhere.example/')).headers.location).toBe('/jobs')
  })

  it.each<[string, Partial<Claims>, RegExp]>([
    ['an address that is not verified', { email_verified: false }, /verified/],
    ['no address', { email: undefined }, /verified/],
    ['an address of nobody here', { email: 'stranger@example.net' }, /no member/],
    ['another question’s nonce', { nonce: 'of another one' }, /did not say/],
    ['another issuer', { iss: 'https://elsewhere.example' }, /did not say/],
    ['a token for another client', { aud: 'somebody-else' }, /did not say/],
    ['a token that is over', { exp: Math.floor(Date.now() / 1000) - 3600 }, /did not say/],
  ])('opens nothing for %s', async (_what, claims, why) => {
    const came = await through(await tess(claims))
    expect(came.statusCode).toBe(401)
    expect(came.body).toMatch(why)
    expect(cookieOf(came)).toBe('')
    expect(await cast.store.store.query('select id from provider_identities')).toEqual([])
  })

  it('opens nothing for a token that the provider did not sign', async () => {
    provider.isForged = true
    expect((await through(await tess())).body).toContain('did not say')
    provider.isForged = false
    expect((await through(await tess())).statusCode).toBe(303)
  })

  it('opens once, and only in the browser that was sent', async () => {
    const sent = await go()
    const to = provider.signedIn(String(sent.headers.location), await tess())
    expect((await back(to, '')).statusCode).toBe(401)
    const elsewhere = await go()
    expect((await back(to, held(elsewhere))).statusCode).toBe(401)
    expect((await back(to, held(sent))).statusCode).toBe(303)
    expect((await back(to, held(sent))).body).toContain('was used already')
  })

  it('opens nothing after ten minutes, nor with a state of somebody else’s', async () => {
    const sent = await go()
    const to = provider.signedIn(String(sent.headers.location), await tess())
    const other = await go()
    expect((await back(to.replace(/state=[^&]+/, 'state=another'), held(other))).statusCode).toBe(401)
    cast.clock.pass(11 * 60_000)
    expect((await back(to, held(sent))).body).toContain('took too long')
  })

  it('lets nobody in of another company, nor who was shut out', async () => {
    const zoe = await through({ sub: 'zoe', email: await emailOf(cast.zoe), email_verified: true })
    expect(zoe.statusCode).toBe(401)
    await through(await tess())
    await cast.run(cast.olga, changeMember, { memberId: cast.wren.memberId, active: false })
    const wren = await through({ sub: 'wren', email: await emailOf(cast.wren), email_verified: true })
    expect(wren.body).toContain('no member')
    await cast.store.store.execute(`update members set active = false where id = '${cast.tess.memberId}'`)
    expect((await through(await tess())).statusCode).toBe(401)
  })

  it('speaks for the mail domains it is said to speak for', async () => {
    await set({ domains: ['Other.example', 'other.example'] })
    expect((await through(await tess())).body).toContain('no member')
    const email = 'Tess@works.example'
    await cast.store.store.execute(
      `update people set email = '${email}', email_lower = '${email.toLowerCase()}' where id = '${cast.tess.personId}'`,
    )
    expect((await set({ domains: ['works.example'] })).statusCode).toBe(200)
    expect((await through(await tess())).statusCode).toBe(303)
    const found = await server.inject({ url: `/sign-in/by?email=${encodeURIComponent(email)}` })
    expect(found.headers.location).toBe(wayIn)
    const none = await server.inject({ url: '/sign-in/by?email=a%40nowhere.example' })
    expect(none.body).toContain('No company here signs its people in by such an address')
  })

  it('is set by an owner alone, asked before it is kept, and its secret is never read again', async () => {
    for (const by of [cast.tess, cast.sam, cast.wren]) expect((await set({}, by)).statusCode).toBe(403)
    expect((await set({}, null)).statusCode).toBe(401)
    const url = '/api/v1/company/sign-in'
    const seen = await server.inject({ url, headers: asProgram(cast.olga) })
    expect(seen.json()).toMatchObject({ issuer: provider.issuer, hasSecret: true, active: true })
    expect(seen.body).not.toContain(CLIENT.secret)
    expect((await server.inject({ url, headers: asProgram(cast.zoe) })).statusCode).not.toBe(200)
    const rows = JSON.stringify(await cast.store.store.query('select * from identity_providers'))
    expect(rows).not.toContain(CLIENT.secret)
    const gone = await set({ issuer: `${provider.issuer}/nobody` })
    expect(gone.json().errors).toEqual([
      { path: 'issuer', message: 'Nobody answers there as this issuer. Nothing was kept.' },
    ])
    for (const issuer of ['https://10.0.0.7/', 'https://localhost/', 'ftp://provider.example', 'provider'])
      expect((await set({ issuer })).json().errors[0].path, issuer).toBe('issuer')
    expect((await set({ domains: ['no domain'] })).json().errors[0].path).toBe('domains.0')
    expect((await server.inject({ url, headers: asProgram(cast.olga) })).json().issuer).toBe(provider.issuer)
  })

  it('takes a secret along only to the issuer that gave it', async () => {
    const kept = await set({ clientSecret: undefined, name: 'Another name' })
    expect(kept.json()).toMatchObject({ name: 'Another name', hasSecret: true })
    expect((await through(await tess())).statusCode).toBe(303)
    const other = await anOwnProvider()
    expect((await set({ clientSecret: undefined, issuer: other.issuer })).json().hasSecret).toBe(false)
    await other.close()
    // What the first one opened is over with it.
    expect(await cast.store.store.query('select id from sessions where bound_to is not null')).toEqual([])
  })

  it('switched off or taken away it opens nothing, and what it opened ends', async () => {
    const came = await through(await tess())
    await set({ active: false })
    expect((await server.inject({ url: wayIn })).statusCode).toBe(404)
    expect((await go()).statusCode).toBe(404)
    expect((await server.inject({ url: '/api/v1/me', headers: withCookie(cookieOf(came)) })).statusCode).toBe(
      401,
    )
    const remove = () =>
      server.inject({
        method: 'POST',
        url: '/api/v1/company/sign-in/remove',
        headers: asProgram(cast.olga),
        payload: {},
      })
    expect((await remove()).statusCode).toBe(200)
    expect((await remove()).statusCode).toBe(404)
    expect(await cast.store.store.query('select company_id from provider_domains')).toEqual([])
  })

  it('says so where the provider does not answer', async () => {
    await provider.close()
    const sent = await go()
    expect(sent.statusCode).toBe(401)
    expect(sent.body).toContain('Office account does not answer now')
    provider = await anOwnProvider()
  })

  it('works by forms alone, and keeps what was typed beside what was wrong', async () => {
    const headers = asBrowser(cast.olga)
    const fields = {
      name: 'Office account',
      issuer: `${provider.issuer}/nobody`,
      clientId: CLIENT.id,
      clientSecret: '',
      domains: 'saltmarsh.example, brackwater.example',
      active: 'true',
    }
    const wrong = await postForm(server, '/company/sign-in', fields, headers)
    expect(wrong.statusCode).toBe(400)
    expect(wrong.body).toContain('Nobody answers there')
    expect(wrong.body).toContain('saltmarsh.example, brackwater.example')
    const right = await postForm(server, '/company/sign-in', { ...fields, issuer: provider.issuer }, headers)
    expect(right.headers.location).toBe('/company/sign-in?kept=1')
    const page = await server.inject({ url: '/company/sign-in?kept=1', headers })
    expect(page.body).toContain('It is kept. The provider answered.')
    expect(page.body).toContain('brackwater.example saltmarsh.example')
    expect(page.body).not.toContain(CLIENT.secret)
    const entrance = await server.inject({ url: '/sign-in', headers: { origin: ORIGIN } })
    expect(entrance.body).toContain('Sign in through your company')
  })
})
