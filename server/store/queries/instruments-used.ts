// What is known of the instruments that some work rests on? As the rules look at them, calibrations included.

import { and, asc, eq, inArray, sql } from 'drizzle-orm'
import type { Calibration, Instrument } from '../../rules/dossier.ts'
import { countsAsCheck } from '../../rules/judge-instrument.ts'
import { prepared } from '../prepared.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import { grouped } from './grouped.ts'
import { listSpentChecks, usesLimit } from './instrument-uses.ts'

type InstrumentRow = Tables['instruments']['$inferSelect']
type CalibrationRow = Tables['calibrations']['$inferSelect']

export async function listInstrumentsById(scope: Scope, ids: Iterable<string>): Promise<Instrument[]> {
  const wanted = [...new Set(ids)]
  if (wanted.length === 0) return []
  const { db, t, companyId } = scope
  const rows = await db
    .select()
    .from(t.instruments)
    .where(and(eq(t.instruments.companyId, companyId), inArray(t.instruments.id, wanted)))
    .orderBy(asc(t.instruments.id))
  const calibrations = await db
    .select()
    .from(t.calibrations)
    .where(and(eq(t.calibrations.companyId, companyId), inArray(t.calibrations.instrumentId, wanted)))
    .orderBy(asc(t.calibrations.at), asc(t.calibrations.id))
  const byInstrument = grouped(calibrations, (row) => row.instrumentId)
  const instruments = rows.map((row) => asInstrument(row, byInstrument.get(row.id) ?? []))
  const spent = await listSpentChecks(
    scope,
    instruments
      .filter(({ kind }) => usesLimit(kind) !== null)
      .map(({ id, kind, calibrations: checks }) => ({
        id,
        checks: checks.filter((check) => countsAsCheck(check, kind)),
      })),
  )
  for (const { calibrations: checks } of instruments)
    for (const check of checks) {
      const spentAt = spent.get(check.id)
      if (spentAt !== undefined) check.spentAt = spentAt
    }
  return instruments
}

/** One instrument without its calibrations: enough to judge a reading at once. Null when it isn't there. */
export async function findInstrumentBare(scope: Scope, id: string): Promise<Instrument | null> {
  const [row] = await prepared<InstrumentRow>(scope, 'instrument_by_id', ({ db, t }) =>
    db
      .select()
      .from(t.instruments)
      .where(
        and(
          eq(t.instruments.companyId, sql.placeholder('companyId')),
          eq(t.instruments.id, sql.placeholder('id')),
        ),
      ),
  ).execute({ companyId: scope.companyId, id })
  return row ? asInstrument(row, []) : null
}

export function asInstrument(row: InstrumentRow, calibrations: CalibrationRow[]): Instrument {
  return {
    id: row.id,
    kind: row.kind,
    name: row.name,
    serial: row.serial,
    accuracyPercent: row.accuracyPercent,
    accuracyAbsolute: row.accuracyAbsolute,
    resolution: row.resolution,
    repeatability: row.repeatability,
    fullScale: row.fullScale,
    compound: row.compound,
    calibrationIntervalDays: row.calibrationIntervalDays,
    calibrations: calibrations.map(
      (calibration): Calibration => ({
        id: calibration.id,
        at: calibration.at,
        result: calibration.result,
        basis: calibration.basis,
        points: calibration.points,
        reference: calibration.reference,
        recordedAt: calibration.recordedAt,
      }),
    ),
  }
}
