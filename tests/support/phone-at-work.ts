// A technician's phone with an open job on it, behind a network that can be cut: what tests of the outbox begin with.

import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { BrowserContext, Page } from 'playwright-core'
import { expect, vi } from 'vitest'
import { SESSION_COOKIE } from '../../server/access/sessions.ts'
import { aCast, type Cast, type Player } from './cast.ts'
import { switchOnPhone } from './chromium.ts'
import { aJobAtASite, type SingleZone, singleZone } from './setups.ts'
import { aWeakNetwork, type WeakNetwork } from './weak-network.ts'

export const eventually = <Value>(look: () => Promise<Value> | Value) =>
  expect.poll(look, { timeout: 20_000 })

export class PhoneAtWork {
  readonly cast: Cast
  readonly network: WeakNetwork
  readonly jobId: string
  readonly zone: SingleZone
  readonly #folder: string
  /** What the browser complained of. */
  readonly complaints: string[] = []
  context!: BrowserContext
  page!: Page

  private constructor(cast: Cast, network: WeakNetwork, jobId: string, zone: SingleZone) {
    this.cast = cast
    this.network = network
    this.jobId = jobId
    this.zone = zone
    this.#folder = mkdtempSync(join(tmpdir(), 'jointkeep-phone-'))
  }

  static async begin(): Promise<PhoneAtWork> {
    const cast = await aCast('sqlite')
    // The phone's clock runs, so the service's has to.
    Object.defineProperty(cast.clock, 'now', { get: () => Date.now() })
    const { jobId } = await aJobAtASite(cast, { by: cast.tess })
    const zone = await singleZone(cast, { jobId, by: cast.tess })
    const network = await aWeakNetwork(await (await cast.server()).listen({ host: '127.0.0.1', port: 0 }))
    const phone = new PhoneAtWork(cast, network, jobId, zone)
    await phone.switchOn()
    await phone.signInAs(cast.tess)
    await phone.ready()
    return phone
  }

  async end() {
    await this.context?.close()
    await this.network.close()
    await this.cast.remove()
    rmSync(this.#folder, { recursive: true, force: true })
  }

  async switchOn() {
    this.context = await switchOnPhone(this.#folder)
    this.page = this.context.pages()[0] ?? (await this.context.newPage())
    this.watch(this.page)
  }

  watch(page: Page) {
    page.setDefaultTimeout(15_000)
    page.on('pageerror', (problem) => this.complaints.push(String(problem)))
  }

  /** Off and on again: what is to be kept has to be on the disk. */
  async restart() {
    await this.context.close()
    await this.switchOn()
  }

  async signInAs({ personId, companyId }: Player) {
    // Those that the cast began with have ended: the clock has gone on.
    const value = await this.cast.deps.sessions.start(personId, companyId)
    const expires = Math.floor(Date.now() / 1000) + 86_400
    await this.context.addCookies([{ name: SESSION_COOKIE, value, url: this.network.address, expires }])
  }

  /** The worker looks after the page, and has fetched the job's pages ahead. */
  async ready() {
    await this.open(`/jobs/${this.jobId}`)
    await this.page.waitForFunction(() => navigator.serviceWorker.controller !== null)
    const last = `/joints/${this.zone.joints.indoorGas}?job=${this.jobId}`
    await vi.waitFor(
      async () => expect(await this.keptPages()).toEqual(expect.arrayContaining([last, '/waiting'])),
      {
        timeout: 30_000,
        interval: 100,
      },
    )
  }

  keptPages(): Promise<string[]> {
    return this.page.evaluate(async () => {
      const names = (await caches.keys()).filter((name) => name.startsWith('pages '))
      const keys = await Promise.all(names.map(async (name) => (await caches.open(name)).keys()))
      return keys.flat().map(({ url }) => new URL(url).pathname + new URL(url).search)
    })
  }

  /** Waits until the phone keeps this page as the service has it by now: it fetches anew what was sent a moment ago. */
  async keepsPage(path: string, text: string): Promise<void> {
    const kept = () =>
      this.page.evaluate(async (address) => {
        for (const name of await caches.keys()) {
          const answer = name.startsWith('pages ') ? await (await caches.open(name)).match(address) : null
          if (answer) return await answer.text()
        }
        return ''
      }, path)
    await eventually(() => kept().catch(() => '')).toContain(text)
  }

  open(path: string, on = this.page) {
    return on.goto(`${this.network.address}${path}`)
  }
  openJoint(jointId: string, on = this.page) {
    return this.open(`/joints/${jointId}?job=${this.jobId}`, on)
  }
  line(on = this.page) {
    return on.locator('#waiting').textContent()
  }
  main(on = this.page) {
    return on.locator('main').textContent()
  }
  async press(name: string | RegExp, on = this.page) {
    await on.locator('main').getByRole('button', { name }).filter({ visible: true }).first().click()
  }
  /** The next step that the page asks for, by its heading. */
  async asked(title: string, on = this.page) {
    await on.locator('.step-next h2', { hasText: title }).first().waitFor()
  }
  async waiting(number: number, on = this.page) {
    await eventually(() => this.kept(on)).toBe(number)
    await eventually(() => this.line(on)).toContain(
      number === 1 ? '1 entry waits on this phone' : `${number} entries wait on this phone`,
    )
  }
  async nothingWaits(on = this.page) {
    await eventually(() => this.kept(on)).toBe(0)
    await eventually(() => on.locator('#waiting').isHidden()).toBe(true)
  }

  /** How many entries the phone itself has. */
  async kept(on = this.page): Promise<number> {
    try {
      return await this.#count(on)
    } catch {
      // The page loaded itself anew, to show what was sent.
      await on.waitForLoadState()
      return this.#count(on)
    }
  }
  #count(on: Page): Promise<number> {
    return on.evaluate(
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
  }

  /** The network is there again, and the phone notices. */
  async reconnect(on = this.page) {
    this.network.isCut = false
    await this.sendNow(on)
  }
  async sendNow(on = this.page) {
    const send = () => on.evaluate(() => window.dispatchEvent(new Event('online')))
    // The page may load itself anew meanwhile, to show what was sent.
    await send().catch(async () => {
      await on.waitForLoadState()
      await send()
    })
  }

  /** Everything that is done to one flare joint, as its page asks for it. */
  async recordJoint(jointId: string, torque: string, on = this.page) {
    await this.openJoint(jointId, on)
    await this.press('Start making 1', on)
    await this.asked('Preparation', on)
    await this.press(/^all as listed$/i, on)
    await this.asked('Flare', on)
    await this.press('Record flare', on)
    await this.asked('Inspection', on)
    await on.locator('.step-next select[name=diameterCheck]').selectOption('gauge-pass')
    await this.press(/^all as listed$/i, on)
    await this.asked('Assembly', on)
    await this.press(/^all as listed$/i, on)
    await this.asked('Torque', on)
    await on.locator('.step-next input[name="reading.value"]').fill(torque)
    await this.press('Record torque', on)
    await this.asked('Leak check', on)
    await on.locator('.step-next input[name="gaugePressure.value"]').fill('4,15')
    await this.press('Record leak check', on)
  }

  /** As the service has them: in the order of the record. */
  stepsOf(jointId: string) {
    return this.cast.store.store.query<{
      kind: string
      performed_at: number
      device_at: number
      recorded_at: number
    }>(
      `select kind, performed_at, device_at, recorded_at from steps where joint_id = '${jointId}' order by recorded_at, id`,
    )
  }
  async kindsOf(jointId: string) {
    return (await this.stepsOf(jointId)).map(({ kind }) => kind)
  }
}
