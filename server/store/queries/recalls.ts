// What rests on an instrument, and how do its recalls stand?

import { and, asc, count, desc, eq, gte, inArray, isNotNull, isNull, lte, type SQL, sql } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import type { InspectionBody } from '../../rules/dossier.ts'
import type { JointKind, RecallJudgementWord, StepKind } from '../../vocabulary.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import { listUnits } from './systems.ts'

export type RecallRow = Tables['recalls']['$inferSelect']
export type RecallItemRow = Tables['recallItems']['$inferSelect']

/** From the last good check to the one that found it off; `from` null: from the first use. */
export interface UseSpan {
  from: number | null
  to: number
}

/** Where a record was made, for people. Many records share one. */
export interface RestingPlace {
  jobId: string
  jobReference: string | null
  systemId: string
  systemName: string
  siteId: string
  customerName: string
  sheetId: string | null
}

export interface RestingStep {
  id: string
  kind: StepKind
  /** As stored: of thousands of readings most say the same, and reading each anew took longer than judging it. */
  bodyText: string
  performedAt: number
  correctsId: string | null
  makeId: string | null
  joint: { id: string; tag: string; place: string; kind: JointKind; tubeOdM: number }
  where: RestingPlace
}

export interface RestingTest {
  id: string
  kind: 'pressure-test' | 'evacuation' | 'charge'
  performedAt: number
  where: RestingPlace
}

/**
 * The steps that joints still rest on: those of the making in force, on joints in service, not superseded by a
 * correction. Oldest first.
 */
export async function listRestingSteps(
  scope: Scope,
  instrumentId: string,
  span: UseSpan,
): Promise<RestingStep[]> {
  const { db, t, companyId } = scope
  const used = and(
    eq(t.steps.companyId, companyId),
    eq(t.steps.instrumentId, instrumentId),
    lte(t.steps.performedAt, span.to),
    span.from === null ? undefined : gte(t.steps.performedAt, span.from),
  )
  const rows = await db
    .select({
      id: t.steps.id,
      kind: t.steps.kind,
      bodyText: sql<string>`${t.steps.body}`,
      performedAt: t.steps.performedAt,
      correctsId: t.steps.correctsId,
      makeId: t.steps.makeId,
      jobId: t.steps.jobId,
      systemId: t.steps.systemId,
      joint: {
        id: t.joints.id,
        tag: t.joints.tag,
        place: t.joints.place,
        kind: t.joints.kind,
        tubeOdM: t.joints.tubeOdM,
      },
    })
    .from(t.steps)
    .innerJoin(t.joints, and(eq(t.joints.companyId, t.steps.companyId), eq(t.joints.id, t.steps.jointId)))
    .where(used)
    .orderBy(asc(t.steps.performedAt), asc(t.steps.id))
  if (rows.length === 0) return []
  const touched = db.select({ id: t.steps.jointId }).from(t.steps).where(used)
  const retired = await db
    .select({ jointId: t.jointRetirements.jointId })
    .from(t.jointRetirements)
    .where(and(eq(t.jointRetirements.companyId, companyId), inArray(t.jointRetirements.jointId, touched)))
  const makes = await db
    .select({ id: t.makes.id, jointId: t.makes.jointId })
    .from(t.makes)
    .where(and(eq(t.makes.companyId, companyId), inArray(t.makes.jointId, touched)))
    .orderBy(asc(t.makes.number))
  // The last of each joint.
  const inForce = new Set(new Map(makes.map((make) => [make.jointId, make.id])).values())
  const outOfService = new Set(retired.map(({ jointId }) => jointId))
  const { superseded, accepted } = await acceptedStepCorrections(scope)
  const kept = rows.filter(
    (row) =>
      !outOfService.has(row.joint.id) &&
      (row.makeId === null || inForce.has(row.makeId)) &&
      !superseded.has(row.id) &&
      (row.correctsId === null || accepted.has(row.id)),
  )
  const whereOf = await placesOf(scope, kept)
  return kept.map((row) => Object.assign(row, { where: whereOf(row) }))
}

/** Every correction of a step that stands, by what it replaced and by what replaced it. */
async function acceptedStepCorrections({ db, t, companyId }: Scope) {
  const rows = await db
    .select({ factId: t.corrections.factId, replacementId: t.corrections.replacementId })
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
        eq(t.corrections.factTable, 'steps'),
        eq(t.correctionDecisions.state, 'accepted'),
      ),
    )
  return {
    superseded: new Set(rows.map(({ factId }) => factId)),
    accepted: new Set(rows.map(({ replacementId }) => replacementId)),
  }
}

