// Adds to an open callback: what was found, what was done, how the claim stands, which job repairs it.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { conflict, malformedField, missingField } from '../../refusals.ts'
import { findCallback, type WholeCallback } from '../../store/queries/callbacks.ts'
import { findSystem, holdChain } from '../../store/queries/systems.ts'
import { keepLivesOfCallback } from '../../store/rollups.ts'
import type { Scope } from '../../store/store.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, moment, text } from '../fields.ts'
import { notFuture } from '../provenance.ts'
import {
  appendFindings,
  assertOutcomeFits,
  callbackBody,
  callbackFields,
  detailAfter,
  outcome,
} from './callback-fields.ts'

export const changeCallback = defineCommand({
  name: 'change-callback',
  summary: 'Add findings to an open callback, or change what is known of it.',
  capability: 'handle-callback',
  input: z.strictObject({
    callbackId: id,
    reportedAt: moment.optional(),
    symptom: text(2000).optional(),
    outcome: outcome.optional(),
    repairJobId: id.optional().meta({ description: 'The job on the same system that repairs it.' }),
    ...callbackFields,
  }),
  async handle(scope, input, context): Promise<WholeCallback> {
    const { db, t, companyId } = scope
    const before = await findOpenCallback(scope, input.callbackId)
    const system = await findSystem(scope, before.systemId)
    if (input.repairJobId !== undefined) await linkRepair(scope, before, input.repairJobId)
    const { rows, seals } = await appendFindings(scope, before, input.found, context)
    const findings = before.findings.length + rows.length
    const { findings: _findings, repairJobIds: _jobs, ...row } = before
    const after = {
      ...row,
      reportedAt: notFuture('reportedAt', input.reportedAt ?? row.reportedAt, context.now),
      symptom: input.symptom ?? row.symptom,
      outcome: input.outcome ?? (rows.length > 0 ? 'found' : row.outcome),
      detail: detailAfter(input, row.detail),
    }
    assertOutcomeFits(after.outcome, findings)
    const { reportedAt, symptom, outcome, detail } = after
    await db
      .update(t.callbacks)
      .set({ reportedAt, symptom, outcome, detail })
      .where(and(eq(t.callbacks.companyId, companyId), eq(t.callbacks.id, row.id)))
    context.record({
      chainId: row.systemId,
      kind: 'callback-changed',
      subjectId: row.id,
      jobId: input.repairJobId ?? null,
      facts: seals,
      body: {
        ...(await callbackBody(scope, after, system)),
        ...(input.repairJobId === undefined ? {} : { repairJob: input.repairJobId }),
      },
    })
    await keepLivesOfCallback(scope, row.id)
    return findCallback(scope, row.id)
  },
})

/** The callback, open until the commit; what was closed stays as it was closed. */
export async function findOpenCallback(scope: Scope, callbackId: string): Promise<WholeCallback> {
  const { systemId } = await findCallback(scope, callbackId)
  await holdChain(scope, systemId)
  const callback = await findCallback(scope, callbackId)
  if (callback.closedAt !== null) throw conflict('callback-closed', say.callbacks.thisCallbackIsClosed)
  return callback
}

async function linkRepair(
  { db, t, companyId }: Scope,
  callback: WholeCallback,
  jobId: string,
): Promise<void> {
  const [job] = await db
    .select({ callbackId: t.jobs.callbackId, systemId: t.jobSystems.systemId })
    .from(t.jobs)
    .leftJoin(
      t.jobSystems,
      and(
        eq(t.jobSystems.companyId, t.jobs.companyId),
        eq(t.jobSystems.jobId, t.jobs.id),
        eq(t.jobSystems.systemId, callback.systemId),
      ),
    )
    .where(and(eq(t.jobs.companyId, companyId), eq(t.jobs.id, jobId)))
  if (!job) throw missingField('repairJobId', say.callbacks.thisJob)
  if (job.systemId === null) throw malformedField('repairJobId', say.callbacks.thatJobIsNot)
  if (job.callbackId !== null && job.callbackId !== callback.id)
    throw malformedField('repairJobId', say.callbacks.thatJobAlreadyBelongs)
  await db
    .update(t.jobs)
    .set({ callbackId: callback.id })
    .where(and(eq(t.jobs.companyId, companyId), eq(t.jobs.id, jobId)))
}
