// How are the pictures in the README made? From the running demo, in a real browser at the size of a phone.
// Usage: npm run demo, and beside it: npx tsx docs/pictures/take.ts [address]

import { writeFileSync } from 'node:fs'
import chromium from '@sparticuz/chromium'
import { chromium as browsers } from 'playwright-core'
import { DEMO_PASSWORD } from '../../seed/people.ts'

const address = (process.argv[2] ?? 'http://127.0.0.1:8080').replace(/\/$/, '')

/** Whose picture: the job that was opened again, as its technician sees it. */
const WHO = 'tomas@saltmarsh.example'
const REFERENCE = 'BW-1070'

const browser = await browsers.launch({
  executablePath: await chromium.executablePath(),
  args: ['--no-sandbox', '--disable-gpu'],
})
try {
  const context = await browser.newContext({ viewport: { width: 390, height: 844 }, deviceScaleFactor: 1.5 })
  const signedIn = await context.request.post(`${address}/api/v1/session`, {
    headers: { origin: address },
    data: { email: WHO, password: DEMO_PASSWORD },
  })
  if (!signedIn.ok()) throw new Error(`Signing in as ${WHO} was answered with ${signedIn.status()}.`)
  const page = await context.newPage()
  await page.goto(`${address}/jobs`)
  const href = await page.locator('li', { hasText: REFERENCE }).getByRole('link').first().getAttribute('href')
  await page.goto(`${address}${href}`)
  await page.getByRole('heading', { level: 1 }).waitFor()
  writeFileSync(new URL('job.png', import.meta.url), await page.screenshot())
} finally {
  await browser.close()
}
