// Do true-to-life jobs come out the same when they are told in a real Chromium on a phone's screen?

import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { BrowserHands } from '../journeys/browser-hands.ts'
import { storiesInBrowser, tellAll } from '../journeys/telling.ts'
import { aCast, type Cast } from '../support/cast.ts'
import { launchChromium } from '../support/chromium.ts'

it('are at least ten', () => {
  expect(storiesInBrowser.length).toBeGreaterThanOrEqual(10)
})

describe('told by hand in a browser', () => {
  let browser: Browser
  let cast: Cast
  let hands: BrowserHands
  beforeAll(async () => {
    browser = await launchChromium()
    cast = await aCast('sqlite')
    hands = new BrowserHands(browser, await (await cast.server()).listen({ host: '127.0.0.1', port: 0 }))
  })
  afterAll(async () => {
    await hands?.close()
    await browser?.close()
    await cast?.remove()
  })

  tellAll(
    storiesInBrowser,
    () => cast,
    async () => hands,
  )

  it('without a word of complaint from the browser', () => {
    expect(hands.complaints).toEqual([])
  })
})
