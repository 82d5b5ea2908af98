// What is a table that is taken out, and how is a long list read for it without holding anybody up?

import { setImmediate as nextTurn } from 'node:timers/promises'
import type { Scope } from '../store/store.ts'
import type { CsvRow } from './csv.ts'
import { instant } from './json.ts'

export interface TableOut {
  summary: string
  /** The unit ends a column's name. */
  columns: readonly string[]
  rows(scope: Scope): AsyncGenerator<CsvRow>
}

/** Systems, tests, jobs that are read at once. */
export const PAGE = 50

export const when = (at: number | null | undefined) => (at === null || at === undefined ? null : instant(at))
/** Nine figures say more than any instrument; binary remainders say less. */
export const figure = (value: number | null | undefined) =>
  value === null || value === undefined ? null : Number(value.toPrecision(9))

/** Every page of a list; others get their turn in between. */
export async function* pages<Item>(
  list: (cursor: string | undefined) => Promise<{ items: Item[]; nextCursor: string | null }>,
): AsyncGenerator<Item[]> {
  for (let cursor: string | undefined; ; ) {
    const page = await list(cursor)
    yield page.items
    if (page.nextCursor === null) return
    cursor = page.nextCursor
    await nextTurn()
  }
}
