import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { calculateJwkThumbprint, createLocalJWKSet, flattenedVerify, importJWK } from 'jose'
import { afterAll, describe, expect, it } from 'vitest'
import {
  addKeys,
  changeKey,
  findSigner,
  followSigner,
  forgetKey,
  loadSigner,
  makeKey,
  signerOf,
} from '../../server/certificate/signing-key.ts'
import { verifyCopy } from '../../server/certificate/verify-copy.ts'
import { canonical } from '../../server/store/record.ts'
import { TEST_KEY } from '../support/cast.ts'

const signer = signerOf(TEST_KEY)
const keys = signer.publicKeys
/** Enough of a certificate for what looks at the envelope alone. */
const payload = { format: 'jointkeep-certificate', version: 1, z: 1, a: 'ø ½ °', n: 0.1 }
const copy = signer.sign(payload)

describe('signing', () => {
  it('makes what another library verifies, over canonical JSON', async () => {
    const checked = await flattenedVerify(JSON.parse(copy), await importJWK(signer.publicJwk, 'EdDSA'))
    expect(new TextDecoder().decode(checked.payload)).toBe(canonical(payload))
    expect(checked.protectedHeader).toEqual({
      alg: 'EdDSA',
      kid: signer.keyId,
      typ: 'jointkeep-certificate+json',
    })
  })

  it('publishes a key set in which that library finds the key', async () => {
    const set = createLocalJWKSet({ keys: [...keys] })
    await expect(flattenedVerify(JSON.parse(copy), set)).resolves.toBeDefined()
    const { kid, alg, use, ...bare } = signer.publicJwk
    expect(kid).toBe(await calculateJwkThumbprint(bare))
    expect(JSON.stringify(keys)).not.toContain(TEST_KEY.d)
  })

  it('names the example key of RFC 8037 by the thumbprint printed in its appendix A.3', () => {
    expect(signer.keyId).toBe('kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k')
  })

  it('signs the same content to the same text, whatever order it was put together in', () => {
    expect(signer.sign({ n: 0.1, a: 'ø ½ °', z: 1, version: 1, format: 'jointkeep-certificate' })).toBe(copy)
  })
})

describe('checking a copy', () => {
  it('finds its own copy genuine and answers what was signed', () => {
    expect(verifyCopy(copy, { keys })).toMatchObject({ verdict: 'genuine', payload })
  })

  it('takes the compact form as well', () => {
    const jws = JSON.parse(copy)
    const compact = `${jws.protected}.${jws.payload}.${jws.signature}\n`
    expect(verifyCopy(compact, { keys }).verdict).toBe('genuine')
  })

  const jws = JSON.parse(copy) as { payload: string; protected: string; signature: string }
  const encode = (value: unknown) => Buffer.from(JSON.stringify(value)).toString('base64url')
  const flipped = (text: string, at: number) =>
    text.slice(0, at) + (text[at] === 'A' ? 'B' : 'A') + text.slice(at + 1)

  it.each([
    ['another figure', { ...jws, payload: encode({ ...payload, n: 0.2 }) }, 'altered'],
    ['one character of the payload', { ...jws, payload: flipped(jws.payload, 10) }, 'altered'],
    ['one character of the signature', { ...jws, signature: flipped(jws.signature, 10) }, 'altered'],
    ['an empty signature', { ...jws, signature: '' }, 'unreadable'],
    ['padding', { ...jws, payload: `${jws.payload}=` }, 'unreadable'],
    ['no signature', { payload: jws.payload, protected: jws.protected }, 'unreadable'],
    ['an unprotected header beside it', { ...jws, header: { note: 'true' } }, 'unreadable'],
    ['no algorithm', { ...jws, protected: encode({ alg: 'none', kid: signer.keyId }) }, 'unreadable'],
    [
      'another type',
      { ...jws, protected: encode({ alg: 'EdDSA', kid: signer.keyId, typ: 'JWT' }) },
      'unreadable',
    ],
    [
      'another key',
      { ...jws, protected: encode({ alg: 'EdDSA', kid: 'x', typ: 'jointkeep-certificate+json' }) },
      'unknown-key',
    ],
    [
      'a critical header we do not know',
      {
        ...jws,
        protected: encode({
          alg: 'EdDSA',
          kid: signer.keyId,
          typ: 'jointkeep-certificate+json',
          crit: ['exp'],
        }),
      },
      'unreadable',
    ],
    ['a list', [jws], 'unreadable'],
    ['a number', 7, 'unreadable'],
    ['null', null, 'unreadable'],
    ['an empty object', {}, 'unreadable'],
  ] as const)('sees through a copy with %s', (_what, changed, verdict) => {
    const checked = verifyCopy(JSON.stringify(changed), { keys })
    expect(checked.verdict).toBe(verdict)
    expect(checked.payload).toBeUndefined()
    expect(checked.reason).not.toBe('')
  })

  it.each(['', 'certificate', '{', 'a.b.c', '..', '\0', 'AAAA.BBBB'])('cannot read %j', (text) => {
    expect(verifyCopy(text, { keys }).verdict).toBe('unreadable')
  })

  it('knows another key as unknown, and a copy by it as not ours', () => {
    const stranger = signerOf(makeKey())
    expect(verifyCopy(stranger.sign(payload), { keys }).verdict).toBe('unknown-key')
  })

  it('refuses a copy that a stranger signed under the name of our key', () => {
    const stranger = signerOf(makeKey())
    const theirs = JSON.parse(stranger.sign(payload))
    expect(verifyCopy(JSON.stringify({ ...theirs, protected: jws.protected }), { keys }).verdict).toBe(
      'altered',
    )
  })

  it('does not take signed bytes that are not canonical, though the signature is right', async () => {
    const { FlattenedSign } = await import('jose')
    const loose = await new FlattenedSign(new TextEncoder().encode(JSON.stringify(payload)))
      .setProtectedHeader({ alg: 'EdDSA', kid: signer.keyId, typ: 'jointkeep-certificate+json' })
      .sign(await importJWK(TEST_KEY, 'EdDSA'))
    expect(verifyCopy(JSON.stringify(loose), { keys }).verdict).toBe('altered')
  })

  it('cannot read a later format, or something else that was signed', () => {
    expect(verifyCopy(signer.sign({ ...payload, version: 2 }), { keys }).verdict).toBe('unreadable')
    expect(verifyCopy(signer.sign({ hello: 1 }), { keys }).verdict).toBe('unreadable')
  })
})

