// Can every page be used by anybody, on a phone's screen, at a desk, enlarged, by day and by night?

import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { AxeResults } from 'axe-core'
import type { Browser, BrowserContext, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { may } from '../../server/access/capabilities.ts'
import type { RouteRecord } from '../../server/http/resource.ts'
import { ask, askingOf, exampleFor, nameOf } from '../shape/ask.ts'
import { aWorld, teamA, type World } from '../shape/world.ts'
import { aCast, type Cast, type Player } from '../support/cast.ts'
import { launchChromium, PHONE } from '../support/chromium.ts'

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
/** WCAG 2.2 on levels A and AA, as axe-core names its rules. */
const STANDARD = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']
/** The narrowest that WCAG 2.2, 1.4.10 Reflow asks for: 1280 pixels at 400 %. */
const NARROWEST = 320

let browser: Browser
let cast: Cast
let world: World
let address: string
/** Those that answer with a page; the rest are pictures, files, and ways to somewhere else. */
const routes: RouteRecord[] = []
let context: BrowserContext
let page: Page
const complaints: string[] = []

/** A file, and ways to another server and back; a page only says why there is none. */
const ELSEWHERE = new Set(['company-archive-itself', 'go-to-provider', 'back-from-provider'])

beforeAll(async () => {
  browser = await launchChromium()
  cast = await aCast()
  const app = await cast.app()
  world = await aWorld(cast, teamA(cast), 'Aldermoor')
  for (const route of app.routes.filter(({ method, face }) => method === 'GET' && face === 'page')) {
    const { input } = exampleFor(route, world, cast.clock.now)
    const answer = await ask(app.server, route, input, readerOf(route))
    const isPage = String(answer.headers['content-type']).startsWith('text/html')
    if (isPage && !ELSEWHERE.has(route.name)) routes.push(route)
  }
  address = await app.server.listen({ host: '127.0.0.1', port: 0 })
  context = await browser.newContext({ viewport: PHONE, timezoneId: 'UTC' })
  page = await context.newPage()
  page.setDefaultTimeout(10_000)
  page.on('pageerror', (problem) => complaints.push(`${page.url()}: ${problem}`))
  page.on('console', (message) => {
    if (message.type() === 'error' && !/status of 4\d\d/.test(message.text()))
      complaints.push(`${page.url()}: ${message.text()}`)
  })
})
afterAll(async () => {
  await context?.close()
  await cast?.remove()
  await browser?.close()
})

/** Whoever may see most of it, and on pages for all: who has most to do there. */
function readerOf(route: RouteRecord): Player | null {
  if (route.capability === null) return null
  const { technician, manager, warranty, owner } = world.team
  const { capability } = route
  return [technician, manager, warranty, owner].find((one) => may(one, capability)) ?? owner
}

async function open(route: RouteRecord): Promise<void> {
  const { input } = exampleFor(route, world, cast.clock.now)
  await context.clearCookies()
  const reader = readerOf(route)
  if (reader) {
    const [name = '', value = ''] = reader.cookie.split('=')
    await context.addCookies([{ name, value, url: address }])
  }
  const answer = await page.goto(`${address}${askingOf(route, input).url}`)
  expect(answer?.status(), nameOf(route)).toBeLessThan(400)
}

async function violations(rules?: string[]): Promise<string[]> {
  await page.evaluate(axe)
  const results = (await page.evaluate(
    (options) => (globalThis as unknown as { axe: { run(o: unknown): Promise<unknown> } }).axe.run(options),
    { runOnly: rules ? { type: 'rule', values: rules } : { type: 'tag', values: STANDARD } },
  )) as AxeResults
  return results.violations.flatMap(({ id, nodes }) =>
    nodes.map(({ html, failureSummary }) => `${id}: ${html.slice(0, 160)} ${failureSummary ?? ''}`),
  )
}

const tooWide = () =>
  page.evaluate(() => {
    const over = document.documentElement.scrollWidth - window.innerWidth
    if (over <= 0) return null
    const culprit = [...document.querySelectorAll('main *')].find(
      (one) => one.getBoundingClientRect().right > window.innerWidth + 1,
    )
    return `${over} px too wide: ${culprit?.outerHTML.slice(0, 120)}`
  })

describe('every page', () => {
  it('breaks no rule of WCAG 2.2 AA that a program can see, by day and by night, and fits every width', async () => {
    expect(routes.length).toBeGreaterThan(60)
    const faults: string[] = []
    for (const route of routes) {
      await page.emulateMedia({ colorScheme: 'light' })
      await open(route)
      const at = (what: string) => (fault: string | null) =>
        fault && faults.push(`${nameOf(route)}, ${what}: ${fault}`)
      for (const fault of await violations()) at('by day')(fault)
      await page.emulateMedia({ colorScheme: 'dark' })
      for (const fault of await violations(['color-contrast'])) at('by night')(fault)
      for (const width of [NARROWEST, PHONE.width, 640, 1280]) {
        await page.setViewportSize({ ...PHONE, width })
        at(`${width} px`)(await tooWide())
      }
      await page.setViewportSize(PHONE)
    }
    expect(faults).toEqual([])
  }, 300_000)

  it('does so without a complaint of the browser', () => {
    expect(complaints).toEqual([])
  })
})
