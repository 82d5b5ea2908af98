// Does the door open for the right password, close behind, and lead to the right company?

import type { FastifyInstance } from 'fastify'
import { parse } from 'node-html-parser'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { aCast, asBrowser, asProgram, type Cast, ORIGIN } from '../support/cast.ts'
import { cookieOf, PASSWORD, postForm, register, signIn, TERN, withCookie } from '../support/entrance.ts'

let cast: Cast
let server: FastifyInstance
beforeEach(async () => {
  cast = await aCast()
  server = await cast.server()
  await register(server)
})
afterEach(() => cast.remove())

const me = (cookie: string) => server.inject({ url: '/api/v1/me', headers: withCookie(cookie) })
const sessions = async () => (await cast.store.store.query('select id from sessions')).length

describe('signing in', () => {
  it('answers who you are, with a cookie that scripts and other sites do not get', async () => {
    const answer = await signIn(server, 'IDA@tern.example')
    expect(answer.statusCode).toBe(201)
    expect(answer.json()).toMatchObject({
      person: { name: 'Ida', email: 'ida@tern.example' },
      role: 'owner',
      company: { name: 'Tern Cooling' },
      companies: [{ name: 'Tern Cooling', role: 'owner' }],
    })
    expect((await me(cookieOf(answer))).json()).toEqual(answer.json())
    expect(answer.headers['set-cookie']).toMatch(/HttpOnly/)
    expect(answer.headers['set-cookie']).toMatch(/SameSite=Lax/)
  })

  it('from the page leads to the jobs, or back to where one was going', async () => {
    const fields = { email: TERN.email, password: PASSWORD }
    for (const [next, location] of [
      ['', '/jobs'],
      ['?next=%2Fcrew%3Flimit%3D5', '/crew?limit=5'],
      ['?next=%2F%2Fother.example', '/jobs'],
      ['?next=https%3A%2F%2Fother.example', '/jobs'],
      ['?next=%2F%5Cother.example', '/jobs'],
    ]) {
      const answer = await postForm(server, `/sign-in${next}`, fields)
      expect(answer.statusCode).toBe(303)
      expect(answer.headers.location).toBe(location)
    }
  })

  it('is asked for by a page that needs it, which is come back to', async () => {
    const away = await server.inject({ url: '/crew?limit=5' })
    expect(away.statusCode).toBe(303)
    expect(away.headers.location).toBe('/sign-in?next=%2Fcrew%3Flimit%3D5')
    const page = await server.inject({ url: String(away.headers.location) })
    const action = parse(page.body).querySelector('form')?.getAttribute('action') ?? ''
    const back = await postForm(server, action, { email: TERN.email, password: PASSWORD })
    expect(back.headers.location).toBe('/crew?limit=5')
  })

  it('answers an unknown address and a wrong password with the very same', async () => {
    const unknown = await signIn(server, 'nobody@tern.example', 'another pass phrase')
    const wrong = await signIn(server, TERN.email, 'another pass phrase')
    expect(wrong.statusCode).toBe(401)
    expect([unknown.statusCode, unknown.body]).toEqual([wrong.statusCode, wrong.body])
    const pageOf = async (email: string) =>
      (await postForm(server, '/sign-in', { email, password: 'another pass phrase' })).body.replaceAll(
        email,
        'EMAIL',
      )
    expect(await pageOf('nobody@tern.example')).toBe(await pageOf(TERN.email))
  })

  it('keeps the address on the page when the password was wrong', async () => {
    const answer = await postForm(server, '/sign-in', { email: TERN.email, password: 'another pass phrase' })
    const page = parse(answer.body)
    expect(page.querySelector('input[name=email]')?.getAttribute('value')).toBe(TERN.email)
    expect(page.querySelector('input[name=password]')?.getAttribute('value')).toBeUndefined()
    expect(page.querySelector('#f-password-error')?.text).toContain('do not belong together')
  })

  it('takes blanks at the edge of a password on both faces', async () => {
    const spaced = { ...TERN, name: 'Gap', email: 'gap@tern.example', password: '  blanks count here  ' }
    expect((await register(server, spaced)).statusCode).toBe(201)
    const page = await postForm(server, '/sign-in', { email: spaced.email, password: spaced.password })
    expect(page.statusCode).toBe(303)
    expect((await signIn(server, spaced.email, spaced.password.trim())).statusCode).toBe(401)
  })

  it('begins a new session each time and ends the one before', async () => {
    const first = cookieOf(await signIn(server, TERN.email))
    const before = await sessions()
    const second = cookieOf(
      await server.inject({
        method: 'POST',
        url: '/api/v1/session',
        headers: withCookie(first),
        payload: { email: TERN.email, password: PASSWORD },
      }),
    )
    expect(second).not.toBe(first)
    expect(await sessions()).toBe(before)
    expect((await me(first)).statusCode).toBe(401)
    expect((await me(second)).statusCode).toBe(200)
  })

  it('does not take a secret that the browser brought along', async () => {
    const planted = 'jointkeep_session=planted-by-somebody-else'
    const answer = await server.inject({
      method: 'POST',
      url: '/api/v1/session',
      headers: withCookie(planted),
      payload: { email: TERN.email, password: PASSWORD },
    })
    expect(cookieOf(answer)).not.toBe(planted)
    expect((await me(planted)).statusCode).toBe(401)
  })

  it('refuses an address after ten wrong passwords, the right one included, known or not', async () => {
    for (const email of [TERN.email, 'nobody@tern.example']) {
      const statuses = []
      for (let time = 0; time < 10; time += 1)
        statuses.push((await postForm(server, '/sign-in', { email, password: 'wrong' })).statusCode)
      expect(statuses).toEqual(Array(10).fill(401))
      const refused = await signIn(server, email)
      expect(refused.statusCode).toBe(429)
      expect(refused.json()).toMatchObject({ code: 'too-many' })
    }
    cast.clock.pass(15 * 60_000)
    expect((await signIn(server, TERN.email)).statusCode).toBe(201)
  })

  it('refuses a network address that tries many people', async () => {
    const statuses = []
    for (let time = 0; time < 21; time += 1)
      statuses.push((await signIn(server, `n${time}@tern.example`, 'wrong')).statusCode)
    expect(statuses).toEqual([...Array(20).fill(401), 429])
    const page = await server.inject({ url: '/sign-in' })
    expect(page.statusCode).toBe(200)
  })

  it.each([
    ['nothing', {}, ['email', 'password']],
    ['no password', { email: TERN.email }, ['password']],
    ['a password that is a list', { email: TERN.email, password: [PASSWORD] }, ['password']],
    ['an endless password', { email: TERN.email, password: 'x'.repeat(201) }, ['password']],
    ['no address', { email: 'ida', password: PASSWORD }, ['email']],
    ['more than is asked', { email: TERN.email, password: PASSWORD, role: 'owner' }, ['role']],
  ])('refuses %s and opens nothing', async (_what, payload, paths) => {
    const before = await sessions()
    const answer = await server.inject({ method: 'POST', url: '/api/v1/session', payload })
    expect(answer.statusCode).toBe(400)
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toEqual(paths)
    expect(await sessions()).toBe(before)
  })
})

