// What may this member do about the release of this job, and what stands beside each finding?

import { h } from 'preact'
import { GrantConcession, type ReleaseProps, RequestConcession } from '../../views/jobs/release.tsx'
import type { FormState } from '../../views/parts/field.tsx'
import { may } from '../access/capabilities.ts'
import { ownWorkWords } from '../commands/release/own-work.ts'
import { newId } from '../ids.ts'
import type { Dossier } from '../rules/dossier.ts'
import { type Finding, isReleased } from '../rules/finding.ts'
import type { JobRow } from '../store/queries/jobs.ts'
import { say } from '../words/say.ts'
import { findingItems } from './finding-items.ts'
import type { Ask } from './resource.ts'

/** The name of the field in which a concession is asked for, and back. */
export const requestField = (finding: Finding) => `_request ${finding.requirement} ${finding.subject.id}`
export function readRequestField(name: string): { requirement: string; subjectId: string } | null {
  const [mark, requirement, subjectId] = name.split(' ')
  return mark === '_request' && requirement && subjectId ? { requirement, subjectId } : null
}

export function releaseForms(
  { actor }: Ask,
  job: JobRow,
  dossier: Dossier,
  findings: readonly Finding[],
  /** Whether this member did or recorded some of it. */
  worked: boolean,
  form?: FormState,
): ReleaseProps {
  const held = findings.filter((finding) => !isReleased(finding))
  const allAskable = held.every((finding) => finding.concedable)
  const audits = may(actor, 'audit-job')
  const submits = may(actor, 'submit-job') && job.stage === 'open' && dossier.systems.length > 0
  const isOwnWork = audits && !dossier.policy.selfSignOff && worked
  const waits = job.stage === 'submitted'
  return {
    jobId: job.id,
    findings: findingItems(findings, { jobId: job.id, formFor }),
    held: held.length,
    allAskable,
    may: {
      submit: submits,
      sendBack: audits && waits,
      signOff: audits && waits && !isOwnWork,
      reopen: audits && job.stage === 'sealed',
    },
    notBecause: waits && isOwnWork ? ownWorkWords(say.jobs.concedesAndSignsIt) : null,
    form,
  }

  function formFor(finding: Finding) {
    if (isReleased(finding) || !finding.concedable) return null
    if (audits && job.stage !== 'sealed' && !isOwnWork && (waits || !submits))
      return h(GrantConcession, {
        jobId: job.id,
        id: newId(),
        requirement: finding.requirement,
        subjectId: finding.subject.id,
      })
    // A request goes out with the submission, and that is refused while anything else is open.
    if (!submits || !allAskable) return null
    const name = requestField(finding)
    return h(RequestConcession, { name, value: form?.values[name] ?? '' })
  }
}
