/** A small seeded generator, so that every simulation gives the same numbers on every machine. */
export interface SeededRandom {
  /** Evenly between low and high. */
  between: (low: number, high: number) => number
  /** Whole number from low to high, both included. */
  whole: (low: number, high: number) => number
  normal: (mean: number, standardDeviation: number) => number
  poisson: (mean: number) => number
  /** Gamma with shape and mean. */
  gamma: (shape: number, mean: number) => number
  exponential: (mean: number) => number
  pick: <T>(values: readonly [T, ...T[]]) => T
}

/** With `SIMULATION_SEED=7` before the command every simulation draws other cases; without, the same on every machine. */
export const simulationSeed = (own: number): number =>
  own + 1_000_003 * Number(process.env.SIMULATION_SEED ?? 0)

/** mulberry32: 32 bits of state, enough for test simulations. */
export function seededRandom(seed: number): SeededRandom {
  let state = seed >>> 0
  const next = () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
  const between = (low: number, high: number) => low + (high - low) * next()
  const normal = (mean: number, standardDeviation: number) =>
    mean + standardDeviation * Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next())
  const poisson = (mean: number): number => {
    // Halved while large, so that the product below does not underflow.
    if (mean > 30) return poisson(mean / 2) + poisson(mean / 2)
    const limit = Math.exp(-mean)
    let count = 0
    let product = next()
    while (product > limit) {
      count += 1
      product *= next()
    }
    return count
  }
  // Marsaglia & Tsang 2000; for shapes below one by the power of a uniform.
  const gamma = (shape: number, mean: number): number => {
    if (shape < 1) return gamma(shape + 1, (mean * (shape + 1)) / shape) * next() ** (1 / shape)
    const d = shape - 1 / 3
    const c = 1 / Math.sqrt(9 * d)
    for (;;) {
      const x = normal(0, 1)
      const v = (1 + c * x) ** 3
      if (v > 0 && Math.log(1 - next()) < 0.5 * x * x + d - d * v + d * Math.log(v))
        return (d * v * mean) / shape
    }
  }
  return {
    between,
    normal,
    poisson,
    gamma,
    whole: (low, high) => low + Math.floor(next() * (high - low + 1)),
    exponential: (mean) => -mean * Math.log(1 - next()),
    pick: (values) => values[Math.floor(next() * values.length)] ?? values[0],
  }
}
