// Do the parts hold in a real browser: no sideways scroll, nothing axe objects to, scripts that obey the content policy?

import { readFileSync } from 'node:fs'
import { createServer, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import type { Browser, BrowserContextOptions, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { Gallery, SampleJointPage } from '../../views/gallery.tsx'
import { Layout, renderFragment, renderPage } from '../../views/layout.tsx'
import { QuantityField } from '../../views/parts/field.tsx'
import { launchChromium } from '../support/chromium.ts'

const root = new URL('../../', import.meta.url)
const axe = readFileSync(new URL('node_modules/axe-core/axe.min.js', root), 'utf8')
const units = [
  { value: 'N.m', label: 'N·m', factor: 1 },
  { value: 'ft.lbf', label: 'ft·lbf', factor: 1.3558179 },
]

function form(wrong: boolean) {
  return (
    <form id="reading-form" method="post" action="/read" hx-post="/read" hx-swap="outerHTML">
      <QuantityField
        name="reading"
        label="Reading"
        quantity="torque"
        units={units}
        unit="N.m"
        form={
          wrong
            ? {
                values: { 'reading.value': '3x8' },
                errors: [{ path: 'reading.value', message: 'Type it like 38.4.' }],
              }
            : undefined
        }
      />
      <button type="submit" class="do">
        Record
      </button>
    </form>
  )
}

const pages: Record<string, () => string> = {
  '/': () => renderPage(<Gallery since={new Date(Date.now() - 75 * 60_000).toISOString()} />),
  '/joint': () => renderPage(<SampleJointPage />),
  '/form': () =>
    renderPage(
      <Layout title="Form">
        <h1>Form</h1>
        {form(false)}
      </Layout>,
    ),
}

let server: Server
let browser: Browser
let base: string

beforeAll(async () => {
  server = createServer((request, response) => {
    const path = (request.url ?? '/').split('?')[0] ?? '/'
    const send = (type: string, body: string | Buffer, status = 200) => {
      response.writeHead(status, {
        'content-type': type,
        'content-security-policy': "default-src 'self'; style-src 'self'",
      })
      response.end(body)
    }
    if (path.endsWith('/htmx.min.js')) {
      return send('text/javascript', readFileSync(new URL('node_modules/htmx.org/dist/htmx.min.js', root)))
    }
    if (path.startsWith('/assets/')) {
      const type = path.endsWith('.css') ? 'text/css' : 'text/javascript'
      return send(type, readFileSync(new URL(`views${path}`, root)))
    }
    if (request.method === 'POST') return send('text/html', renderFragment(form(true)), 422)
    const page = pages[path]
    return page === undefined ? send('text/plain', '', 404) : send('text/html', page())
  })
  await new Promise<void>((ready) => server.listen(0, '127.0.0.1', ready))
  base = `http://127.0.0.1:${(server.address() as AddressInfo).port}`
  browser = await launchChromium()
}, 60_000)

afterAll(async () => {
  await browser?.close()
  await new Promise((closed) => server.close(closed))
})

async function open(
  path: string,
  options: BrowserContextOptions = {},
  use: (page: Page, complaints: string[]) => Promise<void>,
): Promise<void> {
  // The worker keeps the pages of the service, which this is not.
  const context = await browser.newContext({
    viewport: { width: 390, height: 844 },
    serviceWorkers: 'block',
    ...options,
  })
  const page = await context.newPage()
  const complaints: string[] = []
  page.on('pageerror', (error) => complaints.push(error.message))
  page.on('console', (message) => {
    // The answer 422 of a refused form is what the test asks for, not a complaint.
    if (message.type() === 'error' && !/status of (422|404)/.test(message.text()))
      complaints.push(message.text())
  })
  try {
    await page.goto(base + path)
    await use(page, complaints)
  } finally {
    await context.close()
  }
}

describe.each([
  ['phone, light', { viewport: { width: 390, height: 844 }, colorScheme: 'light' }],
  ['phone, dark', { viewport: { width: 390, height: 844 }, colorScheme: 'dark' }],
  ['desk, light', { viewport: { width: 1280, height: 800 }, colorScheme: 'light' }],
  ['desk, dark', { viewport: { width: 1280, height: 800 }, colorScheme: 'dark' }],
] as [string, BrowserContextOptions][])('on a %s', (_name, options) => {
  it.each(['/', '/joint'])('axe has nothing to object to in %s, with everything unfolded', async (path) => {
    await open(path, { ...options, bypassCSP: true }, async (page) => {
      await page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true })")
      await page.addScriptTag({ content: axe })
      const found = (await page.evaluate(
        "axe.run(document, { runOnly: ['wcag2a','wcag2aa','wcag21a','wcag21aa','wcag22aa','best-practice'] }).then((r) => ({ bad: r.violations.map((v) => v.id + ': ' + v.nodes.map((n) => n.html).join(' | ')), passes: r.passes.length }))",
      )) as { bad: string[]; passes: number }
      expect(found.bad).toEqual([])
      expect(found.passes).toBeGreaterThan(20)
    })
  })
})

