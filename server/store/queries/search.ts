// What does somebody mean who has a serial, a tag, a name, an address or a job's reference, whole, in part or mistyped?

import { and, asc, eq, gte, inArray, lt, sql } from 'drizzle-orm'
import type { JobKind, JobStage, SearchKind } from '../../vocabulary.ts'
import {
  backwards,
  bareMark,
  foldMark,
  slipsBetween,
  slipsForgiven,
  withoutOne,
  wordsIn,
} from '../likeness.ts'
import { prepared } from '../prepared.ts'
import { mayBeMistyped, serialKey, TAIL, tagKey, wordKey } from '../search-terms.ts'
import type { Scope } from '../store.ts'
import { grouped } from './grouped.ts'

/** How much of what was typed is there: the whole mark, one that looks alike, its beginning, its end, words, or nearly. */
export type MatchedHow = 'exact' | 'look-alike' | 'beginning' | 'end' | 'words' | 'near'

export interface Matched {
  by: 'serial' | 'tag' | 'reference' | 'customer' | 'address'
  /** As it is written in the record. */
  value: string
  how: MatchedHow
  /** How many slips lie between, where it is only near. */
  slips: number
}

interface At {
  siteId: string
  customerName: string
  address: string
}

export type SearchHit = { matched: Matched } & (
  | ({
      kind: 'joint'
      id: string
      systemId: string
      systemName: string
      place: string
      line: 'liquid' | 'gas'
      retired: boolean
    } & At)
  | ({
      kind: 'unit'
      id: string
      systemId: string
      systemName: string
      name: string
      model: string
      /** It was taken out; another may stand in its place. */
      removed: boolean
    } & At)
  | ({ kind: 'system'; id: string; name: string } & At)
  | ({ kind: 'site'; id: string; systems: { id: string; name: string }[] } & At)
  | ({ kind: 'job'; id: string; jobKind: JobKind; stage: JobStage; openedAt: number } & At)
  | { kind: 'instrument'; id: string; name: string; instrumentKind: string; active: boolean }
)

export interface SearchAnswer {
  hits: SearchHit[]
  /** There is more of this than is shown: type more of it. */
  more: boolean
}

/** Of one kind of thing; more than this is no answer but a list. */
const SHOWN = 8
/** Words that more sites than this have in common say nothing by themselves. */
const COMMON = 120
/** How many sites are looked through where all words are common. */
const LOOKED_THROUGH = 2000
/** How many neighbours of a mistyped mark are compared with it, sign by sign. */
const COMPARED = 400
/** How many serials that begin as it does are compared where nothing is near by its last signs. */
const ALIKE_BEGUN = 2500

/** Comes after everything that begins with what stands before it. */
const END = '\uffff'

/** The best first. Empty for what is too short to mean anything. */
export async function search(scope: Scope, typed: string, shown = SHOWN): Promise<SearchAnswer> {
  const mark = foldMark(typed)
  const words = wordsIn(typed)
  if ([...mark].length < 2) return { hits: [], more: false }
  const query: Query = { mark, bare: bareMark(typed), typed: typed.trim(), words, limit: shown + 1 }
  const joints = await jointsTagged(scope, query)
  const units = await unitsBySerial(scope, query)
  const systems = joints.length > 0 ? [] : await systemsByTag(scope, query)
  const instruments = await instrumentsBySerial(scope, query)
  const jobs = await jobsByReference(scope, query)
  const sites = await sitesByWords(scope, query)
  const found: SearchHit[][] = [joints, units, systems, instruments, jobs, sites]
  const isMark = /\d/.test(typed) || words.length === 1
  const noMark = [joints, units, systems, instruments].every((hits) => hits.length === 0)
  if (noMark && isMark && (sites.length === 0 || /\d/.test(typed)))
    found.push(await nearSerials(scope, query), await nearTags(scope, query))
  if (found.every((hits) => hits.length === 0)) found.push(await nearWords(scope, query))
  return {
    hits: found
      .flatMap((hits) => hits.slice(0, shown))
      .map((hit, index) => ({ hit, index }))
      .sort((a, b) => weightOf(b.hit.matched) - weightOf(a.hit.matched) || a.index - b.index)
      .map(({ hit }) => hit),
    more: found.some((hits) => hits.length > shown),
  }
}

