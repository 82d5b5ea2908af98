// How many taps does it take, in a real Chromium on a phone's screen: a clean joint, a line set, a joint by its tag?

import type { Browser, BrowserContext, Locator, Page } from 'playwright-core'
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { addInstrument } from '../../server/commands/instruments/add-instrument.ts'
import { addSystem } from '../../server/commands/places/add-system.ts'
import { recordPressureReadings } from '../../server/commands/section-tests/record-readings.ts'
import { startPressureTest } from '../../server/commands/section-tests/start-pressure-test.ts'
import { companyCode } from '../../server/http/tag-link.ts'
import { aCast, type Cast, MINUTE } from '../support/cast.ts'
import { launchChromium, PHONE } from '../support/chromium.ts'
import { aJobAtASite, type SingleZone, singleZone } from '../support/setups.ts'

let browser: Browser
let cast: Cast
let address: string
let jobId: string
let zone: SingleZone
let context: BrowserContext
let page: Page
const complaints: string[] = []
/** What the hand does. */
let taps = 0
let typed = 0

beforeAll(async () => {
  browser = await launchChromium()
  cast = await aCast('sqlite')
  ;({ jobId } = await aJobAtASite(cast))
  zone = await singleZone(cast, { jobId })
  address = await (await cast.server()).listen({ host: '127.0.0.1', port: 0 })
  ;({ context, page } = await phone())
})
afterAll(async () => {
  await browser?.close()
  await cast?.remove()
})
beforeEach(() => {
  taps = 0
  typed = 0
})

async function phone(prepare?: (context: BrowserContext) => Promise<void>) {
  const made = await browser.newContext({ viewport: PHONE, hasTouch: true, timezoneId: 'UTC' })
  const [name = '', value = ''] = cast.tess.cookie.split('=')
  await made.addCookies([{ name, value, url: address }])
  await prepare?.(made)
  const opened = await made.newPage()
  opened.setDefaultTimeout(10_000)
  opened.on('pageerror', (problem) => complaints.push(String(problem)))
  opened.on('console', (message) => {
    if (message.type() === 'error' && !/status of 4\d\d/.test(message.text())) complaints.push(message.text())
  })
  return { context: made, page: opened }
}

/** A link or a button: what it leads to is there before the next tap. */
async function tap(what: Locator) {
  taps += 1
  await page.locator('main').evaluate((main) => main.setAttribute('data-before', ''))
  await what.first().tap()
  await page.locator('main:not([data-before])').waitFor()
  await page.waitForLoadState('networkidle')
}
/** A field: nothing is led to. */
async function tapField(field: Locator) {
  taps += 1
  await field.tap()
}
async function type(field: Locator, text: string) {
  typed += 1
  await field.fill(text)
}
const button = (name: string | RegExp) => page.getByRole('button', { name })
const inMain = async () => (await page.locator('main').textContent()) ?? ''

