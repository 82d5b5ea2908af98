// Requests for a concession: what waits for an answer, with all that is needed to give one, and what became of each.

import { type AskedLine, RequestsPage, type RequestToAnswer } from '../../views/concessions/index.tsx'
import type { FormState } from '../../views/parts/field.tsx'
import type { ShownPhoto } from '../../views/parts/photos.tsx'
import { answerRequest } from '../commands/release/answer-request.ts'
import type { ConcessionRow } from '../commands/release/grant-concession.ts'
import { isOwnWork } from '../commands/release/own-work.ts'
import { newId } from '../ids.ts'
import { type Finding, isReleased } from '../rules/finding.ts'
import { evaluate, findingsAlone, REQUIREMENTS } from '../rules/index.ts'
import { listPeopleNames } from '../store/queries/certificates.ts'
import {
  type AskedConcession,
  listLastConcessions,
  listPrecedents,
  listRequestsOfJob,
  listWaitingRequests,
} from '../store/queries/concessions.ts'
import { loadDossier } from '../store/queries/dossier.ts'
import { findJob } from '../store/queries/jobs.ts'
import { countNonconformities } from '../store/queries/nonconformities.ts'
import { listPhotosOfJob } from '../store/queries/photos.ts'
import { findSite } from '../store/queries/sites.ts'
import type { RequirementCode } from '../vocabulary.ts'
import { say } from '../words/say.ts'
import { findingItem } from './finding-items.ts'
import { instant } from './json.ts'
import { photoWords } from './photo-slots.ts'
import { type Ask, type ListQuery, listQuery, pageOf, placeCursor, type Resource } from './resource.ts'
import { shellOf } from './shell.ts'
import { placeWords } from './strip-of.ts'

/** Each is judged to be shown; the rest comes as these are answered. */
const AT_ONCE = 20
const LAST = 3

export function concessionRequestsResource(resource: Resource): void {
  resource.read({
    path: '/concession-requests',
    name: 'list-concession-requests',
    summary: 'Requests for a concession that wait for an answer, the longest first.',
    capability: 'audit-job',
    query: listQuery.extend({ cursor: placeCursor }),
    load: ({ scope }) => listWaitingRequests(scope),
    json: (waiting, { query }) => {
      const page = pageOf(waiting, query as unknown as ListQuery)
      return { total: waiting.length, items: page.items.map(requestJson), nextCursor: page.nextCursor }
    },
    page: (waiting, ask) => requestsPage(ask, waiting),
  })

  resource.read({
    path: '/jobs/:jobId/concession-requests',
    name: 'list-concession-requests-of-job',
    summary: 'What was asked for on a job, and how each was answered.',
    load: async ({ scope, params }) =>
      listRequestsOfJob(scope, (await findJob(scope, params.jobId ?? '')).id),
    json: (asked) => ({ items: asked.map(requestJson), nextCursor: null }),
  })

  resource.write({
    path: '/concession-requests/:requestId/answer',
    command: answerRequest,
    status: 201,
    json: answerJson,
    page: {
      goTo: () => '/concession-requests',
      again: async (form, _refusal, ask) => requestsPage(ask, await listWaitingRequests(ask.scope), form),
    },
  })
}

const answerJson = (row: ConcessionRow) => ({
  id: row.id,
  requestId: row.requestId,
  jobId: row.jobId,
  requirement: row.requirement,
  subjectId: row.subjectId,
  granted: row.granted,
  reason: row.reason,
  conditions: row.conditions,
  decidedBy: row.decidedBy,
  decidedAt: instant(row.decidedAt),
})

const requestJson = ({ requestedAt, answer, ...asked }: AskedConcession) => ({
  ...asked,
  requestedAt: instant(requestedAt),
  answer: answer && { ...answer, decidedAt: instant(answer.decidedAt) },
})

