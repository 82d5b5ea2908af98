// Did each section opened here hold its test pressure, with nothing done to its joints since?

import { say } from '../words/say.ts'
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
      name: say.rules.gaugePressureAtTheStart,
      value: judgement.startGaugePressurePa,
      unit: 'Pa',
      low: required?.pressurePa,
      high: limit?.pressurePa,
      source: [required?.source, limit ? say.rules.limit2(limit.source) : ''].filter(Boolean).join('; '),
    },
    {
      name: say.rules.changeBeyondTemperature,
      value: judgement.changePa,
      unit: 'Pa',
      low: bandPa === null ? undefined : -bandPa,
      high: bandPa ?? undefined,
      uncertainty: judgement.changeUncertaintyPa ?? undefined,
      source: say.rules.policyCommonPracticeNo(
        judgement.law === 'real-gas-nitrogen' ? say.rules.nitrogenAsAReal : say.rules.idealGas,
      ),
    },
    {
      name: say.rules.hold,
      value: judgement.holdS,
      unit: 's',
      low: judgement.requiredHoldS,
      source: say.rules.policyBuiltInIec,
    },
    {
      name: say.rules.smallestLeakThisTest,
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

const onlyThen = () => say.rules.toHaveItReleased

function ask(dossier: Dossier, section: ScopedSection, scope: Scope): Answer {
  const subject = sectionSubject(section)
  const state = pressureState(dossier, section, scope)
  const judge = (test: PressureTest) => judgePressureTest(test, section.system, dossier)
  if (state.state === 'none') {
    return open(subject, {
      reason: say.rules.noPressureTestOf,
      next: say.rules.testItWithDry,
      concedable: false,
    })
  }
  if (state.state === 'passed') {
    const tests = state.tests as PressureTest[]
    const judged = tests.map(judge)
    const reason = judged
      .map((judgement, index) =>
        say.rules.itHeldForFrom(
          megapascals(judgement.startGaugePressurePa ?? 0),
          minutes(judgement.holdS),
          moment(tests[index]?.performedAt ?? 0),
          kilopascals(judgement.changePa ?? 0),
          kilopascals(judgement.changeUncertaintyPa ?? 0),
        ),
      )
      .join(' ')
    const seen = judged.map((judgement) => judgement.smallestSeenRefrigerantKgPerYear ?? 0)
    const largest = Math.max(...seen)
    const plain = largest > 0 ? say.rules.aLeakBelowAbout(quantity(largest * 1000, 'g/yr')) : ''
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
          next: say.rules.depressuriseInspectEveryPart,
          concedable: !far && everyJointChecked(dossier, section, scope),
        })
      }
      return failed(subject, {
        ...said,
        reason: reasonsOf(judgement),
        next: say.rules.findTheLeakMend,
        concedable: false,
      })
    }
    case 'void':
      return failed(subject, {
        ...said,
        reason: reasonsOf(judgement),
        next: say.rules.releaseThePressureAnd,
        concedable: false,
      })
    case 'stale':
      return open(subject, {
        reason: state.staleness.reason,
        next: say.rules.testTheSectionAgain2,
        evidence: [test.id, state.staleness.deed.id],
        concedable: false,
      })
    case 'running':
      return open(subject, {
        ...said,
        reason: say.rules.theTestOfIs(moment(test.performedAt)),
        next: say.rules.takeTheLastReading,
        concedable: false,
      })
    case 'unexplained':
      return open(subject, {
        ...said,
        reason: say.rules.itHeldButThe(moment(state.unanswered.at)),
        next: say.rules.testAgainSayWhat,
        evidence: [state.unanswered.id, test.id],
        concedable: false,
      })
    case 'undecided': {
      const concedable = everyJointChecked(dossier, section, scope)
      return open(subject, {
        ...said,
        reason: reasonsOf(judgement) || say.rules.theTestCannotTell,
        next: concedable ? say.rules.testAgainOrAsk : say.rules.testAgain(onlyThen()),
        concedable,
      })
    }
  }
}

export const standingPressureHeld: Requirement = {
  code: 'standing-pressure-held',
  get title() {
    return say.rules.theSectionHoldsIts
  },
  get source() {
    return say.rules.testPressureEquipmentSheet
  },
  check(dossier) {
    return askSections(dossier, say.rules.noSectionWasOpened, (section, scope) =>
      ask(dossier, section, scope),
    )
  },
}
