// Which part of a log belongs to which part of the test? Before and after the source was taken off, or the pump shut off.

import type { LogKind } from './columns.ts'

/** All of it before, all of it after, or parted at a moment (ms). */
export type Parting = 'before' | 'after' | number

/** What a row is taken as; null where the gas was still settling, which is no reading of the hold. */
export type RowPhase = 'raise' | 'hold' | 'pull' | 'break' | 'decay' | null

/** From this part of the highest pressure on it is taken to be reached (common practice, no source). */
const REACHED = 0.99
/** A first reading this near the highest was taken when the raising was over. */
const NEARLY_RAISED = 0.9
/** A log whose first reading is more than so many times its lowest shows the pumping down. */
const PULLED = 1.5

/**
 * Where a log parts by its figures alone; a guess, for somebody to confirm. Pressure test: at the first reading that
 * comes near the highest. Evacuation: at the last of the lowest readings, so that a level vacuum is rather held too
 * short than too long.
 */
export function guessParting(kind: LogKind, rows: readonly { at: number; pressurePa: number }[]): Parting {
  const [first] = rows
  if (!first) return 'after'
  if (kind === 'pressure') {
    const highest = rows.reduce((most, row) => Math.max(most, row.pressurePa), Number.NEGATIVE_INFINITY)
    if (first.pressurePa >= NEARLY_RAISED * highest) return 'after'
    const reached = rows.find((row) => row.pressurePa >= REACHED * highest)?.at
    // To the second, as it is shown and sent back; the row itself stays on its side.
    return reached === undefined ? 'after' : Math.ceil(reached / 1000) * 1000
  }
  const lowest = rows.reduce((least, row) => Math.min(least, row.pressurePa), Number.POSITIVE_INFINITY)
  if (first.pressurePa <= PULLED * lowest) return 'after'
  const at = rows.findLast((row) => row.pressurePa === lowest)?.at
  return at === undefined || at === rows.at(-1)?.at ? 'before' : Math.floor(at / 1000) * 1000
}

/**
 * The phase of a row. In a pressure test, what was read up to `settleS` after the source was taken off is neither
 * raising nor hold; `removedAt` is that moment where the log itself doesn't hold it.
 */
export function phaseAt(
  kind: LogKind,
  at: number,
  parting: Parting,
  settling: { settleS: number; removedAt: number | null },
): RowPhase {
  if (kind === 'vacuum')
    return parting === 'before' || (typeof parting === 'number' && at < parting) ? 'pull' : 'decay'
  if (parting === 'before' || (typeof parting === 'number' && at <= parting)) return 'raise'
  const removedAt = typeof parting === 'number' ? parting : settling.removedAt
  return removedAt !== null && at < removedAt + settling.settleS * 1000 ? null : 'hold'
}
