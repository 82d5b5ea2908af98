// Who vouches for a certificate? A key of this server: Ed25519, JWS (RFC 7515) over canonical JSON (RFC 8785).

export interface Signer {
  keyId: string
  /** The public key as JWK, for anybody who checks. */
  publicJwk: Record<string, unknown>
  /** Signs the canonical JSON of the payload; answers a JWS in flattened JSON serialisation, as text. */
  sign(payload: unknown): Promise<string>
}
