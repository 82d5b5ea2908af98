/** Which groups leak more than chance and exposure explain, when many groups are looked at at once? */
import { say } from '../words/say.ts'
import { binomialUpperTail } from './distributions.ts'
import { OutsideValidity, requireNotNegative, requireWithin } from './validity.ts'

export interface FlagGroup {
  key: string
  /** Events: at most one per system, group and callback. */
  events: number
  /** Different systems these events lie on. */
  systems: number
  /** Events expected by exposure and age at the company's rates. */
  expected: number
}

export interface FlaggedGroup {
  key: string
  /** Exact one-sided p: as many events or more, if events fell on groups in proportion to what is expected of them. */
  pValue: number
  /** Smallest false-discovery rate at which this group would pass (Benjamini–Hochberg). */
  adjustedP: number
  /** (events + 1)/(expected at the rest's rate + 1). */
  guardedRatio: number
  flagged: boolean
}

/** The rule's figures (common practice, no source, save the method). */
export const FLAG_RULE = {
  falseDiscoveryRate: 0.05,
  leastEvents: 3,
  leastSystems: 3,
  leastGuardedRatio: 1.5,
  leastCompanyEvents: 5,
} as const

/** Adjusted p-values of Benjamini & Hochberg, J. R. Stat. Soc. B 57 (1995) 289, in the order given. */
export function benjaminiHochberg(pValues: readonly number[]): number[] {
  const order = pValues
    .map((p, index) => ({ p: requireWithin('p-value', p, 0, 1), index }))
    .sort((a, b) => b.p - a.p)
  const adjusted = new Array<number>(pValues.length).fill(1)
  let least = 1
  order.forEach(({ p, index }, position) => {
    least = Math.min(least, (p * pValues.length) / (pValues.length - position))
    adjusted[index] = least
  })
  return adjusted
}

/**
 * Flags groups of one dimension. Given the company's total of events, each falls on a group with the probability of its
 * share of expected events; the exact binomial tail is the p-value. A group is flagged when its p passes
 * Benjamini–Hochberg at 5 % over all groups shown, it has at least 3 events on at least 3 systems, and
 * (events + 1)/(expected at the rest's rate + 1) is at least 1.5. With fewer than 5 events in all nothing is flagged
 * and `tooFewEvents` says so. It controls the false discoveries of one dimension; looking at many dimensions
 * adds them up.
 */
export function flagGroups(groups: readonly FlagGroup[]): { tooFewEvents: boolean; groups: FlaggedGroup[] } {
  for (const group of groups) {
    requireNotNegative(say.trade.events, group.events)
    requireWithin(say.trade.systemsWithEvents, group.systems, 0, group.events)
    requireNotNegative(say.trade.expectedEvents, group.expected)
    if (!Number.isInteger(group.events) || !Number.isInteger(group.systems)) {
      throw new OutsideValidity(say.trade.events, group.events, { because: say.trade.aWholeNumber })
    }
  }
  const total = groups.reduce((sum, group) => sum + group.events, 0)
  const expectedTotal = groups.reduce((sum, group) => sum + group.expected, 0)
  const tooFewEvents = total < FLAG_RULE.leastCompanyEvents
  const pValues = groups.map((group) =>
    // Nothing is expected anywhere: nothing can be said. One group alone has nothing to be compared with.
    expectedTotal > 0 && groups.length > 1
      ? binomialUpperTail(group.events, total, Math.min(1, group.expected / expectedTotal))
      : 1,
  )
  const adjusted = benjaminiHochberg(pValues)
  return {
    tooFewEvents,
    groups: groups.map((group, index) => {
      const expectedRest = expectedTotal - group.expected
      const atRestsRate =
        expectedRest > 0 ? (group.expected * (total - group.events)) / expectedRest : group.expected
      const guardedRatio = (group.events + 1) / (atRestsRate + 1)
      const adjustedP = adjusted[index] ?? 1
      return {
        key: group.key,
        pValue: pValues[index] ?? 1,
        adjustedP,
        guardedRatio,
        flagged:
          !tooFewEvents &&
          adjustedP <= FLAG_RULE.falseDiscoveryRate &&
          group.events >= FLAG_RULE.leastEvents &&
          group.systems >= FLAG_RULE.leastSystems &&
          guardedRatio >= FLAG_RULE.leastGuardedRatio,
      }
    }),
  }
}
