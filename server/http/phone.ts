// What does a phone keep for the time without a signal, and where does it show what waits on it?

import { NoSignalPage } from '../../views/phone/no-signal.tsx'
import { WaitingPage } from '../../views/phone/waiting.tsx'
import { listCrewPeople } from '../store/queries/dossier.ts'
import { type ListedJob, listJobs, listSystemIdsOfJob } from '../store/queries/jobs.ts'
import { listTestsInBrief } from '../store/queries/section-tests.ts'
import { listPlacedJoints } from '../store/queries/systems.ts'
import { chainHead } from '../store/record.ts'
import type { Scope } from '../store/store.ts'
import type { Ask, Resource } from './resource.ts'
import { shellOf } from './shell.ts'

/** More open jobs than anybody carries with them; who has more sees the rest once it was opened. */
const MOST_JOBS = 12

export function phoneResource(resource: Resource): void {
  resource.read({
    path: '/phone-pages',
    name: 'list-phone-pages',
    summary:
      'The pages of open jobs that a phone keeps to be read without a signal, with what changes when they do.',
    load: async (ask) => {
      const jobs = await jobsToCarry(ask)
      return Promise.all(jobs.map((job) => pagesOf(ask.scope, job)))
    },
    json: (items, ask) => ({ member: { id: ask.actor.memberId }, items }),
  })

  resource.publicRead({
    path: '/waiting',
    name: 'waiting',
    summary: 'The page on which a phone shows what it has not sent yet; the server knows none of it.',
    load: async ({ identity }) => identity.actor,
    page: (actor) => WaitingPage({ shell: actor ? shellOf(actor, '') : {}, signedIn: actor !== null }),
  })

  resource.publicRead({
    path: '/no-signal',
    name: 'no-signal',
    summary: 'The page that a phone shows, without a signal, in place of one that it has not kept.',
    load: async () => null,
    page: () => NoSignalPage(),
  })
}

/** One's own first, then those that are nobody's, newest first; those of colleagues are theirs to carry. */
async function jobsToCarry({ scope, actor }: Ask): Promise<ListedJob[]> {
  const me = (await listCrewPeople(scope)).find((person) => person.memberId === actor.memberId)?.id
  const { items } = await listJobs(scope, { stage: 'open', limit: 200 })
  const mine = items.filter((job) => job.assignedTo !== null && job.assignedTo === me)
  const free = items.filter((job) => job.assignedTo === null)
  return [...mine, ...free].slice(0, MOST_JOBS)
}

async function pagesOf(scope: Scope, job: ListedJob) {
  const pages = [`/jobs/${job.id}`]
  const heads: string[] = []
  for (const systemId of await listSystemIdsOfJob(scope, job.id)) {
    const joints = await listPlacedJoints(scope, systemId)
    const here = (path: string) => `/systems/${systemId}/${path}?jobId=${job.id}`
    pages.push(
      ...joints
        .filter((joint) => joint.retiredAt === null)
        .map((joint) => `/joints/${joint.id}?job=${job.id}`),
      here('pressure-tests/new'),
      here('evacuations/new'),
      here('charge'),
      here('running-checks'),
      ...(await runningTests(scope, systemId, job.id)),
    )
    heads.push(`${(await chainHead(scope, systemId))?.number ?? 0}`)
  }
  return { jobId: job.id, version: [job.stageAt, ...heads].join('.'), pages: ['/jobs', ...pages, '/waiting'] }
}

async function runningTests(scope: Scope, systemId: string, jobId: string): Promise<string[]> {
  const pages: string[] = []
  for (const [kind, path] of [
    ['pressure', 'pressure-tests'],
    ['evacuation', 'evacuations'],
  ] as const)
    for (const test of await listTestsInBrief(scope, systemId, kind))
      if (test.jobId === jobId && test.verdict === null) pages.push(`/${path}/${test.id}`)
  return pages
}
