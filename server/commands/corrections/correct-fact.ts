// Corrects a recorded fact: never edited, but superseded by another, with a reason.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { conflict, malformedField, Refusal } from '../../refusals.ts'
import type { Dossier } from '../../rules/dossier.ts'
import { evaluate } from '../../rules/index.ts'
import { judgeEvacuationTest } from '../../rules/judge-evacuation.ts'
import { judgePressureTest } from '../../rules/judge-pressure-test.ts'
import { loadDossier } from '../../store/queries/dossier.ts'
import { findEntry } from '../../store/queries/entries.ts'
import { appendFact, type FactSeal } from '../../store/record.ts'
import { keepLives } from '../../store/rollups.ts'
import type { Scope } from '../../store/store.ts'
import type { CorrectionState } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { type Context, defineCommand } from '../command.ts'
import { id, ownId, reason } from '../fields.ts'
import { findOpenJob } from '../jobs/job-turns.ts'
import { type CorrectedKind, firstRecording, type Replacement, replacementFor } from './replacements.ts'

/** A typing slip mended this soon by the same person stands at once, whatever it changes. */
const SLIP_MS = 10 * 60_000

export interface Corrected {
  id: string
  state: CorrectionState
  changesOutcome: boolean
  replacementId: string
  entryId: string
  jobId: string
  /** Where it was a step: the joint that it is about. */
  jointId: string | null
  /** What was corrected: the joint, the test, the charge or the running check. */
  about: { kind: CorrectedKind; id: string; systemId: string }
}

export const correctFact = defineCommand({
  name: 'correct-fact',
  summary: 'Correct a recorded step, reading, charge or running check; the original stays.',
  capability: 'record-work',
  input: z.strictObject({
    id: ownId,
    entryId: id.meta({ description: 'The entry that recorded it.' }),
    factId: id.optional().meta({ description: 'Which fact of the entry, where it brought several.' }),
    reason,
    replacement: z
      .record(z.string(), z.unknown())
      .meta({ description: 'The same fields as it was recorded with.' }),
  }),
  async handle(scope, input, context): Promise<Corrected> {
    const fact = factIn(await findEntry(scope, input.entryId), input.factId)
    const replacement = await replacementFor(scope, context, fact.table, fact.id, input.replacement).catch(
      (problem) => {
        throw insideReplacement(problem)
      },
    )
    await findOpenJob(scope, replacement.jobId)
    await assertNotCorrected(scope, fact.id)
    const changesOutcome = await wouldChange(scope, context, replacement, fact.id)
    const first = await firstRecording(scope, fact.table, fact.id)
    const isSlip = first.recordedBy === context.actor.memberId && context.now - first.recordedAt <= SLIP_MS
    const stands = !changesOutcome || isSlip

    const replacementSeal = await appendFact(scope, replacement.table as 'steps', replacement.row as never)
    const correctionId = input.id ?? context.newId()
    const seals: FactSeal[] = [
      replacementSeal,
      await appendFact(scope, 'corrections', {
        companyId: scope.companyId,
        id: correctionId,
        entryId: input.entryId,
        factTable: fact.table,
        factId: fact.id,
        replacementId: replacement.row.id,
        jobId: replacement.jobId,
        reason: input.reason,
        changesOutcome,
        requestedBy: context.actor.memberId,
        requestedAt: context.now,
      }),
    ]
    if (stands)
      seals.push(
        await appendFact(scope, 'correctionDecisions', {
          companyId: scope.companyId,
          id: context.newId(),
          correctionId,
          state: 'accepted',
          reason: changesOutcome ? say.corrections.typingSlipMendedAt : say.corrections.noOutcomeChanges,
          decidedBy: context.actor.memberId,
          decidedAt: context.now,
        }),
      )
    if (stands && replacement.table === 'steps') await keepLives(scope, [replacement.subjectId])
    const entryId = context.record({
      chainId: replacement.systemId,
      kind: stands ? 'fact-corrected' : 'correction-asked',
      subjectId: replacement.subjectId,
      jobId: replacement.jobId,
      facts: seals,
      body: { corrects: fact.id, changesOutcome },
    })
    return {
      id: correctionId,
      state: stands ? 'accepted' : 'waiting',
      changesOutcome,
      replacementId: replacement.row.id,
      entryId,
      jobId: replacement.jobId,
      jointId: replacement.table === 'steps' ? replacement.subjectId : null,
      about: { kind: replacement.kind, id: replacement.subjectId, systemId: replacement.systemId },
    }
  },
})

