// Which joints in service are like those of a group, or like the one that a callback found, those to look at first first?

import { conflict, malformedField } from '../../refusals.ts'
import {
  type Condition,
  commonConditions,
  knownConditions,
  mostAtRiskFirst,
  type RiskReason,
  riskOf,
  sharedConditions,
} from '../../rules/at-risk.ts'
import { KEY_OF } from '../../rules/cohorts.ts'
import type { ReliabilityGroup } from '../../rules/judge-reliability.ts'
import { torqueRangeOf } from '../../rules/judge-torque.ts'
import { findCallback, type WholeCallback } from '../../store/queries/callbacks.ts'
import { listFollowUpsOf, listTightChecks } from '../../store/queries/follow-ups.ts'
import { groupOf, judgeGroupsBy } from '../../store/queries/judged-groups.ts'
import { findPolicy } from '../../store/queries/policy.ts'
import {
  type JointInService,
  type LifeWithTag,
  listInService,
  listLeakedBy,
  listLeakedOf,
} from '../../store/queries/reliability.ts'
import { listSheetsById } from '../../store/queries/sheets-used.ts'
import type { Scope } from '../../store/store.ts'
import type { FollowUpGrounds } from '../../store/tables/follow-ups.ts'
import type { JobStage, ReliabilityDimension } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { type Likeness, spanOf } from './group-fields.ts'

/** Of more joints than these, those that were signed off last are looked at: they are proven least. */
const MOST_LOOKED_AT = 1000
const YEAR_MS = 365.25 * 86_400_000

export interface JointAtRisk extends JointInService {
  yearsInService: number
  points: number
  reasons: RiskReason[]
  /** With the joint that leaked, or with all of the group that leaked. */
  shared: Condition[]
  range: { lowNm: number; highNm: number } | null
  followUp: { jobId: string; stage: JobStage } | null
}

export interface AtRisk {
  /** Null for a group that is not there, or a callback that names no joint of ours with a cause. */
  grounds: FollowUpGrounds | null
  /** The group, by its dimensions; null for a callback. */
  group: { dimensions: ReliabilityDimension[]; judged: ReliabilityGroup; common: Condition[] } | null
  callback: { row: WholeCallback; leaked: LifeWithTag; cause: string; conditions: Condition[] } | null
  joints: JointAtRisk[]
  /** Whether there are more than were looked at. */
  cut: boolean
}

/** `said`: how a condition is called, for the reasons. Refuses with missing, and when the callback is still open. */
export async function findAtRisk(
  scope: Scope,
  asked: Likeness,
  now: number,
  said: (condition: Condition) => string,
): Promise<AtRisk> {
  if (asked.callbackId !== undefined && asked.key !== undefined)
    throw malformedField('key', say.atRisk.oneOfBoth)
  if (asked.callbackId === undefined && asked.key === undefined) return NONE
  return asked.callbackId === undefined
    ? likeTheGroup(scope, asked, now, said)
    : likeTheLeaked(scope, asked.callbackId, now, said)
}

const NONE = { grounds: null, group: null, callback: null, joints: [], cut: false }

async function likeTheGroup(
  scope: Scope,
  asked: Likeness,
  now: number,
  said: (condition: Condition) => string,
): Promise<AtRisk> {
  const { by, also, key = '' } = asked
  const dimensions = also === undefined || also === by ? [by] : [by, also]
  const span = spanOf(asked, now)
  const { reliability } = await judgeGroupsBy(scope, dimensions, span, now)
  const judged = reliability.groups.find((one) => one.key === key)
  if (!judged) return NONE
  const group = groupOf(dimensions, key)
  const found = await listInService(scope, group, MOST_LOOKED_AT + 1)
  const leaked = await listLeakedOf(scope, group, span, MOST_LOOKED_AT)
  const common = commonConditions(leaked, found, dimensions)
  return {
    grounds: {
      kind: 'group',
      by,
      also: dimensions[1] ?? null,
      key,
      leaks: judged.events,
      expectedLeaks: Number(judged.expectedEvents.toPrecision(4)),
    },
    group: { dimensions, judged, common: common.map(({ condition }) => condition) },
    callback: null,
    ...(await ranked(scope, found, now, {
      said,
      sharedOf: (joint) =>
        common.flatMap(({ condition, key }) => (KEY_OF[condition](joint) === key ? [condition] : [])),
      sharedByAll: 0,
    })),
  }
}

