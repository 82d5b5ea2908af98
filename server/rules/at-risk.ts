// Which joints in service are most like those that leaked, and which of them are to be looked at first? Never by a person:
// who made a joint neither makes two joints alike nor moves one up.

import type { LeakCause, LeakCheckMethod, ReliabilityDimension } from '../vocabulary.ts'
import { say } from '../words/say.ts'
import { KEY_OF, type Life, NOT_KNOWN } from './cohorts.ts'
import { nearEdge } from './judge-torque.ts'
import { isPulledTight } from './scope.ts'
import { list, newtonMetres, span } from './wording.ts'

export type Condition = Exclude<ReliabilityDimension, 'technician' | 'month'>

const OF_THE_TOOL: readonly Condition[] = ['flaringTool', 'tubeOd', 'flareMethod', 'position']
const OF_THE_WRENCH: readonly Condition[] = ['wrench', 'tubeOd', 'position']
const OF_THE_PART: readonly Condition[] = ['model', 'position', 'tubeOd']
const OF_THE_PLACE: readonly Condition[] = ['position', 'tubeOd', 'model']

/**
 * What two joints must share to be alike, by what was found on one: the leading condition first, which both must have,
 * then those that make them more alike. From what each fault comes of (common practice, no source): a tool that forms
 * badly forms every end so; a wrench that is off pulls every nut so; shaking and reach come with the place.
 */
const CONDITIONS: Record<LeakCause, readonly Condition[]> = {
  burr: OF_THE_TOOL,
  'short-flare': OF_THE_TOOL,
  crack: OF_THE_TOOL,
  misaligned: ['position', 'tubeOd', 'flaringTool'],
  'over-torque': OF_THE_WRENCH,
  'under-torque': OF_THE_WRENCH,
  'thread-oil': OF_THE_PLACE,
  vibration: ['position', 'model', 'tubeOd'],
  factory: OF_THE_PART,
  'service-valve': OF_THE_PART,
  'not-a-joint': [],
  unknown: OF_THE_PLACE,
}

/** Of a cause that was told in words nothing more is known than where it was. */
export const conditionsOf = (cause: string): readonly Condition[] =>
  (CONDITIONS as Partial<Record<string, readonly Condition[]>>)[cause] ?? OF_THE_PLACE

/** Those of them that are on record for the joint that leaked. */
export const knownConditions = (leaked: Life, cause: string): Condition[] =>
  conditionsOf(cause).filter((condition) => KEY_OF[condition](leaked) !== NOT_KNOWN)

/** What a joint shares with one that leaked; nothing unless it shares what leads. */
export function sharedConditions(joint: Life, leaked: Life, cause: string): Condition[] {
  const known = knownConditions(leaked, cause)
  const shared = known.filter((condition) => KEY_OF[condition](joint) === KEY_OF[condition](leaked))
  return known[0] !== undefined && shared.includes(known[0]) ? shared : []
}

const ALL_CONDITIONS: readonly Condition[] = [
  'position',
  'tubeOd',
  'kind',
  'flareMethod',
  'flaringTool',
  'wrench',
  'model',
  'refrigerant',
]
/** Of fewer leaks it means nothing that they agree. */
const LEAST_LEAKS = 3
/** What more of the group has than this part is no more than usual in it. */
const USUAL = 0.8

/**
 * In what all joints of a group that leaked agree, where most of its other joints do not: those of the others that share it
 * are the most like them. Nothing of that by which the group was made.
 */
export function commonConditions(
  leaked: readonly Life[],
  others: readonly Life[],
  madeBy: readonly ReliabilityDimension[],
): { condition: Condition; key: string }[] {
  if (leaked.length < LEAST_LEAKS) return []
  return ALL_CONDITIONS.filter((condition) => !madeBy.includes(condition)).flatMap((condition) => {
    const keys = new Set(leaked.map((life) => KEY_OF[condition](life)))
    const [key] = keys
    if (key === undefined || keys.size > 1 || key === NOT_KNOWN) return []
    const alike = others.filter((life) => KEY_OF[condition](life) === key).length
    return alike > USUAL * others.length ? [] : [{ condition, key }]
  })
}

