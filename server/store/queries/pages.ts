// How is a long list read in pages? By time, then id; the cursor names the last row seen.

import { malformedField } from '../../refusals.ts'

export interface Place {
  at: number
  id: string
}

export interface Page<Row> {
  items: Row[]
  nextCursor: string | null
}

/** Makes a page of `limit` from rows of which one more than that was asked for. */
export function pageOf<Row>(rows: Row[], limit: number, placeOf: (row: Row) => Place): Page<Row> {
  const items = rows.slice(0, limit)
  const last = items.at(-1)
  return { items, nextCursor: rows.length > limit && last ? writeCursor(placeOf(last)) : null }
}

const writeCursor = ({ at, id }: Place) => Buffer.from(`${at}.${id}`).toString('base64url')

export function readCursor(cursor: string | undefined): Place | null {
  if (cursor === undefined) return null
  const match = /^(-?\d{1,16})\.([0-9a-f-]{36})$/.exec(Buffer.from(cursor, 'base64url').toString())
  if (!match?.[1] || !match[2]) throw malformedField('cursor', 'This is not a cursor of this list.')
  return { at: Number(match[1]), id: match[2] }
}
