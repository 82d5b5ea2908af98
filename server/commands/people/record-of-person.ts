// Where does it stand that somebody changed how they sign in? In the chain of each company they belong to.

import { membershipsOf } from '../../store/queries/people.ts'
import { appendEntry } from '../../store/record.ts'
import { type Session, scopeOf } from '../../store/store.ts'

export async function recordOfPerson(
  session: Session,
  personId: string,
  kind: string,
  now: number,
): Promise<void> {
  const memberships = await membershipsOf(session, personId)
  // In one order for all, so that two such changes at once never wait for each other.
  memberships.sort((a, b) => (a.companyId < b.companyId ? -1 : 1))
  for (const { companyId, memberId } of memberships)
    await appendEntry(
      scopeOf(session, companyId),
      { chainId: companyId, kind, subjectId: memberId },
      { now, deviceAt: null, memberId },
    )
}
