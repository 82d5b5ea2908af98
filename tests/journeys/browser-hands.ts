// How is an act of the story carried out in a real browser? The page is opened, its form filled in and its button clicked.

import type { Browser, BrowserContext, Locator, Page } from 'playwright-core'
import type { Player } from '../support/cast.ts'
import { PHONE } from '../support/chromium.ts'
import type { FieldValue } from '../support/visitor.ts'
import { type Act, asFields, type Hands, Refused } from './hands.ts'

export class BrowserHands implements Hands {
  readonly #browser: Browser
  readonly #address: string
  #last: Player | null = null
  readonly #pages = new Map<string, Page>()
  /** What the browser's own console complained about: nothing is allowed to. */
  readonly complaints: string[] = []

  constructor(browser: Browser, address: string) {
    this.#browser = browser
    this.#address = address
  }

  async close(): Promise<void> {
    for (const page of this.#pages.values()) await page.context().close()
  }

  async send(player: Player, act: Act): Promise<void> {
    const { readings, ...rest } = act.form ?? act.body
    if (!Array.isArray(readings)) return this.#submit(player, act, rest)
    for (const reading of readings as Record<string, unknown>[])
      await this.#submit(
        player,
        act,
        Object.fromEntries(Object.entries(reading).map(([name, value]) => [`readings.0.${name}`, value])),
      )
  }

  async #pageOf(player: Player): Promise<Page> {
    const known = this.#pages.get(player.memberId)
    const context = known?.context() ?? (await this.#newContext())
    const [name = '', value = ''] = player.cookie.split('=')
    await context.addCookies([{ name, value, url: this.#address }])
    if (known) return known
    const page = await context.newPage()
    page.setDefaultTimeout(10_000)
    page.on('pageerror', (problem) => this.complaints.push(String(problem)))
    page.on('console', (message) => {
      if (message.type() === 'error' && !/status of 4\d\d/.test(message.text()))
        this.complaints.push(message.text())
    })
    this.#pages.set(player.memberId, page)
    return page
  }
  #newContext(): Promise<BrowserContext> {
    return this.#browser.newContext({ viewport: PHONE, timezoneId: 'UTC' })
  }

  async #submit(player: Player, act: Act, body: Record<string, unknown>): Promise<void> {
    const page = await this.#pageOf(player)
    // Where the last act led to the page that is needed next, the work goes on there.
    const there = `${this.#address}${act.on}`
    const isThere = this.#last === player && page.url().split('#')[0] === there
    if (!isThere) await page.goto(there)
    this.#last = player
    const { allAsListed, ...given } = body
    const form = page.locator(`form[action="${act.path}"]`).first()
    if ((await form.count()) === 0) throw new Refused(0, 'page', `${act.on} has no form for ${act.path}`)
    // What is folded away is opened, as a reader would.
    await page.locator('details').evaluateAll((all) => {
      for (const one of all) (one as HTMLDetailsElement).open = true
    })
    for (const [name, value] of Object.entries(asFields(given))) await fill(page, form, name, value)
    const button = allAsListed
      ? form.locator('button[name=allAsListed]').first()
      : form.locator('button:not([name]):not([formaction])').first()
    const [answer] = await Promise.all([
      page.waitForResponse((response) => response.request().method() === 'POST'),
      button.click(),
    ])
    // With script the answer is fetched and put in its place; to leave before that would cut it off.
    await page.locator('.htmx-request').first().waitFor({ state: 'detached' })
    await page.waitForLoadState('load')
    if (answer.status() >= 400)
      throw new Refused(answer.status(), 'page', (await page.locator('main').textContent()) ?? '')
  }
}

/** The control may carry a mark in its name, and may be a choice, a list, a box to tick or a field to type in. */
async function fill(page: Page, form: Locator, name: string, value: FieldValue): Promise<void> {
  const id = await form.getAttribute('id')
  const inside = (selector: string) =>
    id ? page.locator(`form[id="${id}"] ${selector}, ${selector}[form="${id}"]`) : form.locator(selector)
  const named = [name, `${name}#`, `${name}?`, `${name}@`]
    .flatMap((one) => ['input', 'select', 'textarea'].map((tag) => `${tag}[name="${one}"]`))
    .join(', ')
  const controls = inside(`:is(${named})`)
  const first = controls.first()
  if ((await controls.count()) === 0) throw new Refused(0, 'page', `The form has no field ${name}.`)
  const { tag, type, held } = await first.evaluate((node) => ({
    tag: node.tagName,
    type: (node as HTMLInputElement).type,
    held: (node as HTMLInputElement).value,
  }))
  const text = typeof value === 'boolean' ? (value ? 'yes' : 'no') : String(value)
  if (tag === 'SELECT') await first.selectOption(text)
  else if (type === 'checkbox') await first.setChecked(value === true || value === 'yes')
  else if (type === 'radio') await inside(`:is(${named})[value="${text}"]`).first().check()
  else if (type === 'hidden') {
    if (held !== text) throw new Refused(0, 'page', `${name} is ${held} on the page, not ${text}.`)
  } else await first.fill(text)
}
