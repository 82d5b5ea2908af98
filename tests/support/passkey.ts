// A passkey in software, for tests: it answers as a real one does, and can be made to lie. WebAuthn Level 3, 6.1 and 6.5.

import { createHash, generateKeyPairSync, type KeyObject, randomBytes, sign } from 'node:crypto'

/** Flags of authenticator data: somebody was there, it was they, and key material follows. */
const PRESENT = 0x01
const VERIFIED = 0x04
const ATTESTED = 0x40

export interface Told {
  challenge: string
  origin?: string
  rpId?: string
  counter?: number
  verified?: boolean
  userHandle?: string
  type?: string
}

export class SoftPasskey {
  readonly id = randomBytes(16)
  readonly #privateKey: KeyObject
  readonly #publicKey: KeyObject

  constructor() {
    const pair = generateKeyPairSync('ec', { namedCurve: 'P-256' })
    this.#privateKey = pair.privateKey
    this.#publicKey = pair.publicKey
  }

  made(told: Told) {
    const data = Buffer.concat([
      this.#data(told, ATTESTED),
      Buffer.alloc(16),
      Buffer.from([0, this.id.length]),
      this.id,
      this.#coseKey(),
    ])
    const attestation = map([
      [text('fmt'), text('none')],
      [text('attStmt'), map([])],
      [text('authData'), bytes(data)],
    ])
    return {
      id: this.id.toString('base64url'),
      response: {
        clientDataJSON: clientData('webauthn.create', told).toString('base64url'),
        attestationObject: attestation.toString('base64url'),
        transports: ['internal'],
      },
    }
  }

  answers(told: Told) {
    const client = clientData('webauthn.get', told)
    const data = this.#data(told, 0)
    const signed = Buffer.concat([data, createHash('sha256').update(client).digest()])
    return {
      id: this.id.toString('base64url'),
      response: {
        clientDataJSON: client.toString('base64url'),
        authenticatorData: data.toString('base64url'),
        signature: sign('sha256', signed, this.#privateKey).toString('base64url'),
        ...(told.userHandle === undefined ? {} : { userHandle: told.userHandle }),
      },
    }
  }

  #data({ rpId = 'localhost', counter = 0, verified = true }: Told, more: number): Buffer {
    const count = Buffer.alloc(4)
    count.writeUInt32BE(counter)
    const flags = PRESENT | (verified ? VERIFIED : 0) | more
    return Buffer.concat([createHash('sha256').update(rpId).digest(), Buffer.from([flags]), count])
  }

  /** RFC 9053, 7.1.1: an elliptic key on P-256, for ES256. */
  #coseKey(): Buffer {
    const { x = '', y = '' } = this.#publicKey.export({ format: 'jwk' })
    return map([
      [Buffer.from([0x01]), Buffer.from([0x02])],
      [Buffer.from([0x03]), Buffer.from([0x26])],
      [Buffer.from([0x20]), Buffer.from([0x01])],
      [Buffer.from([0x21]), bytes(Buffer.from(x, 'base64url'))],
      [Buffer.from([0x22]), bytes(Buffer.from(y, 'base64url'))],
    ])
  }
}

const clientData = (type: string, { challenge, origin = 'http://localhost', ...told }: Told) =>
  Buffer.from(JSON.stringify({ type: told.type ?? type, challenge, origin, crossOrigin: false }))

// ---- as much of CBOR (RFC 8949) as this takes
const text = (value: string) => Buffer.concat([Buffer.from([0x60 + value.length]), Buffer.from(value)])
const bytes = (value: Buffer) =>
  value.length < 24
    ? Buffer.concat([Buffer.from([0x40 + value.length]), value])
    : Buffer.concat([Buffer.from([0x58, value.length]), value])
const map = (entries: [Buffer, Buffer][]) =>
  Buffer.concat([Buffer.from([0xa0 + entries.length]), ...entries.flat()])
