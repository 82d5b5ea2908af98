// Was each joint that was made, torqued or opened checked for leaks since, well enough, and none found?

import { say } from '../words/say.ts'
import { failed, jobSubject, jointSubject, met, notApplicable, open } from './answers.ts'
import type { Dossier, LeakCheckStep, System } from './dossier.ts'
import type { Answer, Requirement } from './finding.ts'
import { judgeLeakCheck, needsStrictCheck } from './judge-leak-check.ts'
import { isPort, leakChecksOf, type ScopedJoint, type Section, scopeOf, workedOnHere } from './scope.ts'
import { deedsOn, staleLeakCheck, workedOnSince } from './staleness.ts'
import { asSentence, moment } from './wording.ts'

/** When this job first opened the section: joints it did not touch need a check from then on. */
function openedAt(section: Section, system: System, jobId: string): number | null {
  const deeds = section.joints
    .filter((joint) => workedOnHere(joint, jobId))
    .flatMap((joint) => deedsOn(joint, system).filter((deed) => deed.jobId === jobId))
  return deeds.length === 0 ? null : Math.min(...deeds.map((deed) => deed.performedAt))
}

/** Why a check that is not stale for the joint itself does not count for this job. */
function tooEarly(check: LeakCheckStep, scoped: ScopedJoint, jobId: string): string | null {
  if (scoped.why !== 'opened-section') return null
  const since = openedAt(scoped.section, scoped.system, jobId)
  const early = since === null ? check.jobId !== jobId : check.performedAt < since
  return early ? say.rules.itsSectionWasOpened(moment(check.performedAt)) : null
}

export function askLeakCheck(dossier: Dossier, scoped: ScopedJoint): Answer {
  const { joint, system } = scoped
  const subject = jointSubject(joint)
  const strict = needsStrictCheck(joint, system)
  const howTo = strict ? say.rules.checkItWithA : say.rules.checkItWithBubbles
  const reported = dossier.leaking?.find(({ jointId }) => jointId === joint.id)
  if (reported && !workedOnSince(joint, system, { performedAt: reported.at, recordedAt: reported.at })) {
    return failed(subject, {
      reason: say.rules.aCallbackFoundIt(moment(reported.at)),
      next: say.rules.remakeOrRetightenThe,
      concedable: false,
    })
  }
  const checks = leakChecksOf(joint)
  const last = checks.at(-1)
  if (!last) {
    return open(subject, {
      reason: say.rules.theJointWasNot,
      next: howTo,
      concedable: false,
    })
  }
  const found = checks.findLast((check) => check.body.result === 'found')
  if (found) {
    const dealtWith = workedOnSince(joint, system, found)
    if (!dealtWith) {
      return failed(subject, {
        reason: say.rules.nothingWasDoneTo(
          judgeLeakCheck(found.body, joint, system, dossier.policy).reason,
          moment(found.performedAt),
        ),
        next: say.rules.remakeOrRetightenThe,
        evidence: [found.id],
        concedable: false,
      })
    }
  }
  // Any check since then that is good enough will do; the last one need not be the best one.
  const standing = checks.filter(
    (check) =>
      staleLeakCheck(check, joint, system) === null && tooEarly(check, scoped, dossier.job.id) === null,
  )
  if (standing.length === 0) {
    return open(subject, {
      reason:
        staleLeakCheck(last, joint, system)?.reason ??
        tooEarly(last, scoped, dossier.job.id) ??
        say.rules.theJointWasNotChecked,
      next: say.rules.checkTheJointAgain(howTo),
      evidence: [last.id],
      concedable: false,
    })
  }
  const judged = standing.map((check) => ({
    check,
    judgement: judgeLeakCheck(check.body, joint, system, dossier.policy),
  }))
  const tight = judged.findLast(({ judgement }) => judgement.verdict === 'tight')
  const best = tight ?? judged.at(-1)
  if (!best)
    return open(subject, { reason: say.rules.theJointWasNotChecked2, next: howTo, concedable: false })
  const said = {
    reason: best.judgement.reason,
    numbers: best.judgement.numbers,
    evidence: [best.check.id],
  }
  return tight ? met(subject, said) : open(subject, { ...said, next: howTo, concedable: false })
}

export const jointLeakChecked: Requirement = {
  code: 'joint-leak-checked',
  get title() {
    return say.rules.theJointIsChecked
  },
  get source() {
    return say.rules.indoorJointsWithFlammable
  },
  check(dossier) {
    const answers = scopeOf(dossier)
      .joints.filter(({ joint }) => !isPort(joint))
      .map((scoped) =>
        scoped.leftOut === null
          ? askLeakCheck(dossier, scoped)
          : notApplicable(jointSubject(scoped.joint), say.rules.leftOutOfThis(asSentence(scoped.leftOut))),
      )
    if (answers.length > 0) return answers
    return [notApplicable(jobSubject(dossier), say.rules.noJointWasMade)]
  },
}
