// Corrections: a fact superseded by another, with a reason.

import { correctFact } from '../commands/corrections/correct-fact.ts'
import { decideCorrection } from '../commands/corrections/decide-correction.ts'
import { listCorrectionsOfJob } from '../store/queries/corrections.ts'
import { findEntry } from '../store/queries/entries.ts'
import { findJob } from '../store/queries/jobs.ts'
import { correctionFields } from './correction-form.ts'
import { jointPageAgain } from './joint-page.ts'
import { instant, instantOrNull } from './json.ts'
import type { Resource } from './resource.ts'

export function correctionsResource(resource: Resource): void {
  resource.write({
    path: '/corrections',
    command: correctFact,
    status: 201,
    page: {
      input: correctionFields,
      goTo: ({ jointId, jobId }) =>
        jointId === null ? `/jobs/${jobId}#corrections` : `/joints/${jointId}?job=${jobId}#next`,
      again: (form, refusal, ask) =>
        jointPageAgain(ask, { jointId: form.values._joint ?? '' }, form, refusal),
    },
  })

  resource.write({
    path: '/corrections/:correctionId/decision',
    command: decideCorrection,
    page: { goTo: ({ jobId }) => `/jobs/${jobId}` },
  })

  resource.read({
    path: '/jobs/:jobId/corrections',
    name: 'list-corrections',
    summary: 'The corrections of a job, with what became of each.',
    async load(ask) {
      const job = await findJob(ask.scope, ask.params.jobId ?? '')
      return listCorrectionsOfJob(ask.scope, job.id)
    },
    json: (corrections) => ({
      items: corrections.map((correction) => ({
        id: correction.id,
        entryId: correction.entryId,
        factId: correction.factId,
        replacementId: correction.replacementId,
        reason: correction.reason,
        changesOutcome: correction.changesOutcome,
        state: correction.state,
        requestedBy: correction.requestedBy,
        requestedAt: instant(correction.requestedAt),
        decidedBy: correction.decidedBy,
        decidedAt: instantOrNull(correction.decidedAt),
      })),
      nextCursor: null,
    }),
  })

  resource.read({
    path: '/entries/:entryId',
    name: 'read-entry',
    summary: 'One entry of the record: what it seals, and its hash.',
    load: (ask) => findEntry(ask.scope, ask.params.entryId ?? ''),
    json: ({ at, deviceAt, ...entry }) => ({ ...entry, at: instant(at), deviceAt: instantOrNull(deviceAt) }),
  })
}
