// A page in a real browser, of somebody who is signed in: what goes wrong in it is told to the test.

import type { Browser, BrowserContextOptions, Page } from 'playwright-core'
import type { Player } from './cast.ts'
import { PHONE } from './chromium.ts'

export interface HowToOpen {
  browser: Browser
  address: string
  player: Pick<Player, 'cookie'>
  /** What the page complains of is added to these. */
  complaints: string[]
  /** The test has the service refuse something, which browsers write down as an error. */
  isRefused?: boolean
  context?: BrowserContextOptions
}

/** In a context of its own, on a phone unless it is said otherwise; whoever opens it closes that. */
export async function signedInPage(how: HowToOpen): Promise<Page> {
  const { browser, address, player, complaints } = how
  const context = await browser.newContext({ viewport: PHONE, timezoneId: 'UTC', ...how.context })
  const [name = '', value = ''] = player.cookie.split('=')
  await context.addCookies([{ name, value, url: address }])
  const page = await context.newPage()
  page.setDefaultTimeout(15_000)
  page.on('pageerror', (problem) => complaints.push(String(problem)))
  page.on('console', (message) => {
    if (message.type() !== 'error') return
    if (!how.isRefused || !/status of 4\d\d/.test(message.text())) complaints.push(message.text())
  })
  return page
}
