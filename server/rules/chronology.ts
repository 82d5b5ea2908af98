// What came before what? Order follows the stated moment of work; the order of entry settles a tie.

/** The two moments that order a fact: when the work was done, and when it was entered. */
export interface Dated {
  performedAt: number
  recordedAt: number
}

/** True when `fact` was done later than `other`; of two done at one moment, the one entered later. */
export function isAfter(fact: Dated, other: Dated): boolean {
  return (
    fact.performedAt > other.performedAt ||
    (fact.performedAt === other.performedAt && fact.recordedAt > other.recordedAt)
  )
}

/** A new list, oldest first. Facts that can't be told apart keep the order they came in. */
export function inOrder<T extends Dated>(facts: readonly T[]): T[] {
  return [...facts].sort((a, b) => (isAfter(a, b) ? 1 : isAfter(b, a) ? -1 : 0))
}

/** The latest of some facts; null when there is none. */
export function latest<T extends Dated>(facts: readonly T[]): T | null {
  return inOrder(facts).at(-1) ?? null
}
