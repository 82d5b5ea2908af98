// What does a cell of a table say to the field it belongs to? The same value that a program would send, or why not.

import { type DateOrder, type Decimal, dateIn, numberIn } from '../../gauge-logs/cells.ts'
import { parseQuantity, type QuantityKind, type UnitOf } from '../../trade/units.ts'
import { say } from '../../words/say.ts'

export interface HowWritten {
  decimal: Decimal
  dateOrder: DateOrder
  /** What the heading says in brackets: "Length (m)". */
  unit: string | null
}

/** Why this cell can't be what it is meant for; stands beside it. */
export class CellFault extends Error {}

export type ReadCell = (cell: string, how: HowWritten) => unknown

export const words: ReadCell = (cell) => cell

/** A decimal comma becomes a point; what can't be told apart stays, and is refused by the unit's own reading. */
function asPoint(cell: string, decimal: Decimal): string {
  const read = numberIn(cell, decimal)
  return read ? `${read.value} ${read.rest}`.trim() : cell
}

export const number: ReadCell = (cell, { decimal }) => {
  const read = numberIn(cell.replace(/^±\s*/, ''), decimal)
  if (!read || (read.rest !== '' && read.rest !== '%')) throw new CellFault(say.moving.noNumber(cell))
  return read.value
}

/** In the unit of the cell, else of the heading, else this one. */
export function amount<Kind extends QuantityKind>(kind: Kind, fallback: UnitOf<Kind>): ReadCell {
  return (cell, how) => quantityIn(cell, kind, fallback, how)
}

function quantityIn<Kind extends QuantityKind>(
  cell: string,
  kind: Kind,
  fallback: UnitOf<Kind>,
  { decimal, unit }: HowWritten,
) {
  const read =
    parseQuantity(asPoint(cell, decimal), kind) ??
    (unit === null ? null : parseQuantity(`${asPoint(cell, decimal)} ${unit}`, kind)) ??
    parseQuantity(asPoint(cell, decimal), kind, unit === null ? fallback : undefined)
  if (!read) throw new CellFault(say.moving.noQuantity(cell))
  return read
}

const BETWEEN = /\s*(?:–|—|…|\.\.\.?|\bto\b|\bbis\b|\ba\b|(?<=[\d\s])-(?=[\d\s]))\s*/i

/** "14–18 N·m", "14 to 18": the unit stands at the end, and counts for both. */
export function span<Kind extends QuantityKind>(kind: Kind, fallback: UnitOf<Kind>): ReadCell {
  return (cell, how) => {
    const [from, to, more] = cell.split(BETWEEN)
    if (!from || !to || more !== undefined) throw new CellFault(say.moving.noRange(cell))
    const high = quantityIn(to, kind, fallback, how)
    const low = numberIn(from, how.decimal)
    if (!low) throw new CellFault(say.moving.noRange(cell))
    return { low: low.value, high: high.value, unit: high.unit }
  }
}

/** A code of ours, or a word for it; blanks, capitals and marks make no difference. */
export function choice(codes: readonly string[], other: Readonly<Record<string, string>> = {}): ReadCell {
  const plain = (text: string) =>
    text
      .normalize('NFD')
      .replaceAll(/\p{M}/gu, '')
      .toLowerCase()
      .replaceAll(/[^\p{L}\d]+/gu, '')
  const known = new Map([
    ...codes.map((code) => [plain(code), code] as const),
    ...Object.entries(other).map(([word, code]) => [plain(word), code] as const),
  ])
  return (cell) => {
    const found = known.get(plain(cell))
    if (found === undefined) throw new CellFault(say.moving.noChoice(cell, codes.join(', ')))
    return found
  }
}

const MOMENT = /^\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d(\.\d+)?)?(Z|[+-]\d\d:\d\d)$/

/** A moment as ISO 8601 writes it; of a day its noon in UTC: it is the same day wherever it is read. */
export const day: ReadCell = (cell, { dateOrder }) => {
  if (MOMENT.test(cell) && !Number.isNaN(Date.parse(cell))) return new Date(cell).toISOString()
  const at = dateIn(cell, dateOrder)
  if (at === null) throw new CellFault(say.moving.noDay(cell))
  return new Date(at + 12 * 3_600_000).toISOString()
}
