import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createLocalJWKSet, flattenedVerify } from 'jose'
import { parse } from 'node-html-parser'
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { changeKey, makeKey, signerOf } from '../../server/certificate/signing-key.ts'
import { fingerprintWords, groupedCode } from '../../server/certificate/words.ts'
import { findCertificate } from '../../server/store/queries/certificates.ts'
import { aCast, asBrowser, type Cast, TEST_KEY } from '../support/cast.ts'
import { aSealedJob, CUSTOMER, reopened, type Sealed, STREET, TOWN } from '../support/certified.ts'

let cast: Cast
let sealed: Sealed
let copy: string
let caller = 0

beforeAll(async () => {
  cast = await aCast()
  sealed = await aSealedJob(cast)
  copy = (await findCertificate(sealed.scope, sealed.id)).signedCopy
})
afterAll(() => cast.remove())
// Each test comes from an address of its own, so that the rate limit counts within a test only.
beforeEach(() => {
  caller += 1
})

const get = async (url: string, headers: Record<string, string> = {}) =>
  (await cast.server()).inject({ method: 'GET', url, headers, remoteAddress: `10.0.0.${caller}` })
const send = async (payload: unknown, headers: Record<string, string> = {}) =>
  (await cast.server()).inject({
    method: 'POST',
    url: '/api/v1/verify',
    headers: { 'content-type': 'application/json', ...headers },
    payload: typeof payload === 'string' ? payload : JSON.stringify(payload),
    remoteAddress: `10.0.0.${caller}`,
  })
const words = (html: string) => parse(html).textContent.replace(/\s+/g, ' ')

