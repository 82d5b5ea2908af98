// What becomes of a wrong body? For each command: a problem that points at the field, and nothing written.

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { App } from '../../server/app.ts'
import type { RouteRecord } from '../../server/http/resource.ts'
import { newId } from '../../server/ids.ts'
import { verifyChain } from '../../server/store/record.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, asBrowser, asProgram, type Cast } from '../support/cast.ts'
import { asForm, askingOf, paramsOf } from './ask.ts'
import { allCommands, type FoundCommand } from './commands.ts'
import { COMMAND_EXAMPLES, type Example } from './examples.ts'
import { foreignIds, type Mutation, mutationsOf, onTheWire } from './mutations.ts'
import { countsOf, rowsOf } from './rows.ts'
import { aWorld, teamA, teamB, type World } from './world.ts'

let cast: Cast
let app: App
let ours: World
let theirs: World
beforeAll(async () => {
  cast = await aCast()
  app = await cast.app()
  ours = await aWorld(cast, teamA(cast), 'Aldermoor')
  theirs = await aWorld(cast, await teamB(cast), 'Birchwick')
})
afterAll(() => cast.remove())

const commands = await allCommands()
const routeOf = (command: FoundCommand): RouteRecord => {
  const route = app.routes.find(
    ({ name, face, method }) => name === command.name && face === 'json' && method !== 'GET',
  )
  if (!route) throw new Error(`No JSON route carries ${command.name}.`)
  return route
}

/** Ids that the caller chooses: another value of these names nothing that exists. */
const CHOSEN = (command: string) => (path: string[]) =>
  path.at(-1) === 'id' || (command === 'record-steps' && path.at(-1) === 'makeId')

const headersOf = ({ by, session }: Example): Record<string, string> =>
  by === null ? {} : session ? asBrowser(ours.team[by]) : asProgram(ours.team[by])

let asked = 0
async function send(command: FoundCommand, example: Example, input: Record<string, unknown>) {
  const { url, method, body } = askingOf(routeOf(command), input)
  asked += 1
  const form = asForm(body ?? {})
  return app.server.inject({
    method,
    url,
    headers: {
      'content-type': 'application/json',
      ...headersOf(example),
      ...form?.headers,
    },
    // Tries are limited by address.
    remoteAddress: `10.1.${(asked >> 8) & 255}.${asked & 255}`,
    payload: form?.payload ?? onTheWire(body),
  })
}

const covers = (path: string, answered: string) =>
  answered === path || answered.startsWith(`${path}.`) || path.startsWith(`${answered}.`)

async function tryAll(command: FoundCommand, statuses: number[], mutations: Mutation[]): Promise<string[]> {
  const failures: string[] = []
  const example = exampleOf(command)
  const counted = await countsOf(cast.store.store)
  for (const { what, path, input } of mutations) {
    const answer = await send(command, example, input)
    const where = `${command.name}, ${what}: ${answer.statusCode} ${answer.body.slice(0, 240)}`
    if (!statuses.includes(answer.statusCode)) {
      failures.push(where)
      continue
    }
    if (!String(answer.headers['content-type']).startsWith('application/problem+json'))
      failures.push(`${where} is no problem+json`)
    const problem = answer.json() as { status: number; code: string; errors?: { path: string }[] }
    if (problem.status !== answer.statusCode || !problem.code) failures.push(`${where} is incomplete`)
    if (/\bat .*\.(ts|js):\d+|node_modules|SQLITE|sqlite|drizzle/.test(answer.body))
      failures.push(`${where} tells about the inside`)
    const named = (problem.errors ?? []).some((error) => covers(path, error.path))
    // What the address names needs no field to point at when it is not there.
    if (!named && !(answer.statusCode === 404 && paramsOf(routeOf(command)).includes(path)))
      failures.push(`${where} does not point at ${path}`)
    if ((await countsOf(cast.store.store)) !== counted) {
      failures.push(`${where} wrote something`)
      break
    }
  }
  return failures
}

const exampleOf = (command: FoundCommand): Example => {
  const told = COMMAND_EXAMPLES[command.name]
  if (!told) throw new Error(`${command.name} has no example in tests/shape/examples.ts.`)
  return told(ours, cast.clock.now)
}

