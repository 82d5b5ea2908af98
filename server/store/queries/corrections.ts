// Which corrections were made, and which still wait for a manager?

import { and, asc, eq, inArray, isNull } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import type { CorrectionState } from '../../vocabulary.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import { type RecordedStep, toStep } from './joints.ts'

export type CorrectionRow = Tables['corrections']['$inferSelect']
export interface CorrectionWithState extends CorrectionRow {
  state: CorrectionState
  decidedBy: string | null
  decidedAt: number | null
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
  return rows.map(({ correction, state, decidedBy, decidedAt }) => ({
    ...correction,
    state: state ?? 'waiting',
    decidedBy,
    decidedAt,
  }))
}

/** A correction of a step, with both versions of it. */
export interface StepCorrection extends CorrectionWithState {
  original: RecordedStep
  replacement: RecordedStep
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
  return rows.flatMap(({ correction, replacement, state, decidedBy, decidedAt }) => {
    const original = byId.get(correction.factId)
    if (!original) return []
    return [
      {
        ...correction,
        state: state ?? ('waiting' as const),
        decidedBy,
        decidedAt,
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
