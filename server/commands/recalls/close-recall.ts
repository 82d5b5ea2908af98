// Closes a recall once something was decided about each record that still rests on the instrument.

import { and, eq, isNull } from 'drizzle-orm'
import { z } from 'zod'
import { conflict } from '../../refusals.ts'
import { findRecall, listRecallItems, type RecallRow } from '../../store/queries/recalls.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id } from '../fields.ts'
import { findOpenRecall } from './decide-recall.ts'
import { findUnderRecall } from './under-recall.ts'

const theSuperseded = () => say.recalls.madeAgainTakenOut

export const closeRecall = defineCommand({
  name: 'close-recall',
  summary: 'Close a recall once each of its records is settled.',
  capability: 'audit-job',
  input: z.strictObject({ recallId: id }),
  async handle(scope, input, context): Promise<RecallRow> {
    const { db, t, companyId } = scope
    const recall = await findOpenRecall(scope, input.recallId)
    const under = await findUnderRecall(scope, recall.instrumentId, recall.calibrationId)
    const resting = new Set(under?.records.map(({ evidenceId }) => evidenceId))
    const unsettled = (await listRecallItems(scope, recall.id)).filter(({ decidedAt }) => decidedAt === null)
    const left = unsettled.filter(({ evidenceId }) => resting.has(evidenceId)).length
    if (left > 0)
      throw conflict(
        'recall-unsettled',
        say.recalls.notSettledYetSay(left === 1 ? say.recalls.oneRecordIs : say.recalls.recordsAre(left)),
      )
    const decided = { decidedBy: context.actor.memberId, decidedAt: context.now }
    await db
      .update(t.recallItems)
      .set({ disposition: 'put-right', note: theSuperseded(), ...decided })
      .where(
        and(
          eq(t.recallItems.companyId, companyId),
          eq(t.recallItems.recallId, recall.id),
          isNull(t.recallItems.decidedAt),
        ),
      )
    await db
      .update(t.recalls)
      .set({ closedAt: context.now, closedBy: context.actor.memberId })
      .where(and(eq(t.recalls.companyId, companyId), eq(t.recalls.id, recall.id)))
    context.record({ chainId: companyId, kind: 'recall-closed', subjectId: recall.id })
    return findRecall(scope, recall.id)
  },
})
