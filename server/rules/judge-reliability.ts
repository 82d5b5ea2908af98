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

export interface Span {
  from: number
  to: number
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

/** Flagged groups first, then by how much worse than expected they look. */
export function judgeReliability(joints: readonly JointInService[], span: Span): Reliability {
  const watched = joints.flatMap((joint) => inSpan(joint, span))
  const companyRates = ratesPerAgeBand(
    eventsByAge(watched),
    sumPerAgeBand(watched.map(({ exposure }) => exposure)),
  )
  const counted = [...byKey(watched)].map(([key, { members, leaks }]) => ({
    key,
    joints: members.length,
    exposure: sumPerAgeBand(members.map(({ exposure }) => exposure)),
    events: new Set(leaks.map(({ callbackId }) => callbackId)).size,
    systems: new Set(leaks.map(({ systemId }) => systemId)).size,
  }))
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
  const jointYears = groups.reduce((sum, group) => sum + group.jointYears, 0)
  const events = new Set(watched.flatMap(({ leak }) => leak?.callbackId ?? [])).size
  return {
    groups: groups.toSorted(
      (a, b) =>
        Number(b.flagged) - Number(a.flagged) ||
        b.shrunkRatio - a.shrunkRatio ||
        a.key.localeCompare(b.key, 'en', { numeric: true }),
    ),
    all: { joints: watched.length, jointYears, events, ...rateOf(events, jointYears) },
    tooFewEvents: flags.tooFewEvents,
  }
}

const YEAR_MS = 365.25 * 86_400_000

/** How many joints are still tight after so many years, whatever they are grouped by. */
export function survivalOf(joints: readonly JointInService[]): Survival {
  return kaplanMeier(
    joints.map(({ signedOffAt, endAt, leak }) => ({
      time: ((leak?.at ?? endAt) - signedOffAt) / YEAR_MS,
      event: leak !== null,
    })),
  )
}

interface Watched extends JointInService {
  exposure: PerAgeBand
}

/** What of its time in service lies in the span, and its leak only if that does. */
function inSpan(joint: JointInService, span: Span): Watched[] {
  const from = Math.max(joint.signedOffAt, span.from)
  const until = Math.min(joint.leak?.at ?? joint.endAt, span.to)
  if (until < from) return []
  const leak = joint.leak && joint.leak.at <= span.to ? joint.leak : null
  // Whatever leaked was in service for a moment, so that no leak is counted where there was no time.
  const to = leak === null ? until : Math.max(until, from + 1)
  return [
    { ...joint, leak, exposure: exposureByAge({ signedOffAtMs: joint.signedOffAt, fromMs: from, toMs: to }) },
  ]
}

/** Each callback once, in the age band in which the first of its joints was last watched. */
function eventsByAge(watched: readonly Watched[]): PerAgeBand {
  const counts: PerAgeBand = [0, 0, 0, 0]
  const seen = new Set<string>()
  for (const { leak, exposure } of watched) {
    if (leak === null || seen.has(leak.callbackId)) continue
    seen.add(leak.callbackId)
    counts[exposure.findLastIndex((time) => time > 0) as 0 | 1 | 2 | 3] += 1
  }
  return counts
}

function byKey(watched: readonly Watched[]) {
  const groups = new Map<string, { members: Watched[]; leaks: { callbackId: string; systemId: string }[] }>()
  const groupOf = (key: string) => {
    const group = groups.get(key) ?? { members: [], leaks: [] }
    groups.set(key, group)
    return group
  }
  for (const joint of watched) {
    groupOf(joint.key).members.push(joint)
    if (joint.leak)
      groupOf(joint.leak.key ?? joint.key).leaks.push({
        callbackId: joint.leak.callbackId,
        systemId: joint.systemId,
      })
  }
  return groups
}

const years = (exposure: PerAgeBand) => exposure.reduce((sum, band) => sum + band, 0)

function rateOf(
  events: number,
  jointYears: number,
): Pick<ReliabilityGroup, 'ratePer1000JointYears' | 'interval'> {
  if (jointYears <= 0) return { ratePer1000JointYears: null, interval: null }
  const { rate, low, high } = ratePer1000JointYears(events, jointYears)
  return { ratePer1000JointYears: rate, interval: { low, high } }
}