describe('the table of commands', () => {
  it('has a valid example for each command, and none for what is not there', () => {
    expect(commands.length).toBeGreaterThan(45)
    expect(Object.keys(COMMAND_EXAMPLES).sort()).toEqual(commands.map(({ name }) => name).sort())
  })

  it('finds a JSON route for each', () => {
    for (const command of commands) expect(routeOf(command).url, command.name).toMatch(/^\/api\/v1\//)
  })
})

describe.each(commands.map((command) => [command.name, command] as const))('%s', (name, command) => {
  it('points at the field that is wrong, and writes nothing', async () => {
    const before = await rowsOf(cast.store.store)
    const inAddress = new Set(paramsOf(routeOf(command)))
    const mutations = mutationsOf(command.input, exampleOf(command).input, inAddress)
    expect(mutations.length).toBeGreaterThanOrEqual(1)
    const failures = await tryAll(command, [400], mutations)
    expect(failures).toEqual([])
    expect(await rowsOf(cast.store.store)).toEqual(before)
  }, 60_000)

  it("refuses another company's ids as if they were not there", async () => {
    const told = COMMAND_EXAMPLES[name]
    if (!told) throw new Error(name)
    const now = cast.clock.now
    const mutations = foreignIds(told(ours, now).input, told(theirs, now).input, CHOSEN(name))
    // The subject of a concession is one of the job's findings, not a thing by itself.
    expect(await tryAll(command, name === 'grant-concession' ? [404, 400] : [404], mutations)).toEqual([])
  }, 60_000)

  it('refuses what is no JSON object, what is too large, and what is no JSON', async () => {
    const example = exampleOf(command)
    const route = routeOf(command)
    const { url, method } = askingOf(route, example.input)
    const counted = await countsOf(cast.store.store)
    const headers = headersOf(example)
    const raw = (payload: string | Buffer, type = 'application/json') => {
      asked += 1
      return app.server.inject({
        method,
        url,
        headers: { ...headers, 'content-type': type },
        payload,
        remoteAddress: `10.2.${(asked >> 8) & 255}.${asked & 255}`,
      })
    }
    const cases: [string, number, Awaited<ReturnType<typeof raw>>][] = [
      ['a list', 400, await raw(route.wraps ? '[1]' : '[]')],
      ['a text', 400, await raw('"hello"')],
      ['a number', 400, await raw('12')],
      ['cut off', 400, await raw('{"id":')],
      ['the literal NaN', 400, await raw('{"id": NaN}')],
      ['a prototype', 400, await raw('{"__proto__": {"role": "owner"}}')],
      ['10 MB', 413, await raw(JSON.stringify({ id: newId(), note: 'x'.repeat(10 * 1024 * 1024) }))],
      ['another kind of content', 415, await raw('<id/>', 'application/xml')],
    ]
    for (const [what, status, answer] of cases) {
      expect([what, answer.statusCode], answer.body.slice(0, 200)).toEqual([what, status])
      expect(answer.headers['content-type'], what).toMatch(/^application\/problem\+json/)
    }
    expect(await countsOf(cast.store.store)).toBe(counted)
  }, 60_000)
})

describe('an address that cannot be read', () => {
  it('is refused in the same words as everything else', async () => {
    for (const url of ['/api/v1/jobs/%E0%A4%A', `/api/v1/jobs/${'x'.repeat(100_000)}`, '/api/v1/jobs/%00']) {
      const answer = await app.server.inject({ url, headers: asProgram(ours.team.technician) })
      expect([400, 404], url.slice(0, 40)).toContain(answer.statusCode)
      expect(answer.headers['content-type']).toMatch(/^application\/problem\+json/)
      expect(answer.body).not.toContain('FST_')
    }
  })
})

const WITHOUT_PASSWORD: Record<string, number[]> = {
  'sign-in': [401],
  'set-up-authenticator': [400],
  'make-recovery-codes': [400],
  'remove-authenticator': [400],
  'confirm-authenticator': [409],
  'begin-passkey': [400],
  'remove-passkey': [400],
  'rename-passkey': [404],
  // The cast's server has an address that browsers make no passkeys for.
  'add-passkey': [409],
  'ask-for-passkey': [409],
  'sign-in-with-passkey': [409],
}

describe('after all that', () => {
  it('every valid example still goes through, so each refusal was for the field that was changed', async () => {
    const failures: string[] = []
    // What is conceded may be mended by one of the others, what is decided needs no job any more, and what is closed no
    // repair: they go first. Who signs out is gone: that goes last; signing out elsewhere leaves no one session to name.
    const early = ['grant-concession', 'open-follow-up-jobs', 'open-repair', 'end-session', 'second-step']
    const turn = ({ name }: FoundCommand) => (early.includes(name) ? -1 : name === 'sign-out' ? 1 : 0)
    for (const command of [...commands].sort((a, b) => turn(a) - turn(b))) {
      const example = exampleOf(command)
      const answer = await send(command, example, example.input)
      // Nobody in the cast has a password, nor an authenticator that waits for its first code, nor a passkey.
      const expected = WITHOUT_PASSWORD[command.name] ?? [200, 201]
      if (!expected.includes(answer.statusCode))
        failures.push(`${command.name}: ${answer.statusCode} ${answer.body.slice(0, 300)}`)
    }
    expect(failures).toEqual([])
  }, 60_000)

  it('every chain of both companies still verifies', async () => {
    for (const world of [ours, theirs]) {
      const scope = scopeOf(cast.store.store.reader(), world.companyId)
      const chains = await cast.store.store.query<{ id: string }>(
        `select id from chains where company_id = '${world.companyId}'`,
      )
      expect(chains.length).toBeGreaterThan(5)
      for (const { id } of chains) expect(await verifyChain(scope, id)).toEqual([])
    }
  }, 60_000)
})
