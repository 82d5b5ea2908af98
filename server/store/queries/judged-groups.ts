// How do the groups of a company's joints compare, as the rules judge them?

import { answersFor, exposureOf, KEY_OF, type Life, leavingOf, type Span } from '../../rules/cohorts.ts'
import {
  type FoundLeak,
  judgeGroups,
  judgeReliability,
  type Reliability,
} from '../../rules/judge-reliability.ts'
import type { ReliabilityDimension } from '../../vocabulary.ts'
import type { Scope } from '../store.ts'
import { grouped } from './grouped.ts'
import { type GroupKey, type Leaked, listCohorts, listLeaked, listServed } from './reliability.ts'

export async function judgeGroupsBy(
  scope: Scope,
  dimensions: readonly ReliabilityDimension[],
  span: Span,
  now: number,
): Promise<{ reliability: Reliability; leaks: Leaked[] }> {
  const leaks = await listLeaked(scope, span, dimensions)
  const [only] = dimensions
  const reliability =
    only !== undefined && dimensions.length === 1
      ? judgeGroups(await servedBy(scope, only, span, now), foundOn(leaks, dimensions))
      : judgeReliability(await jointsByPair(scope, dimensions, now), span)
  return { reliability, leaks }
}

/** The values of each dimension that a group's key is made of. */
export function groupOf(dimensions: readonly ReliabilityDimension[], key: string): GroupKey {
  const parts = dimensions.length === 1 ? [key] : key.split('|')
  return dimensions.map((dimension, index) => ({ dimension, key: parts[index] ?? '' }))
}

/** From sums by month, so that it costs the same however many joints there are. */
async function servedBy(scope: Scope, by: ReliabilityDimension, span: Span, now: number) {
  const rows = await listCohorts(scope, by)
  return [...grouped(rows, ({ key }) => key)].map(([key, own]) => ({ key, ...exposureOf(own, span, now) }))
}

/** There are too many pairs of groups to keep sums of: they are counted from each joint. */
async function jointsByPair(scope: Scope, dimensions: readonly ReliabilityDimension[], now: number) {
  return (await listServed(scope, dimensions)).map((life) => ({
    key: keyFor(life, dimensions, life.flaredBy),
    systemId: life.systemId,
    signedOffAt: life.signedOffAt,
    endAt: leavingOf(life) ?? now,
    leak:
      life.leakAt === null || life.leakCallbackId === null
        ? null
        : {
            callbackId: life.leakCallbackId,
            at: life.leakAt,
            key: keyFor(life, dimensions, answersFor(life)),
          },
  }))
}

export const foundOn = (leaks: readonly Leaked[], dimensions: readonly ReliabilityDimension[]): FoundLeak[] =>
  leaks.map((leak) => ({
    key: keyFor(leak, dimensions, answersFor(leak)),
    callbackId: leak.leakCallbackId,
    systemId: leak.systemId,
    ageMs: leak.leakAt - leak.signedOffAt,
  }))

/** Of a life that was read with the columns of these dimensions. */
export const keyFor = (
  life: Partial<Life>,
  dimensions: readonly ReliabilityDimension[],
  person: string,
): string =>
  // Keys of a pair are told apart at the bar, which what people write for a place must not bring in.
  dimensions
    .map((one) => (one === 'technician' ? person : KEY_OF[one](life as Life)))
    .map((part) => (dimensions.length === 1 ? part : part.replaceAll('|', '/')))
    .join('|')