describe('the public page of a certificate', () => {
  it('says without an account that it is genuine, and of what it is', async () => {
    const answer = await get(`/verify/${sealed.code}`)
    expect(answer.statusCode).toBe(200)
    const said = words(answer.body)
    expect(said).toContain('Genuine.')
    expect(said).toContain('North Ridge Air')
    expect(said).toContain(TOWN)
    expect(said).toContain('2026-03-04 15:00 UTC')
    expect(said).toContain('serial ends with or-1')
  })

  it('shows no customer, street, reference, person, tag or whole serial, on either face', async () => {
    for (const url of [`/verify/${sealed.code}`, `/api/v1/verify/${sealed.code}`]) {
      const { body } = await get(url)
      for (const secret of [CUSTOMER, STREET, 'Quill', 'Tess', 'Sam', 'outdoor-1', 'A-1', sealed.jobId])
        expect(body, `${url} ${secret}`).not.toContain(secret)
    }
  })

  it('shows a stranger who is signed in elsewhere the same as anybody', async () => {
    const anybody = (await get(`/api/v1/verify/${sealed.code}`)).json()
    expect((await get(`/api/v1/verify/${sealed.code}`, asBrowser(cast.zoe))).json()).toEqual(anybody)
    expect(anybody).toEqual({
      state: 'genuine',
      code: sealed.code,
      certificate: {
        code: sealed.code,
        revision: 1,
        issuedAt: '2026-03-04T15:00:00.000Z',
        company: 'North Ridge Air',
        town: TOWN,
        systems: [{ refrigerant: 'R-410A', serialEndsWith: 'or-1' }],
      },
    })
  })

  it.each([
    ['as it is grouped on the paper', (code: string) => groupedCode(code)],
    ['in capitals', (code: string) => code.toUpperCase()],
    ['with gaps', (code: string) => encodeURIComponent(` ${code.slice(0, 5)} ${code.slice(5)} `)],
  ])('takes the code %s', async (_how, typed) => {
    expect((await get(`/verify/${typed(sealed.code)}`)).statusCode).toBe(200)
    expect((await get(`/verify?code=${typed(sealed.code)}`)).headers.location).toBe(`/verify/${sealed.code}`)
  })

  it.each(['nothing-like-it', 'x', 'a'.repeat(90), "'%20or%201=1", '%3Cscript%3E'])(
    'helps on when no certificate has the code %s',
    async (code) => {
      const page = await get(`/verify/${code}`)
      expect(page.statusCode).toBe(404)
      expect(words(page.body)).toContain('No certificate has this code')
      expect(parse(page.body).querySelector('form input[name="code"]')).not.toBeNull()
      expect(page.body).not.toContain('<script>')
      const json = await get(`/api/v1/verify/${code}`)
      expect(json.statusCode).toBe(404)
      expect(json.json().code).toBe('missing')
    },
  )

  it('slows down who tries many codes', async () => {
    const answers = []
    for (let n = 0; n < 32; n += 1) answers.push((await get(`/verify/guess${n}`)).statusCode)
    expect(answers.slice(0, 30).every((status) => status === 404)).toBe(true)
    expect(answers.slice(30)).toEqual([429, 429])
    caller += 1
    expect((await get(`/verify/${sealed.code}`)).statusCode).toBe(200)
  })

  it('says superseded once the job was opened again', async () => {
    const other = await aSealedJob(cast)
    await reopened(cast, other)
    expect((await get(`/api/v1/verify/${other.code}`)).json()).toMatchObject({
      state: 'superseded',
      reopenedAt: '2026-03-04T15:00:00.000Z',
    })
    const said = words((await get(`/verify/${other.code}`)).body)
    expect(said).toContain('Superseded.')
    expect(said).toContain('The job was opened again on 2026-03-04.')
  })

  it('says recalled while an instrument it rests on is under recall', async () => {
    const other = await aSealedJob(cast)
    const { companyId, memberId } = cast.sam
    const now = cast.clock.now
    const decide = (decidedAt: number | null) =>
      cast.store.store.transaction(async ({ db, t }) => {
        await db.delete(t.recallItems)
        await db.insert(t.recallItems).values({
          companyId,
          id: 'item',
          recallId: 'recall',
          evidenceId: 'step',
          jobId: other.jobId,
          judgement: 'doubtful',
          disposition: null,
          note: null,
          decidedBy: null,
          decidedAt,
        })
      })
    await cast.store.store.transaction(async ({ db, t }) => {
      await db.insert(t.instruments).values({
        companyId,
        id: 'wrench',
        kind: 'torque-wrench',
        name: 'Wrench',
        serial: 'W',
        serialLower: 'w',
        accuracyPercent: 4,
        accuracyAbsolute: null,
        resolution: null,
        repeatability: null,
        fullScale: null,
        compound: false,
        calibrationIntervalDays: null,
        typed: {},
        active: true,
        createdAt: now,
      })
      await db.insert(t.calibrations).values({
        companyId,
        id: 'found',
        instrumentId: 'wrench',
        at: now,
        result: 'out-of-tolerance',
        basis: 'certificate',
        points: [],
        uncertainty: null,
        reference: null,
        recordedBy: memberId,
        recordedAt: now,
      })
      await db.insert(t.recalls).values({
        companyId,
        id: 'recall',
        instrumentId: 'wrench',
        calibrationId: 'found',
        openedBy: memberId,
        openedAt: now,
        closedAt: null,
        closedBy: null,
      })
    })
    await decide(null)
    expect((await get(`/api/v1/verify/${other.code}`)).json()).toMatchObject({
      state: 'recalled',
      recalledSince: new Date(now).toISOString(),
    })
    expect(words((await get(`/verify/${other.code}`)).body)).toContain('is under recall since 2026-03-04.')
    expect((await get(`/api/v1/verify/${sealed.code}`)).json().state).toBe('genuine')
    await decide(now)
    expect((await get(`/api/v1/verify/${other.code}`)).json().state).toBe('genuine')
  })

  it('says altered when a byte of the record behind it was changed', async () => {
    const other = await aSealedJob(cast)
    await cast.store.store.execute('drop trigger entries_no_update')
    await cast.store.store.execute(
      `update entries set content = replace(content, '"number":1', '"number":7') where chain_id = '${other.systemIds[0]}' and number = 1`,
    )
    const page = await get(`/verify/${other.code}`)
    expect(page.statusCode).toBe(200)
    expect(words(page.body)).toContain('Altered.')
    expect((await get(`/api/v1/verify/${sealed.code}`)).json().state).toBe('genuine')
  })
})

