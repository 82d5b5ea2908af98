// How does a requirement say that something is met, open, failed or not applicable?

import type { Dossier, Joint, LineSet, System } from './dossier.ts'
import type { Answer, JudgedNumber, Subject } from './finding.ts'
import type { Section } from './scope.ts'

export const jointSubject = (joint: Joint): Subject => ({ kind: 'joint', id: joint.id, name: joint.tag })
export const lineSetSubject = (line: LineSet): Subject => ({ kind: 'line-set', id: line.id, name: line.name })
export const systemSubject = (system: System): Subject => ({
  kind: 'system',
  id: system.id,
  name: system.name,
})
export const sectionSubject = ({ kind, id, name }: Section): Subject => ({ kind, id, name })
export const jobSubject = ({ job }: Dossier): Subject => ({
  kind: 'job',
  id: job.id,
  name: job.reference ?? 'this job',
})

/** What else there is to say: numbers and evidence may be left out, the reason may not. */
interface Said {
  reason: string
  numbers?: JudgedNumber[]
  evidence?: string[]
  decisionRule?: Answer['decisionRule']
}
interface Unmet extends Said {
  next: string
  concedable: boolean
}

const answer = (subject: Subject, outcome: Answer['outcome'], said: Said): Answer => ({
  subject,
  outcome,
  decisionRule: said.decisionRule === undefined ? 'simple' : said.decisionRule,
  numbers: said.numbers ?? [],
  evidence: said.evidence ?? [],
  reason: said.reason,
  nextAction: null,
  concedable: false,
})

export const met = (subject: Subject, said: Said): Answer => answer(subject, 'met', said)

/** Evidence is missing. */
export const open = (subject: Subject, said: Unmet): Answer => ({
  ...answer(subject, 'open', said),
  nextAction: said.next,
  concedable: said.concedable,
})

/** The evidence says no. */
export const failed = (subject: Subject, said: Unmet): Answer => ({
  ...answer(subject, 'failed', said),
  nextAction: said.next,
  concedable: said.concedable,
})

/** By rule, with the reason; never by hand. */
export const notApplicable = (subject: Subject, reason: string): Answer =>
  answer(subject, 'not-applicable', { reason, decisionRule: null })
