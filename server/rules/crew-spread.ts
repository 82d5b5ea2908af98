// Where does a figure lie among those that the crew usually gets?

/** Fewer say nothing of what is usual (common practice, no source). */
export const LEAST_FOR_SPREAD = 20

export interface Spread {
  count: number
  /** Nine of ten lie between low and high. */
  low: number
  middle: number
  high: number
}

/** Null where there are too few. The 5th, 50th and 95th of a hundred, between neighbours in proportion. */
export function usualSpread(figures: readonly number[]): Spread | null {
  if (figures.length < LEAST_FOR_SPREAD) return null
  const sorted = figures.toSorted((a, b) => a - b)
  const at = (share: number) => {
    const place = share * (sorted.length - 1)
    const below = Math.floor(place)
    const from = sorted[below] ?? 0
    return from + (place - below) * ((sorted[below + 1] ?? from) - from)
  }
  return { count: sorted.length, low: at(0.05), middle: at(0.5), high: at(0.95) }
}

export type PlaceInSpread = 'usual' | 'lower' | 'higher'

export const placeInSpread = (figure: number, { low, high }: Spread): PlaceInSpread =>
  figure < low ? 'lower' : figure > high ? 'higher' : 'usual'
