// Closes a callback with its outcome: what leaked and why, that nothing was found, or that nobody could tell.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { findCallback, type WholeCallback } from '../../store/queries/callbacks.ts'
import { findSystem } from '../../store/queries/systems.ts'
import { keepLivesOfCallback } from '../../store/rollups.ts'
import { addressIn, announce } from '../../webhooks/announce.ts'
import { defineCommand } from '../command.ts'
import { id } from '../fields.ts'
import {
  appendFindings,
  assertOutcomeFits,
  callbackBody,
  callbackFields,
  detailAfter,
  outcome,
} from './callback-fields.ts'
import { findOpenCallback } from './change-callback.ts'

export const closeCallback = defineCommand({
  name: 'close-callback',
  summary: 'Close a callback with its outcome; a leak that was found carries its part and cause.',
  capability: 'handle-callback',
  input: z.strictObject({ callbackId: id, outcome, ...callbackFields }),
  async handle(scope, input, context): Promise<WholeCallback> {
    const { db, t, companyId } = scope
    const before = await findOpenCallback(scope, input.callbackId)
    const system = await findSystem(scope, before.systemId)
    const { rows, seals } = await appendFindings(scope, before, input.found, context)
    assertOutcomeFits(input.outcome, before.findings.length + rows.length)
    const { findings: _findings, repairJobIds: _jobs, ...row } = before
    const after = {
      ...row,
      outcome: input.outcome,
      detail: detailAfter(input, row.detail),
      closedAt: context.now,
      closedBy: context.actor.memberId,
    }
    const { outcome, detail, closedAt, closedBy } = after
    await db
      .update(t.callbacks)
      .set({ outcome, detail, closedAt, closedBy })
      .where(and(eq(t.callbacks.companyId, companyId), eq(t.callbacks.id, row.id)))
    context.record({
      chainId: row.systemId,
      kind: 'callback-closed',
      subjectId: row.id,
      facts: seals,
      body: await callbackBody(scope, after, system),
    })
    await announce(scope, context, 'callback.closed', {
      callbackId: row.id,
      systemId: row.systemId,
      outcome,
      findings: [...before.findings, ...rows].map(({ part, jointId }) => ({ part, jointId })),
      url: addressIn(context, `/callbacks/${row.id}`),
    })
    await keepLivesOfCallback(scope, row.id)
    return findCallback(scope, row.id)
  },
})