async function requestsPage(ask: Ask, waiting: readonly AskedConcession[], form?: FormState) {
  const { scope } = ask
  const shown = waiting.slice(0, AT_ONCE)
  const names = (await listPeopleNames(scope)).members
  const precedents = await listPrecedents(
    scope,
    shown.map(({ requirement }) => requirement),
  )
  const requests: RequestToAnswer[] = []
  for (const jobId of new Set(shown.map((request) => request.jobId))) {
    const job = await findJob(scope, jobId)
    const site = await findSite(scope, job.siteId)
    const dossier = await loadDossier(scope, jobId, ask.now)
    const findings = evaluate(dossier)
    // As the requirement itself says: the reason of whoever asked stands beside.
    const alone = findingsAlone(dossier)
    const isOwn = !dossier.policy.selfSignOff && (await isOwnWork(scope, dossier, ask.actor.memberId))
    const photos = await listPhotosOfJob(scope, jobId)
    for (const request of shown.filter((one) => one.jobId === jobId)) {
      const finding = findings.find(
        ({ requirement, subject }) => requirement === request.requirement && subject.id === request.subjectId,
      )
      const joint = dossier.systems.flatMap(({ joints }) => joints).find(({ id }) => id === request.subjectId)
      const before = precedents.get(request.requirement)
      requests.push({
        id: request.id,
        freshId: newId(),
        subject: joint
          ? say.nonconformities.joint(joint.tag, placeWords(joint))
          : (finding?.subject.name ?? say.concessions.theJob),
        reason: request.reason,
        who: names.get(request.requestedBy) ?? 'somebody',
        at: request.requestedAt,
        job: { id: job.id, reference: job.reference },
        site,
        finding: shownOf(alone, request, jobId),
        photos: photos
          .filter(({ id, subjectId }) => subjectId === request.subjectId || request.photoIds.includes(id))
          .map(
            (photo): ShownPhoto => ({
              id: photo.id,
              alt: photoWords(photo.shows, say.auditPage.photo),
              takenAt: photo.takenAt,
              addedAt: photo.recordedAt,
              who: names.get(photo.recordedBy) ?? 'somebody',
            }),
          ),
        before: {
          granted: before?.granted ?? 0,
          refused: before?.refused ?? 0,
          last: (await listLastConcessions(scope, request.requirement, LAST)).map(
            ({ jobReference, decidedAt, ...one }) => ({ ...one, reference: jobReference, at: decidedAt }),
          ),
        },
        ...answerable(finding, isOwn),
        form:
          ask.params.requestId === request.id && form
            ? { ...form, scope: request.id }
            : { values: {}, errors: [], scope: request.id },
      })
    }
  }
  return RequestsPage({
    shell: shellOf(ask.actor, '/nonconformities'),
    open: (await countNonconformities(scope, {})).open,
    waiting: waiting.length,
    requests,
  })
}

function shownOf(alone: readonly Finding[], request: AskedConcession, jobId: string) {
  const finding = alone.find(
    ({ requirement, subject }) => requirement === request.requirement && subject.id === request.subjectId,
  )
  return finding ? findingItem({ ...finding, nextAction: null }, { jobId }) : null
}

function answerable(finding: Finding | undefined, isOwn: boolean): Pick<RequestToAnswer, 'may' | 'why'> {
  if (!finding || isReleased(finding)) return { may: 'refuse', why: say.concessions.settled }
  if (!finding.concedable) return { may: 'refuse', why: say.concessions.notConcedable }
  return isOwn ? { may: 'refuse', why: say.concessions.notYours } : { may: 'answer', why: null }
}

const titleOf = (code: RequirementCode): string =>
  REQUIREMENTS.find((requirement) => requirement.code === code)?.title ?? code

/** On the page of the job, for whoever asked. */
export async function askedConcessions(
  { scope }: Ask,
  jobId: string,
  findings: readonly Finding[],
  nameOf: (memberId: string) => string,
): Promise<AskedLine[]> {
  return (await listRequestsOfJob(scope, jobId)).map(
    ({ id, requirement, subjectId, reason, state, answer }) => ({
      id,
      title: titleOf(requirement),
      subject: findings.find(({ subject }) => subject.id === subjectId)?.subject.name ?? '',
      reason,
      state,
      answer: answer && {
        reason: answer.reason,
        conditions: answer.conditions,
        who: nameOf(answer.decidedBy),
        at: answer.decidedAt,
      },
    }),
  )
}
