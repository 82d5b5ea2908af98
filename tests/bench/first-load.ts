// What does the first opening of a job's page cost on a phone with a weak signal? Bytes, requests and time; nothing asserted.

import { launchChromium, PHONE } from '../support/chromium.ts'

/** 400 kbit/s and 300 ms there and back. */
const WEAK = { offline: false, latency: 300, downloadThroughput: 50_000, uploadThroughput: 50_000 }
const ROUNDS = 5

export async function firstLoad(say: (line?: string) => void, address: string, cookie: string, path: string) {
  const browser = await launchChromium()
  try {
    const rounds = []
    for (let round = 0; round < ROUNDS; round += 1) {
      const context = await browser.newContext({ viewport: PHONE })
      const [name = '', ...value] = cookie.split('=')
      await context.addCookies([{ name, value: value.join('='), url: address }])
      const page = await context.newPage()
      const devTools = await context.newCDPSession(page)
      await devTools.send('Network.enable')
      await devTools.send('Network.emulateNetworkConditions', WEAK)
      let bytes = 0
      let requests = 0
      devTools.on('Network.requestWillBeSent', () => {
        requests += 1
      })
      devTools.on('Network.loadingFinished', ({ encodedDataLength }) => {
        bytes += encodedDataLength
      })
      const from = performance.now()
      // Deferred scripts have run by then: every form and button does what it is there for.
      await page.goto(address + path, { waitUntil: 'domcontentloaded', timeout: 60_000 })
      rounds.push({ ms: performance.now() - from, bytes, requests })
      await context.close()
    }
    const middle = rounds.toSorted((a, b) => a.ms - b.ms)[(ROUNDS - 1) / 2]
    say()
    say(
      `phone     first opening of the job page at 400 kbit/s and 300 ms: usable after ${((middle?.ms ?? 0) / 1000).toFixed(1)} s, ${((middle?.bytes ?? 0) / 1000).toFixed(0)} kB in ${middle?.requests} requests until then (median of ${ROUNDS}; aim: 2 s, 80 kB, 5 requests)`,
    )
  } finally {
    await browser.close()
  }
}
