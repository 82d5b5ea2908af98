// Is this signed copy what this server once signed? Looks at the copy alone: no store, no clock.

import { createPublicKey, verify } from 'node:crypto'
import { canonical } from '../store/record.ts'
import { say } from '../words/say.ts'
import { CERTIFICATE_FORMAT, CERTIFICATE_FORMAT_VERSION, type CertificatePayload } from './payload.ts'
import type { PublicKey } from './signer.ts'
import { ALGORITHM, COPY_TYPE } from './signing-key.ts'

export type CopyVerdict = 'genuine' | 'altered' | 'unknown-key' | 'unreadable'

export interface CopyCheck {
  verdict: CopyVerdict
  /** What was signed; only of a genuine copy, so that nobody shows what was not checked. */
  payload?: CertificatePayload
  reason: string
}

interface Flattened {
  payload: string
  protected: string
  signature: string
}

/** `text`: a JWS in flattened JSON serialisation (RFC 7515, 7.2.2), or in the compact one. */
export function verifyCopy(text: string, { keys }: { keys: readonly PublicKey[] }): CopyCheck {
  const jws = readJws(text)
  if (!jws) return unreadable(say.certificates.thisIsNoSigned)
  const header = readObject(jws.protected)
  if (!header) return unreadable(say.certificates.theHeaderOfThis)
  if (header.alg !== ALGORITHM || header.typ !== COPY_TYPE || header.crit !== undefined)
    return unreadable(say.certificates.thisWasSignedIn)
  const key = keys.find((candidate) => candidate.kid === header.kid)
  if (!key) return { verdict: 'unknown-key', reason: say.certificates.theKeyThatThis }
  const signed = Buffer.from(`${jws.protected}.${jws.payload}`, 'ascii')
  const publicKey = createPublicKey({ key: { kty: key.kty, crv: key.crv, x: key.x }, format: 'jwk' })
  if (!verify(null, signed, publicKey, Buffer.from(jws.signature, 'base64url')))
    return { verdict: 'altered', reason: say.certificates.theContentOfThis }
  const bytes = fromBase64url(jws.payload)
  const payload = readObject(jws.payload)
  // One content has one form: a copy that says the same in other bytes was not made here.
  if (!payload || bytes === null || canonical(payload) !== bytes)
    return { verdict: 'altered', reason: say.certificates.whatWasSignedIs }
  if (payload.format !== CERTIFICATE_FORMAT) return unreadable(say.certificates.thisWasSignedBy)
  if (payload.version !== CERTIFICATE_FORMAT_VERSION) return unreadable(say.certificates.thisCertificateIsOf)
  const certificate = payload as unknown as CertificatePayload
  if (signedTooLate(certificate, key))
    return {
      verdict: 'altered',
      reason: say.certificates.theKeyThatSignedThisCopy,
    }
  return {
    verdict: 'genuine',
    payload: certificate,
    reason: say.certificates.theContentIsWhat,
  }
}

/** A service takes up a new key within seconds; a day is more than any clock or restart needs. */
const RETIRED_GRACE_MS = 24 * 3_600_000

/** A key that was put away signs nothing more: what bears a later date was made by who got hold of it. */
function signedTooLate({ certificate }: CertificatePayload, { retiredAt }: PublicKey): boolean {
  if (retiredAt === undefined) return false
  return Date.parse(certificate?.issuedAt ?? '') > Date.parse(retiredAt) + RETIRED_GRACE_MS
}

/** Which key a copy says it was signed by; empty where it says none. Nothing is checked. */
export function keyIdOf(text: string): string {
  const kid = readObject(readJws(text)?.protected ?? '')?.kid
  return typeof kid === 'string' ? kid : ''
}

const unreadable = (reason: string): CopyCheck => ({ verdict: 'unreadable', reason })

function readJws(text: string): Flattened | null {
  const compact = text.trim().split('.')
  if (compact.length === 3) {
    const [protectedHeader = '', payload = '', signature = ''] = compact
    return wellFormed({ payload, protected: protectedHeader, signature })
  }
  try {
    const { payload, protected: protectedHeader, signature, ...more } = JSON.parse(text) as Flattened
    // An unprotected header, or anything else beside what is signed, could say what nobody vouched for.
    return Object.keys(more).length > 0
      ? null
      : wellFormed({ payload, protected: protectedHeader, signature })
  } catch {
    return null
  }
}

function wellFormed(jws: Flattened): Flattened | null {
  const parts = [jws.payload, jws.protected, jws.signature]
  return parts.every((part) => typeof part === 'string' && fromBase64url(part, 'binary') !== null)
    ? jws
    : null
}

/** Null unless it is base64url in its one proper form, without padding or stray bits (RFC 4648). */
function fromBase64url(part: string, as: 'utf8' | 'binary' = 'utf8'): string | null {
  if (!/^[A-Za-z0-9_-]+$/.test(part)) return null
  const bytes = Buffer.from(part, 'base64url')
  return bytes.toString('base64url') === part ? bytes.toString(as) : null
}

function readObject(part: string): Record<string, unknown> | null {
  try {
    const value: unknown = JSON.parse(fromBase64url(part) ?? '')
    return typeof value === 'object' && value !== null && !Array.isArray(value)
      ? (value as Record<string, unknown>)
      : null
  } catch {
    return null
  }
}
