// Has every joint that this job has to make a making, or a reason for being left out?

import { jobSubject, jointSubject, met, notApplicable, open } from './answers.ts'
import type { Answer, Requirement } from './finding.ts'
import { isPort, laysLines, type ScopedJoint, scopeOf } from './scope.ts'
import { asSentence, moment } from './wording.ts'

function ask(scoped: ScopedJoint, jobId: string): Answer {
  const { joint, make, leftOut } = scoped
  const subject = jointSubject(joint)
  if (leftOut !== null) {
    return met(subject, { reason: `Left out of this job: ${asSentence(leftOut)}`, decisionRule: null })
  }
  if (joint.origin === 'factory' && make === null) {
    return notApplicable(subject, 'Made in the factory. What was done to it here is judged by itself.')
  }
  // After a unit was replaced, what an earlier job made there no longer holds.
  const counts = make !== null && (make.jobId === jobId || scoped.why !== 'unit-replaced')
  if (counts) {
    return met(subject, {
      reason: `Making ${make.number} began on ${moment(make.performedAt)}.`,
      evidence: [make.id],
    })
  }
  return open(subject, {
    reason:
      make === null
        ? 'No making is recorded for this joint.'
        : 'The unit at this joint was replaced, and the joint was not made anew.',
    next: 'Record a making of this joint, or leave it out of the job with a reason.',
    concedable: false,
  })
}

export const everyJointMade: Requirement = {
  code: 'every-joint-made',
  title: 'Every joint of this job is made',
  source: 'this record: a joint nobody wrote down is a joint nobody checked (common practice, no source)',
  check(dossier) {
    const answers = scopeOf(dossier)
      .joints.filter(({ joint, mustBeMade }) => mustBeMade && !isPort(joint))
      .map((scoped) => ask(scoped, dossier.job.id))
    if (answers.length > 0) return answers
    if (laysLines(dossier.job.kind)) {
      return [
        open(jobSubject(dossier), {
          reason: 'No joint is on record for a job that lays lines.',
          next: 'Enter the system and its line sets; their joints are laid out with them.',
          concedable: false,
        }),
      ]
    }
    return [notApplicable(jobSubject(dossier), 'This job lays no line and opens no joint.')]
  },
}