// ---------------------------------------------------------------- which first

export interface RiskFacts {
  life: Pick<Life, 'kind' | 'torqueNm'>
  /** Since its sign-off. */
  yearsInService: number
  range: { lowNm: number; highNm: number } | null
  /** Of the last leak check of its own that found nothing; null where there is none. */
  leakCheck: LeakCheckMethod | null
  /** With what leaked, as it is said. */
  shared: readonly string[]
  /** How many of those every joint of the list has: they tell none apart. */
  sharedByAll: number
}

export const RISK_CODES = ['likeness', 'torque', 'leak-check', 'time-in-service'] as const
export interface RiskReason {
  code: (typeof RISK_CODES)[number]
  points: number
  words: string
}

/** In years. Most workmanship leaks show in the first (from memory). */
const HARDLY_PROVEN = 1
const PROVEN = 3
const FINE_METHODS: ReadonlySet<LeakCheckMethod> = new Set([
  'refrigerant-detector',
  'tracer-hydrogen',
  'tracer-helium',
])

/** Each with its points, whole numbers that can be added by hand; common practice, no source. */
export function riskOf({
  life,
  yearsInService,
  range,
  leakCheck,
  shared,
  sharedByAll,
}: RiskFacts): RiskReason[] {
  const likeness: RiskReason[] =
    shared.length === 0
      ? []
      : [
          {
            code: 'likeness',
            points: 2 * Math.max(0, shared.length - sharedByAll),
            words: say.atRisk.shares(list(shared)),
          },
        ]
  return [...likeness, ...torqueReason(life, range), checkReason(leakCheck), timeReason(yearsInService)]
}

function torqueReason({ kind, torqueNm }: RiskFacts['life'], range: RiskFacts['range']): RiskReason[] {
  const reason = (points: number, words: string): RiskReason[] => [{ code: 'torque', points, words }]
  // Where nothing says what the torque should be, none that is missing is missed.
  if (!isPulledTight(kind) || (torqueNm === null && range === null)) return []
  if (torqueNm === null) return reason(1, say.atRisk.torqueNotRead)
  const pulled = newtonMetres(torqueNm)
  if (range === null) return reason(1, say.atRisk.torqueWithoutRange(pulled))
  const inRange = span(range.lowNm, range.highNm, 'N.m')
  const margin = Math.min(torqueNm - range.lowNm, range.highNm - torqueNm)
  if (margin < 0) return reason(3, say.atRisk.torqueOutside(pulled, inRange))
  if (margin <= nearEdge(range)) return reason(2, say.atRisk.torqueNearLimit(pulled, inRange))
  return reason(0, say.atRisk.torqueInside(pulled, inRange))
}

function checkReason(method: RiskFacts['leakCheck']): RiskReason {
  if (method === null) return { code: 'leak-check', points: 2, words: say.atRisk.noLeakCheck }
  return FINE_METHODS.has(method)
    ? { code: 'leak-check', points: 0, words: say.atRisk.fineLeakCheck }
    : { code: 'leak-check', points: 1, words: say.atRisk.coarseLeakCheck }
}

function timeReason(years: number): RiskReason {
  const points = years < HARDLY_PROVEN ? 2 : years < PROVEN ? 1 : 0
  const words = say.atRisk.inServiceFor(years.toFixed(1))
  return { code: 'time-in-service', points, words }
}

export interface Ranked {
  points: number
  yearsInService: number
  tag: string
  id: string
}

/** The most points first, then who has been proven least; by tag and id, so that two never change places. */
export const mostAtRiskFirst = (a: Ranked, b: Ranked): number =>
  b.points - a.points ||
  a.yearsInService - b.yearsInService ||
  a.tag.localeCompare(b.tag, 'en', { numeric: true }) ||
  (a.id < b.id ? -1 : 1)
