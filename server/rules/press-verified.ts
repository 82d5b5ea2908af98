// Was each joint pressed here made with a named jaw, to the insertion mark, and tried with the gauge?

import { say } from '../words/say.ts'
import { failed, jointSubject, met, open } from './answers.ts'
import type { Requirement } from './finding.ts'
import { askMakings } from './making-answers.ts'
import { stepsOf } from './scope.ts'

export const pressVerified: Requirement = {
  code: 'press-verified',
  get title() {
    return say.rules.thePressJointIs
  },
  get source() {
    return say.rules.commonPracticeNoSource
  },
  check(dossier) {
    return askMakings(dossier, 'pressing', ['press'], say.rules.noJointWasPressed, ({ joint, make }) => {
      const subject = jointSubject(joint)
      const pressing = stepsOf(make, 'pressing').at(-1)
      const gauged = stepsOf(make, 'inspection').at(-1)
      if (!pressing) {
        return open(subject, {
          reason: say.rules.noPressingIsRecorded,
          next: say.rules.recordTheJawAnd,
          concedable: false,
        })
      }
      const evidence = [pressing.id, ...(gauged ? [gauged.id] : [])]
      const remake = say.rules.cutItOutAnd(make.number + 1)
      if (!pressing.body.insertionMarked) {
        return failed(subject, {
          reason: say.rules.theInsertionDepthWas,
          next: remake,
          evidence,
          concedable: false,
        })
      }
      if (pressing.body.jawSize.trim() === '') {
        return open(subject, {
          reason: say.rules.theJawIsNot,
          next: say.rules.correctTheRecordName,
          evidence,
          concedable: false,
        })
      }
      if (!gauged) {
        return open(subject, {
          reason: say.rules.thePressedJointWas,
          next: say.rules.tryItWithThe,
          evidence,
          concedable: false,
        })
      }
      if (gauged.body.outcome === 'rejected') {
        return failed(subject, {
          reason: say.rules.thePressedJointWasRejected,
          next: remake,
          evidence,
          concedable: false,
        })
      }
      if (gauged.body.diameterCheck === 'not-checked') {
        return open(subject, {
          reason: say.rules.itWasLookedAt,
          next: say.rules.tryItWithTheGauge,
          evidence,
          concedable: false,
        })
      }
      return met(subject, {
        reason: say.rules.pressedWithJawTo(pressing.body.jawSize),
        evidence,
      })
    })
  },
}
