// Takes in a callback: somebody says that a system leaks, or a maker asks.

import { z } from 'zod'
import { missingField, Refusal } from '../../refusals.ts'
import { type CallbackRow, findCallback, type WholeCallback } from '../../store/queries/callbacks.ts'
import { findSystem } from '../../store/queries/systems.ts'
import { keepLivesOfCallback } from '../../store/rollups.ts'
import { addressIn, announce } from '../../webhooks/announce.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, moment, ownId, text } from '../fields.ts'
import { notFuture } from '../provenance.ts'
import {
  appendFindings,
  assertOutcomeFits,
  callbackBody,
  callbackFields,
  detailAfter,
  outcome,
} from './callback-fields.ts'

export const openCallback = defineCommand({
  name: 'open-callback',
  summary: 'Take in a callback: a return visit or claim for a suspected leak.',
  capability: 'handle-callback',
  input: z.strictObject({
    id: ownId,
    systemId: id,
    reportedAt: moment
      .optional()
      .meta({ description: 'When it was reported. Default: now. Not the future.' }),
    symptom: text(2000).meta({ description: 'In the words of who called.' }),
    outcome: outcome
      .optional()
      .meta({ description: 'Default: found where a finding is given, else not-yet-known.' }),
    ...callbackFields,
  }),
  async handle(scope, input, context): Promise<WholeCallback> {
    const { db, t, companyId } = scope
    const system = await findSystem(scope, input.systemId).catch((problem) => {
      // The system is named by a field, not by the address.
      throw problem instanceof Refusal && problem.kind === 'missing'
        ? missingField('systemId', say.callbacks.thisSystem)
        : problem
    })
    const found = input.found ?? []
    const callback: CallbackRow = {
      companyId,
      id: input.id ?? context.newId(),
      systemId: system.id,
      reportedAt: notFuture('reportedAt', input.reportedAt ?? context.now, context.now),
      symptom: input.symptom,
      outcome: input.outcome ?? (found.length > 0 ? 'found' : 'not-yet-known'),
      detail: detailAfter(input),
      recordedBy: context.actor.memberId,
      recordedAt: context.now,
      closedAt: null,
      closedBy: null,
    }
    assertOutcomeFits(callback.outcome, found.length)
    await db.insert(t.callbacks).values(callback)
    const { seals } = await appendFindings(scope, callback, found, context)
    context.record({
      chainId: system.id,
      kind: 'callback-opened',
      subjectId: callback.id,
      facts: seals,
      body: await callbackBody(scope, callback, system),
    })
    await announce(scope, context, 'callback.opened', {
      callbackId: callback.id,
      systemId: system.id,
      reportedAt: new Date(callback.reportedAt).toISOString(),
      outcome: callback.outcome,
      url: addressIn(context, `/callbacks/${callback.id}`),
    })
    await keepLivesOfCallback(scope, callback.id)
    return findCallback(scope, callback.id)
  },
})
