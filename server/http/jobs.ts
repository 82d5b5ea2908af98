// Jobs: the list of what is open, waiting and sealed, and each job on one page.

import { z } from 'zod'
import { JobsPage } from '../../views/jobs/index.tsx'
import { NewJobPage } from '../../views/jobs/new.tsx'
import { JobPage } from '../../views/jobs/show.tsx'
import type { FormState } from '../../views/parts/field.tsx'
import { may } from '../access/capabilities.ts'
import { id } from '../commands/fields.ts'
import { changeJob } from '../commands/jobs/change-job.ts'
import { handOverJob } from '../commands/jobs/hand-over-job.ts'
import { leaveOutJoint } from '../commands/jobs/leave-out-joint.ts'
import { openJob } from '../commands/jobs/open-job.ts'
import { isOwnWork } from '../commands/release/own-work.ts'
import { newId } from '../ids.ts'
import { isReleased } from '../rules/finding.ts'
import { circuitOpened } from '../rules/scope.ts'
import { listAuditThreads } from '../store/queries/audit.ts'
import { listCertificatesOfJob } from '../store/queries/certificates.ts'
import { crewOfMember, listCrewPage } from '../store/queries/crew.ts'
import { loadDossier } from '../store/queries/dossier.ts'
import { listFollowUpsOfJob } from '../store/queries/follow-ups.ts'
import {
  countJobs,
  findJob,
  type JobRow,
  type ListedJob,
  listJobEvents,
  listJobs,
  listJobsInHand,
  listSystemIdsOfJob,
} from '../store/queries/jobs.ts'
import { listCrew } from '../store/queries/people.ts'
import { listPhotosOfJob } from '../store/queries/photos.ts'
import { findSite, listSites } from '../store/queries/sites.ts'
import { listSystemsOfSites } from '../store/queries/systems.ts'
import { JOB_STAGES } from '../vocabulary.ts'
import { say } from '../words/say.ts'
import { followUpLines } from './at-risk.ts'
import { threadItems } from './audit-threads.ts'
import { askedConcessions } from './concession-requests.ts'
import { correctionsOfJob } from './corrections-of-job.ts'
import { expand, type Fields } from './form.ts'
import { countDue } from './instruments-due.ts'
import { findingsOfJob } from './job-findings.ts'
import { instant, instantOrNull } from './json.ts'
import { photoJson, photosOfJob } from './photo-slots.ts'
import { releaseForms } from './release-forms.ts'
import { type Ask, listQuery, type Resource } from './resource.ts'
import { shellOf } from './shell.ts'
import { stripOf } from './strip-of.ts'
import { workOf } from './work-of.ts'

const jobsQuery = listQuery.extend({
  assignedTo: z.union([z.literal('me'), id], { error: () => say.jobs.useMeOrThe }).optional(),
  stage: z.enum(JOB_STAGES, { error: () => say.jobs.useOneOf(JOB_STAGES.join(', ')) }).optional(),
})

