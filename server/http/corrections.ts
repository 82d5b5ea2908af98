// Corrections: a fact superseded by another, with a reason.

import type { VNode } from 'preact'
import type { FormState } from '../../views/parts/field.tsx'
import { type Corrected, correctFact } from '../commands/corrections/correct-fact.ts'
import { decideCorrection } from '../commands/corrections/decide-correction.ts'
import type { CorrectedKind } from '../commands/corrections/replacements.ts'
import type { Refusal } from '../refusals.ts'
import { findCorrection, listCorrectionsOfJob } from '../store/queries/corrections.ts'
import { findEntry } from '../store/queries/entries.ts'
import { findJob } from '../store/queries/jobs.ts'
import { chargeAgain } from './charges.ts'
import { correctionFields } from './correction-form.ts'
import { evacuationAgain } from './evacuations.ts'
import { jobPage } from './jobs.ts'
import { jointPageAgain } from './joint-page.ts'
import { instant, instantOrNull } from './json.ts'
import { pressureTestAgain } from './pressure-tests.ts'
import type { Ask, Resource } from './resource.ts'
import { runningChecksAgain } from './running-checks.ts'

/** Each page on which something is corrected, with its form as it came back. */
const AGAIN: Record<
  CorrectedKind,
  (ask: Ask, id: string, form: FormState, refusal: Refusal) => Promise<VNode>
> = {
  joint: (ask, jointId, form, refusal) => jointPageAgain(ask, { jointId }, form, refusal),
  'pressure-test': pressureTestAgain,
  evacuation: evacuationAgain,
  charge: chargeAgain,
  'running-check': runningChecksAgain,
}

/** Where somebody sees what became of it. */
function pageOf(about: Corrected['about'], jobId: string, replacementId: string, state: string): string {
  // What waits is told beside what it would replace.
  const fact = state === 'accepted' ? `#fact-${replacementId}` : '#recorded'
  switch (about.kind) {
    case 'joint':
      return `/joints/${about.id}?job=${jobId}#next`
    case 'pressure-test':
    case 'evacuation':
      return `/${about.kind}s/${about.id}${fact}`
    case 'charge':
      return `/systems/${about.systemId}/charge?jobId=${jobId}${fact}`
    case 'running-check':
      return `/systems/${about.systemId}/running-checks?jobId=${jobId}${fact}`
  }
}

export function correctionsResource(resource: Resource): void {
  resource.write({
    path: '/corrections',
    command: correctFact,
    status: 201,
    page: {
      input: correctionFields,
      goTo: ({ about, jobId, state, replacementId }) => pageOf(about, jobId, replacementId, state),
      again: (form, refusal, ask) => {
        const [kind = '', id = ''] = (form.values._at ?? '').split(':')
        const again = AGAIN[kind as CorrectedKind] ?? AGAIN.joint
        return again(ask, id, form, refusal)
      },
    },
  })

  resource.write({
    path: '/corrections/:correctionId/decision',
    command: decideCorrection,
    page: {
      goTo: ({ jobId, id }) => `/jobs/${jobId}#correction-${id}`,
      again: async (form, refusal, ask) => {
        const { jobId } = await findCorrection(ask.scope, ask.params.correctionId ?? '')
        return jobPage(ask, await findJob(ask.scope, jobId), form, refusal.message)
      },
    },
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
        decisionReason: correction.decisionReason,
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
