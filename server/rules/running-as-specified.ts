// Does each system that was opened or charged here run as its maker specifies?

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
      name,
      value: measuredK,
      unit: 'K',
      low: range?.lowK,
      high: range?.highK,
      source: range?.source,
    })),
    {
      name: 'time run steadily',
      value: judgement.steadyS,
      unit: 's',
      low: judgement.requiredSteadyS,
      source: 'policy; built in: California Residential Appendix RA3.2',
    },
  ].filter((number) => number.value !== null)
}

function ask(dossier: Dossier, system: System, opened: boolean): Answer {
  const subject = systemSubject(system)
  const { job } = dossier
  if (job.kind === 'removal') return notApplicable(subject, 'The system is taken out of use.')
  if (!opened && !system.charges.some((charge) => charge.jobId === job.id)) {
    return notApplicable(subject, 'The circuit was neither opened nor charged on this job.')
  }
  const check = latest(system.runningChecks.filter((candidate) => candidate.jobId === job.id))
  if (!check) {
    return open(subject, {
      reason: 'No running check is recorded.',
      next: "Run it in the maker's test mode until steady and record the readings, or say why that is not possible today.",
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
        next: 'Find the cause (charge, airflow, valves not fully open) and check again.',
        concedable: true,
      })
    case 'not-possible':
      return open(subject, {
        ...said,
        next: `Come back for it by ${day(check.notPossible?.dueAt ?? check.performedAt)}; a manager may release the job until then.`,
        concedable: true,
      })
    case 'not-steady':
    case 'incomplete':
      return open(subject, {
        ...said,
        next: 'Let it run steadily, take the missing readings and record the check again.',
        concedable: true,
      })
  }
}

export const runningAsSpecified: Requirement = {
  code: 'running-as-specified',
  title: 'The system runs as specified',
  source:
    'targets: equipment sheet; steady time and default tolerances: California Residential Appendix RA3.2 (ducted systems)',
  check(dossier) {
    const { openedCircuits } = scopeOf(dossier)
    return dossier.systems.map((system) => ask(dossier, system, openedCircuits.has(system.id)))
  },
}
