// Something is let go, and a criterion loosened, in a real Chromium: asked, answered, sealed, and printed on the certificate.

import type { Browser, BrowserContext, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { aCast, type Cast, type Player } from '../support/cast.ts'
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
])('a short hold %s', (_name, javaScriptEnabled) => {
  let cast: Cast
  let address: string
  let desk: Page
  let phone: Page
  let asked: Whole
  let later: Whole
  let certificate: string
  const contexts: BrowserContext[] = []
  const complaints: string[] = []

  const pageOf = async (player: Player, viewport: { width: number; height: number }): Promise<Page> => {
    const page = await signedInPage({
      browser,
      address,
      player,
      complaints,
      isRefused: true,
      context: { viewport, javaScriptEnabled, serviceWorkers: 'block' },
    })
    contexts.push(page.context())
    return page
  }

  beforeAll(async () => {
    cast = await aCast('sqlite')
    // Half an hour, where the criteria ask for a whole one.
    asked = await aWholeJob(cast, 'asked', { holdMinutes: 30 })
    later = await aWholeJob(cast, 'later', { holdMinutes: 30 })
    address = await (await cast.server()).listen({ host: '127.0.0.1', port: 0 })
    desk = await pageOf(cast.sam, { width: 1280, height: 800 })
    phone = await pageOf(cast.tess, PHONE)
  })
  afterAll(async () => {
    for (const context of contexts) await context.close()
    await cast.remove()
  })

  const open = (page: Page, path: string) => page.goto(`${address}${path}`)
  const press = (page: Page, name: string) => page.getByRole('button', { name, exact: true }).click()
  /** Until the page says it; what it says is looked for anew while pages change. */
  const says = (page: Page, text: string | RegExp) => page.getByText(text).first().waitFor()
  const textOf = async (page: Page) =>
    ((await page.locator('main').textContent()) ?? '').replaceAll(/\s+/g, ' ')

  it('is asked for by the technician, who is told that it waits', async () => {
    await open(phone, `/jobs/${asked.jobId}`)
    await phone.locator('input[name^="_request standing-pressure-held"]').fill('The gas was needed.')
    await press(phone, 'Submit for audit')
    await says(phone, 'Waits for an answer')
  })

  it('is answered by the manager, with a reason and a condition', async () => {
    await open(desk, '/concession-requests')
    await says(desk, 'The gas was needed.')
    await says(desk, /Wanted at least 60 min/)
    await desk.getByLabel('Reason').fill('Bubbles on every joint.')
    await desk.getByLabel('On condition (may be left empty)').fill('Tested again before winter.')
    await press(desk, 'Grant the concession')
    await says(desk, 'Nothing waits for an answer')
    await open(phone, `/jobs/${asked.jobId}`)
    expect(await phone.locator('#concessions').textContent()).toMatch(
      /Granted by Sam[\s\S]*Bubbles on every joint\.[\s\S]*On condition: Tested again before winter\./,
    )
  })

  it('is signed off, printed on the certificate, and closed in the register', async () => {
    await open(desk, `/jobs/${asked.jobId}`)
    await press(desk, 'Sign off and seal')
    await desk.waitForURL(/\/certificates\//)
    await desk.locator('#concessions').waitFor()
    certificate = new URL(desk.url()).pathname
    const printed = await textOf(desk)
    expect(printed).toContain('Bubbles on every joint. On condition: Tested again before winter.')
    expect(printed).toContain('version 1')
    await open(desk, '/nonconformities')
    await says(desk, '1 in all, closed.')
    await desk.getByRole('link', { name: 'The section holds its test pressure' }).click()
    await says(desk, 'As it was found')
    expect(await textOf(desk)).toMatch(/Conceded.*Bubbles on every joint\..*Tested again before winter\./)
  })

  it('is in order by looser criteria, which are not taken without a reason', async () => {
    await open(desk, '/policy/edit')
    await desk.locator('input[name="criteria.pressure.hold.value"]').fill('20')
    await press(desk, 'Set these criteria')
    await desk.locator('textarea[name="reason"][aria-invalid="true"]').waitFor()
    expect(await desk.locator('input[name="criteria.pressure.hold.value"]').inputValue()).toBe('20')
    await desk.locator('textarea[name="reason"]').fill('Short lines in small flats.')
    await press(desk, 'Set these criteria')
    await says(desk, /Short lines in small flats\./)

    await open(phone, `/jobs/${later.jobId}`)
    expect(await phone.locator('input[name^="_request"]').count()).toBe(0)
    await press(phone, 'Submit for audit')
    await phone.getByRole('button', { name: 'Submit for audit', exact: true }).waitFor({ state: 'detached' })
    await open(desk, `/jobs/${later.jobId}`)
    await press(desk, 'Sign off and seal')
    await desk.waitForURL(/\/certificates\//)
    await desk.locator('#concessions').waitFor()
    const printed = await textOf(desk)
    expect(printed).toMatch(/20 min instead of 60 min/)
    expect(printed).toContain('version 2')
  })

  it('leaves the older certificate and its version as they were', async () => {
    await open(desk, certificate)
    const printed = await textOf(desk)
    expect(printed).toContain('version 1')
    expect(printed).not.toContain('version 2')
    expect(printed).not.toMatch(/20 min instead/)
    expect(printed).toContain('Bubbles on every joint.')
    expect(complaints).toEqual([])
  })
})
