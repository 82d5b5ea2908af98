// Asks somebody to join the company in a role; the link is handed on by the one who asks.

import { z } from 'zod'
import { ShownOnce } from '../../access/shown-once.ts'
import { newSecret, sha256 } from '../../ids.ts'
import { conflict } from '../../refusals.ts'
import { findInvitation, type InvitationRow } from '../../store/queries/invitations.ts'
import { memberByEmail } from '../../store/queries/people.ts'
import { ROLES } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { email, ownId } from '../fields.ts'

export const INVITATION_DAYS = 14

export interface Invited {
  invitation: InvitationRow
  code: ShownOnce | null
}

export const invitePerson = defineCommand({
  name: 'invite-person',
  summary: `Invite somebody by e-mail address and role. The code is answered once and stands for ${INVITATION_DAYS} days.`,
  capability: 'manage-members',
  input: z.strictObject({
    id: ownId,
    email,
    role: z.enum(ROLES, { error: () => say.people.useOneOf(ROLES.join(', ')) }),
  }),
  async handle(scope, input, context): Promise<Invited> {
    const { db, t, companyId } = scope
    const member = await memberByEmail(scope, input.email)
    if (member) {
      const detail = member.active ? say.people.thisPersonIsA : say.people.thisPersonWasA
      throw conflict('already-member', detail, [{ path: 'email', message: detail }])
    }
    const invitationId = input.id ?? context.newId()
    const code = newSecret()
    const expiresAt = context.now + INVITATION_DAYS * 86_400_000
    await db.insert(t.invitations).values({
      companyId,
      id: invitationId,
      email: input.email,
      role: input.role,
      codeHash: sha256(code),
      invitedBy: context.actor.memberId,
      createdAt: context.now,
      expiresAt,
      acceptedAt: null,
      acceptedBy: null,
    })
    context.record({
      chainId: companyId,
      kind: 'person-invited',
      subjectId: invitationId,
      body: { role: input.role, expiresAt },
    })
    return { invitation: await findInvitation(scope, invitationId), code: new ShownOnce(code) }
  },
})
