// Says what was done about records under recall: put right on site, or left as they are with a reason.

import { and, eq, inArray } from 'drizzle-orm'
import { z } from 'zod'
import { conflict, missingField } from '../../refusals.ts'
import { findRecall, listRecallItems, type RecallRow } from '../../store/queries/recalls.ts'
import type { Scope } from '../../store/store.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id, text } from '../fields.ts'

const DECISIONS = ['left-as-is', 'put-right'] as const

export const decideRecall = defineCommand({
  name: 'decide-recall',
  summary: 'Settle records under recall: put right, or left as they are, and why.',
  capability: 'audit-job',
  input: z.strictObject({
    recallId: id,
    evidenceIds: z
      .array(id, { error: () => say.recalls.chooseAtLeastOne })
      .min(1, { error: () => say.recalls.chooseAtLeastOne })
      .max(1000)
      .meta({ description: 'The records, by the id of the step, test or charge.' }),
    disposition: z.enum(DECISIONS, { error: () => say.recalls.useOneOf(DECISIONS.join(', ')) }),
    note: text(500).meta({ description: 'What was done, or why nothing is.' }),
  }),
  async handle(scope, input, context): Promise<RecallRow> {
    const { db, t, companyId } = scope
    const recall = await findOpenRecall(scope, input.recallId)
    const items = await listRecallItems(scope, recall.id)
    const chosen = new Set(input.evidenceIds)
    const found = items.filter(({ evidenceId }) => chosen.has(evidenceId))
    if (found.length !== chosen.size) throw missingField('evidenceIds', say.recalls.oneOfTheseRecords)
    await db
      .update(t.recallItems)
      .set({
        disposition: input.disposition,
        note: input.note,
        decidedBy: context.actor.memberId,
        decidedAt: context.now,
      })
      .where(
        and(
          eq(t.recallItems.companyId, companyId),
          eq(t.recallItems.recallId, recall.id),
          inArray(t.recallItems.evidenceId, [...chosen]),
        ),
      )
    context.record({
      chainId: companyId,
      kind: 'recall-decided',
      subjectId: recall.id,
      body: { disposition: input.disposition, note: input.note, evidence: [...chosen].sort() },
    })
    return recall
  },
})

/** Refuses with missing, or when it is closed. */
export async function findOpenRecall(scope: Scope, recallId: string): Promise<RecallRow> {
  const recall = await findRecall(scope, recallId)
  if (recall.closedAt !== null) throw conflict('recall-closed', say.recalls.thisRecallIsClosed)
  return recall
}
