// How is a secret kept that has to be read again? Encrypted under a key of this server's own, which no database holds.

import { createCipheriv, createDecipheriv, hkdfSync, randomBytes, randomUUID } from 'node:crypto'
import { link, mkdir, readFile, unlink, writeFile } from 'node:fs/promises'
import { dirname } from 'node:path'

export interface Sealer {
  /** `of` says whose it is; sealed text that was moved to another row does not open. */
  seal(text: string, of: string): string
  /** Null for what this key did not seal, or not for that. */
  open(sealed: string, of: string): string | null
}

const KEY_BYTES = 32
/** NIST SP 800-38D, 8.2: 96 bits drawn at random; far fewer secrets are sealed than its bound of 2^32. */
const IV_BYTES = 12
const TAG_BYTES = 16
const VERSION = 'v1.'

export function sealerOf(secret: Uint8Array): Sealer {
  if (secret.length < KEY_BYTES) throw new Error('The key that secrets are kept under is too short.')
  // Its own purpose is part of the key, so that the same file can serve another one (RFC 5869).
  const key = Buffer.from(
    hkdfSync('sha256', secret, '', 'jointkeep: secrets kept in the database, 1', KEY_BYTES),
  )
  return {
    seal(text, of) {
      const iv = randomBytes(IV_BYTES)
      const cipher = createCipheriv('aes-256-gcm', key, iv).setAAD(Buffer.from(of, 'utf8'))
      const hidden = Buffer.concat([cipher.update(text, 'utf8'), cipher.final()])
      return VERSION + Buffer.concat([iv, hidden, cipher.getAuthTag()]).toString('base64url')
    },
    open(sealed, of) {
      if (!sealed.startsWith(VERSION)) return null
      const bytes = Buffer.from(sealed.slice(VERSION.length), 'base64url')
      if (bytes.length < IV_BYTES + TAG_BYTES) return null
      const decipher = createDecipheriv('aes-256-gcm', key, bytes.subarray(0, IV_BYTES), {
        authTagLength: TAG_BYTES,
      })
        .setAAD(Buffer.from(of, 'utf8'))
        .setAuthTag(bytes.subarray(-TAG_BYTES))
      try {
        const text = decipher.update(bytes.subarray(IV_BYTES, -TAG_BYTES))
        return Buffer.concat([text, decipher.final()]).toString('utf8')
      } catch {
        return null
      }
    },
  }
}

/** From its file; made on the first start, for its owner only. */
export async function loadSealer(file: string): Promise<Sealer> {
  return sealerOf(keyIn(file, (await readText(file)) ?? (await makeFile(file))))
}

function keyIn(file: string, text: string): Buffer {
  let k: unknown
  try {
    k = (JSON.parse(text) as { k?: unknown } | null)?.k
  } catch {}
  const key = Buffer.from(typeof k === 'string' ? k : '', 'base64url')
  if (key.length !== KEY_BYTES) throw new Error(`The key file ${file} holds no key of 256 bits as JWK.`)
  return key
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
  // RFC 7518, 6.4: a symmetric key as JWK.
  const jwk = { kty: 'oct', k: randomBytes(KEY_BYTES).toString('base64url') }
  await writeFile(making, JSON.stringify(jwk), { mode: 0o600 })
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
