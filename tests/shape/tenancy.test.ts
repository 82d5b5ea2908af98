// Can anybody of one company read or change anything of another? Every route and every query is tried.

import { readdirSync } from 'node:fs'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { may } from '../../server/access/capabilities.ts'
import type { App } from '../../server/app.ts'
import type { RouteRecord } from '../../server/http/resource.ts'
import { Refusal } from '../../server/refusals.ts'
import { type Scope, scopeOf } from '../../server/store/store.ts'
import { aCast, type Cast, type Player } from '../support/cast.ts'
import { ask, exampleFor, nameOf, paramsOf } from './ask.ts'
import { PUBLIC } from './examples.ts'
import { QUERIES } from './queries.ts'
import { countsOf, rowsOf, textsOf } from './rows.ts'
import { aWorld, type Team, teamA, teamB, type World } from './world.ts'

const MARK = 'Aldermoor'
let cast: Cast
let app: App
let ours: World
let theirs: World
let strangers: Team
/** Ids, serials, codes and hashes of company A, found in its rows. */
let secrets: string[]

beforeAll(async () => {
  cast = await aCast()
  app = await cast.app()
  ours = await aWorld(cast, teamA(cast), MARK)
  strangers = await teamB(cast)
  theirs = await aWorld(cast, strangers, 'Birchwick')
  const all = await textsOf(cast.store.store, ours.companyId)
  const alsoTheirs = await textsOf(cast.store.store, theirs.companyId)
  secrets = [...all].filter(
    (text) => !alsoTheirs.has(text) && (/^[0-9a-f-]{36}$/.test(text) || /^[0-9a-f]{64}$/.test(text)),
  )
})
afterAll(() => cast.remove())

