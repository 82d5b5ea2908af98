// Are the codes those of the standard, and is each text read as it was written?

import { describe, expect, it } from 'vitest'
import {
  authenticatorAddress,
  base32,
  bytesOf,
  codeOf,
  newAuthenticatorSecret,
  stepAt,
  stepOfCode,
} from '../../server/access/one-time-codes.ts'

/** RFC 6238, appendix B, and RFC 4226, appendix D: the same secret. */
const SECRET = Buffer.from('12345678901234567890')

describe('a code of an authenticator', () => {
  // RFC 6238, appendix B: the rows of SHA-1, with eight digits.
  it.each([
    [59, '94287082'],
    [1_111_111_109, '07081804'],
    [1_111_111_111, '14050471'],
    [1_234_567_890, '89005924'],
    [2_000_000_000, '69279037'],
    [20_000_000_000, '65353130'],
  ])('at %s seconds is that of RFC 6238', (seconds, code) =>
    expect(codeOf(SECRET, stepAt(seconds * 1000), 8)).toBe(code),
  )

  // RFC 4226, appendix D.
  it('is that of RFC 4226 for each of the first ten counts', () =>
    expect(Array.from({ length: 10 }, (_, count) => codeOf(SECRET, count))).toEqual([
      '755224',
      '287082',
      '359152',
      '969429',
      '338314',
      '254676',
      '287922',
      '162583',
      '399871',
      '520489',
    ]))

  it('is known in its own half minute and those beside it, and no further', () => {
    const secret = base32(SECRET)
    const now = 1_111_111_111_000
    const step = stepAt(now)
    const known = [-2, -1, 0, 1, 2].map((away) => stepOfCode(secret, codeOf(SECRET, step + away), now))
    expect(known).toEqual([null, step - 1, step, step + 1, null])
    for (const wrong of ['', '1', '0000000', 'abcdef', '１２３４５６'])
      expect(stepOfCode(secret, wrong, now)).toBeNull()
  })

  it('rests on 160 bits, which no two share', () => {
    const secrets = Array.from({ length: 50 }, newAuthenticatorSecret)
    expect(new Set(secrets).size).toBe(50)
    for (const secret of secrets) expect(bytesOf(secret)).toHaveLength(20)
  })

  // RFC 4648, 10.
  it.each([
    ['f', 'MY'],
    ['fo', 'MZXQ'],
    ['foo', 'MZXW6'],
    ['foob', 'MZXW6YQ'],
    ['fooba', 'MZXW6YTB'],
    ['foobar', 'MZXW6YTBOI'],
  ])('writes %s as %s, and reads it back', (text, written) => {
    expect(base32(Buffer.from(text))).toBe(written)
    expect(bytesOf(written).toString()).toBe(text)
  })

  it('names server and person to the app, whatever signs are in them', () => {
    const address = new URL(
      authenticatorAddress({
        secret: 'MZXW6',
        server: 'Jointkeep a.example:8080',
        account: 'a+b&c@d.example',
      }),
    )
    expect(address.searchParams.get('secret')).toBe('MZXW6')
    expect(address.searchParams.get('issuer')).toBe('Jointkeep a.example:8080')
    expect(decodeURIComponent(address.pathname)).toContain('Jointkeep a.example:8080:a+b&c@d.example')
  })
})
