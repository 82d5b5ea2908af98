// Has every joint that this job has to make a making, or a reason for being left out?

import { say } from '../words/say.ts'
import { jobSubject, jointSubject, met, notApplicable, open } from './answers.ts'
import type { Answer, Requirement } from './finding.ts'
import { isPort, laysLines, type ScopedJoint, scopeOf } from './scope.ts'
import { asSentence, moment } from './wording.ts'

function ask(scoped: ScopedJoint, jobId: string): Answer {
  const { joint, make, leftOut } = scoped
  const subject = jointSubject(joint)
  if (leftOut !== null) {
    return met(subject, { reason: say.rules.leftOutOfThis(asSentence(leftOut)), decisionRule: null })
  }
  if (joint.origin === 'factory' && make === null) {
    return notApplicable(subject, say.rules.madeInTheFactory)
  }
  // After a unit was replaced, what an earlier job made there no longer holds.
  const counts = make !== null && (make.jobId === jobId || scoped.why !== 'unit-replaced')
  if (counts) {
    return met(subject, {
      reason: say.rules.makingBeganOn(make.number, moment(make.performedAt)),
      evidence: [make.id],
    })
  }
  return open(subject, {
    reason: make === null ? say.rules.noMakingIsRecorded : say.rules.theUnitAtThis,
    next: say.rules.recordAMakingOf,
    concedable: false,
  })
}

export const everyJointMade: Requirement = {
  code: 'every-joint-made',
  get title() {
    return say.rules.everyJointOfThis
  },
  get source() {
    return say.rules.thisRecordAJoint
  },
  check(dossier) {
    const answers = scopeOf(dossier)
      .joints.filter(({ joint, mustBeMade }) => mustBeMade && !isPort(joint))
      .map((scoped) => ask(scoped, dossier.job.id))
    if (answers.length > 0) return answers
    if (laysLines(dossier.job.kind)) {
      return [
        open(jobSubject(dossier), {
          reason: say.rules.noJointIsOn,
          next: say.rules.enterTheSystemAnd,
          concedable: false,
        }),
      ]
    }
    return [notApplicable(jobSubject(dossier), say.rules.thisJobLaysNo)]
  },
}
