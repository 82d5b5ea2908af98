// Where are the company's customers, and what stands there?

import { and, desc, eq, like, lt, or } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import { type Page, pageOf, readCursor } from './pages.ts'

export type SiteRow = Tables['sites']['$inferSelect']

/** Refuses with missing. */
export async function findSite({ db, t, companyId }: Scope, siteId: string): Promise<SiteRow> {
  const [row] = await db
    .select()
    .from(t.sites)
    .where(and(eq(t.sites.companyId, companyId), eq(t.sites.id, siteId)))
  if (!row) throw missing('This site')
  return row
}

export interface SiteFilter {
  /** Part of the customer's name, the address or the town. */
  q?: string | undefined
  limit: number
  cursor?: string | undefined
}

/** Newest first. */
export async function listSites({ db, t, companyId }: Scope, filter: SiteFilter): Promise<Page<SiteRow>> {
  const after = readCursor(filter.cursor)
  const words = plain(filter.q ?? '')
  const rows = await db
    .select()
    .from(t.sites)
    .where(
      and(
        eq(t.sites.companyId, companyId),
        words === '' ? undefined : like(t.sites.searchText, `%${words}%`),
        after
          ? or(
              lt(t.sites.createdAt, after.at),
              and(eq(t.sites.createdAt, after.at), lt(t.sites.id, after.id)),
            )
          : undefined,
      ),
    )
    .orderBy(desc(t.sites.createdAt), desc(t.sites.id))
    .limit(filter.limit + 1)
  return pageOf(rows, filter.limit, (row) => ({ at: row.createdAt, id: row.id }))
}

/** Lower case, and without the signs that mean "anything" to LIKE: nobody's address needs them. */
const plain = (words: string) =>
  words
    .trim()
    .toLowerCase()
    .replaceAll(/[%_\\]/g, ' ')
    .trim()

/** What a site is found by. */
export const searchTextOf = (site: Pick<SiteRow, 'customerName' | 'address' | 'town'>) =>
  plain(`${site.customerName} ${site.address} ${site.town}`)
