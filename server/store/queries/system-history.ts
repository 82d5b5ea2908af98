// What happened on a system, entry by entry, newest first?

import { and, desc, eq, gte, inArray, lt } from 'drizzle-orm'
import { malformedField } from '../../refusals.ts'
import type { Scope } from '../store.ts'
import { type EntryInBrief, inBrief } from './entries.ts'

export interface EntryFilter {
  kinds?: readonly string[] | undefined
  /** A joint, a unit, a test: whatever an entry is about. */
  subjectId?: string | undefined
  from?: number | undefined
  /** Not included. */
  to?: number | undefined
  limit: number
  /** The number of the last entry that was seen. */
  cursor?: string | undefined
}

/** Entries of one chain by their numbers: those never change, so a page that was seen stays the same. */
export async function listEntriesOfChain(
  { db, t, companyId }: Scope,
  chainId: string,
  filter: EntryFilter,
): Promise<{ items: EntryInBrief[]; nextCursor: string | null }> {
  const before = filter.cursor === undefined ? undefined : Number(filter.cursor)
  if (before !== undefined && !(Number.isSafeInteger(before) && before > 0))
    throw malformedField('cursor', 'This is not a cursor of this list.')
  const rows = await db
    .select()
    .from(t.entries)
    .where(
      and(
        eq(t.entries.companyId, companyId),
        eq(t.entries.chainId, chainId),
        before === undefined ? undefined : lt(t.entries.number, before),
        filter.kinds === undefined ? undefined : inArray(t.entries.kind, [...filter.kinds]),
        filter.subjectId === undefined ? undefined : eq(t.entries.subjectId, filter.subjectId),
        filter.from === undefined ? undefined : gte(t.entries.at, filter.from),
        filter.to === undefined ? undefined : lt(t.entries.at, filter.to),
      ),
    )
    .orderBy(desc(t.entries.number))
    .limit(filter.limit + 1)
  const items = rows.slice(0, filter.limit).map(inBrief)
  const last = items.at(-1)
  return { items, nextCursor: rows.length > filter.limit && last ? String(last.number) : null }
}
