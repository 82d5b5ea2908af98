// How often was an instrument used since it was last checked, and when did that become too often?

import { and, asc, count, eq, gt, inArray, isNull, lte, ne, notInArray, or, sql } from 'drizzle-orm'
import { TORQUE_WRENCH_USES } from '../../trade/calibration.ts'
import type { InstrumentKind } from '../../vocabulary.ts'
import { prepared } from '../prepared.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import { grouped } from './grouped.ts'

export type InstrumentUsesRow = Tables['instrumentUses']['$inferSelect']

/** A stretch of an instrument's life: after one check, up to the next one or until now. */
export interface Stretch {
  instrumentId: string
  /** The check that it begins with; null: from the first use. */
  since: number | null
  until: number
}

export interface UseCount {
  /** Steps that name it: each of a wrench's steps is one torque applied. */
  recorded: number
  /** Counted by hand, for use that no record tells of. */
  byHand: number
  total: number
  limit: number
  /** The use with which the limit was reached; null while it was not. */
  reachedAt: number | null
}

/** Uses after which a kind is due again whatever the date; null where none are counted. */
export const usesLimit = (kind: InstrumentKind): number | null =>
  kind === 'torque-wrench' ? TORQUE_WRENCH_USES : null

/**
 * In the order of the stretches. Counted in the index alone, a stretch at a time: the steps themselves are not read, save
 * the few that a correction took the place of or that no manager has let take one yet, which count once between them.
 */
export async function countUses(
  scope: Scope,
  stretches: readonly Stretch[],
  limit: number = TORQUE_WRENCH_USES,
): Promise<UseCount[]> {
  if (stretches.length === 0) return []
  const ids = [...new Set(stretches.map(({ instrumentId }) => instrumentId))]
  const byHand = grouped(await listUsesByHand(scope, ids), ({ instrumentId }) => instrumentId)
  const notCounted = grouped(await stepsNotCounted(scope, ids), ({ instrumentId }) => instrumentId ?? '')
  const counts: UseCount[] = []
  for (const stretch of stretches) {
    const inside = insideOf(stretch)
    const hand = inside(byHand.get(stretch.instrumentId))
    const without = inside(notCounted.get(stretch.instrumentId)).map(({ id }) => id)
    const recorded = (await countSteps(scope, stretch)) - without.length
    const handSum = hand.reduce((sum, { uses }) => sum + uses, 0)
    const total = Math.max(0, recorded + handSum)
    const reachedAt = total < limit ? null : await reachedBy(scope, stretch, hand, without, limit)
    counts.push({ recorded, byHand: handSum, total, limit, reachedAt })
  }
  return counts
}

export async function listUsesByHand(
  { db, t, companyId }: Scope,
  instrumentIds: readonly string[],
): Promise<InstrumentUsesRow[]> {
  return db
    .select()
    .from(t.instrumentUses)
    .where(
      and(
        eq(t.instrumentUses.companyId, companyId),
        inArray(t.instrumentUses.instrumentId, [...instrumentIds]),
      ),
    )
    .orderBy(asc(t.instrumentUses.at), asc(t.instrumentUses.id))
}

const insideOf =
  ({ since, until }: Stretch) =>
  <Row extends { at: number }>(rows: readonly Row[] | undefined): Row[] =>
    (rows ?? []).filter(({ at }) => at <= until && (since === null || at > since))

const FROM_THE_FIRST = Number.MIN_SAFE_INTEGER

async function countSteps(scope: Scope, { instrumentId, since, until }: Stretch): Promise<number> {
  const [row] = await prepared<{ uses: number }>(scope, 'instrument_steps_count', ({ db, t }) =>
    db
      .select({ uses: count() })
      .from(t.steps)
      .where(
        and(
          eq(t.steps.companyId, sql.placeholder('companyId')),
          eq(t.steps.instrumentId, sql.placeholder('instrumentId')),
          gt(t.steps.performedAt, sql.placeholder('since')),
          lte(t.steps.performedAt, sql.placeholder('until')),
        ),
      ),
  ).execute({ companyId: scope.companyId, instrumentId, since: since ?? FROM_THE_FIRST, until })
  return row?.uses ?? 0
}

