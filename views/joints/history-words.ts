// How is it said what the record tells of a joint, and what it does not tell? One sentence for each statement.

import type { Statement, Unknown } from '../../server/rules/joint-history.ts'
import { formatNumber, formatQuantity, UNIT_LABELS } from '../../server/trade/units.ts'
import type { LeakCheckMethod } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { causeWords } from '../callbacks/words.ts'
import { stepTitles } from './step-words.ts'

export interface Sayings {
  /** A day in the reader's zone. */
  day(at: number): string
  /** Somebody of the crew. */
  person(crewId: string): string
}

const methodWords = (): Record<LeakCheckMethod, string> => ({
  bubble: say.joints.bubbles2,
  'refrigerant-detector': say.joints.aRefrigerantDetector,
  'tracer-hydrogen': say.joints.aHydrogenTracer,
  'tracer-helium': say.joints.aHeliumTracer,
  ultrasonic: say.joints.ultrasound,
  other: say.joints.anotherMethod,
})

const theVerdictWords = (): Record<string, string> => ({
  holds: say.joints.held,
  falls: say.joints.fell,
  'cannot-tell': say.joints.couldNotTell,
  void: say.joints.isVoid,
  tight: say.joints.wasTight,
  moisture: say.joints.showedMoisture,
  leak: say.joints.showedALeak,
})

export const verdictWords = (verdict: string | null): string =>
  verdict === null ? say.joints.isNotConcluded : (theVerdictWords()[verdict] ?? verdict)

/** Three figures at most: these are estimates. */
export const gramsAYear = (kgPerYear: number): string =>
  say.joints.gramsAYear(formatNumber(Number((kgPerYear * 1000).toPrecision(2))))
const torque = (nm: number) => formatQuantity(nm, 'N.m')
const millimetres = (m: number) => formatQuantity(m * 1000, 'mm')
/** "14–18 N·m" */
const span = (low: number, high: number, unit: 'N.m' | 'mm') =>
  `${formatNumber(low)}–${formatNumber(high)}\u00a0${UNIT_LABELS[unit]}`
const times = (count: number) => (count === 2 ? say.joints.twice : say.joints.times(count))

