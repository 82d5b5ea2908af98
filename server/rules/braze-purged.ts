// Did nitrogen flow through each joint that was brazed here?

import { say } from '../words/say.ts'
import { failed, jointSubject, met, open } from './answers.ts'
import type { Requirement } from './finding.ts'
import { askMakings } from './making-answers.ts'
import { stepsOf } from './scope.ts'

export const brazePurged: Requirement = {
  code: 'braze-purged',
  get title() {
    return say.rules.theJointWasBrazed
  },
  get source() {
    return say.rules.commonPracticeNoSource
  },
  check(dossier) {
    return askMakings(dossier, 'brazing', ['brazed'], say.rules.noJointWasBrazed, ({ joint, make }) => {
      const subject = jointSubject(joint)
      const step = stepsOf(make, 'brazing').at(-1)
      if (!step) {
        return open(subject, {
          reason: say.rules.noBrazingIsRecorded,
          next: say.rules.recordTheBrazingAnd,
          concedable: false,
        })
      }
      // Scale from one heating without nitrogen stays in the tube, whatever a second heating was done with.
      const bare = stepsOf(make, 'brazing').find(({ body }) => !body.nitrogenFlow)
      if (bare) {
        return failed(subject, {
          reason: say.rules.nitrogenDidNotFlow,
          next: say.rules.cutTheJointOut,
          evidence: [bare.id],
          concedable: true,
        })
      }
      return met(subject, { reason: say.rules.nitrogenFlowedWhileIt, evidence: [step.id] })
    })
  },
}