describe('a clean joint', () => {
  const toolsChosen = { wrench: '', flaring: '' }

  /** From the job's page to the last step recorded. */
  async function make(jointId: string, reading: string, others: boolean) {
    await page.goto(`${address}/jobs/${jobId}`)
    await tap(page.locator(`a[href^="/joints/${jointId}"]`))
    await tap(button('Start making 1'))
    await tap(button(/^all as listed$/i))
    if (others) await page.locator('.step-next select[name=instrumentId]').selectOption(toolsChosen.flaring)
    if (others) await page.locator('input[name=method][value=manual-clutch]').check()
    await tap(button('Record flare'))
    await tap(button(/^all as listed$/i))
    await tap(button(/^all as listed$/i))
    if (others) await page.locator('.step-next select[name=instrumentId]').selectOption(toolsChosen.wrench)
    const field = page.locator('.step-next input[name="reading.value"]')
    await tapField(field)
    await type(field, reading)
    await tap(button('Record torque'))
    await expect.poll(inMain).toMatch(/in range/)
    cast.clock.pass(MINUTE)
  }

  it('is made with tools that are chosen once', async () => {
    for (const [key, kind] of [
      ['wrench', 'torque-wrench'],
      ['flaring', 'flaring-tool'],
    ] as const) {
      const { id } = await cast.run(cast.tess, addInstrument, {
        kind,
        name: `Zeta ${kind}`,
        serial: `zeta-${kind}`,
        ...(kind === 'torque-wrench' ? { accuracyPercent: 4 } : {}),
      })
      toolsChosen[key] = id
    }
    await make(zone.joints.outdoorLiquid, '16', true)
  })

  it('and the next one needs no tool, one number, and at most twelve taps with its leak check', async () => {
    await page.goto(`${address}/jobs/${jobId}`)
    await make(zone.joints.outdoorGas, '38', false)
    const { test } = await cast.run(cast.tess, startPressureTest, {
      systemId: zone.systemId,
      jobId,
      medium: 'nitrogen',
      gaugeInstrumentId: zone.instruments.pressureGauge,
      thermometerInstrumentId: zone.instruments.thermometer,
    })
    await cast.run(cast.tess, recordPressureReadings, {
      pressureTestId: test.id,
      readings: [
        {
          at: new Date(cast.clock.now).toISOString(),
          stage: 'hold',
          gaugePressure: { value: 4.15, unit: 'MPa' },
          temperature: { value: 20, unit: 'degC' },
        },
      ],
    })
    cast.clock.pass(MINUTE)
    await page.reload()
    await tap(button('Record leak check'))
    await expect.poll(inMain).toContain('Every step of this making is recorded.')
    expect(typed).toBe(1)
    expect(taps).toBeLessThanOrEqual(12)
    const faces = await cast.server()
    const made = (
      await faces.inject({
        url: `/api/v1/joints/${zone.joints.outdoorGas}`,
        headers: { authorization: `Bearer ${cast.tess.token}` },
      })
    ).json().makes[0]
    const step = (kind: string) => made.steps.find((one: { kind: string }) => one.kind === kind)
    expect(step('torque').instrumentId).toBe(toolsChosen.wrench)
    expect(step('flare')).toMatchObject({ instrumentId: toolsChosen.flaring, method: 'manual-clutch' })
    // At the pressure that the running test's gauge shows, which nobody typed.
    expect(step('leak-check').gaugePressure).toEqual({ value: expect.closeTo(4.15e6, 0), unit: 'Pa' })
  })

  it('has its torque step on the first screen, with nothing to scroll', async () => {
    const { joints } = await singleZone(cast, {
      jobId,
      mark: '2',
      name: 'Upstairs back bedroom',
      instruments: zone.instruments,
    })
    await page.goto(`${address}/joints/${joints.indoorGas}?job=${jobId}`)
    await tap(button('Start making 1'))
    await tap(button(/^all as listed$/i))
    await tap(button('Record flare'))
    await tap(button(/^all as listed$/i))
    await tap(button(/^all as listed$/i))
    await page.goto(`${address}/joints/${joints.indoorGas}?job=${jobId}`)
    expect(await page.evaluate(() => window.scrollY)).toBe(0)
    for (const control of [
      page.locator('.step-next .caution'),
      page.locator('.step-next input[name="reading.value"]'),
      page.locator('.step-next select[name="reading.unit"]'),
      page.locator('.step-next [data-live-range]'),
      page.locator('.step-next select[name=instrumentId]'),
      button('Record torque'),
    ]) {
      const box = await control.first().boundingBox()
      expect(box?.y, String(control)).toBeGreaterThanOrEqual(0)
      expect((box?.y ?? 9999) + (box?.height ?? 0), String(control)).toBeLessThanOrEqual(PHONE.height)
    }
    const big = await button('Record torque').first().boundingBox()
    expect(big?.height).toBeGreaterThanOrEqual(48)
  })
})