async function likeTheLeaked(
  scope: Scope,
  callbackId: string,
  now: number,
  said: (condition: Condition) => string,
): Promise<AtRisk> {
  const row = await findCallback(scope, callbackId)
  if (row.closedAt === null) throw conflict('callback-open', say.atRisk.callbackIsOpen)
  const [leaked] = await listLeakedBy(scope, callbackId)
  if (!leaked?.leakCause) return NONE
  const cause = leaked.leakCause
  const conditions = knownConditions(leaked, cause)
  const [leading] = conditions
  const found =
    leading === undefined
      ? []
      : await listInService(scope, [{ dimension: leading, key: KEY_OF[leading](leaked) }], MOST_LOOKED_AT + 1)
  return {
    grounds: { kind: 'callback', cause },
    group: null,
    callback: { row, leaked, cause, conditions },
    ...(await ranked(scope, found, now, {
      said,
      sharedOf: (joint) => sharedConditions(joint, leaked, cause),
      // What leads: none is on the list without it.
      sharedByAll: 1,
    })),
  }
}

async function ranked(
  scope: Scope,
  found: readonly JointInService[],
  now: number,
  {
    said,
    sharedOf,
    sharedByAll,
  }: {
    said: (condition: Condition) => string
    sharedOf: (joint: JointInService) => Condition[]
    sharedByAll: number
  },
): Promise<Pick<AtRisk, 'joints' | 'cut'>> {
  const looked = found.slice(0, MOST_LOOKED_AT)
  const ids = looked.map(({ jointId }) => jointId)
  const { criteria } = await findPolicy(scope)
  const sheets = await listSheetsById(scope, [...new Set(looked.flatMap(({ sheetId }) => sheetId ?? []))])
  const checks = await listTightChecks(scope, ids)
  const followUps = await listFollowUpsOf(scope, ids)
  // Joints of one size on systems of one sheet have the same range.
  const ranges = new Map<string, ReturnType<typeof torqueRangeOf>>()
  const rangeOf = (joint: JointInService) => {
    const alike = `${joint.kind} ${joint.tubeOdM} ${joint.sheetId}`
    const known = ranges.get(alike)
    if (known !== undefined) return known
    const range = torqueRangeOf(joint, sheets.get(joint.sheetId ?? '') ?? null, criteria)
    ranges.set(alike, range)
    return range
  }
  const joints = looked.map((joint): JointAtRisk => {
    const check = checks.get(joint.jointId)
    const shared = sharedOf(joint)
    const range = rangeOf(joint)
    const yearsInService = Math.max(0, now - joint.signedOffAt) / YEAR_MS
    const reasons = riskOf({
      life: joint,
      yearsInService,
      range,
      // What was checked before it was made again says nothing of it now.
      leakCheck: check && check.at >= joint.madeAt ? check.method : null,
      shared: shared.map(said),
      sharedByAll,
    })
    const followUp = followUps.get(joint.jointId)
    return {
      ...joint,
      yearsInService,
      points: reasons.reduce((sum, { points }) => sum + points, 0),
      reasons,
      shared,
      range: range && { lowNm: range.lowNm, highNm: range.highNm },
      followUp: followUp ? { jobId: followUp.jobId, stage: followUp.stage } : null,
    }
  })
  joints.sort(mostAtRiskFirst)
  return { joints, cut: found.length > MOST_LOOKED_AT }
}
