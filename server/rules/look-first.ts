// Which joints of a system to look at first, when somebody says that it leaks? Ranked by what the record holds against
// each, with every reason named. Nobody is looked at: who made a joint is no reason, and is not asked for.

import type { InstrumentKind, ReliabilityDimension, RequirementCode } from '../vocabulary.ts'
import type { Joint, System } from './dossier.ts'
import { historyOfJoint, type JointHistory } from './joint-history.ts'
import { type Judging, nearEdge } from './judge-torque.ts'
import { currentMake, isPort, leakChecksOf, stepsOf } from './scope.ts'

/** By what joints that came back may be alike; not by person, and not by month. */
export const LOOK_FIRST_DIMENSIONS = [
  'position',
  'tubeOd',
  'kind',
  'flareMethod',
  'flaringTool',
  'wrench',
  'model',
  'refrigerant',
] as const satisfies readonly ReliabilityDimension[]

/** A group that stands out by the rule of docs/methods/flagging.md, with its figures. */
export interface FlaggedGroupOf {
  dimension: (typeof LOOK_FIRST_DIMENSIONS)[number]
  key: string
  events: number
  expected: number
}

export interface LookFirstFacts {
  system: System
  /** With every instrument that any joint or test of the system names. */
  judging: Judging
  /** Granted on jobs of this system. */
  concessions: readonly { requirement: RequirementCode; subjectId: string; decidedAt: number }[]
  /** Joints left out of a job. */
  exclusions: readonly { jointId: string; reason: string }[]
  /** How many entries of a joint were corrected. */
  corrections: ReadonlyMap<string, number>
  /** How many earlier callbacks found a joint leaking. */
  leakedBefore: ReadonlyMap<string, number>
  flagged: ReadonlyMap<string, readonly FlaggedGroupOf[]>
}

export type LookFirstReason =
  | { code: 'torque-outside'; verdict: 'low' | 'high'; appliedNm: number; lowNm: number; highNm: number }
  | { code: 'torque-not-proven'; appliedNm: number; lowNm: number; highNm: number }
  | { code: 'torque-near-edge'; edge: 'low' | 'high'; appliedNm: number; lowNm: number; highNm: number }
  | { code: 'torque-not-known' }
  | { code: 'torque-off-since'; judgement: 'fails' | 'doubtful'; instrument: string; real: string | null }
  | { code: 'instrument-off'; instrument: string; kind: InstrumentKind }
  | { code: 'leak-found-open' }
  | { code: 'leaked-before'; count: number }
  | { code: 'never-leak-checked' }
  | { code: 'leak-check-stale'; reason: string }
  | { code: 'leak-check-weak'; seenKgPerYear: number | null }
  | { code: 'no-test' }
  | { code: 'blind-tests'; seenKgPerYear: number; holdS: number }
  | { code: 'conceded'; requirement: RequirementCode }
  | { code: 'remade'; times: number }
  | { code: 'corrected'; count: number }
  | { code: 'group-flagged'; group: FlaggedGroupOf }
  | { code: 'not-made' }
  | { code: 'left-out'; reason: string }
  | { code: 'not-ours' }

export interface LookFirstJoint {
  jointId: string
  tag: string
  /** What is held against it, added up; 0: nothing is. */
  points: number
  /** The weightiest first. */
  reasons: (LookFirstReason & { points: number })[]
}

/**
 * How much each reason counts. The weights are ours, without a source: they put evidence of a leak before doubt of the
 * work, doubt of the work before what no test could have seen, and that before what only may mean something.
 */
export const LOOK_FIRST_POINTS: Record<LookFirstReason['code'], number> = {
  'leak-found-open': 60,
  'torque-outside': 40,
  'torque-off-since': 40,
  'leaked-before': 30,
  'never-leak-checked': 30,
  'group-flagged': 30,
  'not-made': 30,
  'torque-not-proven': 20,
  'torque-not-known': 20,
  'leak-check-stale': 20,
  'no-test': 20,
  conceded: 20,
  'left-out': 20,
  'torque-near-edge': 15,
  'leak-check-weak': 15,
  'not-ours': 15,
  'blind-tests': 10,
  'instrument-off': 10,
  remade: 10,
  corrected: 5,
}
/** A torque that may be wrong counts half of one that is. */
const DOUBTFUL = 0.5
/** Leaks below this, as refrigerant in a year, are what a callback is usually about (ours, no source). */
export const BLIND_ABOVE_KG_PER_YEAR = 0.1

/** The joints in service, those with the most against them first; at the same points by their tags. */
export function lookFirst(facts: LookFirstFacts): LookFirstJoint[] {
  return facts.system.joints
    .filter(({ retiredAt }) => retiredAt === null)
    .map((joint) => {
      const reasons = reasonsFor(joint, facts)
        .map((reason) => ({ ...reason, points: pointsOf(reason) }))
        .toSorted((a, b) => b.points - a.points)
      return {
        jointId: joint.id,
        tag: joint.tag,
        points: reasons.reduce((sum, { points }) => sum + points, 0),
        reasons,
      }
    })
    .toSorted((a, b) => b.points - a.points || a.tag.localeCompare(b.tag, 'en', { numeric: true }))
}

function pointsOf(reason: LookFirstReason): number {
  const points = LOOK_FIRST_POINTS[reason.code]
  return reason.code === 'torque-off-since' && reason.judgement === 'doubtful' ? points * DOUBTFUL : points
}

function reasonsFor(joint: Joint, facts: LookFirstFacts): LookFirstReason[] {
  const history = historyOfJoint({
    joint,
    system: facts.system,
    judging: facts.judging,
    corrections: [],
    callbacks: [],
    photos: 0,
  })
  return [
    ...ofMaking(joint, facts),
    ...ofTorque(joint, history, facts.judging),
    ...ofInstruments(joint, history),
    ...ofChecks(joint, history),
    ...ofTests(joint, history),
    ...ofRecord(joint, facts),
  ]
}

