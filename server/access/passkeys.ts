// Is this what a passkey answers to what it was asked, here and now? WebAuthn Level 3, checked by a library.

/** Fetched on first use: most days nobody makes a passkey, and it is not small. */
const library = () => import('@simplewebauthn/server')

/** Time to find the key, or to hold a phone to the screen. What was asked is forgotten with its step. */
const ANSWER_WITHIN_MS = 5 * 60_000

/** Where passkeys are made for, and nowhere else do they open. */
export interface Place {
  /** The name of the server. */
  id: string
  origin: string
}

/** Null where browsers make none: over plain http (but for localhost), or at an address that is a number. */
export function placeOf(publicUrl: string): Place | null {
  const { protocol, hostname, origin } = new URL(publicUrl)
  const isNumber = /^[\d.]+$/.test(hostname) || hostname.startsWith('[')
  if (isNumber || (protocol !== 'https:' && hostname !== 'localhost')) return null
  return { id: hostname, origin }
}

export interface KnownPasskey {
  credentialId: string
  publicKey: string
  counter: number
  transports: string[]
}

const named = (passkeys: readonly Pick<KnownPasskey, 'credentialId' | 'transports'>[]) =>
  passkeys.map(({ credentialId, transports }) => ({ id: credentialId, transports }))

const bytes = (text: string) => new Uint8Array(Buffer.from(text, 'base64url'))

/** What a passkey calls its owner; it comes back with each answer of one that knows by itself whose it is. */
export const ownerHandle = (personId: string): string => Buffer.from(personId).toString('base64url')

/** For `navigator.credentials.create`. */
export const askForNew = async (
  place: Place,
  challenge: string,
  person: { id: string; name: string; email: string },
  known: readonly KnownPasskey[],
) =>
  (await library()).generateRegistrationOptions({
    rpName: 'Jointkeep',
    rpID: place.id,
    userID: bytes(ownerHandle(person.id)),
    userName: person.email,
    userDisplayName: person.name,
    challenge: bytes(challenge),
    timeout: ANSWER_WITHIN_MS,
    excludeCredentials: named(known),
    // A plain security key will do beside a password; alone, only what knows its owner (`mustKnowOwner`).
    authenticatorSelection: { residentKey: 'preferred', userVerification: 'preferred' },
  })

/** For `navigator.credentials.get`; without any named, the browser offers those it has for this place. */
export const askForOne = async (
  place: Place,
  challenge: string,
  known: readonly KnownPasskey[],
  mustKnowOwner: boolean,
) =>
  (await library()).generateAuthenticationOptions({
    rpID: place.id,
    challenge: bytes(challenge),
    timeout: ANSWER_WITHIN_MS,
    userVerification: mustKnowOwner ? 'required' : 'preferred',
    ...(known.length === 0 ? {} : { allowCredentials: named(known) }),
  })

/** What the browser has of a new one. */
export interface NewAnswer {
  id: string
  response: { clientDataJSON: string; attestationObject: string; transports: string[] }
}

/** Null for what was made for another place or another question, or is no answer at all. */
export async function checkNew(
  place: Place,
  challenge: string,
  { id, response }: NewAnswer,
): Promise<KnownPasskey | null> {
  const { verifyRegistrationResponse } = await library()
  const checked = await verifyRegistrationResponse({
    response: { id, rawId: id, type: 'public-key', clientExtensionResults: {}, response: response as never },
    expectedChallenge: challenge,
    expectedOrigin: place.origin,
    expectedRPID: place.id,
    requireUserVerification: false,
  }).catch(() => null)
  if (!checked?.verified) return null
  const { credential } = checked.registrationInfo
  return {
    credentialId: credential.id,
    publicKey: Buffer.from(credential.publicKey).toString('base64url'),
    counter: credential.counter,
    transports: response.transports,
  }
}

export interface Answer {
  id: string
  response: {
    clientDataJSON: string
    authenticatorData: string
    signature: string
    userHandle?: string | undefined
  }
}

/** The new count of its uses; null where it is not that passkey's answer to this, or its count went back. */
export async function checkAnswer(
  place: Place,
  challenge: string,
  { id, response }: Answer,
  known: KnownPasskey,
  mustKnowOwner: boolean,
): Promise<number | null> {
  const { verifyAuthenticationResponse } = await library()
  const checked = await verifyAuthenticationResponse({
    response: { id, rawId: id, type: 'public-key', clientExtensionResults: {}, response: response as never },
    expectedChallenge: challenge,
    expectedOrigin: place.origin,
    expectedRPID: place.id,
    credential: { id: known.credentialId, publicKey: bytes(known.publicKey), counter: known.counter },
    requireUserVerification: mustKnowOwner,
  }).catch(() => null)
  return checked?.verified ? checked.authenticationInfo.newCounter : null
}
