// Which jobs were submitted or signed off of late?

import { and, count, desc, eq, gte, inArray, max } from 'drizzle-orm'
import type { Scope } from '../store.ts'

export interface ReleasedLately {
  jobId: string
  reference: string | null
  customerName: string
  /** Of the last of the two. */
  at: number
}

/** The newest first, some of them; with how many there are in all. */
export async function listReleasedLately(
  { db, t, companyId }: Scope,
  span: { since: number; from: number; limit: number },
): Promise<{ jobs: ReleasedLately[]; total: number }> {
  const lately = and(
    eq(t.jobEvents.companyId, companyId),
    inArray(t.jobEvents.event, ['submitted', 'signed-off']),
    gte(t.jobEvents.at, span.since),
  )
  const released = db
    .select({ jobId: t.jobEvents.jobId, at: max(t.jobEvents.at).as('released_at') })
    .from(t.jobEvents)
    .where(lately)
    .groupBy(t.jobEvents.jobId)
    .as('released')
  const [counted] = await db.select({ total: count() }).from(released)
  const rows = await db
    .select({
      jobId: released.jobId,
      at: released.at,
      reference: t.jobs.reference,
      customerName: t.sites.customerName,
    })
    .from(released)
    .innerJoin(t.jobs, and(eq(t.jobs.companyId, companyId), eq(t.jobs.id, released.jobId)))
    .innerJoin(t.sites, and(eq(t.sites.companyId, companyId), eq(t.sites.id, t.jobs.siteId)))
    .orderBy(desc(released.at), desc(released.jobId))
    .limit(span.limit)
    .offset(span.from)
  return {
    total: counted?.total ?? 0,
    jobs: rows.map(({ at, ...job }) => ({ ...job, at: Number(at ?? 0) })),
  }
}
