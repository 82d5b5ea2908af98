// Can anybody check a certificate with the network cut? The page that is a file of its own, opened as one, in a real browser.

import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import type { AxeResults } from 'axe-core'
import type { Browser, BrowserContext, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { changeKey, makeKey, signerOf } from '../../server/certificate/signing-key.ts'
import { groupedHash } from '../../server/certificate/words.ts'
import { sha256 } from '../../server/ids.ts'
import { aCast, asBrowser, type Cast, TEST_KEY } from '../support/cast.ts'
import { aSealedJob, CUSTOMER, type Sealed, STREET } from '../support/certified.ts'
import { launchChromium } from '../support/chromium.ts'
import { aJobWithJointsMade } from '../support/dossiers.ts'
import {
  packed,
  withCopyInside,
  withNothingInside,
  withProperties,
  withTwoInside,
} from '../support/forged-pdf.ts'
import { printed, twoZones } from '../support/printed.ts'

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
let browser: Browser
let context: BrowserContext
let page: Page
let cast: Cast
let address: string
let sealed: Sealed
let copy: string
let pdf: Buffer
let other: { pdf: Buffer; signedCopy: string }
const folder = mkdtempSync(join(tmpdir(), 'jointkeep-offline-'))
const asked: string[] = []
const complaints: string[] = []

const get = async (url: string, from = cast) =>
  (await from.server()).inject({ method: 'GET', url, headers: asBrowser(from.sam) })

/** The page as it is downloaded, opened as a file, with the network cut. */
async function opened(from = cast): Promise<void> {
  const file = join(folder, 'check-a-certificate.html')
  const answer = await get('/verify/offline?download', from)
  expect(answer.headers['content-disposition']).toBe('attachment; filename="check-a-certificate.html"')
  writeFileSync(file, answer.body)
  await context.setOffline(true)
  await page.goto(pathToFileURL(file).href)
  await page.waitForSelector('html[data-ready]')
}

async function verdictOn(content: string | Buffer, name = 'certificate.json'): Promise<string | null> {
  await page.setInputFiles('#file', {
    name,
    mimeType: 'application/octet-stream',
    buffer: Buffer.from(content),
  })
  await page.waitForSelector('[data-verdict]')
  const verdict = await page.getAttribute('[data-verdict]', 'data-verdict')
  // The next answer must not be taken for this one.
  await page.evaluate(() => {
    const answer = document.getElementById('answer')
    answer?.setAttribute('data-said', answer.textContent ?? '')
    for (const one of answer?.querySelectorAll('[data-verdict]') ?? []) one.removeAttribute('data-verdict')
  })
  return verdict
}
const said = async () => ((await page.getAttribute('#answer', 'data-said')) ?? '').replace(/\s+/g, ' ')

beforeAll(async () => {
  browser = await launchChromium()
  cast = await aCast()
  address = await (await cast.app()).server.listen({ host: '127.0.0.1', port: 0 })
  sealed = await aSealedJob(
    cast,
    aJobWithJointsMade({}, { name: 'Living room' })
      .pressureTested({ shape: 'falls' })
      .pressureTested({ repeatCause: 'hose core replaced' })
      .evacuated()
      .charged()
      .ran(),
  )
  copy = (await get(`/certificates/${sealed.id}.json`)).body
  pdf = (await get(`/certificates/${sealed.id}.pdf`)).rawPayload
  other = await printed(twoZones(), { code: 'abcdefghjkmnpqrstuvw' })
  context = await browser.newContext({ viewport: { width: 390, height: 844 } })
  page = await context.newPage()
  page.on('request', (request) => {
    if (!/^(file|data|blob):/.test(request.url())) asked.push(request.url())
  })
  page.on('pageerror', (problem) => complaints.push(String(problem)))
  page.on('console', (message) => message.type() === 'error' && complaints.push(message.text()))
  await opened()
})
afterAll(async () => {
  await context?.close()
  await cast?.remove()
  await browser?.close()
  rmSync(folder, { recursive: true, force: true })
})

describe('with the network cut, the page opened as a file', () => {
  it('finds the signed copy genuine, and says in plain words what it says', async () => {
    expect(await verdictOn(copy)).toBe('genuine')
    const words = await said()
    for (const expected of [
      'Genuine.',
      'North Ridge Air',
      'Brackwater',
      '16.0 N·m (11.8 ft·lbf)',
      '14–18 N·m',
      'in range',
      'bubbles: none found',
      'holds; 3.900 MPa',
      'Dealt with in between: hose core replaced',
      'not a certification by a third party',
      'superseded',
      `http://jointkeep.test/verify/${sealed.code}`,
    ])
      expect(words, expected).toContain(expected)
    expect(words).toContain(groupedHash(sha256(copy)))
    expect(words).toContain(
      groupedHash(Buffer.from(cast.machinery.signer.keyId, 'base64url').toString('hex')),
    )
    for (const secret of [CUSTOMER, STREET, 'Tess', 'undefined', 'NaN', '{', '[object'])
      expect(words, secret).not.toContain(secret)
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('verdict')
  })

  it('takes the PDF whole, and finds that the copy inside is the one that its pages name', async () => {
    expect(await verdictOn(pdf, 'certificate.pdf')).toBe('genuine')
    expect(await page.getAttribute('[data-belongs]', 'data-belongs')).toBe('printed')
  })

  it('takes the copy pasted, and in the compact form', async () => {
    const jws = JSON.parse(copy)
    await page.click('summary')
    await page.fill('#pasted-copy', `\n${jws.protected}.${jws.payload}.${jws.signature}\n`)
    await page.click('#pasted button')
    await page.waitForSelector('[data-verdict="genuine"]')
  })

  it('takes a copy out of a file whose objects are packed, and says that it names none', async () => {
    expect(await verdictOn(packed(copy), 'packed.pdf')).toBe('genuine')
    expect(await page.getAttribute('[data-belongs]', 'data-belongs')).toBe('unnamed')
  })
})

describe('it refuses', () => {
  const flipped = (text: string, at: number) =>
    text.slice(0, at) + (text[at] === 'A' ? 'B' : 'A') + text.slice(at + 1)
  const changed = (part: 'payload' | 'protected' | 'signature', at: number) => {
    const jws = JSON.parse(copy)
    return JSON.stringify({ ...jws, [part]: flipped(jws[part], at) })
  }

  it('one changed character of what is said, wherever it stands', async () => {
    const { payload } = JSON.parse(copy) as { payload: string }
    for (const at of [10, Math.floor(payload.length / 2), payload.length - 5])
      expect(await verdictOn(changed('payload', at))).toBe('altered')
    expect(await said()).toContain('Do not rely on it.')
    expect(await said()).not.toContain('North Ridge Air')
  })

  it('one changed character of the signature or of the header', async () => {
    expect(await verdictOn(changed('signature', 10))).toBe('altered')
    expect(['unreadable', 'unknownKey']).toContain(await verdictOn(changed('protected', 30)))
  })

  it('one changed figure in the copy inside the PDF', async () => {
    const jws = JSON.parse(copy)
    const figures = Buffer.from(jws.payload, 'base64url').toString().replace('"value":16', '"value":15')
    const forged = JSON.stringify({ ...jws, payload: Buffer.from(figures).toString('base64url') })
    expect(forged).not.toBe(copy)
    expect(await verdictOn(withCopyInside(pdf, forged), 'forged.pdf')).toBe('altered')
  })

  it('a copy by another key: as unknown, and as altered where it bears the name of ours', async () => {
    const stranger = signerOf(makeKey())
    const payload = JSON.parse(Buffer.from(JSON.parse(copy).payload, 'base64url').toString())
    const theirs = stranger.sign(payload)
    expect(await verdictOn(theirs)).toBe('unknownKey')
    expect(await said()).toContain(groupedHash(Buffer.from(stranger.keyId, 'base64url').toString('hex')))
    expect(await said()).not.toContain('North Ridge Air')
    const named = JSON.stringify({ ...JSON.parse(theirs), protected: JSON.parse(copy).protected })
    expect(await verdictOn(named)).toBe('altered')
    expect(await verdictOn(withCopyInside(pdf, theirs), 'theirs.pdf')).toBe('unknownKey')
  })

  it('a genuine copy of another certificate put into the paper, also when the properties are changed with it', async () => {
    const swapped = withCopyInside(pdf, other.signedCopy)
    // By itself, each of the two is genuine.
    expect(await verdictOn(other.signedCopy)).toBe('genuine')
    expect(await verdictOn(swapped, 'swapped.pdf')).toBe('swapped')
    expect(await said()).toContain('abcde-fghjk-mnpqr-stuvw')
    const thorough = withProperties(swapped, (xmp) =>
      xmp.replace(
        /jointkeep-certificate:[^<]*/,
        `jointkeep-certificate:abcdefghjkmnpqrstuvw;copy-sha256:${sha256(other.signedCopy)}`,
      ),
    )
    expect(await verdictOn(thorough, 'swapped.pdf')).toBe('swapped')
    expect(await said()).toContain(sealed.code.slice(0, 5))
  })

  it('a file with two copies, one with none, and what is no certificate at all', async () => {
    expect(await verdictOn(withTwoInside(pdf, other.signedCopy), 'two.pdf')).toBe('severalCopies')
    expect(await verdictOn(withNothingInside(pdf), 'none.pdf')).toBe('noCopyInside')
    expect(await verdictOn(pdf.subarray(0, 3000), 'cut.pdf')).toBe('unreadablePdf')
    expect(await verdictOn('%PDF-1.7\n', 'empty.pdf')).toBe('unreadablePdf')
    for (const nothing of [
      '',
      '{',
      '{}',
      'null',
      '[1]',
      'a.b.c',
      'hello',
      `${copy} x`,
      copy.replace('{', '{"more":1,'),
    ])
      expect(await verdictOn(nothing), nothing.slice(0, 20)).toBe('unreadable')
  })

  it('what is signed but not in the one form, or in a later format', async () => {
    const { signer } = cast.machinery
    const payload = JSON.parse(Buffer.from(JSON.parse(copy).payload, 'base64url').toString())
    expect(await verdictOn(signer.sign({ ...payload, version: 2 }))).toBe('laterFormat')
    expect(await verdictOn(signer.sign({ hello: 1 }))).toBe('unreadable')
    const { FlattenedSign, importJWK } = await import('jose')
    const loose = await new FlattenedSign(new TextEncoder().encode(JSON.stringify(payload, null, 1)))
      .setProtectedHeader({ alg: 'EdDSA', kid: signer.keyId, typ: 'jointkeep-certificate+json' })
      .sign(await importJWK(TEST_KEY, 'EdDSA'))
    expect(await verdictOn(JSON.stringify(loose))).toBe('altered')
  })

  it('to run what a name would slip in: it is shown as it was typed', async () => {
    const payload = JSON.parse(Buffer.from(JSON.parse(copy).payload, 'base64url').toString())
    payload.company.name = '</script><img src=x onerror="document.title=1"><script>'
    payload.certificate.verifyAt = 'javascript:document.title=1'
    expect(await verdictOn(cast.machinery.signer.sign(payload))).toBe('genuine')
    expect(await said()).toContain('<img src=x onerror=')
    expect(await page.locator('#answer img, #answer script, #answer a[href]').count()).toBe(0)
  })
})

describe('keys', () => {
  it('are shown with their fingerprints; one that is added lets its copies be checked, and is said to be added', async () => {
    await opened()
    const stranger = signerOf(makeKey())
    const payload = JSON.parse(Buffer.from(JSON.parse(copy).payload, 'base64url').toString())
    const theirs = stranger.sign(payload)
    expect(await verdictOn(theirs)).toBe('unknownKey')
    const add = (content: unknown) =>
      page.setInputFiles('#keys-file', {
        name: 'jointkeep-keys.json',
        mimeType: 'application/json',
        buffer: Buffer.from(JSON.stringify(content)),
      })
    await add({ keys: [{ kty: 'RSA' }, { ...stranger.publicJwk, x: 'AA' }] })
    await page.waitForFunction(() =>
      document.getElementById('keys-answer')?.textContent?.startsWith('Nothing new'),
    )
    // The id that a file gives to a key is not believed.
    await add({ keys: stranger.publicKeys.map((key) => ({ ...key, kid: cast.machinery.signer.keyId })) })
    await page.waitForFunction(() => document.getElementById('keys-answer')?.textContent === 'Added 1 key.')
    expect(await verdictOn(theirs)).toBe('genuine')
    expect(await said()).toContain('Added by you.')
    expect(await verdictOn(copy)).toBe('genuine')
    expect(await page.locator('#known-keys li').count()).toBe(2)
  })

  it('of another server’s page do not find ours genuine', async () => {
    const elsewhere = await aCast()
    try {
      elsewhere.machinery.signer = signerOf(makeKey())
      await opened(elsewhere)
      expect(await verdictOn(copy)).toBe('unknownKey')
      expect(await verdictOn(pdf, 'certificate.pdf')).toBe('unknownKey')
    } finally {
      await elsewhere.remove()
    }
  })

  it('that were put away still check what they signed before, and nothing that bears a later date', async () => {
    const rotated = await aCast()
    try {
      const file = join(folder, 'key.json')
      writeFileSync(file, JSON.stringify(TEST_KEY))
      rotated.machinery.signer = await changeKey(file, rotated.clock.now)
      await opened(rotated)
      expect(await verdictOn(copy)).toBe('genuine')
      expect(await said()).toMatch(/Key put away\s?2026-03-04/)
      const payload = JSON.parse(Buffer.from(JSON.parse(copy).payload, 'base64url').toString())
      payload.certificate.issuedAt = '2026-03-06T15:00:00.000Z'
      expect(await verdictOn(signerOf(TEST_KEY).sign(payload))).toBe('afterRetirement')
      expect(await verdictOn(rotated.machinery.signer.sign(payload))).toBe('genuine')
    } finally {
      await rotated.remove()
    }
  })
})

describe('the page', () => {
  it('asked for nothing all the while, and may not: its own policy forbids it', async () => {
    expect(asked).toEqual([])
    expect(complaints).toEqual([])
    await context.setOffline(false)
    const blocked = await page.evaluate(async () => {
      try {
        await fetch('http://127.0.0.1:9/')
        return 'sent'
      } catch {
        return 'refused'
      }
    })
    expect(blocked).toBe('refused')
    expect(complaints.join()).toMatch(/Content Security Policy/)
    complaints.length = 0
  })

  it('works the same when it was opened from the service and the network is cut then', async () => {
    await context.setOffline(false)
    const answer = await page.goto(`${address}/verify/offline`)
    expect(answer?.headers()['content-security-policy']).toMatch(/^default-src 'none'; script-src 'sha256-/)
    await page.waitForSelector('html[data-ready]')
    await context.setOffline(true)
    expect(await verdictOn(pdf, 'certificate.pdf')).toBe('genuine')
    expect(await verdictOn(withCopyInside(pdf, other.signedCopy), 'swapped.pdf')).toBe('swapped')
    expect(complaints).toEqual([])
  })

  it('is handed out as a file by the page where certificates are checked', async () => {
    await context.setOffline(false)
    await page.goto(`${address}/verify`)
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByText('Keep the page that checks by itself').click(),
    ])
    expect(download.suggestedFilename()).toBe('check-a-certificate.html')
    expect(readFileSync(await download.path(), 'utf8')).toContain(cast.machinery.signer.publicJwk.x)
    await page.getByText('Open it here').click()
    await page.waitForSelector('html[data-ready]')
    await context.setOffline(true)
    expect(await verdictOn(copy)).toBe('genuine')
  })

  it('breaks no rule of WCAG 2.2 AA that a program can see, with an answer on it, by day and by night, and fits a phone', async () => {
    for (const scheme of ['light', 'dark'] as const)
      for (const [content, name] of [
        [pdf, 'certificate.pdf'],
        ['{}', 'nothing.json'],
      ] as const) {
        await page.emulateMedia({ colorScheme: scheme })
        await verdictOn(content, name)
        await page.evaluate(axe)
        const { violations } = (await page.evaluate(() =>
          (globalThis as unknown as { axe: { run(o: unknown): Promise<unknown> } }).axe.run({
            runOnly: { type: 'tag', values: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] },
          }),
        )) as AxeResults
        expect(violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`)).toEqual([])
        for (const width of [320, 390, 1280]) {
          await page.setViewportSize({ width, height: 844 })
          expect(
            await page.evaluate(() => document.documentElement.scrollWidth - innerWidth),
            `${width}`,
          ).toBe(0)
        }
        await page.setViewportSize({ width: 390, height: 844 })
      }
  })

  it('says what it needs where scripts do not run', async () => {
    const still = await browser.newContext({ javaScriptEnabled: false })
    const plain = await still.newPage()
    await plain.goto(pathToFileURL(join(folder, 'check-a-certificate.html')).href)
    expect(await plain.locator('#needs-script').isVisible()).toBe(true)
    expect(await plain.locator('#file').isVisible()).toBe(false)
    await still.close()
  })
})
