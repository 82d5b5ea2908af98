// How is a table written for other programs and for spreadsheets? RFC 4180, row by row as it is read.

import { Readable } from 'node:stream'
import { z } from 'zod'

const MARKS = { comma: ',', semicolon: ';', tab: '\t' } as const

export const csvQuery = z.object({
  delimiter: z.enum(['comma', 'semicolon', 'tab']).default('comma'),
  decimal: z.enum(['point', 'comma']).default('point'),
})
export type CsvForm = z.output<typeof csvQuery>

export type Cell = string | number | boolean | null | undefined
export type CsvRow = Record<string, Cell>

/** A spreadsheet would work out what begins so, instead of showing it (OWASP, CSV injection). */
const FORMULA = /^[=+\-@\t\r]/

function written(value: Cell, { delimiter, decimal }: CsvForm): string {
  if (value === null || value === undefined) return ''
  if (typeof value === 'boolean') return value ? 'yes' : 'no'
  if (typeof value === 'number') {
    const text = String(value)
    const local = decimal === 'comma' ? text.replace('.', ',') : text
    return local.includes(MARKS[delimiter]) ? `"${local}"` : local
  }
  const text = FORMULA.test(value) ? `'${value}` : value
  return /["\r\n]/.test(text) || text.includes(MARKS[delimiter]) || text !== text.trim()
    ? `"${text.replaceAll('"', '""')}"`
    : text
}

const lineOf = (form: CsvForm) => (cells: readonly Cell[]) =>
  `${cells.map((cell) => written(cell, form)).join(MARKS[form.delimiter])}\r\n`

/** A short table, whole. */
export function csvText(columns: readonly string[], rows: readonly CsvRow[], form: CsvForm): string {
  const line = lineOf(form)
  return [line(columns), ...rows.map((row) => line(columns.map((column) => row[column])))].join('')
}

/** The names of the columns stand first, also where there are no rows. */
export function csvOf<Column extends string>(
  columns: readonly Column[],
  rows: AsyncIterable<{ [name in Column]: Cell }>,
  form: CsvForm,
): Readable {
  const line = lineOf(form)
  async function* lines() {
    // Spreadsheets take a text for UTF-8 only when it says so; programs would read the mark as part of the first name.
    yield `${form.delimiter === 'semicolon' ? '\ufeff' : ''}${line(columns)}`
    for await (const row of rows) yield line(columns.map((column) => row[column]))
  }
  return Readable.from(lines(), { objectMode: false })
}
