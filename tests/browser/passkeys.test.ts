// Can somebody add a passkey in a browser, sign in with it after the password and without, and take it away?

import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { Browser, BrowserContext, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { aCast, type Cast } from '../support/cast.ts'
import { launchChromium, PHONE } from '../support/chromium.ts'
import { PASSWORD, register, TERN } from '../support/entrance.ts'
import { carryAuthenticator } from '../support/virtual-authenticator.ts'

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
/** WCAG 2.2 on levels A and AA, as axe-core names its rules. */
const STANDARD = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']

let browser: Browser
let context: BrowserContext
let page: Page
let cast: Cast
let address: string
const complaints: string[] = []

beforeAll(async () => {
  browser = await launchChromium()
  cast = await aCast()
  const server = await cast.server()
  await register(server)
  // Browsers make passkeys for names alone; this one leads here on every machine.
  const { port } = new URL(await server.listen({ host: '127.0.0.1', port: 0 }))
  address = `http://localhost:${port}`
  cast.machinery.settings.publicUrl = address
  context = await browser.newContext({ viewport: PHONE, serviceWorkers: 'block' })
  page = await context.newPage()
  page.setDefaultTimeout(10_000)
  page.on('console', (message) => {
    if (message.type() === 'error' && !/status of 4\d\d/.test(message.text())) complaints.push(message.text())
  })
  page.on('pageerror', (problem) => complaints.push(String(problem)))
  await carryAuthenticator(context, page, address)
})
afterAll(async () => {
  await context?.close()
  await browser?.close()
  await cast?.remove()
})

const press = (name: string) => page.getByRole('button', { name, exact: true }).click()
const signOut = async () => {
  await page.goto(`${address}/sign-out`)
  await page.locator('main').getByRole('button', { name: 'Sign out' }).click()
  await page.waitForURL(/\/sign-in/)
}
const withPassword = async () => {
  await page.goto(`${address}/sign-in?next=%2Fme`)
  await page.getByLabel('E-mail address').fill(TERN.email)
  await page.getByLabel('Password').fill(PASSWORD)
  await press('Sign in')
}
/** By day and by night. */
const expectForAll = async () => {
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

describe('a passkey in a browser', () => {
  it('is added, opens after the password and alone, and opens nothing once removed', async () => {
    await withPassword()
    await page.waitForURL(`${address}/me`)
    await page.getByRole('link', { name: 'Second step at sign-in' }).click()
    const adding = page.locator('form[data-passkey=make]')
    await adding.waitFor({ state: 'visible' })
    await expectForAll()
    expect(await adding.getByLabel('Name').inputValue()).toBe('Chrome on Linux')
    await adding.getByLabel('Your password, once more').fill('not this one at all')
    await press('Add a passkey')
    await adding.getByText('This is not your password.').waitFor()
    await adding.getByLabel('Your password, once more').fill(PASSWORD)
    await press('Add a passkey')
    await page.getByRole('heading', { name: 'Recovery codes' }).waitFor()
    expect(await page.locator('main li code').count()).toBe(10)
    await page.getByRole('link', { name: 'They are kept safe' }).click()
    await page.locator('.passkeys').getByText('not used yet').waitFor()
    await page.locator('.passkeys summary').click()
    await expectForAll()

    await signOut()
    await withPassword()
    await page.getByRole('button', { name: 'Use a passkey' }).waitFor()
    await expectForAll()
    await press('Use a passkey')
    await page.waitForURL(`${address}/me`)

    await signOut()
    await page.goto(`${address}/sign-in?next=%2Fme`)
    await page.getByRole('button', { name: 'Sign in with a passkey' }).waitFor()
    await expectForAll()
    await press('Sign in with a passkey')
    await page.waitForURL(`${address}/me`)

    await page.goto(`${address}/me/second-step`)
    await page.locator('.passkeys').getByText('last used').waitFor()
    await page.locator('.passkeys summary').click()
    const own = page.locator('.passkeys li')
    await own.getByLabel('Name').fill('Blue phone')
    await own.getByRole('button', { name: 'Change the name' }).click()
    await page.locator('.passkeys strong').getByText('Blue phone').waitFor()
    await page.locator('.passkeys summary').click()
    await own.getByLabel('Your password, once more').fill(PASSWORD)
    await own.getByRole('button', { name: 'Remove this passkey' }).click()
    await own.waitFor({ state: 'detached' })

    await signOut()
    await page.goto(`${address}/sign-in`)
    await press('Sign in with a passkey')
    await page.getByText('This passkey is not known here').first().waitFor()
    expect(complaints).toEqual([])
  }, 60_000)
})
