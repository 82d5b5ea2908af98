// Which groups of joints come back more often than chance and time in service explain?

import {
  expectedEvents,
  exposureByAge,
  type PerAgeBand,
  ratesPerAgeBand,
  sumPerAgeBand,
} from '../trade/exposure.ts'
import { flagGroups } from '../trade/flagging.ts'
import { ratePer1000JointYears } from '../trade/poisson-interval.ts'
import { shrinkGroups } from '../trade/shrinkage.ts'
import { kaplanMeier, type Survival } from '../trade/survival.ts'
import { bandOfAge, monthOf, type Span, type WatchedFor } from './cohorts.ts'

export type { Span } from './cohorts.ts'

/** One making of a joint of ours, from the sign-off that released it to its leak, its end, or now. */
export interface JointInService {
  /** By which it is grouped; two joints with the same key are in one group. */
  key: string
  systemId: string
  signedOffAt: number
  /** Of its leak, of its being made again or taken out, or now. */
  endAt: number
  /** The callback that found it leaking; `key` where the cause points to another's work than the joint's own. */
  leak: { callbackId: string; at: number; key?: string | undefined } | null
}

export interface ReliabilityGroup {
  key: string
  joints: number
  jointYears: number
  /** At most one for each callback. */
  events: number
  systems: number
  expectedEvents: number
  ratio: number | null
  /** Null without time in service. */
  ratePer1000JointYears: number | null
  interval: { low: number; high: number } | null
  shrunkRatio: number
  probabilityWorse: number
  pValue: number
  flagged: boolean
}

export interface Reliability {
  groups: ReliabilityGroup[]
  all: Pick<ReliabilityGroup, 'joints' | 'jointYears' | 'events' | 'ratePer1000JointYears' | 'interval'>
  /** Fewer leaks in all than any flag can rest on. */
  tooFewEvents: boolean
}

/** How many joints with one key there were, and for how long. */
export interface ServedGroup {
  key: string
  joints: number
  jointYears: PerAgeBand
}

/** A joint that leaked within the span; `key` of whoever it counts against. */
export interface FoundLeak {
  key: string
  callbackId: string
  systemId: string
  ageMs: number
}

/** By asking each joint. */
export function judgeReliability(joints: readonly JointInService[], span: Span): Reliability {
  const served = new Map<string, { joints: number; parts: PerAgeBand[] }>()
  const leaks: FoundLeak[] = []
  for (const joint of joints) {
    const from = Math.max(joint.signedOffAt, span.from)
    const until = Math.min(joint.leak?.at ?? joint.endAt, span.to)
    if (until < from) continue
    const group = served.get(joint.key) ?? { joints: 0, parts: [] }
    group.joints += 1
    group.parts.push(exposureByAge({ signedOffAtMs: joint.signedOffAt, fromMs: from, toMs: until }))
    served.set(joint.key, group)
    if (joint.leak && joint.leak.at <= span.to)
      leaks.push({
        key: joint.leak.key ?? joint.key,
        callbackId: joint.leak.callbackId,
        systemId: joint.systemId,
        ageMs: joint.leak.at - joint.signedOffAt,
      })
  }
  const groups = [...served].map(([key, { joints, parts }]) => ({
    key,
    joints,
    jointYears: sumPerAgeBand(parts),
  }))
  return judgeGroups(groups, leaks)
}

/** Flagged groups first, then by how much worse than expected they look. */
export function judgeGroups(served: readonly ServedGroup[], leaks: readonly FoundLeak[]): Reliability {
  const counted = countedTogether(served, leaks)
  const companyRates = ratesOf(counted, leaks)
  const expected = counted.map(({ exposure }) => expectedEvents(exposure, companyRates))
  const flags = flagGroups(
    counted.map(({ key, events, systems }, index) => ({
      key,
      events,
      systems,
      expected: expected[index] ?? 0,
    })),
  )
  const shrunk = shrinkGroups(
    counted.map(({ key, events }, index) => ({ key, observed: events, expected: expected[index] ?? 0 })),
  )
  const groups = counted.map(({ exposure, ...group }, index): ReliabilityGroup => {
    const jointYears = years(exposure)
    return {
      ...group,
      jointYears,
      expectedEvents: expected[index] ?? 0,
      ratio: shrunk.groups[index]?.ratio ?? null,
      ...rateOf(group.events, jointYears),
      shrunkRatio: shrunk.groups[index]?.shrunkRatio ?? 1,
      probabilityWorse: shrunk.groups[index]?.probabilityWorse ?? 0,
      pValue: flags.groups[index]?.pValue ?? 1,
      flagged: flags.groups[index]?.flagged ?? false,
    }
  })
  const joints = groups.reduce((sum, group) => sum + group.joints, 0)
  const jointYears = groups.reduce((sum, group) => sum + group.jointYears, 0)
  const events = new Set(leaks.map(({ callbackId }) => callbackId)).size
  return {
    groups: groups.toSorted(
      (a, b) =>
        Number(b.flagged) - Number(a.flagged) ||
        b.shrunkRatio - a.shrunkRatio ||
        a.key.localeCompare(b.key, 'en', { numeric: true }),
    ),
    all: { joints, jointYears, events, ...rateOf(events, jointYears) },
    tooFewEvents: flags.tooFewEvents,
  }
}

