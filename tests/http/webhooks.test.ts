// Webhooks, as pages and as JSON: who may keep them, what is refused, and what is shown only once.

import { parse } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { newId } from '../../server/ids.ts'
import { ownNetworks } from '../../server/outgoing/addresses.ts'
import { WEBHOOK_EVENTS } from '../../server/vocabulary.ts'
import { dispatcherOf } from '../../server/webhooks/dispatcher.ts'
import { aCast, asBrowser, asProgram, type Cast, type Player } from '../support/cast.ts'

let cast: Cast
let server: Awaited<ReturnType<Cast['server']>>
beforeAll(async () => {
  cast = await aCast()
  server = await cast.server()
})
afterAll(() => cast.remove())

const api = (
  method: 'GET' | 'POST' | 'PATCH' | 'DELETE',
  path: string,
  payload: object | undefined = undefined,
  player: Player = cast.sam,
) =>
  server.inject({
    method,
    url: `/api/v1${path}`,
    headers: asProgram(player),
    ...(payload === undefined ? {} : { payload }),
  })
const page = async (url: string, player: Player = cast.sam) =>
  parse((await server.inject({ url, headers: asBrowser(player) })).body)
const post = (url: string, fields: Record<string, string>, player: Player = cast.sam) =>
  server.inject({
    method: 'POST',
    url,
    headers: { ...asBrowser(player), 'content-type': 'application/x-www-form-urlencoded' },
    payload: new URLSearchParams(fields).toString(),
  })
const GOOD = { url: 'https://hooks.example/in', events: ['job.signed_off'] }
const aWebhook = async () => (await api('POST', '/webhooks', GOOD)).json()
const howMany = async () => (await cast.store.store.query('select id from webhook_endpoints')).length

const answers = (status: number) =>
  dispatcherOf({
    store: cast.store.store,
    sealer: cast.machinery.sealer,
    clock: () => cast.clock.now,
    own: ownNetworks(''),
    chance: () => 0.5,
    send: async () => ({ status, problem: null, answer: 'Lid is shut', retryAfterMs: null }),
  })

