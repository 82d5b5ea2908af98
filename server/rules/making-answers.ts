// Which joints does a requirement about one step of a making ask, and what does it say where there is nothing to ask?

import type { JointKind, StepKind } from '../vocabulary.ts'
import { say } from '../words/say.ts'
import { jobSubject, jointSubject, notApplicable, open } from './answers.ts'
import type { Dossier, Make } from './dossier.ts'
import type { Answer } from './finding.ts'
import type { Judging } from './judge-torque.ts'
import { type ScopedJoint, scopeOf, stepsFor } from './scope.ts'
import { asSentence, jointKindWords, stepWords } from './wording.ts'

export interface AskedMaking extends ScopedJoint {
  make: Make
}

export function judgingOf(dossier: Dossier, { system }: Pick<ScopedJoint, 'system'>): Judging {
  return { policy: dossier.policy, sheet: system.sheet, instruments: dossier.instruments }
}

/** Whether this job answers for how the joint was made, not only for what was done to it since. */
function answersForMaking({ mustBeMade, make }: ScopedJoint, jobId: string): boolean {
  return mustBeMade || make?.jobId === jobId
}

/**
 * Asks every joint of `kinds` whose making this job answers for. Joints left out, or made in the factory and so
 * without that step, do not apply; a joint that is not made yet is open. `nothing`: what is said when there is none.
 */
export function askMakings(
  dossier: Dossier,
  step: StepKind,
  kinds: readonly JointKind[],
  nothing: string,
  ask: (making: AskedMaking) => Answer,
): Answer[] {
  const answers: Answer[] = []
  for (const scoped of scopeOf(dossier).joints) {
    if (!kinds.includes(scoped.joint.kind) || !answersForMaking(scoped, dossier.job.id)) continue
    const subject = jointSubject(scoped.joint)
    const { joint, make, system } = scoped
    if (scoped.leftOut !== null) {
      answers.push(notApplicable(subject, say.rules.leftOutOfThis(asSentence(scoped.leftOut))))
    } else if (!stepsFor(joint, system.sheet).includes(step)) {
      const origin = joint.origin === 'factory' ? say.rules.factoryMade : ''
      answers.push(
        notApplicable(
          subject,
          say.rules.aHasNoStepFor(origin, jointKindWords()[joint.kind], stepWords()[step]),
        ),
      )
    } else if (make === null) {
      answers.push(
        open(subject, {
          reason: say.rules.theJointIsNot,
          next: say.rules.startTheMakingOf,
          concedable: false,
        }),
      )
    } else {
      answers.push(ask({ ...scoped, make }))
    }
  }
  return answers.length > 0 ? answers : [notApplicable(jobSubject(dossier), nothing)]
}
