// Takes an invitation back: it ends now.

import { and, eq, isNull } from 'drizzle-orm'
import { z } from 'zod'
import { conflict } from '../../refusals.ts'
import { findInvitation, type InvitationRow } from '../../store/queries/invitations.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id } from '../fields.ts'

export const revokeInvitation = defineCommand({
  name: 'revoke-invitation',
  summary: 'Take an invitation back that was not used yet.',
  capability: 'manage-members',
  input: z.strictObject({ invitationId: id }),
  async handle(scope, { invitationId }, context): Promise<InvitationRow> {
    const { db, t, companyId } = scope
    const invitation = await findInvitation(scope, invitationId)
    const taken = await db
      .update(t.invitations)
      .set({ expiresAt: Math.min(invitation.expiresAt, context.now) })
      .where(
        and(
          eq(t.invitations.companyId, companyId),
          eq(t.invitations.id, invitationId),
          isNull(t.invitations.acceptedAt),
        ),
      )
      .returning({ id: t.invitations.id })
    if (taken.length === 0) throw conflict('invitation-used', say.people.thisInvitationWasUsed)
    context.record({ chainId: companyId, kind: 'invitation-revoked', subjectId: invitationId })
    return findInvitation(scope, invitationId)
  },
})