describe('a program', () => {
  it('adds one, is answered its secret once, and finds it again without', async () => {
    const body = { id: newId(), ...GOOD, description: 'The claims desk' }
    const first = await api('POST', '/webhooks', body)
    expect(first.statusCode).toBe(201)
    const { secret, ...webhook } = first.json()
    expect(secret).toMatch(/^whsec_/)
    const again = await api('POST', '/webhooks', body)
    expect([again.statusCode, again.json().secret]).toEqual([200, null])
    expect((await api('GET', `/webhooks/${body.id}`)).json()).toEqual(webhook)
    expect((await api('GET', '/webhooks')).json().items).toContainEqual(webhook)
    expect((await api('POST', '/webhooks', { ...body, description: 'x' })).json().code).toBe('id-reused')
  })

  it.each([
    ['no address', { url: 'hooks.example' }, 'url'],
    ['plain http', { url: 'http://hooks.example/' }, 'url'],
    ['a password in it', { url: 'https://a:b@hooks.example/' }, 'url'],
    ['another port', { url: 'https://hooks.example:25/' }, 'url'],
    ['this very machine', { url: 'https://127.0.0.1/' }, 'url'],
    ['a machine of the cloud', { url: 'https://169.254.169.254/' }, 'url'],
    ['no event', { events: [] }, 'events'],
    ['an unknown event', { events: ['job.lost'] }, 'events.0'],
    ['an unknown field', { secret: 'whsec_mine' }, 'secret'],
  ])('is refused %s, beside the field, and nothing is written', async (_what, wrong, path) => {
    const before = await howMany()
    const answer = await api('POST', '/webhooks', { ...GOOD, ...wrong })
    expect(answer.statusCode).toBe(400)
    expect(answer.json().errors[0].path).toBe(path)
    expect(await howMany()).toBe(before)
  })

  it('changes it, switches it off and on, and removes it', async () => {
    const { id } = await aWebhook()
    const changed = await api('PATCH', `/webhooks/${id}`, { events: ['recall.opened', 'callback.closed'] })
    // In the order of the vocabulary, however they came.
    expect(changed.json()).toMatchObject({ url: GOOD.url, events: ['callback.closed', 'recall.opened'] })
    expect((await api('PATCH', `/webhooks/${id}`, { url: 'http://x.example' })).statusCode).toBe(400)
    const off = (await api('PATCH', `/webhooks/${id}`, { active: false })).json()
    expect(off).toMatchObject({ active: false, switchedOff: { why: 'by-hand' } })
    expect((await api('POST', `/webhooks/${id}/test`, {})).json().code).toBe('webhook-off')
    expect((await api('PATCH', `/webhooks/${id}`, { active: true })).json()).toMatchObject({
      switchedOff: null,
    })
    expect((await api('DELETE', `/webhooks/${id}`)).statusCode).toBe(200)
    expect((await api('GET', `/webhooks/${id}`)).statusCode).toBe(404)
  })

  it('sends a test, reads the log in pages, and sends again', async () => {
    const { id } = await aWebhook()
    for (const _ of [1, 2, 3]) {
      expect((await api('POST', `/webhooks/${id}/test`, {})).statusCode).toBe(201)
      cast.clock.pass(1000)
    }
    await answers(404).round()
    const first = (await api('GET', `/webhooks/${id}/deliveries?limit=2`)).json()
    expect(first.items).toHaveLength(2)
    expect(first.items[0]).toMatchObject({
      event: 'webhook.test',
      state: 'waiting',
      underWay: false,
      attempts: [{ status: 404, problem: null, answer: 'Lid is shut' }],
    })
    const rest = (await api('GET', `/webhooks/${id}/deliveries?limit=2&cursor=${first.nextCursor}`)).json()
    expect([rest.items.length, rest.nextCursor]).toEqual([1, null])
    const again = await api('POST', `/webhook-deliveries/${rest.items[0].id}/send-again`, {})
    expect(again.json()).toMatchObject({ messageId: rest.items[0].messageId, state: 'waiting' })
    expect(Date.parse(again.json().nextAt)).toBe(cast.clock.now)
  })

  it('is refused a twenty-first', async () => {
    while ((await howMany()) < 20) await aWebhook()
    expect((await api('POST', '/webhooks', GOOD)).json().code).toBe('too-many-webhooks')
    await cast.store.store.execute('delete from webhook_attempts')
    await cast.store.store.execute('delete from webhook_deliveries')
    await cast.store.store.execute('delete from webhook_endpoints')
  })
})

describe('who may not', () => {
  it('is turned away by role, and a stranger finds nothing', async () => {
    const { id } = await aWebhook()
    for (const player of [cast.tess, cast.wren]) {
      expect((await api('GET', '/webhooks', undefined, player)).statusCode).toBe(403)
      expect((await api('POST', '/webhooks', GOOD, player)).statusCode).toBe(403)
    }
    expect((await api('GET', `/webhooks/${id}`, undefined, cast.olga)).statusCode).toBe(200)
    const otherOwner = { ...cast.zoe }
    await cast.store.store.execute(`update members set role = 'owner' where id = '${cast.zoe.memberId}'`)
    const { items } = (await api('GET', `/webhooks/${id}/deliveries`, undefined, cast.sam)).json()
    expect(items).toEqual([])
    for (const [method, path] of [
      ['GET', `/webhooks/${id}`],
      ['GET', `/webhooks/${id}/deliveries`],
      ['DELETE', `/webhooks/${id}`],
      ['POST', `/webhooks/${id}/test`],
      ['POST', `/webhooks/${id}/secret`],
    ] as const)
      expect((await api(method, path, method === 'POST' ? {} : undefined, otherOwner)).statusCode, path).toBe(
        404,
      )
    expect((await api('GET', '/webhooks', undefined, otherOwner)).json().items).toEqual([])
    expect((await server.inject({ url: '/api/v1/webhooks' })).statusCode).toBe(401)
    expect((await server.inject({ url: '/webhooks' })).headers.location).toContain('/sign-in')
  })
})

