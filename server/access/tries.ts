// Has this e-mail address been tried too often of late? Counted in memory, per process, known or unknown alike.

import { sha256 } from '../ids.ts'
import { tooMany } from '../refusals.ts'

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

/**
 * Counts one try at an e-mail address before its password is looked at, so that many at once are counted too;
 * refuses the eleventh within a quarter of an hour. `owner` is whose accounts these are: the store.
 */
export function countTry(owner: object, email: string, now: number): void {
  const tallies = talliesOf(owner)
  const key = keyOf(email)
  const known = tallies.get(key)
  const tally = known && now - known.since < TRIES_WINDOW_MS ? known : { count: 0, since: now }
  if (tally.count >= MAX_TRIES)
    throw tooMany('Too many tries with this e-mail address. Wait a quarter of an hour, then try again.')
  tally.count += 1
  // Taken out and put back, the map stays in the order of last use.
  tallies.delete(key)
  tallies.set(key, tally)
  if (tallies.size > MAX_KEPT) tallies.delete(tallies.keys().next().value ?? '')
}

/** The password was right: what was mistyped before it no longer counts. */
export function forgetTries(owner: object, email: string): void {
  talliesOf(owner).delete(keyOf(email))
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
