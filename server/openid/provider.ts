// Whom does a company's own provider say that somebody is? OpenID Connect Core 1.0 with PKCE, checked by a library.

import type { ClientAuth, Configuration } from 'openid-client'
import type { OwnNetworks } from '../outgoing/addresses.ts'
import { checkedFetch, TIMEOUT_S } from './checked-fetch.ts'

export interface Provider {
  issuer: string
  clientId: string
  clientSecret: string | null
}

/** What the browser's way to the provider and back has to be held against. */
export interface Begun {
  state: string
  nonce: string
  verifier: string
}

/** Who it is, in the provider's words. */
export interface Said {
  issuer: string
  subject: string
  email: string | null
  emailVerified: boolean
}

/** Fetched on first use: a server whose companies have no provider never needs it. */
const library = () => import('openid-client')

/** Finds out where the provider is asked; fails where nobody answers as this issuer. */
export async function discover(provider: Provider, own: OwnNetworks): Promise<Configuration> {
  const oidc = await library()
  return oidc.discovery(
    new URL(provider.issuer),
    provider.clientId,
    undefined,
    provider.clientSecret === null ? oidc.None() : clientAuth(oidc, provider.clientSecret),
    {
      [oidc.customFetch]: checkedFetch(own),
      timeout: TIMEOUT_S,
      // The signature is checked besides the connection; http only ever reaches the operator's own networks.
      execute: [oidc.enableNonRepudiationChecks, ...(own.any ? [oidc.allowInsecureRequests] : [])],
    },
  )
}

/** As the provider says that it takes the secret; by the header where it says nothing (OpenID Connect Discovery 1.0). */
function clientAuth(oidc: Awaited<ReturnType<typeof library>>, secret: string): ClientAuth {
  const byHeader = oidc.ClientSecretBasic(secret)
  const byBody = oidc.ClientSecretPost(secret)
  return (server, client, body, headers) => {
    const takes = server.token_endpoint_auth_methods_supported ?? ['client_secret_basic']
    return (takes.includes('client_secret_basic') ? byHeader : byBody)(server, client, body, headers)
  }
}

export async function begin(
  provider: Provider,
  own: OwnNetworks,
  backTo: string,
): Promise<{ address: string; begun: Begun }> {
  const oidc = await library()
  const config = await discover(provider, own)
  const begun = {
    state: oidc.randomState(),
    nonce: oidc.randomNonce(),
    verifier: oidc.randomPKCECodeVerifier(),
  }
  const address = oidc.buildAuthorizationUrl(config, {
    redirect_uri: backTo,
    scope: 'openid email',
    state: begun.state,
    nonce: begun.nonce,
    code_challenge: await oidc.calculatePKCECodeChallenge(begun.verifier),
    code_challenge_method: 'S256',
  })
  return { address: address.href, begun }
}

/** `cameBackTo` is the whole address that the provider sent the browser to. */
export async function finish(
  provider: Provider,
  own: OwnNetworks,
  cameBackTo: URL,
  begun: Begun,
): Promise<Said> {
  const oidc = await library()
  const config = await discover(provider, own)
  const tokens = await oidc.authorizationCodeGrant(config, cameBackTo, {
    expectedState: begun.state,
    expectedNonce: begun.nonce,
    pkceCodeVerifier: begun.verifier,
    idTokenExpected: true,
  })
  const claims = tokens.claims()
  if (!claims) throw new Error('The provider sent no ID token.')
  const inToken = typeof claims.email === 'string' ? claims : null
  const told =
    inToken ?? (await oidc.fetchUserInfo(config, tokens.access_token, claims.sub).catch(() => null))
  return {
    issuer: claims.iss,
    subject: claims.sub,
    email: typeof told?.email === 'string' ? told.email.trim().toLowerCase() : null,
    emailVerified: told?.email_verified === true,
  }
}
