// Which job does a change to a system belong to?

import { missingField, Refusal } from '../../refusals.ts'
import { type JobRow, listJobsOfSystemAt, listOpenJobsOfSystem } from '../../store/queries/jobs.ts'
import type { Scope } from '../../store/store.ts'
import { say } from '../../words/say.ts'
import { assertOpen, findOpenJobOn } from '../jobs/job-turns.ts'

/** The job that is named, open and on this system; else the one job that is open on it; else none. */
export async function jobFor(scope: Scope, systemId: string, jobId?: string): Promise<string | null> {
  if (jobId !== undefined) return (await findNamedJob(scope, systemId, jobId)).id
  const open = await listOpenJobsOfSystem(scope, systemId)
  return open.length === 1 ? (open[0]?.id ?? null) : null
}

/**
 * The same for what a job is judged by: its lines, units and sheet. While the only job of the system waits for audit
 * they stay as they were handed in.
 */
export async function jobForChange(scope: Scope, systemId: string, jobId?: string): Promise<string | null> {
  const found = await jobFor(scope, systemId, jobId)
  const [waiting] = found === null ? await listJobsOfSystemAt(scope, systemId, 'submitted') : []
  if (waiting) assertOpen(waiting)
  return found
}

/** The job that the field `jobId` names, open and on this system. */
export async function findNamedJob(scope: Scope, systemId: string, jobId: string): Promise<JobRow> {
  try {
    return await findOpenJobOn(scope, jobId, systemId)
  } catch (problem) {
    if (problem instanceof Refusal && problem.kind === 'missing')
      throw missingField('jobId', say.systems.thisJob)
    throw problem
  }
}
