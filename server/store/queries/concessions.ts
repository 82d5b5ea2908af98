// Which concessions were asked for, and how was each answered?

import { and, asc, count, desc, eq, inArray, isNull, max } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import type { RequirementCode } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'

export type ConcessionRequestRow = Tables['concessionRequests']['$inferSelect']

/** `waits`: for an answer; `withdrawn`: the job went back before there was one. */
export type RequestState = 'waits' | 'granted' | 'refused' | 'withdrawn'

export interface AskedConcession {
  id: string
  jobId: string
  requirement: RequirementCode
  subjectId: string
  reason: string
  photoIds: string[]
  requestedBy: string
  requestedAt: number
  state: RequestState
  answer: {
    id: string
    reason: string
    conditions: string | null
    decidedBy: string
    decidedAt: number
  } | null
}

type Read = {
  request: ConcessionRequestRow
  answer: Tables['concessions']['$inferSelect'] | null
  stage: string
  stageAt: number
}

/** While a job waits for audit, `stageAt` is when it was submitted: what was asked for before that waits no more. */
function readRequests({ db, t, companyId }: Scope) {
  return db
    .select({
      request: t.concessionRequests,
      answer: t.concessions,
      stage: t.jobs.stage,
      stageAt: t.jobs.stageAt,
    })
    .from(t.concessionRequests)
    .innerJoin(t.jobs, and(eq(t.jobs.companyId, companyId), eq(t.jobs.id, t.concessionRequests.jobId)))
    .leftJoin(
      t.concessions,
      and(eq(t.concessions.companyId, companyId), eq(t.concessions.requestId, t.concessionRequests.id)),
    )
}

function asAsked({ request, answer, stage, stageAt }: Read): AskedConcession {
  const { companyId: _, ...asked } = request
  const waits = stage === 'submitted' && request.requestedAt >= stageAt
  return {
    ...asked,
    state: answer ? (answer.granted ? 'granted' : 'refused') : waits ? 'waits' : 'withdrawn',
    answer: answer && {
      id: answer.id,
      reason: answer.reason,
      conditions: answer.conditions,
      decidedBy: answer.decidedBy,
      decidedAt: answer.decidedAt,
    },
  }
}

export async function findRequestToAnswer(scope: Scope, requestId: string): Promise<AskedConcession> {
  const { t, companyId } = scope
  const [row] = await readRequests(scope).where(
    and(eq(t.concessionRequests.companyId, companyId), eq(t.concessionRequests.id, requestId)),
  )
  if (!row) throw missing(say.concessions.thisRequest)
  return asAsked(row)
}

export async function listRequestsOfJob(scope: Scope, jobId: string): Promise<AskedConcession[]> {
  const { t, companyId } = scope
  const rows = await readRequests(scope)
    .where(and(eq(t.concessionRequests.companyId, companyId), eq(t.concessionRequests.jobId, jobId)))
    .orderBy(asc(t.concessionRequests.requestedAt), asc(t.concessionRequests.id))
  return rows.map(asAsked)
}

/** What waits for an answer, the longest first. It waits with a submitted job, so there are never very many. */
export async function listWaitingRequests(scope: Scope): Promise<AskedConcession[]> {
  const { t, companyId } = scope
  const rows = await readRequests(scope)
    .where(
      and(
        eq(t.concessionRequests.companyId, companyId),
        eq(t.jobs.stage, 'submitted'),
        isNull(t.concessions.id),
      ),
    )
    .orderBy(asc(t.concessionRequests.requestedAt), asc(t.concessionRequests.id))
  return rows.map(asAsked).filter(({ state }) => state === 'waits')
}

export interface Precedents {
  requirement: RequirementCode
  granted: number
  refused: number
  lastGrantedAt: number | null
}

/** How requests of these kinds were answered before, or conceded unasked. */
export async function listPrecedents(
  { db, t, companyId }: Scope,
  requirements: readonly RequirementCode[],
): Promise<Map<RequirementCode, Precedents>> {
  if (requirements.length === 0) return new Map()
  const rows = await db
    .select({
      requirement: t.concessions.requirement,
      granted: t.concessions.granted,
      many: count(),
      lastAt: max(t.concessions.decidedAt),
    })
    .from(t.concessions)
    .where(and(eq(t.concessions.companyId, companyId), inArray(t.concessions.requirement, [...requirements])))
    .groupBy(t.concessions.requirement, t.concessions.granted)
  const found = new Map<RequirementCode, Precedents>()
  for (const { requirement, granted, many, lastAt } of rows) {
    const one = found.get(requirement) ?? { requirement, granted: 0, refused: 0, lastGrantedAt: null }
    found.set(
      requirement,
      granted
        ? { ...one, granted: Number(many), lastGrantedAt: lastAt === null ? null : Number(lastAt) }
        : { ...one, refused: Number(many) },
    )
  }
  return found
}

/** The last few of one requirement, with where they were. */
export async function listLastConcessions(
  { db, t, companyId }: Scope,
  requirement: RequirementCode,
  limit: number,
) {
  return db
    .select({
      id: t.concessions.id,
      jobId: t.concessions.jobId,
      jobReference: t.jobs.reference,
      granted: t.concessions.granted,
      reason: t.concessions.reason,
      decidedAt: t.concessions.decidedAt,
    })
    .from(t.concessions)
    .innerJoin(t.jobs, and(eq(t.jobs.companyId, companyId), eq(t.jobs.id, t.concessions.jobId)))
    .where(and(eq(t.concessions.companyId, companyId), eq(t.concessions.requirement, requirement)))
    .orderBy(desc(t.concessions.decidedAt), desc(t.concessions.id))
    .limit(limit)
}
