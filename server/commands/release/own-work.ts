// Did this member do or record any of the work of this job?

import { refusedByRule } from '../../refusals.ts'
import type { Dossier } from '../../rules/dossier.ts'
import { listHandsOfJob } from '../../store/queries/jobs.ts'
import type { Scope } from '../../store/store.ts'
import { say } from '../../words/say.ts'

/**
 * Release is by somebody who neither did nor recorded the work: sign-off and concessions alike, unless the policy says
 * otherwise. `what`: "signs it off".
 */
export async function assertNotOwnWork(
  scope: Scope,
  dossier: Pick<Dossier, 'job' | 'crew' | 'policy'>,
  memberId: string,
  what: string,
): Promise<{ ownWork: boolean }> {
  const ownWork = await isOwnWork(scope, dossier, memberId)
  if (ownWork && !dossier.policy.selfSignOff) throw refusedByRule('own-work', ownWorkWords(what))
  return { ownWork }
}

export const ownWorkWords = (what: string): string => say.jobs.youDidOrRecorded(what)

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
