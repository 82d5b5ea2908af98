import { mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { calculateJwkThumbprint, createLocalJWKSet, flattenedVerify, importJWK } from 'jose'
import { afterAll, describe, expect, it } from 'vitest'
import { findSigner, loadSigner, makeKey, signerOf } from '../../server/certificate/signing-key.ts'
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
