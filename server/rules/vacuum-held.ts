// Is each section opened here tight and dry under vacuum, after its last passing pressure test?

import { failed, met, open, sectionSubject } from './answers.ts'
import type { Dossier, Evacuation } from './dossier.ts'
import type { Answer, JudgedNumber, Requirement } from './finding.ts'
import { type EvacuationJudgement, judgeEvacuationTest } from './judge-evacuation.ts'
import type { Scope, ScopedSection } from './scope.ts'
import { askSections, vacuumState } from './section-answers.ts'
import { microns, minutes, moment, quantity } from './wording.ts'

export function vacuumNumbers(judgement: EvacuationJudgement): JudgedNumber[] {
  const { criteria, curve } = judgement
  return [
    {
      name: 'lowest pressure',
      value: judgement.lowestPressurePa,
      unit: 'Pa',
      high: criteria.targetPa.value,
      source: criteria.targetPa.source,
    },
    {
      name: 'pressure at the horizon, not exceeded (95 %)',
      value: judgement.horizonUpperPa,
      unit: 'Pa',
      high: criteria.limitPa.value,
      source: criteria.limitPa.source,
    },
    { name: 'rise while isolated', value: judgement.riseInHoldPa, unit: 'Pa' },
    {
      name: 'time isolated',
      value: judgement.holdS,
      unit: 's',
      low: criteria.holdS.value,
      source: criteria.holdS.source,
    },
    {
      name: 'plateau',
      value: curve?.plateauPa ?? null,
      unit: 'Pa',
      high: judgement.waterCeilingPa ?? undefined,
    },
    { name: 'leak rate', value: judgement.leakRatePaM3PerS, unit: 'Pa·m³/s', source: judgement.volumeSource },
  ].filter((number) => number.value !== null)
}

const reasonsOf = (judgement: EvacuationJudgement) =>
  [...judgement.reasons, ...judgement.notes].map(({ text }) => text).join(' ')

function ask(dossier: Dossier, section: ScopedSection, scope: Scope): Answer {
  const subject = sectionSubject(section)
  const state = vacuumState(dossier, section, scope)
  const judge = (test: Evacuation) => judgeEvacuationTest(test, section.system, dossier)
  if (state.state === 'none') {
    return open(subject, {
      reason: 'No evacuation of this section is recorded.',
      next: 'Evacuate it after the pressure test, isolate the pump and watch the pressure.',
      concedable: false,
    })
  }
  if (state.state === 'passed') {
    const tests = state.tests as Evacuation[]
    const judged = tests.map(judge)
    const said = { numbers: judged.flatMap(vacuumNumbers), evidence: tests.map(({ id }) => id) }
    const reason = judged
      .map((judgement, index) => {
        const unseen = judgement.unseenRefrigerantKgPerYear
        const plain = unseen
          ? ` A leak of up to about ${quantity((unseen / 365) * 1000, 'g')} a day stays unseen.`
          : ''
        return `Down to ${microns(judgement.lowestPressurePa ?? 0)}, isolated for ${minutes(judgement.holdS)} from ${moment(judgement.isolatedAtMs ?? tests[index]?.performedAt ?? 0)}, rose by ${microns(judgement.riseInHoldPa ?? 0)}.${plain}`
      })
      .join(' ')
    return met(subject, { ...said, reason })
  }
  const test = state.test as Evacuation
  const judgement = judge(test)
  const said = { numbers: vacuumNumbers(judgement), evidence: [test.id] }
  switch (state.state) {
    case 'failed': {
      const leaks = judgement.verdict === 'leak'
      return failed(subject, {
        ...said,
        reason: reasonsOf(judgement) || 'The pressure rose.',
        next: leaks
          ? 'Isolate closer to the line, so that hoses and cores are out of it, and repeat. If it still rises, find the leak.'
          : 'Pull further, break with dry nitrogen, evacuate again and say what was done.',
        concedable: !leaks,
      })
    }
    case 'void':
    case 'undecided':
      return open(subject, {
        ...said,
        reason: reasonsOf(judgement) || 'The test cannot tell.',
        next:
          judgement.minutesToDecide === null
            ? 'Evacuate again, or ask a manager to release it.'
            : `Watch it for about ${Math.ceil(judgement.minutesToDecide)} min more, or ask a manager to release it.`,
        concedable: true,
      })
    case 'stale':
      return open(subject, {
        reason: state.staleness.reason,
        next: 'Evacuate the section again.',
        evidence: [test.id, state.staleness.deed.id],
        concedable: false,
      })
    case 'running':
      return open(subject, {
        ...said,
        reason: `The evacuation of ${moment(test.performedAt)} is not concluded.`,
        next: 'Take the last reading and conclude the evacuation.',
        concedable: false,
      })
    case 'unexplained':
      return open(subject, {
        ...said,
        reason: `It is tight now, but the failure of ${moment(state.unanswered.at)} is not answered.`,
        next: 'Repeat it: say what was wrong and how it was mended, or hold at least twice as long.',
        evidence: [state.unanswered.id, test.id],
        concedable: false,
      })
  }
}

export const vacuumHeld: Requirement = {
  code: 'vacuum-held',
  title: 'The section is tight and dry under vacuum',
  source:
    'equipment sheet, else IEC/UL/CSA 60335-2-40 instruction set as printed in use; horizon: common practice, no source',
  check(dossier) {
    return askSections(dossier, 'No section was opened on this job.', (section, scope) =>
      ask(dossier, section, scope),
    )
  },
}
