// Makes a member of whoever holds an invitation's code and can say who they are.

import { and, eq, isNull } from 'drizzle-orm'
import { z } from 'zod'
import { sha256 } from '../../ids.ts'
import { conflict, malformedField, Refusal } from '../../refusals.ts'
import { invitationByCode } from '../../store/queries/invitations.ts'
import { findMember, memberOfPerson } from '../../store/queries/people.ts'
import { appendEntry } from '../../store/record.ts'
import { scopeOf } from '../../store/store.ts'
import type { Role } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { definePublicCommand } from '../command.ts'
import { text } from '../fields.ts'
import { checkOrHash, choosingPassword, personOf, takenJustNow } from './check-password.ts'
import { addMember } from './joining.ts'

export interface Accepted {
  company: { id: string; name: string }
  person: { id: string; name: string; email: string }
  memberId: string
  role: Role
}

/** Unknown, used, taken back and past its date are not told apart. */
export const unusableInvitation = () =>
  new Refusal('missing', 'invitation-unusable', say.people.thisInvitationIsNot, {
    errors: [{ path: 'code', message: say.people.askTheOneWho }],
  })

export const acceptInvitation = definePublicCommand({
  name: 'accept-invitation',
  summary:
    'Join a company with the code of an invitation. A new person gives a name and chooses a password; a known one gives theirs.',
  input: z.strictObject({
    code: text(200),
    name: text(120).optional().meta({ description: 'Needed where the e-mail address is new.' }),
    password: choosingPassword,
  }),
  async before(input, machinery) {
    const invitation = await invitationByCode(machinery.store.reader(), sha256(input.code))
    if (!invitation) throw unusableInvitation()
    const password = await checkOrHash(machinery, invitation.email, input.password)
    if (!password.person && input.name === undefined) throw malformedField('name', say.people.enterYourName)
    return { ...input, password }
  },
  async handle(session, input, { now, newId }): Promise<Accepted> {
    const invitation = await invitationByCode(session, sha256(input.code))
    if (!invitation) throw unusableInvitation()
    const { db, t } = session
    const scope = scopeOf(session, invitation.companyId)
    const company = { id: invitation.companyId, name: invitation.companyName }
    if (invitation.acceptedBy !== null) {
      // A second press of the button, by the same person: the first answer again.
      if (!input.password.person) throw takenJustNow()
      const member = await findMember(scope, invitation.acceptedBy)
      if (member.personId !== input.password.person.id || !member.active) throw unusableInvitation()
      const { personId: id, name, email, role } = member
      return { company, person: { id, name, email }, memberId: member.id, role }
    }
    if (invitation.expiresAt <= now) throw unusableInvitation()
    const person = await personOf(session, input.password, {
      id: newId(),
      name: input.name ?? '',
      email: invitation.email,
      createdAt: now,
    })
    if (await memberOfPerson(scope, person.id)) throw conflict('already-member', say.people.youBelongToThis)
    const joined = await addMember(scope, {
      personId: person.id,
      name: person.name,
      role: invitation.role,
      now,
    })
    const taken = await db
      .update(t.invitations)
      .set({ acceptedAt: now, acceptedBy: joined.memberId })
      .where(
        and(
          eq(t.invitations.companyId, invitation.companyId),
          eq(t.invitations.id, invitation.id),
          isNull(t.invitations.acceptedAt),
        ),
      )
      .returning({ expiresAt: t.invitations.expiresAt })
    // Somebody else used it, or it was taken back, since it was read.
    if (!taken[0] || taken[0].expiresAt <= now) throw unusableInvitation()
    await appendEntry(
      scope,
      {
        chainId: invitation.companyId,
        kind: 'member-joined',
        subjectId: joined.memberId,
        body: {
          invitation: invitation.id,
          role: invitation.role,
          crew: joined.crewId,
          name: joined.nameHash,
        },
      },
      { now, deviceAt: null, memberId: joined.memberId },
    )
    return {
      company,
      person: { id: person.id, name: person.name, email: person.email },
      memberId: joined.memberId,
      role: invitation.role,
    }
  },
})
