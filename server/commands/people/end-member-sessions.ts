// Signs a member out of this company on every device; they may sign in again.

import { z } from 'zod'
import { endSessionsIn } from '../../access/sessions.ts'
import { findMember, type MemberRow } from '../../store/queries/people.ts'
import { defineCommand } from '../command.ts'
import { id } from '../fields.ts'

export const endMemberSessions = defineCommand({
  name: 'end-member-sessions',
  summary: 'Sign a member out of this company everywhere, for example when a phone was lost.',
  capability: 'manage-members',
  input: z.strictObject({ memberId: id }),
  async handle(scope, { memberId }, context): Promise<MemberRow> {
    const member = await findMember(scope, memberId)
    await endSessionsIn(scope, member.personId)
    context.record({ chainId: scope.companyId, kind: 'member-signed-out', subjectId: member.id })
    return member
  },
})
