// What would change for the jobs of late, if these criteria were set?

import { setImmediate as others } from 'node:timers/promises'
import { z } from 'zod'
import { criteria } from '../commands/people/criteria.ts'
import { type JobJudgedOtherwise, judgedOtherwise } from '../rules/judged-otherwise.ts'
import type { Policy } from '../rules/policy.ts'
import { loadDossier } from '../store/queries/dossier.ts'
import { listReleasedLately, type ReleasedLately } from '../store/queries/released-lately.ts'
import type { Scope } from '../store/store.ts'
import { REQUIREMENT_CODES } from '../vocabulary.ts'
import { say } from '../words/say.ts'
import { instant } from './json.ts'

const DAY = 86_400_000
/** Judging one takes some milliseconds; the rest is asked for by `from`. */
const AT_ONCE = 200

export const previewInput = z.strictObject({
  criteria,
  days: z
    .int({ error: () => say.policyPreview.wholeDays })
    .min(1, { error: () => say.policyPreview.from1To3650 })
    .max(3650, { error: () => say.policyPreview.from1To3650 })
    .default(90)
    .meta({ description: 'Of the jobs that were submitted or signed off in so many days.' }),
  from: z
    .int({ error: () => say.policyPreview.wholeDays })
    .min(0)
    .max(1_000_000)
    .default(0)
    .meta({ description: 'How many of the newest to pass over: `next` of an answer before.' }),
})

export interface PolicyPreview {
  since: number
  /** Jobs in those days, and the place in them of those that were judged now. */
  total: number
  from: number
  judged: number
  jobs: (ReleasedLately & JobJudgedOtherwise)[]
}

/** Each job as it stood when it was last submitted or signed off, by the criteria in force and by these. Writes nothing. */
export async function previewPolicy(
  scope: Scope,
  { criteria: proposed, days, from }: { criteria: Policy; days: number; from: number },
  now: number,
): Promise<PolicyPreview> {
  const since = now - days * DAY
  const { jobs, total } = await listReleasedLately(scope, { since, from, limit: AT_ONCE })
  const changed: PolicyPreview['jobs'] = []
  for (const job of jobs) {
    const otherwise = judgedOtherwise(await loadDossier(scope, job.jobId, job.at), proposed)
    if (otherwise.changes.length > 0) changed.push({ ...job, ...otherwise })
    // Everybody else is answered in between.
    await others()
  }
  return { since, total, from, judged: jobs.length, jobs: changed }
}

/** The first that was not judged; null when all were. */
export const nextOf = ({ from, judged, total }: PolicyPreview): number | null =>
  from + judged < total ? from + judged : null

export const countsOf = ({ jobs }: PolicyPreview) => ({
  changed: jobs.length,
  newlyHeld: jobs.filter(({ heldBefore, heldAfter }) => heldAfter && !heldBefore).length,
  newlyReleased: jobs.filter(({ heldBefore, heldAfter }) => heldBefore && !heldAfter).length,
})

/** Of each requirement that anything changes at: how many more would be held, and how many released. */
export function byRequirement({ jobs }: PolicyPreview) {
  const changes = jobs.flatMap((job) => job.changes)
  return REQUIREMENT_CODES.flatMap((requirement) => {
    const here = changes.filter((change) => change.requirement === requirement)
    const [first] = here
    if (!first) return []
    const turned = (turns: string) => here.filter((change) => change.turns === turns).length
    return {
      requirement,
      title: first.title,
      held: turned('held'),
      released: turned('released'),
      other: turned('other'),
    }
  })
}

export function previewJson(preview: PolicyPreview) {
  return {
    since: instant(preview.since),
    total: preview.total,
    judged: preview.judged,
    next: nextOf(preview),
    counts: countsOf(preview),
    requirements: byRequirement(preview),
    jobs: preview.jobs.map(({ jobId, reference, at, heldBefore, heldAfter, changes }) => ({
      jobId,
      reference,
      at: instant(at),
      heldBefore,
      heldAfter,
      changes: changes.map(({ requirement, subject, before, after, turns, reasonBefore, reasonAfter }) => ({
        requirement,
        subject,
        before,
        after,
        turns,
        reasonBefore,
        reasonAfter,
      })),
    })),
  }
}
