// Is each section opened here tight and dry under vacuum, after its last passing pressure test?

import { say } from '../words/say.ts'
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
      name: say.rules.lowestPressure,
      value: judgement.lowestPressurePa,
      unit: 'Pa',
      high: criteria.targetPa.value,
      source: criteria.targetPa.source,
    },
    {
      name: say.rules.pressureAtTheHorizon,
      value: judgement.horizonUpperPa,
      unit: 'Pa',
      high: criteria.limitPa.value,
      source: criteria.limitPa.source,
    },
    { name: say.rules.riseWhileIsolated, value: judgement.riseInHoldPa, unit: 'Pa' },
    {
      name: say.rules.timeIsolated,
      value: judgement.holdS,
      unit: 's',
      low: criteria.holdS.value,
      source: criteria.holdS.source,
    },
    {
      name: say.rules.plateau,
      value: curve?.plateauPa ?? null,
      unit: 'Pa',
      high: judgement.waterCeilingPa ?? undefined,
    },
    {
      name: say.rules.leakRate,
      value: judgement.leakRatePaM3PerS,
      unit: 'Pa·m³/s',
      source: judgement.volumeSource,
    },
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
      reason: say.rules.noEvacuationOfThis,
      next: say.rules.evacuateItAfterThe,
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
        const plain = unseen ? say.rules.aLeakOfUp(quantity((unseen / 365) * 1000, 'g')) : ''
        return say.rules.downToIsolatedFor(
          microns(judgement.lowestPressurePa ?? 0),
          minutes(judgement.holdS),
          moment(judgement.isolatedAtMs ?? tests[index]?.performedAt ?? 0),
          microns(judgement.riseInHoldPa ?? 0),
          plain,
        )
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
        reason: reasonsOf(judgement) || say.rules.thePressureRose,
        next: leaks ? say.rules.isolateCloserToThe : say.rules.pullFurtherBreakWith,
        concedable: !leaks,
      })
    }
    case 'void':
    case 'undecided':
      return open(subject, {
        ...said,
        reason: reasonsOf(judgement) || say.rules.theTestCannotTell,
        next:
          judgement.minutesToDecide === null
            ? say.rules.evacuateAgainOrAsk
            : say.rules.watchItForAbout(Math.ceil(judgement.minutesToDecide)),
        concedable: true,
      })
    case 'stale':
      return open(subject, {
        reason: state.staleness.reason,
        next: say.rules.evacuateTheSectionAgain2,
        evidence: [test.id, state.staleness.deed.id],
        concedable: false,
      })
    case 'running':
      return open(subject, {
        ...said,
        reason: say.rules.theEvacuationOfIs(moment(test.performedAt)),
        next: say.rules.takeTheLastReadingAnd,
        concedable: false,
      })
    case 'unexplained':
      return open(subject, {
        ...said,
        reason: say.rules.itIsTightNow(moment(state.unanswered.at)),
        next: say.rules.repeatItSayWhat,
        evidence: [state.unanswered.id, test.id],
        concedable: false,
      })
  }
}

export const vacuumHeld: Requirement = {
  code: 'vacuum-held',
  get title() {
    return say.rules.theSectionIsTight
  },
  get source() {
    return say.rules.equipmentSheetElseIec
  },
  check(dossier) {
    return askSections(dossier, say.rules.noSectionWasOpened, (section, scope) =>
      ask(dossier, section, scope),
    )
  },
}