describe('signing out', () => {
  it('ends the session, not only the cookie', async () => {
    const cookie = cookieOf(await signIn(server, TERN.email))
    const answer = await server.inject({
      method: 'DELETE',
      url: '/api/v1/session',
      headers: withCookie(cookie),
    })
    expect(answer.statusCode).toBe(200)
    expect(cookieOf(answer)).toBe('jointkeep_session=')
    expect((await me(cookie)).statusCode).toBe(401)
  })

  it('works from the page, and looking at the page ends nothing', async () => {
    const cookie = cookieOf(await signIn(server, TERN.email))
    const page = await server.inject({ url: '/sign-out', headers: withCookie(cookie) })
    expect(page.statusCode).toBe(200)
    expect((await me(cookie)).statusCode).toBe(200)
    const answer = await postForm(server, '/sign-out', {}, { cookie })
    expect(answer.headers.location).toBe('/sign-in')
    expect((await me(cookie)).statusCode).toBe(401)
  })

  it('is not done for another site', async () => {
    const cookie = cookieOf(await signIn(server, TERN.email))
    const answer = await postForm(server, '/sign-out', {}, { cookie, origin: 'https://other.example' })
    expect(answer.statusCode).toBe(403)
    expect((await me(cookie)).statusCode).toBe(200)
  })
})

describe('the way in', () => {
  it('leads to the jobs, to signing in, or to choosing a company', async () => {
    const locationFor = async (headers: Record<string, string>) =>
      (await server.inject({ url: '/', headers })).headers.location
    expect(await locationFor({})).toBe('/sign-in')
    expect(await locationFor(asBrowser(cast.tess))).toBe('/jobs')
    await register(server, { ...TERN, name: 'Tern Service' })
    expect(await locationFor(withCookie(cookieOf(await signIn(server, TERN.email))))).toBe('/companies')
  })

  it('passes by the sign-in page who is signed in', async () => {
    const answer = await server.inject({ url: '/sign-in?next=/crew', headers: asBrowser(cast.sam) })
    expect(answer.headers.location).toBe('/crew')
  })
})

