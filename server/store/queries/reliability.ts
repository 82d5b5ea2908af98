// How long have the joints of a company served, which of them leaked, and how was each made? Read from the projections.

import {
  and,
  asc,
  count,
  desc,
  eq,
  gt,
  gte,
  inArray,
  isNotNull,
  isNull,
  lte,
  ne,
  or,
  type SQL,
  sql,
  sum,
} from 'drizzle-orm'
import { answersFor, type CohortRow, type Life, type Span } from '../../rules/cohorts.ts'
import { type ReliabilityDimension, ROLLUP_PARTS, type RollupDimension } from '../../vocabulary.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'

/** What is added up of makings that were in service; the inspections are counted apart. */
const LIFE_PARTS = ROLLUP_PARTS.filter((part) => part !== 'inspected' && part !== 'accepted')

/** The sums of one dimension; with a key, only its own. */
export async function listCohorts(
  { db, t, companyId }: Scope,
  dimension: RollupDimension,
  key?: string,
): Promise<CohortRow[]> {
  const { serviceCohorts: c } = t
  return db
    .select({
      dimension: c.dimension,
      key: c.key,
      part: c.part,
      period: c.period,
      count: c.count,
      offsetMs: c.offsetMs,
    })
    .from(c)
    .where(
      and(
        eq(c.companyId, companyId),
        eq(c.dimension, dimension),
        key === undefined ? undefined : eq(c.key, key),
        inArray(c.part, LIFE_PARTS),
        ne(c.count, 0),
      ),
    )
    .orderBy(asc(c.key), asc(c.part), asc(c.period))
}

/** How many first makings of flares were inspected on these days, and how many of those were accepted at once. */
export async function countFirstFlares(
  { db, t, companyId }: Scope,
  days: { from: number; to: number },
): Promise<{ inspected: number; accepted: number }> {
  const { serviceCohorts: c } = t
  const rows = await db
    .select({ part: c.part, number: sum(c.count) })
    .from(c)
    .where(
      and(
        eq(c.companyId, companyId),
        eq(c.dimension, 'all'),
        eq(c.key, ''),
        inArray(c.part, ['inspected', 'accepted']),
        gte(c.period, days.from),
        lte(c.period, days.to),
      ),
    )
    .groupBy(c.part)
  const of = (part: string) => Number(rows.find((row) => row.part === part)?.number ?? 0)
  return { inspected: of('inspected'), accepted: of('accepted') }
}

/** What is asked of a leak: who it counts against, how old the joint was, and by which columns it is grouped. */
export type Leaked = Pick<Life, 'systemId' | 'signedOffAt' | 'flaredBy' | 'torquedBy' | 'leakCause'> & {
  leakAt: number
  leakCallbackId: string
} & Partial<Life>

/** Joints that leaked within a span, oldest leak first; with the columns that these dimensions are read from. */
export async function listLeaked(
  { db, t, companyId }: Scope,
  span: Span,
  dimensions: readonly RollupDimension[],
): Promise<Leaked[]> {
  const { serviceLives: l } = t
  const rows = await db
    .select({
      systemId: l.systemId,
      signedOffAt: l.signedOffAt,
      flaredBy: l.flaredBy,
      torquedBy: l.torquedBy,
      leakCause: l.leakCause,
      leakAt: l.leakAt,
      leakCallbackId: l.leakCallbackId,
      ...columnsOf(l, dimensions),
    })
    .from(l)
    .where(and(eq(l.companyId, companyId), gte(l.leakAt, span.from), lte(l.leakAt, span.to)))
    .orderBy(asc(l.leakAt), asc(l.id))
  return rows as Leaked[]
}

const columnsOf = (l: Tables['serviceLives'], dimensions: readonly RollupDimension[]) =>
  Object.fromEntries(dimensions.flatMap((dimension) => COLUMNS_OF[dimension]).map((name) => [name, l[name]]))

const COLUMNS_OF: Record<RollupDimension, (keyof Life)[]> = {
  all: [],
  position: ['place', 'line'],
  tubeOd: ['tubeOdM'],
  kind: ['kind'],
  flareMethod: ['flareMethod'],
  flaringTool: ['flaringToolId'],
  wrench: ['wrenchId'],
  technician: [],
  model: ['model'],
  refrigerant: ['refrigerant'],
  month: ['madeAt'],
}

/** What is asked of a joint in service where joints are counted one by one. */
export type Served = Pick<
  Life,
  | 'systemId'
  | 'signedOffAt'
  | 'endedAt'
  | 'flaredBy'
  | 'torquedBy'
  | 'leakAt'
  | 'leakCallbackId'
  | 'leakCause'
> &
  Partial<Life>