export function jobsResource(resource: Resource): void {
  resource.read({
    path: '/jobs',
    name: 'list-jobs',
    summary: 'Jobs, newest first.',
    query: jobsQuery,
    async load(ask) {
      const query = ask.query as unknown as z.output<typeof jobsQuery>
      const inHand = await listJobsInHand(ask.scope)
      const { assignedTo, ...filter } = query
      const me = (await crewOfMember(ask.scope, ask.actor.memberId))?.id ?? null
      const person = assignedTo === 'me' ? me : assignedTo
      return {
        query,
        // Whoever does no work has no jobs in hand.
        page:
          person === null
            ? { items: [], nextCursor: null }
            : await listJobs(ask.scope, { ...filter, assignedTo: person }),
        counts: await countJobs(ask.scope),
        inHand,
        me,
        due: may(ask.actor, 'audit-job') ? await countDue(ask.scope, ask.now) : null,
      }
    },
    json: ({ page }) => ({ items: page.items.map(jobJson), nextCursor: page.nextCursor }),
    page: ({ page, query, counts, inHand, me, due }, ask) =>
      JobsPage({
        shell: shellOf(ask.actor, '/jobs'),
        jobs: page.items.map(listedJob),
        stage: query.stage ?? null,
        counts,
        inHand: inHand.map(({ crewId, name, openJobs }) => ({ crewId, name, openJobs, isMe: crewId === me })),
        assignedTo: query.assignedTo === 'me' ? me : (query.assignedTo ?? null),
        worksHere: me !== null,
        nextCursor: page.nextCursor,
        isFirst: query.cursor === undefined,
        mayOpen: may(ask.actor, 'open-job'),
        due: due && { overdue: due.overdue, soon: due[30] - due.overdue },
      }),
  })

  resource.read({
    path: '/jobs/new',
    name: 'new-job',
    summary: 'The form that opens a job.',
    capability: 'open-job',
    load: async () => null,
    page: (_, ask) => newJobPage(ask),
  })

  resource.write({
    path: '/jobs',
    command: openJob,
    status: 201,
    json: (job, ask) => jobWithSystems(job, ask),
    page: {
      input: (fields) => ({ ...expand(fields), systemIds: markedSystems(fields) }),
      goTo: (job) => `/jobs/${job.id}`,
      again: (form, _refusal, ask) => newJobPage(ask, form),
    },
  })

  resource.read({
    path: '/jobs/:jobId',
    name: 'read-job',
    summary: 'A job with its systems, and whether the circuit was opened on it.',
    load: (ask) => findJob(ask.scope, ask.params.jobId ?? ''),
    json: (job, ask) => jobWithSystems(job, ask),
    page: (job, ask) => jobPage(ask, job),
  })

  resource.write({
    method: 'PATCH',
    path: '/jobs/:jobId',
    command: changeJob,
    json: (job, ask) => jobWithSystems(job, ask),
    page: { path: '/jobs/:jobId/change', goTo: (job) => `/jobs/${job.id}` },
  })

  resource.write({
    path: '/jobs/:jobId/hand-over',
    command: handOverJob,
    json: (job, ask) => jobWithSystems(job, ask),
    page: {
      goTo: (job) => `/jobs/${job.id}`,
      again: async (form, refusal, ask) =>
        jobPage(ask, await findJob(ask.scope, ask.params.jobId ?? ''), form, refusal.message),
    },
  })

  resource.write({
    path: '/jobs/:jobId/left-out',
    command: leaveOutJoint,
    status: 201,
    json: (row) => ({ id: row.id, jobId: row.jobId, jointId: row.jointId, reason: row.reason }),
    page: { goTo: (row) => `/jobs/${row.jobId}` },
  })
}

const markedSystems = (fields: Fields) =>
  Object.keys(fields).flatMap((name) => (name.startsWith('_system.') ? [name.slice('_system.'.length)] : []))

export const jobJson = (job: JobRow) => ({
  id: job.id,
  siteId: job.siteId,
  kind: job.kind,
  reference: job.reference,
  stage: job.stage,
  stageAt: instant(job.stageAt),
  assignedTo: job.assignedTo,
  scheduledFor: instantOrNull(job.scheduledFor),
  callbackId: job.callbackId,
  openedAt: instant(job.openedAt),
})

export async function jobWithSystems(job: JobRow, ask: Ask) {
  const systemIds = await listSystemIdsOfJob(ask.scope, job.id)
  const dossier = await loadDossier(ask.scope, job.id, ask.now)
  return {
    ...jobJson(job),
    systemIds,
    circuitOpened: systemIds.some((systemId) => circuitOpened(dossier, systemId)),
    photos: (await listPhotosOfJob(ask.scope, job.id)).map(photoJson),
    handOvers: (await listJobEvents(ask.scope, job.id))
      .filter(({ event }) => event === 'handed-over')
      .map(({ id: eventId, at, memberId, detail }) => ({
        id: eventId,
        at: instant(at),
        by: memberId,
        from: detail.from ?? null,
        to: detail.to ?? null,
        note: detail.reason ?? null,
      })),
  }
}

const listedJob = (job: ListedJob) => ({
  id: job.id,
  kind: job.kind,
  reference: job.reference,
  stage: job.stage,
  stageAt: job.stageAt,
  address: job.address,
  customerName: job.customerName,
  assignedName: job.assignedName,
  after: job.after,
})

async function newJobPage(ask: Ask, form?: FormState) {
  const sites = await listSites(ask.scope, { limit: 200 })
  const systems = await listSystemsOfSites(
    ask.scope,
    sites.items.map((site) => site.id),
  )
  return NewJobPage({
    shell: shellOf(ask.actor, '/jobs'),
    freshId: newId(),
    sites: sites.items.map(({ id, customerName, address }) => ({ id, customerName, address })),
    systems: systems.map(({ id, name, siteId }) => ({ id, name, siteId })),
    crew: (await listCrewPage(ask.scope, { limit: 200 })).items.map(({ id, name }) => ({ id, name })),
    siteId: ask.query.site,
    form,
  })
}

