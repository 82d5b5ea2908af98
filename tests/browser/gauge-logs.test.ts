// A gauge's log on a phone: chosen, looked at, a column changed, taken, judged; and the call for the next reading.

import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { AxeResults } from 'axe-core'
import type { Browser, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { aCast, asProgram, type Cast, MINUTE, NOON } from '../support/cast.ts'
import { launchChromium, PHONE } from '../support/chromium.ts'
import { aSection, type ReadySection } from '../support/section.ts'
import { signedInPage } from '../support/signed-in-page.ts'

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
async function violations(page: Page): Promise<string[]> {
  await page.evaluate(axe)
  const results = (await page.evaluate(() =>
    (globalThis as unknown as { axe: { run(o: unknown): Promise<unknown> } }).axe.run({
      runOnly: { type: 'tag', values: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] },
    }),
  )) as AxeResults
  return results.violations.flatMap(({ id, nodes }) =>
    nodes.map(({ html }) => `${id}: ${html.slice(0, 160)}`),
  )
}

let browser: Browser
let cast: Cast
let section: ReadySection
let address: string
beforeAll(async () => {
  browser = await launchChromium()
  cast = await aCast('sqlite')
  section = await aSection(cast)
  address = await (await cast.server()).listen({ host: '127.0.0.1', port: 0 })
})
afterAll(async () => {
  await browser?.close()
  await cast?.remove()
})

const iso = (minutes: number) => new Date(NOON + minutes * MINUTE).toISOString()
async function ask(path: string, payload: object) {
  const server = await cast.server()
  const answer = await server.inject({
    method: 'POST',
    url: `/api/v1${path}`,
    headers: asProgram(cast.tess),
    payload,
  })
  if (answer.statusCode >= 300) throw new Error(answer.body)
  return answer.json()
}
const startPressureTest = async (): Promise<string> =>
  (
    await ask(`/systems/${section.systemId}/pressure-tests`, {
      jobId: section.jobId,
      medium: 'nitrogen',
      gaugeInstrumentId: section.gauge,
      thermometerInstrumentId: section.thermometer,
      performedAt: iso(-120),
    })
  ).id

/** Semicolons, decimal commas; the first pressure is that of the wrong side. */
const LOG = [
  'Uhrzeit;Druck 1 (MPa);Druck 2 (MPa);Temperatur (°C)',
  '13:00;0,101;1,000;21,5',
  '13:10;0,101;4,152;21,5',
  ...Array.from({ length: 8 }, (_, index) => {
    const minutes = 20 + index * 10
    return `${13 + Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')};0,101;4,150;21,5`
  }),
  '14:31;OL;OL;21,5',
].join('\r\n')

describe.each([
  ['with script', true],
  ['without script', false],
])('a log on a phone, %s', (_name, javaScriptEnabled) => {
  let page: Page
  const complaints: string[] = []
  beforeAll(async () => {
    page = await signedInPage({
      browser,
      address,
      player: cast.tess,
      complaints,
      isRefused: true,
      context: { javaScriptEnabled },
    })
  })
  afterAll(() => page?.context().close())

  it('is read with semicolons and decimal commas, a column is changed, it is taken, and the test is judged', async () => {
    const id = await startPressureTest()
    const words = () => page.locator('main').textContent()
    await page.goto(`${address}/pressure-tests/${id}`)
    await page.getByRole('link', { name: /gauge’s log/ }).click()
    await page.getByLabel('The log’s file').waitFor()
    if (javaScriptEnabled) expect(await violations(page)).toEqual([])
    await page.getByLabel('The log’s file').setInputFiles({
      name: 'pressure.csv',
      mimeType: 'text/csv',
      buffer: Buffer.from(LOG),
    })
    await page.getByRole('button', { name: 'Read the file' }).click()
    await expect.poll(words).toContain('Column 3 “Druck 2 (MPa)” could be the pressure too')
    expect(await page.locator('table').first().textContent()).toContain('0.101\u00a0MPa')
    const wider = () => page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)
    if (javaScriptEnabled) expect(await wider()).toBeLessThanOrEqual(0)
    // With script the choice itself reads it again.
    await page.getByLabel('Gauge pressure', { exact: true }).selectOption('3')
    if (!javaScriptEnabled) await page.getByRole('button', { name: 'Read it so' }).click()
    await expect.poll(() => page.locator('table').first().textContent()).toContain('4.152\u00a0MPa')
    expect(await words()).toContain('10 readings of 11 rows')
    expect(await page.getByText('Row 12: no gauge pressure can be read in “OL”.').count()).toBe(1)
    expect(await page.locator('#plot-log-title').count()).toBe(1)
    if (javaScriptEnabled) {
      await page.evaluate(() => {
        for (const folded of document.querySelectorAll<HTMLDetailsElement>('main details')) folded.open = true
      })
      for (const width of [320, PHONE.width, 1280]) {
        await page.setViewportSize({ ...PHONE, width })
        expect(await wider(), `${width} px`).toBeLessThanOrEqual(0)
      }
      await page.setViewportSize(PHONE)
      expect(await violations(page)).toEqual([])
      await page.emulateMedia({ colorScheme: 'dark' })
      expect(await violations(page)).toEqual([])
    }
    await page.getByRole('button', { name: 'Take these 10 readings' }).click()
    await page.waitForURL(`**/pressure-tests/${id}`)
    await expect.poll(words).toContain('So far: Holds.')
    expect(await words()).toContain('10 of 11 rows')
    await page.getByRole('button', { name: 'End the test and judge it' }).click()
    await expect.poll(words).toContain('Check every joint with bubbles while the pressure is on')
    expect(await page.locator('.why').first().textContent()).toContain('Holds.')
    expect(complaints).toEqual([])
  })
})

