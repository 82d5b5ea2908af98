// A photo on a phone in a real Chromium: chosen on the page of the test, made small, shown; with script and without.

import type { Browser, Page } from 'playwright-core'
import sharp from 'sharp'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { startPressureTest } from '../../server/commands/section-tests/start-pressure-test.ts'
import { aCast, type Cast } from '../support/cast.ts'
import { launchChromium } from '../support/chromium.ts'
import { aPhonesJpeg } from '../support/pictures.ts'
import { aJobAtASite, type SingleZone, singleZone } from '../support/setups.ts'
import { signedInPage } from '../support/signed-in-page.ts'

let browser: Browser
beforeAll(async () => {
  browser = await launchChromium()
})
afterAll(() => browser.close())

describe.each([
  ['with script', true],
  ['without script', false],
])('photos on a phone, %s', (_name, javaScriptEnabled) => {
  let cast: Cast
  let page: Page
  let zone: SingleZone
  let address: string
  let testId: string
  const complaints: string[] = []

  beforeAll(async () => {
    cast = await aCast('sqlite')
    const { jobId } = await aJobAtASite(cast, { by: cast.tess })
    zone = await singleZone(cast, { jobId, by: cast.tess })
    const { test } = await cast.run(cast.tess, startPressureTest, {
      systemId: zone.systemId,
      jobId,
      medium: 'nitrogen',
      gaugeInstrumentId: zone.instruments.pressureGauge,
    })
    testId = test.id
    address = await (await cast.server()).listen({ host: '127.0.0.1', port: 0 })
    page = await signedInPage({
      browser,
      address,
      player: cast.tess,
      complaints,
      isRefused: true,
      // As on a phone that has none, or none yet; what the worker does is in without-signal.test.ts.
      context: { javaScriptEnabled, serviceWorkers: 'block' },
    })
  })
  afterAll(async () => {
    await page?.context().close()
    await cast.remove()
  })

  const slot = (heading: string) => page.locator('.photo-slot', { hasText: heading })
  /** The camera's own field: the other one, for a photo taken before, is folded away. */
  const choose = async (heading: string, buffer: Buffer) => {
    const place = slot(heading)
    const folded = place.locator('> details:not([open]) > summary')
    if ((await folded.count()) > 0) await folded.click()
    await place
      .locator('input[type=file]')
      .first()
      .setInputFiles({ name: 'IMG_1.jpg', mimeType: 'image/jpeg', buffer })
    if (!javaScriptEnabled) await place.getByRole('button', { name: 'Add the photo' }).click()
  }
  const photos = () =>
    cast.store.store.query<{ id: string; width: number; height: number; sha256: string }>(
      'select * from photos order by recorded_at, id',
    )

  it('shows the gauge that was photographed, and keeps what was typed beside it', async () => {
    await page.goto(`${address}/pressure-tests/${testId}`)
    await page.locator('input[name="readings.0.gaugePressure.value"]').fill('4,15')
    await choose('Gauge at the start of the hold', await aPhonesJpeg())
    const image = slot('Gauge at the start of the hold').locator('img')
    await image.waitFor()
    expect(await image.getAttribute('alt')).toMatch(/^Gauge at the start of the hold, pressure test of/)
    await expect.poll(() => image.evaluate((one: HTMLImageElement) => one.naturalWidth)).toBeGreaterThan(100)
    if (javaScriptEnabled)
      expect(await page.locator('input[name="readings.0.gaugePressure.value"]').inputValue()).toBe('4,15')
    const rows = await photos()
    expect(rows.map(({ width, height }) => [width, height])).toEqual([[600, 800]])
    const wider = javaScriptEnabled
      ? await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)
      : 0
    expect(wider).toBeLessThanOrEqual(0)
  })

  it('opens the whole picture from the small one', async () => {
    await slot('Gauge at the start of the hold')
      .locator('a', { has: page.locator('img') })
      .click()
    await page.waitForURL(/\/photos\/[0-9a-f-]+$/)
    await page.goBack()
  })

  it('makes a large one small before it is sent', async () => {
    if (!javaScriptEnabled) return
    const large = await sharp({ create: { width: 4000, height: 3000, channels: 3, background: '#557799' } })
      .jpeg()
      .toBuffer()
    await page.goto(`${address}/pressure-tests/${testId}`)
    let sent = 0
    page.on('request', (request) => {
      if (request.url().endsWith('/api/v1/photos')) sent = request.postDataBuffer()?.length ?? 0
    })
    await choose('Gauge at the end of the hold', large)
    await slot('Gauge at the end of the hold').locator('img').waitFor()
    const last = (await photos()).find(({ width }) => Number(width) === 2400)
    expect([Number(last?.width), Number(last?.height)]).toEqual([2400, 1800])
    expect(sent).toBeLessThan(large.length + 5000)
  })

  it('says why when it is none, and takes the next one', async () => {
    await page.goto(`${address}/pressure-tests/${testId}`)
    const before = (await photos()).length
    await choose('Gauge at the end of the hold', Buffer.from('no picture at all'))
    await expect
      .poll(() => page.locator('main').textContent())
      .toContain('Send a photo as JPEG, PNG or WebP.')
    expect((await photos()).length).toBe(before)
    await page.goto(`${address}/pressure-tests/${testId}`)
    await choose('Gauge at the end of the hold', await aPhonesJpeg())
    await slot('Gauge at the end of the hold').locator('img').first().waitFor()
    await expect.poll(async () => (await photos()).length).toBe(before + 1)
  })

  it('keeps the photo when the connection breaks, and sends it once', async () => {
    if (!javaScriptEnabled) return
    await page.goto(`${address}/pressure-tests/${testId}`)
    const before = (await photos()).length
    await page.context().setOffline(true)
    await choose(
      'Gauge at the end of the hold',
      await aPhonesJpeg({ IFD2: { OffsetTimeOriginal: '+01:00' } }),
    )
    await expect.poll(() => page.locator('.photo-said').textContent()).toContain('There is no connection.')
    await page.context().setOffline(false)
    await slot('Gauge at the end of the hold').getByRole('button', { name: 'Add the photo' }).click()
    await expect.poll(async () => (await photos()).length).toBe(before + 1)
    await expect.poll(() => page.locator('.photo-said').textContent()).toBe('Photo added.')
  })

  it('does all that without a complaint of the browser', () => {
    expect(complaints.filter((one) => !/ERR_INTERNET_DISCONNECTED/.test(one))).toEqual([])
  })
})
