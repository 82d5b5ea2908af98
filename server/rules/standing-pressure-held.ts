// Did each section opened here hold its test pressure, with nothing done to its joints since?

import { failed, met, open, sectionSubject } from './answers.ts'
import type { Dossier, PressureTest } from './dossier.ts'
import type { Answer, JudgedNumber, Requirement } from './finding.ts'
import { askLeakCheck } from './joint-leak-checked.ts'
import { judgePressureTest, type PressureTestJudgement } from './judge-pressure-test.ts'
import { isPort, type Scope, type ScopedSection } from './scope.ts'
import { askSections, pressureState } from './section-answers.ts'
import { kilopascals, megapascals, minutes, moment, quantity } from './wording.ts'

export function pressureNumbers(judgement: PressureTestJudgement): JudgedNumber[] {
  const { required, limit, bandPa } = judgement
  return [
    {
      name: 'gauge pressure at the start of the hold',
      value: judgement.startGaugePressurePa,
      unit: 'Pa',
      low: required?.pressurePa,
      high: limit?.pressurePa,
      source: [required?.source, limit ? `limit: ${limit.source}` : ''].filter(Boolean).join('; '),
    },
    {
      name: 'change beyond temperature',
      value: judgement.changePa,
      unit: 'Pa',
      low: bandPa === null ? undefined : -bandPa,
      high: bandPa ?? undefined,
      uncertainty: judgement.changeUncertaintyPa ?? undefined,
      source: `policy (common practice, no source); ${judgement.law === 'real-gas-nitrogen' ? 'nitrogen as a real gas, Span et al. 2000' : 'ideal gas'}`,
    },
    {
      name: 'hold',
      value: judgement.holdS,
      unit: 's',
      low: judgement.requiredHoldS,
      source: 'policy; built in: IEC/UL/CSA 60335-2-40 instruction set',
    },
    {
      name: 'smallest leak this test could see, in service (estimate)',
      value: judgement.smallestSeenRefrigerantKgPerYear,
      unit: 'kg/yr',
      source: judgement.volumeSource,
    },
  ].filter((number) => number.value !== null)
}

const reasonsOf = (judgement: PressureTestJudgement) => judgement.reasons.map(({ text }) => text).join(' ')

/** A test that can't tell may be released only where the joint-by-joint check says what it could not. */
function everyJointChecked(dossier: Dossier, section: ScopedSection, scope: Scope): boolean {
  return scope.joints
    .filter(({ joint, leftOut, section: of }) => of.id === section.id && leftOut === null && !isPort(joint))
    .every((scoped) => askLeakCheck(dossier, scoped).outcome === 'met')
}

const ONLY_THEN = 'To have it released, every joint of the section must first be checked for leaks.'

function ask(dossier: Dossier, section: ScopedSection, scope: Scope): Answer {
  const subject = sectionSubject(section)
  const state = pressureState(dossier, section, scope)
  const judge = (test: PressureTest) => judgePressureTest(test, section.system, dossier)
  if (state.state === 'none') {
    return open(subject, {
      reason: 'No pressure test of this section is recorded.',
      next: 'Test it with dry nitrogen at the test pressure of the equipment sheet.',
      concedable: false,
    })
  }
  if (state.state === 'passed') {
    const tests = state.tests as PressureTest[]
    const judged = tests.map(judge)
    const reason = judged
      .map(
        (judgement, index) =>
          `It held ${megapascals(judgement.startGaugePressurePa ?? 0)} for ${minutes(judgement.holdS)} from ${moment(tests[index]?.performedAt ?? 0)}; change ${kilopascals(judgement.changePa ?? 0)} ± ${kilopascals(judgement.changeUncertaintyPa ?? 0)}.`,
      )
      .join(' ')
    const seen = judged.map((judgement) => judgement.smallestSeenRefrigerantKgPerYear ?? 0)
    const largest = Math.max(...seen)
    const plain =
      largest > 0
        ? ` A leak below about ${quantity(largest * 1000, 'g/yr')} would not have shown; the check of each joint is what finds those.`
        : ''
    return met(subject, {
      reason: reason + plain,
      numbers: judged.flatMap(pressureNumbers),
      evidence: tests.map(({ id }) => id),
    })
  }
  const test = state.test as PressureTest
  const judgement = judge(test)
  const said = { numbers: pressureNumbers(judgement), evidence: [test.id] }
  switch (state.state) {
    case 'failed': {
      if (judgement.overLimit !== 'no') {
        const far = judgement.overLimit === 'far-above'
        return open(subject, {
          ...said,
          reason: reasonsOf(judgement),
          next: 'Depressurise, inspect every part, then test again and say what was found.',
          concedable: !far && everyJointChecked(dossier, section, scope),
        })
      }
      return failed(subject, {
        ...said,
        reason: reasonsOf(judgement),
        next: 'Find the leak, mend it, and test again with what was wrong written down.',
        concedable: false,
      })
    }
    case 'void':
      return failed(subject, {
        ...said,
        reason: reasonsOf(judgement),
        next: 'Release the pressure and test again with dry nitrogen.',
        concedable: false,
      })
    case 'stale':
      return open(subject, {
        reason: state.staleness.reason,
        next: 'Test the section again.',
        evidence: [test.id, state.staleness.deed.id],
        concedable: false,
      })
    case 'running':
      return open(subject, {
        ...said,
        reason: `The test of ${moment(test.performedAt)} is not concluded.`,
        next: 'Take the last reading and conclude the test.',
        concedable: false,
      })
    case 'unexplained':
      return open(subject, {
        ...said,
        reason: `It held, but the failure of ${moment(state.unanswered.at)} is not answered.`,
        next: 'Test again: say what was wrong and how it was mended, or hold at least twice as long.',
        evidence: [state.unanswered.id, test.id],
        concedable: false,
      })
    case 'undecided': {
      const concedable = everyJointChecked(dossier, section, scope)
      return open(subject, {
        ...said,
        reason: reasonsOf(judgement) || 'The test cannot tell.',
        next: concedable ? 'Test again, or ask a manager to release it.' : `Test again. ${ONLY_THEN}`,
        concedable,
      })
    }
  }
}

export const standingPressureHeld: Requirement = {
  code: 'standing-pressure-held',
  title: 'The section holds its test pressure',
  source:
    'test pressure: equipment sheet; hold: IEC/UL/CSA 60335-2-40 instruction set as printed in use; nitrogen: Span et al. 2000',
  check(dossier) {
    return askSections(dossier, 'No section was opened on this job.', (section, scope) =>
      ask(dossier, section, scope),
    )
  },
}