/** How the flares of some makings were found when they were looked at; the last look counts. */
export async function listInspections(
  { db, t, companyId }: Scope,
  instrumentId: string,
): Promise<Map<string, InspectionBody>> {
  const formed = db
    .select({ id: t.steps.makeId })
    .from(t.steps)
    .where(and(eq(t.steps.companyId, companyId), eq(t.steps.instrumentId, instrumentId)))
  const rows = await db
    .select({ makeId: t.steps.makeId, body: t.steps.body })
    .from(t.steps)
    .where(
      and(
        eq(t.steps.companyId, companyId),
        eq(t.steps.kind, 'inspection'),
        isNotNull(t.steps.makeId),
        inArray(t.steps.makeId, formed),
      ),
    )
    .orderBy(asc(t.steps.performedAt), asc(t.steps.id))
  return new Map(rows.map(({ makeId, body }) => [makeId ?? '', body as InspectionBody]))
}

/** Pressure tests and evacuations read with it as gauge or thermometer, and charges weighed with it. Oldest first. */
export async function listRestingTests(
  scope: Scope,
  instrumentId: string,
  span: UseSpan,
): Promise<RestingTest[]> {
  const { db, t, companyId } = scope
  const readWith = (column: typeof t.sectionReadings.instrumentId) =>
    db
      .select({ id: t.sectionReadings.testId })
      .from(t.sectionReadings)
      .where(
        and(
          eq(t.sectionReadings.companyId, companyId),
          eq(column, instrumentId),
          lte(t.sectionReadings.at, span.to),
          span.from === null ? undefined : gte(t.sectionReadings.at, span.from),
        ),
      )
  const during = (column: typeof t.sectionTests.performedAt | typeof t.charges.performedAt) =>
    and(lte(column, span.to), span.from === null ? undefined : gte(column, span.from))
  const readIds = [
    ...new Set(
      [
        ...(await readWith(t.sectionReadings.instrumentId)),
        ...(await readWith(t.sectionReadings.thermometerInstrumentId)),
      ].map(({ id }) => id),
    ),
  ]
  const testsWhere = (namesIt: SQL) =>
    db
      .select({
        id: t.sectionTests.id,
        kind: t.sectionTests.kind,
        jobId: t.sectionTests.jobId,
        systemId: t.sectionTests.systemId,
        performedAt: t.sectionTests.performedAt,
        setUp: t.sectionTests.setUp,
      })
      .from(t.sectionTests)
      .where(and(eq(t.sectionTests.companyId, companyId), during(t.sectionTests.performedAt), namesIt))
  const found = await testsWhere(eq(t.sectionTests.gaugeInstrumentId, instrumentId))
  // A thermometer stands inside the set-up. The text that has its id anywhere may be one; which it is, is looked at after.
  const mayName = await testsWhere(sql`${t.sectionTests.setUp} like ${`%${instrumentId}%`}`)
  found.push(
    ...mayName.filter(
      ({ setUp }) => 'thermometerInstrumentId' in setUp && setUp.thermometerInstrumentId === instrumentId,
    ),
  )
  for (const ids of chunks(new Set(readIds)))
    found.push(...(await testsWhere(inArray(t.sectionTests.id, ids))))
  const tests = [...new Map(found.map((test) => [test.id, test])).values()].sort(
    (one, other) => one.performedAt - other.performedAt || (one.id < other.id ? -1 : 1),
  )
  const charges = await db
    .select({
      id: t.charges.id,
      jobId: t.charges.jobId,
      systemId: t.charges.systemId,
      performedAt: t.charges.performedAt,
    })
    .from(t.charges)
    .where(
      and(
        eq(t.charges.companyId, companyId),
        eq(t.charges.scaleInstrumentId, instrumentId),
        during(t.charges.performedAt),
      ),
    )
    .orderBy(asc(t.charges.performedAt), asc(t.charges.id))
  const resting = [
    ...tests.map(({ setUp: _setUp, kind, ...test }) => ({
      ...test,
      kind: kind === 'pressure' ? ('pressure-test' as const) : kind,
    })),
    ...charges.map((charge) => ({ ...charge, kind: 'charge' as const })),
  ]
  const whereOf = await placesOf(scope, resting)
  return resting.map(({ id, kind, performedAt, ...row }) => ({ id, kind, performedAt, where: whereOf(row) }))
}

