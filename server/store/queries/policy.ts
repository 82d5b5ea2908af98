// By which criteria does the company judge now?

import { and, desc, eq, sql } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import type { Policy } from '../../rules/policy.ts'
import { prepared } from '../prepared.ts'
import type { Scope } from '../store.ts'

export interface PolicyInForce {
  version: number
  criteria: Policy
}

export async function findPolicy(scope: Scope): Promise<PolicyInForce> {
  const [row] = await prepared<PolicyInForce>(scope, 'policy_in_force', ({ db, t }) =>
    db
      .select({ version: t.policies.version, criteria: t.policies.criteria })
      .from(t.policies)
      .where(eq(t.policies.companyId, sql.placeholder('companyId')))
      .orderBy(desc(t.policies.version))
      .limit(1),
  ).execute({ companyId: scope.companyId })
  if (!row) throw missing('The policy')
  return row
}

/** An earlier version, for what was judged by it. */
export async function findPolicyVersion(scope: Scope, version: number): Promise<PolicyInForce> {
  const { db, t, companyId } = scope
  const [row] = await db
    .select({ version: t.policies.version, criteria: t.policies.criteria })
    .from(t.policies)
    .where(and(eq(t.policies.companyId, companyId), eq(t.policies.version, version)))
  if (!row) throw missing('This version of the policy')
  return row
}