describe('a line set on site', () => {
  it('is laid with a room and a length: three taps, two fields typed, nothing else asked first', async () => {
    const { system } = await cast.run(cast.tess, addSystem, {
      jobId,
      name: 'Shop',
      refrigerant: 'R-32',
      equipmentSheetId: zone.sheetId,
      outdoorModel: 'LS-35 outdoor',
      outdoorSerial: 'OUT-SHOP',
    })
    await page.goto(`${address}/jobs/${jobId}`)
    await tap(page.locator(`a[href^="/systems/${system.id}/line-sets/new"]`))
    const controls = page.locator('main form input:visible, main form select:visible')
    // Two of them are the units of a length and an area.
    expect(await controls.count()).toBeLessThanOrEqual(10)
    const room = page.locator('input[name=name]')
    await expect.poll(() => room.evaluate((field) => field === document.activeElement)).toBe(true)
    await type(room, 'Counter')
    await tapField(page.locator('input[name="length.value"]'))
    await type(page.locator('input[name="length.value"]'), '6,5')
    await tap(button('Lay it out'))
    expect(taps).toBe(3)
    expect(typed).toBe(2)
    expect(page.url()).toBe(`${address}/jobs/${jobId}`)
    await expect.poll(() => page.locator(`#system-${system.id} a.ps-joint`).count()).toBe(7)
    expect(await page.locator(`#system-${system.id}`).textContent()).toContain('gas 3/8 in')
  })
})

describe('the sheet of tags', () => {
  const MM = 96 / 25.4

  it.each([
    ['A4', 210],
    ['Letter', 215.9],
  ])(
    'has three labels side by side on %s, each with a code large enough to be read',
    async (_name, widthMm) => {
      const own = await phone()
      // The paper without its margins of 10 mm.
      await own.page.setViewportSize({ width: Math.floor((widthMm - 20) * MM), height: 900 })
      await own.page.emulateMedia({ media: 'print', colorScheme: 'dark' })
      await own.page.goto(`${address}/systems/${zone.systemId}/tags`)
      const boxes = await own.page
        .locator('.label')
        .evaluateAll((labels) =>
          labels.map((label) => label.getBoundingClientRect()).map(({ x, y }) => ({ x, y })),
        )
      expect(boxes).toHaveLength(7)
      expect(new Set(boxes.slice(0, 3).map(({ y }) => y)).size).toBe(1)
      expect(new Set(boxes.map(({ x }) => x)).size).toBe(3)
      const code = await own.page.locator('.qr').first().boundingBox()
      expect(code?.width).toBeGreaterThan(24 * MM)
      const fills = await own.page
        .locator('.qr')
        .first()
        .evaluate((qr) => [...qr.querySelectorAll('path')].map((path) => getComputedStyle(path).fill))
      expect(fills).toEqual(['rgb(255, 255, 255)', 'rgb(0, 0, 0)'])
      for (const hidden of ['.top', 'form', '.no-paper', '.signed-in'])
        expect(await own.page.locator(hidden).first().isVisible()).toBe(false)
      await own.context.close()
    },
  )
})