interface Query {
  /** Everything that was typed as one mark, folded; and before it was folded. */
  mark: string
  bare: string
  typed: string
  words: string[]
  /** One more than is shown, to know whether there is more. */
  limit: number
}

const WEIGHTS: Record<MatchedHow, number> = {
  exact: 100,
  'look-alike': 90,
  words: 80,
  beginning: 70,
  end: 60,
  near: 50,
}
const weightOf = ({ how, slips }: Matched) => WEIGHTS[how] - slips

/** How a mark that begins or ends with what was typed, folded, has to do with it. */
function matchedMark(by: Matched['by'], value: string, query: Query, part: 'beginning' | 'end'): Matched {
  const whole = foldMark(value) === query.mark
  const how = !whole ? part : bareMark(value) === query.bare ? 'exact' : 'look-alike'
  return { by, value, how, slips: 0 }
}

// ---------------------------------------------------------------- terms

/** The things whose term begins like this, by term. */
async function beginning(scope: Scope, kind: SearchKind, begin: string, limit: number) {
  return prepared<{ term: string; subjectId: string }>(scope, 'search_beginning', ({ db, t }) =>
    db
      .select({ term: t.searchTerms.term, subjectId: t.searchTerms.subjectId })
      .from(t.searchTerms)
      .where(
        and(
          eq(t.searchTerms.companyId, sql.placeholder('companyId')),
          eq(t.searchTerms.kind, sql.placeholder('kind')),
          gte(t.searchTerms.term, sql.placeholder('from')),
          lt(t.searchTerms.term, sql.placeholder('to')),
        ),
      )
      .orderBy(asc(t.searchTerms.term), asc(t.searchTerms.subjectId))
      .limit(sql.placeholder('limit')),
  ).execute({ companyId: scope.companyId, kind, from: begin, to: `${begin}${END}`, limit })
}

/** The things that have one of these terms. */
async function withTerms(
  { db, t, companyId }: Scope,
  kinds: SearchKind[],
  terms: readonly string[],
  limit: number,
) {
  if (terms.length === 0) return []
  return db
    .select({ term: t.searchTerms.term, subjectId: t.searchTerms.subjectId })
    .from(t.searchTerms)
    .where(
      and(
        eq(t.searchTerms.companyId, companyId),
        inArray(t.searchTerms.kind, kinds),
        inArray(t.searchTerms.term, [...terms]),
      ),
    )
    .limit(limit)
}

/** Terms that share a key with what was typed. */
async function termsByKeys({ db, t, companyId }: Scope, keys: readonly string[]): Promise<string[]> {
  const rows = await db
    .select({ term: t.searchKeys.term })
    .from(t.searchKeys)
    .where(and(eq(t.searchKeys.companyId, companyId), inArray(t.searchKeys.key, [...new Set(keys)])))
    .limit(COMPARED)
  return [...new Set(rows.map((row) => row.term))]
}

// ---------------------------------------------------------------- serials

async function unitsBySerial(scope: Scope, query: Query): Promise<SearchHit[]> {
  const begun = await beginning(scope, 'serial', query.mark, query.limit)
  const ended =
    query.mark.length < 3 ? [] : await beginning(scope, 'serial-end', backwards(query.mark), query.limit)
  const ids = new Set(begun.map((row) => row.subjectId))
  const both = [...ids, ...ended.map((row) => row.subjectId).filter((id) => !ids.has(id))]
  return unitHits(scope, both.slice(0, query.limit), (serial, id) =>
    matchedMark('serial', serial, query, ids.has(id) ? 'beginning' : 'end'),
  )
}

async function unitHits(
  { db, t, companyId }: Scope,
  unitIds: readonly string[],
  matched: (serial: string, id: string) => Matched,
): Promise<SearchHit[]> {
  if (unitIds.length === 0) return []
  const rows = await db
    .select({
      id: t.units.id,
      systemId: t.systems.id,
      systemName: t.systems.name,
      name: t.units.name,
      model: t.units.model,
      serial: t.units.serial,
      removedAt: t.unitRemovals.removedAt,
      siteId: t.sites.id,
      customerName: t.sites.customerName,
      address: t.sites.address,
    })
    .from(t.units)
    .innerJoin(t.systems, and(eq(t.systems.companyId, t.units.companyId), eq(t.systems.id, t.units.systemId)))
    .innerJoin(t.sites, and(eq(t.sites.companyId, t.systems.companyId), eq(t.sites.id, t.systems.siteId)))
    .leftJoin(
      t.unitRemovals,
      and(eq(t.unitRemovals.companyId, t.units.companyId), eq(t.unitRemovals.unitId, t.units.id)),
    )
    .where(and(eq(t.units.companyId, companyId), inArray(t.units.id, [...unitIds])))
  return inOrder(rows, unitIds).map(({ serial, removedAt, ...row }) => ({
    kind: 'unit',
    ...row,
    removed: removedAt !== null,
    matched: matched(serial, row.id),
  }))
}

