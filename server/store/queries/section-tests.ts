// Which pressure tests and evacuations are there, with their readings and how each ended?

import { and, asc, eq, inArray, sql } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import type {
  Evacuation,
  PressureReading,
  PressureTest,
  Provenance,
  VacuumReading,
} from '../../rules/dossier.ts'
import type {
  PressureStage,
  PressureVerdict,
  SectionTestKind,
  VacuumPhase,
  VacuumVerdict,
} from '../../vocabulary.ts'
import { prepared } from '../prepared.ts'
import type { AsTyped } from '../rows.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import type { EvacuationSetUp, PressureSetUp } from '../tables/section-tests.ts'
import { effective } from './effective.ts'
import { grouped } from './grouped.ts'
import { provenanceIn } from './joints.ts'

type TestRow = Tables['sectionTests']['$inferSelect']
type ReadingRow = Tables['sectionReadings']['$inferSelect']
type ConclusionRow = Tables['sectionConclusions']['$inferSelect']

/** How a test ended. `result` is the judgement as it was given then; SI, plain data. */
export interface Conclusion extends Provenance {
  id: string
  verdict: PressureVerdict | VacuumVerdict
  result: Record<string, unknown>
  policyVersion: number
}

interface Stored {
  systemId: string
  /** Its set-up as typed, and each reading as typed, by the reading's id. */
  typed: AsTyped
  readingsTyped: Record<string, AsTyped>
  conclusion: Conclusion | null
}
export interface StoredPressureTest extends Stored {
  test: PressureTest
  /** Where the air's pressure was taken from. */
  atmosphericPressureSource: PressureSetUp['atmosphericPressureSource']
}
export interface StoredEvacuation extends Stored {
  test: Evacuation
}

/** The pressure tests of some systems, by system, oldest first; corrections applied. */
export async function listPressureTests(
  scope: Scope,
  systemIds: string[],
): Promise<Map<string, PressureTest[]>> {
  return bySystem(systemIds, await listStored(scope, systemIds, 'pressure'), pressureTestIn)
}

/** The evacuations of some systems, by system, oldest first; corrections applied. */
export async function listEvacuations(scope: Scope, systemIds: string[]): Promise<Map<string, Evacuation[]>> {
  return bySystem(systemIds, await listStored(scope, systemIds, 'evacuation'), evacuationIn)
}

/** Refuses with missing. */
export async function findPressureTest(scope: Scope, id: string): Promise<StoredPressureTest> {
  const parts = await findParts(scope, id, 'pressure', 'This pressure test')
  const { atmosphericPressureSource } = parts.row.setUp as PressureSetUp
  return { test: pressureTestIn(parts), atmosphericPressureSource, ...storedOf(parts) }
}

/** Refuses with missing. */
export async function findEvacuation(scope: Scope, id: string): Promise<StoredEvacuation> {
  const parts = await findParts(scope, id, 'evacuation', 'This evacuation')
  return { test: evacuationIn(parts), ...storedOf(parts) }
}

/** The tests of one kind of a system, oldest first, in a line each: for pages that point to them. */
export async function listTestsInBrief(scope: Scope, systemId: string, kind: SectionTestKind) {
  const { db, t, companyId } = scope
  return db
    .select({
      id: t.sectionTests.id,
      jobId: t.sectionTests.jobId,
      performedAt: t.sectionTests.performedAt,
      verdict: t.sectionConclusions.verdict,
    })
    .from(t.sectionTests)
    .leftJoin(
      t.sectionConclusions,
      and(
        eq(t.sectionConclusions.companyId, t.sectionTests.companyId),
        eq(t.sectionConclusions.testId, t.sectionTests.id),
      ),
    )
    .where(
      and(
        eq(t.sectionTests.companyId, companyId),
        eq(t.sectionTests.systemId, systemId),
        eq(t.sectionTests.kind, kind),
      ),
    )
    .orderBy(asc(t.sectionTests.performedAt), asc(t.sectionTests.id))
}

interface Parts {
  row: TestRow
  readings: ReadingRow[]
  conclusion: ConclusionRow | null
}

async function listStored(scope: Scope, systemIds: string[], kind: SectionTestKind): Promise<Parts[]> {
  if (systemIds.length === 0) return []
  const { db, t, companyId } = scope
  const rows = await db
    .select()
    .from(t.sectionTests)
    .where(
      and(
        eq(t.sectionTests.companyId, companyId),
        inArray(t.sectionTests.systemId, systemIds),
        eq(t.sectionTests.kind, kind),
      ),
    )
    .orderBy(asc(t.sectionTests.performedAt), asc(t.sectionTests.id))
  if (rows.length === 0) return []
  // By their ids: a join in the order of the readings would walk through every reading of the company.
  const testIds = rows.map((row) => row.id)
  const readings = await db
    .select()
    .from(t.sectionReadings)
    .where(and(eq(t.sectionReadings.companyId, companyId), inArray(t.sectionReadings.testId, testIds)))
    .orderBy(asc(t.sectionReadings.at), asc(t.sectionReadings.id))
  const conclusions = await db
    .select()
    .from(t.sectionConclusions)
    .where(and(eq(t.sectionConclusions.companyId, companyId), inArray(t.sectionConclusions.testId, testIds)))
  const counting = await effective(scope, readings)
  const readingsOf = grouped(counting, (reading) => reading.testId)
  const endOf = new Map(conclusions.map((conclusion) => [conclusion.testId, conclusion]))
  return rows.map((row) => ({
    row,
    readings: readingsOf.get(row.id) ?? [],
    conclusion: endOf.get(row.id) ?? null,
  }))
}