describe('the pages', () => {
  it('add one without JavaScript, show the secret once, and list it', async () => {
    const form = (await page('/webhooks')).querySelector('form[action="/webhooks"]')
    const id = form?.querySelector('input[name=id]')?.getAttribute('value') ?? ''
    // All events are ticked at the start.
    expect(form?.querySelectorAll('input[type=checkbox][checked]')).toHaveLength(WEBHOOK_EVENTS.length)
    const fields = { id, url: 'https://desk.example/in', 'events.callback.opened': 'true' }
    const made = await post('/webhooks', fields)
    expect(made.statusCode).toBe(200)
    expect(parse(made.body).querySelector('#secret')?.text.trim()).toMatch(/^whsec_/)
    expect(parse((await post('/webhooks', fields)).body).querySelector('#secret')).toBeNull()
    expect((await api('GET', `/webhooks/${id}`)).json().events).toEqual(['callback.opened'])
    expect((await page('/webhooks')).querySelector(`a[href="/webhooks/${id}"]`)?.text).toContain(
      'desk.example',
    )
  })

  it('say what is wrong beside the field, and keep what was typed', async () => {
    const wrong = { id: newId(), url: 'http://desk.example/', description: 'Desk' }
    const refused = await post('/webhooks', { ...wrong, 'events.recall.opened': 'true' })
    expect(refused.statusCode).toBe(400)
    const form = parse(refused.body).querySelector('form[action="/webhooks"]')
    expect(form?.querySelector('#f-url')?.getAttribute('aria-invalid')).toBe('true')
    expect(form?.querySelector('#f-description')?.getAttribute('value')).toBe('Desk')
    expect(form?.text).toContain('Use an address that begins with https://')
    expect(form?.querySelectorAll('input[type=checkbox][checked]')).toHaveLength(1)
    const without = parse((await post('/webhooks', wrong)).body)
    expect(without.querySelector('fieldset.field-wrong')?.text).toContain('Choose at least one event.')
  })

  it('change it, test it, show the log, and switch it off with the reason in sight', async () => {
    const { id } = await aWebhook()
    const at = `/webhooks/${id}`
    const changed = { url: 'https://desk.example/two', 'events.recall.opened': 'true' }
    expect((await post(`${at}/change`, changed)).headers.location).toBe(at)
    expect((await api('GET', at)).json()).toMatchObject({ url: changed.url, events: ['recall.opened'] })
    const key = { _key: newId() }
    await post(`${at}/test`, key)
    expect((await post(`${at}/test`, key)).headers.location).toBe(at)
    await answers(500).round()
    const log = (await page(at)).querySelectorAll('tbody tr')
    expect(log).toHaveLength(1)
    expect(log[0]?.text).toContain('500 in')
    expect(log[0]?.text).toContain('Next try')
    expect(log[0]?.text).toContain('Lid is shut')
    expect((await page(at)).text).toContain('The last try failed')
    cast.clock.pass(5000)
    await answers(410).round()
    const gone = await page(at)
    expect(gone.querySelector('.flash-needs-you')?.text).toContain('(410)')
    expect(gone.querySelector('form[action$="/send-again"]')).toBeNull()
    await post(`${at}/change`, { 'active?': 'true' })
    const again = (await page(at)).querySelector('form[action$="/send-again"]')?.getAttribute('action') ?? ''
    expect((await post(again, {})).headers.location).toBe(at)
    await answers(200).round()
    expect((await page(at)).querySelector('tbody tr')?.text).toContain('Delivered')
    expect((await post(`${at}/remove`, {})).headers.location).toBe('/webhooks')
  })

  it('are led to from the foot of every page of who may', async () => {
    expect((await page('/jobs')).querySelector('a[href="/webhooks"]')).not.toBeNull()
    expect((await page('/jobs', cast.tess)).querySelector('a[href="/webhooks"]')).toBeNull()
  })
})

describe('the reference', () => {
  it('has the schema of each message, as a page and in the OpenAPI document', async () => {
    const { webhooks, components } = (await server.inject('/api/v1/openapi.json')).json()
    expect(Object.keys(webhooks)).toEqual([...WEBHOOK_EVENTS, 'webhook.test'])
    const ref = webhooks['job.signed_off'].post.requestBody.content['application/json'].schema.$ref
    const schema = components.schemas[ref.split('/').at(-1)]
    expect(schema.properties.type.const).toBe('job.signed_off')
    expect(Object.keys(schema.properties.data.properties)).toContain('verdict')
    const section = parse((await server.inject('/api/v1/docs')).body).querySelector(
      '#webhook-messages',
    )?.parentNode
    for (const event of WEBHOOK_EVENTS) expect(section?.text).toContain(event)
    expect(section?.text).toContain('data.certificate.revision')
  })
})