async function nearSerials(scope: Scope, query: Query): Promise<SearchHit[]> {
  const most = slipsForgiven(query.mark.length)
  if (most === 0) return []
  const { mark } = query
  const tails = [mark.slice(-TAIL), ...withoutOne(mark.slice(-TAIL))]
  // One sign too few, or one too many, moves where the last six begin.
  const keys = [...tails, mark.slice(1 - TAIL), ...withoutOne(mark.slice(-TAIL - 1))].map(serialKey)
  const near = (terms: readonly string[]) =>
    terms
      .map((term) => ({ term, slips: slipsBetween(mark, term, most) }))
      .filter(({ slips }) => slips <= most)
  let terms = near(await termsByKeys(scope, keys))
  if (terms.length === 0 && most > 1 && mark.length > TAIL + 2) {
    // Both slips in the last six: whatever begins the same is compared, as far as that goes.
    const head = mark.slice(0, mark.length - TAIL)
    const begun = await beginning(scope, 'serial', head, ALIKE_BEGUN)
    terms = near([...new Set(begun.map((row) => row.term))])
  }
  const slipsOf = new Map(terms.map(({ term, slips }) => [term, slips]))
  // One serial may stand on many units, entered twice or copied from a plate of the model: the nearest go first.
  const nearest = async (kind: SearchKind) =>
    (await withTerms(scope, [kind], [...slipsOf.keys()], COMPARED))
      .sort((a, b) => (slipsOf.get(a.term) ?? most) - (slipsOf.get(b.term) ?? most))
      .slice(0, query.limit)
  const found = await nearest('serial')
  const tools = await nearest('instrument')
  const matched = (serial: string): Matched => ({
    by: 'serial',
    value: serial,
    how: 'near',
    slips: slipsOf.get(foldMark(serial)) ?? most,
  })
  return [
    ...(await unitHits(
      scope,
      found.map((row) => row.subjectId),
      matched,
    )),
    ...(await instrumentHits(
      scope,
      tools.map((row) => row.subjectId),
      matched,
    )),
  ]
}

async function instrumentsBySerial(scope: Scope, query: Query): Promise<SearchHit[]> {
  if (query.mark.length < 3) return []
  const begun = await beginning(scope, 'instrument', query.mark, query.limit)
  return instrumentHits(
    scope,
    begun.map((row) => row.subjectId),
    (serial) => matchedMark('serial', serial, query, 'beginning'),
  )
}

async function instrumentHits(
  { db, t, companyId }: Scope,
  ids: readonly string[],
  matched: (serial: string) => Matched,
): Promise<SearchHit[]> {
  if (ids.length === 0) return []
  const rows = await db
    .select({
      id: t.instruments.id,
      name: t.instruments.name,
      instrumentKind: t.instruments.kind,
      serial: t.instruments.serial,
      active: t.instruments.active,
    })
    .from(t.instruments)
    .where(and(eq(t.instruments.companyId, companyId), inArray(t.instruments.id, [...ids])))
  return inOrder(rows, ids).map(({ serial, ...row }) => ({
    kind: 'instrument',
    ...row,
    matched: matched(serial),
  }))
}

// ---------------------------------------------------------------- tags

/**
 * Where a tag may be cut into its system's prefix and the number of the joint; the likeliest first. Blanks and dashes
 * count only to tell where it was cut when it was written.
 */
function cutsOf({ mark, typed }: Query): { prefix: string; number: number }[] {
  if (mark.length > 14) return []
  const lastPart = foldMark(
    typed
      .split(/[^\p{L}\p{N}]+/u)
      .filter((part) => part !== '')
      .at(-1) ?? '',
  )
  const written = mark.length - lastPart.length
  return [...mark]
    .map((_, cut) => cut)
    .filter((cut) => cut > 0 && cut <= 8 && /^\d{1,4}$/.test(mark.slice(cut)))
    .sort((a, b) => Number(b === written) - Number(a === written) || b - a)
    .map((cut) => ({ prefix: mark.slice(0, cut), number: Number(mark.slice(cut)) }))
}

