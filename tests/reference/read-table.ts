/** Reads one of the reference tables beside this file: comment lines out, the header into names, numbers into numbers. */
import { readFileSync } from 'node:fs'

export function readTable(name: string): { source: string; rows: Record<string, string>[] } {
  const lines = readFileSync(new URL(name, import.meta.url), 'utf8')
    .trim()
    .split('\n')
  const source = lines.filter((line) => line.startsWith('#')).join('\n')
  const [header = '', ...body] = lines.filter((line) => !line.startsWith('#'))
  const names = header.split(',')
  const rows = body.map((line) => {
    const cells = line.split(',')
    return Object.fromEntries(names.map((column, index) => [column, cells[index] ?? '']))
  })
  return { source, rows }
}

/** A cell as a number; a missing or odd one fails the test instead of becoming NaN. */
export function cell(row: Record<string, string>, column: string): number {
  const value = Number(row[column])
  if (row[column] === undefined || row[column] === '' || !Number.isFinite(value)) {
    throw new Error(`no number in column ${column}`)
  }
  return value
}