describe('a joint by its tag', () => {
  const tagOf = (jointId: string) => zone.tags[jointId] ?? ''

  it('opens from the job’s page, however it is typed, without script as well', async () => {
    for (const javaScriptEnabled of [true, false]) {
      const own = await browser.newContext({ viewport: PHONE, javaScriptEnabled })
      await own.addCookies(await context.cookies())
      const sheet = await own.newPage()
      await sheet.goto(`${address}/jobs/${jobId}`)
      const field = sheet.locator('#tag-typed')
      await field.fill(tagOf(zone.joints.indoorLiquid).toLowerCase().replace('-', ' '))
      await field.press('Enter')
      await sheet.waitForURL(`**/joints/${zone.joints.indoorLiquid}?job=${jobId}`)
      expect(await sheet.locator('h1').textContent()).toContain(tagOf(zone.joints.indoorLiquid))
      await own.close()
    }
  })

  it('offers no camera where the browser reads no codes', async () => {
    await page.goto(`${address}/jobs`)
    await page.waitForLoadState('networkidle')
    const reads = await page.evaluate(() => 'BarcodeDetector' in window)
    expect(await button('Scan').count()).toBe(reads ? 1 : 0)
  })

  describe('read by the camera', () => {
    /** Stands in for the reader of codes, which few browsers have, and for a camera. */
    const withCamera = (given: boolean) => async (made: BrowserContext) => {
      await made.addInitScript((isGiven) => {
        const seen = window as unknown as { seen: string[]; stopped: () => number }
        seen.seen = []
        const stopped = () => Number(sessionStorage.getItem('stopped') ?? 0)
        Object.assign(window, {
          stopped,
          BarcodeDetector: class {
            static getSupportedFormats(): Promise<string[]> {
              return Promise.resolve(['qr_code'])
            }

            detect = async () => seen.seen.map((rawValue) => ({ rawValue }))
          },
        })
        Object.defineProperty(navigator, 'mediaDevices', {
          value: {
            getUserMedia: async () => {
              if (!isGiven) throw new DOMException('no', 'NotAllowedError')
              const stream = document.createElement('canvas').captureStream()
              for (const track of stream.getTracks()) {
                const stop = track.stop.bind(track)
                track.stop = () => {
                  sessionStorage.setItem('stopped', String(stopped() + 1))
                  stop()
                }
              }
              return stream
            },
          },
        })
      }, given)
    }
    const show = (sheet: Page, text: string) =>
      sheet.evaluate((value) => {
        ;(window as unknown as { seen: string[] }).seen = [value]
      }, text)
    const stopped = (sheet: Page) =>
      sheet.evaluate(() => (window as unknown as { stopped: () => number }).stopped())
    const scan = (sheet: Page) => sheet.getByRole('button', { name: 'Scan' })

    it('leads to the joint on the job that was open, and the camera is stopped', async () => {
      const own = await phone(withCamera(true))
      await own.page.goto(`${address}/jobs/${jobId}`)
      await scan(own.page).tap()
      await own.page.locator('.scan video').waitFor()
      await show(own.page, 'https://elsewhere.example/t/abc/XY1-2')
      await expect
        .poll(() => own.page.locator('.scan [role=status]').textContent())
        .toContain('no tag of this server')
      expect(await stopped(own.page)).toBe(0)
      const tag = tagOf(zone.joints.indoorGas)
      await show(own.page, `${address}/t/${companyCode(cast.tess.companyId)}/${tag}`)
      await own.page.waitForURL(`**/joints/${zone.joints.indoorGas}?job=${jobId}`)
      expect(await stopped(own.page)).toBe(1)
      await own.context.close()
    })

    it('takes a tag that is no address too', async () => {
      const own = await phone(withCamera(true))
      await own.page.goto(`${address}/jobs`)
      await scan(own.page).tap()
      await show(own.page, tagOf(zone.joints.indoorGas))
      await own.page.waitForURL(`**/joints/${zone.joints.indoorGas}?job=${jobId}`)
      await own.context.close()
    })

    it('is stopped by hand, and by going elsewhere', async () => {
      const own = await phone(withCamera(true))
      await own.page.goto(`${address}/jobs`)
      await scan(own.page).tap()
      await own.page.getByRole('button', { name: 'Stop the camera' }).tap()
      expect(await own.page.locator('.scan').count()).toBe(0)
      expect(await stopped(own.page)).toBe(1)
      await scan(own.page).tap()
      await own.page.locator('.scan video').waitFor()
      await own.page.locator('nav a[href="/instruments"]').tap()
      await own.page.waitForURL('**/instruments')
      await expect.poll(() => stopped(own.page)).toBe(2)
      await own.context.close()
    })

    it('says so when the camera is not given; typing still works', async () => {
      const own = await phone(withCamera(false))
      await own.page.goto(`${address}/jobs`)
      await scan(own.page).tap()
      await expect.poll(() => own.page.locator('.scan').textContent()).toContain('The camera was not given')
      await own.page.getByRole('button', { name: 'Close' }).tap()
      await own.page.locator('#tag-typed').fill(tagOf(zone.joints.indoorGas))
      await own.page.getByRole('button', { name: 'Open', exact: true }).tap()
      await own.page.waitForURL(`**/joints/${zone.joints.indoorGas}?job=${jobId}`)
      await own.context.close()
    })
  })

  it('breaks no rule of the content policy on the way', () => {
    expect(complaints).toEqual([])
  })
})
