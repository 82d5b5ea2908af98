// Which tokens does a member hold?

import { and, desc, eq, lt, or } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import { type Page, pageOf, readCursor } from './pages.ts'

export type TokenRow = Omit<Tables['tokens']['$inferSelect'], 'tokenHash' | 'companyId'>

const columns = ({ t }: Scope) => ({
  id: t.tokens.id,
  memberId: t.tokens.memberId,
  name: t.tokens.name,
  scopes: t.tokens.scopes,
  createdAt: t.tokens.createdAt,
  expiresAt: t.tokens.expiresAt,
  revokedAt: t.tokens.revokedAt,
})

/** A member's own, newest first. */
export async function listTokens(
  scope: Scope,
  memberId: string,
  filter: { limit: number; cursor?: string | undefined },
): Promise<Page<TokenRow>> {
  const { db, t, companyId } = scope
  const after = readCursor(filter.cursor)
  const rows = await db
    .select(columns(scope))
    .from(t.tokens)
    .where(
      and(
        eq(t.tokens.companyId, companyId),
        eq(t.tokens.memberId, memberId),
        after
          ? or(
              lt(t.tokens.createdAt, after.at),
              and(eq(t.tokens.createdAt, after.at), lt(t.tokens.id, after.id)),
            )
          : undefined,
      ),
    )
    .orderBy(desc(t.tokens.createdAt), desc(t.tokens.id))
    .limit(filter.limit + 1)
  return pageOf(rows, filter.limit, (row) => ({ at: row.createdAt, id: row.id }))
}

/** A colleague's token is as missing as a stranger's. */
export async function findOwnToken(scope: Scope, memberId: string, tokenId: string): Promise<TokenRow> {
  const { db, t, companyId } = scope
  const [row] = await db
    .select(columns(scope))
    .from(t.tokens)
    .where(and(eq(t.tokens.companyId, companyId), eq(t.tokens.memberId, memberId), eq(t.tokens.id, tokenId)))
  if (!row) throw missing('This token')
  return row
}
