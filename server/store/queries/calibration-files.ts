// Which certificates are kept of an instrument's calibrations?

import { and, asc, eq, inArray } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import { say } from '../../words/say.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import type { CalibrationRow } from './instruments.ts'

export type CalibrationFileRow = Tables['calibrationFiles']['$inferSelect']

/** Refuses with missing. */
export async function findCalibration(scope: Scope, calibrationId: string): Promise<CalibrationRow> {
  const { db, t, companyId } = scope
  const [found] = await db
    .select()
    .from(t.calibrations)
    .where(and(eq(t.calibrations.companyId, companyId), eq(t.calibrations.id, calibrationId)))
  if (!found) throw missing(say.instrumentCare.thisCalibration)
  return found
}

export async function listCalibrationFiles(
  { db, t, companyId }: Scope,
  calibrationIds: readonly string[],
): Promise<CalibrationFileRow[]> {
  if (calibrationIds.length === 0) return []
  return db
    .select()
    .from(t.calibrationFiles)
    .where(
      and(
        eq(t.calibrationFiles.companyId, companyId),
        inArray(t.calibrationFiles.calibrationId, [...calibrationIds]),
      ),
    )
    .orderBy(asc(t.calibrationFiles.recordedAt), asc(t.calibrationFiles.id))
}

/** Refuses with missing. */
export async function findCalibrationFile(scope: Scope, fileId: string): Promise<CalibrationFileRow> {
  const { db, t, companyId } = scope
  const [found] = await db
    .select()
    .from(t.calibrationFiles)
    .where(and(eq(t.calibrationFiles.companyId, companyId), eq(t.calibrationFiles.id, fileId)))
  if (!found) throw missing(say.instrumentCare.thisCertificate)
  return found
}

export async function isFileOfCalibration(
  { db, t, companyId }: Scope,
  calibrationId: string,
  sha256: string,
): Promise<boolean> {
  const [found] = await db
    .select({ id: t.calibrationFiles.id })
    .from(t.calibrationFiles)
    .where(
      and(
        eq(t.calibrationFiles.companyId, companyId),
        eq(t.calibrationFiles.calibrationId, calibrationId),
        eq(t.calibrationFiles.sha256, sha256),
      ),
    )
  return found !== undefined
}