/** Steps whose place another one took, and those that would take one but may not yet. */
async function stepsNotCounted({ db, t, companyId }: Scope, instrumentIds: readonly string[]) {
  const decided = and(
    eq(t.correctionDecisions.companyId, t.corrections.companyId),
    eq(t.correctionDecisions.correctionId, t.corrections.id),
  )
  const about = (column: typeof t.corrections.factId) =>
    and(eq(t.steps.companyId, t.corrections.companyId), eq(t.steps.id, column))
  const ofThese = and(
    eq(t.corrections.companyId, companyId),
    eq(t.corrections.factTable, 'steps'),
    inArray(t.steps.instrumentId, [...instrumentIds]),
  )
  const fields = { id: t.steps.id, instrumentId: t.steps.instrumentId, at: t.steps.performedAt }
  const superseded = await db
    .select(fields)
    .from(t.corrections)
    .innerJoin(t.correctionDecisions, decided)
    .innerJoin(t.steps, about(t.corrections.factId))
    .where(and(ofThese, eq(t.correctionDecisions.state, 'accepted')))
  const notYet = await db
    .select(fields)
    .from(t.corrections)
    .innerJoin(t.steps, about(t.corrections.replacementId))
    .leftJoin(t.correctionDecisions, decided)
    .where(and(ofThese, or(isNull(t.correctionDecisions.state), ne(t.correctionDecisions.state, 'accepted'))))
  // What took a place and lost it to a later correction is in both.
  return [...new Map([...superseded, ...notYet].map((row) => [row.id, row])).values()]
}

/** The moment with which recorded uses and those counted by hand together came to the limit. */
async function reachedBy(
  scope: Scope,
  stretch: Stretch,
  hand: readonly InstrumentUsesRow[],
  without: readonly string[],
  limit: number,
): Promise<number | null> {
  const found: number[] = []
  // With what had been counted by hand up to each of those counts, how many recorded uses were still wanting?
  for (const upTo of [null, ...hand.map(({ at }) => at)]) {
    const counted = hand.filter(({ at }) => upTo !== null && at <= upTo)
    const wanting = limit - counted.reduce((sum, { uses }) => sum + uses, 0)
    const usedAt = wanting <= 0 ? upTo : await nthStepAt(scope, stretch, without, wanting)
    if (usedAt !== null) found.push(Math.max(usedAt, upTo ?? usedAt))
  }
  return found.length === 0 ? null : Math.min(...found)
}

async function nthStepAt(
  scope: Scope,
  { instrumentId, since, until }: Stretch,
  without: readonly string[],
  n: number,
): Promise<number | null> {
  const { db, t, companyId } = scope
  const [row] = await db
    .select({ at: t.steps.performedAt })
    .from(t.steps)
    .where(
      and(
        eq(t.steps.companyId, companyId),
        eq(t.steps.instrumentId, instrumentId),
        gt(t.steps.performedAt, since ?? FROM_THE_FIRST),
        lte(t.steps.performedAt, until),
        without.length === 0 ? undefined : notInArray(t.steps.id, [...without]),
      ),
    )
    .orderBy(asc(t.steps.performedAt))
    .limit(1)
    .offset(n - 1)
  return row?.at ?? null
}

/** As many entries of the index as the limit says are looked at, however often it was used. */
async function mayBeSpent(
  scope: Scope,
  { instrumentId, since, until }: Stretch,
  n: number,
): Promise<boolean> {
  if (n <= 0) return true
  const rows = await prepared<{ at: number }>(scope, 'instrument_step_nth', ({ db, t }) =>
    db
      .select({ at: t.steps.performedAt })
      .from(t.steps)
      .where(
        and(
          eq(t.steps.companyId, sql.placeholder('companyId')),
          eq(t.steps.instrumentId, sql.placeholder('instrumentId')),
          gt(t.steps.performedAt, sql.placeholder('since')),
          lte(t.steps.performedAt, sql.placeholder('until')),
        ),
      )
      .orderBy(asc(t.steps.performedAt))
      .limit(1)
      .offset(sql.placeholder('before')),
  ).execute({
    companyId: scope.companyId,
    instrumentId,
    since: since ?? FROM_THE_FIRST,
    until,
    before: n - 1,
  })
  return rows.length > 0
}

/** Which of some checks were used up before the next one, and when: by the id of the check. */
export async function listSpentChecks(
  scope: Scope,
  wrenches: readonly { id: string; checks: readonly { id: string; at: number }[] }[],
  limit: number = TORQUE_WRENCH_USES,
): Promise<Map<string, number>> {
  const spent = new Map<string, number>()
  if (wrenches.length === 0) return spent
  const byHand = grouped(
    await listUsesByHand(
      scope,
      wrenches.map(({ id }) => id),
    ),
    ({ instrumentId }) => instrumentId,
  )
  for (const { id: instrumentId, checks } of wrenches) {
    const added = (byHand.get(instrumentId) ?? []).reduce((sum, { uses }) => sum + Math.max(0, uses), 0)
    for (const [index, check] of checks.entries()) {
      const stretch = {
        instrumentId,
        since: check.at,
        until: checks[index + 1]?.at ?? Number.MAX_SAFE_INTEGER,
      }
      if (!(await mayBeSpent(scope, stretch, limit - added))) continue
      const inside = insideOf(stretch)
      const without = inside(await stepsNotCounted(scope, [instrumentId])).map(({ id }) => id)
      const spentAt = await reachedBy(scope, stretch, inside(byHand.get(instrumentId)), without, limit)
      if (spentAt !== null) spent.set(check.id, spentAt)
    }
  }
  return spent
}
