// Can a calculator be read and used on a phone and at a desk once it has answered, and without any script?

import { readdirSync, readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { AxeResults } from 'axe-core'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { CALCULATIONS } from '../support/calculations.ts'
import { aCast, type Cast } from '../support/cast.ts'
import { launchChromium, PHONE } from '../support/chromium.ts'

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
const DESK = { width: 1280, height: 800 }

let browser: Browser
let cast: Cast
let address: string

beforeAll(async () => {
  browser = await launchChromium()
  cast = await aCast()
  const app = await cast.app()
  address = await app.server.listen({ host: '127.0.0.1', port: 0 })
})
afterAll(async () => {
  await cast?.remove()
  await browser?.close()
})

async function aPage(scripts: boolean): Promise<Page> {
  const context = await browser.newContext({ viewport: PHONE, timezoneId: 'UTC', javaScriptEnabled: scripts })
  const [name = '', value = ''] = cast.tess.cookie.split('=')
  await context.addCookies([{ name, value, url: address }])
  return context.newPage()
}

describe('the pages of methods', () => {
  it('fit a phone', async () => {
    const page = await aPage(true)
    const methods = readdirSync(new URL('../../docs/methods', import.meta.url)).filter((one) =>
      one.endsWith('.md'),
    )
    expect(methods.length).toBeGreaterThan(20)
    const faults: string[] = []
    for (const file of methods) {
      const path = file === 'README.md' ? '/methods' : `/methods/${file.replace('.md', '')}`
      expect((await page.goto(address + path))?.status(), path).toBe(200)
      const over = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)
      if (over > 0) faults.push(`${path}: ${over} px too wide`)
    }
    expect(faults).toEqual([])
    await page.context().close()
  }, 120_000)
})

describe('a calculator that has answered', () => {
  it('fits every width, and breaks no rule of WCAG 2.2 AA that a program can see', async () => {
    const page = await aPage(true)
    const faults: string[] = []
    for (const { path, what, fields } of CALCULATIONS) {
      const answer = await page.goto(`${address}/calculators/${path}?${new URLSearchParams(fields)}`)
      expect(answer?.status()).toBe(200)
      for (const size of [PHONE, DESK, { width: 320, height: 640 }]) {
        await page.setViewportSize(size)
        const over = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)
        if (over > 0) faults.push(`${path}, ${what}: ${over} px too wide at ${size.width}`)
      }
      await page.evaluate(axe)
      const { violations } = (await page.evaluate(
        (values) =>
          (globalThis as unknown as { axe: { run(o: unknown): Promise<unknown> } }).axe.run({
            runOnly: { type: 'tag', values },
          }),
        ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'],
      )) as AxeResults
      for (const { id, nodes } of violations)
        faults.push(`${path}, ${what}: ${id} ${nodes[0]?.html.slice(0, 120)}`)
    }
    expect(faults).toEqual([])
    await page.context().close()
  }, 120_000)

  it('is filled in, sent and read without script', async () => {
    const page = await aPage(false)
    for (const { path, what, fields } of CALCULATIONS) {
      await page.goto(`${address}/calculators/${path}`)
      for (const [name, value] of Object.entries(fields)) {
        const control = page.locator(`main form [name="${name}"]`)
        // A unit of which there is one only is no choice.
        if ((await control.getAttribute('type')) === 'hidden') continue
        if ((await control.evaluate((one) => one.tagName)) === 'SELECT') await control.selectOption(value)
        else await control.fill(value)
      }
      await page.locator('main form button').last().click()
      expect(await page.locator('#answer').count(), `${path}, ${what}`).toBe(1)
      expect(page.url()).toContain('#answer')
    }
    await page.context().close()
  }, 120_000)
})
