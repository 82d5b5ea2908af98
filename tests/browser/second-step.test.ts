// Can somebody set up a second step in a browser, sign out, and come in with a code and with one from paper?

import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { Browser, BrowserContext, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { bytesOf, codeOf, stepAt } from '../../server/access/one-time-codes.ts'
import { aCast, type Cast } from '../support/cast.ts'
import { launchChromium, PHONE } from '../support/chromium.ts'
import { PASSWORD, register, TERN } from '../support/entrance.ts'

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
/** WCAG 2.2 on levels A and AA, as axe-core names its rules. */
const STANDARD = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']

let browser: Browser
let cast: Cast
let address: string
beforeAll(async () => {
  browser = await launchChromium()
  cast = await aCast()
  const server = await cast.server()
  await register(server)
  address = await server.listen({ host: '127.0.0.1', port: 0 })
})
afterAll(async () => {
  await browser?.close()
  await cast?.remove()
})

describe.each([
  ['with JavaScript', true],
  ['without JavaScript', false],
])('a second step %s', (_how, javaScriptEnabled) => {
  let context: BrowserContext
  let page: Page
  const complaints: string[] = []
  beforeAll(async () => {
    context = await browser.newContext({ viewport: PHONE, javaScriptEnabled, serviceWorkers: 'block' })
    page = await context.newPage()
    page.setDefaultTimeout(10_000)
    page.on('console', (message) => {
      if (message.type() === 'error' && !/status of 4\d\d/.test(message.text()))
        complaints.push(message.text())
    })
  })
  afterAll(() => context?.close())

  const press = (name: string) => page.getByRole('button', { name, exact: true }).click()
  const signOut = async () => {
    await page.goto(`${address}/sign-out`)
    await page.locator('main').getByRole('button', { name: 'Sign out' }).click()
    await page.waitForURL(/\/sign-in/)
  }
  /** By day and by night; it needs a script, and the pages are the same without. */
  const expectForAll = async () => {
    if (!javaScriptEnabled) return
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme })
      await page.evaluate(axe)
      const faults = await page.evaluate(async (values) => {
        const { axe } = globalThis as unknown as {
          axe: { run(o: unknown): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> }
        }
        const { violations } = await axe.run({ runOnly: { type: 'tag', values } })
        return violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`)
      }, STANDARD)
      expect(faults, page.url()).toEqual([])
    }
    expect(await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)).toBe(0)
  }
  const firstStep = async () => {
    await page.goto(`${address}/sign-in?next=%2Fme`)
    await page.getByLabel('E-mail address').fill(TERN.email)
    await page.getByLabel('Password').fill(PASSWORD)
    await press('Sign in')
  }

  it('is set up, asked for, and let go again', async () => {
    await firstStep()
    await page.waitForURL(`${address}/me`)
    await page.getByRole('link', { name: 'Second step at sign-in' }).click()
    await page.getByLabel('Your password, once more').last().waitFor()
    await expectForAll()
    await page.getByLabel('Your password, once more').last().fill(PASSWORD)
    await press('Set up an authenticator app')
    const secret = ((await page.locator('main code').textContent()) ?? '').replaceAll(' ', '')
    expect(secret).toMatch(/^[A-Z2-7]{32}$/)
    expect(await page.locator('svg.qr').boundingBox()).toMatchObject({ width: expect.any(Number) })
    await expectForAll()
    const code = () => codeOf(bytesOf(secret), stepAt(cast.clock.now))
    await page.getByLabel('Code that the app shows now').fill(code())
    await press('Use it from now on')
    await page.getByRole('heading', { name: 'Recovery codes' }).waitFor()
    const paper = await page.locator('main li code').allTextContents()
    expect(paper).toHaveLength(10)
    await expectForAll()

    cast.clock.pass(30_000)
    await signOut()
    await firstStep()
    await page.getByLabel('Code', { exact: true }).fill('000000')
    await press('Sign in')
    await page.getByText('This code is wrong').first().waitFor()
    await expectForAll()
    await page.getByLabel('Code', { exact: true }).fill(code())
    await press('Sign in')
    await page.waitForURL(`${address}/me`)

    await signOut()
    await firstStep()
    await page.getByLabel('Code', { exact: true }).fill(paper[3] ?? '')
    await press('Sign in')
    await page.waitForURL(`${address}/me`)

    await page.goto(`${address}/me/second-step`)
    await page.getByText('9 are left.').waitFor()
    await expectForAll()
    const away = page.locator('form[action="/me/authenticator/remove"]')
    await away.getByLabel('Your password, once more').fill(PASSWORD)
    await press('Take the app away')
    await page.getByRole('button', { name: 'Set up an authenticator app' }).waitFor()
    cast.clock.pass(30_000)
    expect(complaints).toEqual([])
  }, 60_000)
})
