// Can somebody with a mistyped serial on a phone find the system, and read the history of its joint; with script and without?

import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { aCast, type Cast } from '../support/cast.ts'
import { launchChromium, PHONE } from '../support/chromium.ts'
import { signedInPage } from '../support/signed-in-page.ts'
import { aWholeJob, type Whole } from '../support/worked.ts'

let browser: Browser
beforeAll(async () => {
  browser = await launchChromium()
})
afterAll(() => browser.close())

describe.each([
  ['with script', true],
  ['without script', false],
])('a call with a mistyped serial, on a phone, %s', (_name, javaScriptEnabled) => {
  let cast: Cast
  let page: Page
  let work: Whole
  let address: string
  const complaints: string[] = []

  beforeAll(async () => {
    cast = await aCast('sqlite')
    work = await aWholeJob(cast, 'NW24-103377')
    address = await (await cast.server()).listen({ host: '127.0.0.1', port: 0 })
    page = await signedInPage({
      browser,
      address,
      player: cast.wren,
      complaints,
      context: { javaScriptEnabled },
    })
  })
  afterAll(async () => {
    await page?.context().close()
    await cast.remove()
  })

  const noSideways = async () => {
    if (!javaScriptEnabled) return
    const wider = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)
    expect(wider, page.url()).toBeLessThanOrEqual(0)
  }

  it('opens the box from any page, with the cursor in it', async () => {
    await page.goto(`${address}/callbacks`)
    const way = page.getByRole('navigation', { name: 'Main' }).getByRole('link', { name: 'Search' })
    const box = await way.boundingBox()
    expect(Math.min(box?.width ?? 0, box?.height ?? 0)).toBeGreaterThanOrEqual(44)
    await way.click()
    await page.waitForURL('**/search')
    const field = page.getByLabel(/^Serial, tag, customer/)
    await field.waitFor()
    if (javaScriptEnabled)
      await expect.poll(() => field.evaluate((one) => one === document.activeElement)).toBe(true)
    await noSideways()
  })

  it('says that nothing is exactly this, and what is near', async () => {
    // As it is read out: IN NW24 1 O 8 377, with a letter for the nought and an eight for the three.
    await page.getByLabel(/^Serial, tag, customer/).fill('in nw24 1o8377')
    await page.getByRole('button', { name: 'Search' }).click()
    await page.getByRole('heading', { name: 'Nothing is exactly this. Near it:' }).waitFor()
    const found = page.locator('.found > li').first()
    expect(await found.textContent()).toContain('IN-NW24-103377')
    expect(await found.textContent()).toContain('one sign differs')
    await noSideways()
    await found.getByRole('link', { name: /Living room/ }).click()
    await page.waitForURL(`**/systems/${work.zone.systemId}`)
    await page.getByRole('heading', { level: 1, name: 'Living room' }).waitFor()
  })

  it('leads from the system’s history to the joint’s, by the drawing', async () => {
    await page.getByRole('link', { name: 'History', exact: true }).click()
    await page.getByRole('heading', { level: 1, name: 'Living room: history' }).waitFor()
    await noSideways()
    await page.locator(`svg a[href="/joints/${work.zone.joints.indoorGas}/history"]`).first().click()
    await page.getByRole('heading', { level: 1, name: /: history$/ }).waitFor()
    await noSideways()
    const said = ((await page.locator('.in-short').first().textContent()) ?? '').replaceAll('\u00a0', ' ')
    expect(said).toContain('The nut was pulled to 38.0 N·m with Torque wrench 1, within 34–42 N·m.')
    expect(said).toContain('Its system has never come back.')
    expect(await page.locator('.in-short').nth(1).textContent()).toContain('there is no photo of it')
  })

  it('goes from a sentence to the entry that it rests on', async () => {
    await page.getByRole('link', { name: /^The nut was pulled/ }).click()
    const entry = page.locator(`[id="e-${work.made.indoorGas.torque.step.id}"]`)
    await expect
      .poll(async () => {
        const box = await entry.boundingBox()
        return box !== null && box.y >= -1 && box.y < PHONE.height
      })
      .toBe(true)
    expect(((await entry.textContent()) ?? '').replaceAll('\u00a0', ' ')).toContain('34–42 N·m')
  })

  it('makes no complaint', () => {
    expect(complaints).toEqual([])
  })
})