// ---------------------------------------------------------------- how it was made

function ofMaking(joint: Joint, { exclusions }: LookFirstFacts): LookFirstReason[] {
  const make = currentMake(joint)
  if (make === null) {
    const left = exclusions.find(({ jointId }) => jointId === joint.id)
    if (left) return [{ code: 'left-out', reason: left.reason }]
    if (joint.origin === 'existing') return [{ code: 'not-ours' }]
    return joint.origin === 'field' && !isPort(joint) ? [{ code: 'not-made' }] : []
  }
  return make.number > 1 ? [{ code: 'remade', times: make.number - 1 }] : []
}

function ofTorque(joint: Joint, { torques }: JointHistory, judging: Judging): LookFirstReason[] {
  const make = currentMake(joint)
  const torque = make && stepsOf(make, 'torque').at(-1)
  const told = torque && torques.get(torque.id)
  if (!torque || !told) return []
  const { judgement, rejudged } = told
  const said: LookFirstReason[] = []
  const { appliedNm, range } = judgement
  if (appliedNm === null) said.push({ code: 'torque-not-known' })
  else if (range !== null) {
    const { lowNm, highNm } = range
    const figures = { appliedNm, lowNm, highNm }
    const near = nearEdge(range)
    if (judgement.verdict === 'low' || judgement.verdict === 'high')
      said.push({ code: 'torque-outside', verdict: judgement.verdict, ...figures })
    else if (judgement.verdict === 'not-proven') said.push({ code: 'torque-not-proven', ...figures })
    else if (appliedNm <= lowNm + near) said.push({ code: 'torque-near-edge', edge: 'low', ...figures })
    else if (appliedNm >= highNm - near) said.push({ code: 'torque-near-edge', edge: 'high', ...figures })
  }
  if (rejudged && rejudged.judgement !== 'stands')
    said.push({
      code: 'torque-off-since',
      judgement: rejudged.judgement,
      instrument: judging.instruments.find(({ id }) => id === torque.body.instrumentId)?.name ?? '',
      real: rejudged.real,
    })
  return said
}

/** A wrench is judged by the torque that it really applied. */
function ofInstruments(joint: Joint, { instruments }: JointHistory): LookFirstReason[] {
  const ids = new Set(currentMake(joint)?.steps.map(({ id }) => id))
  return instruments
    .filter(
      ({ state, kind }) => kind !== 'torque-wrench' && (state === 'recalled' || state === 'out-of-tolerance'),
    )
    .filter(({ usedFor }) => usedFor.some(({ id }) => ids.has(id)))
    .map(({ name, kind }) => ({ code: 'instrument-off', instrument: name, kind }))
}

// ---------------------------------------------------------------- what could have seen a leak

function ofChecks(joint: Joint, { checks }: JointHistory): LookFirstReason[] {
  const all = leakChecksOf(joint)
  if (all.length === 0) return [{ code: 'never-leak-checked' }]
  const standing = all.filter(({ id }) => checks.get(id)?.stale === null)
  if (standing.length === 0)
    return [{ code: 'leak-check-stale', reason: checks.get(all.at(-1)?.id ?? '')?.stale ?? '' }]
  const judged = standing.flatMap(({ id }) => checks.get(id)?.judgement ?? [])
  if (judged.at(-1)?.verdict === 'leak') return [{ code: 'leak-found-open' }]
  if (judged.some(({ verdict }) => verdict === 'tight')) return []
  return [{ code: 'leak-check-weak', seenKgPerYear: judged.at(-1)?.sensitivityKgPerYear ?? null }]
}

function ofTests(joint: Joint, { tests, checks }: JointHistory): LookFirstReason[] {
  if (isPort(joint)) return []
  const good = tests.filter(
    ({ stale, verdict }) => stale === null && (verdict === 'holds' || verdict === 'tight'),
  )
  if (good.length === 0) return [{ code: 'no-test' }]
  // A good check of the joint itself sees far smaller leaks than any test of the whole.
  const checked = leakChecksOf(joint).some(({ id }) => {
    const told = checks.get(id)
    return told?.stale === null && told.judgement.verdict === 'tight'
  })
  const finest = good
    .flatMap(({ seenKgPerYear, holdS }) => (seenKgPerYear === null ? [] : [{ seenKgPerYear, holdS }]))
    .toSorted((a, b) => a.seenKgPerYear - b.seenKgPerYear)[0]
  if (checked || !finest || finest.seenKgPerYear <= BLIND_ABOVE_KG_PER_YEAR) return []
  return [{ code: 'blind-tests', ...finest }]
}

// ---------------------------------------------------------------- what else is on record

function ofRecord(joint: Joint, facts: LookFirstFacts): LookFirstReason[] {
  // What was conceded for an earlier making went with it.
  const since = currentMake(joint)?.performedAt ?? 0
  const conceded = new Set(
    facts.concessions
      .filter(({ subjectId, decidedAt }) => subjectId === joint.id && decidedAt >= since)
      .map(({ requirement }) => requirement),
  )
  const corrected = facts.corrections.get(joint.id) ?? 0
  const leaked = facts.leakedBefore.get(joint.id) ?? 0
  return [
    ...(leaked > 0 ? [{ code: 'leaked-before', count: leaked } as const] : []),
    ...[...conceded].map((requirement) => ({ code: 'conceded', requirement }) as const),
    ...(facts.flagged.get(joint.id) ?? []).map((group) => ({ code: 'group-flagged', group }) as const),
    ...(corrected > 0 ? [{ code: 'corrected', count: corrected } as const] : []),
  ]
}
