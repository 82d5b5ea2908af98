// What is each named thing found by, and how is that kept with it? Called in the transaction that names the thing.

import { and, asc, eq, gt, inArray } from 'drizzle-orm'
import type { SearchKind } from '../vocabulary.ts'
import { backwards, foldMark, withoutOne, wordsIn } from './likeness.ts'
import type { Scope, Store } from './store.ts'
import { scopeOf } from './store.ts'

export interface Findable {
  /** A unit, a system, an instrument, a job or a site. */
  subjectId: string
  terms: { kind: SearchKind; term: string }[]
  keys: { key: string; term: string }[]
}

/**
 * Serials of one maker begin alike and differ at the end: keys are made of these last signs only, and the rest is
 * compared when a term was found by them.
 */
export const TAIL = 6

/** A key says what it is a key to: marks and words are not mixed. */
export const serialKey = (tail: string): string => `s:${tail}`
export const tagKey = (prefix: string): string => `t:${prefix}`
export const wordKey = (word: string): string => `w:${word}`

/** Short words and numbers have too many neighbours to be guessed at. */
export const mayBeMistyped = (word: string): boolean => [...word].length >= 4 && !/\d/.test(word)

export function unitFoundBy(unit: { id: string; serial: string }): Findable {
  const term = foldMark(unit.serial)
  return findable(unit.id, [
    { kind: 'serial', term, keys: keysOfMark(term) },
    { kind: 'serial-end', term: backwards(term), keys: [] },
  ])
}

export function instrumentFoundBy(instrument: { id: string; serial: string }): Findable {
  const term = foldMark(instrument.serial)
  return findable(instrument.id, [{ kind: 'instrument', term, keys: keysOfMark(term) }])
}

/** A joint's tag is its system's prefix and its number: the prefix is enough to find all joints of it. */
export function systemFoundBy(system: { id: string; tagPrefix: string }): Findable {
  const term = foldMark(system.tagPrefix)
  return findable(system.id, [{ kind: 'tag', term, keys: [term, ...withoutOne(term)].map(tagKey) }])
}

export function jobFoundBy(job: { id: string; reference: string | null }): Findable {
  const reference = job.reference ?? ''
  const marks = [foldMark(reference), ...wordsIn(reference).map(foldMark)]
  return findable(
    job.id,
    marks.map((term) => ({ kind: 'reference', term, keys: [] })),
  )
}

export function siteFoundBy(site: {
  id: string
  customerName: string
  address: string
  town: string
}): Findable {
  const named = (kind: 'customer' | 'address', text: string) =>
    wordsIn(text).map((term) => ({
      kind,
      term,
      keys: mayBeMistyped(term) ? [term, ...withoutOne(term)].map(wordKey) : [],
    }))
  return findable(site.id, [
    ...named('customer', site.customerName),
    ...named('address', `${site.address} ${site.town}`),
  ])
}

function keysOfMark(term: string): string[] {
  const tail = term.slice(-TAIL)
  return [tail, ...withoutOne(tail)].map(serialKey)
}

function findable(
  subjectId: string,
  terms: readonly { kind: SearchKind; term: string; keys: readonly string[] }[],
): Findable {
  const known = terms.filter(({ term }) => term !== '')
  return {
    subjectId,
    terms: [...new Map(known.map(({ kind, term }) => [`${kind} ${term}`, { kind, term }])).values()],
    keys: known.flatMap(({ term, keys }) => [...new Set(keys)].map((key) => ({ key, term }))),
  }
}

/** Rows of one statement. */
const AT_ONCE = 500

export async function keepFindable(scope: Scope, found: readonly Findable[]): Promise<void> {
  const { db, t, companyId } = scope
  const terms = found.flatMap((one) =>
    one.terms.map((term) => ({ companyId, ...term, subjectId: one.subjectId })),
  )
  for (let from = 0; from < terms.length; from += AT_ONCE)
    await db
      .insert(t.searchTerms)
      .values(terms.slice(from, from + AT_ONCE))
      .onConflictDoNothing()
  const keys = [
    ...new Map(
      found.flatMap((one) => one.keys).map((key) => [`${key.key} ${key.term}`, { companyId, ...key }]),
    ).values(),
  ]
  for (let from = 0; from < keys.length; from += AT_ONCE)
    await db
      .insert(t.searchKeys)
      .values(keys.slice(from, from + AT_ONCE))
      .onConflictDoNothing()
}

