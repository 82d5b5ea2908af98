import { parse } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { verifyCopy } from '../../server/certificate/verify-copy.ts'
import { newId, sha256 } from '../../server/ids.ts'
import { aCast, asBrowser, asProgram, type Cast } from '../support/cast.ts'
import { aSealedJob, CUSTOMER, reopened, type Sealed, STREET } from '../support/certified.ts'
import { aJobWithJointsMade } from '../support/dossiers.ts'
import { readPdf } from '../support/pdf.ts'

let cast: Cast
let sealed: Sealed
const job = () =>
  aJobWithJointsMade({}, { name: 'Living room' })
    .pressureTested({ shape: 'falls' })
    .pressureTested({ repeatCause: 'hose core replaced' })
    .evacuated()
    .charged()
    .ran()

beforeAll(async () => {
  cast = await aCast()
  sealed = await aSealedJob(cast, job())
})
afterAll(() => cast.remove())

const get = async (url: string, headers: Record<string, string> = {}) =>
  (await cast.server()).inject({ method: 'GET', url, headers })
const words = (html: string) => parse(html).textContent.replace(/\s+/g, ' ')

describe('a certificate', () => {
  const paths = (id: string) => [
    `/certificates/${id}`,
    `/certificates/${id}.json`,
    `/certificates/${id}.pdf`,
    `/api/v1/certificates/${id}`,
    `/api/v1/certificates/${id}.json`,
    `/api/v1/certificates/${id}.pdf`,
  ]

  it('is shown to members of every role, on both faces', async () => {
    for (const player of [cast.tess, cast.sam, cast.wren, cast.olga])
      for (const url of paths(sealed.id))
        expect((await get(url, asBrowser(player))).statusCode, url).toBe(200)
    for (const url of paths(sealed.id))
      expect((await get(url, asProgram(cast.tess))).statusCode, url).toBe(200)
  })

  it('is not there for a stranger, nor is one that nobody issued', async () => {
    for (const url of paths(sealed.id)) {
      expect((await get(url, asBrowser(cast.zoe))).statusCode, url).toBe(404)
      expect((await get(url, asProgram(cast.zoe))).statusCode, url).toBe(404)
    }
    for (const url of [...paths(newId()), ...paths('x')])
      expect((await get(url, asProgram(cast.tess))).statusCode, url).toBe(404)
  })

  it('asks who is signed out to sign in, and tells a program so', async () => {
    for (const url of paths(sealed.id)) {
      const answer = await get(url)
      expect(answer.statusCode, url).toBe(url.startsWith('/api') ? 401 : 303)
    }
  })

  it('says in JSON what it is worth and what was signed', async () => {
    const answer = (await get(`/api/v1/certificates/${sealed.id}`, asProgram(cast.wren))).json()
    expect(answer).toMatchObject({
      id: sealed.id,
      jobId: sealed.jobId,
      code: sealed.code,
      revision: 1,
      state: 'genuine',
      faults: [],
      payload: { format: 'jointkeep-certificate', version: 1 },
    })
    expect(answer).not.toHaveProperty('dossier')
    expect(answer).not.toHaveProperty('companyId')
  })

  it('gives the signed copy exactly as it was issued', async () => {
    const answer = await get(`/api/v1/certificates/${sealed.id}.json`, asProgram(cast.tess))
    expect(answer.headers['content-type']).toMatch(/^application\/jose\+json/)
    expect(answer.headers['content-disposition']).toBe(
      `attachment; filename="certificate-${sealed.code}.json"`,
    )
    const keys = cast.machinery.signer.publicKeys
    expect(verifyCopy(answer.body, { keys })).toMatchObject({
      verdict: 'genuine',
      payload: { certificate: { id: sealed.id } },
    })
  })

  it('shows on its page joints beside their range, tests with their curves, and who signed off', async () => {
    const html = (await get(`/certificates/${sealed.id}`, asBrowser(cast.sam))).body
    const page = parse(html)
    expect(page.querySelectorAll('.certified-joints > li')).toHaveLength(4)
    expect(page.querySelectorAll('.certified-joints .range-bar')).toHaveLength(4)
    expect(page.querySelectorAll('.curve-plot')).toHaveLength(3)
    expect(page.querySelectorAll('.pipe-strip-full')).toHaveLength(1)
    const said = words(html)
    expect(said).toContain(CUSTOMER)
    expect(said).toContain('by Sam')
    expect(said).toContain('16.0 N·m')
    expect(said).toContain('Dealt with in between: hose core replaced')
    expect(said).toMatch(/Leave nuts, caps and valves as they are/)
    expect(said).toMatch(/not a certification by a third party/)
    expect(html).not.toContain('style=')
  })

  it('answers the certificates of a job', async () => {
    const answer = await get(`/api/v1/jobs/${sealed.jobId}/certificates`, asProgram(cast.tess))
    expect(answer.json()).toMatchObject({ items: [{ id: sealed.id, revision: 1 }], nextCursor: null })
    const theirs = await get(`/api/v1/jobs/${sealed.jobId}/certificates`, asProgram(cast.zoe))
    expect(theirs.statusCode).toBe(404)
  })
})

describe('the paper', () => {
  let pdf: Buffer
  beforeAll(async () => {
    pdf = (await get(`/certificates/${sealed.id}.pdf`, asBrowser(cast.sam))).rawPayload
  })

  const textOf = async (bytes: Buffer) => (await readPdf(bytes)).text.join('\n').replace(/\s+/g, ' ')

  it('is a PDF with text that can be selected', async () => {
    expect(pdf.subarray(0, 5).toString()).toBe('%PDF-')
    const text = await textOf(pdf)
    for (const said of [
      'Certificate of refrigerant lines and joints',
      CUSTOMER,
      STREET,
      '16.0 N·m (11.8 ft·lbf)',
      '14–18 N·m',
      'hose core replaced',
      'Page 1 of',
      'UTC',
    ])
      expect(text, said).toContain(said)
  })

  it('carries the signed copy inside, byte for byte, and prints its hash and the fingerprint of its key', async () => {
    const copy = (await get(`/certificates/${sealed.id}.json`, asBrowser(cast.sam))).body
    const { attachments } = await readPdf(pdf)
    expect(Object.keys(attachments)).toEqual([`certificate-${sealed.code}.json`])
    expect(attachments[`certificate-${sealed.code}.json`]?.toString('utf8')).toBe(copy)
    const text = (await textOf(pdf)).replaceAll(' ', '')
    expect(text).toContain(sha256(copy))
    expect(text).toContain(Buffer.from(cast.machinery.signer.keyId, 'base64url').toString('hex'))
  })

  it('holds no picture of text', () => {
    expect(pdf.toString('latin1')).not.toContain('/Subtype /Image')
  })

  it('says so when the certificate no longer holds', async () => {
    const other = await aSealedJob(cast)
    await reopened(cast, other)
    const printed = (await get(`/certificates/${other.id}.pdf`, asBrowser(cast.sam))).rawPayload
    expect(await textOf(printed)).toMatch(/SUPERSEDED.*The job was opened again on 2026-03-04\./)
    expect(await textOf(pdf)).not.toContain('SUPERSEDED')
    const page = words((await get(`/certificates/${other.id}`, asBrowser(cast.sam))).body)
    expect(page).toContain('Superseded.')
    expect(page).toContain('The job was opened again on 2026-03-04.')
  })
})
