// Which of very many rows are kept as readings? Every so many-th, and those that a judgement could hang on.

/** Far more than any fit gains from, and few enough for a table to be read. */
export const MOST_READINGS = 240

export interface Thinned<Row> {
  rows: Row[]
  /** Every row, or every so many-th. */
  every: number
}

/**
 * At most so many rows: every n-th, counted within each phase, and of each phase the first, the last, the highest and
 * the lowest pressure. What is left out lies between two that are kept.
 */
export function thinned<Row extends { phase: string | null; pressurePa: number }>(
  rows: readonly Row[],
  most = MOST_READINGS,
): Thinned<Row> {
  if (rows.length <= most) return { rows: [...rows], every: 1 }
  const runs: Row[][] = []
  for (const row of rows) {
    const run = runs.at(-1)
    if (run && run[0]?.phase === row.phase) run.push(row)
    else runs.push([row])
  }
  // The four of each run stay whatever the step; many short runs leave no room for more.
  for (let every = Math.ceil(rows.length / most); ; every += 1) {
    const kept = runs.flatMap((run) => keptOf(run, every))
    if (kept.length <= most || every >= rows.length) return { rows: kept, every }
  }
}

function keptOf<Row extends { pressurePa: number }>(run: readonly Row[], every: number): Row[] {
  let highest = 0
  let lowest = 0
  for (const [index, row] of run.entries()) {
    if (row.pressurePa > (run[highest]?.pressurePa ?? 0)) highest = index
    if (row.pressurePa < (run[lowest]?.pressurePa ?? 0)) lowest = index
  }
  return run.filter(
    (_, index) => index % every === 0 || index === run.length - 1 || index === highest || index === lowest,
  )
}
