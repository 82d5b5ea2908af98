// What does the service do for a phone that was without a signal: whose entry, when it was made, and what the worker is told?

import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { App } from '../../server/app.ts'
import { newId } from '../../server/ids.ts'
import { aCast, asBrowser, asProgram, type Cast, HOUR, MINUTE, type Player } from '../support/cast.ts'
import { aJobAtASite, type SingleZone, singleZone } from '../support/setups.ts'

let cast: Cast
let app: App
let jobId: string
let zone: SingleZone
beforeAll(async () => {
  cast = await aCast()
  app = await cast.app()
  ;({ jobId } = await aJobAtASite(cast, { by: cast.tess }))
  zone = await singleZone(cast, { jobId, by: cast.tess })
})
afterAll(() => cast.remove())

const send = (
  player: Player | null,
  url: string,
  fields: Record<string, string>,
  headers: Record<string, string> = {},
) =>
  app.server.inject({
    method: 'POST',
    url,
    headers: {
      ...(player ? asBrowser(player) : {}),
      accept: 'application/json',
      'content-type': 'application/x-www-form-urlencoded',
      ...headers,
    },
    payload: new URLSearchParams(fields).toString(),
  })
const startMake = (player: Player | null, headers: Record<string, string> = {}, id = newId()) =>
  send(player, `/joints/${zone.joints.indoorGas}/makes`, { id, jobId, reason: 'Remade.' }, headers)
const makes = () =>
  cast.store.store.query<{ performed_at: number; recorded_at: number; device_at: number | null }>(
    'select performed_at, recorded_at, device_at from makes order by number',
  )

describe('a form sent by the phone’s worker', () => {
  it('is told where the page would have gone, and the same again for the same form', async () => {
    const id = newId()
    const first = await startMake(cast.tess, { 'as-member': cast.tess.memberId }, id)
    expect(first.statusCode).toBe(201)
    expect(first.json()).toEqual({ location: `/joints/${zone.joints.indoorGas}?job=${jobId}#next` })
    const again = await startMake(cast.tess, { 'as-member': cast.tess.memberId }, id)
    expect(again.statusCode).toBe(200)
    expect(again.json()).toEqual(first.json())
    expect((await makes()).length).toBe(1)
  })

  it('is refused with a problem, where a person would get the page', async () => {
    const answer = await send(cast.tess, `/joints/${zone.joints.indoorGas}/makes`, { id: newId(), jobId })
    expect(answer.statusCode).toBe(400)
    expect(answer.json()).toMatchObject({ code: 'malformed', errors: [{ path: 'reason' }] })
  })

  it('is answered 401 when nobody is signed in, with script and without', async () => {
    expect((await startMake(null, { 'as-member': cast.tess.memberId })).statusCode).toBe(401)
    const asPage = { accept: 'text/html', 'as-member': cast.tess.memberId }
    expect((await startMake(null, asPage)).statusCode).toBe(401)
    // Without the worker the way leads to the page to sign in on, as ever.
    expect((await startMake(null, { accept: 'text/html' })).statusCode).toBe(303)
  })

  it('never goes out as somebody else’s, whichever way it is sent', async () => {
    const before = (await makes()).length
    const asMember = { 'as-member': cast.tess.memberId }
    for (const player of [cast.sam, cast.olga, cast.zoe]) {
      const answer = await startMake(player, asMember)
      expect(answer.statusCode).toBe(401)
      expect(answer.json().code).toBe('other-member')
    }
    const byToken = await app.server.inject({
      method: 'POST',
      url: `/api/v1/joints/${zone.joints.indoorGas}/makes`,
      headers: { ...asProgram(cast.sam), ...asMember },
      payload: { id: newId(), jobId, reason: 'Remade.' },
    })
    expect(byToken.statusCode).toBe(401)
    expect((await makes()).length).toBe(before)
  })
})

describe('the moment of entry', () => {
  it('is when the work was done, where nothing else is said; the time of sending is kept beside it', async () => {
    const enteredAt = cast.clock.now - 3 * HOUR
    const deviceAt = enteredAt + 20 * MINUTE
    await startMake(cast.tess, {
      'entered-at': new Date(enteredAt).toISOString(),
      'device-time': new Date(deviceAt).toISOString(),
    })
    const make = (await makes()).at(-1)
    expect(Number(make?.performed_at)).toBe(enteredAt)
    expect(Number(make?.recorded_at)).toBe(cast.clock.now)
    expect(Number(make?.device_at)).toBe(deviceAt)
  })

  it.each([
    ['the future', () => new Date(cast.clock.now + HOUR).toISOString()],
    ['no moment at all', () => 'yesterday'],
  ])('counts as now when it is %s', async (_, said) => {
    await startMake(cast.tess, { 'entered-at': said() })
    expect(Number((await makes()).at(-1)?.performed_at)).toBe(cast.clock.now)
  })
})

