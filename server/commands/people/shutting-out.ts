// What ends when somebody may no longer sign in to a company, and which work of theirs is still open?

import { and, eq, gt, isNull } from 'drizzle-orm'
import { endSessionsIn } from '../../access/sessions.ts'
import { crewOfMember } from '../../store/queries/crew.ts'
import { type ListedJob, listJobs } from '../../store/queries/jobs.ts'
import type { Scope } from '../../store/store.ts'

/** Sessions and tokens here, and the links that they made for others and nobody used yet. */
export async function shutOut(
  scope: Scope,
  member: { id: string; personId: string },
  now: number,
): Promise<void> {
  const { db, t, companyId } = scope
  await endSessionsIn(scope, member.personId)
  // Letting somebody in again must not bring old tokens back to life.
  await db
    .update(t.tokens)
    .set({ revokedAt: now })
    .where(
      and(eq(t.tokens.companyId, companyId), eq(t.tokens.memberId, member.id), isNull(t.tokens.revokedAt)),
    )
  // Nor may somebody who leaves come back by a link of their own.
  await db
    .update(t.invitations)
    .set({ expiresAt: now })
    .where(
      and(
        eq(t.invitations.companyId, companyId),
        eq(t.invitations.invitedBy, member.id),
        isNull(t.invitations.acceptedAt),
        gt(t.invitations.expiresAt, now),
      ),
    )
}

/** More than anybody has. */
const MOST = 1000

/** The open jobs that a member has; those that wait for audit or are sealed need nobody's hands. */
export async function listOpenWork(scope: Scope, memberId: string): Promise<ListedJob[]> {
  const person = await crewOfMember(scope, memberId)
  if (!person) return []
  const { items } = await listJobs(scope, { stage: 'open', assignedTo: person.id, limit: MOST })
  return items
}
