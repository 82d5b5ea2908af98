// Was each joint pressed here made with a named jaw, to the insertion mark, and tried with the gauge?

import { failed, jointSubject, met, open } from './answers.ts'
import type { Requirement } from './finding.ts'
import { askMakings } from './making-answers.ts'
import { stepsOf } from './scope.ts'

export const pressVerified: Requirement = {
  code: 'press-verified',
  title: 'The press joint is made to its mark and gauged',
  source: 'common practice, no source',
  check(dossier) {
    return askMakings(
      dossier,
      'pressing',
      ['press'],
      'No joint was pressed on this job.',
      ({ joint, make }) => {
        const subject = jointSubject(joint)
        const pressing = stepsOf(make, 'pressing').at(-1)
        const gauged = stepsOf(make, 'inspection').at(-1)
        if (!pressing) {
          return open(subject, {
            reason: 'No pressing is recorded for this making.',
            next: 'Record the jaw and the insertion mark.',
            concedable: false,
          })
        }
        const evidence = [pressing.id, ...(gauged ? [gauged.id] : [])]
        const remake = `Cut it out and start making ${make.number + 1}.`
        if (!pressing.body.insertionMarked) {
          return failed(subject, {
            reason: 'The insertion depth was not marked, so nobody can see how far the tube went in.',
            next: remake,
            evidence,
            concedable: false,
          })
        }
        if (pressing.body.jawSize.trim() === '') {
          return open(subject, {
            reason: 'The jaw is not named.',
            next: 'Correct the record: name the jaw that was used.',
            evidence,
            concedable: false,
          })
        }
        if (!gauged) {
          return open(subject, {
            reason: 'The pressed joint was not tried with the gauge.',
            next: 'Try it with the gauge and record the inspection.',
            evidence,
            concedable: false,
          })
        }
        if (gauged.body.outcome === 'rejected') {
          return failed(subject, {
            reason: 'The pressed joint was rejected at inspection.',
            next: remake,
            evidence,
            concedable: false,
          })
        }
        if (gauged.body.diameterCheck === 'not-checked') {
          return open(subject, {
            reason: 'It was looked at, and not tried with the gauge.',
            next: 'Try it with the gauge and record the inspection again.',
            evidence,
            concedable: false,
          })
        }
        return met(subject, {
          reason: `Pressed with jaw ${pressing.body.jawSize} to the insertion mark and gauged.`,
          evidence,
        })
      },
    )
  },
}
