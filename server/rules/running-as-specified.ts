// Does each system that was opened or charged here run as its maker specifies?

import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import { failed, met, notApplicable, open, systemSubject } from './answers.ts'
import { latest } from './chronology.ts'
import type { Dossier, System } from './dossier.ts'
import type { Answer, JudgedNumber, Requirement } from './finding.ts'
import { judgeRunningCheck, type RunningJudgement } from './judge-running-check.ts'
import { scopeOf } from './scope.ts'
import { day } from './wording.ts'

function numbersOf(judgement: RunningJudgement): JudgedNumber[] {
  return [
    ...judgement.differences.map(({ name, measuredK, range }) => ({
      name: coded(name),
      value: measuredK,
      unit: 'K',
      low: range?.lowK,
      high: range?.highK,
      source: range?.source,
    })),
    {
      name: say.rules.timeRunSteadily,
      value: judgement.steadyS,
      unit: 's',
      low: judgement.requiredSteadyS,
      source: say.rules.policyBuiltInCalifornia,
    },
  ].filter((number) => number.value !== null)
}

function ask(dossier: Dossier, system: System, opened: boolean): Answer {
  const subject = systemSubject(system)
  const { job } = dossier
  if (job.kind === 'removal') return notApplicable(subject, say.rules.theSystemIsTaken)
  if (!opened && !system.charges.some((charge) => charge.jobId === job.id)) {
    return notApplicable(subject, say.rules.theCircuitWasNeither)
  }
  const check = latest(system.runningChecks.filter((candidate) => candidate.jobId === job.id))
  if (!check) {
    return open(subject, {
      reason: say.rules.noRunningCheckIs,
      next: say.rules.runItInThe,
      concedable: false,
    })
  }
  const judgement = judgeRunningCheck(check, system, dossier.policy)
  const said = { reason: judgement.reason, numbers: numbersOf(judgement), evidence: [check.id] }
  switch (judgement.verdict) {
    case 'within':
    case 'nothing-to-compare':
      return met(subject, said)
    case 'outside':
      return failed(subject, {
        ...said,
        next: say.rules.findTheCauseCharge,
        concedable: true,
      })
    case 'not-possible':
      return open(subject, {
        ...said,
        next: say.rules.comeBackForIt(day(check.notPossible?.dueAt ?? check.performedAt)),
        concedable: true,
      })
    case 'not-steady':
    case 'incomplete':
      return open(subject, {
        ...said,
        next: say.rules.letItRunSteadily,
        concedable: true,
      })
  }
}

export const runningAsSpecified: Requirement = {
  code: 'running-as-specified',
  get title() {
    return say.rules.theSystemRunsAs
  },
  get source() {
    return say.rules.targetsEquipmentSheetSteady
  },
  check(dossier) {
    const { openedCircuits } = scopeOf(dossier)
    return dossier.systems.map((system) => ask(dossier, system, openedCircuits.has(system.id)))
  },
}