async function findParts(scope: Scope, id: string, kind: SectionTestKind, what: string): Promise<Parts> {
  const key = { companyId: scope.companyId, id }
  const [row] = await prepared<TestRow>(scope, 'section_test_by_id', ({ db, t }) =>
    db
      .select()
      .from(t.sectionTests)
      .where(
        and(
          eq(t.sectionTests.companyId, sql.placeholder('companyId')),
          eq(t.sectionTests.id, sql.placeholder('id')),
        ),
      ),
  ).execute(key)
  if (row?.kind !== kind) throw missing(what)
  const readings = await prepared<ReadingRow>(scope, 'readings_of_section_test', ({ db, t }) =>
    db
      .select()
      .from(t.sectionReadings)
      .where(
        and(
          eq(t.sectionReadings.companyId, sql.placeholder('companyId')),
          eq(t.sectionReadings.testId, sql.placeholder('id')),
        ),
      )
      .orderBy(asc(t.sectionReadings.at), asc(t.sectionReadings.id)),
  ).execute(key)
  const [conclusion] = await prepared<ConclusionRow>(scope, 'conclusion_of_section_test', ({ db, t }) =>
    db
      .select()
      .from(t.sectionConclusions)
      .where(
        and(
          eq(t.sectionConclusions.companyId, sql.placeholder('companyId')),
          eq(t.sectionConclusions.testId, sql.placeholder('id')),
        ),
      ),
  ).execute(key)
  return { row, readings: await effective(scope, readings), conclusion: conclusion ?? null }
}

/**
 * Holds the test until the commit, so that a reading and a conclusion sent at once can't pass each other by.
 * SQLite has one writer and needs none.
 */
export async function lockSectionTest(scope: Scope, id: string): Promise<void> {
  if (scope.dialect !== 'postgres') return
  const { db, t, companyId } = scope
  const query = db
    .select({ id: t.sectionTests.id })
    .from(t.sectionTests)
    .where(and(eq(t.sectionTests.companyId, companyId), eq(t.sectionTests.id, id)))
  // The builder is typed as SQLite's, which knows no row locks; here it is PostgreSQL's.
  await (query as unknown as { for(strength: 'update'): Promise<unknown> }).for('update')
}

function bySystem<Test>(
  systemIds: string[],
  all: Parts[],
  read: (parts: Parts) => Test,
): Map<string, Test[]> {
  const found = new Map<string, Test[]>(systemIds.map((id) => [id, []]))
  for (const parts of all) found.get(parts.row.systemId)?.push(read(parts))
  return found
}

function commonOf({ row, conclusion }: Parts) {
  return {
    id: row.id,
    jobId: row.jobId,
    covers: row.covers,
    throughOutdoorUnit: row.throughOutdoorUnit,
    repeatOf: row.repeatOf,
    repeatCause: row.repeatCause,
    repeatNote: row.repeatNote,
    concludedAt: conclusion?.performedAt ?? null,
    gaugeInstrumentId: row.gaugeInstrumentId,
    ...provenanceIn(row),
  }
}

const correctedIn = ({ correctsId, recordedAt }: ReadingRow) =>
  correctsId === null ? {} : { correctedAt: recordedAt }

function pressureTestIn(parts: Parts): PressureTest {
  const setUp = parts.row.setUp as PressureSetUp
  return {
    ...commonOf(parts),
    medium: setUp.medium,
    tracer: setUp.tracer,
    thermometerInstrumentId: setUp.thermometerInstrumentId,
    atmosphericPressurePa: setUp.atmosphericPressurePa,
    conditions: setUp.conditions,
    readings: parts.readings.map(
      (reading): PressureReading => ({
        id: reading.id,
        at: reading.at,
        stage: reading.phase as PressureStage,
        gaugePressurePa: reading.pressurePa,
        // Never null in a pressure test: the command asks for it.
        temperatureK: reading.temperatureK ?? Number.NaN,
        instrumentId: reading.instrumentId,
        thermometerInstrumentId: reading.thermometerInstrumentId,
        ...correctedIn(reading),
      }),
    ),
    verdict: (parts.conclusion?.verdict as PressureVerdict | undefined) ?? null,
  }
}

function evacuationIn(parts: Parts): Evacuation {
  const setUp = parts.row.setUp as EvacuationSetUp
  return {
    ...commonOf(parts),
    gaugeAt: setUp.gaugeAt,
    isolatedAt: setUp.isolatedAt,
    readings: parts.readings.map(
      (reading): VacuumReading => ({
        id: reading.id,
        at: reading.at,
        phase: reading.phase as VacuumPhase,
        absolutePressurePa: reading.pressurePa,
        temperatureK: reading.temperatureK,
        instrumentId: reading.instrumentId,
        ...correctedIn(reading),
      }),
    ),
    verdict: (parts.conclusion?.verdict as VacuumVerdict | undefined) ?? null,
  }
}

function storedOf({ row, readings, conclusion }: Parts): Stored {
  return {
    systemId: row.systemId,
    typed: row.typed,
    readingsTyped: Object.fromEntries(readings.map((reading) => [reading.id, reading.typed])),
    conclusion: conclusion && {
      id: conclusion.id,
      verdict: conclusion.verdict,
      result: conclusion.result,
      policyVersion: conclusion.policyVersion,
      ...provenanceIn(conclusion),
    },
  }
}
