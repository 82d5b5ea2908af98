// Which key signs? Made on first start, kept beside the data for its owner only.

import {
  createHash,
  createPrivateKey,
  generateKeyPairSync,
  type JsonWebKey,
  type KeyObject,
  randomUUID,
  sign,
} from 'node:crypto'
import { link, mkdir, readFile, unlink, writeFile } from 'node:fs/promises'
import { dirname } from 'node:path'
import { canonical } from '../store/record.ts'
import type { PublicKey, Signer } from './signer.ts'

/** RFC 8037: signatures over Edwards curves; the curve stands in the key. */
export const ALGORITHM = 'EdDSA'
export const COPY_TYPE = 'jointkeep-certificate+json'

/** One private key, or a set (RFC 7517): the first signs, the others are kept so that older copies can be checked. */
export type SigningKeys = JsonWebKey | { keys: JsonWebKey[] }

export async function loadSigner(file: string): Promise<Signer> {
  return signerOf(readKeys(file, (await readText(file)) ?? (await makeFile(file))))
}

/** Without making a key where there is none; for who only checks. */
export async function findSigner(file: string): Promise<Signer | null> {
  const text = await readText(file)
  return text === null ? null : signerOf(readKeys(file, text))
}

export function makeKey(): JsonWebKey {
  return generateKeyPairSync('ed25519').privateKey.export({ format: 'jwk' })
}

export function signerOf(keys: SigningKeys): Signer {
  const [first, ...earlier] = 'keys' in keys && Array.isArray(keys.keys) ? keys.keys : [keys as JsonWebKey]
  if (!first) throw new Error('The signing key file holds no key.')
  const privateKey = readPrivate(first)
  const publicJwk = publicOf(first)
  const header = base64url(JSON.stringify({ alg: ALGORITHM, kid: publicJwk.kid, typ: COPY_TYPE }))
  return {
    keyId: publicJwk.kid,
    publicJwk,
    publicKeys: [publicJwk, ...earlier.map(publicOf)],
    sign(payload) {
      const body = base64url(canonical(payload))
      // RFC 7515 section 5.1: what is signed is ASCII(protected header) . ASCII(payload).
      const signature = sign(null, Buffer.from(`${header}.${body}`, 'ascii'), privateKey)
      return JSON.stringify({ payload: body, protected: header, signature: signature.toString('base64url') })
    },
  }
}

const base64url = (text: string) => Buffer.from(text, 'utf8').toString('base64url')

function readPrivate(jwk: JsonWebKey): KeyObject {
  if (jwk.kty !== 'OKP' || jwk.crv !== 'Ed25519' || typeof jwk.d !== 'string')
    throw new Error('The signing key must be a private Ed25519 key as JWK.')
  return createPrivateKey({ key: jwk, format: 'jwk' })
}

function publicOf({ kty, crv, x }: JsonWebKey): PublicKey {
  if (kty !== 'OKP' || crv !== 'Ed25519' || typeof x !== 'string')
    throw new Error('A key of the signing key file is not an Ed25519 key as JWK.')
  // RFC 7638: the required members alone, in the order of their names.
  const kid = createHash('sha256').update(JSON.stringify({ crv, kty, x })).digest('base64url')
  return { kty, crv, x, kid, alg: ALGORITHM, use: 'sig' }
}

function readKeys(file: string, text: string): SigningKeys {
  try {
    return JSON.parse(text) as SigningKeys
  } catch {
    throw new Error(`The signing key file ${file} is not JSON.`)
  }
}

async function readText(file: string): Promise<string | null> {
  try {
    return await readFile(file, 'utf8')
  } catch (problem) {
    if ((problem as NodeJS.ErrnoException).code === 'ENOENT') return null
    throw problem
  }
}

async function makeFile(file: string): Promise<string> {
  await mkdir(dirname(file), { recursive: true })
  const making = `${file}.${randomUUID()}.making`
  await writeFile(making, JSON.stringify(makeKey()), { mode: 0o600 })
  try {
    // A link appears whole or not at all: of two processes that start at once, one makes the key, both read it.
    await link(making, file)
  } catch (problem) {
    if ((problem as NodeJS.ErrnoException).code !== 'EEXIST') throw problem
  } finally {
    await unlink(making)
  }
  return readFile(file, 'utf8')
}
