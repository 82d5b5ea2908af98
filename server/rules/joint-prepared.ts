// Was the tube end of each joint made here cut square, deburred, kept clean and given its nut?

import type { JointKind } from '../vocabulary.ts'
import { failed, jointSubject, met, open } from './answers.ts'
import type { Requirement } from './finding.ts'
import { askMakings } from './making-answers.ts'
import { judgePoints, pointsFor } from './points.ts'
import { stepsOf } from './scope.ts'

/** Kinds of joint that begin with a cut tube. */
const CUT_TUBE: readonly JointKind[] = ['flare', 'brazed', 'press']

export const jointPrepared: Requirement = {
  code: 'joint-prepared',
  title: 'The tube end is prepared',
  source: 'common practice, no source',
  check(dossier) {
    return askMakings(
      dossier,
      'preparation',
      CUT_TUBE,
      'No tube was cut for a joint on this job.',
      ({ joint, make }) => {
        const subject = jointSubject(joint)
        const step = stepsOf(make, 'preparation').at(-1)
        if (!step) {
          return open(subject, {
            reason: 'No preparation is recorded for this making.',
            next: 'Record how the tube end was cut, deburred and cleaned.',
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
            next: 'Answer every point, with a reason where one does not apply.',
            concedable: true,
          })
        }
        return failed(subject, {
          ...said,
          next: 'Cut the tube end back, prepare it again and start a new making.',
          concedable: true,
        })
      },
    )
  },
}
