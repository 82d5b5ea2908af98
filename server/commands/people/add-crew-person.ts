// Adds somebody to the crew who does the work but may have no account.

import { z } from 'zod'
import { newSecret } from '../../ids.ts'
import { conflict, missingField, Refusal } from '../../refusals.ts'
import { type CrewRow, crewOfMember, findCrewPerson } from '../../store/queries/crew.ts'
import { findMember } from '../../store/queries/people.ts'
import type { Scope } from '../../store/store.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, ownId, text } from '../fields.ts'
import { credentials, crewBody } from './credentials.ts'

export const addCrewPerson = defineCommand({
  name: 'add-crew-person',
  summary: 'Add somebody to the crew, with their licences and certificates.',
  capability: 'keep-crew',
  input: z.strictObject({
    id: ownId,
    name: text(120),
    memberId: id.optional(),
    credentials: credentials.default([]),
  }),
  async handle(scope, input, context): Promise<CrewRow> {
    const { db, t, companyId } = scope
    const crewId = input.id ?? context.newId()
    const salt = newSecret()
    if (input.memberId !== undefined) {
      await assertMember(scope, input.memberId)
      if (await crewOfMember(scope, input.memberId)) {
        const detail = say.people.thisMemberIsIn
        throw conflict('member-in-crew', detail, [{ path: 'memberId', message: detail }])
      }
    }
    await db.insert(t.crew).values({
      companyId,
      id: crewId,
      name: input.name,
      memberId: input.memberId ?? null,
      credentials: input.credentials,
      salt,
      active: true,
      createdAt: context.now,
    })
    const row = await findCrewPerson(scope, crewId)
    context.record({ chainId: companyId, kind: 'crew-person-added', subjectId: crewId, body: crewBody(row) })
    return row
  },
})

export async function assertMember(scope: Scope, memberId: string): Promise<void> {
  await findMember(scope, memberId).catch((problem) => {
    throw problem instanceof Refusal && problem.kind === 'missing'
      ? missingField('memberId', say.people.thisMember)
      : problem
  })
}
