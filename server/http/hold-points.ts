// What holds a job, and its way to release: hold points, submission, concession, sign-off, reopening.

import type { FormState } from '../../views/parts/field.tsx'
import { type ConcessionRow, grantConcession } from '../commands/release/grant-concession.ts'
import { reopenJob } from '../commands/release/reopen-job.ts'
import { sendBackJob } from '../commands/release/send-back-job.ts'
import { signOffJob } from '../commands/release/sign-off-job.ts'
import { submitJob } from '../commands/release/submit-job.ts'
import type { Refusal } from '../refusals.ts'
import { findJob } from '../store/queries/jobs.ts'
import { listQueryFrom, searchOf } from './audit-list.ts'
import { auditPage } from './audit-page.ts'
import { expand, type Fields } from './form.ts'
import { findingsOfJob } from './job-findings.ts'
import { jobJson, jobPage } from './jobs.ts'
import { instant } from './json.ts'
import { readRequestField } from './release-forms.ts'
import type { Ask, Resource } from './resource.ts'

export function holdPointsResource(resource: Resource): void {
  resource.read({
    path: '/jobs/:jobId/hold-points',
    name: 'list-hold-points',
    summary: 'Every requirement with its finding for each subject, in the order of the work.',
    load: async (ask) => findingsOfJob(ask.scope, await findJob(ask.scope, ask.params.jobId ?? ''), ask.now),
    json: ({ findings }) => findings,
  })

  resource.write({
    path: '/jobs/:jobId/submit',
    command: submitJob,
    json: jobJson,
    page: {
      input: (fields) => ({
        requests: Object.entries(fields).flatMap(([name, reason]) => {
          const asked = readRequestField(name)
          return asked && reason.trim() !== '' ? [{ ...asked, reason }] : []
        }),
      }),
      goTo: toJob,
      again: jobAgain,
    },
  })

  resource.write({
    path: '/jobs/:jobId/send-back',
    command: sendBackJob,
    json: jobJson,
    page: {
      input: (fields) => ({ ...expand(fields), subjects: markedSubjects(fields) }),
      // From the audit on to the next one in the list.
      goTo: (job, ask) =>
        ask.query.from === 'audit'
          ? `/audit-list?${searchOf(listQueryFrom(ask.query.list ?? ''))}`
          : toJob(job),
      again: jobAgain,
    },
  })

  resource.write({
    path: '/jobs/:jobId/concessions',
    command: grantConcession,
    status: 201,
    json: concessionJson,
    page: {
      goTo: (concession, ask) =>
        ask.query.from === 'audit'
          ? `/jobs/${concession.jobId}/audit#findings`
          : `/jobs/${concession.jobId}#hold-points`,
      again: jobAgain,
    },
  })

  resource.write({
    path: '/jobs/:jobId/sign-off',
    command: signOffJob,
    page: { goTo: ({ certificate }) => `/certificates/${certificate.id}`, again: jobAgain },
  })

  resource.write({
    path: '/jobs/:jobId/reopen',
    command: reopenJob,
    json: jobJson,
    page: { goTo: toJob, again: jobAgain },
  })
}

/** Ticked at the parts of an audit page: `_subject.<id>`. */
const markedSubjects = (fields: Fields) =>
  Object.keys(fields).flatMap((name) =>
    name.startsWith('_subject.') ? [name.slice('_subject.'.length)] : [],
  )

const toJob = (job: { id: string }) => `/jobs/${job.id}`

async function jobAgain(form: FormState, refusal: Refusal, ask: Ask) {
  if (ask.query.from === 'audit')
    return auditPage(ask, await findJob(ask.scope, ask.params.jobId ?? ''), form, refusal.message)
  return jobPage(ask, await findJob(ask.scope, ask.params.jobId ?? ''), form, refusal.message)
}

const concessionJson = (row: ConcessionRow) => ({
  id: row.id,
  jobId: row.jobId,
  requirement: row.requirement,
  subjectId: row.subjectId,
  granted: row.granted,
  reason: row.reason,
  conditions: row.conditions,
  decidedBy: row.decidedBy,
  decidedAt: instant(row.decidedAt),
})
