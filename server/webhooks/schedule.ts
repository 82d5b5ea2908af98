// When is a message tried again? After a little, then ever later, for about three days.

const SECOND = 1000
const MINUTE = 60 * SECOND
const HOUR = 60 * MINUTE

/** From one try to the next; the first is at once. Common practice, after the example of the specification. */
export const DELAYS_MS: readonly number[] = [
  5 * SECOND,
  MINUTE,
  5 * MINUTE,
  30 * MINUTE,
  2 * HOUR,
  5 * HOUR,
  10 * HOUR,
  14 * HOUR,
  18 * HOUR,
  24 * HOUR,
]
/** So that what failed together does not come back together. */
const JITTER = 0.1
/** A receiver may ask for more time, but not for so much that the message is forgotten. */
const LONGEST_ASKED_MS = 24 * HOUR

/** How long a message is tried at the least. */
export const LEAST_SPAN_MS = DELAYS_MS.reduce((sum, delay) => sum + delay, 0) * (1 - JITTER)

/** How long to wait after the n-th try failed; null when that was the last. `chance` is drawn from 0 to 1. */
export function delayAfter(tries: number, chance: number, askedMs: number | null = null): number | null {
  const delay = DELAYS_MS[tries - 1]
  if (delay === undefined) return null
  const jittered = Math.round(delay * (1 + JITTER * (2 * chance - 1)))
  return Math.max(jittered, Math.min(askedMs ?? 0, LONGEST_ASKED_MS))
}