async function jointsTagged(scope: Scope, query: Query): Promise<SearchHit[]> {
  const cuts = cutsOf(query)
  const systems = await withTerms(scope, ['tag'], [...new Set(cuts.map(({ prefix }) => prefix))], 40)
  return jointHits(
    scope,
    cuts.flatMap(({ prefix, number }) =>
      systems.filter(({ term }) => term === prefix).map(({ subjectId }) => ({ systemId: subjectId, number })),
    ),
    (tag) => matchedMark('tag', tag, query, 'beginning'),
  )
}

async function nearTags(scope: Scope, query: Query): Promise<SearchHit[]> {
  const cuts = cutsOf(query).slice(0, 2)
  const prefixes = [...new Set(cuts.map(({ prefix }) => prefix))].filter((prefix) => prefix.length >= 2)
  if (prefixes.length === 0) return []
  const terms = await termsByKeys(
    scope,
    prefixes.flatMap((prefix) => [prefix, ...withoutOne(prefix)].map(tagKey)),
  )
  const near = cuts.flatMap(({ prefix, number }) =>
    terms.filter((term) => slipsBetween(prefix, term, 1) === 1).map((term) => ({ term, number })),
  )
  const systems = await withTerms(scope, ['tag'], [...new Set(near.map(({ term }) => term))], 60)
  const named = near.flatMap(({ term, number }) =>
    systems.filter((row) => row.term === term).map(({ subjectId }) => ({ systemId: subjectId, number })),
  )
  return jointHits(scope, named, (tag) => ({
    by: 'tag',
    value: tag,
    how: 'near',
    slips: slipsBetween(query.bare, bareMark(tag), 3),
  }))
}

async function jointHits(
  { db, t, companyId }: Scope,
  named: readonly { systemId: string; number: number }[],
  matched: (tag: string) => Matched,
): Promise<SearchHit[]> {
  if (named.length === 0) return []
  const rows = await db
    .select({
      id: t.joints.id,
      tag: t.joints.tag,
      number: t.joints.number,
      place: t.joints.place,
      line: t.joints.line,
      systemId: t.systems.id,
      systemName: t.systems.name,
      retiredAt: t.jointRetirements.retiredAt,
      siteId: t.sites.id,
      customerName: t.sites.customerName,
      address: t.sites.address,
    })
    .from(t.joints)
    .innerJoin(
      t.systems,
      and(eq(t.systems.companyId, t.joints.companyId), eq(t.systems.id, t.joints.systemId)),
    )
    .innerJoin(t.sites, and(eq(t.sites.companyId, t.systems.companyId), eq(t.sites.id, t.systems.siteId)))
    .leftJoin(
      t.jointRetirements,
      and(eq(t.jointRetirements.companyId, t.joints.companyId), eq(t.jointRetirements.jointId, t.joints.id)),
    )
    .where(
      and(
        eq(t.joints.companyId, companyId),
        inArray(t.joints.systemId, [...new Set(named.map(({ systemId }) => systemId))]),
        inArray(t.joints.number, [...new Set(named.map(({ number }) => number))]),
      ),
    )
  return named
    .flatMap((one) => rows.filter((row) => row.systemId === one.systemId && row.number === one.number))
    .map(({ tag, retiredAt, number: _, ...row }) => ({
      kind: 'joint',
      ...row,
      retired: retiredAt !== null,
      matched: matched(tag),
    }))
    .sort((a, b) => weightOf(b.matched) - weightOf(a.matched)) as SearchHit[]
}

/** Systems whose joints' tags begin like this. */
async function systemsByTag(scope: Scope, query: Query): Promise<SearchHit[]> {
  if (query.mark.length > 8) return []
  const begun = await beginning(scope, 'tag', query.mark, query.limit)
  return systemHits(
    scope,
    begun.map((row) => row.subjectId),
    query,
  )
}

