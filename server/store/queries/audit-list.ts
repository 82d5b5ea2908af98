// Which jobs wait for audit or were signed off lately, and what is known of each beside its record?

import { and, asc, desc, eq, gte, inArray, isNull, or, sum } from 'drizzle-orm'
import type { Dossier } from '../../rules/dossier.ts'
import type { JobStage } from '../../vocabulary.ts'
import type { Scope } from '../store.ts'
import type { JobRow } from './jobs.ts'

export interface AuditCandidate extends JobRow {
  customerName: string
  address: string
  town: string
  assignedName: string | null
  /** The last time it was handed in, and the event that was; null for what never was. */
  submitted: { id: string; at: number; by: string } | null
  /** How often it was sent back before. */
  sentBack: number
  /** Changes with whatever is recorded on its systems. */
  stamp: string
  changedByCorrection: number
  correctionsWaiting: number
  requests: number
}

/** More than anybody reads in one list. */
const MOST_JOBS = 1000

/** Jobs that wait, and those that were sealed since `sealedSince`, the longest waiting first; or just the one. */
export async function listAuditCandidates(
  scope: Scope,
  wanting: { submitted: boolean; sealedSince: number | null } | { jobId: string },
): Promise<AuditCandidate[]> {
  const { db, t, companyId } = scope
  const wanted =
    'jobId' in wanting
      ? [eq(t.jobs.id, wanting.jobId)]
      : [
          ...(wanting.submitted ? [eq(t.jobs.stage, 'submitted' satisfies JobStage)] : []),
          ...(wanting.sealedSince === null
            ? []
            : [and(eq(t.jobs.stage, 'sealed' satisfies JobStage), gte(t.jobs.stageAt, wanting.sealedSince))]),
        ]
  if (wanted.length === 0) return []
  const rows = await db
    .select({
      job: t.jobs,
      customerName: t.sites.customerName,
      address: t.sites.address,
      town: t.sites.town,
      assignedName: t.crew.name,
    })
    .from(t.jobs)
    .innerJoin(t.sites, and(eq(t.sites.companyId, t.jobs.companyId), eq(t.sites.id, t.jobs.siteId)))
    .leftJoin(t.crew, and(eq(t.crew.companyId, t.jobs.companyId), eq(t.crew.id, t.jobs.assignedTo)))
    .where(and(eq(t.jobs.companyId, companyId), or(...wanted)))
    .orderBy(asc(t.jobs.stageAt), asc(t.jobs.id))
    .limit(MOST_JOBS)
  const beside = await besides(
    scope,
    rows.map(({ job }) => job.id),
  )
  return rows.map(({ job, ...site }) => ({ ...job, ...site, ...beside(job.id) }))
}

type Beside = Omit<AuditCandidate, keyof JobRow | 'customerName' | 'address' | 'town' | 'assignedName'>

async function besides(scope: Scope, jobIds: string[]): Promise<(jobId: string) => Beside> {
  const { db, t, companyId } = scope
  const known = new Map<string, Beside>()
  const of = (jobId: string): Beside => {
    const beside = known.get(jobId) ?? {
      submitted: null,
      sentBack: 0,
      stamp: '',
      changedByCorrection: 0,
      correctionsWaiting: 0,
      requests: 0,
    }
    known.set(jobId, beside)
    return beside
  }
  if (jobIds.length === 0) return of
  const events = await db
    .select({
      id: t.jobEvents.id,
      jobId: t.jobEvents.jobId,
      event: t.jobEvents.event,
      at: t.jobEvents.at,
      by: t.jobEvents.memberId,
    })
    .from(t.jobEvents)
    .where(
      and(
        eq(t.jobEvents.companyId, companyId),
        inArray(t.jobEvents.jobId, jobIds),
        inArray(t.jobEvents.event, ['submitted', 'sent-back']),
      ),
    )
    .orderBy(asc(t.jobEvents.number))
  for (const { id, jobId, event, at, by } of events) {
    const job = of(jobId)
    if (event === 'submitted') job.submitted = { id, at, by }
    else job.sentBack += 1
  }
  const heads = await db
    .select({ jobId: t.jobSystems.jobId, heads: sum(t.chains.headNumber) })
    .from(t.jobSystems)
    .innerJoin(
      t.chains,
      and(eq(t.chains.companyId, t.jobSystems.companyId), eq(t.chains.id, t.jobSystems.systemId)),
    )
    .where(and(eq(t.jobSystems.companyId, companyId), inArray(t.jobSystems.jobId, jobIds)))
    .groupBy(t.jobSystems.jobId)
  for (const { jobId, heads: added } of heads) of(jobId).stamp = String(added)
  const corrections = await db
    .select({
      jobId: t.corrections.jobId,
      changesOutcome: t.corrections.changesOutcome,
      state: t.correctionDecisions.state,
    })
    .from(t.corrections)
    .leftJoin(
      t.correctionDecisions,
      and(
        eq(t.correctionDecisions.companyId, t.corrections.companyId),
        eq(t.correctionDecisions.correctionId, t.corrections.id),
      ),
    )
    .where(and(eq(t.corrections.companyId, companyId), inArray(t.corrections.jobId, jobIds)))
  for (const { jobId, changesOutcome, state } of corrections) {
    if (state === null) of(jobId).correctionsWaiting += 1
    else if (state === 'accepted' && changesOutcome) of(jobId).changedByCorrection += 1
  }
  const requests = await db
    .select({ jobId: t.concessionRequests.jobId, at: t.concessionRequests.requestedAt })
    .from(t.concessionRequests)
    .leftJoin(
      t.concessions,
      and(
        eq(t.concessions.companyId, t.concessionRequests.companyId),
        eq(t.concessions.requestId, t.concessionRequests.id),
      ),
    )
    .where(
      and(
        eq(t.concessionRequests.companyId, companyId),
        inArray(t.concessionRequests.jobId, jobIds),
        isNull(t.concessions.id),
      ),
    )
  for (const { jobId, at } of requests) {
    const { submitted } = of(jobId)
    // What was asked for with an earlier submission went back with it.
    if (submitted && at >= submitted.at) of(jobId).requests += 1
  }
  return of
}

/** The picture that each of some sealed jobs was last signed by. */
export async function listSealedDossiers(
  { db, t, companyId }: Scope,
  jobIds: readonly string[],
): Promise<Map<string, Dossier>> {
  if (jobIds.length === 0) return new Map()
  const rows = await db
    .select({ jobId: t.certificates.jobId, dossier: t.certificates.dossier })
    .from(t.certificates)
    .where(and(eq(t.certificates.companyId, companyId), inArray(t.certificates.jobId, [...jobIds])))
    .orderBy(desc(t.certificates.revision))
  const newest = new Map<string, Dossier>()
  for (const { jobId, dossier } of rows) if (!newest.has(jobId)) newest.set(jobId, dossier)
  return newest
}
