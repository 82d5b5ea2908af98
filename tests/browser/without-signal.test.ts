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

const line = (on = page) => on.locator('#waiting').textContent()
const press = async (name: string | RegExp, on = page) => {
  await on.locator('main').getByRole('button', { name }).filter({ visible: true }).first().click()
}
const waiting = (number: number, on = page) =>
  eventually(() => line(on)).toContain(
    number === 1 ? '1 entry waits on this phone' : `${number} entries wait on this phone`,
  )
const nothingWaits = async (on = page) => {
  await eventually(() => kept(on)).toBe(0)
  await eventually(() => on.locator('#waiting').isHidden()).toBe(true)
}
/** How many entries the phone itself has. */
const kept = (on = page) =>
  on.evaluate(
    () =>
      new Promise<number>((done, failed) => {
        const opening = indexedDB.open('jointkeep')
        opening.onerror = failed
        opening.onsuccess = () => {
          const counting = opening.result.transaction('entries').objectStore('entries').count()
          counting.onsuccess = () => {
            opening.result.close()
            done(counting.result)
          }
        }
      }),
  )

/** The next step that the page asks for, by its heading. */
const asked = (title: string | RegExp, on = page) =>
  on.locator('.step-next h2', { hasText: title }).first().waitFor()

/** Everything that is done to one flare joint, as its page asks for it. */
async function recordJoint(jointId: string, torque: string, on = page) {
  await open(`/joints/${jointId}?job=${jobId}`, on)
  await press('Start making 1', on)
  await asked('Preparation', on)
  await press(/^all as listed$/i, on)
  await asked('Flare', on)
  await press('Record flare', on)
  await asked('Inspection', on)
  await on.locator('.step-next select[name=diameterCheck]').selectOption('gauge-pass')
  await press(/^all as listed$/i, on)
  await asked('Assembly', on)
  await press(/^all as listed$/i, on)
  await asked('Torque', on)
  await on.locator('.step-next input[name="reading.value"]').fill(torque)
  await press('Record torque', on)
  await asked('Leak check', on)
  await on.locator('.step-next input[name="gaugePressure.value"]').fill('4,15')
  await press('Record leak check', on)
}

const STEPS = ['preparation', 'flare', 'inspection', 'assembly', 'torque', 'leak-check']
/** As the service has them: in the order of the record. */
const stepsOf = (jointId: string) =>
  cast.store.store.query<{ kind: string; performed_at: number; device_at: number; recorded_at: number }>(
    `select kind, performed_at, device_at, recorded_at from steps where joint_id = '${jointId}' order by recorded_at, id`,
  )
const kindsOf = async (jointId: string) => (await stepsOf(jointId)).map(({ kind }) => kind)

