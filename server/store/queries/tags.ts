// Which joint does a tag name, however somebody wrote it?

import { and, asc, eq, inArray } from 'drizzle-orm'
import type { Scope } from '../store.ts'
import { grouped } from './grouped.ts'
import type { JobRow } from './jobs.ts'

export interface TaggedJoint {
  id: string
  tag: string
  systemId: string
  systemName: string
  place: string
  line: 'liquid' | 'gas'
  /** The jobs that are open on its system, oldest first. */
  openJobs: Pick<JobRow, 'id' | 'kind' | 'reference' | 'assignedTo' | 'openedAt'>[]
}

/**
 * The tags that a text may mean, in lower case and the likeliest first. Case, blanks and dashes do not count: `sh1 2`,
 * `SH-1-2` and `sh12` may all be SH1-2. Empty when it looks like no tag at all.
 */
export function tagsMeant(typed: string): string[] {
  const parts = typed
    .toLowerCase()
    .split(/[^\p{L}\p{N}]+/u)
    .filter((part) => part !== '')
  const whole = parts.join('')
  if (!/^[a-z0-9]{2,16}$/.test(whole)) return []
  const cuts = [...whole].map((_, index) => index).filter((index) => index > 0 && index <= 8)
  const meant = cuts.filter((cut) => /^\d{1,6}$/.test(whole.slice(cut)))
  // Where somebody did write a dash or a blank, it most likely stands where the tag has its own.
  const written = whole.length - (parts.at(-1)?.length ?? 0)
  meant.sort((a, b) => Number(b === written) - Number(a === written) || b - a)
  return [...new Set(meant.map((cut) => `${whole.slice(0, cut)}-${Number(whole.slice(cut))}`))]
}

/** The joints that it may name; one alone where the text is a tag as it stands. */
export async function listJointsByTag(scope: Scope, typed: string): Promise<TaggedJoint[]> {
  const meant = tagsMeant(typed)
  if (meant.length === 0) return []
  const { db, t, companyId } = scope
  const found = await db
    .select({
      id: t.joints.id,
      tag: t.joints.tag,
      tagLower: t.joints.tagLower,
      systemId: t.joints.systemId,
      systemName: t.systems.name,
      place: t.joints.place,
      line: t.joints.line,
    })
    .from(t.joints)
    .innerJoin(
      t.systems,
      and(eq(t.systems.companyId, t.joints.companyId), eq(t.systems.id, t.joints.systemId)),
    )
    .where(and(eq(t.joints.companyId, companyId), inArray(t.joints.tagLower, meant)))
  const exact = found.filter(({ tagLower }) => tagLower === typed.trim().toLowerCase())
  const joints = (exact.length > 0 ? exact : found).sort(
    (a, b) => meant.indexOf(a.tagLower) - meant.indexOf(b.tagLower),
  )
  const jobs = await openJobsOf(
    scope,
    joints.map(({ systemId }) => systemId),
  )
  return joints.map(({ tagLower: _, ...joint }) => ({ ...joint, openJobs: jobs.get(joint.systemId) ?? [] }))
}

async function openJobsOf({ db, t, companyId }: Scope, systemIds: string[]) {
  if (systemIds.length === 0) return new Map<string, TaggedJoint['openJobs']>()
  // The job's own key is looked up from its systems: a walk through all open jobs would grow with the company.
  const rows = await db
    .select({
      systemId: t.jobSystems.systemId,
      id: t.jobs.id,
      kind: t.jobs.kind,
      reference: t.jobs.reference,
      assignedTo: t.jobs.assignedTo,
      openedAt: t.jobs.openedAt,
    })
    .from(t.jobSystems)
    .innerJoin(t.jobs, and(eq(t.jobs.companyId, t.jobSystems.companyId), eq(t.jobs.id, t.jobSystems.jobId)))
    .where(
      and(
        eq(t.jobSystems.companyId, companyId),
        inArray(t.jobSystems.systemId, systemIds),
        eq(t.jobs.stage, 'open'),
      ),
    )
    .orderBy(asc(t.jobs.openedAt), asc(t.jobs.id))
  const bySystem = grouped(rows, (row) => row.systemId)
  return new Map(
    [...bySystem].map(([systemId, jobs]) => [systemId, jobs.map(({ systemId: _, ...job }) => job)]),
  )
}
