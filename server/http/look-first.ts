// Which joints of a system that came back to look at first: gathered from the record, said in words and figures.

import { gramsAYear } from '../../views/joints/history-words.ts'
import { KEY_OF } from '../rules/cohorts.ts'
import { REQUIREMENTS } from '../rules/index.ts'
import {
  type FlaggedGroupOf,
  LOOK_FIRST_DIMENSIONS,
  type LookFirstJoint,
  type LookFirstReason,
  lookFirst,
} from '../rules/look-first.ts'
import { listCallbacksOfSystem } from '../store/queries/callbacks.ts'
import { instrumentIdsIn } from '../store/queries/dossier.ts'
import { listHeldAgainst } from '../store/queries/held-against.ts'
import { listInstrumentNames } from '../store/queries/instruments.ts'
import { listInstrumentsById } from '../store/queries/instruments-used.ts'
import { judgeGroupsBy } from '../store/queries/judged-groups.ts'
import { loadForJudging } from '../store/queries/judging.ts'
import { listLivesOf } from '../store/queries/lives.ts'
import { formatNumber, formatQuantity, UNIT_LABELS } from '../trade/units.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import { labelOf } from './reliability.ts'
import type { Ask } from './resource.ts'

export interface SaidJoint {
  jointId: string
  tag: string
  place: string
  line: 'liquid' | 'gas'
  points: number
  reasons: { code: LookFirstReason['code']; points: number; sentence: string }[]
}

/** Callbacks other than this one count as what leaked before. */
export async function jointsToLookAt(
  ask: Pick<Ask, 'scope' | 'now'>,
  callback: { id: string; systemId: string },
): Promise<SaidJoint[]> {
  const { scope } = ask
  const { system, policy } = await loadForJudging(scope, callback.systemId)
  const instruments = await listInstrumentsById(scope, [...instrumentIdsIn([system])])
  const ranked = lookFirst({
    system,
    judging: { policy: policy.criteria, sheet: system.sheet, instruments },
    ...(await listHeldAgainst(scope, system.id)),
    leakedBefore: await leakedBefore(ask, callback),
    flagged: await flaggedGroupsOf(
      ask,
      system.joints.map(({ id }) => id),
    ),
  })
  const names = new Map((await listInstrumentNames(scope)).map(({ id, name }) => [id, name]))
  const joints = new Map(system.joints.map((joint) => [joint.id, joint]))
  return ranked.flatMap(({ jointId, tag, points, reasons }: LookFirstJoint) => {
    const joint = joints.get(jointId)
    if (!joint) return []
    const { place, line } = joint
    const said = reasons.map((reason) => ({
      code: reason.code,
      points: reason.points,
      sentence: sentenceOf(reason, names),
    }))
    return [{ jointId, tag, place, line, points, reasons: said }]
  })
}

async function leakedBefore({ scope }: Pick<Ask, 'scope'>, callback: { id: string; systemId: string }) {
  const counts = new Map<string, number>()
  for (const other of await listCallbacksOfSystem(scope, callback.systemId)) {
    if (other.id === callback.id) continue
    const found = new Set(other.findings.flatMap(({ jointId }) => jointId ?? []))
    for (const jointId of found) counts.set(jointId, (counts.get(jointId) ?? 0) + 1)
  }
  return counts
}

/** Of each joint the groups that stand out, by the making that is in service. */
async function flaggedGroupsOf({ scope, now }: Pick<Ask, 'scope' | 'now'>, jointIds: readonly string[]) {
  const span = { from: 0, to: now }
  const lives = new Map((await listLivesOf(scope, jointIds)).map((life) => [life.jointId, life]))
  const flagged = new Map<string, FlaggedGroupOf[]>()
  for (const dimension of LOOK_FIRST_DIMENSIONS) {
    const { reliability } = await judgeGroupsBy(scope, [dimension], span, now)
    for (const group of reliability.groups) {
      if (!group.flagged) continue
      for (const [jointId, life] of lives) {
        if (KEY_OF[dimension](life) !== group.key) continue
        const { key, events, expectedEvents: expected } = group
        flagged.set(jointId, [...(flagged.get(jointId) ?? []), { dimension, key, events, expected }])
      }
    }
  }
  return flagged
}

// ---------------------------------------------------------------- in words

const torque = (nm: number) => formatQuantity(nm, 'N.m')
const range = ({ lowNm, highNm }: { lowNm: number; highNm: number }) =>
  `${formatNumber(lowNm)}–${formatNumber(highNm)}\u00a0${UNIT_LABELS['N.m']}`

function sentenceOf(reason: LookFirstReason, names: Map<string, string>): string {
  const words = say.lookFirst
  switch (reason.code) {
    case 'leak-found-open':
      return words.leakFoundOpen
    case 'leaked-before':
      return words.leakedBefore(reason.count)
    case 'torque-outside':
      return reason.verdict === 'low'
        ? words.torqueBelow(torque(reason.appliedNm), range(reason))
        : words.torqueAbove(torque(reason.appliedNm), range(reason))
    case 'torque-not-proven':
      return words.torqueNotProven(torque(reason.appliedNm), range(reason))
    case 'torque-near-edge':
      return reason.edge === 'low'
        ? words.torqueNearLow(torque(reason.appliedNm), range(reason))
        : words.torqueNearHigh(torque(reason.appliedNm), range(reason))
    case 'torque-not-known':
      return words.torqueNotKnown
    case 'torque-off-since':
      return reason.judgement === 'fails'
        ? words.torqueOffFails(reason.instrument, reason.real)
        : words.torqueOffDoubtful(reason.instrument, reason.real)
    case 'instrument-off':
      return words.instrumentOff(coded(reason.kind), reason.instrument)
    case 'never-leak-checked':
      return words.neverLeakChecked
    case 'leak-check-stale':
      return words.leakCheckStale(reason.reason)
    case 'leak-check-weak':
      return words.leakCheckWeak(reason.seenKgPerYear === null ? null : gramsAYear(reason.seenKgPerYear))
    case 'no-test':
      return words.noTest
    case 'blind-tests':
      return words.blindTests(gramsAYear(reason.seenKgPerYear), Math.round(reason.holdS / 60))
    case 'conceded':
      return words.conceded(
        REQUIREMENTS.find(({ code }) => code === reason.requirement)?.title ?? reason.requirement,
      )
    case 'remade':
      return words.remade(reason.times)
    case 'corrected':
      return words.corrected(reason.count)
    case 'group-flagged': {
      const { dimension, key, events, expected } = reason.group
      return words.groupFlagged(
        words.dimensions[dimension],
        labelOf(dimension, key, names),
        events,
        formatNumber(Number(expected.toPrecision(2))),
      )
    }
    case 'not-made':
      return words.notMade
    case 'left-out':
      return words.leftOut(reason.reason)
    case 'not-ours':
      return words.notOurs
  }
}
