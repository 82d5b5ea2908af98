// A small OpenID Connect provider of ours, on this machine: signs what a test wants said, true or not.

import { createHash, randomUUID } from 'node:crypto'
import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { exportJWK, generateKeyPair, SignJWT } from 'jose'

export const CLIENT = { id: 'jointkeep', secret: 'what the provider gave' }

/** What stands in an ID token, where it is to be otherwise than it should. */
export interface Claims {
  sub: string
  email?: string | undefined
  email_verified?: boolean | undefined
  nonce?: string
  iss?: string
  aud?: string
  exp?: number
}

export interface OwnProvider {
  issuer: string
  /** How often each of its doors was knocked at. */
  asked: Record<string, number>
  /** Signs with a key that it does not publish. */
  isForged: boolean
  /** Somebody signed in there, having been sent by this address; answers where it sends the browser. */
  signedIn(sentTo: string, claims: Claims): string
  close(): Promise<void>
}

interface Code {
  claims: Claims
  challenge: string
  redirectUri: string
}

export async function anOwnProvider(): Promise<OwnProvider> {
  const keys = await generateKeyPair('RS256')
  const others = await generateKeyPair('RS256')
  const jwk = { ...(await exportJWK(keys.publicKey)), kid: 'one', alg: 'RS256', use: 'sig' }
  const codes = new Map<string, Code>()

  async function tokenFor(form: URLSearchParams, authorization: string): Promise<object | null> {
    const code = codes.get(form.get('code') ?? '')
    codes.delete(form.get('code') ?? '')
    const known = `Basic ${Buffer.from(`${CLIENT.id}:${encodeURIComponent(CLIENT.secret).replaceAll('%20', '+')}`).toString('base64')}`
    const challenge = createHash('sha256')
      .update(form.get('code_verifier') ?? '')
      .digest('base64url')
    if (!code || authorization !== known) return null
    if (challenge !== code.challenge || form.get('redirect_uri') !== code.redirectUri) return null
    const now = Math.floor(Date.now() / 1000)
    const claims = { iss: provider.issuer, aud: CLIENT.id, iat: now, exp: now + 300, ...code.claims }
    const id = await new SignJWT(claims)
      .setProtectedHeader({ alg: 'RS256', kid: 'one' })
      .sign(provider.isForged ? others.privateKey : keys.privateKey)
    return { access_token: randomUUID(), token_type: 'Bearer', expires_in: 300, id_token: id }
  }

  const server = createServer(async (request, answer) => {
    const { pathname } = new URL(request.url ?? '/', provider.issuer)
    provider.asked[pathname] = (provider.asked[pathname] ?? 0) + 1
    let body = ''
    for await (const part of request) body += part
    const send = (status: number, json: object) =>
      answer.writeHead(status, { 'content-type': 'application/json' }).end(JSON.stringify(json))
    if (pathname === '/.well-known/openid-configuration')
      return send(200, {
        issuer: provider.issuer,
        authorization_endpoint: `${provider.issuer}/authorize`,
        token_endpoint: `${provider.issuer}/token`,
        jwks_uri: `${provider.issuer}/keys`,
        response_types_supported: ['code'],
        subject_types_supported: ['public'],
        id_token_signing_alg_values_supported: ['RS256'],
        authorization_response_iss_parameter_supported: true,
      })
    if (pathname === '/keys') return send(200, { keys: [jwk] })
    if (pathname === '/token') {
      const given = await tokenFor(new URLSearchParams(body), request.headers.authorization ?? '')
      return given ? send(200, given) : send(400, { error: 'invalid_grant' })
    }
    return send(404, {})
  })
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done))
  const provider: OwnProvider = {
    issuer: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    asked: {},
    isForged: false,
    signedIn(sentTo, claims) {
      const asked = new URL(sentTo).searchParams
      const code = randomUUID()
      const redirectUri = asked.get('redirect_uri') ?? ''
      codes.set(code, {
        claims: { nonce: asked.get('nonce') ?? '', ...claims },
        challenge: asked.get('code_challenge') ?? '',
        redirectUri,
      })
      const back = new URL(redirectUri)
      back.search = new URLSearchParams({
        code,
        state: asked.get('state') ?? '',
        iss: provider.issuer,
      }).toString()
      return `${back.pathname}${back.search}`
    },
    close: () =>
      new Promise((done) => {
        server.closeAllConnections()
        server.close(() => done())
      }),
  }
  return provider
}
