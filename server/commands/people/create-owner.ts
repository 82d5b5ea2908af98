// Founds a company, or gives one an owner, at the server's own console: whatever sign-up allows.

import { z } from 'zod'
import { hashPassword } from '../../access/passwords.ts'
import { newId } from '../../ids.ts'
import { conflict, missing } from '../../refusals.ts'
import { addPerson, companyById, memberOfPerson, personByEmail } from '../../store/queries/people.ts'
import { appendEntry } from '../../store/record.ts'
import { scopeOf } from '../../store/store.ts'
import { say } from '../../words/say.ts'
import { type Machinery, parse } from '../command.ts'
import { email, id, newPassword, text } from '../fields.ts'
import { addMember, foundCompany } from './joining.ts'

const schema = z.union([
  z.strictObject({ companyName: text(120), name: text(120), email, password: newPassword }),
  z.strictObject({ companyId: id, name: text(120), email, password: newPassword }),
])

export interface OwnerMade {
  companyId: string
  personId: string
  memberId: string
  /** False where the e-mail address was known: name and password were left as they are. */
  personIsNew: boolean
}

/** Who may do this is whoever may run programs beside the database. */
export async function createOwner(machinery: Machinery, raw: z.input<typeof schema>): Promise<OwnerMade> {
  const input = parse(schema, raw)
  const passwordHash = await hashPassword(input.password)
  return machinery.store.transaction(async (session) => {
    const now = machinery.clock()
    const known = await personByEmail(session, input.email)
    const fresh = { id: newId(), name: input.name, email: input.email, passwordHash, createdAt: now }
    const person = known ?? (await addPerson(session, fresh))
    if (!person) throw conflict('already-there', say.people.thisEMailAddressWas)
    const who = { personId: person.id, personIsNew: known === null }
    if ('companyName' in input) {
      const companyId = newId()
      const { memberId } = await foundCompany(session, {
        companyId,
        name: input.companyName,
        personId: person.id,
        ownerName: person.name,
        now,
      })
      return { companyId, memberId, ...who }
    }
    const scope = scopeOf(session, input.companyId)
    if (!(await companyById(session, input.companyId))) throw missing(say.people.thisCompany)
    if (await memberOfPerson(scope, person.id))
      throw conflict('already-member', say.people.thisPersonBelongsTo)
    const joined = await addMember(scope, { personId: person.id, name: person.name, role: 'owner', now })
    await appendEntry(
      scope,
      {
        chainId: input.companyId,
        kind: 'owner-created',
        subjectId: joined.memberId,
        body: { crew: joined.crewId, name: joined.nameHash },
      },
      { now, deviceAt: null, memberId: null },
    )
    return { companyId: input.companyId, memberId: joined.memberId, ...who }
  })
}