async function systemHits(
  { db, t, companyId }: Scope,
  ids: readonly string[],
  query: Query,
): Promise<SearchHit[]> {
  if (ids.length === 0) return []
  const rows = await db
    .select({
      id: t.systems.id,
      name: t.systems.name,
      tagPrefix: t.systems.tagPrefix,
      siteId: t.sites.id,
      customerName: t.sites.customerName,
      address: t.sites.address,
    })
    .from(t.systems)
    .innerJoin(t.sites, and(eq(t.sites.companyId, t.systems.companyId), eq(t.sites.id, t.systems.siteId)))
    .where(and(eq(t.systems.companyId, companyId), inArray(t.systems.id, [...ids])))
  return inOrder(rows, ids).map(({ tagPrefix, ...row }) => ({
    kind: 'system',
    ...row,
    matched: matchedMark('tag', tagPrefix, query, 'beginning'),
  }))
}

// ---------------------------------------------------------------- jobs

async function jobsByReference(scope: Scope, query: Query): Promise<SearchHit[]> {
  const { db, t, companyId } = scope
  const whole = await beginning(scope, 'reference', query.mark, query.limit)
  const ids = new Set(whole.map((row) => row.subjectId))
  if (query.words.length > 1) {
    const [first, ...others] = [...query.words].map(foldMark).sort((a, b) => b.length - a.length)
    const some = await beginning(scope, 'reference', first ?? '', COMMON)
    const all = grouped(
      await termsOf(
        scope,
        ['reference'],
        some.map((row) => row.subjectId),
      ),
      (row) => row.subjectId,
    )
    for (const [id, terms] of all)
      if (others.every((word) => terms.some(({ term }) => term.startsWith(word)))) ids.add(id)
  }
  if (ids.size === 0) return []
  const rows = await db
    .select({
      id: t.jobs.id,
      reference: t.jobs.reference,
      jobKind: t.jobs.kind,
      stage: t.jobs.stage,
      openedAt: t.jobs.openedAt,
      siteId: t.sites.id,
      customerName: t.sites.customerName,
      address: t.sites.address,
    })
    .from(t.jobs)
    .innerJoin(t.sites, and(eq(t.sites.companyId, t.jobs.companyId), eq(t.sites.id, t.jobs.siteId)))
    .where(and(eq(t.jobs.companyId, companyId), inArray(t.jobs.id, [...ids].slice(0, query.limit))))
  return inOrder(rows, [...ids]).map(({ reference, ...row }) => ({
    kind: 'job',
    ...row,
    matched: matchedMark('reference', reference ?? '', query, 'beginning'),
  }))
}

// ---------------------------------------------------------------- sites

const OF_SITES: SearchKind[] = ['customer', 'address']

async function termsOf({ db, t, companyId }: Scope, kinds: SearchKind[], subjectIds: readonly string[]) {
  if (subjectIds.length === 0) return []
  return db
    .select({ subjectId: t.searchTerms.subjectId, kind: t.searchTerms.kind, term: t.searchTerms.term })
    .from(t.searchTerms)
    .where(
      and(
        eq(t.searchTerms.companyId, companyId),
        inArray(t.searchTerms.kind, kinds),
        inArray(t.searchTerms.subjectId, [...new Set(subjectIds)]),
      ),
    )
}

/** Sites of which every word that was typed begins a word of the customer's name or the address. */
async function sitesByWords(scope: Scope, query: Query): Promise<SearchHit[]> {
  if (query.words.length === 0 || query.words.length > 12) return []
  let few: string[] | null = null
  for (const word of query.words) {
    const ids = await sitesWithWord(scope, word)
    if (ids.length === 0) return []
    if (ids.length <= COMMON && (few === null || ids.length < few.length)) few = ids
  }
  return siteHits(scope, few ?? (await sitesWithCommonWords(scope, query.words)), query, (term, word) =>
    term.startsWith(word),
  )
}

/** At most one more than `COMMON`. */
async function sitesWithWord(scope: Scope, word: string): Promise<string[]> {
  const rows = []
  for (const kind of OF_SITES) rows.push(...(await beginning(scope, kind, word, COMMON + 1)))
  return [...new Set(rows.map((row) => row.subjectId))]
}