/** Every making that was in service, with the columns that these dimensions are read from: what pairs are counted from. */
export async function listServed(
  { db, t, companyId }: Scope,
  dimensions: readonly RollupDimension[],
): Promise<Served[]> {
  const { serviceLives: l } = t
  const rows = await db
    .select({
      systemId: l.systemId,
      signedOffAt: l.signedOffAt,
      endedAt: l.endedAt,
      flaredBy: l.flaredBy,
      torquedBy: l.torquedBy,
      leakAt: l.leakAt,
      leakCallbackId: l.leakCallbackId,
      leakCause: l.leakCause,
      ...columnsOf(l, dimensions),
    })
    .from(l)
    .where(and(eq(l.companyId, companyId), eq(l.served, true)))
    .orderBy(asc(l.madeAt), asc(l.id))
  return rows as Served[]
}

export type LifeWithTag = Life & { tag: string }

/** Of which values of which dimensions the joints of a group are. */
export type GroupKey = readonly { dimension: ReliabilityDimension; key: string }[]

/** The joints of a group that leaked within a span, the last leak first. */
export async function listLeakedOf(
  { db, t, companyId }: Scope,
  group: GroupKey,
  span: Span,
  limit: number,
): Promise<LifeWithTag[]> {
  const { serviceLives: l } = t
  const rows = await db
    .select({ life: l, tag: t.joints.tag })
    .from(l)
    .innerJoin(t.joints, and(eq(t.joints.companyId, l.companyId), eq(t.joints.id, l.jointId)))
    .where(
      and(
        eq(l.companyId, companyId),
        gte(l.leakAt, span.from),
        lte(l.leakAt, span.to),
        ...group.map(({ dimension, key }) =>
          dimension === 'technician'
            ? or(eq(l.flaredBy, key), eq(l.torquedBy, key))
            : isOf(l, dimension, key),
        ),
      ),
    )
    .orderBy(desc(l.leakAt), desc(l.id))
    .limit(limit)
  const persons = group.filter(({ dimension }) => dimension === 'technician')
  return rows
    .filter(({ life }) => persons.every(({ key }) => answersFor(life) === key))
    .map(({ life, tag }) => ({ ...life, tag }))
}

/** The joints of a group that were in service within a span and did not leak in it, made last first. */
export async function listTight(
  { db, t, companyId }: Scope,
  group: GroupKey,
  span: Span,
  limit: number,
): Promise<LifeWithTag[]> {
  const { serviceLives: l } = t
  const rows = await db
    .select({ life: l, tag: t.joints.tag })
    .from(l)
    .innerJoin(t.joints, and(eq(t.joints.companyId, l.companyId), eq(t.joints.id, l.jointId)))
    .where(
      and(
        eq(l.companyId, companyId),
        eq(l.served, true),
        lte(l.signedOffAt, span.to),
        or(isNull(l.endedAt), gte(l.endedAt, span.from)),
        or(isNull(l.leakAt), gt(l.leakAt, span.to)),
        ...group.map(({ dimension, key }) => isOf(l, dimension, key)),
      ),
    )
    .orderBy(desc(l.madeAt), desc(l.id))
    .limit(limit)
  return rows.map(({ life, tag }) => ({ ...life, tag }))
}

/** A joint in service with where it is, and by which sheet it is judged. */
export interface JointInService extends LifeWithTag {
  sheetId: string | null
  systemName: string
  siteId: string
  customerName: string
  address: string
}

/** The joints of a group that are in service now and never leaked, signed off last first. */
export async function listInService(
  { db, t, companyId }: Scope,
  group: GroupKey,
  limit: number,
): Promise<JointInService[]> {
  const { serviceLives: l } = t
  const rows = await db
    .select({
      life: l,
      tag: t.joints.tag,
      sheetId: t.systems.equipmentSheetId,
      systemName: t.systems.name,
      siteId: t.sites.id,
      customerName: t.sites.customerName,
      address: t.sites.address,
    })
    .from(l)
    .innerJoin(t.joints, and(eq(t.joints.companyId, l.companyId), eq(t.joints.id, l.jointId)))
    .innerJoin(t.systems, and(eq(t.systems.companyId, l.companyId), eq(t.systems.id, l.systemId)))
    .innerJoin(t.sites, and(eq(t.sites.companyId, t.systems.companyId), eq(t.sites.id, t.systems.siteId)))
    .where(
      and(
        eq(l.companyId, companyId),
        eq(l.served, true),
        isNull(l.endedAt),
        isNull(l.leakAt),
        ...group.map(({ dimension, key }) => isOf(l, dimension, key)),
      ),
    )
    .orderBy(desc(l.signedOffAt), desc(l.id))
    .limit(limit)
  return rows.map(({ life, ...beside }) => ({ ...life, ...beside }))
}

