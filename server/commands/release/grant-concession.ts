// A manager releases something that does not meet a requirement, with a reason; some requirements allow none.

import { and, desc, eq } from 'drizzle-orm'
import { z } from 'zod'
import { conflict, malformedField, refusedByRule } from '../../refusals.ts'
import { isReleased } from '../../rules/finding.ts'
import { findJob } from '../../store/queries/jobs.ts'
import { appendFact } from '../../store/record.ts'
import type { Scope } from '../../store/store.ts'
import type { Tables } from '../../store/tables/index.ts'
import { REQUIREMENT_CODES, type RequirementCode } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { type Context, defineCommand } from '../command.ts'
import { id, ownId, reason } from '../fields.ts'
import { assertOpen, chainOfJob, holdJob } from '../jobs/job-turns.ts'
import { judgeJob } from './judge-job.ts'
import { assertNotOwnWork } from './own-work.ts'

export type ConcessionRow = Tables['concessions']['$inferSelect']

/** What the release hangs on; printed with the reason. */
export const conditions = reason.optional()

export const grantConcession = defineCommand({
  name: 'grant-concession',
  summary: 'Release something that does not meet a requirement, where the requirement allows it.',
  capability: 'audit-job',
  input: z.strictObject({
    jobId: id,
    id: ownId,
    requirement: z.enum(REQUIREMENT_CODES, { error: () => say.jobs.notARequirement }),
    subjectId: id,
    reason,
    conditions,
  }),
  async handle(scope, input, context): Promise<ConcessionRow> {
    await holdJob(scope, input.jobId)
    return concede(scope, context, {
      ...input,
      requestId: await findRequest(scope, input.jobId, input.requirement, input.subjectId),
    })
  },
})

/** Of a job that is held already. */
export async function concede(
  scope: Scope,
  context: Context,
  input: {
    id?: string | undefined
    jobId: string
    requirement: RequirementCode
    subjectId: string
    requestId: string | null
    reason: string
    conditions?: string | undefined
  },
): Promise<ConcessionRow> {
  const job = await findJob(scope, input.jobId)
  if (job.stage === 'sealed') assertOpen(job)
  const { dossier, findings } = await judgeJob(scope, job.id, context.now)
  const finding = findings.find(
    ({ requirement, subject }) => requirement === input.requirement && subject.id === input.subjectId,
  )
  if (!finding) throw malformedField('subjectId', say.jobs.thisRequirementHasNo)
  if (isReleased(finding))
    throw conflict('nothing-to-concede', say.jobs.needsNoConcession(finding.title, finding.subject.name))
  if (!finding.concedable)
    throw refusedByRule('no-concession', say.jobs.thisCanNotBe(finding.title), [finding])
  await assertNotOwnWork(scope, dossier, context.actor.memberId, say.jobs.concedesIt)
  const row: ConcessionRow = {
    companyId: scope.companyId,
    id: input.id ?? context.newId(),
    jobId: job.id,
    requirement: input.requirement,
    subjectId: input.subjectId,
    requestId: input.requestId,
    granted: true,
    reason: input.reason,
    conditions: input.conditions || null,
    decidedBy: context.actor.memberId,
    decidedAt: context.now,
  }
  const seal = await appendFact(scope, 'concessions', row)
  context.record({
    chainId: await chainOfJob(scope, job.id),
    kind: 'concession-granted',
    subjectId: input.subjectId,
    jobId: job.id,
    facts: [seal],
    body: { requirement: input.requirement, outcome: finding.outcome, evidence: finding.evidence },
  })
  return row
}

/** The latest request for it, if it was asked for and has no answer yet. */
async function findRequest(
  { db, t, companyId }: Scope,
  jobId: string,
  requirement: ConcessionRow['requirement'],
  subjectId: string,
): Promise<string | null> {
  const [row] = await db
    .select({ id: t.concessionRequests.id, answerId: t.concessions.id })
    .from(t.concessionRequests)
    .leftJoin(
      t.concessions,
      and(eq(t.concessions.companyId, companyId), eq(t.concessions.requestId, t.concessionRequests.id)),
    )
    .where(
      and(
        eq(t.concessionRequests.companyId, companyId),
        eq(t.concessionRequests.jobId, jobId),
        eq(t.concessionRequests.requirement, requirement),
        eq(t.concessionRequests.subjectId, subjectId),
      ),
    )
    .orderBy(desc(t.concessionRequests.requestedAt), desc(t.concessionRequests.id))
    .limit(1)
  return row && row.answerId === null ? row.id : null
}