describe('a reading that is due', () => {
  let page: Page
  beforeEach(async () => {
    const context = await browser.newContext({ viewport: PHONE, timezoneId: 'UTC' })
    const [name = '', value = ''] = cast.tess.cookie.split('=')
    await context.addCookies([{ name, value, url: address }])
    page = await context.newPage()
    page.setDefaultTimeout(15_000)
    await page.clock.install({ time: NOON })
    await page.addInitScript(() => {
      const kept = window as unknown as { buzzed: number; shown: string[] }
      kept.buzzed = 0
      kept.shown = []
      const vibrate = () => {
        kept.buzzed += 1
        return true
      }
      Object.defineProperty(navigator, 'vibrate', { value: vibrate })
      // This browser has no way to ask; somebody says yes.
      const asked = {
        permission: 'default',
        requestPermission: async () => {
          asked.permission = 'granted'
          return 'granted'
        },
      }
      Object.defineProperty(window, 'Notification', { value: asked })
      Object.defineProperty(navigator, 'userActivation', { value: { hasBeenActive: true } })
      Object.defineProperty(ServiceWorkerContainer.prototype, 'getRegistration', {
        value: async () => ({ showNotification: async (words: string) => void kept.shown.push(words) }),
      })
    })
  })
  afterEach(() => page.context().close())

  it('is counted down to, called for once by title and buzz, and by a notification only where it was asked for', async () => {
    const id = await startPressureTest()
    await ask(`/pressure-tests/${id}/readings`, [
      {
        at: iso(-8),
        stage: 'raise',
        gaugePressure: { value: 4.15, unit: 'MPa' },
        temperature: { value: 21, unit: 'degC' },
      },
    ])
    const seen = () =>
      page.evaluate(() => {
        const { buzzed, shown } = window as unknown as { buzzed: number; shown: string[] }
        return { buzzed, shown }
      })
    const due = page.locator('[data-due]')
    await page.goto(`${address}/pressure-tests/${id}`)
    await expect.poll(() => due.textContent()).toContain('Read the start of the hold at 15:02')
    const remind = page.getByRole('button', { name: 'Remind me when it is due' })
    await remind.waitFor()
    await page.clock.fastForward(30_000)
    await expect.poll(() => due.textContent()).toMatch(/in 01:[23]\d/)
    expect(await page.title()).not.toContain('●')
    // Nobody asked for a notification: none is shown.
    await page.clock.fastForward(120_000)
    await expect.poll(() => page.title()).toMatch(/^● Pressure test/)
    expect(await due.textContent()).toContain('It is time to read.')
    expect(await seen()).toEqual({ buzzed: 1, shown: [] })
    expect(await violations(page)).toEqual([])
    // Loaded again, it goes on where it was, and calls no second time.
    await page.reload()
    await expect.poll(() => page.title()).toMatch(/^● /)
    expect((await seen()).buzzed).toBe(0)

    const other = await startPressureTest()
    await ask(`/pressure-tests/${other}/readings`, [
      {
        at: iso(-7),
        stage: 'raise',
        gaugePressure: { value: 4.15, unit: 'MPa' },
        temperature: { value: 21, unit: 'degC' },
      },
    ])
    await page.goto(`${address}/pressure-tests/${other}`)
    await page.getByRole('button', { name: 'Remind me when it is due' }).click()
    await page.getByRole('button', { name: 'Stop reminding me' }).waitFor()
    await page.evaluate(() => Object.defineProperty(document, 'hidden', { value: true, configurable: true }))
    await page.clock.fastForward(180_000)
    await expect.poll(async () => (await seen()).shown).toEqual(['Read the start of the hold: it is time'])
    await page.clock.fastForward(60_000)
    expect((await seen()).shown).toHaveLength(1)
  })
})
