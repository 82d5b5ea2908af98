// How are the pictures in the README made? From the running demo, in a real browser at the size of a phone.
// Usage: npm run demo, and beside it: npx tsx docs/pictures/take.ts [address]

import { writeFileSync } from 'node:fs'
import chromium from '@sparticuz/chromium'
import { chromium as browsers } from 'playwright-core'
import { DEMO_PASSWORD } from '../../seed/people.ts'

const address = (process.argv[2] ?? 'http://127.0.0.1:8080').replace(/\/$/, '')

/** Whose pictures: the job that was opened again, a gas joint of it, and what comes back. */
const PICTURES: { who: string; from: string; follow: string; name: string }[] = [
  { who: 'tomas@saltmarsh.example', from: '/jobs', follow: 'BW-1070', name: 'job' },
  { who: 'marek@saltmarsh.example', from: '/instruments', follow: 'Torque wrench 4, spare', name: 'recall' },
  { who: 'wanda@saltmarsh.example', from: '/reliability?by=flaringTool', follow: '', name: 'reliability' },
]

const browser = await browsers.launch({
  executablePath: await chromium.executablePath(),
  args: ['--no-sandbox', '--disable-gpu'],
})
try {
  for (const { who, from, follow, name } of PICTURES) {
    const context = await browser.newContext({
      viewport: { width: 390, height: 844 },
      deviceScaleFactor: 1.5,
      serviceWorkers: 'block',
    })
    const signedIn = await context.request.post(`${address}/api/v1/session`, {
      headers: { origin: address },
      data: { email: who, password: DEMO_PASSWORD },
    })
    if (!signedIn.ok()) throw new Error(`Signing in as ${who} was answered with ${signedIn.status()}.`)
    const page = await context.newPage()
    await page.goto(address + from)
    if (name === 'job') await page.locator('li', { hasText: follow }).getByRole('link').first().click()
    if (name === 'recall') {
      await page.getByRole('link', { name: follow }).first().click()
      await page.getByRole('link', { name: 'What rests on it' }).click()
    }
    await page.getByRole('heading', { level: 1 }).waitFor()
    await page.waitForLoadState('networkidle')
    // From where the evidence stands.
    if (name === 'reliability') await page.locator('#groups').evaluate((one) => one.scrollIntoView())
    if (name === 'recall') await page.locator('#group-fails').evaluate((one) => one.scrollIntoView())
    writeFileSync(new URL(`${name}.png`, import.meta.url), await page.screenshot())
    await context.close()
  }
} finally {
  await browser.close()
}
