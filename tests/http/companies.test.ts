// Is a company set up through the page and through the API alike?

import type { FastifyInstance } from 'fastify'
import { parse } from 'node-html-parser'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { aCast, type Cast } from '../support/cast.ts'
import { cookieOf, PASSWORD, postForm, register, TERN, withCookie } from '../support/entrance.ts'

let cast: Cast
let server: FastifyInstance
beforeEach(async () => {
  cast = await aCast()
  server = await cast.server()
})
afterEach(() => cast.remove())

const companies = async () => (await cast.store.store.query('select id from companies')).length

describe('setting up a company', () => {
  it('answers with the company and its owner, signed in', async () => {
    const answer = await register(server)
    expect(answer.statusCode).toBe(201)
    expect(answer.json()).toEqual({
      id: expect.any(String),
      name: 'Tern Cooling',
      createdAt: '2026-03-04T15:00:00.000Z',
      owner: {
        memberId: expect.any(String),
        personId: expect.any(String),
        name: 'Ida',
        email: 'ida@tern.example',
        role: 'owner',
      },
    })
    const me = await server.inject({ url: '/api/v1/me', headers: withCookie(cookieOf(answer)) })
    expect(me.json()).toMatchObject({
      role: 'owner',
      company: { id: answer.json().id, name: 'Tern Cooling' },
    })
    expect(answer.body).not.toContain(PASSWORD)
  })

  it('works from the page, and a second press makes no second company', async () => {
    const page = await server.inject({ url: '/sign-up' })
    expect(page.statusCode).toBe(200)
    const id = parse(page.body).querySelector('input[name=id]')?.getAttribute('value') ?? ''
    const before = await companies()
    for (let press = 0; press < 2; press += 1) {
      const answer = await postForm(server, '/sign-up', { id, ...TERN })
      expect(answer.statusCode).toBe(303)
      expect(answer.headers.location).toBe('/jobs')
      expect(cookieOf(answer)).not.toBe('')
    }
    expect(await companies()).toBe(before + 1)
  })

  it('keeps what was typed on the page when a field is wrong, but never the password', async () => {
    const before = await companies()
    const answer = await postForm(server, '/sign-up', { ...TERN, email: 'ida' })
    expect(answer.statusCode).toBe(400)
    const page = parse(answer.body)
    expect(page.querySelector('input[name=name]')?.getAttribute('value')).toBe('Tern Cooling')
    expect(page.querySelector('input[name=email]')?.getAttribute('aria-invalid')).toBe('true')
    expect(page.querySelector('#f-email-error')?.text).toContain('Enter an e-mail address')
    expect(answer.body).not.toContain(PASSWORD)
    expect(cookieOf(answer)).toBe('')
    expect(await companies()).toBe(before)
  })

  it('answers a known address with a wrong password as signing in does, on both faces', async () => {
    await register(server)
    const before = await companies()
    const wrong = { ...TERN, name: 'Other', password: 'another pass phrase' }
    const answer = await register(server, wrong)
    expect(answer.statusCode).toBe(401)
    expect(answer.json()).toMatchObject({ code: 'wrong-credentials', errors: [{ path: 'password' }] })
    const page = await postForm(server, '/sign-up', wrong)
    expect(page.statusCode).toBe(401)
    expect(parse(page.body).querySelector('#f-password-error')?.text).toContain('do not belong together')
    expect(await companies()).toBe(before)
  })

  it('is closed once the server says so, on both faces', async () => {
    cast.machinery.settings.signup = 'first'
    const before = await companies()
    const answer = await register(server)
    expect(answer.statusCode).toBe(403)
    expect(answer.json()).toMatchObject({ code: 'sign-up-closed' })
    const page = await server.inject({ url: '/sign-up' })
    expect(page.body).toContain('Sign-up is closed')
    expect(parse(page.body).querySelector('form')).toBeNull()
    expect((await postForm(server, '/sign-up', TERN)).statusCode).toBe(403)
    expect(await companies()).toBe(before)
  })

  it.each([
    ['nothing', {}, ['name', 'ownerName', 'email', 'password']],
    ['a list', [TERN], ['']],
    ['a short password', { ...TERN, password: 'short' }, ['password']],
    ['a field of its own', { ...TERN, admin: true }, ['admin']],
  ])('refuses %s, names the fields and writes nothing', async (_what, payload, paths) => {
    const before = await companies()
    const answer = await register(server, payload)
    expect(answer.statusCode).toBe(400)
    expect(answer.headers['content-type']).toContain('application/problem+json')
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toEqual(paths)
    expect(answer.headers['set-cookie']).toBeUndefined()
    expect(await companies()).toBe(before)
  })

  it('refuses ten megabytes before reading them', async () => {
    const answer = await register(server, { ...TERN, name: 'x'.repeat(10_000_000) })
    expect(answer.statusCode).toBe(413)
  })

  it('is slowed down for one network address', async () => {
    const statuses = []
    for (let time = 0; time < 22; time += 1) statuses.push((await register(server, {})).statusCode)
    expect(statuses.slice(0, 20)).toEqual(Array(20).fill(400))
    expect(statuses.slice(20)).toEqual([429, 429])
  })
})