describe('checking a signed copy', () => {
  it('takes the file itself or its text, from anybody', async () => {
    for (const body of [copy, { signedCopy: copy }]) {
      const answer = await send(body)
      expect(answer.statusCode).toBe(200)
      expect(answer.json()).toMatchObject({ verdict: 'genuine', certificate: { code: sealed.code } })
    }
  })

  it('sees a changed figure, a foreign key, and what is no copy', async () => {
    const jws = JSON.parse(copy)
    const payload = JSON.parse(Buffer.from(jws.payload, 'base64url').toString())
    payload.systems[0].joints[0].torque.applied.value = 15
    const changed = { ...jws, payload: Buffer.from(JSON.stringify(payload)).toString('base64url') }
    expect((await send(changed)).json()).toMatchObject({ verdict: 'altered' })
    expect((await send(changed)).json()).not.toHaveProperty('certificate')
    expect((await send(signerOf(makeKey()).sign(payload))).json().verdict).toBe('unknown-key')
    expect((await send({ signedCopy: 'hello' })).json().verdict).toBe('unreadable')
  })

  it('tells a genuine copy of a superseded certificate from one that holds', async () => {
    const other = await aSealedJob(cast)
    const its = (await findCertificate(other.scope, other.id)).signedCopy
    await reopened(cast, other)
    expect((await send(its)).json().verdict).toBe('superseded')
  })

  it('says altered of a genuine copy whose certificate was taken out of the record', async () => {
    const other = await aSealedJob(cast)
    const its = (await findCertificate(other.scope, other.id)).signedCopy
    await cast.store.store.execute(`delete from certificates where id = '${other.id}'`)
    expect((await send(its)).json()).toMatchObject({ verdict: 'altered' })
  })

  it.each([
    ['nothing', {}],
    ['a number', { signedCopy: 7 }],
    ['an empty text', { signedCopy: '' }],
    ['more than is asked', { signedCopy: 'x', more: true }],
    ['half a copy', { payload: 'x', protected: 'y' }],
    ['a list', []],
    ['too long a text', { signedCopy: 'x'.repeat(1_000_001) }],
  ])('refuses %s as malformed', async (_what, body) => {
    const answer = await send(body)
    expect(answer.statusCode).toBe(400)
    expect(answer.json()).toMatchObject({ code: 'malformed', status: 400 })
  })

  it('refuses a body beyond all measure, and one that is not JSON', async () => {
    expect((await send({ signedCopy: 'x'.repeat(3_000_000) })).statusCode).toBe(413)
    expect((await send('{')).statusCode).toBe(400)
    expect((await send('x', { 'content-type': 'text/csv' })).statusCode).toBe(415)
  })

  it('works as a plain form, and stands by the field when nothing was pasted', async () => {
    const form = async (signedCopy: string) =>
      (await cast.server()).inject({
        method: 'POST',
        url: '/verify',
        headers: { 'content-type': 'application/x-www-form-urlencoded', origin: 'http://jointkeep.test' },
        payload: new URLSearchParams({ signedCopy }).toString(),
        remoteAddress: `10.0.0.${caller}`,
      })
    const good = await form(copy)
    expect(good.statusCode).toBe(200)
    expect(words(good.body)).toContain('Genuine.')
    const bad = await form('')
    expect(bad.statusCode).toBe(400)
    expect(parse(bad.body).querySelector('.field-wrong textarea[name="signedCopy"]')).not.toBeNull()
    const wrong = await form('<b>no</b>')
    expect(words(wrong.body)).toContain('Not a signed copy.')
  })
})

describe('the published keys', () => {
  it('are enough to check a copy without us', async () => {
    const answer = await get('/.well-known/jointkeep-keys.json')
    expect(answer.headers['content-type']).toMatch(/^application\/jwk-set\+json/)
    const { payload } = await flattenedVerify(JSON.parse(copy), createLocalJWKSet(answer.json()))
    expect(JSON.parse(new TextDecoder().decode(payload)).certificate.code).toBe(sealed.code)
  })

  it('stand on a page, with what to compare by eye', async () => {
    const answer = await get('/verify/keys')
    expect(answer.statusCode).toBe(200)
    const said = words(answer.body)
    expect(said).toContain('Signs now')
    expect(said).toContain(fingerprintWords(cast.machinery.signer.keyId))
  })

  it('say when one was put away, and what it signed before stays genuine', async () => {
    const other = await aCast()
    try {
      const sealedBefore = await aSealedJob(other)
      const folder = mkdtempSync(join(tmpdir(), 'jointkeep-rotated-'))
      const file = join(folder, 'key.json')
      writeFileSync(file, JSON.stringify(TEST_KEY))
      other.machinery.signer = await changeKey(file, other.clock.now)
      rmSync(folder, { recursive: true })
      const server = await other.server()
      const published = (await server.inject('/.well-known/jointkeep-keys.json')).json()
      expect(published.keys.map(({ retiredAt }: { retiredAt?: string }) => retiredAt?.slice(0, 10))).toEqual([
        undefined,
        '2026-03-04',
      ])
      expect(words((await server.inject('/verify/keys')).body)).toMatch(
        /Put away 2026-03-04: what it signed until then/,
      )
      expect((await server.inject(`/api/v1/verify/${sealedBefore.code}`)).json().state).toBe('genuine')
      const sealedAfter = await aSealedJob(other)
      expect((await server.inject(`/api/v1/verify/${sealedAfter.code}`)).json().state).toBe('genuine')
    } finally {
      await other.remove()
    }
  })

  it('hold nothing private', async () => {
    for (const key of (await get('/.well-known/jointkeep-keys.json')).json().keys) {
      expect(Object.keys(key).sort()).toEqual(['alg', 'crv', 'kid', 'kty', 'use', 'x'])
    }
  })
})