/** Read once for all: many records stand at few places. */
async function placesOf(scope: Scope, rows: readonly { jobId: string; systemId: string }[]) {
  const { db, t, companyId } = scope
  const jobs = new Map<string, string | null>()
  for (const ids of chunks(new Set(rows.map(({ jobId }) => jobId)))) {
    const found = await db
      .select({ id: t.jobs.id, reference: t.jobs.reference })
      .from(t.jobs)
      .where(and(eq(t.jobs.companyId, companyId), inArray(t.jobs.id, ids)))
    for (const { id, reference } of found) jobs.set(id, reference)
  }
  const systems = new Map<string, Pick<RestingPlace, 'systemName' | 'siteId' | 'customerName' | 'sheetId'>>()
  for (const ids of chunks(new Set(rows.map(({ systemId }) => systemId)))) {
    const found = await db
      .select({
        id: t.systems.id,
        systemName: t.systems.name,
        siteId: t.systems.siteId,
        sheetId: t.systems.equipmentSheetId,
        customerName: t.sites.customerName,
      })
      .from(t.systems)
      .innerJoin(t.sites, and(eq(t.sites.companyId, t.systems.companyId), eq(t.sites.id, t.systems.siteId)))
      .where(and(eq(t.systems.companyId, companyId), inArray(t.systems.id, ids)))
    const units = await listUnits(scope, ids)
    for (const { id, sheetId, ...system } of found) {
      const outdoor = units.find(
        (unit) => unit.systemId === id && unit.role === 'outdoor' && unit.removedAt === null,
      )
      systems.set(id, { ...system, sheetId: sheetId ?? outdoor?.equipmentSheetId ?? null })
    }
  }
  const nowhere = { systemName: '', siteId: '', customerName: '', sheetId: null }
  const places = new Map<string, RestingPlace>()
  return ({ jobId, systemId }: { jobId: string; systemId: string }): RestingPlace => {
    const key = jobId + systemId
    const known = places.get(key)
    if (known) return known
    const jobReference = jobs.get(jobId) ?? null
    const where = { jobId, jobReference, systemId, ...(systems.get(systemId) ?? nowhere) }
    places.set(key, where)
    return where
  }
}

/** Fewer at once than any database takes as parameters. */
function* chunks(ids: Iterable<string>, size = 500): Generator<string[]> {
  const all = [...ids]
  for (let from = 0; from < all.length; from += size) yield all.slice(from, from + size)
}

export interface RecallInBrief extends RecallRow {
  counts: Record<RecallJudgementWord, number>
  undecided: number
}

/** Refuses with missing. */
export async function findRecall({ db, t, companyId }: Scope, recallId: string): Promise<RecallRow> {
  const [row] = await db
    .select()
    .from(t.recalls)
    .where(and(eq(t.recalls.companyId, companyId), eq(t.recalls.id, recallId)))
  if (!row) throw missing('This recall')
  return row
}

export async function findRecallOf(
  { db, t, companyId }: Scope,
  calibrationId: string,
): Promise<RecallRow | null> {
  const [row] = await db
    .select()
    .from(t.recalls)
    .where(and(eq(t.recalls.companyId, companyId), eq(t.recalls.calibrationId, calibrationId)))
  return row ?? null
}

/** Newest first, those of the last years; there are few. */
export async function listRecalls(scope: Scope): Promise<RecallInBrief[]> {
  const { db, t, companyId } = scope
  const recalls = await db
    .select()
    .from(t.recalls)
    .where(eq(t.recalls.companyId, companyId))
    .orderBy(desc(t.recalls.openedAt), desc(t.recalls.id))
    .limit(200)
  const counted = await db
    .select({ recallId: t.recallItems.recallId, judgement: t.recallItems.judgement, number: count() })
    .from(t.recallItems)
    .where(eq(t.recallItems.companyId, companyId))
    .groupBy(t.recallItems.recallId, t.recallItems.judgement)
  const waiting = await db
    .select({ recallId: t.recallItems.recallId, number: count() })
    .from(t.recallItems)
    .where(and(eq(t.recallItems.companyId, companyId), isNull(t.recallItems.decidedAt)))
    .groupBy(t.recallItems.recallId)
  return recalls.map((recall) => {
    const of = (judgement: RecallJudgementWord) =>
      counted.find((row) => row.recallId === recall.id && row.judgement === judgement)?.number ?? 0
    return {
      ...recall,
      counts: { fails: of('fails'), doubtful: of('doubtful'), stands: of('stands') },
      undecided: waiting.find((row) => row.recallId === recall.id)?.number ?? 0,
    }
  })
}

export async function listRecallItems(
  { db, t, companyId }: Scope,
  recallId: string,
): Promise<RecallItemRow[]> {
  return db
    .select()
    .from(t.recallItems)
    .where(and(eq(t.recallItems.companyId, companyId), eq(t.recallItems.recallId, recallId)))
    .orderBy(asc(t.recallItems.id))
}
