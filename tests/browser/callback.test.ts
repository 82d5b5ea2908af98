// Does a call become a closed callback: found in one box, taken in, looked at, repaired, closed and counted; with script and without?

import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { ProgramHands } from '../journeys/hands.ts'
import { job, type Teller, tell } from '../journeys/language.ts'
import { aCast, asProgram, type Cast } from '../support/cast.ts'
import { launchChromium, PHONE } from '../support/chromium.ts'

let browser: Browser
beforeAll(async () => {
  browser = await launchChromium()
})
afterAll(() => browser?.close())

const installed = job({
  title: 'A single zone, four months before it is called back',
  tell: (it) => it.installs('Kitchen'),
  expects: { signable: true },
})

describe.each([
  ['with script', true],
  ['without script', false],
])('a call, on a phone, %s', (_name, javaScriptEnabled) => {
  let cast: Cast
  let teller: Teller
  let page: Page
  let address: string
  let leaking: { id: string; tag: string }
  let callbackUrl: string
  const done = { taps: 0, typed: 0 }
  const complaints: string[] = []

  beforeAll(async () => {
    cast = await aCast('sqlite')
    const server = await cast.server()
    teller = await tell(cast, new ProgramHands(server), installed, 'called')
    leaking = await teller.joint('Kitchen indoor-gas')
    await teller.waits(120)
    address = await server.listen({ host: '127.0.0.1', port: 0 })
    const context = await browser.newContext({ viewport: PHONE, javaScriptEnabled, timezoneId: 'UTC' })
    const { sessions } = cast.deps
    const value = await sessions.start(cast.wren.personId, cast.wren.companyId)
    await context.addCookies([{ name: 'jointkeep_session', value, url: address }])
    page = await context.newPage()
    page.setDefaultTimeout(15_000)
    page.on('pageerror', (problem) => complaints.push(String(problem)))
    page.on('console', (message) => {
      if (message.type() === 'error') complaints.push(message.text())
    })
  }, 120_000)
  afterAll(async () => {
    await page?.context().close()
    await cast?.remove()
  })

  const tap = async (role: 'link' | 'button', name: string | RegExp) => {
    await page.getByRole(role, { name }).click()
    done.taps += 1
  }
  const type = async (label: string | RegExp, text: string) => {
    await page.getByLabel(label).fill(text)
    done.typed += 1
  }
  const read = async (path: string) =>
    (await (await cast.server()).inject({ url: `/api/v1${path}`, headers: asProgram(cast.sam) })).json()

  it('is taken in with three taps and two fields from the list of callbacks', async () => {
    await page.goto(`${address}/callbacks`)
    await page.getByRole('main').getByRole('link', { name: 'Take in a callback' }).first().click()
    done.taps += 1
    await type(/^Serial, tag, customer/, leaking.tag.toLowerCase())
    await tap('button', 'Find the system')
    await page.getByRole('heading', { name: /^Warranty, on/ }).waitFor()
    expect(await page.getByRole('main').textContent()).toContain('This system never came back before.')
    await type('What is said', 'The kitchen cools no more since Monday')
    await tap('button', 'Take it in')
    await page.waitForURL(/\/callbacks\/[0-9a-f-]{36}$/)
    callbackUrl = page.url()
    expect(done).toEqual({ taps: 3, typed: 2 })
  })

  it('says where to look, in words, with a way to the joint’s history', async () => {
    const look = page.getByRole('region', { name: 'Look here first' })
    await look.waitFor()
    // Everything was done well on this system, and that is what is said.
    expect(await look.textContent()).toContain('Nothing is held against any joint of this system')
    await page.getByText('Enter what the papers say').click()
    const papers = page.locator('form[action*="/warranty"]').first()
    await papers.getByLabel('Last day of the warranty').fill('2030-06-30')
    await papers.getByRole('button', { name: 'Keep it' }).click()
    await page.getByText('Yes, until 30 June 2030').waitFor()
  })

  it('takes what the technician found, and opens the repair in one step', async () => {
    await page.getByText('Add what was found').click()
    await page.getByLabel('Which joint').selectOption({ value: leaking.id })
    await page.getByLabel('Where on it').selectOption('flare-face')
    await page.getByLabel('Cause', { exact: true }).selectOption('crack')
    await page.getByRole('button', { name: 'Add the finding' }).click()
    await page.getByRole('heading', { name: 'As it was made' }).waitFor()
    await page.getByRole('button', { name: 'Open a repair job on this system' }).click()
    const repair = page.getByRole('region', { name: 'Repair' }).getByRole('link').first()
    await repair.waitFor()
    expect(page.url()).toBe(callbackUrl)
    const jobId = (await repair.getAttribute('href'))?.split('/').at(-1) ?? ''
    teller.isSentTo(jobId)
    const held = (await teller.findings()).filter(({ outcome }) => outcome === 'failed' || outcome === 'open')
    expect(held.map(({ requirement, subject }) => [requirement, subject.name])).toEqual([
      ['joint-leak-checked', leaking.tag],
    ])
  })

  it('is repaired and signed off, on what the leak asks for', async () => {
    await teller.recovers(620)
    await teller.remakes('Kitchen indoor-gas', 'It leaked: a crack in the flare.')
    const stale = (await read(`/joints/${leaking.id}/history`)) as { unknown: { lacks: string }[] }
    expect(stale.unknown.map(({ lacks }) => lacks)).toContain('a-covering-test')
    await teller.checksEveryJoint()
    await teller.pressureTests()
    await teller.evacuates({ throughOutdoorUnit: true })
    await teller.weighsIn(1000)
    await teller.runs()
    await teller.closesPorts()
    await teller.submits()
    await teller.signsOff()
  }, 60_000)

  it('closes with its outcome', async () => {
    await page.goto(callbackUrl)
    await page.locator('[name="refrigerantAdded.value"]').fill('1')
    await page.locator('[name="refrigerantAdded.unit"]').selectOption('kg')
    const again = page.waitForResponse(
      (answer) => answer.url() === callbackUrl && answer.request().method() === 'GET',
    )
    await page.getByRole('button', { name: 'Keep this' }).click()
    await (await again).finished()
    await page.waitForLoadState()
    await expect.poll(() => page.locator('[name="refrigerantAdded.value"]').inputValue()).toBe('1')
    await page.getByLabel('leak found', { exact: true }).check()
    await page.getByRole('button', { name: 'Close the callback' }).click()
    await page.getByText(/Closed: leak found/).waitFor()
    expect(await page.getByRole('main').textContent()).toContain('1 kg')
    expect(await page.getByRole('button', { name: 'Close the callback' }).count()).toBe(0)
  })

  it('is known to the joint’s history, and counted against the making that leaked', async () => {
    await page
      .getByRole('region', { name: 'As it was made' })
      .getByRole('link', { name: leaking.tag })
      .click()
    await page.getByRole('heading', { level: 1, name: /: history$/ }).waitFor()
    expect(await page.getByRole('main').textContent()).toMatch(/crack/)
    const { items } = (await read(`${new URL(callbackUrl).pathname}/what-leaked`)) as {
      items: { jointId: string; making: { id: string; daysInService: number } | null }[]
    }
    const { makes } = (await read(`/joints/${leaking.id}`)) as { makes: { id: string; number: number }[] }
    expect(items.map(({ making }) => making?.id)).toEqual([makes.find(({ number }) => number === 1)?.id])
    expect(items[0]?.making?.daysInService).toBeGreaterThanOrEqual(119)
    const groups = (await read('/reliability?by=position')) as { key: string; events: number }[]
    expect(groups.filter(({ events }) => events > 0).map(({ key, events }) => [key, events])).toEqual([
      ['indoor-gas/gas', 1],
    ])
  })

  it('makes no complaint', () => {
    expect(complaints).toEqual([])
  })
})
