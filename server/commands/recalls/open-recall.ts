// Opens the recall of an instrument that was found off: every record that rests on it, judged anew and listed.

import { z } from 'zod'
import { conflict, malformedField } from '../../refusals.ts'
import { findRecallOf, type RecallRow } from '../../store/queries/recalls.ts'
import { holdChain } from '../../store/queries/systems.ts'
import { RECALL_JUDGEMENTS } from '../../vocabulary.ts'
import { addressIn, announce } from '../../webhooks/announce.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, ownId } from '../fields.ts'
import { findUnderRecall } from './under-recall.ts'

/** Rows in one statement: no database takes more parameters than that needs. */
const AT_ONCE = 500

export const openRecall = defineCommand({
  name: 'open-recall',
  summary: 'Open the recall of an instrument that was found out of tolerance.',
  capability: 'audit-job',
  input: z.strictObject({
    id: ownId,
    instrumentId: id,
    calibrationId: id
      .optional()
      .meta({ description: 'The check that found it off. Default: the newest that did.' }),
  }),
  async handle(scope, input, context): Promise<RecallRow> {
    const { db, t, companyId } = scope
    const found = await findUnderRecall(scope, input.instrumentId, input.calibrationId)
    if (!found) {
      if (input.calibrationId !== undefined) throw malformedField('calibrationId', say.recalls.noCheckOfThis)
      throw conflict('nothing-to-recall', say.recalls.noCheckHasFound)
    }
    // Two at once must not both find none.
    await holdChain(scope, companyId)
    const calibrationId = found.span.found.id
    if (await findRecallOf(scope, calibrationId))
      throw conflict('recall-open', say.recalls.thisRecallWasOpened)
    const recall: RecallRow = {
      companyId,
      id: input.id ?? context.newId(),
      instrumentId: input.instrumentId,
      calibrationId,
      openedBy: context.actor.memberId,
      openedAt: context.now,
      closedAt: null,
      closedBy: null,
    }
    await db.insert(t.recalls).values(recall)
    const items = found.records.map(({ evidenceId, where: { jobId }, rejudged: { judgement } }) => {
      const settled = judgement === 'stands'
      return {
        companyId,
        id: context.newId(),
        recallId: recall.id,
        evidenceId,
        jobId,
        judgement,
        disposition: settled ? 'stands' : null,
        note: null,
        decidedBy: settled ? context.actor.memberId : null,
        decidedAt: settled ? context.now : null,
      }
    })
    for (let from = 0; from < items.length; from += AT_ONCE)
      await db.insert(t.recallItems).values(items.slice(from, from + AT_ONCE))
    const counts = RECALL_JUDGEMENTS.map((judgement) => [
      judgement,
      items.filter((item) => item.judgement === judgement).length,
    ])
    context.record({
      chainId: companyId,
      kind: 'recall-opened',
      subjectId: recall.id,
      body: { instrument: input.instrumentId, calibration: calibrationId, ...Object.fromEntries(counts) },
    })
    await announce(scope, context, 'recall.opened', {
      recallId: recall.id,
      instrumentId: recall.instrumentId,
      calibrationId,
      recordsToDecide: items.filter(({ disposition }) => disposition === null).length,
      url: addressIn(context, `/recalls/${recall.id}`),
    })
    return recall
  },
})
