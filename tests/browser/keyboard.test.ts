// Can a technician do the whole of the work on a joint, its test, its log and its photo without a mouse and without a touch?

import type { Browser, BrowserContext, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { hashPassword } from '../../server/access/passwords.ts'
import { aCast, type Cast, MINUTE } from '../support/cast.ts'
import { launchChromium, PHONE } from '../support/chromium.ts'
import { PASSWORD } from '../support/entrance.ts'
import { Keyboard } from '../support/keyboard.ts'
import { aPhonesJpeg } from '../support/pictures.ts'
import { aJobAtASite, type SingleZone, singleZone } from '../support/setups.ts'

const EMAIL = 'tess@north-ridge.example'

let browser: Browser
let cast: Cast
let address: string
let jobId: string
let zone: SingleZone
let context: BrowserContext
let page: Page
let hand: Keyboard

beforeAll(async () => {
  browser = await launchChromium()
  cast = await aCast('sqlite')
  ;({ jobId } = await aJobAtASite(cast, { by: cast.tess }))
  zone = await singleZone(cast, { jobId, by: cast.tess })
  const passwordHash = await hashPassword(PASSWORD)
  await cast.store.store.execute(
    `update people set password_hash = '${passwordHash}', email = '${EMAIL}', email_lower = '${EMAIL}' where id = '${cast.tess.personId}'`,
  )
  address = await (await cast.server()).listen({ host: '127.0.0.1', port: 0 })
  context = await browser.newContext({ viewport: PHONE, timezoneId: 'UTC', serviceWorkers: 'block' })
  page = await context.newPage()
  page.setDefaultTimeout(10_000)
  hand = new Keyboard(page)
})
afterAll(async () => {
  await context?.close()
  await browser?.close()
  await cast?.remove()
})

const button = (name: string | RegExp) =>
  page.locator('main').getByRole('button', { name }).filter({ visible: true })
const words = async () => (await page.locator('main').textContent()) ?? ''
const inStep = (selector: string) => page.locator(`.step-next ${selector}`)
const faults = () => hand.faults.splice(0)

describe('with a keyboard alone', () => {
  it('one signs in, and comes straight to the page past what stands around it', async () => {
    await page.goto(`${address}/sign-in`)
    expect(await hand.here()).toBe('input f-email')
    await hand.fill(page.getByLabel('E-mail address'), 'nobody@elsewhere.example')
    await hand.fill(page.getByLabel('Password'), 'not the one it is')
    await hand.answer('Enter')
    // What is wrong is said, and the keyboard is where it can be mended.
    await expect.poll(words).toMatch(/do(es)? not|don’t|no/i)
    expect(await hand.here()).toBe('input f-password')
    await hand.to(page.getByLabel('E-mail address'), { backwards: true })
    await hand.fill(page.getByLabel('E-mail address'), EMAIL)
    await hand.fill(page.getByLabel('Password'), PASSWORD)
    await hand.answer('Enter')
    await page.waitForURL((url) => !url.pathname.startsWith('/sign-in'))
    await page.goto(`${address}/jobs`)
    await hand.press('Tab')
    expect(await hand.here()).toBe('a To the page')
    await hand.press('Enter')
    await hand.press('Tab')
    expect(
      await page.evaluate(() => document.querySelector('main')?.contains(document.activeElement) ?? false),
    ).toBe(true)
    expect(faults()).toEqual([])
  })

  it('every joint of the drawing is a stop with a name that says where it is and how it stands', async () => {
    await hand.go(page.getByRole('link', { name: /Mill Lane/ }))
    await page.waitForURL(`**/jobs/${jobId}`)
    expect(await hand.here()).toMatch(/^h1 12 Mill Lane/)
    for (const jointId of Object.values(zone.joints)) {
      const mark = page.locator(`a.ps-joint[data-joint="${jointId}"]`)
      await hand.to(mark)
      const tag = zone.tags[jointId] ?? ''
      const named = page.getByRole('link', { name: new RegExp(`${tag}.*(liquid|gas)`, 'i') })
      expect(await named.count(), tag).toBeGreaterThan(0)
    }
    expect(faults()).toEqual([])
  })

  it('a flare joint is made and recorded, step by step, each begun where the last one ended', async () => {
    await hand.go(page.locator(`a.ps-joint[data-joint="${zone.joints.outdoorLiquid}"]`))
    await page.waitForURL(`**/joints/${zone.joints.outdoorLiquid}**`)
    // Drawn links load a page of its own, which begins at its top.
    expect(await hand.here()).toBe('')
    await hand.go(button('Start making 1'), 'Space')
    expect(await hand.here()).toBe('h2 Preparation')

    // One point is not as listed: its line is opened, marked, and refused without a reason.
    const line = inStep('.points details').first()
    await hand.to(line.locator('summary'))
    await hand.press('Enter')
    await hand.choose(line.locator('.choices'), 'no')
    await hand.go(button('Record as marked'), 'Space')
    expect(await hand.here()).toMatch(/^input f-points-squareCut-reason/)
    expect(await inStep('.points details').first().getAttribute('open')).not.toBeNull()
    await hand.fill(inStep('input[type=text][aria-invalid=true]'), 'Cut again with a new wheel, then square')
    await hand.go(button('Record as marked'), 'Space')
    expect(await hand.here()).toBe('h2 Flare')
    cast.clock.pass(MINUTE)

    await hand.pick(
      inStep('select[name=instrumentId]'),
      await labelLike(inStep('select[name=instrumentId]'), /Flaring/),
    )
    await hand.choose(
      page.locator('.step-next fieldset', { has: page.locator('[name=method]') }),
      'manual-clutch',
    )
    await hand.go(button('Record flare'))
    expect(await hand.here()).toBe('h2 Inspection')
    cast.clock.pass(MINUTE)

    await hand.pick(inStep('select[name=diameterCheck]'), 'Passed the gauge')
    await hand.go(button('All as listed'), 'Space')
    expect(await hand.here()).toBe('h2 Assembly')
    cast.clock.pass(MINUTE)
    await hand.go(button('All as listed'))
    expect(await hand.here()).toBe('h2 Torque')
    cast.clock.pass(MINUTE)

    // Nothing typed is no number: the field says so and has the keyboard.
    await hand.fill(inStep('input[name="reading.value"]'), 'tight')
    await hand.answer('Enter')
    expect(await hand.here()).toBe('input f-reading')
    expect(await words()).toContain('Enter a number.')
    await hand.fill(inStep('input[name="reading.value"]'), '11,8')
    await hand.pick(inStep('select[name="reading.unit"]'), 'ft·lbf')
    await expect.poll(() => inStep('output.also').first().textContent()).toContain('16')
    await expect.poll(() => inStep('[data-live-range] output').textContent()).toContain('In range.')
    await hand.go(button('Record torque'))
    await expect.poll(words).toMatch(/in range/)
    expect(await hand.here()).toBe('h2 Leak check')
    expect(faults()).toEqual([])
  })

  it('what was recorded is corrected, with its reason', async () => {
    cast.clock.pass(MINUTE)
    const torque = page.locator('li.step-recorded', { hasText: /in range/ })
    await hand.to(torque.locator('summary').first(), { backwards: true })
    await hand.press('Enter')
    await hand.to(torque.locator('summary', { hasText: 'Correct this' }))
    await hand.press('Space')
    const form = torque.locator('form[action="/corrections"]')
    await form.waitFor()
    await hand.fill(form.locator('textarea[name=reason]'), 'Read off the wrong scale')
    await hand.fill(form.locator('input[name="replacement.reading.value"]'), '12')
    await hand.go(form.getByRole('button', { name: 'Record the correction' }))
    await expect.poll(words).toContain('Read off the wrong scale')
    expect(await hand.here()).toBe('h2 Leak check')
    expect(faults()).toEqual([])
  })

  it('a pressure test is begun, read, and a log’s columns are matched', async () => {
    cast.clock.pass(90 * MINUTE)
    await page.goto(`${address}/systems/${zone.systemId}/pressure-tests/new?jobId=${jobId}`)
    await hand.pick(
      page.locator('select[name=gaugeInstrumentId]'),
      await labelLike(page.locator('select[name=gaugeInstrumentId]'), /Digital gauge/),
    )
    await hand.pick(
      page.locator('select[name=thermometerInstrumentId]'),
      await labelLike(page.locator('select[name=thermometerInstrumentId]'), /thermometer/),
    )
    await hand.go(button(/start/i))
    await page.waitForURL('**/pressure-tests/*')
    const test = new URL(page.url()).pathname
    for (const [stage, value] of [
      ['raise', '1,5'],
      ['hold', '4,15'],
    ] as const) {
      cast.clock.pass(5 * MINUTE)
      const stages = page.locator('fieldset', { has: page.locator('[name="readings.0.stage"]') })
      if (await stages.count()) await hand.choose(stages.first(), stage)
      await hand.fill(page.locator('input[name="readings.0.gaugePressure.value"]'), value)
      await hand.pick(page.locator('select[name="readings.0.gaugePressure.unit"]'), 'MPa')
      await hand.fill(page.locator('input[name="readings.0.temperature.value"]'), '20')
      await hand.answer('Enter')
      await expect.poll(words).toContain(value.replace(',', '.'))
      expect(await hand.here()).toBe('h2 Next reading')
    }
    await hand.go(page.getByRole('link', { name: /gauge’s log/ }))
    await page.getByLabel('The log’s file').waitFor()
    await hand.to(page.locator('summary', { hasText: 'Paste it instead' }))
    await hand.press('Enter')
    await hand.to(page.getByLabel('The readings'))
    const rows = Array.from({ length: 8 }, (_, row) => `13:${10 + row * 5};0,101;4,150;21,5`)
    await page.keyboard.insertText(
      ['Uhrzeit;Druck 1 (MPa);Druck 2 (MPa);Temperatur (°C)', ...rows].join('\n'),
    )
    await hand.go(button('Read what is pasted'), 'Space')
    await expect.poll(words).toContain('As it is read')
    expect(await hand.here()).toBe('h2 As it is read')
    const column = page.getByLabel('Gauge pressure', { exact: true })
    await hand.to(column)
    await hand.answer('ArrowDown')
    // What was chosen read the log again, and the keyboard is still on the choice.
    await expect.poll(() => page.getByLabel('Gauge pressure', { exact: true }).inputValue()).toBe('3')
    expect(await hand.here()).toMatch(/^select f-how-columns-pressure/)
    await hand.to(page.getByRole('link', { name: 'Choose another log' }))
    expect(faults()).toEqual([])
    await page.goto(`${address}${test}`)
  })

  it('a photo is chosen and sent, and the keyboard stays beside it', async () => {
    const field = page.locator('.photo-slot details[open] input[type=file]').first()
    if ((await field.count()) === 0) {
      await hand.to(page.locator('.photo-slot summary').first())
      await hand.press('Enter')
    }
    const camera = page.locator('.photo-slot details[open] > form > .field input[type=file]').first()
    await hand.to(camera)
    const [chooser] = await Promise.all([page.waitForEvent('filechooser'), hand.press('Enter')])
    await chooser.setFiles({ name: 'gauge.jpg', mimeType: 'image/jpeg', buffer: await aPhonesJpeg() })
    await page.locator('.photo-grid img').first().waitFor()
    expect(await hand.here()).toMatch(/^h2 /)
    expect(faults()).toEqual([])
  })

  it('no page of the work holds the keyboard, or leads it another way back than forth', async () => {
    for (const path of [
      `/jobs/${jobId}`,
      `/joints/${zone.joints.outdoorGas}?job=${jobId}`,
      `/joints/${zone.joints.outdoorLiquid}?job=${jobId}`,
      `/systems/${zone.systemId}/evacuations/new?jobId=${jobId}`,
      `/systems/${zone.systemId}/charge?jobId=${jobId}`,
      `/systems/${zone.systemId}/line-sets/new?jobId=${jobId}`,
      '/instruments',
      '/calculators/torque-setting',
      '/me',
    ]) {
      const answer = await page.goto(`${address}${path}`)
      expect(answer?.status(), path).toBe(200)
      expect((await hand.walk()).length, path).toBeGreaterThan(5)
    }
    expect(faults()).toEqual([])
    expect(hand.stops).toBeGreaterThan(200)
  })

  it('one signs out', async () => {
    await page.goto(`${address}/jobs`)
    await hand.go(page.getByRole('button', { name: 'Sign out' }), 'Space')
    await page.goto(`${address}/jobs`)
    expect(new URL(page.url()).pathname).toBe('/sign-in')
    expect(faults()).toEqual([])
  })
})

async function labelLike(select: ReturnType<Page['locator']>, like: RegExp): Promise<string> {
  const labels = await select
    .first()
    .evaluate((one) => [...(one as HTMLSelectElement).options].map(({ label }) => label))
  const found = labels.find((label) => like.test(label))
  if (!found) throw new Error(`none of ${labels.join(', ')} is like ${like}`)
  return found
}
