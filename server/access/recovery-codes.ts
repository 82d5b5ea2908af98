// What opens when the phone is lost? Ten codes on paper, each of which opens once; only their hashes are kept.

import { randomBytes } from 'node:crypto'
import { sha256 } from '../ids.ts'

export const RECOVERY_CODES = 10
/** No letter that is read as a digit, or as another letter. */
const ALPHABET = '0123456789abcdefghjkmnpqrstvwxyz'
/** 80 bits: a hash that leaked is worth nothing, however many can be tried. */
const SIGNS = 16

/** Such as `7k2m-v0qd-x4rt-93ha`. */
export const newRecoveryCodes = (): string[] =>
  Array.from({ length: RECOVERY_CODES }, () => {
    // 256 is 8 times 32: each sign is as likely as any other.
    const signs = [...randomBytes(SIGNS)].map((byte) => ALPHABET[byte % 32]).join('')
    return (signs.match(/.{4}/g) ?? []).join('-')
  })

/** However it was typed: with or without hyphens, in capitals, an o for a nought. Null for what can't be one. */
export function recoveryHash(personId: string, typed: string): string | null {
  const plain = typed.toLowerCase().replaceAll(/[\s-]/g, '').replaceAll('o', '0').replaceAll(/[il]/g, '1')
  return plain.length === SIGNS && /^[0-9a-z]+$/.test(plain) ? sha256(`${personId} ${plain}`) : null
}
