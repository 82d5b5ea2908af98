// How does a receiver know that a message is ours? Signed as the Standard Webhooks specification 1.0.0 says.

import { createHmac, randomBytes } from 'node:crypto'

const PREFIX = 'whsec_'
/** The specification asks for 24 to 64 bytes. */
const SECRET_BYTES = 32

export const newWebhookSecret = (): string => PREFIX + randomBytes(SECRET_BYTES).toString('base64')

/** HMAC-SHA256 (RFC 2104) over id, seconds and body, joined by full stops. */
export function signatureOf(secret: string, message: { id: string; seconds: number; body: string }): string {
  const key = Buffer.from(secret.startsWith(PREFIX) ? secret.slice(PREFIX.length) : secret, 'base64')
  const { id, seconds, body } = message
  return `v1,${createHmac('sha256', key).update(`${id}.${seconds}.${body}`, 'utf8').digest('base64')}`
}

export interface ToSign {
  id: string
  /** Milliseconds since 1970: of this try, not of what happened. */
  at: number
  body: string
  /** While a secret is being replaced there are two, and each signs. */
  secrets: readonly string[]
}

export function headersOf({ id, at, body, secrets }: ToSign): Record<string, string> {
  const seconds = Math.floor(at / 1000)
  return {
    'content-type': 'application/json',
    'webhook-id': id,
    'webhook-timestamp': String(seconds),
    'webhook-signature': secrets.map((secret) => signatureOf(secret, { id, seconds, body })).join(' '),
  }
}
