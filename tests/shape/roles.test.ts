// Who is turned away at each door? Signed out everywhere, and each role that a capability leaves out.

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { may } from '../../server/access/capabilities.ts'
import type { App } from '../../server/app.ts'
import type { RouteRecord } from '../../server/http/resource.ts'
import { ROLES } from '../../server/vocabulary.ts'
import { aCast, type Cast } from '../support/cast.ts'
import { ask, exampleFor, nameOf } from './ask.ts'
import { countsOf, rowsOf } from './rows.ts'
import { aWorld, teamA, type World } from './world.ts'

let cast: Cast
let app: App
let world: World
let before: Record<string, string>
beforeAll(async () => {
  cast = await aCast()
  app = await cast.app()
  world = await aWorld(cast, teamA(cast), 'Aldermoor')
  before = await rowsOf(cast.store.store)
})
afterAll(() => cast.remove())

const guarded = () =>
  app.routes.filter(
    (route): route is RouteRecord & { capability: NonNullable<RouteRecord['capability']> } =>
      route.capability !== null,
  )

describe('somebody who is signed out', () => {
  it('is answered 401 by every JSON route, and shown the way to sign in by every page', async () => {
    const failures: string[] = []
    expect(guarded().length).toBeGreaterThan(100)
    for (const route of guarded()) {
      const { input } = exampleFor(route, world, cast.clock.now)
      const answer = await ask(app.server, route, input, null)
      const problem = `${nameOf(route)}: ${answer.statusCode} ${answer.body.slice(0, 120)}`
      if (route.face === 'json') {
        if (answer.statusCode !== 401 || answer.json().code !== 'signed-out') failures.push(problem)
      } else if (
        answer.statusCode !== 303 ||
        !/^\/sign-in(\?next=%2F[^&]*)?$/.test(String(answer.headers.location))
      )
        failures.push(`${problem} → ${answer.headers.location}`)
    }
    expect(failures).toEqual([])
  }, 120_000)

  it('is no less signed out with a token that nobody was given', async () => {
    for (const route of guarded().filter(({ face }) => face === 'json')) {
      const { input } = exampleFor(route, world, cast.clock.now)
      const made = { ...world.team.owner, token: `${world.team.owner.token.slice(0, -2)}xx` }
      const answer = await ask(app.server, route, input, made, 'token')
      expect([nameOf(route), answer.statusCode]).toEqual([nameOf(route), 401])
    }
  }, 120_000)
})

describe.each(ROLES)('a %s', (role) => {
  it('is answered 403 wherever the role does not reach, by session and by token, and nothing is written', async () => {
    const failures: string[] = []
    const player = world.team[role]
    const counted = await countsOf(cast.store.store)
    const closed = guarded().filter((route) => !may(player, route.capability))
    for (const route of closed) {
      const { input } = exampleFor(route, world, cast.clock.now)
      for (const way of ['session', 'token'] as const) {
        const answer = await ask(app.server, route, input, player, way)
        if (answer.statusCode !== 403)
          failures.push(`${nameOf(route)} by ${way}: ${answer.statusCode} ${answer.body.slice(0, 160)}`)
        if ((await countsOf(cast.store.store)) !== counted) failures.push(`${nameOf(route)} wrote something`)
      }
    }
    expect(failures).toEqual([])
    if (role === 'owner') expect(closed).toEqual([])
    else expect(closed.length).toBeGreaterThan(0)
  }, 120_000)
})

describe('a session', () => {
  it('writes nothing from another site, and nothing without saying where it comes from', async () => {
    const failures: string[] = []
    for (const route of app.routes.filter(({ method }) => method !== 'GET')) {
      const { input } = exampleFor(route, world, cast.clock.now)
      const cookie = world.team.owner.cookie
      for (const headers of [
        { cookie },
        { cookie, origin: 'http://elsewhere.example' },
        { cookie, origin: 'null' },
      ]) {
        const answer = await app.server.inject({
          method: route.method,
          url: route.url.replaceAll(/:(\w+)/g, (_, name: string) => String(input[name])),
          headers: {
            ...headers,
            'content-type': route.face === 'json' ? 'application/json' : 'application/x-www-form-urlencoded',
          },
          payload: route.face === 'json' ? '{}' : '',
        })
        if (answer.statusCode !== 403) failures.push(`${nameOf(route)}: ${answer.statusCode}`)
      }
    }
    expect(failures).toEqual([])
  }, 120_000)
})

describe('after all of that', () => {
  it('not one row is another one', async () => {
    expect(await rowsOf(cast.store.store)).toEqual(before)
  })
})
