// Did nitrogen flow through each joint that was brazed here?

import { failed, jointSubject, met, open } from './answers.ts'
import type { Requirement } from './finding.ts'
import { askMakings } from './making-answers.ts'
import { stepsOf } from './scope.ts'

export const brazePurged: Requirement = {
  code: 'braze-purged',
  title: 'The joint was brazed with nitrogen flowing',
  source: 'common practice, no source',
  check(dossier) {
    return askMakings(
      dossier,
      'brazing',
      ['brazed'],
      'No joint was brazed on this job.',
      ({ joint, make }) => {
        const subject = jointSubject(joint)
        const step = stepsOf(make, 'brazing').at(-1)
        if (!step) {
          return open(subject, {
            reason: 'No brazing is recorded for this making.',
            next: 'Record the brazing and whether nitrogen flowed.',
            concedable: false,
          })
        }
        // Scale from one heating without nitrogen stays in the tube, whatever a second heating was done with.
        const bare = stepsOf(make, 'brazing').find(({ body }) => !body.nitrogenFlow)
        if (bare) {
          return failed(subject, {
            reason: 'Nitrogen did not flow while it was brazed.',
            next: 'Cut the joint out and braze it anew with nitrogen flowing, or ask a manager with the remedy written down.',
            evidence: [bare.id],
            concedable: true,
          })
        }
        return met(subject, { reason: 'Nitrogen flowed while it was brazed.', evidence: [step.id] })
      },
    )
  },
}
