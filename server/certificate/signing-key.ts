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
import { type Stats, unwatchFile, watchFile } from 'node:fs'
import { link, mkdir, readFile, realpath, rename, unlink, writeFile } from 'node:fs/promises'
import { dirname } from 'node:path'
import { canonical } from '../store/record.ts'
import { say } from '../words/say.ts'
import type { PublicKey, Signer } from './signer.ts'

/** RFC 8037: signatures over Edwards curves; the curve stands in the key. */
export const ALGORITHM = 'EdDSA'
export const COPY_TYPE = 'jointkeep-certificate+json'

interface Dated {
  madeAt?: string | undefined
  retiredAt?: string | undefined
}
type FileKey = JsonWebKey & Dated

/**
 * One private key, or a set (RFC 7517): the first signs, the others are kept so that older copies can be checked. Of
 * those that were put away only the public half is there.
 */
export type SigningKeys = FileKey | { keys: FileKey[] }

export async function loadSigner(file: string): Promise<Signer> {
  return signerOf(readKeys(file, (await readText(file)) ?? (await makeFile(file))))
}

/** How often a service that runs looks whether its key was changed. */
const LOOK_EVERY_MS = 5000

/**
 * The same for a service that runs: a key that is changed at the console is taken up within seconds, by every process
 * that shares the file. A file that can't be read is complained of, and the keys stay as they are.
 */
export async function followSigner(
  file: string,
  complain: (problem: Error) => void,
  everyMs = LOOK_EVERY_MS,
): Promise<{ signer: Signer; stop(): void }> {
  let current = await loadSigner(file)
  const look = async () => {
    try {
      current = (await findSigner(file)) ?? current
    } catch (problem) {
      complain(problem instanceof Error ? problem : new Error(String(problem)))
    }
  }
  const onChange = (now: Stats, before: Stats) => {
    if (now.mtimeMs !== before.mtimeMs || now.ino !== before.ino) void look()
  }
  watchFile(file, { interval: everyMs, persistent: false }, onChange)
  return {
    signer: {
      get keyId() {
        return current.keyId
      },
      get publicJwk() {
        return current.publicJwk
      },
      get publicKeys() {
        return current.publicKeys
      },
      sign: (payload, type) => current.sign(payload, type),
    },
    stop: () => unwatchFile(file, onChange),
  }
}

/** A new key signs from now on. The one before stays in the set without its secret half, which is gone for good. */
export async function changeKey(file: string, now: number): Promise<Signer> {
  const at = new Date(now).toISOString()
  const text = await readText(file)
  if (text === null) return loadSigner(file)
  const before = keysIn(readKeys(file, text))
  // What is there has to be a set that signs: a broken file is not to be built upon.
  signerOf({ keys: before })
  const retired = before.map((key, index) => publicHalf(index === 0 ? { ...key, retiredAt: at } : key))
  return writeKeys(file, [{ ...makeKey(), madeAt: at }, ...retired])
}

/** Keys of another server, so that what it signed can be checked here; they never sign. Answers how many were new. */
export async function addKeys(file: string, published: string): Promise<number> {
  const theirs = keysIn(readKeys(say.certificates.thatWasGiven, published)).map(publicHalf)
  const ours = keysIn(readKeys(file, (await readText(file)) ?? (await makeFile(file))))
  const known = new Set(ours.map((key) => publicOf(key).kid))
  const added = theirs.filter((key) => !known.has(publicOf(key).kid))
  if (added.length > 0) await writeKeys(file, [...ours, ...added])
  return added.length
}

/** What it signed can no longer be checked here. False when the set has no such key, or it is the one that signs. */
export async function forgetKey(file: string, kid: string): Promise<boolean> {
  const [first, ...others] = keysIn(readKeys(file, (await readText(file)) ?? '{}'))
  const left = others.filter((key) => publicOf(key).kid !== kid)
  if (!first || left.length === others.length) return false
  await writeKeys(file, [first, ...left])
  return true
}

/** Whole or not at all, and for its owner only. */
async function writeKeys(file: string, keys: FileKey[]): Promise<Signer> {
  const signer = signerOf({ keys })
  const place = await realpath(file)
  const making = `${place}.${randomUUID()}.making`
  try {
    await writeFile(making, JSON.stringify({ keys }, null, 2), { mode: 0o600 })
    await rename(making, place)
  } catch (problem) {
    await unlink(making).catch(() => {})
    throw problem
  }
  return signer
}

const keysIn = (keys: SigningKeys): FileKey[] =>
  'keys' in keys && Array.isArray(keys.keys) ? keys.keys : [keys as FileKey]

const publicHalf = ({ kty, crv, x, madeAt, retiredAt }: FileKey): FileKey => ({
  ...(kty === undefined ? {} : { kty }),
  ...(crv === undefined ? {} : { crv }),
  ...(x === undefined ? {} : { x }),
  ...datesOf({ madeAt, retiredAt }),
})

function datesOf({ madeAt, retiredAt }: Dated): Pick<PublicKey, 'madeAt' | 'retiredAt'> {
  for (const date of [madeAt, retiredAt])
    if (date !== undefined && Number.isNaN(Date.parse(date)))
      throw new Error('A date of a key in the signing key file cannot be read.')
  return { ...(madeAt === undefined ? {} : { madeAt }), ...(retiredAt === undefined ? {} : { retiredAt }) }
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
  const [first, ...earlier] = keysIn(keys)
  if (!first) throw new Error('The signing key file holds no key.')
  const privateKey = readPrivate(first)
  const publicJwk = publicOf(first)
  return {
    keyId: publicJwk.kid,
    publicJwk,
    publicKeys: [publicJwk, ...earlier.map(publicOf)],
    sign(payload, type = COPY_TYPE) {
      const header = base64url(JSON.stringify({ alg: ALGORITHM, kid: publicJwk.kid, typ: type }))
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

function publicOf({ kty, crv, x, ...more }: FileKey): PublicKey {
  if (kty !== 'OKP' || crv !== 'Ed25519' || typeof x !== 'string')
    throw new Error('A key of the signing key file is not an Ed25519 key as JWK.')
  // RFC 7638: the required members alone, in the order of their names.
  const kid = createHash('sha256').update(JSON.stringify({ crv, kty, x })).digest('base64url')
  return { kty, crv, x, kid, alg: ALGORITHM, use: 'sig', ...datesOf(more) }
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
