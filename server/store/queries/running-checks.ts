// What did the running system show?

import { and, asc, eq, inArray } from 'drizzle-orm'
import type { RunningCheck } from '../../rules/dossier.ts'
import type { AsTyped } from '../rows.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import { effective } from './effective.ts'
import { provenanceIn } from './joints.ts'

type RunningCheckRow = Tables['runningChecks']['$inferSelect']

/** A running check with what was typed for it. */
export type RecordedRunningCheck = RunningCheck & { systemId: string; typed: AsTyped }

/** The running checks of some systems, by system, oldest first; corrections applied. */
export async function listRunningChecks(
  scope: Scope,
  systemIds: string[],
): Promise<Map<string, RecordedRunningCheck[]>> {
  const found = new Map<string, RecordedRunningCheck[]>(systemIds.map((id) => [id, []]))
  if (systemIds.length === 0) return found
  const { db, t, companyId } = scope
  const rows = await db
    .select()
    .from(t.runningChecks)
    .where(and(eq(t.runningChecks.companyId, companyId), inArray(t.runningChecks.systemId, systemIds)))
    .orderBy(asc(t.runningChecks.performedAt), asc(t.runningChecks.id))
  for (const row of await effective(scope, rows)) found.get(row.systemId)?.push(runningCheckIn(row))
  return found
}

export const runningCheckIn = (row: RunningCheckRow): RecordedRunningCheck => ({
  id: row.id,
  systemId: row.systemId,
  jobId: row.jobId,
  mode: row.mode,
  ...row.measured,
  typed: row.typed,
  ...provenanceIn(row),
})
