// Did this member do or record any of the work of this job?

import type { Dossier } from '../../rules/dossier.ts'
import { listHandsOfJob } from '../../store/queries/jobs.ts'
import type { Scope } from '../../store/store.ts'

/** From the rows themselves, corrected ones included: the dossier does not carry who took each reading. */
export async function isOwnWork(
  scope: Scope,
  { job, crew }: Pick<Dossier, 'job' | 'crew'>,
  memberId: string,
): Promise<boolean> {
  const hands = await listHandsOfJob(scope, job.id)
  const own = crew.find((person) => person.memberId === memberId)
  return hands.memberIds.has(memberId) || (own !== undefined && hands.crewIds.has(own.id))
}
