// Changes what is known of a person of the crew: name, account, licences, whether they still work here.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { type CrewRow, crewOfMember, findCrewPerson } from '../../store/queries/crew.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, text } from '../fields.ts'
import { assertMember } from './add-crew-person.ts'
import { credentials, crewBody } from './credentials.ts'

export const changeCrewPerson = defineCommand({
  name: 'change-crew-person',
  summary:
    'Change a person of the crew. Credentials are sent whole. With `memberId` the account moves here from the person of the crew who had it, who is set inactive.',
  capability: 'keep-crew',
  input: z
    .strictObject({
      crewId: id,
      name: text(120).optional(),
      memberId: id.optional(),
      credentials: credentials.optional(),
      active: z.boolean({ error: () => say.people.answerYesOrNo }).optional(),
    })
    .refine(({ crewId, ...changes }) => Object.values(changes).some((value) => value !== undefined), {
      path: ['name'],
      error: () => say.people.sayWhatChanges,
    }),
  async handle(scope, input, context): Promise<CrewRow> {
    const { db, t, companyId } = scope
    const before = await findCrewPerson(scope, input.crewId)
    if (input.memberId !== undefined && input.memberId !== before.memberId) {
      await assertMember(scope, input.memberId)
      const holder = await crewOfMember(scope, input.memberId)
      if (holder) {
        // Somebody worked here before they had an account: their earlier work and the account come together.
        await db
          .update(t.crew)
          .set({ memberId: null, active: false })
          .where(and(eq(t.crew.companyId, companyId), eq(t.crew.id, holder.id)))
        context.record({
          chainId: companyId,
          kind: 'crew-person-changed',
          subjectId: holder.id,
          body: crewBody({ ...holder, memberId: null, active: false }),
        })
      }
    }
    const after: CrewRow = {
      ...before,
      name: input.name ?? before.name,
      memberId: input.memberId ?? before.memberId,
      credentials: input.credentials ?? before.credentials,
      active: input.active ?? before.active,
    }
    await db
      .update(t.crew)
      .set({
        name: after.name,
        memberId: after.memberId,
        credentials: after.credentials,
        active: after.active,
      })
      .where(and(eq(t.crew.companyId, companyId), eq(t.crew.id, input.crewId)))
    context.record({
      chainId: companyId,
      kind: 'crew-person-changed',
      subjectId: input.crewId,
      body: crewBody(after),
    })
    return after
  },
})
