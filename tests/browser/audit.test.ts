// An audit from the list to the seal in a real Chromium: question, answer, sent back, mended, accepted, signed off.

import type { Browser, BrowserContext, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { recordLeakCheck } from '../../server/commands/joints/record-steps.ts'
import { submitJob } from '../../server/commands/release/submit-job.ts'
import { aCast, type Cast, HOUR, type Player } from '../support/cast.ts'
import { launchChromium, PHONE } from '../support/chromium.ts'
import { signedInPage } from '../support/signed-in-page.ts'
import { aWholeJob, leakCheckOf, type Whole } from '../support/worked.ts'

let browser: Browser
beforeAll(async () => {
  browser = await launchChromium()
})
afterAll(() => browser.close())

describe.each([
  ['with script, by keyboard', true],
  ['without script', false],
])('an audit %s', (_name, javaScriptEnabled) => {
  let cast: Cast
  let address: string
  let desk: Page
  let phone: Page
  let work: Whole
  let second: Whole
  const contexts: BrowserContext[] = []
  const complaints: string[] = []
  const tagOf = () => work.zone.tags[work.zone.joints.outdoorGas] ?? ''

  const pageOf = async (player: Player, viewport: { width: number; height: number }): Promise<Page> => {
    const page = await signedInPage({
      browser,
      address,
      player,
      complaints,
      isRefused: true,
      context: { viewport, javaScriptEnabled },
    })
    contexts.push(page.context())
    return page
  }

  beforeAll(async () => {
    cast = await aCast('sqlite')
    work = await aWholeJob(cast, 'first')
    second = await aWholeJob(cast, 'second')
    for (const { jobId } of [work, second]) {
      await cast.run(cast.tess, submitJob, { jobId })
      cast.clock.pass(HOUR)
    }
    address = await (await cast.server()).listen({ host: '127.0.0.1', port: 0 })
    desk = await pageOf(cast.sam, { width: 1280, height: 800 })
    phone = await pageOf(cast.tess, PHONE)
  })
  afterAll(async () => {
    for (const context of contexts) await context.close()
    await cast.remove()
  })

  /** What is pressed leads somewhere: nothing may be pressed twice on the old page. */
  const leads = async (page: Page, act: () => Promise<void>) => {
    if (javaScriptEnabled) await page.locator('main').evaluate((main) => main.setAttribute('data-before', ''))
    await act()
    if (javaScriptEnabled) await page.locator('main:not([data-before])').waitFor()
    await page.waitForLoadState('networkidle')
    // The keys are fetched after the page.
    if (javaScriptEnabled && (await page.locator('[data-rows]').count()) > 0)
      await page.locator('[data-keys]:not([hidden])').waitFor()
  }
  const open = async (page: Page, path: string) => {
    await page.goto(`${address}${path}`)
    await page.waitForLoadState('networkidle')
    if (javaScriptEnabled && path.includes('audit')) await page.locator('[data-keys]:not([hidden])').waitFor()
  }
  const joint = (page: Page, id: string) => page.locator(`#joint-${id}`)
  /** By the keys until the focus is in the part. */
  const walkTo = async (id: string) => {
    for (let turn = 0; turn < 40; turn += 1) {
      await desk.keyboard.press('j')
      const at = await desk.evaluate(() => document.activeElement?.closest('[data-row]')?.id)
      if (at === id) return
    }
    throw new Error(`j never came to ${id}`)
  }

  it('begins at the list, with the job that waits longest first', async () => {
    await open(desk, '/audit-list')
    expect(await desk.locator('.audit-row').count()).toBe(2)
    if (javaScriptEnabled) {
      await desk.keyboard.press('j')
      await desk.keyboard.press('j')
      await desk.keyboard.press('k')
      await leads(desk, () => desk.keyboard.press('o'))
    } else {
      expect(await desk.locator('[data-keys]').isHidden()).toBe(true)
      await leads(desk, () => desk.locator('.audit-row').first().getByRole('link', { name: /^Read/ }).click())
    }
    expect(desk.url()).toContain(`/jobs/${work.jobId}/audit`)
    expect(await desk.locator('.audit-way').first().textContent()).toContain('1 of 2')
  })

  it('asks about one entry, and can not be signed off meanwhile', async () => {
    const part = `joint-${work.zone.joints.indoorGas}`
    if (javaScriptEnabled) {
      await walkTo(part)
      await leads(desk, () => desk.keyboard.press('q'))
      expect(await desk.evaluate(() => document.activeElement?.tagName)).toBe('TEXTAREA')
      // What is typed is typed, and no key of the page.
      await desk.keyboard.type('Which adapter, and a jaw?')
    } else {
      await leads(desk, () => desk.locator(`#${part} [data-ask]`).click())
      await desk.locator(`#${part} textarea`).fill('Which adapter, and a jaw?')
    }
    const about = desk.locator(`#${part} select[name=entryId]`)
    const torque = await about.locator('option', { hasText: 'Torque recorded' }).getAttribute('value')
    await about.selectOption(torque)
    await leads(desk, () => desk.locator(`#${part} .audit-ask button`).click())
    const thread = desk.locator(`#${part} .thread`)
    expect(await thread.textContent()).toContain('Which adapter, and a jaw?')
    expect(await thread.textContent()).toMatch(/Torque recorded, entry \d+/)
    expect(await desk.locator('#decide').textContent()).toContain('Settle the open questions first')
    expect(await desk.getByRole('button', { name: 'Sign off and seal' }).count()).toBe(0)
  })

  it('is answered on the phone, at the joint', async () => {
    await open(phone, `/jobs/${work.jobId}`)
    expect(await phone.locator('#questions').textContent()).toContain('Waits for an answer.')
    await leads(phone, () => phone.locator('#questions .thread-about a').click())
    expect(phone.url()).toContain(`/joints/${work.zone.joints.indoorGas}`)
    const wider = await phone.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)
    expect(wider).toBeLessThanOrEqual(0)
    await phone.locator('.thread textarea').first().fill('No adapter. Tess and I saw it.')
    await leads(phone, () => phone.getByRole('button', { name: 'Send the answer' }).click())
    expect(await phone.locator('.thread').textContent()).toContain('Answered; waits for the manager.')
  })

  it('is found again by what stands out, settled, and sent back with a joint', async () => {
    await open(desk, '/audit-list')
    await desk.locator('summary', { hasText: 'Filter and order' }).click()
    await desk.getByLabel('What stands out').selectOption('answered')
    await leads(desk, () => desk.getByRole('button', { name: 'Show' }).click())
    expect(desk.url()).toContain('standsOut=answered')
    expect(await desk.locator('.audit-row').count()).toBe(1)
    await leads(desk, () => desk.locator('[data-open]').click())
    expect(await desk.locator('.thread').first().textContent()).toContain('No adapter. Tess and I saw it.')
    await leads(desk, () => desk.getByRole('button', { name: /^Settled/ }).click())
    expect(await desk.locator('.thread').first().textContent()).toContain('Settled.')
    await desk.getByLabel(`Send back with ${tagOf()}`).check()
    await desk.locator('summary', { hasText: 'Send back to the technician' }).click()
    await desk.getByLabel('What needs another look').fill('Bubbles once more, please.')
    await leads(desk, () => desk.getByRole('button', { name: 'Send back' }).click())
    expect(desk.url()).toContain('/audit-list')
    await open(desk, '/audit-list')
    expect(await desk.locator('.audit-row').count()).toBe(1)
  })

  it('is mended where it was sent back for, and handed in again', async () => {
    await open(phone, `/jobs/${work.jobId}`)
    const said = phone.locator('.flash', { hasText: 'Sent back.' })
    expect(await said.textContent()).toContain('Bubbles once more, please.')
    await leads(phone, () => said.getByRole('link').click())
    expect(await phone.locator('main').textContent()).toContain('Sent back with this joint.')
    cast.clock.pass(HOUR)
    await cast.run(cast.tess, recordLeakCheck, {
      makeId: work.made.outdoorGas.makeId,
      ...leakCheckOf(work.zone, 'outdoorGas'),
    } as never)
    await open(phone, `/jobs/${work.jobId}`)
    await leads(phone, () => phone.getByRole('button', { name: 'Submit for audit' }).click())
    expect(await phone.locator('main').textContent()).toContain('Waiting for audit')
  })

  it('is read again where it changed, accepted from the list, and signed off', async () => {
    await open(desk, `/jobs/${work.jobId}/audit?list=`)
    const part = joint(desk, work.zone.joints.outdoorGas)
    expect(await part.textContent()).toContain('Recorded since it was sent back')
    expect(await joint(desk, work.zone.joints.outdoorLiquid).textContent()).not.toContain(
      'since it was sent back',
    )
    if (javaScriptEnabled) {
      await walkTo(`joint-${work.zone.joints.outdoorGas}`)
      await leads(desk, () => desk.keyboard.press('a'))
      // The hand is where it was.
      await expect
        .poll(() => desk.evaluate(() => document.activeElement?.closest('[data-row]')?.id))
        .toBe(`joint-${work.zone.joints.outdoorGas}`)
    } else await leads(desk, () => part.getByRole('button', { name: 'Accept' }).click())
    expect(await part.textContent()).toContain('Accepted by')
    await open(desk, '/audit-list')
    const row = desk.locator(`#job-${work.jobId}`)
    if (javaScriptEnabled) {
      await row.locator('[data-open]').focus()
      await leads(desk, () => desk.keyboard.press('a'))
      await expect
        .poll(() => desk.evaluate(() => document.activeElement?.closest('[data-row]')?.id))
        .toBe(`job-${second.jobId}`)
    } else await leads(desk, () => row.getByRole('button', { name: /^Accept/ }).click())
    expect(await desk.locator(`#job-${work.jobId}`).count()).toBe(0)
    await leads(desk, () => desk.getByRole('link', { name: /^Accepted, to sign off \(1\)/ }).click())
    await leads(desk, () => desk.locator('[data-open]').click())
    expect(await desk.locator('#decide').textContent()).toContain('Accepted by')
    await leads(desk, () => desk.getByRole('button', { name: 'Sign off and seal' }).click())
    expect(desk.url()).toContain('/certificates/')
    expect(await desk.locator('h1').textContent()).toContain('Certificate')
  })

  it('leaves the keys to those who want them', async () => {
    if (!javaScriptEnabled) return
    await open(desk, '/audit-list')
    await desk.locator('[data-keys-on]').uncheck()
    await desk.locator('h1').click()
    await desk.keyboard.press('j')
    expect(await desk.evaluate(() => document.activeElement?.closest('[data-row]') ?? null)).toBeNull()
    await open(desk, '/audit-list')
    expect(await desk.locator('[data-keys-on]').isChecked()).toBe(false)
  })

  it('goes by without a complaint of the browser', () => {
    expect(complaints).toEqual([])
  })
})
