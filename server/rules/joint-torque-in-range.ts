// Did the nut of each joint get a torque in its range, and was a torque that was too high answered?

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
import { asSentence, JOINT_KIND_WORDS, newtonMetres, STEP_WORDS } from './wording.ts'

function numbersOf(judgement: TorqueJudgement): JudgedNumber[] {
  const { appliedNm, range, uncertaintyNm, probabilityInRange, recommendedSettingNm } = judgement
  return [
    {
      name: 'torque at the nut',
      value: appliedNm,
      unit: 'N·m',
      low: range?.lowNm,
      high: range?.highNm,
      uncertainty: uncertaintyNm ?? undefined,
      source: range?.source,
    },
    {
      name: 'probability that the torque was in range',
      value: probabilityInRange,
      unit: '',
      source: judgement.accuracySource ?? undefined,
    },
    { name: 'recommended setting', value: recommendedSettingNm, unit: 'N·m' },
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
      reason: 'No torque is recorded for this making.',
      next: 'Torque the nut, or record why it can not be measured.',
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
      reason: `An earlier torque was too high, and flare and nut were not inspected since. ${judgement.reason}`,
      next: 'Loosen, inspect flare and nut, then torque again or remake.',
      evidence: [high.id, last.id],
      concedable: false,
    })
  }
  const setting =
    judgement.recommendedSettingNm === null
      ? ''
      : `set the wrench to ${newtonMetres(judgement.recommendedSettingNm)} and `
  switch (judgement.verdict) {
    case 'in-range':
      return met(subject, { ...said, reason: judgement.reason })
    case 'low':
      return failed(subject, {
        ...said,
        reason: judgement.reason,
        next: `It is recorded. ${capital(`${setting}pull again.`)}`,
        concedable: false,
      })
    case 'high':
      return failed(subject, {
        ...said,
        reason: judgement.reason,
        next: 'It is recorded. Loosen, inspect flare and nut, then torque again or remake.',
        concedable: false,
      })
    case 'not-proven':
      if (judgement.range === null) {
        return open(subject, {
          ...said,
          reason: judgement.reason,
          next: "Enter the maker's torque for this joint on the equipment sheet.",
          concedable: false,
        })
      }
      return failed(subject, {
        ...said,
        reason: judgement.reason,
        next: `Loosen, ${setting}pull again.`,
        concedable: false,
      })
    case 'not-measured': {
      const concedable = witnessed(last, scoped)
      const why = last.body.reason ? ` ${asSentence(last.body.reason)}` : ''
      return open(subject, {
        ...said,
        reason: `${judgement.reason}${why}`,
        next: concedable
          ? 'Measure it, or ask a manager to release it.'
          : 'Measure it. To have it released, a second person must witness it and the joint must show no bubbles at test pressure.',
        concedable,
      })
    }
  }
}

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1)

export const jointTorqueInRange: Requirement = {
  code: 'joint-torque-in-range',
  title: 'The nut is torqued within its range',
  source: 'equipment sheet, else the torque set that the policy names; probability by JCGM 106:2012',
  check(dossier) {
    const { job } = dossier
    const answers: Answer[] = []
    for (const scoped of scopeOf(dossier).joints) {
      const { joint, make, system } = scoped
      const answersFor = scoped.mustBeMade || scoped.workedOnHere || make?.jobId === job.id
      if (isPort(joint) || !answersFor) continue
      const subject = jointSubject(joint)
      if (scoped.leftOut !== null) {
        answers.push(notApplicable(subject, `Left out of this job: ${asSentence(scoped.leftOut)}`))
      } else if (!stepsFor(joint, system.sheet).includes('torque')) {
        answers.push(
          notApplicable(
            subject,
            joint.kind === 'compression' || joint.kind === 'adapter'
              ? `The equipment sheet gives no torque for this ${JOINT_KIND_WORDS[joint.kind]}.`
              : `A ${JOINT_KIND_WORDS[joint.kind]} has no step for ${STEP_WORDS.torque}.`,
          ),
        )
      } else if (make === null) {
        answers.push(
          open(subject, {
            reason: 'The joint is not made yet.',
            next: 'Start the making of this joint and record its steps.',
            concedable: false,
          }),
        )
      } else answers.push(ask(dossier, scoped, make))
    }
    if (answers.length > 0) return answers
    return [notApplicable(jobSubject(dossier), 'No nut was tightened on this job.')]
  },
}
