// What was weighed into a circuit and taken out of it?

import { and, asc, eq, inArray } from 'drizzle-orm'
import type { Charge } from '../../rules/dossier.ts'
import type { AsTyped } from '../rows.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import { effective } from './effective.ts'
import { provenanceIn } from './joints.ts'

type ChargeRow = Tables['charges']['$inferSelect']

/** A charge with what was typed for it. */
export type RecordedCharge = Charge & { systemId: string; typed: AsTyped }

/** The charges of some systems, by system, oldest first; corrections applied. */
export async function listCharges(scope: Scope, systemIds: string[]): Promise<Map<string, RecordedCharge[]>> {
  const found = new Map<string, RecordedCharge[]>(systemIds.map((id) => [id, []]))
  if (systemIds.length === 0) return found
  const { db, t, companyId } = scope
  const rows = await db
    .select()
    .from(t.charges)
    .where(and(eq(t.charges.companyId, companyId), inArray(t.charges.systemId, systemIds)))
    .orderBy(asc(t.charges.performedAt), asc(t.charges.id))
  for (const row of await effective(scope, rows)) found.get(row.systemId)?.push(chargeIn(row))
  return found
}

export const chargeIn = (row: ChargeRow): RecordedCharge => ({
  id: row.id,
  systemId: row.systemId,
  jobId: row.jobId,
  direction: row.direction,
  massKg: row.massKg,
  scaleInstrumentId: row.scaleInstrumentId,
  source: row.source,
  cylinderId: row.cylinderId,
  typed: row.typed,
  ...provenanceIn(row),
})
