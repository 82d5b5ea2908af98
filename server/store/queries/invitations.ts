// Who was asked to join, and does the invitation still stand?

import { and, desc, eq, lt, or } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import type { Scope, Session } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import { type Page, pageOf, readCursor } from './pages.ts'

export type InvitationRow = Omit<Tables['invitations']['$inferSelect'], 'codeHash'>

const columns = ({ t }: Session) => ({
  companyId: t.invitations.companyId,
  id: t.invitations.id,
  email: t.invitations.email,
  role: t.invitations.role,
  invitedBy: t.invitations.invitedBy,
  createdAt: t.invitations.createdAt,
  expiresAt: t.invitations.expiresAt,
  acceptedAt: t.invitations.acceptedAt,
  acceptedBy: t.invitations.acceptedBy,
})

/** Refuses with missing. */
export async function findInvitation(scope: Scope, invitationId: string): Promise<InvitationRow> {
  const { db, t, companyId } = scope
  const [row] = await db
    .select(columns(scope))
    .from(t.invitations)
    .where(and(eq(t.invitations.companyId, companyId), eq(t.invitations.id, invitationId)))
  if (!row) throw missing('This invitation')
  return row
}

/** Newest first. */
export async function listInvitations(
  scope: Scope,
  filter: { limit: number; cursor?: string | undefined },
): Promise<Page<InvitationRow>> {
  const { db, t, companyId } = scope
  const after = readCursor(filter.cursor)
  const rows = await db
    .select(columns(scope))
    .from(t.invitations)
    .where(
      and(
        eq(t.invitations.companyId, companyId),
        after
          ? or(
              lt(t.invitations.createdAt, after.at),
              and(eq(t.invitations.createdAt, after.at), lt(t.invitations.id, after.id)),
            )
          : undefined,
      ),
    )
    .orderBy(desc(t.invitations.createdAt), desc(t.invitations.id))
    .limit(filter.limit + 1)
  return pageOf(rows, filter.limit, (row) => ({ at: row.createdAt, id: row.id }))
}

/** Who holds the code may ask, from whichever company: the code is the key. */
export async function invitationByCode(
  session: Session,
  codeHash: string,
): Promise<(InvitationRow & { companyName: string }) | null> {
  const { db, t } = session
  const [row] = await db
    .select({ ...columns(session), companyName: t.companies.name })
    .from(t.invitations)
    .innerJoin(t.companies, eq(t.companies.id, t.invitations.companyId))
    .where(eq(t.invitations.codeHash, codeHash))
  return row ?? null
}
