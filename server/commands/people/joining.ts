// What comes to be when somebody becomes a member, or a company is founded?

import { newId, newSecret } from '../../ids.ts'
import { BUILT_IN_POLICY } from '../../rules/policy.ts'
import { appendEntry, appendFact, salted, startChain } from '../../store/record.ts'
import { type Scope, type Session, scopeOf } from '../../store/store.ts'
import type { Role } from '../../vocabulary.ts'

export interface Joined {
  memberId: string
  crewId: string
  /** The name as the record's chain may carry it. */
  nameHash: string
}

/** Adds a member, and the same person to the crew: whoever has an account may also have done the work. */
export async function addMember(
  { db, t, companyId }: Scope,
  joining: { personId: string; name: string; role: Role; now: number },
): Promise<Joined> {
  const memberId = newId()
  const crewId = newId()
  const salt = newSecret()
  await db.insert(t.members).values({
    companyId,
    id: memberId,
    personId: joining.personId,
    role: joining.role,
    active: true,
    createdAt: joining.now,
  })
  await db.insert(t.crew).values({
    companyId,
    id: crewId,
    name: joining.name,
    memberId,
    credentials: [],
    salt,
    active: true,
    createdAt: joining.now,
  })
  return { memberId, crewId, nameHash: salted(salt, joining.name) }
}

/** A company, its chain, its owner, and the built-in criteria as the first version of its policy. */
export async function foundCompany(
  session: Session,
  founding: { companyId: string; name: string; personId: string; ownerName: string; now: number },
): Promise<Joined> {
  const { db, t } = session
  const { companyId, now } = founding
  const scope = scopeOf(session, companyId)
  await db.insert(t.companies).values({ id: companyId, name: founding.name, createdAt: now })
  await startChain(scope, companyId, 'company')
  const owner = await addMember(scope, {
    personId: founding.personId,
    name: founding.ownerName,
    role: 'owner',
    now,
  })
  const policy = await appendFact(scope, 'policies', {
    companyId,
    id: newId(),
    version: 1,
    criteria: BUILT_IN_POLICY,
    reason: null,
    changedBy: owner.memberId,
    createdAt: now,
  })
  await appendEntry(
    scope,
    {
      chainId: companyId,
      kind: 'company-founded',
      subjectId: companyId,
      facts: [policy],
      body: { owner: owner.memberId, crew: owner.crewId, name: owner.nameHash },
    },
    { now, deviceAt: null, memberId: owner.memberId },
  )
  return owner
}
