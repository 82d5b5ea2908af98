// Is each port and valve that this job worked through closed, capped and checked for leaks, after its last use?

import { say } from '../words/say.ts'
import { failed, jointSubject, met, notApplicable, open } from './answers.ts'
import { inOrder, isAfter } from './chronology.ts'
import type { ClosingStep, Dossier, Joint } from './dossier.ts'
import type { Answer, Requirement } from './finding.ts'
import { askLeakCheck } from './joint-leak-checked.ts'
import { judgePoints, pointsFor } from './points.ts'
import { isPort, type ScopedJoint, scopeOf } from './scope.ts'
import { liesIn } from './staleness.ts'
import { asSentence, jointKindWords, moment } from './wording.ts'

/** The last thing done through the port: a test of its section, or refrigerant moved. */
function lastUse(dossier: Dossier, { joint, system }: ScopedJoint) {
  const here = <T extends { jobId: string }>(facts: readonly T[]) =>
    facts.filter((fact) => fact.jobId === dossier.job.id)
  return inOrder([
    ...here(system.pressureTests).filter((test) => liesIn(test, joint)),
    ...here(system.evacuations).filter((test) => liesIn(test, joint)),
    ...here(system.charges),
  ]).at(-1)
}

const closingsOf = (joint: Joint): ClosingStep[] =>
  inOrder(
    joint.makes.flatMap((make) => make.steps).filter((step): step is ClosingStep => step.kind === 'closing'),
  )

function ask(dossier: Dossier, scoped: ScopedJoint): Answer {
  const { joint } = scoped
  const subject = jointSubject(joint)
  const what = jointKindWords()[joint.kind]
  if (scoped.leftOut !== null)
    return notApplicable(subject, say.rules.leftOutOfThis(asSentence(scoped.leftOut)))
  const closing = closingsOf(joint).at(-1)
  const use = lastUse(dossier, scoped)
  if (!closing) {
    return open(subject, {
      reason: say.rules.theIsNotRecorded(what),
      next: say.rules.closeItPutThe,
      concedable: false,
    })
  }
  const evidence = [closing.id]
  if (use && isAfter(use, closing)) {
    return open(subject, {
      reason: say.rules.theCircuitWasWorked(moment(use.performedAt), what),
      next: say.rules.lookAtItAgain,
      evidence: [...evidence, use.id],
      concedable: false,
    })
  }
  const points = judgePoints(closing.body.points, pointsFor('closing', joint.kind), () => true)
  if (points.outcome === 'some-no') {
    return failed(subject, {
      reason: points.reason,
      next: say.rules.putItRightAnd,
      evidence,
      concedable: false,
    })
  }
  if (points.outcome === 'incomplete') {
    return open(subject, {
      reason: points.reason,
      next: say.rules.answerEveryPointOfThe,
      evidence,
      concedable: false,
    })
  }
  const checked = askLeakCheck(dossier, scoped)
  if (checked.outcome !== 'met') return { ...checked, subject, concedable: false }
  return met(subject, {
    reason: say.rules.closedCappedAndChecked(checked.reason),
    numbers: checked.numbers,
    evidence: [...evidence, ...checked.evidence],
  })
}

export const portsAndCapsClosed: Requirement = {
  code: 'ports-and-caps-closed',
  get title() {
    return say.rules.portsAndValvesAre
  },
  get source() {
    return say.rules.commonPracticeNoSourceAfter
  },
  check(dossier) {
    // Systems whose ports are not on record have nothing to ask: their outdoor unit was entered without them.
    return scopeOf(dossier)
      .joints.filter(({ joint }) => isPort(joint))
      .map((scoped) => ask(dossier, scoped))
  },
}