describe('the work without a signal', () => {
  it('keeps the pages of an open job before they are needed', async () => {
    await ready()
    network.isCut = true
    await open('/jobs')
    expect(await main()).toMatch(/As of \d\d:\d\d, from this phone\./)
    await open(`/joints/${zone.joints.outdoorLiquid}?job=${jobId}`)
    expect(await main()).toContain('Start making 1')
  })

  it('takes a whole joint, one step after another, and says what waits', async () => {
    await recordJoint(zone.joints.outdoorLiquid, '16')
    await waiting(7)
    await eventually(main).toContain('Every step of this making is recorded or waits to be sent.')
    expect(await kindsOf(zone.joints.outdoorLiquid)).toEqual([])
  })

  it('still has them after the phone was switched off', async () => {
    await phone.close()
    await switchOn()
    await open(`/jobs/${jobId}`)
    await waiting(7)
  })

  it('sends them when the network is back: in order, once, with the moment at which each was entered', async () => {
    const back = Date.now()
    network.isCut = false
    await page.evaluate(() => window.dispatchEvent(new Event('online')))
    await nothingWaits()
    const steps = await stepsOf(zone.joints.outdoorLiquid)
    expect(steps.map(({ kind }) => kind)).toEqual(STEPS)
    for (const step of steps) {
      expect(Number(step.performed_at)).toBeLessThan(back)
      expect(Math.abs(Number(step.performed_at) - Number(step.device_at))).toBeLessThan(2_000)
      expect(Number(step.recorded_at)).toBeGreaterThanOrEqual(back)
    }
    const moments = steps.map((step) => Number(step.performed_at))
    expect(moments).toEqual([...moments].sort((a, b) => a - b))
    expect(network.writes.length).toBe(7)
    expect(complaints).toEqual([])
  })

  it('does both joints at a unit together, and shows it on either page', async () => {
    network.isCut = true
    network.writes = []
    await open(`/joints/${zone.joints.indoorLiquid}?job=${jobId}`)
    await press(/^The same for this one and/)
    await asked('Preparation')
    await press(/^All as listed for this one and/)
    await asked('Flare')
    await press(/^The same for this one and/)
    await asked('Inspection')
    await open(`/joints/${zone.joints.indoorGas}?job=${jobId}`)
    await asked('Inspection')
    await press(/^All as listed$/)
    await asked('Assembly')
    // The other one is not as far: there is nothing to do together now.
    expect(await page.getByRole('button', { name: /for this one and/ }).count()).toBe(0)
    await waiting(4)
  })

  it('runs a pressure test and an evacuation that were started without a signal', async () => {
    await open(`/systems/${zone.systemId}/pressure-tests/new?jobId=${jobId}`)
    await page.locator('select[name=gaugeInstrumentId]').selectOption(zone.instruments.pressureGauge)
    await page.locator('select[name=thermometerInstrumentId]').selectOption(zone.instruments.thermometer)
    await press('Start the test')
    for (const [stage, pressure] of [
      ['raise', '1,5'],
      ['hold', '4,16'],
      ['hold', '4.15'],
    ] as const) {
      await page.locator(`input[name="readings.0.stage"][value=${stage}]`).check()
      await page.locator('input[name="readings.0.gaugePressure.value"]').fill(pressure)
      await page.locator('select[name="readings.0.gaugePressure.unit"]').selectOption('MPa')
      await page.locator('input[name="readings.0.temperature.value"]').fill('20')
      await press('Record the reading')
      await eventually(main).toContain(`Gauge pressure: ${pressure} MPa`)
    }
    await eventually(() => page.locator('.clock').textContent()).toMatch(/^00:\d\d$/)
    await press('End it and have it judged')
    await eventually(main).toContain('Start the test')
    await open(`/systems/${zone.systemId}/evacuations/new?jobId=${jobId}`)
    await page.locator('select[name=gaugeInstrumentId]').selectOption(zone.instruments.vacuumGauge)
    await press('Start the evacuation')
    await page.locator('input[name="readings.0.absolutePressure.value"]').fill('450')
    await press('Record the reading')
    await eventually(main).toContain('Vacuum gauge: 450 micron')
    await waiting(11)
  })

  it('ends with the same record as with a signal', async () => {
    network.isCut = false
    await open(`/jobs/${jobId}`)
    await nothingWaits()
    expect(network.writes.length).toBe(11)
    expect(await kindsOf(zone.joints.indoorLiquid)).toEqual(STEPS.slice(0, 2))
    expect(await kindsOf(zone.joints.indoorGas)).toEqual(STEPS.slice(0, 3))
    const tests = await cast.store.store.query<{ id: string; kind: string; verdict: string | null }>(
      'select t.id, t.kind, c.verdict from section_tests t left join section_conclusions c on c.test_id = t.id order by t.recorded_at',
    )
    expect(tests.map(({ kind, verdict }) => [kind, verdict])).toEqual([
      ['pressure', 'cannot-tell'],
      ['evacuation', null],
    ])
    const readings = await cast.store.store.query<{ phase: string; at: number; pressure_pa: number }>(
      `select phase, at, pressure_pa from section_readings where test_id = '${tests[0]?.id}' order by recorded_at, id`,
    )
    expect(readings.map(({ phase, pressure_pa }) => [phase, Math.round(Number(pressure_pa))])).toEqual([
      ['raise', 1_500_000],
      ['hold', 4_160_000],
      ['hold', 4_150_000],
    ])
    expect(new Set(readings.map(({ at }) => Number(at))).size).toBe(3)
  })
})