/** The company's leaks per joint-year by age. */
export const ratesByAge = (served: readonly ServedGroup[], leaks: readonly FoundLeak[]): PerAgeBand =>
  ratesOf(countedTogether(served, leaks), leaks)

const ratesOf = (counted: readonly { exposure: PerAgeBand }[], leaks: readonly FoundLeak[]): PerAgeBand =>
  ratesPerAgeBand(eventsByAge(leaks), sumPerAgeBand(counted.map(({ exposure }) => exposure)))

const YEAR_MS = 365.25 * 86_400_000
/** Whatever leaked was in service for a moment, so that no leak is counted where there was no time. */
const MOMENT_YEARS = 1 / YEAR_MS

function countedTogether(served: readonly ServedGroup[], leaks: readonly FoundLeak[]) {
  const groups = new Map(
    served.map(({ key, joints, jointYears }) => [key, { joints, jointYears, leaks: [] as FoundLeak[] }]),
  )
  for (const leak of leaks) {
    const group = groups.get(leak.key) ?? { joints: 0, jointYears: [0, 0, 0, 0] as PerAgeBand, leaks: [] }
    group.leaks.push(leak)
    groups.set(leak.key, group)
  }
  return [...groups]
    .filter(([, { joints, leaks: own }]) => joints > 0 || own.length > 0)
    .map(([key, { joints, jointYears, leaks: own }]) => {
      const exposure: PerAgeBand = [...jointYears]
      for (const { ageMs } of own) {
        const band = bandOfLeak(ageMs)
        exposure[band] = Math.max(exposure[band], MOMENT_YEARS)
      }
      return {
        key,
        joints,
        exposure,
        events: new Set(own.map(({ callbackId }) => callbackId)).size,
        systems: new Set(own.map(({ systemId }) => systemId)).size,
      }
    })
}

/** At the very age that ends a band, a joint has been watched in that band and not yet in the next. */
const bandOfLeak = (ageMs: number) => bandOfAge(Math.max(0, ageMs - 1))

/** Each callback once, at the age of the youngest joint that it found. */
function eventsByAge(leaks: readonly FoundLeak[]): PerAgeBand {
  const youngest = new Map<string, number>()
  for (const { callbackId, ageMs } of leaks)
    youngest.set(callbackId, Math.min(ageMs, youngest.get(callbackId) ?? Number.POSITIVE_INFINITY))
  const counts: PerAgeBand = [0, 0, 0, 0]
  for (const ageMs of youngest.values()) counts[bandOfLeak(ageMs)] += 1
  return counts
}

/** How many joints are still tight after so many calendar months, whatever they are grouped by; time in years. */
export function survivalOf(ages: readonly WatchedFor[]): Survival {
  return kaplanMeier(
    ages.map(({ months, leaked, count }) => ({ time: months / 12, event: leaked, weight: count })),
  )
}

/** The same by asking each joint. */
export const agesOfJoints = (joints: readonly JointInService[]): WatchedFor[] =>
  joints.map(({ signedOffAt, endAt, leak }) => ({
    months: monthOf(leak?.at ?? endAt) - monthOf(signedOffAt),
    leaked: leak !== null,
    count: 1,
  }))

const years = (exposure: PerAgeBand) => exposure.reduce((sum, band) => sum + band, 0)

function rateOf(
  events: number,
  jointYears: number,
): Pick<ReliabilityGroup, 'ratePer1000JointYears' | 'interval'> {
  if (jointYears <= 0) return { ratePer1000JointYears: null, interval: null }
  const { rate, low, high } = ratePer1000JointYears(events, jointYears)
  return { ratePer1000JointYears: rate, interval: { low, high } }
}