/** The job as a member sees it: as piped, what is done, what holds it, and what they may do about it. */
export async function jobPage(ask: Ask, job: JobRow, form?: FormState, note?: string) {
  const { scope, actor, now } = ask
  const { dossier, findings } = await findingsOfJob(scope, job, now)
  const site = await findSite(scope, job.siteId)
  const names = new Map(
    dossier.crew.flatMap((person) => (person.memberId ? [[person.memberId, person.name]] : [])),
  )
  const mayRecord = may(actor, 'record-work') && job.stage === 'open'
  const photosOf = await photosOfJob(ask, dossier)
  // Asked only where somebody could sign off.
  const isOwn =
    job.stage === 'submitted' && may(actor, 'audit-job') && (await isOwnWork(scope, dossier, actor.memberId))
  return JobPage({
    shell: shellOf(actor, '/jobs'),
    job: {
      ...listedJob({
        ...job,
        customerName: site.customerName,
        address: site.address,
        town: site.town,
        assignedName: dossier.crew.find((person) => person.id === job.assignedTo)?.name ?? null,
        after: null,
      }),
      siteId: job.siteId,
      callbackId: job.callbackId,
    },
    systems: dossier.systems.map((system) => ({
      id: system.id,
      name: system.name,
      refrigerant: system.refrigerant,
      strip:
        system.lineSets.length === 0
          ? null
          : stripOf(system, dossier, {
              hrefOf: (joint) => `/joints/${joint.id}?job=${job.id}`,
              caption: 'shown',
            }),
      work: workOf(system, dossier, findings),
      photos: photosOf(system),
      mayAddLineSet: may(actor, 'set-up-system') && job.stage === 'open',
    })),
    held: findings.filter((finding) => !isReleased(finding)).length,
    events: (await listJobEvents(scope, job.id)).map((event) => ({
      event: event.event,
      at: event.at,
      who: names.get(event.memberId) ?? 'somebody',
      reason: event.detail.reason ?? null,
      to: dossier.crew.find((person) => person.id === event.detail.to)?.name ?? null,
      about: (event.detail.subjects ?? []).flatMap((id) => {
        const subject = findings.find((finding) => finding.subject.id === id)?.subject
        if (!subject) return []
        const href = subject.kind === 'joint' ? `/joints/${id}?job=${job.id}` : null
        return [{ label: subject.name, href }]
      }),
    })),
    inHand: await jobInHand(ask, job, form),
    askedConcessions: await askedConcessions(ask, job.id, findings, (id) => names.get(id) ?? 'somebody'),
    corrections: await correctionsOfJob(ask, job, dossier, (id) => names.get(id) ?? 'somebody'),
    questions: await threadItems(ask, await listAuditThreads(scope, [job.id]), {
      nameOf: (id) => names.get(id) ?? 'somebody',
      systems: dossier.systems,
      from: 'job',
      form,
    }),
    mayAudit: may(actor, 'audit-job') && job.stage !== 'open',
    certificates: await listCertificatesOfJob(scope, job.id),
    followUps: await followUpLines(ask, await listFollowUpsOfJob(scope, job.id), dossier.systems),
    mayAddSystem: may(actor, 'set-up-system') && job.stage === 'open',
    mayRecord,
    release: releaseForms(ask, job, dossier, findings, isOwn, form),
    form,
    note: note ?? null,
  })
}

/** Who has the job, whether it came to this member lately, and to whom they may hand it. */
async function jobInHand({ scope, actor }: Ask, job: JobRow, form?: FormState) {
  const crew = await listCrew(scope)
  const me = crew.find((person) => person.memberId === actor.memberId)
  const has = crew.find((person) => person.id === job.assignedTo)
  const isMine = me !== undefined && job.assignedTo === me.id
  const mayGive = job.stage === 'open' && may(actor, 'record-work') && (isMine || may(actor, 'change-job'))
  const mayTake =
    job.stage === 'open' && may(actor, 'record-work') && job.assignedTo === null && me !== undefined
  const open = new Map((await listJobsInHand(scope)).map((one) => [one.crewId, one.openJobs]))
  const people = crew.filter((person) => person.id !== job.assignedTo && (mayGive || person.id === me?.id))
  return {
    name: has?.name ?? null,
    isMine,
    action: `/jobs/${job.id}/hand-over`,
    freshId: newId(),
    people:
      mayGive || mayTake
        ? people.map((person) => ({
            value: person.id,
            label: say.jobs.open2(
              person.name,
              person.id === me?.id ? say.jobs.you : '',
              open.get(person.id) ?? 0,
            ),
          }))
        : [],
    form: form?.values.to === undefined ? undefined : form,
  }
}
