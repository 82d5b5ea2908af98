// Has this been tried too often of late? Counted in memory, per process, known or unknown alike.

import { sha256 } from '../ids.ts'
import { tooMany } from '../refusals.ts'
import { say } from '../words/say.ts'

/** With the shortest password allowed, guessing at this pace gets nowhere; a person mistypes less often. */
export const MAX_TRIES = 10
export const TRIES_WINDOW_MS = 15 * 60_000
/** What is kept at most; the oldest go first. The limit per address keeps anybody from rushing through it. */
const MAX_KEPT = 20_000

interface Tally {
  count: number
  /** When the first of these was made. */
  since: number
}

const kept = new WeakMap<object, Map<string, Tally>>()

interface Limit {
  max: number
  windowMs: number
}
const PASSWORDS: Limit[] = [{ max: MAX_TRIES, windowMs: TRIES_WINDOW_MS }]
/** Three of a million codes are right at any moment: at this pace, guessing takes decades. */
const CODES: Limit[] = [
  { max: 5, windowMs: TRIES_WINDOW_MS },
  { max: 30, windowMs: 86_400_000 },
]

/**
 * Counts one try at an e-mail address before its password is looked at, so that many at once are counted too;
 * refuses the eleventh within a quarter of an hour. `owner` is whose accounts these are: the store.
 */
export function countTry(owner: object, email: string, now: number): void {
  count(owner, keyOf(email), PASSWORDS, now, () => say.people.tooManyTries)
}

/** The same for the codes of a person whose password was right: of an authenticator and of paper each by itself. */
export function countCode(owner: object, kind: CodeKind, personId: string, now: number): void {
  count(owner, keyOf(`${kind} ${personId}`), CODES, now, () => say.secondStep.tooManyCodes)
}

export type CodeKind = 'authenticator' | 'recovery-code'

function count(owner: object, key: string, limits: readonly Limit[], now: number, words: () => string): void {
  const tallies = talliesOf(owner)
  const counted = limits.map(({ max, windowMs }) => {
    const name = `${key} ${windowMs}`
    const known = tallies.get(name)
    const tally = known && now - known.since < windowMs ? known : { count: 0, since: now }
    if (tally.count >= max) throw tooMany(words())
    return { name, tally }
  })
  for (const { name, tally } of counted) {
    tally.count += 1
    // Taken out and put back, the map stays in the order of last use.
    tallies.delete(name)
    tallies.set(name, tally)
  }
  while (tallies.size > MAX_KEPT) tallies.delete(tallies.keys().next().value ?? '')
}

/** The password was right: what was mistyped before it no longer counts. */
export function forgetTries(owner: object, email: string): void {
  forget(owner, keyOf(email), PASSWORDS)
}

export function forgetCodes(owner: object, kind: CodeKind, personId: string): void {
  forget(owner, keyOf(`${kind} ${personId}`), CODES)
}

function forget(owner: object, key: string, limits: readonly Limit[]): void {
  for (const { windowMs } of limits) talliesOf(owner).delete(`${key} ${windowMs}`)
}

/** Memory holds no addresses of people who only tried. */
const keyOf = (email: string) => sha256(email.toLowerCase())

function talliesOf(owner: object): Map<string, Tally> {
  let tallies = kept.get(owner)
  if (!tallies) {
    tallies = new Map()
    kept.set(owner, tallies)
  }
  return tallies
}
