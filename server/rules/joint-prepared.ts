// Was the tube end of each joint made here cut square, deburred, kept clean and given its nut?

import type { JointKind } from '../vocabulary.ts'
import { say } from '../words/say.ts'
import { failed, jointSubject, met, open } from './answers.ts'
import type { Requirement } from './finding.ts'
import { askMakings } from './making-answers.ts'
import { judgePoints, pointsFor } from './points.ts'
import { stepsOf } from './scope.ts'

/** Kinds of joint that begin with a cut tube. */
const CUT_TUBE: readonly JointKind[] = ['flare', 'brazed', 'press']

export const jointPrepared: Requirement = {
  code: 'joint-prepared',
  get title() {
    return say.rules.theTubeEndIs
  },
  get source() {
    return say.rules.commonPracticeNoSource
  },
  check(dossier) {
    return askMakings(dossier, 'preparation', CUT_TUBE, say.rules.noTubeWasCut, ({ joint, make }) => {
      const subject = jointSubject(joint)
      const step = stepsOf(make, 'preparation').at(-1)
      if (!step) {
        return open(subject, {
          reason: say.rules.noPreparationIsRecorded,
          next: say.rules.recordHowTheTube,
          concedable: true,
        })
      }
      const asked = pointsFor('preparation', joint.kind)
      const { outcome, reason } = judgePoints(step.body.points, asked, () => true)
      const said = { reason, evidence: [step.id] }
      if (outcome === 'all-yes') return met(subject, said)
      if (outcome === 'incomplete') {
        return open(subject, {
          ...said,
          next: say.rules.answerEveryPointWith,
          concedable: true,
        })
      }
      return failed(subject, {
        ...said,
        next: say.rules.cutTheTubeEnd,
        concedable: true,
      })
    })
  },
}
