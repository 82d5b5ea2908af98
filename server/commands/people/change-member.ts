// Gives a member another role, shuts them out, or lets them in again; the company keeps an owner.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { conflict } from '../../refusals.ts'
import { countOtherOwners, findMember, lockCompany, type MemberRow } from '../../store/queries/people.ts'
import { ROLES } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id } from '../fields.ts'
import { listOpenWork, shutOut } from './shutting-out.ts'

export const changeMember = defineCommand({
  name: 'change-member',
  summary: 'Change the role of a member, shut them out, or let them in again. The last owner stays.',
  capability: 'manage-members',
  input: z
    .strictObject({
      memberId: id,
      role: z.enum(ROLES, { error: () => say.people.useOneOf(ROLES.join(', ')) }).optional(),
      active: z.boolean({ error: () => say.people.answerYesOrNo }).optional(),
    })
    .refine((input) => input.role !== undefined || input.active !== undefined, {
      path: ['role'],
      error: () => say.people.sayWhatChangesThe,
    }),
  async handle(scope, input, context): Promise<MemberRow> {
    const { db, t, companyId } = scope
    // Two owners who shut each other out at the same time must not both succeed.
    await lockCompany(scope)
    const member = await findMember(scope, input.memberId)
    const role = input.role ?? member.role
    const active = input.active ?? member.active
    const staysOwner = role === 'owner' && active
    if (member.role === 'owner' && member.active && !staysOwner) {
      if ((await countOtherOwners(scope, member.id)) === 0) {
        const detail = say.people.thisIsTheLast
        throw conflict('last-owner', detail, [
          { path: role === 'owner' ? 'active' : 'role', message: detail },
        ])
      }
    }
    if (member.active && !active) {
      const { length } = await listOpenWork(scope, member.id)
      if (length > 0) {
        const detail = say.signing.openWorkFirst(length)
        throw conflict('open-work', detail, [{ path: 'active', message: detail }])
      }
    }
    await db
      .update(t.members)
      .set({ role, active })
      .where(and(eq(t.members.companyId, companyId), eq(t.members.id, member.id)))
    if (!active) await shutOut(scope, member, context.now)
    context.record({
      chainId: companyId,
      kind: 'member-changed',
      subjectId: member.id,
      body: { role, active },
    })
    return { ...member, role, active }
  },
})
