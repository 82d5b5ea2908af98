// Which corrections were made, and which still wait for a manager?

import { and, asc, eq, inArray, isNull } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import type { CorrectionState } from '../../vocabulary.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import { chargeIn, type RecordedCharge } from './charges.ts'
import { type RecordedStep, toStep } from './joints.ts'
import { type RecordedRunningCheck, runningCheckIn } from './running-checks.ts'

export type CorrectionRow = Tables['corrections']['$inferSelect']
export interface CorrectionWithState extends CorrectionRow {
  state: CorrectionState
  decidedBy: string | null
  decidedAt: number | null
  decisionReason: string | null
}

export async function listWaitingCorrections(
  { db, t, companyId }: Scope,
  jobId: string,
): Promise<CorrectionRow[]> {
  const rows = await db
    .select({ correction: t.corrections })
    .from(t.corrections)
    .leftJoin(
      t.correctionDecisions,
      and(
        eq(t.correctionDecisions.companyId, t.corrections.companyId),
        eq(t.correctionDecisions.correctionId, t.corrections.id),
      ),
    )
    .where(
      and(
        eq(t.corrections.companyId, companyId),
        eq(t.corrections.jobId, jobId),
        isNull(t.correctionDecisions.id),
      ),
    )
    .orderBy(asc(t.corrections.requestedAt), asc(t.corrections.id))
  return rows.map((row) => row.correction)
}

export async function listCorrectionsOfJob(
  { db, t, companyId }: Scope,
  jobId: string,
): Promise<CorrectionWithState[]> {
  const rows = await db
    .select({
      correction: t.corrections,
      state: t.correctionDecisions.state,
      decidedBy: t.correctionDecisions.decidedBy,
      decidedAt: t.correctionDecisions.decidedAt,
      decisionReason: t.correctionDecisions.reason,
    })
    .from(t.corrections)
    .leftJoin(
      t.correctionDecisions,
      and(
        eq(t.correctionDecisions.companyId, t.corrections.companyId),
        eq(t.correctionDecisions.correctionId, t.corrections.id),
      ),
    )
    .where(and(eq(t.corrections.companyId, companyId), eq(t.corrections.jobId, jobId)))
    .orderBy(asc(t.corrections.requestedAt), asc(t.corrections.id))
  return rows.map(({ correction, state, decidedBy, decidedAt, decisionReason }) => ({
    ...correction,
    state: state ?? 'waiting',
    decidedBy,
    decidedAt,
    decisionReason,
  }))
}

/** A correction with both versions of what it is about. */
export interface Corrected<Fact> extends CorrectionWithState {
  original: Fact
  replacement: Fact
}
export type StepCorrection = Corrected<RecordedStep>

export type ReadingRow = Tables['sectionReadings']['$inferSelect']

/** What a correction may be about, each as its own queries answer it. */
export type CorrectedFact =
  | ({ table: 'steps' } & StepCorrection)
  | ({ table: 'sectionReadings' } & Corrected<ReadingRow>)
  | ({ table: 'charges' } & Corrected<RecordedCharge>)
  | ({ table: 'runningChecks' } & Corrected<RecordedRunningCheck>)

/** The corrections of some jobs with both versions of each, oldest first. */
export async function listCorrectedFacts(scope: Scope, jobIds: readonly string[]): Promise<CorrectedFact[]> {
  const corrections: CorrectionWithState[] = []
  for (const jobId of new Set(jobIds)) corrections.push(...(await listCorrectionsOfJob(scope, jobId)))
  if (corrections.length === 0) return []
  const idsIn = (table: CorrectedFact['table']) =>
    corrections.flatMap((one) => (one.factTable === table ? [one.factId, one.replacementId] : []))
  const read = {
    steps: await versionsById(scope, 'steps', idsIn('steps'), toStep),
    sectionReadings: await versionsById(scope, 'sectionReadings', idsIn('sectionReadings'), (row) => row),
    charges: await versionsById(scope, 'charges', idsIn('charges'), chargeIn),
    runningChecks: await versionsById(scope, 'runningChecks', idsIn('runningChecks'), runningCheckIn),
  }
  return corrections
    .sort((a, b) => a.requestedAt - b.requestedAt || (a.id < b.id ? -1 : 1))
    .flatMap((correction) => {
      const table = correction.factTable as CorrectedFact['table']
      const original = read[table]?.get(correction.factId)
      const replacement = read[table]?.get(correction.replacementId)
      // Both versions are of one table; that they are of the same kind is what the table says.
      return original && replacement
        ? [{ ...correction, table, original, replacement } as unknown as CorrectedFact]
        : []
    })
}

async function versionsById<Name extends CorrectedFact['table'], Fact>(
  { db, t, companyId }: Scope,
  table: Name,
  ids: readonly string[],
  read: (row: Tables[Name]['$inferSelect']) => Fact,
): Promise<Map<string, Fact>> {
  if (ids.length === 0) return new Map()
  // The four tables share the columns that are asked for here.
  const facts = t[table] as unknown as Tables['steps']
  const rows = await db
    .select()
    .from(facts)
    .where(and(eq(facts.companyId, companyId), inArray(facts.id, [...ids])))
  return new Map(rows.map((row) => [row.id, read(row as unknown as Tables[Name]['$inferSelect'])]))
}

/** The corrections of a joint's steps, oldest first. */
export async function listCorrectionsOfJoint(scope: Scope, jointId: string): Promise<StepCorrection[]> {
  const { db, t, companyId } = scope
  const rows = await db
    .select({
      correction: t.corrections,
      replacement: t.steps,
      state: t.correctionDecisions.state,
      decidedBy: t.correctionDecisions.decidedBy,
      decidedAt: t.correctionDecisions.decidedAt,
      decisionReason: t.correctionDecisions.reason,
    })
    .from(t.corrections)
    .innerJoin(
      t.steps,
      and(eq(t.steps.companyId, t.corrections.companyId), eq(t.steps.id, t.corrections.replacementId)),
    )
    .leftJoin(
      t.correctionDecisions,
      and(
        eq(t.correctionDecisions.companyId, t.corrections.companyId),
        eq(t.correctionDecisions.correctionId, t.corrections.id),
      ),
    )
    .where(and(eq(t.corrections.companyId, companyId), eq(t.steps.jointId, jointId)))
    .orderBy(asc(t.corrections.requestedAt), asc(t.corrections.id))
  if (rows.length === 0) return []
  const originals = await db
    .select()
    .from(t.steps)
    .where(
      and(
        eq(t.steps.companyId, companyId),
        inArray(
          t.steps.id,
          rows.map(({ correction }) => correction.factId),
        ),
      ),
    )
  const byId = new Map(originals.map((row) => [row.id, toStep(row)]))
  return rows.flatMap(({ correction, replacement, state, decidedBy, decidedAt, decisionReason }) => {
    const original = byId.get(correction.factId)
    if (!original) return []
    return [
      {
        ...correction,
        state: state ?? ('waiting' as const),
        decidedBy,
        decidedAt,
        decisionReason,
        original,
        replacement: toStep(replacement),
      },
    ]
  })
}

/** Refuses with missing. */
export async function findCorrection(
  { db, t, companyId }: Scope,
  correctionId: string,
): Promise<CorrectionRow> {
  const [row] = await db
    .select()
    .from(t.corrections)
    .where(and(eq(t.corrections.companyId, companyId), eq(t.corrections.id, correctionId)))
  if (!row) throw missing('This correction')
  return row
}
