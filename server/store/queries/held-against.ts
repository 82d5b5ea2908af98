// What is on record about the joints of a system besides their work: concessions, being left out, corrections?

import { and, asc, eq, inArray } from 'drizzle-orm'
import type { RequirementCode } from '../../vocabulary.ts'
import type { Scope } from '../store.ts'
import { jobIdsOf } from './jobs.ts'

export interface HeldAgainst {
  concessions: { requirement: RequirementCode; subjectId: string; decidedAt: number }[]
  exclusions: { jointId: string; reason: string }[]
  /** How many entries were corrected, by joint. */
  corrections: Map<string, number>
}

export async function listHeldAgainst(scope: Scope, systemId: string): Promise<HeldAgainst> {
  const { db, t, companyId } = scope
  const jobIds = await jobIdsOf(scope, systemId)
  const corrected = await db
    .select({ jointId: t.steps.jointId })
    .from(t.joints)
    .innerJoin(t.steps, and(eq(t.steps.companyId, t.joints.companyId), eq(t.steps.jointId, t.joints.id)))
    .innerJoin(
      t.corrections,
      and(eq(t.corrections.companyId, t.steps.companyId), eq(t.corrections.replacementId, t.steps.id)),
    )
    .where(and(eq(t.joints.companyId, companyId), eq(t.joints.systemId, systemId)))
  const corrections = new Map<string, number>()
  for (const { jointId } of corrected) corrections.set(jointId, (corrections.get(jointId) ?? 0) + 1)
  if (jobIds.length === 0) return { concessions: [], exclusions: [], corrections }
  return {
    concessions: await db
      .select({
        requirement: t.concessions.requirement,
        subjectId: t.concessions.subjectId,
        decidedAt: t.concessions.decidedAt,
      })
      .from(t.concessions)
      .where(
        and(
          eq(t.concessions.companyId, companyId),
          inArray(t.concessions.jobId, jobIds),
          eq(t.concessions.granted, true),
        ),
      )
      .orderBy(asc(t.concessions.decidedAt), asc(t.concessions.id)),
    exclusions: await db
      .select({ jointId: t.jointExclusions.jointId, reason: t.jointExclusions.reason })
      .from(t.jointExclusions)
      .where(and(eq(t.jointExclusions.companyId, companyId), inArray(t.jointExclusions.jobId, jobIds)))
      .orderBy(asc(t.jointExclusions.id)),
    corrections,
  }
}