function factIn(entry: { facts: FactSeal[] }, factId: string | undefined): FactSeal {
  if (factId === undefined) {
    const [only, ...others] = entry.facts
    if (!only) throw malformedField('entryId', say.corrections.thisEntryRecordedNothing)
    if (others.length > 0) throw malformedField('factId', say.corrections.thisEntryBroughtSeveral)
    return only
  }
  const named = entry.facts.find((fact) => fact.id === factId)
  if (!named) throw malformedField('factId', say.corrections.thisEntryDidNot)
  return named
}

/** One fact has one replacement; what is wrong again is corrected on the replacement. */
async function assertNotCorrected({ db, t, companyId }: Scope, factId: string): Promise<void> {
  const rows = await db
    .select({ state: t.correctionDecisions.state })
    .from(t.corrections)
    .leftJoin(
      t.correctionDecisions,
      and(
        eq(t.correctionDecisions.companyId, t.corrections.companyId),
        eq(t.correctionDecisions.correctionId, t.corrections.id),
      ),
    )
    .where(and(eq(t.corrections.companyId, companyId), eq(t.corrections.factId, factId)))
  if (rows.some((row) => row.state !== 'refused'))
    throw conflict('already-corrected', say.corrections.thisWasCorrectedAlready)
}

/** Is any outcome of the job another one when the replacement stands in the original's place? */
async function wouldChange(
  scope: Scope,
  context: Context,
  replacement: Replacement,
  originalId: string,
): Promise<boolean> {
  const before = await loadDossier(scope, replacement.jobId, context.now)
  const after = replaced(before, originalId, replacement.asFact) as Dossier
  return outcomesOf(before) !== outcomesOf(after)
}

/**
 * Each outcome, and whether it could be conceded: to make something concedable is a change that a manager has to know
 * of. And what each test comes to, also while it runs: its hold point says the same until the test is ended.
 */
function outcomesOf(dossier: Dossier): string {
  const findings = evaluate(dossier).map(({ requirement, subject, outcome, concedable }) =>
    [requirement, subject.id, outcome, concedable].join(' '),
  )
  const tests = dossier.systems.flatMap((system) => [
    ...system.pressureTests.map((test) => {
      const { verdict, overLimit } = judgePressureTest(test, system, dossier)
      return [test.id, verdict, overLimit].join(' ')
    }),
    ...system.evacuations.map((test) =>
      [test.id, judgeEvacuationTest(test, system, dossier).verdict].join(' '),
    ),
  ])
  return JSON.stringify([...findings, ...tests].sort())
}

/** The same picture with one thing replaced, wherever it stands in it; what the replacement leaves out is kept. */
function replaced(value: unknown, id: string, by: Record<string, unknown>): unknown {
  if (Array.isArray(value)) return value.map((item) => replaced(item, id, by))
  if (typeof value !== 'object' || value === null) return value
  const thing = value as Record<string, unknown>
  if (thing.id === id) return { ...thing, ...by }
  return Object.fromEntries(Object.entries(thing).map(([name, item]) => [name, replaced(item, id, by)]))
}

function insideReplacement(problem: unknown): unknown {
  if (!(problem instanceof Refusal) || problem.errors.length === 0) return problem
  const errors = problem.errors.map((error) => ({ ...error, path: `replacement.${error.path}` }))
  return new Refusal(problem.kind, problem.code, problem.message, { errors, findings: problem.findings })
}
