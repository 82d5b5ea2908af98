// What does the company measure and form with, and how did each stand when it was last checked?

import { and, asc, desc, eq, inArray, like, lt, or } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import type { InstrumentKind } from '../../vocabulary.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import { grouped } from './grouped.ts'
import { type Page, pageOf, readCursor } from './pages.ts'

export type InstrumentRow = Tables['instruments']['$inferSelect']
export type CalibrationRow = Tables['calibrations']['$inferSelect']

export interface KeptInstrument extends InstrumentRow {
  /** Oldest first. */
  calibrations: CalibrationRow[]
}

/** Refuses with missing. */
export async function findInstrument(scope: Scope, instrumentId: string): Promise<KeptInstrument> {
  const { db, t, companyId } = scope
  const rows = await db
    .select()
    .from(t.instruments)
    .where(and(eq(t.instruments.companyId, companyId), eq(t.instruments.id, instrumentId)))
  const [found] = await withCalibrations(scope, rows)
  if (!found) throw missing('This instrument')
  return found
}

/** By the end of its id, as it stands on its label; null where none or more than one ends so. */
export async function findInstrumentByNumber(
  { db, t, companyId }: Scope,
  number: string,
): Promise<InstrumentRow | null> {
  if (!/^[0-9a-f]{8}$/i.test(number)) return null
  const found = await db
    .select()
    .from(t.instruments)
    .where(and(eq(t.instruments.companyId, companyId), like(t.instruments.id, `%${number.toLowerCase()}`)))
    .limit(2)
  return found.length === 1 ? (found[0] ?? null) : null
}

export interface InstrumentFilter {
  kind?: InstrumentKind | undefined
  limit: number
  cursor?: string | undefined
}

/** Newest first. */
export async function listInstruments(scope: Scope, filter: InstrumentFilter): Promise<Page<KeptInstrument>> {
  const { db, t, companyId } = scope
  const after = readCursor(filter.cursor)
  const rows = await db
    .select()
    .from(t.instruments)
    .where(
      and(
        eq(t.instruments.companyId, companyId),
        filter.kind ? eq(t.instruments.kind, filter.kind) : undefined,
        after
          ? or(
              lt(t.instruments.createdAt, after.at),
              and(eq(t.instruments.createdAt, after.at), lt(t.instruments.id, after.id)),
            )
          : undefined,
      ),
    )
    .orderBy(desc(t.instruments.createdAt), desc(t.instruments.id))
    .limit(filter.limit + 1)
  const page = pageOf(rows, filter.limit, (row) => ({ at: row.createdAt, id: row.id }))
  return { items: await withCalibrations(scope, page.items), nextCursor: page.nextCursor }
}

/** Those in use, for choosing one: by kind and name. */
export async function listActiveInstruments(scope: Scope, kinds?: readonly InstrumentKind[]) {
  const { db, t, companyId } = scope
  const rows = await db
    .select()
    .from(t.instruments)
    .where(
      and(
        eq(t.instruments.companyId, companyId),
        eq(t.instruments.active, true),
        kinds ? inArray(t.instruments.kind, [...kinds]) : undefined,
      ),
    )
    .orderBy(asc(t.instruments.kind), asc(t.instruments.name), asc(t.instruments.id))
    .limit(500)
  return withCalibrations(scope, rows)
}

/** All of them, those out of use too: what a record names must have a name. */
export async function listInstrumentNames({
  db,
  t,
  companyId,
}: Scope): Promise<{ id: string; name: string }[]> {
  return db
    .select({ id: t.instruments.id, name: t.instruments.name })
    .from(t.instruments)
    .where(eq(t.instruments.companyId, companyId))
    .orderBy(asc(t.instruments.name), asc(t.instruments.id))
}

export async function isSerialTaken(
  { db, t, companyId }: Scope,
  kind: InstrumentKind,
  serialLower: string,
): Promise<boolean> {
  const [row] = await db
    .select({ id: t.instruments.id })
    .from(t.instruments)
    .where(
      and(
        eq(t.instruments.companyId, companyId),
        eq(t.instruments.kind, kind),
        eq(t.instruments.serialLower, serialLower),
      ),
    )
  return row !== undefined
}

async function withCalibrations(scope: Scope, rows: InstrumentRow[]): Promise<KeptInstrument[]> {
  if (rows.length === 0) return []
  const { db, t, companyId } = scope
  const calibrations = await db
    .select()
    .from(t.calibrations)
    .where(
      and(
        eq(t.calibrations.companyId, companyId),
        inArray(
          t.calibrations.instrumentId,
          rows.map((row) => row.id),
        ),
      ),
    )
    .orderBy(asc(t.calibrations.at), asc(t.calibrations.id))
  const byInstrument = grouped(calibrations, (row) => row.instrumentId)
  return rows.map((row) => ({ ...row, calibrations: byInstrument.get(row.id) ?? [] }))
}
