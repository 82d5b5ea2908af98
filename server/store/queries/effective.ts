// Which of a fact's versions counts? The original, until a correction of it has been accepted.

import { and, eq, inArray } from 'drizzle-orm'
import type { Scope } from '../store.ts'

interface Correctable {
  id: string
  correctsId: string | null
}

/** Drops what an accepted correction superseded, and replacements that wait or were refused. */
export async function effective<Row extends Correctable>(scope: Scope, rows: Row[]): Promise<Row[]> {
  const replacements = rows.filter((row) => row.correctsId !== null)
  if (replacements.length === 0) return rows
  const accepted = await acceptedAmong(
    scope,
    replacements.map((row) => row.id),
  )
  const superseded = new Set(
    replacements.filter((row) => accepted.has(row.id)).map((row) => row.correctsId ?? ''),
  )
  return rows.filter((row) => !superseded.has(row.id) && (row.correctsId === null || accepted.has(row.id)))
}

async function acceptedAmong(scope: Scope, replacementIds: string[]): Promise<Set<string>> {
  const { db, t, companyId } = scope
  const rows = await db
    .select({ replacementId: t.corrections.replacementId })
    .from(t.corrections)
    .innerJoin(
      t.correctionDecisions,
      and(
        eq(t.correctionDecisions.companyId, t.corrections.companyId),
        eq(t.correctionDecisions.correctionId, t.corrections.id),
      ),
    )
    .where(
      and(
        eq(t.corrections.companyId, companyId),
        inArray(t.corrections.replacementId, replacementIds),
        eq(t.correctionDecisions.state, 'accepted'),
      ),
    )
  return new Set(rows.map((row) => row.replacementId))
}