/** Every word is common: the sites with the longest of them are looked through for the others. */
async function sitesWithCommonWords(scope: Scope, words: readonly string[]): Promise<string[]> {
  const [first = '', ...others] = [...words].sort((a, b) => b.length - a.length)
  const { companyId } = scope
  const kinds = sql.join(
    OF_SITES.map((kind) => sql`${kind}`),
    sql`, `,
  )
  const has = (word: string) => sql`exists (
    select 1 from search_terms b where b.company_id = ${companyId} and b.subject_id = a.subject_id
      and b.kind in (${kinds}) and b.term >= ${word} and b.term < ${word + END})`
  const some = sql`(select subject_id from search_terms where company_id = ${companyId}
    and kind in (${kinds}) and term >= ${first} and term < ${first + END} limit ${LOOKED_THROUGH}) as a`
  const rows = await scope.db
    .selectDistinct({ subjectId: sql<string>`a.subject_id` })
    .from(some)
    .where(others.length === 0 ? undefined : and(...others.map(has)))
    .limit(COMMON)
  return rows.map((row) => row.subjectId)
}

async function siteHits(
  scope: Scope,
  siteIds: readonly string[],
  query: Query,
  isMeant: (term: string, word: string) => boolean,
  how: 'words' | 'near' = 'words',
): Promise<SearchHit[]> {
  const { db, t, companyId } = scope
  const known = grouped(await termsOf(scope, OF_SITES, siteIds), (row) => row.subjectId)
  const meant = [...known].flatMap(([id, terms]) => {
    const hits = query.words.map((word) => terms.filter(({ term }) => isMeant(term, word)))
    if (hits.some((one) => one.length === 0)) return []
    const whole = hits.filter((one, at) => one.some(({ term }) => term === query.words[at])).length
    const byName = hits.every((one) => one.some(({ kind }) => kind === 'customer'))
    return [{ id, whole, by: byName ? ('customer' as const) : ('address' as const) }]
  })
  const best = meant.sort((a, b) => b.whole - a.whole || (a.id > b.id ? -1 : 1)).slice(0, query.limit)
  if (best.length === 0) return []
  const ids = best.map(({ id }) => id)
  const rows = await db
    .select({ id: t.sites.id, customerName: t.sites.customerName, address: t.sites.address })
    .from(t.sites)
    .where(and(eq(t.sites.companyId, companyId), inArray(t.sites.id, ids)))
  const systems = grouped(
    await db
      .select({ id: t.systems.id, name: t.systems.name, siteId: t.systems.siteId })
      .from(t.systems)
      .where(and(eq(t.systems.companyId, companyId), inArray(t.systems.siteId, ids)))
      .orderBy(asc(t.systems.createdAt), asc(t.systems.id)),
    (row) => row.siteId,
  )
  return inOrder(rows, ids).map((row) => {
    const { by, whole } = best.find(({ id }) => id === row.id) ?? { by: 'address' as const, whole: 0 }
    return {
      kind: 'site',
      id: row.id,
      siteId: row.id,
      customerName: row.customerName,
      address: row.address,
      systems: (systems.get(row.id) ?? []).map(({ id, name }) => ({ id, name })),
      matched: {
        by,
        value: by === 'customer' ? row.customerName : row.address,
        how: how === 'words' && whole < query.words.length ? 'beginning' : how,
        slips: how === 'near' ? 1 : 0,
      },
    }
  })
}

/** The same with words of which each may have a slip in it. */
async function nearWords(scope: Scope, query: Query): Promise<SearchHit[]> {
  if (query.words.length === 0 || query.words.length > 6) return []
  const near = new Map<string, Set<string>>()
  let few: string[] | null = null
  for (const word of query.words) {
    let ids = await sitesWithWord(scope, word)
    if (ids.length === 0) {
      if (!mayBeMistyped(word)) return []
      const terms = (await termsByKeys(scope, [word, ...withoutOne(word)].map(wordKey))).filter(
        (term) => slipsBetween(word, term, 1) <= 1,
      )
      near.set(word, new Set(terms))
      ids = (await withTerms(scope, OF_SITES, terms, COMMON + 1)).map((row) => row.subjectId)
      if (ids.length === 0) return []
    }
    if (few === null || ids.length < few.length) few = ids
  }
  if (near.size === 0) return []
  return siteHits(
    scope,
    few ?? [],
    query,
    (term, word) => term.startsWith(word) || (near.get(word)?.has(term) ?? false),
    'near',
  )
}

function inOrder<Row extends { id: string }>(rows: readonly Row[], ids: readonly string[]): Row[] {
  const byId = new Map(rows.map((row) => [row.id, row]))
  return [...new Set(ids)].flatMap((id) => byId.get(id) ?? [])
}