/**
 * What a thing is found by from now on. Nothing of what it was found by before stays behind, unless another thing is
 * found by it too: a name that was taken out of the record is taken out here.
 */
export async function replaceFindable(scope: Scope, before: Findable, after: Findable): Promise<void> {
  const { db, t, companyId } = scope
  await db
    .delete(t.searchTerms)
    .where(and(eq(t.searchTerms.companyId, companyId), eq(t.searchTerms.subjectId, after.subjectId)))
  await keepFindable(scope, [after])
  const kept = new Set(after.keys.map(({ term }) => term))
  for (const term of new Set(before.keys.map((key) => key.term))) {
    if (kept.has(term)) continue
    const [other] = await db
      .select({ subjectId: t.searchTerms.subjectId })
      .from(t.searchTerms)
      .where(
        and(
          eq(t.searchTerms.companyId, companyId),
          // Only words of sites have keys and may go.
          inArray(t.searchTerms.kind, ['customer', 'address']),
          eq(t.searchTerms.term, term),
        ),
      )
      .limit(1)
    if (other) continue
    const keys = before.keys.filter((one) => one.term === term).map(({ key }) => key)
    await db
      .delete(t.searchKeys)
      .where(
        and(
          eq(t.searchKeys.companyId, companyId),
          inArray(t.searchKeys.key, keys),
          eq(t.searchKeys.term, term),
        ),
      )
  }
}

/** Rows that are read at once while everything is made anew. */
const PAGE = 1000

/** Makes anew what everything of every company is found by; answers for how many things. */
export async function rebuildSearch(store: Store): Promise<number> {
  const reader = store.reader()
  const companies = await reader.db
    .select({ id: reader.t.companies.id })
    .from(reader.t.companies)
    .orderBy(asc(reader.t.companies.id))
  let count = 0
  for (const company of companies)
    count += await store.transaction((session) => rebuildSearchOf(scopeOf(session, company.id)))
  return count
}

/** The same for one company, in the transaction that is under way. */
export async function rebuildSearchOf(scope: Scope): Promise<number> {
  const { db, t, companyId } = scope
  await db.delete(t.searchTerms).where(eq(t.searchTerms.companyId, companyId))
  await db.delete(t.searchKeys).where(eq(t.searchKeys.companyId, companyId))
  let count = 0
  const all = async <Row extends { id: string }>(
    page: (after: string) => Promise<Row[]>,
    foundBy: (row: Row) => Findable,
  ) => {
    for (let after = ''; ; ) {
      const rows = await page(after)
      await keepFindable(scope, rows.map(foundBy))
      count += rows.length
      const last = rows.at(-1)
      if (!last || rows.length < PAGE) return
      after = last.id
    }
  }
  await all(
    (after) =>
      db
        .select()
        .from(t.units)
        .where(and(eq(t.units.companyId, companyId), gt(t.units.id, after)))
        .orderBy(asc(t.units.id))
        .limit(PAGE),
    unitFoundBy,
  )
  await all(
    (after) =>
      db
        .select()
        .from(t.systems)
        .where(and(eq(t.systems.companyId, companyId), gt(t.systems.id, after)))
        .orderBy(asc(t.systems.id))
        .limit(PAGE),
    systemFoundBy,
  )
  await all(
    (after) =>
      db
        .select()
        .from(t.instruments)
        .where(and(eq(t.instruments.companyId, companyId), gt(t.instruments.id, after)))
        .orderBy(asc(t.instruments.id))
        .limit(PAGE),
    instrumentFoundBy,
  )
  await all(
    (after) =>
      db
        .select()
        .from(t.jobs)
        .where(and(eq(t.jobs.companyId, companyId), gt(t.jobs.id, after)))
        .orderBy(asc(t.jobs.id))
        .limit(PAGE),
    jobFoundBy,
  )
  await all(
    (after) =>
      db
        .select()
        .from(t.sites)
        .where(and(eq(t.sites.companyId, companyId), gt(t.sites.id, after)))
        .orderBy(asc(t.sites.id))
        .limit(PAGE),
    siteFoundBy,
  )
  return count
}
