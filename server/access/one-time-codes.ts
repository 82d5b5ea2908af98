// Is this the code that an authenticator shows now? RFC 6238 over RFC 4226, as every authenticator app does it.

import { createHmac, randomBytes, timingSafeEqual } from 'node:crypto'

/** RFC 6238, 5.2: the step that is recommended, and what apps take for granted. */
const STEP_MS = 30_000
const DIGITS = 6
/** RFC 6238, 5.2: one step of delay, and as much for a clock that runs ahead. */
const DRIFT = 1
/** RFC 4226, 4, R6: 160 bits are recommended. */
const SECRET_BYTES = 20

export const newAuthenticatorSecret = (): string => base32(randomBytes(SECRET_BYTES))

export const stepAt = (now: number): number => Math.floor(now / STEP_MS)

/** RFC 4226, 5.3: HMAC-SHA-1, four bytes of it from where its last four bits say, and of those the last digits. */
export function codeOf(secret: Uint8Array, step: number, digits = DIGITS): string {
  const counter = Buffer.alloc(8)
  counter.writeBigUInt64BE(BigInt(step))
  const mac = createHmac('sha1', secret).update(counter).digest()
  const offset = (mac.at(-1) ?? 0) & 0xf
  const number = mac.readUInt32BE(offset) & 0x7fffffff
  return String(number % 10 ** digits).padStart(digits, '0')
}

/** The step of time that the code is of, the latest there is; null for a wrong one. Takes as long for each. */
export function stepOfCode(secret: string, code: string, now: number): number | null {
  const key = bytesOf(secret)
  const given = Buffer.from(code)
  let found: number | null = null
  for (let step = stepAt(now) - DRIFT; step <= stepAt(now) + DRIFT; step += 1) {
    const right = Buffer.from(codeOf(key, step))
    if (given.length === right.length && timingSafeEqual(given, right)) found = step
  }
  return found
}

/** What the QR code says: the address that authenticator apps take up. */
export function authenticatorAddress(of: { secret: string; server: string; account: string }): string {
  const label = `${encodeURIComponent(of.server)}:${encodeURIComponent(of.account)}`
  return `otpauth://totp/${label}?secret=${of.secret}&issuer=${encodeURIComponent(of.server)}`
}

/** RFC 4648, 6. */
const ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ234567'

export function base32(bytes: Uint8Array): string {
  let text = ''
  let bits = 0
  let value = 0
  for (const byte of bytes) {
    value = (value << 8) | byte
    bits += 8
    while (bits >= 5) {
      bits -= 5
      text += ALPHABET[(value >>> bits) & 31]
    }
    value &= (1 << bits) - 1
  }
  return bits > 0 ? text + ALPHABET[(value << (5 - bits)) & 31] : text
}

export function bytesOf(text: string): Buffer {
  const bytes: number[] = []
  let bits = 0
  let value = 0
  for (const sign of text) {
    value = (value << 5) | ALPHABET.indexOf(sign)
    bits += 5
    if (bits < 8) continue
    bits -= 8
    bytes.push((value >>> bits) & 255)
    value &= (1 << bits) - 1
  }
  return Buffer.from(bytes)
}
