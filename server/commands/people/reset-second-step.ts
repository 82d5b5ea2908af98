// Lets somebody in again who lost phone and paper: by an owner of their company, or at the server's own console.

import { z } from 'zod'
import { endSessionsOf } from '../../access/sessions.ts'
import { forgetCodes } from '../../access/tries.ts'
import { conflict, missing } from '../../refusals.ts'
import {
  companiesEverJoined,
  findMember,
  type MemberRow,
  membershipsOf,
  personByEmail,
} from '../../store/queries/people.ts'
import { removeSecondStep } from '../../store/queries/second-step.ts'
import { appendEntry } from '../../store/record.ts'
import { type Session, scopeOf } from '../../store/store.ts'
import { say } from '../../words/say.ts'
import { defineCommand, type Machinery, parse } from '../command.ts'
import { email, id } from '../fields.ts'

export const resetSecondStep = defineCommand({
  name: 'reset-second-step',
  summary:
    'Take a member’s second step away, after they lost it: they sign in with the password alone and can set up another. Their sessions end.',
  capability: 'manage-members',
  input: z.strictObject({ memberId: id }),
  async handle(scope, { memberId }, context): Promise<MemberRow> {
    const member = await findMember(scope, memberId)
    if (member.id === context.actor.memberId) throw conflict('own-second-step', say.secondStep.notYourOwn)
    // It guards the other companies too, whose owners nobody asked.
    const elsewhere = (await membershipsOf(scope, member.personId)).some(
      ({ companyId }) => companyId !== scope.companyId,
    )
    if (elsewhere) throw conflict('second-step-shared', say.secondStep.notYoursAlone)
    await reset(scope, member.personId, context.machinery)
    context.record({ chainId: scope.companyId, kind: 'second-step-reset', subjectId: member.id })
    return member
  },
})

const schema = z.strictObject({ email })

/** Whoever may run programs beside the database may do this for anybody; each company of theirs has it on record. */
export async function resetSecondStepOf(machinery: Machinery, raw: z.input<typeof schema>): Promise<boolean> {
  const input = parse(schema, raw)
  return machinery.store.transaction(async (session) => {
    const person = await personByEmail(session, input.email)
    if (!person) throw missing(say.people.aPersonWithThis)
    const had = await reset(session, person.id, machinery)
    for (const companyId of await companiesEverJoined(session, person.id))
      await appendEntry(
        scopeOf(session, companyId),
        { chainId: companyId, kind: 'second-step-reset', subjectId: person.id },
        { now: machinery.clock(), deviceAt: null, memberId: null },
      )
    return had
  })
}

async function reset(session: Session, personId: string, { store }: Machinery): Promise<boolean> {
  const had = await removeSecondStep(session, personId)
  await endSessionsOf(session, personId)
  for (const kind of ['authenticator', 'recovery-code'] as const) forgetCodes(store, kind, personId)
  return had
}
