// Did the nut of each joint get a torque in its range, and was a torque that was too high answered?

import { say } from '../words/say.ts'
import { failed, jobSubject, jointSubject, met, notApplicable, open } from './answers.ts'
import { isAfter } from './chronology.ts'
import type { Dossier, Make, TorqueStep } from './dossier.ts'
import type { Answer, JudgedNumber, Requirement } from './finding.ts'
import { isAtTestPressure } from './judge-leak-check.ts'
import { judgeTorqueStep, type TorqueJudgement } from './judge-torque.ts'
import { judgingOf } from './making-answers.ts'
import {
  isPort,
  leakChecksOf,
  type ScopedJoint,
  scopeOf,
  stepsFor,
  stepsOf,
  uninspectedHigh,
} from './scope.ts'
import { staleLeakCheck } from './staleness.ts'
import { asSentence, jointKindWords, newtonMetres, stepWords } from './wording.ts'

function numbersOf(judgement: TorqueJudgement): JudgedNumber[] {
  const { appliedNm, range, uncertaintyNm, probabilityInRange, recommendedSettingNm } = judgement
  return [
    {
      name: say.rules.torqueAtTheNut,
      value: appliedNm,
      unit: 'N·m',
      low: range?.lowNm,
      high: range?.highNm,
      uncertainty: uncertaintyNm ?? undefined,
      source: range?.source,
    },
    {
      name: say.rules.probabilityThatTheTorque,
      value: probabilityInRange,
      unit: '',
      source: judgement.accuracySource ?? undefined,
    },
    { name: say.rules.recommendedSetting, value: recommendedSettingNm, unit: 'N·m' },
  ].filter((number) => number.value !== null)
}

/** A torque nobody measured may be released only with a second person's witness and bubbles at test pressure. */
function witnessed(step: TorqueStep, { joint, system }: ScopedJoint): boolean {
  return (
    step.witnessedBy !== null &&
    step.witnessedBy !== step.performedBy &&
    leakChecksOf(joint).some(
      ({ body, ...check }) =>
        body.method === 'bubble' &&
        body.result === 'none-found' &&
        isAtTestPressure(body, system) &&
        isAfter(check, step) &&
        staleLeakCheck({ body, ...check }, joint, system) === null,
    )
  )
}

function ask(dossier: Dossier, scoped: ScopedJoint, make: Make): Answer {
  const { joint } = scoped
  const judging = judgingOf(dossier, scoped)
  const subject = jointSubject(joint)
  const last = stepsOf(make, 'torque').at(-1)
  if (!last) {
    return open(subject, {
      reason: say.rules.noTorqueIsRecorded,
      next: say.rules.torqueTheNutOr,
      concedable: false,
    })
  }
  const judgement = judgeTorqueStep(joint, last.body, judging)
  const said = {
    numbers: numbersOf(judgement),
    evidence: [last.id],
    decisionRule: judgement.decisionRule,
  }
  const high = uninspectedHigh(joint, make, judging)
  if (high && high.id !== last.id) {
    return failed(subject, {
      ...said,
      reason: say.rules.anEarlierTorqueWas(judgement.reason),
      next: say.rules.loosenInspectFlareAnd,
      evidence: [high.id, last.id],
      concedable: false,
    })
  }
  const setting =
    judgement.recommendedSettingNm === null
      ? ''
      : say.rules.setTheWrenchTo(newtonMetres(judgement.recommendedSettingNm))
  switch (judgement.verdict) {
    case 'in-range':
      return met(subject, { ...said, reason: judgement.reason })
    case 'low':
      return failed(subject, {
        ...said,
        reason: judgement.reason,
        next: say.rules.itIsRecorded(capital(say.rules.pullAgain(setting))),
        concedable: false,
      })
    case 'high':
      return failed(subject, {
        ...said,
        reason: judgement.reason,
        next: say.rules.itIsRecordedLoosen,
        concedable: false,
      })
    case 'not-proven':
      if (judgement.range === null) {
        return open(subject, {
          ...said,
          reason: judgement.reason,
          next: say.rules.enterTheMakersTorque,
          concedable: false,
        })
      }
      return failed(subject, {
        ...said,
        reason: judgement.reason,
        next: say.rules.loosenPullAgain(setting),
        concedable: false,
      })
    case 'not-measured': {
      const concedable = witnessed(last, scoped)
      const why = last.body.reason ? ` ${asSentence(last.body.reason)}` : ''
      return open(subject, {
        ...said,
        reason: `${judgement.reason}${why}`,
        next: concedable ? say.rules.measureItOrAsk : say.rules.measureItToHave,
        concedable,
      })
    }
  }
}

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1)

export const jointTorqueInRange: Requirement = {
  code: 'joint-torque-in-range',
  get title() {
    return say.rules.theNutIsTorqued
  },
  get source() {
    return say.rules.equipmentSheetElseThe
  },
  check(dossier) {
    const { job } = dossier
    const answers: Answer[] = []
    for (const scoped of scopeOf(dossier).joints) {
      const { joint, make, system } = scoped
      const answersFor = scoped.mustBeMade || scoped.workedOnHere || make?.jobId === job.id
      if (isPort(joint) || !answersFor) continue
      const subject = jointSubject(joint)
      if (scoped.leftOut !== null) {
        answers.push(notApplicable(subject, say.rules.leftOutOfThis(asSentence(scoped.leftOut))))
      } else if (!stepsFor(joint, system.sheet).includes('torque')) {
        answers.push(
          notApplicable(
            subject,
            joint.kind === 'compression' || joint.kind === 'adapter'
              ? say.rules.theEquipmentSheetGives(jointKindWords()[joint.kind])
              : say.rules.aHasNoStepFor2(jointKindWords()[joint.kind], stepWords().torque),
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
      } else answers.push(ask(dossier, scoped, make))
    }
    if (answers.length > 0) return answers
    return [notApplicable(jobSubject(dossier), say.rules.noNutWasTightened)]
  },
}
