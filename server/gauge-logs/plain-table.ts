// Which rows and columns does a text have that names its columns in its first row? Whatever parts them.

import { say } from '../words/say.ts'
import { type Delimiter, parser, type TableRow } from './table.ts'
import { UnreadableLog } from './text.ts'

export interface PlainTable {
  delimiter: Exclude<Delimiter, 'blanks'>
  /** What the first row calls the columns. */
  heading: string[]
  rows: TableRow[]
  width: number
}

/** A row is checked, and added, in a few milliseconds; while it is, nobody else writes. */
export const MOST_ROWS_OF_A_TABLE = 1000

const PARTS = ['tab', 'semicolon', 'bar', 'comma'] as const
const SAMPLE = 60

/** A name of a column has a letter in it. */
const isName = (cell: string) => /\p{L}/u.test(cell)

export async function plainTable(text: string): Promise<PlainTable> {
  const cut = await parser()
  const sample = text
    .split(/\r\n|\n|\r/)
    .slice(0, SAMPLE)
    .join('\n')
  let best: { delimiter: PlainTable['delimiter']; score: number } | null = null
  for (const delimiter of PARTS) {
    const [first, ...rows] = cut(sample, delimiter)
    const names = first?.cells.filter(isName).length ?? 0
    if (names < 2) continue
    // More columns are better, as long as the rows have as many; a row may end early.
    const fits = rows.filter(
      (row) => row.cells.length <= (first?.cells.length ?? 0) && row.cells.length > 1,
    ).length
    const score = rows.length === 0 ? names : (names * (fits + 1)) / (rows.length + 1)
    if (best === null || score > best.score) best = { delimiter, score }
  }
  if (!best) throw new UnreadableLog(say.moving.noHeading)
  const [first, ...rows] = cut(text, best.delimiter)
  if (!first || rows.length === 0) throw new UnreadableLog(say.moving.noRows)
  if (rows.length > MOST_ROWS_OF_A_TABLE)
    throw new UnreadableLog(say.moving.tooManyRows(rows.length, MOST_ROWS_OF_A_TABLE))
  const width = Math.max(first.cells.length, ...rows.slice(0, SAMPLE).map((row) => row.cells.length))
  return {
    delimiter: best.delimiter,
    heading: Array.from({ length: width }, (_, column) => first.cells[column] ?? ''),
    rows,
    width,
  }
}