describe('the pages that a phone keeps', () => {
  const pagesFor = async (player: Player) =>
    (await app.server.inject({ url: '/api/v1/phone-pages', headers: asBrowser(player) })).json()

  it('are those of open jobs, for the work on them, and can all be opened', async () => {
    const { member, items } = await pagesFor(cast.tess)
    expect(member.id).toBe(cast.tess.memberId)
    expect(items.map((item: { jobId: string }) => item.jobId)).toEqual([jobId])
    const [{ pages }] = items
    for (const path of pages) {
      const answer = await app.server.inject({ url: path, headers: asBrowser(cast.tess) })
      expect(answer.statusCode, path).toBe(200)
      // What the worker looks for to know whose page it is.
      expect(answer.body, path).toMatch(
        new RegExp(`<div id="waiting"[^>]* data-member="${cast.tess.memberId}"`),
      )
    }
    expect(pages).toContain(`/joints/${zone.joints.outdoorLiquid}?job=${jobId}`)
  })

  it('have another version once something was recorded', async () => {
    const before = (await pagesFor(cast.tess)).items[0].version
    await startMake(cast.tess)
    expect((await pagesFor(cast.tess)).items[0].version).not.toBe(before)
  })

  it('are none of another company', async () => {
    expect((await pagesFor(cast.zoe)).items).toEqual([])
  })
})

describe('the worker', () => {
  const source = readFileSync(new URL('../../views/assets/worker.js', import.meta.url), 'utf8')
  const listed = (name: string): RegExp[] => {
    const [, list = ''] = new RegExp(`const ${name} = \\[([^;]*?)\\]\\.map`).exec(source) ?? []
    return [...list.matchAll(/[`']([^`']+)[`']/g)].map(
      ([, path = '']) => new RegExp(`^${path.replaceAll(/\$\{ID\}/g, '[0-9a-f-]{36}')}$`),
    )
  }
  const filled = (url: string) => url.replaceAll(/:[A-Za-z]+/g, '01a212d4-53c4-7fe7-b7db-eca890000000')
  /** Forms that need the service at once: it shows what it read before it takes it, or a colleague is told. */
  const AT_ONCE = [
    '/pressure-tests/:pressureTestId/log',
    '/evacuations/:evacuationId/log',
    '/jobs/:jobId/hand-over',
  ]

  it('keeps every form that records work', () => {
    const records = listed('RECORDS')
    expect(records.length).toBeGreaterThan(5)
    const forms = app.routes
      .filter(
        ({ face, method, capability }) =>
          face === 'page' && method === 'POST' && capability === 'record-work',
      )
      .map(({ url }) => url)
    expect(forms.length).toBeGreaterThan(15)
    const left = forms.filter((url) => !records.some((path) => path.test(filled(url))))
    expect(left.filter((url) => !AT_ONCE.includes(url))).toEqual([])
  })

  it('keeps to read what it is told to fetch', async () => {
    const reads = listed('READS')
    const { items } = (
      await app.server.inject({ url: '/api/v1/phone-pages', headers: asBrowser(cast.tess) })
    ).json()
    for (const path of items[0].pages)
      expect(
        reads.some((read) => read.test(path.split('?')[0])),
        path,
      ).toBe(true)
  })

  it('is served so that it may look after every page, with all that it keeps ready', async () => {
    const worker = await app.server.inject({ url: '/assets/worker.js' })
    expect(worker.headers['service-worker-allowed']).toBe('/')
    const [, list = ''] = /const NEEDED = \[([^;]*?)\]\.map/.exec(source) ?? []
    const needed = [...list.matchAll(/'([^']+)'/g)].map(([, name]) => `/assets/${name}`)
    expect(needed.length).toBeGreaterThan(5)
    for (const url of [...needed, '/assets/outbox.js', '/assets/idb/umd.js'])
      expect((await app.server.inject({ url })).statusCode, url).toBe(200)
  })
})

describe('the app', () => {
  it('can be installed: its manifest and every icon in it are there', async () => {
    const answer = await app.server.inject({ url: '/assets/jointkeep.webmanifest' })
    expect(answer.headers['content-type']).toContain('application/manifest+json')
    const manifest = answer.json()
    expect(manifest).toMatchObject({ start_url: '/jobs', scope: '/', display: 'standalone' })
    for (const { src, type } of manifest.icons) {
      const icon = await app.server.inject({ url: src })
      expect(icon.statusCode, src).toBe(200)
      expect(icon.headers['content-type'], src).toContain(type)
    }
  })

  it('shows the page of what waits to anybody, with nothing on it', async () => {
    const answer = await app.server.inject({ url: '/waiting', headers: { accept: 'text/html' } })
    expect(answer.statusCode).toBe(200)
    expect(answer.body).toContain('Sign in to see and send what is yours')
  })
})
