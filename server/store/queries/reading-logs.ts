// Which gauges' logs were taken into a test? Their rows; the bytes are in the files.

import { and, asc, eq } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'

export type ReadingLogRow = Tables['readingLogs']['$inferSelect']

/** Oldest first. */
export async function listReadingLogs({ db, t, companyId }: Scope, testId: string): Promise<ReadingLogRow[]> {
  return db
    .select()
    .from(t.readingLogs)
    .where(and(eq(t.readingLogs.companyId, companyId), eq(t.readingLogs.testId, testId)))
    .orderBy(asc(t.readingLogs.recordedAt), asc(t.readingLogs.id))
}

/** Refuses with missing. */
export async function findReadingLog({ db, t, companyId }: Scope, logId: string): Promise<ReadingLogRow> {
  const [row] = await db
    .select()
    .from(t.readingLogs)
    .where(and(eq(t.readingLogs.companyId, companyId), eq(t.readingLogs.id, logId)))
  if (!row) throw missing('This log')
  return row
}
