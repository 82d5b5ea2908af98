// Opens a job at each place where something under recall waits to be looked at.

import { and, eq, inArray } from 'drizzle-orm'
import { z } from 'zod'
import { conflict } from '../../refusals.ts'
import { findInstrument } from '../../store/queries/instruments.ts'
import type { JobRow } from '../../store/queries/jobs.ts'
import { listRecallItems } from '../../store/queries/recalls.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id } from '../fields.ts'
import { openJob } from '../jobs/open-job.ts'
import { findOpenRecall } from './decide-recall.ts'
import { findUnderRecall } from './under-recall.ts'

export const openFollowUpJobs = defineCommand({
  name: 'open-follow-up-jobs',
  summary: 'Open a job at each site where records under recall fail or are in doubt.',
  capability: 'audit-job',
  input: z.strictObject({ recallId: id }),
  async handle(scope, input, context): Promise<{ recallId: string; jobs: JobRow[] }> {
    const { db, t, companyId } = scope
    const recall = await findOpenRecall(scope, input.recallId)
    const instrument = await findInstrument(scope, recall.instrumentId)
    const found = await findUnderRecall(scope, recall.instrumentId, recall.calibrationId)
    const waiting = new Set(
      (await listRecallItems(scope, recall.id))
        .filter(({ decidedAt, disposition }) => decidedAt === null && disposition === null)
        .map(({ evidenceId }) => evidenceId),
    )
    const records = (found?.records ?? []).filter(({ evidenceId }) => waiting.has(evidenceId))
    if (records.length === 0) throw conflict('nothing-to-follow-up', say.recalls.nothingUnderThisRecall)
    const jobs: JobRow[] = []
    for (const siteId of new Set(records.map(({ where }) => where.siteId))) {
      const here = records.filter((record) => record.where.siteId === siteId)
      const reference = `Recall: ${instrument.name}`.slice(0, 80)
      const job = await openJob.handle(
        scope,
        {
          siteId,
          kind: 'maintenance',
          reference,
          systemIds: [...new Set(here.map(({ where }) => where.systemId))],
        },
        context,
      )
      jobs.push(job)
      const evidenceIds = here.map(({ evidenceId }) => evidenceId)
      await db
        .update(t.recallItems)
        .set({ disposition: 'follow-up', note: job.id })
        .where(
          and(
            eq(t.recallItems.companyId, companyId),
            eq(t.recallItems.recallId, recall.id),
            inArray(t.recallItems.evidenceId, evidenceIds),
          ),
        )
      context.record({
        chainId: companyId,
        kind: 'recall-followed-up',
        subjectId: recall.id,
        jobId: job.id,
        body: { evidence: evidenceIds.toSorted() },
      })
    }
    return { recallId: recall.id, jobs }
  },
})
