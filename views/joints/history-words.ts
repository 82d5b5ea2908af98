// How is it said what the record tells of a joint, and what it does not tell? One sentence for each statement.

import type { Statement, Unknown } from '../../server/rules/joint-history.ts'
import { formatNumber, formatQuantity, UNIT_LABELS } from '../../server/trade/units.ts'
import type { LeakCheckMethod } from '../../server/vocabulary.ts'
import { causeWords } from '../callbacks/words.ts'
import { STEP_TITLES } from './step-words.ts'

export interface Sayings {
  /** A day in the reader's zone. */
  day(at: number): string
  /** Somebody of the crew. */
  person(crewId: string): string
}

const METHOD_WORDS: Record<LeakCheckMethod, string> = {
  bubble: 'bubbles',
  'refrigerant-detector': 'a refrigerant detector',
  'tracer-hydrogen': 'a hydrogen tracer',
  'tracer-helium': 'a helium tracer',
  ultrasonic: 'ultrasound',
  other: 'another method',
}

const VERDICT_WORDS: Record<string, string> = {
  holds: 'held',
  falls: 'fell',
  'cannot-tell': 'could not tell',
  void: 'is void',
  tight: 'was tight',
  moisture: 'showed moisture',
  leak: 'showed a leak',
}

export const verdictWords = (verdict: string | null): string =>
  verdict === null ? 'is not concluded' : (VERDICT_WORDS[verdict] ?? verdict)

/** Three figures at most: these are estimates. */
export const gramsAYear = (kgPerYear: number): string =>
  `${formatNumber(Number((kgPerYear * 1000).toPrecision(2)))} g a year`
const torque = (nm: number) => formatQuantity(nm, 'N.m')
const millimetres = (m: number) => formatQuantity(m * 1000, 'mm')
/** "14–18 N·m" */
const span = (low: number, high: number, unit: 'N.m' | 'mm') =>
  `${formatNumber(low)}–${formatNumber(high)}\u00a0${UNIT_LABELS[unit]}`
const times = (count: number) => (count === 2 ? 'twice' : `${count} times`)

export function sentenceOf(said: Statement, { day, person }: Sayings): string {
  switch (said.says) {
    case 'made':
      return said.number === 1
        ? `Made on ${day(said.at)} by ${person(said.by)}.`
        : `Made ${times(said.number)}; the making that counts is of ${day(said.at)}, by ${person(said.by)}.`
    case 'remade':
      return said.reason === null
        ? `Making ${said.number} was replaced.`
        : `Making ${said.number} was replaced: ${said.reason}`
    case 'not-made':
      return 'No making of it is recorded yet.'
    case 'from-factory':
      return 'It was made in the factory.'
    case 'was-there-before':
      return 'It was there before this company first worked on it.'
    case 'retired':
      return `It was taken out of service on ${day(said.at)}.`
    case 'flare-inspected': {
      if (!said.accepted) return 'Its last inspection rejected it.'
      if (said.diameterM === null) return 'It was inspected and accepted; its diameter was not measured.'
      if (said.lowM === null || said.highM === null)
        return `It was inspected and accepted at ${millimetres(said.diameterM)}.`
      const inBand = said.diameterM >= said.lowM && said.diameterM <= said.highM
      const band = span(said.lowM * 1000, said.highM * 1000, 'mm')
      return inBand
        ? `It was inspected and accepted at ${millimetres(said.diameterM)}, within ${band}.`
        : `It was inspected and accepted at ${millimetres(said.diameterM)}, outside ${band}.`
    }
    case 'torque': {
      const wanted = said.lowNm === null || said.highNm === null ? null : span(said.lowNm, said.highNm, 'N.m')
      const tool = said.instrument === null ? '' : ` with ${said.instrument}`
      if (said.verdict === 'not-measured' || said.appliedNm === null) return 'Its torque was not measured.'
      const pulled = `The nut was pulled to ${torque(said.appliedNm)}${tool}`
      if (wanted === null) return `${pulled}; there is no range to compare it with.`
      if (said.verdict === 'in-range') return `${pulled}, within ${wanted}.`
      if (said.verdict === 'low') return `${pulled}, below ${wanted}.`
      if (said.verdict === 'high') return `${pulled}, above ${wanted}.`
      return `${pulled}, within ${wanted} but not by the wrench’s own error.`
    }
    case 'torque-rejudged': {
      const found = `${said.instrument} was found off afterwards`
      if (said.real === null) return `${found}; by how much at this torque is not known.`
      if (said.judgement === 'stands')
        return `${found}: it really applied ${said.real}, which is still in range.`
      if (said.judgement === 'fails')
        return `${found}: it really applied ${said.real}, which is out of range.`
      return `${found}: it really applied ${said.real}, which may or may not be in range.`
    }
    case 'closed':
      return `It was closed on ${day(said.at)}.`
    case 'instrument': {
      const when = said.at === null ? '' : ` on ${day(said.at)}`
      if (said.state === 'recalled')
        return `${said.instrument} was found out of tolerance${when}, after it was used here.`
      if (said.state === 'found-in-tolerance-since')
        return `${said.instrument} was not confirmed on the day, but was found in tolerance${when}.`
      if (said.state === 'never-calibrated')
        return `${said.instrument} had never been checked when it was used here.`
      if (said.state === 'out-of-tolerance')
        return `${said.instrument} was known to be out of tolerance when it was used here.`
      return `The last check of ${said.instrument}${when} was too old when it was used here.`
    }
    case 'leak-check': {
      const by = `Checked for leaks with ${METHOD_WORDS[said.method]} on ${day(said.at)}`
      if (said.verdict === 'leak') return `${by}: a leak was found.`
      const seen = said.seenKgPerYear === null ? '' : `, down to ${gramsAYear(said.seenKgPerYear)}`
      const after = said.stale ? ' Work was done on it afterwards.' : ''
      if (said.verdict === 'not-enough')
        return `${by}: nothing found, but the check could not have found what it has to find.${after}`
      return `${by}: nothing found${seen}.${after}`
    }
    case 'pressure-test':
    case 'evacuation': {
      const what = said.says === 'pressure-test' ? 'The pressure test' : 'The evacuation'
      const held = `${formatNumber(Math.round(said.holdS / 60))} min`
      const of = said.count > 1 ? `, the one that counts of ${said.count},` : ''
      const seen =
        said.seenKgPerYear === null
          ? ''
          : ` It could have seen a leak of ${gramsAYear(said.seenKgPerYear)} or more.`
      const after = said.stale ? ' Work was done on the joint afterwards, so it no longer speaks for it.' : ''
      return `${what} of ${day(said.at)}${of} ${verdictWords(said.verdict)} over ${held}.${seen}${after}`
    }
    case 'corrected': {
      const made = said.count === 1 ? 'One entry was corrected' : `${said.count} entries were corrected`
      if (said.waiting === 0) return `${made}.`
      return said.waiting === 1
        ? `${made}; one correction waits for a manager.`
        : `${made}; ${said.waiting} corrections wait for a manager.`
    }
    case 'came-back': {
      const causes = said.causes.map(causeWords).join(', ')
      return said.closed
        ? `It was found leaking at the callback of ${day(said.at)}: ${causes}.`
        : `It was found leaking at the callback of ${day(said.at)}: ${causes}. That callback is still open.`
    }
    case 'system-came-back':
      return said.count === 1
        ? 'Its system came back once; this joint was not named.'
        : `Its system came back ${times(said.count)}; this joint was not named.`
    case 'never-came-back':
      return 'Its system has never come back.'
  }
}