/** The joints of ours that a callback found leaking. */
export async function listLeakedBy({ db, t, companyId }: Scope, callbackId: string): Promise<LifeWithTag[]> {
  const { serviceLives: l } = t
  const rows = await db
    .select({ life: l, tag: t.joints.tag })
    .from(l)
    .innerJoin(t.joints, and(eq(t.joints.companyId, l.companyId), eq(t.joints.id, l.jointId)))
    .where(and(eq(l.companyId, companyId), eq(l.leakCallbackId, callbackId)))
    .orderBy(asc(l.leakAt), asc(l.id))
  return rows.map(({ life, tag }) => ({ ...life, tag }))
}

function isOf(l: Tables['serviceLives'], dimension: ReliabilityDimension, key: string): SQL | undefined {
  const orNone = (column: Parameters<typeof isNull>[0]) =>
    key === 'not-known' ? isNull(column as never) : eq(column as never, key)
  switch (dimension) {
    case 'position': {
      const at = key.lastIndexOf('/')
      return and(eq(l.place, key.slice(0, at)), eq(l.line, key.slice(at + 1) as Life['line']))
    }
    case 'tubeOd':
      return eq(l.tubeOdM, Number(key))
    case 'kind':
      return eq(l.kind, key as Life['kind'])
    case 'flareMethod':
      return orNone(l.flareMethod)
    case 'flaringTool':
      return orNone(l.flaringToolId)
    case 'wrench':
      return orNone(l.wrenchId)
    case 'technician':
      return eq(l.flaredBy, key)
    case 'model':
      return orNone(l.model)
    case 'refrigerant':
      return eq(l.refrigerant, key)
    case 'month': {
      const from = Date.parse(`${key}-01T00:00:00Z`)
      const to = new Date(from).setUTCMonth(new Date(from).getUTCMonth() + 1)
      return Number.isNaN(from) ? sql`1 = 0` : and(gte(l.madeAt, from), lte(l.madeAt, to - 1))
    }
  }
}

/** The makings of a company that were signed off last: a sample of what is usual in it. */
export async function listServedLately({ db, t, companyId }: Scope, limit: number): Promise<Life[]> {
  const { serviceLives: l } = t
  return db
    .select()
    .from(l)
    .where(and(eq(l.companyId, companyId), eq(l.served, true)))
    .orderBy(desc(l.madeAt), desc(l.id))
    .limit(limit)
}

/** The causes of what callbacks of these days found, with how often, the most frequent first. */
export async function countFoundCauses(
  { db, t, companyId }: Scope,
  span: Span,
): Promise<{ cause: string; number: number }[]> {
  const rows = await db
    .select({ cause: t.callbackFindings.cause, number: count() })
    .from(t.callbacks)
    .innerJoin(
      t.callbackFindings,
      and(
        eq(t.callbackFindings.companyId, t.callbacks.companyId),
        eq(t.callbackFindings.callbackId, t.callbacks.id),
      ),
    )
    .where(
      and(
        eq(t.callbacks.companyId, companyId),
        gte(t.callbacks.reportedAt, span.from),
        lte(t.callbacks.reportedAt, span.to),
      ),
    )
    .groupBy(t.callbackFindings.cause)
  return rows
    .map(({ cause, number }) => ({ cause, number: Number(number) }))
    .sort((a, b) => b.number - a.number || a.cause.localeCompare(b.cause, 'en'))
}

/** The last nuts of one size whose wrench showed what it read, in the order in which they were pulled. */
export async function listTorquesRead(
  { db, t, companyId }: Scope,
  tubeOdM: number,
  span: Span,
  limit: number,
): Promise<(LifeWithTag & { torqueNm: number; sheetId: string | null })[]> {
  const { serviceLives: l } = t
  const rows = await db
    .select({ life: l, tag: t.joints.tag, sheetId: t.systems.equipmentSheetId })
    .from(l)
    .innerJoin(t.joints, and(eq(t.joints.companyId, l.companyId), eq(t.joints.id, l.jointId)))
    .innerJoin(t.systems, and(eq(t.systems.companyId, l.companyId), eq(t.systems.id, l.systemId)))
    .where(
      and(
        eq(l.companyId, companyId),
        eq(l.tubeOdM, tubeOdM),
        isNotNull(l.torqueNm),
        gte(l.madeAt, span.from),
        lte(l.madeAt, span.to),
      ),
    )
    .orderBy(desc(l.madeAt), desc(l.id))
    .limit(limit)
  return rows
    .map(({ life, tag, sheetId }) => ({ ...life, tag, sheetId, torqueNm: life.torqueNm ?? 0 }))
    .reverse()
}