const isPublic = (route: RouteRecord) => route.capability === null
const uuids = (value: unknown): string[] =>
  (JSON.stringify(value) ?? '').match(/[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[0-9a-f]{4}-[0-9a-f]{12}/g) ?? []

/** What the request itself named may come back; nothing else of company A may. */
function expectNothingOfOurs(body: string, sent: unknown, where: string) {
  const named = new Set(uuids(sent))
  const leaked = secrets.filter((secret) => !named.has(secret) && body.includes(secret))
  expect(leaked, where).toEqual([])
  for (const word of [MARK, MARK.toLowerCase(), 'North Ridge', 'Tess', 'Olga'])
    expect(body.includes(word), `${where} shows "${word}"`).toBe(false)
  expect(body, where).not.toMatch(/\bNR\d+-\d+\b/)
}

/** Somebody of the other company whose role would allow it, so that no other refusal comes first. */
const strangerFor = (route: RouteRecord): Player =>
  [strangers.technician, strangers.manager, strangers.owner].find(
    (player) => route.capability === null || may(player, route.capability),
  ) ?? strangers.owner

/** Signing out is one of the routes: it must not end the session that the next request needs. */
const withFreshSession = async (player: Player): Promise<Player> => ({
  ...player,
  cookie: `jointkeep_session=${await cast.deps.sessions.start(player.personId, player.companyId)}`,
})

describe('the table of routes', () => {
  it('has enough to be worth walking, and every secret is one', () => {
    expect(app.routes.length).toBeGreaterThan(120)
    expect(secrets.length).toBeGreaterThan(500)
    expect(secrets).toContain(ours.makes.torqued)
  })

  it('names every public route with the reason why it is public', () => {
    const open = [...new Set(app.routes.filter(isPublic).map((route) => route.name))].sort()
    expect(open).toEqual(Object.keys(PUBLIC).sort())
  })

  it('has an example for every route', () => {
    const without = app.routes.flatMap((route) => {
      try {
        exampleFor(route, ours, cast.clock.now)
        return []
      } catch (problem) {
        return [String(problem)]
      }
    })
    expect(without).toEqual([])
  })

  it('knows every route that the server answers', () => {
    const known = new Set(app.routes.map((route) => `${route.method} ${route.url}`))
    const outside = [
      '/health/live',
      '/health/ready',
      '/metrics',
      // Takes a file of gigabytes, so it has a route of its own: tests/http/company-archive.test.ts.
      '/import-company',
      '/assets/*',
      '/assets/htmx/*',
      '/assets/idb/*',
      '/*',
      '*',
    ]
    const printed = app.server.printRoutes({ commonPrefix: false, includeHooks: false })
    const stack: string[] = []
    const unknown: string[] = []
    for (const line of printed.split('\n')) {
      const match = /^([\s│]*)[├└]── (\S*) \(([A-Z, ]+)\)$/.exec(line) ?? /^([\s│]*)[├└]── (\S*)$/.exec(line)
      if (!match) continue
      const depth = (match[1] ?? '').length / 4
      stack.length = depth
      stack.push(match[2] ?? '')
      const url = stack.join('')
      for (const method of (match[3] ?? '').split(', '))
        if (method !== '' && method !== 'HEAD' && method !== 'OPTIONS')
          if (!known.has(`${method} ${url}`) && !outside.includes(url)) unknown.push(`${method} ${url}`)
    }
    expect(unknown).toEqual([])
  })
})

describe("a stranger with company A's ids", () => {
  it('finds nothing on any route, by session or by token, and changes nothing', async () => {
    const failures: string[] = []
    const before = await rowsOf(cast.store.store, ours.companyId)
    let tried = 0
    for (const route of app.routes) {
      const example = exampleFor(route, ours, cast.clock.now)
      const named = uuids(example.input).filter((id) => secrets.includes(id))
      const asked = named.length > 0 || paramsOf(route).length > 0
      // Where nothing of company A is named, the stranger asks in their own world's words.
      const { input } = asked ? example : exampleFor(route, theirs, cast.clock.now)
      for (const way of ['session', 'token'] as const) {
        const where = `${nameOf(route)} by ${way}`
        const stranger = await withFreshSession(strangerFor(route))
        const counted = await countsOf(cast.store.store)
        const answer = await ask(app.server, route, input, stranger, way)
        tried += 1
        const expected = isPublic(route) ? null : asked ? 404 : null
        if (expected !== null && answer.statusCode !== expected)
          failures.push(`${where}: ${answer.statusCode} ${answer.body.slice(0, 300)}`)
        if (expected === 404 && route.face === 'json') {
          const problem = answer.json()
          if (problem.code !== 'missing' || /^This page/.test(problem.detail))
            failures.push(`${where}: not the answer of the route: ${answer.body.slice(0, 200)}`)
        }
        if (answer.statusCode >= 500) failures.push(`${where}: ${answer.statusCode}`)
        // A certificate's code is on the paper: whoever holds it may see what the public page shows.
        if (route.name === 'certificate-by-code') continue
        // The company's own way in, to who was given its address: it says whose it is.
        if (route.name === 'way-in' || route.name === 'go-to-provider') continue
        expectNothingOfOurs(`${answer.body}\n${JSON.stringify(answer.headers)}`, input, where)
        if (expected === 404 && (await countsOf(cast.store.store)) !== counted)
          failures.push(`${where}: was refused, and wrote something`)
      }
    }
    expect(failures).toEqual([])
    // Not one byte of company A's rows is another one after all of it.
    expect(await rowsOf(cast.store.store, ours.companyId)).toEqual(before)
    expect(tried).toBe(app.routes.length * 2)
  }, 240_000)

  it('is not told apart from one who asks for what never was', async () => {
    const failures: string[] = []
    for (const route of app.routes) {
      const params = paramsOf(route)
      if (isPublic(route) || params.length === 0 || route.face !== 'json') continue
      const { input } = exampleFor(route, ours, cast.clock.now)
      const nothing = { ...input }
      for (const name of params) nothing[name] = '01890000-0000-7000-8000-000000000000'
      const there = await ask(app.server, route, input, await withFreshSession(strangerFor(route)))
      const never = await ask(app.server, route, nothing, await withFreshSession(strangerFor(route)))
      if (there.statusCode !== never.statusCode || there.body !== never.body)
        failures.push(`${nameOf(route)}: ${there.body.slice(0, 200)} / ${never.body.slice(0, 200)}`)
    }
    expect(failures).toEqual([])
  }, 120_000)
})

describe('the same requests by the people they belong to', () => {
  it('are found: what a stranger is refused is there', async () => {
    const failures: string[] = []
    for (const route of app.routes) {
      if (route.method !== 'GET' || isPublic(route)) continue
      const { input } = exampleFor(route, ours, cast.clock.now)
      const player = [ours.team.technician, ours.team.manager, ours.team.owner].find(
        (one) => route.capability !== null && may(one, route.capability),
      )
      const answer = await ask(app.server, route, input, player ?? ours.team.owner)
      // A tag is not shown, it leads to its joint; a label to its instrument.
      const led = /^\/(?:joints|instruments)\/[0-9a-f-]{36}/.test(String(answer.headers.location))
      // An archive is there once it was written out: tests/http/company-archive.test.ts.
      if (route.name === 'company-archive-itself' && answer.statusCode === 404) continue
      if (answer.statusCode !== 200 && !(/^follow-(?:tag|instrument-label)$/.test(route.name) && led))
        failures.push(`${nameOf(route)}: ${answer.statusCode} ${answer.body.slice(0, 300)}`)
    }
    expect(failures).toEqual([])
  }, 120_000)
})

describe('every query', () => {
  it('is in the table', async () => {
    const folder = new URL('../../server/store/queries/', import.meta.url)
    const exported: string[] = []
    for (const file of readdirSync(folder).sort()) {
      const module = (await import(new URL(file, folder).href)) as Record<string, unknown>
      for (const [name, value] of Object.entries(module))
        if (typeof value === 'function') exported.push(`${file.replace(/\.ts$/, '')}/${name}`)
    }
    expect(Object.keys(QUERIES).sort()).toEqual(exported.sort())
  })

  it("finds nothing in a stranger's scope", async () => {
    const failures: string[] = []
    const stranger = scopeOf(cast.store.store.reader(), theirs.companyId)
    const own = scopeOf(cast.store.store.reader(), ours.companyId)
    let tried = 0
    for (const [name, told] of Object.entries(QUERIES)) {
      if (!('call' in told)) continue
      tried += 1
      const answerTo = async (scope: Scope) => {
        try {
          return { found: await told.call(scope, ours, own) }
        } catch (problem) {
          if (problem instanceof Refusal && problem.kind === 'missing') return { found: null }
          throw problem
        }
      }
      const mine = (await answerTo(own)).found
      if (!told.empty && !holdsSomething(mine)) failures.push(`${name} finds nothing in its own company`)
      const foreign = (await answerTo(stranger)).found
      const text = textOf(foreign)
      const leaked = secrets.filter((secret) => text.includes(secret))
      if (leaked.length > 0 || text.includes(MARK)) failures.push(`${name} found ${text.slice(0, 300)}`)
    }
    expect(failures).toEqual([])
    expect(tried).toBeGreaterThan(50)
  })
})

/** A map's keys are what was asked for. */
const textOf = (value: unknown): string =>
  JSON.stringify(value, (_, inner) =>
    inner instanceof Map ? [...inner.values()] : inner instanceof Set ? [...inner] : inner,
  ) ?? ''

function holdsSomething(value: unknown): boolean {
  if (value === null || value === undefined || value === false || value === 0) return false
  if (Array.isArray(value)) return value.length > 0
  if (value instanceof Map || value instanceof Set) return value.size > 0
  if (typeof value === 'object') return Object.values(value).some(holdsSomething)
  return true
}