describe('the key file', () => {
  const folder = mkdtempSync(join(tmpdir(), 'jointkeep-key-'))
  afterAll(() => rmSync(folder, { recursive: true, force: true }))

  it('is made once, for its owner only, also when two start at the same time', async () => {
    const file = join(folder, 'deep', 'key.json')
    expect(await findSigner(file)).toBeNull()
    const [one, other] = await Promise.all([loadSigner(file), loadSigner(file)])
    expect(one.keyId).toBe(other.keyId)
    expect((await loadSigner(file)).keyId).toBe(one.keyId)
    expect(statSync(file).mode & 0o777).toBe(0o600)
  })

  it('may hold a set: the first signs, copies by the others stay genuine', async () => {
    const file = join(folder, 'set.json')
    writeFileSync(file, JSON.stringify({ keys: [makeKey(), TEST_KEY] }))
    const changed = await loadSigner(file)
    expect(changed.keyId).not.toBe(signer.keyId)
    expect(verifyCopy(copy, { keys: changed.publicKeys }).verdict).toBe('genuine')
    expect(verifyCopy(changed.sign(payload), { keys: changed.publicKeys }).verdict).toBe('genuine')
  })

  it.each([
    ['{}', /Ed25519/],
    ['{"keys":[]}', /no key/],
    ['nonsense', /not JSON/],
    [JSON.stringify({ kty: 'OKP', crv: 'Ed25519', x: TEST_KEY.x }), /private/],
  ])('is refused when it holds %s', async (content, message) => {
    const file = join(folder, 'bad.json')
    writeFileSync(file, content)
    await expect(loadSigner(file)).rejects.toThrow(message)
  })
})

