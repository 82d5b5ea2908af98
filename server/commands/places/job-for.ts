// Which job does a change to a system belong to?

import { missingField, Refusal } from '../../refusals.ts'
import { type JobRow, listOpenJobsOfSystem } from '../../store/queries/jobs.ts'
import type { Scope } from '../../store/store.ts'
import { findOpenJobOn } from '../jobs/job-turns.ts'

/** The job that is named, open and on this system; else the one job that is open on it; else none. */
export async function jobFor(scope: Scope, systemId: string, jobId?: string): Promise<string | null> {
  if (jobId !== undefined) return (await findNamedJob(scope, systemId, jobId)).id
  const open = await listOpenJobsOfSystem(scope, systemId)
  return open.length === 1 ? (open[0]?.id ?? null) : null
}

/** The job that the field `jobId` names, open and on this system. */
export async function findNamedJob(scope: Scope, systemId: string, jobId: string): Promise<JobRow> {
  try {
    return await findOpenJobOn(scope, jobId, systemId)
  } catch (problem) {
    if (problem instanceof Refusal && problem.kind === 'missing') throw missingField('jobId', 'This job')
    throw problem
  }
}