export function unknownWords(unknown: Unknown, { day }: Pick<Sayings, 'day'>): string {
  switch (unknown.lacks) {
    case 'who-made-it':
      return 'How it was made, and with what: it was not made on a job here.'
    case 'a-making':
      return 'Everything about its making.'
    case 'its-step':
      return `${STEP_TITLES[unknown.step]} of the making that counts: nothing is recorded.`
    case 'a-torque-figure':
      return 'The torque of its nut.'
    case 'a-torque-range':
      return 'What its torque should have been: neither the equipment sheet nor the built-in figures say.'
    case 'a-flare-diameter':
      return 'The diameter of its flare.'
    case 'a-covering-test': {
      const test = unknown.test === 'pressure' ? 'pressure test' : 'evacuation'
      return unknown.wasThere
        ? `Whether it still holds as at its last ${test}: work was done on it afterwards.`
        : `How it behaves under a ${test === 'evacuation' ? 'vacuum' : test}: none that covered it is concluded.`
    }
    case 'a-leak-check':
      return unknown.wasThere
        ? 'Whether it was tight after the last work on it: its leak check came before.'
        : 'Whether this joint by itself was tight: no leak check of it is recorded.'
    case 'what-it-could-see':
      return unknown.test === 'leak-check'
        ? 'How small a leak its leak check could have found.'
        : `How small a leak its ${unknown.test === 'pressure' ? 'pressure test' : 'evacuation'} could have seen.`
    case 'a-confirmed-instrument':
      return `What ${unknown.instrument} really showed on the day.`
    case 'a-photo':
      return 'How it looked: there is no photo of it.'
    case 'an-answer-to-a-correction':
      return unknown.count === 1
        ? 'Which of two entries counts: a correction waits for a manager.'
        : `Which entries count: ${unknown.count} corrections wait for a manager.`
    case 'a-cause':
      return `What was behind the callback of ${day(unknown.at)}: nothing was found yet.`
    case 'leaks-below':
      return `Leaks below about ${gramsAYear(unknown.kgPerYear)}: nothing that was done here could have shown them.`
  }
}
