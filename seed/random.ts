// Where does the demo's chance come from? A small seeded generator, so that two runs tell the same story.

export interface Random {
  /** From 0 up to, not including, 1. */
  next(): number
  between(low: number, high: number): number
  /** Normally distributed about 0. */
  normal(deviation: number): number
  whole(low: number, high: number): number
}

/** The mulberry32 generator: 32 bits of state are plenty for readings that only have to look like readings. */
export function randomOf(seed: number): Random {
  let state = seed >>> 0
  const next = () => {
    state = (state + 0x6d2b79f5) >>> 0
    let mixed = state
    mixed = Math.imul(mixed ^ (mixed >>> 15), mixed | 1)
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61)
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296
  }
  const between = (low: number, high: number) => low + (high - low) * next()
  return {
    next,
    between,
    // Box and Muller; 1 − next() so that the logarithm never meets zero.
    normal: (deviation) => deviation * Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
    whole: (low, high) => Math.floor(between(low, high + 1)),
  }
}