describe('several companies', () => {
  let cookie: string
  let ids: { cooling: string; service: string }
  beforeEach(async () => {
    await register(server, { ...TERN, name: 'Tern Service' })
    const answer = await signIn(server, TERN.email)
    cookie = cookieOf(answer)
    const of = (name: string) =>
      answer.json().companies.find((one: { name: string }) => one.name === name)?.id as string
    ids = { cooling: of('Tern Cooling'), service: of('Tern Service') }
  })
  const choose = (companyId: unknown, headers: Record<string, string> = withCookie(cookie)) =>
    server.inject({ method: 'POST', url: '/api/v1/session/company', headers, payload: { companyId } })

  it('leave the choice to be made', async () => {
    expect((await me(cookie)).json()).toMatchObject({ company: null, role: null, member: null })
    expect((await server.inject({ url: '/api/v1/crew', headers: withCookie(cookie) })).statusCode).toBe(401)
    const jobs = await server.inject({ url: '/sign-in?next=/jobs', headers: withCookie(cookie) })
    expect(jobs.headers.location).toBe('/companies?next=%2Fjobs')
  })

  it('are switched between through the API', async () => {
    for (const companyId of [ids.cooling, ids.service]) {
      const answer = await choose(companyId)
      expect(answer.statusCode).toBe(200)
      expect(answer.json()).toMatchObject({ id: companyId, role: 'owner' })
      expect((await me(cookie)).json().company.id).toBe(companyId)
    }
  })

  it('are switched between on the page, which leads on', async () => {
    const page = await server.inject({ url: '/companies?next=%2Fcrew', headers: withCookie(cookie) })
    const form = parse(page.body).querySelector('form')
    const buttons = form?.querySelectorAll('button') ?? []
    expect(buttons.map((button) => button.text)).toEqual(['Tern Cooling, owner', 'Tern Service, owner'])
    const answer = await postForm(
      server,
      form?.getAttribute('action') ?? '',
      { companyId: buttons[1]?.getAttribute('value') ?? '' },
      { cookie },
    )
    expect(answer.headers.location).toBe('/crew')
    expect((await me(cookie)).json().company.id).toBe(ids.service)
    const you = await server.inject({ url: '/me', headers: withCookie(cookie) })
    expect(
      parse(you.body)
        .querySelectorAll('button[name=companyId]')
        .map((one) => one.text),
    ).toEqual(['Tern Cooling, owner'])
  })

  it('do not let anybody into one that is not theirs, nor say that it exists', async () => {
    const strange = await choose(cast.tess.companyId)
    const madeUp = await choose('01900000-0000-7000-8000-000000000000')
    expect(strange.statusCode).toBe(404)
    expect(strange.body).toBe(madeUp.body)
    expect((await me(cookie)).json().company).toBeNull()
    const page = await postForm(server, '/session/company', { companyId: cast.tess.companyId }, { cookie })
    expect(page.statusCode).toBe(404)
    expect(page.body).not.toContain(cast.tess.companyName)
  })

  it('are not switched by a token, by nobody, or by what is no id', async () => {
    expect((await choose(cast.tess.companyId, asProgram(cast.tess))).statusCode).toBe(401)
    expect((await choose(ids.cooling, { origin: ORIGIN })).statusCode).toBe(401)
    expect((await choose(7)).json()).toMatchObject({ status: 400, errors: [{ path: 'companyId' }] })
  })
})

describe('who you are', () => {
  it('is nobody without signing in', async () => {
    expect((await server.inject({ url: '/api/v1/me' })).statusCode).toBe(401)
    for (const url of ['/me', '/companies'])
      expect((await server.inject({ url })).headers.location).toBe(`/sign-in?next=${encodeURIComponent(url)}`)
  })

  it('says of a token only the company that it is for', async () => {
    const answer = await server.inject({ url: '/api/v1/me', headers: asProgram(cast.tess) })
    expect(answer.json()).toMatchObject({
      via: 'token',
      scopes: ['read', 'write'],
      role: 'technician',
      companies: [{ id: cast.tess.companyId }],
    })
    expect(answer.json().companies).toHaveLength(1)
  })

  it('offers criteria to those who may set them', async () => {
    const pageOf = async (headers: Record<string, string>) =>
      (await server.inject({ url: '/me', headers })).body
    expect(await pageOf(asBrowser(cast.sam))).toContain('href="/policy"')
    expect(await pageOf(asBrowser(cast.tess))).not.toContain('href="/policy"')
  })
})