describe('room', () => {
  it.each([320, 360, 390, 640])('nothing scrolls sideways at %i pixels', async (width) => {
    await open('/', { viewport: { width, height: 740 } }, async (page) => {
      expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width)
    })
  })

  it('the torque step with its button fits on 390 × 844 without scrolling', async () => {
    await open('/joint', {}, async (page) => {
      const box = await page.locator('button.do').boundingBox()
      expect((box?.y ?? 9999) + (box?.height ?? 0)).toBeLessThanOrEqual(844)
    })
  })

  it('every tap area of the strip is 44 pixels or more at 360 pixels width, also inside a sheet', async () => {
    await open('/', { viewport: { width: 360, height: 740 } }, async (page) => {
      const sizes = (await page.evaluate(
        "[...document.querySelectorAll('.ps-tap')].map((one) => { const b = one.getBoundingClientRect(); return [b.width, b.height] })",
      )) as [number, number][]
      expect(sizes.length).toBeGreaterThan(40)
      for (const [width, height] of sizes) {
        expect(width).toBeGreaterThanOrEqual(44)
        expect(height).toBeGreaterThanOrEqual(44)
      }
    })
  })

  it('controls are 48 pixels high or more', async () => {
    await open('/', { viewport: { width: 360, height: 740 } }, async (page) => {
      const low = await page.evaluate(
        "[...document.querySelectorAll('main :is(button, select, textarea, .choice, summary, input:not([type=radio], [type=checkbox], [type=hidden]))')].filter((one) => one.checkVisibility() && !one.closest('.ps-text')).filter((one) => one.getBoundingClientRect().height < 47.5).map((one) => one.outerHTML.slice(0, 80))",
      )
      expect(low).toEqual([])
    })
  })
})

describe('the small script', () => {
  it('moves tick and whisker while typing, with a comma too, in either unit, without breaking the policy', async () => {
    await open('/joint', {}, async (page, complaints) => {
      const say = () => page.locator('.live-words').textContent()
      const tick = async () =>
        Number(/^M([\d.]+)/.exec((await page.locator('[data-live=tick]').getAttribute('d')) ?? '')?.[1])
      await page.fill('#f-g1-reading', '38,4')
      expect(await say()).toBe('In range. ± 4 % makes it 36.9–39.9.')
      expect(await page.locator('.also').textContent()).toBe('= 28.3 ft·lbf')
      const inRange = await tick()
      await page.fill('#f-g1-reading', '45')
      expect(await say()).toContain('Above the range.')
      expect(await tick()).toBeGreaterThan(inRange)
      expect(await page.locator('.live-range').getAttribute('class')).toContain('live-out')
      await page.selectOption('#f-g1-reading-unit', 'ft.lbf')
      await page.fill('#f-g1-reading', '28.3')
      expect(await say()).toBe('In range. 38.4 N·m at the joint. ± 4 % makes it 36.8–39.9.')
      await page.fill('#f-g1-reading', '3x8')
      expect(await say()).toBe('Wanted 34–42 N·m.')
      expect(await page.locator('[data-live=tick]').getAttribute('d')).toBe('')
      expect(complaints).toEqual([])
    })
  })

  it('remembers the unit for the next empty field of its kind', async () => {
    await open('/form', {}, async (page) => {
      await page.selectOption('select', 'ft.lbf')
      await page.reload()
      expect(await page.locator('select').inputValue()).toBe('ft.lbf')
    })
  })

  it('runs the clock of a test', async () => {
    await open('/', {}, async (page) => {
      expect(await page.locator('.clock').textContent()).toMatch(/^1:15:0\d$/)
      expect(await page.locator('.clock').getAttribute('class')).toContain('clock-enough')
    })
  })

  it('after a refused form puts the focus on the first error and keeps what was typed', async () => {
    await open('/form', {}, async (page, complaints) => {
      await page.fill('#f-reading', '3x8')
      await page.click('button.do')
      await page.waitForSelector('[aria-invalid=true]')
      await page.waitForFunction("document.activeElement?.id === 'f-reading'")
      expect(await page.inputValue('#f-reading')).toBe('3x8')
      expect(complaints).toEqual([])
      expect(page.url()).toBe(`${base}/form`)
    })
  })
})

describe('without script', () => {
  it('a line marked as an exception takes “All as listed” away and offers to record as marked', async () => {
    await open('/', { javaScriptEnabled: false }, async (page) => {
      const list = page.locator('#points .point-list')
      expect(await list.locator('.all-as-listed').isVisible()).toBe(true)
      expect(await list.locator('.as-marked').isVisible()).toBe(false)
      await list.locator('summary').nth(1).click()
      await list.locator('input[name="points.deburred"][value="no"]').check()
      expect(await list.locator('.all-as-listed').isVisible()).toBe(false)
      expect(await list.locator('.as-marked').isVisible()).toBe(true)
    })
  })

  it('a mark of the strip can be reached and followed by keyboard', async () => {
    await open('/joint', { javaScriptEnabled: false }, async (page) => {
      await page.locator('a.ps-joint').first().focus()
      await page.keyboard.press('Tab')
      await page.keyboard.press('Enter')
      expect(page.url()).toBe(`${base}/joint#SM4-3`)
    })
  })
})

describe('on paper', () => {
  it('the drawing, the findings and the numbers stay; bars, forms and buttons go', async () => {
    await open('/', {}, async (page) => {
      await page.emulateMedia({ media: 'print' })
      for (const shown of ['.pipe-strip-full', '.finding-failed', '.judged', '.curve-plot']) {
        expect(await page.locator(shown).first().isVisible()).toBe(true)
      }
      for (const unfolded of ['.finding-met', '.curve-table tbody tr']) {
        expect(await page.locator(unfolded).first().isVisible()).toBe(true)
      }
      for (const gone of ['.top', 'button.do', 'form', '.pager', 'footer']) {
        expect(await page.locator(gone).first().isVisible()).toBe(false)
      }
    })
  })
})
