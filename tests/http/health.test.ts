// Is the service alive, can it take work, and how does it answer before anybody is known? Over a real connection.

import request from 'supertest'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { aCast, type Cast } from '../support/cast.ts'

describe('the service', () => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast()
  })
  afterAll(() => cast.remove())
  const over = async () => request((await cast.server()).server)

  it('says that it lives and that it can take work', async () => {
    await (await over()).get('/health/live').expect(200, { alive: true })
    const { body } = await (await over()).get('/health/ready').expect(200)
    expect(body).toEqual({ ready: true, checks: { database: true, migrations: true, disk: true } })
  })

  it('is not ready when a migration is missing', async () => {
    const [last] = await cast.store.store.query<{ name: string }>('select max(name) as name from migrations')
    await cast.store.store.execute(`update migrations set name = 'gone' where name = '${last?.name}'`)
    const { body } = await (await over()).get('/health/ready').expect(503)
    expect(body.checks.migrations).toBe(false)
    await cast.store.store.execute(`update migrations set name = '${last?.name}' where name = 'gone'`)
    await (await over()).get('/health/ready').expect(200)
  })

  it('keeps its figures to itself unless the setting says otherwise', async () => {
    await (await over()).get('/metrics').expect(404)
  })

  it('sends a strict content policy and no referrer to other sites', async () => {
    const { headers } = await (await over()).get('/sign-in').expect(200)
    expect(headers['content-security-policy']).toContain("default-src 'self'")
    expect(headers['content-security-policy']).not.toContain('unsafe')
    expect(headers['referrer-policy']).toBe('same-origin')
    expect(headers['x-content-type-options']).toBe('nosniff')
  })

  it('answers what is not there as a page to browsers and as a problem to programs', async () => {
    const page = await (await over()).get('/nowhere').set('accept', 'text/html').expect(404)
    expect(page.text).toContain('<!doctype html>')
    const problem = await (await over()).get('/api/v1/nowhere').expect(404)
    expect(problem.headers['content-type']).toContain('application/problem+json')
    expect(problem.body.code).toBe('missing')
  })

  it('asks the signed-out to sign in, and brings them back', async () => {
    const { headers } = await (await over()).get('/jobs?stage=open').expect(303)
    expect(headers.location).toBe('/sign-in?next=%2Fjobs%3Fstage%3Dopen')
  })

  it('refuses a write that another site sent', async () => {
    await (await over())
      .post('/api/v1/session')
      .set('origin', 'http://elsewhere.example')
      .send({ email: 'a@b.example', password: 'x' })
      .expect(403)
  })
})