export function sentenceOf(said: Statement, { day, person }: Sayings): string {
  switch (said.says) {
    case 'made':
      return said.number === 1
        ? say.joints.madeOnBy(day(said.at), person(said.by))
        : say.joints.madeTheMakingThat(times(said.number), day(said.at), person(said.by))
    case 'remade':
      return said.reason === null
        ? say.joints.makingWasReplaced(said.number)
        : say.joints.makingWasReplaced2(said.number, said.reason)
    case 'not-made':
      return say.joints.noMakingOfIt
    case 'from-factory':
      return say.joints.itWasMadeIn
    case 'was-there-before':
      return say.joints.itWasThereBeforeThis
    case 'retired':
      return say.joints.itWasTakenOut(day(said.at))
    case 'flare-inspected': {
      if (!said.accepted) return say.joints.itsLastInspectionRejected
      if (said.diameterM === null) return say.joints.itWasInspectedAnd
      if (said.lowM === null || said.highM === null)
        return say.joints.itWasInspectedAndAccepted(millimetres(said.diameterM))
      const inBand = said.diameterM >= said.lowM && said.diameterM <= said.highM
      const band = span(said.lowM * 1000, said.highM * 1000, 'mm')
      return inBand
        ? say.joints.itWasInspectedAndAcceptedAt(millimetres(said.diameterM), band)
        : say.joints.itWasInspectedAndAcceptedAtOutside(millimetres(said.diameterM), band)
    }
    case 'torque': {
      const wanted = said.lowNm === null || said.highNm === null ? null : span(said.lowNm, said.highNm, 'N.m')
      const tool = said.instrument === null ? '' : say.joints.withWord2(said.instrument)
      if (said.verdict === 'not-measured' || said.appliedNm === null) return say.joints.itsTorqueWasNot
      const pulled = say.joints.theNutWasPulled(torque(said.appliedNm), tool)
      if (wanted === null) return say.joints.thereIsNoRange(pulled)
      if (said.verdict === 'in-range') return say.joints.within(pulled, wanted)
      if (said.verdict === 'low') return say.joints.below(pulled, wanted)
      if (said.verdict === 'high') return say.joints.above(pulled, wanted)
      return say.joints.withinButNotBy(pulled, wanted)
    }
    case 'torque-rejudged': {
      const found = say.joints.wasFoundOffAfterwards(said.instrument)
      if (said.real === null) return say.joints.byHowMuchAt(found)
      if (said.judgement === 'stands') return say.joints.itReallyAppliedWhich(found, said.real)
      if (said.judgement === 'fails') return say.joints.itReallyAppliedWhichIs(found, said.real)
      return say.joints.itReallyAppliedWhichMay(found, said.real)
    }
    case 'closed':
      return say.joints.itWasClosedOn(day(said.at))
    case 'instrument': {
      const when = said.at === null ? '' : say.joints.on(day(said.at))
      if (said.state === 'recalled') return say.joints.wasFoundOutOf(said.instrument, when)
      if (said.state === 'found-in-tolerance-since')
        return say.joints.wasNotConfirmedOn(said.instrument, when)
      if (said.state === 'never-calibrated') return say.joints.hadNeverBeenChecked(said.instrument)
      if (said.state === 'out-of-tolerance') return say.joints.wasKnownToBe(said.instrument)
      return say.joints.theLastCheckOf(said.instrument, when)
    }
    case 'leak-check': {
      const by = say.joints.checkedForLeaksWith(methodWords()[said.method], day(said.at))
      if (said.verdict === 'leak') return say.joints.aLeakWasFound2(by)
      const seen = said.seenKgPerYear === null ? '' : say.joints.downTo(gramsAYear(said.seenKgPerYear))
      const after = said.stale ? say.joints.workWasDoneOn : ''
      if (said.verdict === 'not-enough') return say.joints.nothingFoundButThe(by, after)
      return say.joints.nothingFound(by, seen, after)
    }
    case 'pressure-test':
    case 'evacuation': {
      const what = said.says === 'pressure-test' ? say.joints.thePressureTest : say.joints.theEvacuation
      const held = `${formatNumber(Math.round(said.holdS / 60))} min`
      const of = said.count > 1 ? say.joints.theOneThatCounts(said.count) : ''
      const seen =
        said.seenKgPerYear === null ? '' : say.joints.itCouldHaveSeen(gramsAYear(said.seenKgPerYear))
      const after = said.stale ? say.joints.workWasDoneOnThe : ''
      return say.joints.ofOver(what, day(said.at), of, verdictWords(said.verdict), held, seen, after)
    }
    case 'corrected': {
      const made =
        said.count === 1 ? say.joints.oneEntryWasCorrected : say.joints.entriesWereCorrected(said.count)
      if (said.waiting === 0) return `${made}.`
      return said.waiting === 1
        ? say.joints.oneCorrectionWaitsFor(made)
        : say.joints.correctionsWaitForA(made, said.waiting)
    }
    case 'came-back': {
      const causes = said.causes.map(causeWords).join(', ')
      return said.closed
        ? say.joints.itWasFoundLeaking(day(said.at), causes)
        : say.joints.itWasFoundLeakingAt(day(said.at), causes)
    }
    case 'system-came-back':
      return said.count === 1
        ? say.joints.itsSystemCameBack
        : say.joints.itsSystemCameBackThis(times(said.count))
    case 'never-came-back':
      return say.joints.itsSystemHasNever
  }
}

export function unknownWords(unknown: Unknown, { day }: Pick<Sayings, 'day'>): string {
  switch (unknown.lacks) {
    case 'who-made-it':
      return say.joints.howItWasMade
    case 'a-making':
      return say.joints.everythingAboutItsMaking
    case 'its-step':
      return say.joints.ofTheMakingThat(stepTitles()[unknown.step])
    case 'a-torque-figure':
      return say.joints.theTorqueOfIts
    case 'a-torque-range':
      return say.joints.whatItsTorqueShould
    case 'a-flare-diameter':
      return say.joints.theDiameterOfIts
    case 'a-covering-test': {
      const test = unknown.test === 'pressure' ? say.joints.pressureTest : 'evacuation'
      return unknown.wasThere
        ? say.joints.whetherItStillHolds(test)
        : say.joints.howItBehavesUnder(test === 'evacuation' ? say.joints.vacuum : test)
    }
    case 'a-leak-check':
      return unknown.wasThere ? say.joints.whetherItWasTight : say.joints.whetherThisJointBy
    case 'what-it-could-see':
      return unknown.test === 'leak-check'
        ? say.joints.howSmallALeak
        : say.joints.howSmallALeakIts(
            unknown.test === 'pressure' ? say.joints.pressureTest : say.joints.evacuation,
          )
    case 'a-confirmed-instrument':
      return say.joints.whatReallyShowedOn(unknown.instrument)
    case 'a-photo':
      return say.joints.howItLookedThere
    case 'an-answer-to-a-correction':
      return unknown.count === 1
        ? say.joints.whichOfTwoEntries
        : say.joints.whichEntriesCountCorrections(unknown.count)
    case 'a-cause':
      return say.joints.whatWasBehindThe(day(unknown.at))
    case 'leaks-below':
      return say.joints.leaksBelowAboutNothing(gramsAYear(unknown.kgPerYear))
  }
}
