// Does a signature come out as the standard has it, and does the example of our documentation verify it?

import { describe, expect, it } from 'vitest'
import { headersOf, newWebhookSecret, signatureOf } from '../../server/webhooks/signature.ts'
import { exampleOfTheDocs } from './docs-example.ts'

/**
 * The specification's own test vector: "sign function works" in libraries/javascript/src/webhook.test.ts of
 * github.com/standard-webhooks/standard-webhooks.
 */
const VECTOR = {
  secret: 'whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw',
  id: 'msg_p5jXN8AQM9LWM0D4loKWxJek',
  seconds: 1614265330,
  body: '{"test": 2432232314}',
  signature: 'v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=',
}

describe('a signature', () => {
  it('is the one that the specification’s own test vector has', () => {
    expect(signatureOf(VECTOR.secret, VECTOR)).toBe(VECTOR.signature)
  })

  it('is verified by the example of our documentation, and by it alone while nothing was touched', async () => {
    const verified = await exampleOfTheDocs()
    const at = VECTOR.seconds * 1000 + 400
    const headers = headersOf({ id: VECTOR.id, at, body: VECTOR.body, secrets: [VECTOR.secret] })
    expect(headers).toMatchObject({
      'webhook-id': VECTOR.id,
      'webhook-timestamp': '1614265330',
      'webhook-signature': VECTOR.signature,
    })
    expect(verified(headers, VECTOR.body, VECTOR.secret, at)).toBe(true)
    expect(verified(headers, `${VECTOR.body} `, VECTOR.secret, at)).toBe(false)
    expect(verified({ ...headers, 'webhook-id': 'msg_other' }, VECTOR.body, VECTOR.secret, at)).toBe(false)
    expect(verified(headers, VECTOR.body, newWebhookSecret(), at)).toBe(false)
    expect(verified(headers, VECTOR.body, VECTOR.secret, at + 301_000)).toBe(false)
    expect(verified({ ...headers, 'webhook-signature': 'v1,' }, VECTOR.body, VECTOR.secret, at)).toBe(false)
  })

  it('stands beside that of the secret before, so that either verifies', async () => {
    const verified = await exampleOfTheDocs()
    const [now, before] = [newWebhookSecret(), newWebhookSecret()]
    const at = Date.UTC(2026, 2, 4)
    const headers = headersOf({ id: 'one', at, body: '{}', secrets: [now, before] })
    expect(headers['webhook-signature']?.split(' ')).toHaveLength(2)
    for (const secret of [now, before]) expect(verified(headers, '{}', secret, at)).toBe(true)
  })
})

describe('a secret', () => {
  it('is whsec_ and the base64 of 32 bytes, never the same twice', () => {
    const [one, two] = [newWebhookSecret(), newWebhookSecret()]
    expect(one).toMatch(/^whsec_[A-Za-z0-9+/]{43}=$/)
    expect(Buffer.from(one.slice(6), 'base64')).toHaveLength(32)
    expect(one).not.toBe(two)
  })
})