describe('a change of key', () => {
  const folder = mkdtempSync(join(tmpdir(), 'jointkeep-keys-'))
  afterAll(() => rmSync(folder, { recursive: true, force: true }))
  let n = 0
  const aFile = (content: unknown = TEST_KEY) => {
    n += 1
    const file = join(folder, `key-${n}.json`)
    writeFileSync(file, typeof content === 'string' ? content : JSON.stringify(content), { mode: 0o600 })
    return file
  }
  const CHANGED = Date.UTC(2026, 2, 4, 12)
  const DAY = 24 * 3_600_000
  const issued = (at: number) => ({ ...payload, certificate: { issuedAt: new Date(at).toISOString() } })

  it('lets a new key sign, keeps the old one for checking, and destroys its secret half', async () => {
    const file = aFile()
    const changed = await changeKey(file, CHANGED)
    expect(changed.keyId).not.toBe(signer.keyId)
    expect(changed.publicKeys.map(({ kid }) => kid)).toEqual([changed.keyId, signer.keyId])
    expect(changed.publicKeys).toMatchObject([
      { madeAt: '2026-03-04T12:00:00.000Z' },
      { retiredAt: '2026-03-04T12:00:00.000Z' },
    ])
    expect(readFileSync(file, 'utf8')).not.toContain(TEST_KEY.d)
    expect(statSync(file).mode & 0o777).toBe(0o600)
    expect(readdirSync(folder).filter((name) => name.endsWith('.making'))).toEqual([])
    const again = await loadSigner(file)
    expect(again.keyId).toBe(changed.keyId)
    expect(verifyCopy(copy, { keys: again.publicKeys }).verdict).toBe('genuine')
    expect(verifyCopy(again.sign(payload), { keys: again.publicKeys }).verdict).toBe('genuine')
  })

  it('can be made twice: the first key keeps the day on which it was put away', async () => {
    const file = aFile()
    await changeKey(file, CHANGED)
    const { publicKeys } = await changeKey(file, CHANGED + DAY)
    expect(publicKeys.map(({ retiredAt }) => retiredAt?.slice(0, 10))).toEqual([
      undefined,
      '2026-03-05',
      '2026-03-04',
    ])
  })

  it('believes nothing that a key signed after it was put away, a day for clocks and restarts aside', async () => {
    const { publicKeys } = await changeKey(aFile(), CHANGED)
    const verdict = (at: number) => verifyCopy(signer.sign(issued(at)), { keys: publicKeys })
    expect(verdict(CHANGED - 300 * DAY).verdict).toBe('genuine')
    expect(verdict(CHANGED + DAY).verdict).toBe('genuine')
    expect(verdict(CHANGED + DAY + 1).verdict).toBe('altered')
    expect(verdict(CHANGED + DAY + 1).reason).toMatch(/put away before the day/)
  })

  it('is taken up by a service that runs, which keeps its keys while the file cannot be read', async () => {
    const file = aFile()
    const complaints: string[] = []
    const { signer: running, stop } = await followSigner(
      file,
      (problem) => complaints.push(problem.message),
      10,
    )
    const soon = async (seen: () => boolean) => {
      for (let tries = 0; tries < 500 && !seen(); tries += 1)
        await new Promise((resolve) => setTimeout(resolve, 10))
      expect(seen()).toBe(true)
    }
    try {
      expect(running.keyId).toBe(signer.keyId)
      const changed = await changeKey(file, CHANGED)
      await soon(() => running.keyId === changed.keyId)
      expect(running.publicKeys).toHaveLength(2)
      expect(JSON.parse(running.sign(payload)).protected).toBe(JSON.parse(changed.sign(payload)).protected)
      writeFileSync(file, 'half a fi')
      await soon(() => complaints.length > 0)
      expect(running.keyId).toBe(changed.keyId)
      rmSync(file)
      await new Promise((resolve) => setTimeout(resolve, 60))
      expect(running.keyId).toBe(changed.keyId)
    } finally {
      stop()
    }
  })

  it('makes the first one where there is none, and goes through a link to where the file lies', async () => {
    const file = join(folder, 'not-yet.json')
    expect((await changeKey(file, CHANGED)).publicKeys).toHaveLength(1)
    const link = join(folder, 'link.json')
    symlinkSync(file, link)
    const changed = await changeKey(link, CHANGED)
    expect((await loadSigner(file)).keyId).toBe(changed.keyId)
  })

  it('is not built upon a broken file', async () => {
    for (const content of ['nonsense', '{"keys":[]}', '{}']) {
      const file = aFile(content)
      await expect(changeKey(file, CHANGED)).rejects.toThrow()
      expect(readFileSync(file, 'utf8')).toBe(content)
    }
  })

  it('takes keys of another server to check with, never to sign with, each once', async () => {
    const file = aFile()
    const other = signerOf(makeKey())
    const published = JSON.stringify({ keys: other.publicKeys })
    expect(await addKeys(file, published)).toBe(1)
    expect(await addKeys(file, published)).toBe(0)
    const both = await loadSigner(file)
    expect(both.keyId).toBe(signer.keyId)
    expect(verifyCopy(other.sign(payload), { keys: both.publicKeys }).verdict).toBe('genuine')
    const { publicKeys } = await changeKey(file, CHANGED)
    // It is not ours to put away.
    expect(publicKeys.find(({ kid }) => kid === other.keyId)?.retiredAt).toBeUndefined()
    await expect(addKeys(file, '{"keys":[{"kty":"RSA"}]}')).rejects.toThrow(/Ed25519/)
  })

  it('forgets an old key when it is told to, and never the one that signs', async () => {
    const file = aFile()
    const { keyId } = await changeKey(file, CHANGED)
    expect(await forgetKey(file, keyId)).toBe(false)
    expect(await forgetKey(file, 'nothing')).toBe(false)
    expect(await forgetKey(file, signer.keyId)).toBe(true)
    const { publicKeys } = await loadSigner(file)
    expect(verifyCopy(copy, { keys: publicKeys }).verdict).toBe('unknown-key')
  })
})
