// Who set which criteria when, and why?

import { and, desc, eq } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import type { Policy } from '../../rules/policy.ts'
import type { Scope } from '../store.ts'

export interface PolicyVersion {
  id: string
  version: number
  criteria: Policy
  reason: string | null
  changedBy: string
  changedByName: string
  createdAt: number
}

/** The newest first, at most `limit`. */
export async function listPolicyVersions({ db, t, companyId }: Scope, limit = 20): Promise<PolicyVersion[]> {
  return db
    .select({
      id: t.policies.id,
      version: t.policies.version,
      criteria: t.policies.criteria,
      reason: t.policies.reason,
      changedBy: t.policies.changedBy,
      changedByName: t.people.name,
      createdAt: t.policies.createdAt,
    })
    .from(t.policies)
    .innerJoin(
      t.members,
      and(eq(t.members.companyId, t.policies.companyId), eq(t.members.id, t.policies.changedBy)),
    )
    .innerJoin(t.people, eq(t.people.id, t.members.personId))
    .where(eq(t.policies.companyId, companyId))
    .orderBy(desc(t.policies.version))
    .limit(limit)
}

/** The one in force; refuses with missing. */
export async function findNewestPolicy(scope: Scope): Promise<PolicyVersion> {
  const [row] = await listPolicyVersions(scope, 1)
  if (!row) throw missing('The policy')
  return row
}
