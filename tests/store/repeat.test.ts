// What happens when the same write is sent again? The first answer, once written; anything else is refused.

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { App } from '../../server/app.ts'
import { newId } from '../../server/ids.ts'
import { ask, askingOf, nameOf } from '../shape/ask.ts'
import { COMMAND_EXAMPLES } from '../shape/examples.ts'
import { countsOf } from '../shape/rows.ts'
import { aWorld, teamA, type World } from '../shape/world.ts'
import { aCast, asBrowser, asProgram, type Cast } from '../support/cast.ts'
import { STORE_KINDS } from '../support/stores.ts'

/** A word in each that may be another one, so that the content differs while the id is the same. */
const CHANGED: Record<string, (input: Record<string, unknown>) => void> = {
  'add-site': (input) => Object.assign(input, { address: 'Elsewhere 5, Brackwater' }),
  'add-equipment-sheet': (input) => Object.assign(input, { kind: 'floor console' }),
  'add-instrument': (input) => Object.assign(input, { name: 'Another name' }),
  'open-job': (input) => Object.assign(input, { reference: 'Another reference' }),
  'add-system': (input) => Object.assign(input, { name: 'Another name' }),
  'add-line-set': (input) => Object.assign(input, { name: 'Another name' }),
  'add-joint': (input) => Object.assign(input, { place: 'elsewhere' }),
  'start-make': (input) => Object.assign(input, { reason: 'Another reason.' }),
  'record-torque': (input) => Object.assign(input, { reading: { value: 35, unit: 'N.m' } }),
  'record-leak-check': (input) => Object.assign(input, { where: 'at the nut' }),
  'record-charge': (input) => Object.assign(input, { mass: { value: 121, unit: 'g' } }),
  'record-calibration': (input) => Object.assign(input, { reference: 'another' }),
  'conclude-pressure-test': (input) => Object.assign(input, { performedAt: undefined }),
  'correct-fact': (input) => Object.assign(input, { reason: 'Another reason.' }),
  'grant-concession': (input) => Object.assign(input, { reason: 'Another reason.' }),
  'add-crew-person': (input) => Object.assign(input, { name: 'Another name' }),
}

describe.each(STORE_KINDS)('a write sent again, on %s', (kind) => {
  let cast: Cast
  let app: App
  let world: World
  beforeAll(async () => {
    cast = await aCast(kind)
    app = await cast.app()
    world = await aWorld(cast, teamA(cast), 'Aldermoor')
  })
  afterAll(() => cast.remove())

  const routeOf = (name: string) => {
    const route = app.routes.find((one) => one.name === name && one.face === 'json')
    if (!route) throw new Error(`No JSON route carries ${name}.`)
    return route
  }
  const exampleOf = (name: string) => {
    const told = COMMAND_EXAMPLES[name]
    if (!told) throw new Error(`${name} has no example.`)
    const { by, input } = told(world, cast.clock.now)
    return { player: world.team[by ?? 'technician'], input }
  }

  it.each(Object.keys(CHANGED))(
    '%s: two at once write once, a third is answered the same, other content is refused',
    async (name) => {
      const route = routeOf(name)
      const { player, input } = exampleOf(name)
      expect(input.id, `${nameOf(route)} lets the client choose the id`).toMatch(/^[0-9a-f-]{36}$/)
      const [first, second] = await Promise.all([
        ask(app.server, route, input, player, 'token'),
        ask(app.server, route, input, player, 'token'),
      ])
      const statuses = [first.statusCode, second.statusCode].sort()
      expect(statuses, first.body).toEqual([200, route.status])
      expect(first.json()).toEqual(second.json())
      const counted = await countsOf(cast.store.store)

      const third = await ask(app.server, route, input, player, 'session')
      expect(third.statusCode, third.body).toBe(200)
      expect(third.json()).toEqual(first.json())

      const other = structuredClone(input)
      CHANGED[name]?.(other)
      const refused = await ask(app.server, route, other, player, 'token')
      expect(refused.statusCode, refused.body).toBe(409)
      expect(refused.json()).toMatchObject({ code: 'id-reused', errors: [{ path: 'id' }] })
      expect(await countsOf(cast.store.store)).toBe(counted)
    },
  )

  it('holds an Idempotency-Key for what creates no named thing', async () => {
    const route = routeOf('change-system')
    const { url } = askingOf(route, { systemId: world.systemId })
    const key = newId()
    const send = (name: string, headers: Record<string, string> = asProgram(cast.tess)) =>
      app.server.inject({
        method: 'PATCH',
        url,
        headers: { ...headers, 'idempotency-key': key },
        payload: { name },
      })
    const [one, two] = await Promise.all([send('Loft'), send('Loft')])
    expect([one.statusCode, two.statusCode]).toEqual([200, 200])
    expect(one.json()).toEqual(two.json())
    const counted = await countsOf(cast.store.store)
    expect((await send('Loft', asBrowser(cast.tess))).json()).toEqual(one.json())
    const other = await send('Cellar')
    expect(other.statusCode).toBe(409)
    expect(other.json().code).toBe('id-reused')
    expect(await countsOf(cast.store.store)).toBe(counted)
  })

  it('keeps keys by company: another company may use the same one', async () => {
    const id = newId()
    const body = { id, customerName: 'Bo Marsh', address: '14 Lantern Row, Brackwater' }
    const send = (player: typeof cast.tess, payload: object) =>
      app.server.inject({ method: 'POST', url: '/api/v1/sites', headers: asProgram(player), payload })
    expect((await send(cast.tess, body)).statusCode).toBe(201)
    const theirs = await send(cast.zoe, { ...body, customerName: 'Kit Sallow' })
    expect(theirs.statusCode, theirs.body).toBe(201)
    expect(theirs.json().customerName).toBe('Kit Sallow')
  })

  it('does not keep a refusal: what was wrong can be sent right under the same id', async () => {
    const id = newId()
    const send = (payload: object) =>
      app.server.inject({ method: 'POST', url: '/api/v1/sites', headers: asProgram(cast.tess), payload })
    expect((await send({ id, customerName: 'Bo Marsh' })).statusCode).toBe(400)
    expect((await send({ id, customerName: 'Bo Marsh', address: '3 Rush Lane' })).statusCode).toBe(201)
  })
})
