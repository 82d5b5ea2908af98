// How does every page look, to each reader, by day and by night, on a phone and at a desk? Pictures into shots/, which git ignores.
// Usage: npm run demo, and beside it: npx tsx docs/pictures/every-page.ts [address]

import { mkdirSync } from 'node:fs'
import chromium from '@sparticuz/chromium'
import { type Browser, type BrowserContext, chromium as browsers } from 'playwright-core'
import { DEMO_PASSWORD, SALTMARSH } from '../../seed/people.ts'

const address = (process.argv[2] ?? 'http://127.0.0.1:8080').replace(/\/$/, '')
const folder = new URL('../../shots/', import.meta.url).pathname

/** Of pages of one kind, such as all jobs: as many as show its states, and no more. */
const EACH = 4
const SCREENS = { phone: { width: 390, height: 844 }, desk: { width: 1280, height: 800 } }
const ID = /[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[0-9a-f]{4}-[0-9a-f]{12}/g
const UUID_OR_CODE = /\/(verify|t)\/[^/]+/

/** The address without what tells one thing from another; questions by their names. */
function kindOf(path: string): string {
  const { pathname, searchParams } = new URL(path, address)
  const names = [...searchParams.keys()].sort()
  const plain = pathname.replaceAll(ID, ':id').replace(UUID_OR_CODE, '/$1/:code')
  return names.length === 0 ? plain : `${plain}?${names.join('&')}`
}

const NO_PAGE = /\.(pdf|json|png|svg)$|^\/(assets|photos|api\/v1\/(?!docs))|\/(signed|thumbnail)$/

/** Follows every link from the start, some pages of each kind. */
async function pagesFrom(context: BrowserContext, start: string): Promise<string[]> {
  const found: string[] = []
  const counts = new Map<string, number>()
  const waiting = [start]
  const seen = new Set(waiting)
  const page = await context.newPage()
  for (let path = waiting.shift(); path !== undefined; path = waiting.shift()) {
    const kind = kindOf(path)
    const count = counts.get(kind) ?? 0
    if (count >= EACH) continue
    const answer = await page.goto(address + path, { waitUntil: 'domcontentloaded' })
    if (!answer?.headers()['content-type']?.startsWith('text/html')) continue
    counts.set(kind, count + 1)
    found.push(path)
    for (const href of await page
      .locator('a[href]')
      .evaluateAll((links) => links.map((link) => link.getAttribute('href') ?? ''))) {
      const to = new URL(href, address + path)
      const next = to.pathname + to.search
      if (to.origin !== address || seen.has(next) || NO_PAGE.test(to.pathname)) continue
      seen.add(next)
      waiting.push(next)
    }
  }
  await page.close()
  return found
}

async function signedIn(browser: Browser, email: string | null): Promise<BrowserContext> {
  // Without the worker: each picture is of the service as it is now.
  const context = await browser.newContext({ serviceWorkers: 'block' })
  if (email === null) return context
  const answer = await context.request.post(`${address}/api/v1/session`, {
    headers: { origin: address },
    data: { email, password: DEMO_PASSWORD },
  })
  if (!answer.ok()) throw new Error(`Signing in as ${email} was answered with ${answer.status()}.`)
  return context
}

const READERS: [name: string, email: string | null, start: string][] = [
  ['nobody', null, '/sign-in'],
  ...SALTMARSH.people
    .filter(({ key }) => ['teo', 'marek', 'wanda', 'odile'].includes(key))
    .map(({ key, email }): [string, string, string] => [key, email, '/jobs']),
]

const browser = await browsers.launch({
  executablePath: await chromium.executablePath(),
  args: ['--no-sandbox', '--disable-gpu'],
})
try {
  let taken = 0
  for (const [reader, email, start] of READERS) {
    const context = await signedIn(browser, email)
    const paths = await pagesFrom(context, start)
    const page = await context.newPage()
    for (const path of paths) {
      const name = (
        kindOf(path)
          .replace(/[^a-z0-9]+/gi, '-')
          .replace(/^-|-$/g, '') || 'home'
      ).slice(0, 80)
      const nth =
        paths.slice(0, paths.indexOf(path)).filter((other) => kindOf(other) === kindOf(path)).length + 1
      await page.goto(address + path)
      for (const [screen, viewport] of Object.entries(SCREENS))
        for (const colorScheme of ['light', 'dark'] as const) {
          const to = `${folder}${reader}/${screen}-${colorScheme}`
          mkdirSync(to, { recursive: true })
          await page.setViewportSize(viewport)
          await page.emulateMedia({ colorScheme })
          await page.screenshot({ path: `${to}/${name}-${nth}.png`, fullPage: true })
          taken += 1
        }
    }
    process.stdout.write(`${reader}: ${paths.length} pages of ${new Set(paths.map(kindOf)).size} kinds\n`)
    await context.close()
  }
  process.stdout.write(`${taken} pictures in shots/\n`)
} finally {
  await browser.close()
}
