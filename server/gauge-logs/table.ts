// Which rows and columns does a text have? Whatever parts them; quotes, blank lines and lines before the heading included.

import { say } from '../words/say.ts'
import { isMeasure, isUnitOf } from './cells.ts'
import { UnreadableLog } from './text.ts'

export interface TableRow {
  /** As an editor counts, from 1. */
  line: number
  cells: string[]
}

export interface LogTable {
  delimiter: Delimiter
  /** One text a column; empty where there is none. */
  heading: string[]
  /** What stood before the heading, or before the first row. */
  before: TableRow[]
  rows: TableRow[]
  width: number
}

/** Runs of blanks count as one. */
export type Delimiter = 'tab' | 'semicolon' | 'bar' | 'blanks' | 'comma'
const MARKS: readonly [Delimiter, string][] = [
  ['tab', '\t'],
  ['semicolon', ';'],
  ['bar', '|'],
  ['blanks', '\t'],
  ['comma', ','],
]

/** More than a gauge writes in a working day at one every two seconds. */
export const MOST_ROWS = 20_000
/** So many lines tell what parts the rest. */
const SAMPLE_LINES = 120

export async function tableOf(text: string): Promise<LogTable> {
  const parse = await parser()
  const sample = text.split(/\r\n|\n|\r/).slice(0, SAMPLE_LINES)
  let best: { name: Delimiter; score: number } | null = null
  for (const [name] of MARKS) {
    const score = scoreOf(parse(sample.join('\n'), name))
    if (score > 0 && (best === null || score > best.score + 1e-9)) best = { name, score }
  }
  if (!best) throw new UnreadableLog(whyNone(sample))
  const all = parse(text, best.name)
  const from = firstReading(all)
  if (from === null) throw new UnreadableLog(whyNone(sample))
  const rows = all.slice(from)
  if (rows.length > MOST_ROWS) throw new UnreadableLog(say.gaugeLogs.thereAreRowsIn(rows.length, MOST_ROWS))
  const width = Math.max(...rows.slice(0, SAMPLE_LINES).map((row) => row.cells.length))
  const titles = headingsBefore(all, from)
  return {
    delimiter: best.name,
    heading: Array.from({ length: width }, (_, column) =>
      titles
        .map((row) => row.cells[column] ?? '')
        .filter((cell) => cell !== '')
        .join(' '),
    ),
    before: all.slice(0, from - titles.length),
    rows,
    width,
  }
}

export type Parse = (text: string, delimiter: Delimiter) => TableRow[]

/** On first use: most requests need none. */
export async function parser(): Promise<Parse> {
  const { parse } = await import('csv-parse/sync')
  const rowsOf = (text: string, mark: string, quote: '"' | null): TableRow[] =>
    (
      parse(text, {
        bom: true,
        delimiter: mark,
        record_delimiter: ['\r\n', '\n', '\r'],
        quote,
        relax_quotes: true,
        relax_column_count: true,
        skip_empty_lines: true,
        skip_records_with_empty_values: true,
        trim: true,
        info: true,
      }) as unknown as { info: { lines: number }; record: string[] }[]
    ).map(({ info, record }) => ({ line: info.lines, cells: record }))
  return (text, delimiter) => {
    const mark = MARKS.find(([name]) => name === delimiter)?.[1] ?? ','
    const plain = delimiter === 'blanks' ? text.replaceAll(/[^\S\r\n]+/g, '\t') : text
    let rows: TableRow[]
    try {
      rows = rowsOf(plain, mark, '"')
    } catch {
      // A quote that is never closed, such as the inches of a tube: then a quote is a character like any other.
      rows = rowsOf(plain, mark, null)
    }
    return delimiter === 'blanks' ? rows.map(joined) : rows
  }
}

/** Blanks also stand between a number and its unit, and between a clock and its half of the day. */
function joined({ line, cells }: TableRow): TableRow {
  const whole: string[] = []
  for (const cell of cells) {
    const before = whole.at(-1)
    const belongs =
      before !== undefined &&
      /\d$/.test(before) &&
      (/^[ap]\.?m\.?$/i.test(cell) ||
        (isMeasure(before) === 'number' &&
          (isUnitOf(cell, 'gauge-pressure') ||
            isUnitOf(cell, 'absolute-pressure') ||
            isUnitOf(cell, 'temperature'))))
    if (belongs) whole[whole.length - 1] = `${before} ${cell}`
    else whole.push(cell)
  }
  return { line, cells: whole }
}

/** A row with a reading has a number and, beside it, a time or another number. */
function isReading({ cells }: TableRow): boolean {
  const kinds = cells.map(isMeasure)
  return kinds.includes('number') && kinds.filter((kind) => kind !== null).length > 1
}

/** How many of the rows make sense when they are parted so; then, how many of their cells. */
function scoreOf(rows: readonly TableRow[]): number {
  const good = rows.filter(isReading)
  if (good.length === 0) return 0
  const cells = good.flatMap((row) => row.cells).filter((cell) => cell !== '')
  const clear = cells.filter((cell) => isMeasure(cell) !== null).length
  return good.length / rows.length + (0.1 * clear) / cells.length
}

/** Where the readings begin: a first row that others like it follow. */
function firstReading(rows: readonly TableRow[]): number | null {
  for (const [index, row] of rows.entries()) {
    if (!isReading(row)) continue
    const next = rows.slice(index, index + 6)
    if (next.filter(isReading).length * 2 >= next.length) return index
  }
  return null
}

/** The one or two lines above the first reading that name columns and units. */
function headingsBefore(rows: readonly TableRow[], from: number): TableRow[] {
  const found: TableRow[] = []
  for (let index = from - 1; index >= 0 && found.length < 2; index -= 1) {
    const row = rows[index]
    const next = rows[index + 1]
    if (!row || !next || row.cells.length < 2 || isReading(row)) break
    // A second line is one only where it is as wide: else it belongs to what stands before.
    if (found.length > 0 && row.cells.length !== next.cells.length) break
    found.unshift(row)
  }
  return found
}

function whyNone(lines: readonly string[]): string {
  const filled = lines.filter((line) => /\d/.test(line))
  if (filled.length === 0) return say.gaugeLogs.thereIsNoNumber
  if (filled.every((line) => isMeasure(line.trim()) !== null)) return say.gaugeLogs.thereIsOnlyOne
  return say.gaugeLogs.noRowWithA
}
