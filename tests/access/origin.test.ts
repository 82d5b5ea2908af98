// Does a write that a cookie vouches for come from our own pages?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { aCast, asProgram, type Cast, ORIGIN } from '../support/cast.ts'

let cast: Cast
beforeAll(async () => {
  cast = await aCast()
})
afterAll(() => cast.remove())

const crewCount = async () =>
  (await cast.store.store.query<{ n: number }>('select count(*) as n from crew'))[0]?.n

describe.each(['/api/v1/crew', '/crew'])('a write to %s with a cookie', (url) => {
  const write = async (origin: string | undefined, cookie: string | undefined = cast.sam.cookie) => {
    const server = await cast.server()
    const headers = { ...(cookie ? { cookie } : {}), ...(origin === undefined ? {} : { origin }) }
    return url.startsWith('/api')
      ? server.inject({ method: 'POST', url, headers, payload: { name: 'Ines' } })
      : server.inject({
          method: 'POST',
          url,
          headers: { ...headers, 'content-type': 'application/x-www-form-urlencoded' },
          payload: 'name=Ines',
        })
  }

  it.each([
    ['another site', 'https://other.example'],
    ['a site whose name begins like ours', 'http://jointkeep.test.other.example'],
    ['our host under another port', 'http://jointkeep.test:8081'],
    ['a sandboxed frame or a stripped referrer', 'null'],
    ['something that is no address', 'jointkeep.test'],
    ['nowhere that is said', undefined],
  ])('from %s is refused and writes nothing', async (_from, origin) => {
    const before = await crewCount()
    const answer = await write(origin)
    expect(answer.statusCode).toBe(403)
    expect(answer.body).toContain('"code":"origin"')
    expect(await crewCount()).toBe(before)
  })

  it('from our own pages is taken', async () => {
    const before = Number(await crewCount())
    expect((await write(ORIGIN)).statusCode).toBeLessThan(400)
    expect(Number(await crewCount())).toBe(before + 1)
  })
})

describe('what brings no cookie', () => {
  it('is a program when it says no origin: signing in works', async () => {
    const server = await cast.server()
    const answer = await server.inject({
      method: 'POST',
      url: '/api/v1/session',
      payload: { email: 'nobody@tern.example', password: 'whatever it may be' },
    })
    expect(answer.statusCode).toBe(401)
    expect(answer.json()).toMatchObject({ code: 'wrong-credentials' })
  })

  it('is refused at the entrance too when another site sent it', async () => {
    const server = await cast.server()
    for (const origin of ['https://other.example', 'null']) {
      const answer = await server.inject({
        method: 'POST',
        url: '/sign-in',
        headers: { origin, 'content-type': 'application/x-www-form-urlencoded' },
        payload: 'email=a@b.example&password=whatever it may be',
      })
      expect(answer.statusCode).toBe(403)
      expect(answer.headers['set-cookie']).toBeUndefined()
    }
  })

  it('is vouched for by its token, wherever it comes from', async () => {
    const server = await cast.server()
    const answer = await server.inject({
      method: 'POST',
      url: '/api/v1/crew',
      headers: { ...asProgram(cast.sam), origin: 'https://other.example' },
      payload: { name: 'Ines' },
    })
    expect(answer.statusCode).toBe(201)
  })
})
