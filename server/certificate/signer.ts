// Who vouches for a certificate? A key of this server: Ed25519, JWS (RFC 7515) over canonical JSON (RFC 8785).

/** An Ed25519 public key as JWK (RFC 8037), with its thumbprint (RFC 7638) as `kid`. */
export interface PublicKey {
  kty: string
  crv: string
  x: string
  kid: string
  alg: string
  use: string
  /** ISO 8601, UTC. Left out of the first key, which the service made for itself. */
  madeAt?: string
  /** Since when it signs nothing more; what it signed before stays good. */
  retiredAt?: string
}

export interface Signer {
  keyId: string
  /** Of the key that signs now. */
  publicJwk: PublicKey
  /** Of every key that ever signed here, the present one first: what a copy may be checked with. */
  publicKeys: PublicKey[]
  /**
   * Signs the canonical JSON of the payload; answers a JWS in flattened JSON serialisation, as text. At once, not
   * later: it is called inside a transaction, which may wait for nothing but the store. The type says what it is, so
   * that one thing that was signed cannot be passed off as another; a certificate, where it is left out.
   */
  sign(payload: unknown, type?: string): string
}
