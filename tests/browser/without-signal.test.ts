// A technician's work in a real Chromium without a signal: kept on the phone, sent in order, once, whatever happens between.

import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { BrowserContext, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { SESSION_COOKIE } from '../../server/access/sessions.ts'
import { aCast, type Cast, type Player } from '../support/cast.ts'
import { switchOnPhone } from '../support/chromium.ts'
import { aJobAtASite, type SingleZone, singleZone } from '../support/setups.ts'
import { aWeakNetwork, type WeakNetwork } from '../support/weak-network.ts'

let cast: Cast
let network: WeakNetwork
let zone: SingleZone
let jobId: string
let folder: string
let phone: BrowserContext
let page: Page
const complaints: string[] = []

beforeAll(async () => {
  cast = await aCast('sqlite')
  // The phone's clock runs, so the service's has to.
  Object.defineProperty(cast.clock, 'now', { get: () => Date.now() })
  ;({ jobId } = await aJobAtASite(cast, { by: cast.tess }))
  zone = await singleZone(cast, { jobId, by: cast.tess })
  network = await aWeakNetwork(await (await cast.server()).listen({ host: '127.0.0.1', port: 0 }))
  folder = mkdtempSync(join(tmpdir(), 'jointkeep-phone-'))
  await switchOn()
  await signInAs(cast.tess)
})
afterAll(async () => {
  await phone?.close()
  await network?.close()
  await cast?.remove()
  rmSync(folder, { recursive: true, force: true })
})

async function switchOn() {
  phone = await switchOnPhone(folder)
  page = phone.pages()[0] ?? (await phone.newPage())
  page.setDefaultTimeout(10_000)
  page.on('pageerror', (problem) => complaints.push(String(problem)))
}

async function signInAs(player: Player) {
  // Those that the cast began with have ended: the clock has gone on.
  const value = await cast.deps.sessions.start(player.personId, player.companyId)
  const expires = Math.floor(Date.now() / 1000) + 86_400
  await phone.addCookies([{ name: SESSION_COOKIE, value, url: network.address, expires }])
}

const open = (path: string, on = page) => on.goto(`${network.address}${path}`)
const main = (on = page) => on.locator('main').textContent()

const eventually = <Value>(look: () => Promise<Value> | Value) => expect.poll(look, { timeout: 15_000 })

/** The worker looks after this page, and has fetched the job's pages ahead. */
async function ready() {
  await open(`/jobs/${jobId}`)
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null)
  await eventually(keptPages).toContain(`/joints/${zone.joints.indoorGas}?job=${jobId}`)
  await eventually(keptPages).toContain('/waiting')
}
const keptPages = () =>
  page.evaluate(async () => {
    const names = (await caches.keys()).filter((name) => name.startsWith('pages '))
    const keys = await Promise.all(names.map(async (name) => (await caches.open(name)).keys()))
    return keys.flat().map(({ url }) => new URL(url).pathname + new URL(url).search)
  })

describe('the work without a signal', () => {
  it('keeps the pages of an open job before they are needed', async () => {
    await ready()
    network.isCut = true
    await open('/jobs')
    expect(await main()).toMatch(/As of \d\d:\d\d, from this phone\./)
    await open(`/joints/${zone.joints.outdoorLiquid}?job=${jobId}`)
    expect(await main()).toContain('Start making 1')
  })
})
