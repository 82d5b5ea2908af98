// How is a thing named? UUIDs that sort by the time they were made (RFC 9562, version 7).

import { createHash, randomBytes } from 'node:crypto'
import { uuidv7 } from 'uuidv7'

export const newId = (): string => uuidv7()

/** A secret to hand out once, 256 bits, safe in an address. */
export const newSecret = (): string => randomBytes(32).toString('base64url')

/** A code that people read off paper: 20 characters of an alphabet without look-alikes, 98 bits. */
export function newCode(): string {
  const alphabet = 'abcdefghjkmnpqrstuvwxyz23456789'
  let code = ''
  while (code.length < 20) {
    const byte = randomBytes(1)[0] ?? 255
    if (byte < alphabet.length * 8) code += alphabet[byte % alphabet.length]
  }
  return code
}

export const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex')
