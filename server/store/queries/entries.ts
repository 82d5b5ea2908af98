// Which entry brought which fact?

import { and, asc, eq, inArray } from 'drizzle-orm'
import { missingField } from '../../refusals.ts'
import type { FactSeal } from '../record.ts'
import type { Scope } from '../store.ts'

export interface EntryInBrief {
  id: string
  chainId: string
  number: number
  kind: string
  subjectId: string
  jobId: string | null
  memberId: string | null
  at: number
  deviceAt: number | null
  hash: string
  facts: FactSeal[]
  body: Record<string, unknown>
}

interface EntryRow {
  id: string
  chainId: string
  number: number
  kind: string
  subjectId: string
  jobId: string | null
  memberId: string | null
  at: number
  content: string
  hash: string
}

export function inBrief({ content, ...row }: EntryRow): EntryInBrief {
  const { facts, body, deviceAt } = JSON.parse(content) as Pick<EntryInBrief, 'facts' | 'body' | 'deviceAt'>
  return { ...row, facts, body, deviceAt }
}

/** Refuses with missing, at the field that named it. */
export async function findEntry(scope: Scope, entryId: string): Promise<EntryInBrief> {
  const { db, t, companyId } = scope
  const [row] = await db
    .select()
    .from(t.entries)
    .where(and(eq(t.entries.companyId, companyId), eq(t.entries.id, entryId)))
  if (!row) throw missingField('entryId', 'This entry')
  return inBrief(row)
}

/** What was entered about one thing, oldest first. */
export async function listEntriesAbout(scope: Scope, subjectId: string): Promise<EntryInBrief[]> {
  const { db, t, companyId } = scope
  const rows = await db
    .select()
    .from(t.entries)
    .where(and(eq(t.entries.companyId, companyId), eq(t.entries.subjectId, subjectId)))
    .orderBy(asc(t.entries.at), asc(t.entries.id))
  return rows.map(inBrief)
}

/** As it was hashed. */
export interface WholeEntry {
  number: number
  hash: string
  previousHash: string
  content: string
}

/** A whole chain, from its first entry. */
export async function listWholeEntries({ db, t, companyId }: Scope, chainId: string): Promise<WholeEntry[]> {
  return db
    .select({
      number: t.entries.number,
      hash: t.entries.hash,
      previousHash: t.entries.previousHash,
      content: t.entries.content,
    })
    .from(t.entries)
    .where(and(eq(t.entries.companyId, companyId), eq(t.entries.chainId, chainId)))
    .orderBy(asc(t.entries.number))
}

export type BriefEntry = Pick<EntryRow, 'id' | 'chainId' | 'number' | 'kind' | 'subjectId' | 'at'>

/** Some entries without what they seal, by id. */
export async function listEntriesById(
  { db, t, companyId }: Scope,
  entryIds: readonly string[],
): Promise<Map<string, BriefEntry>> {
  if (entryIds.length === 0) return new Map()
  const rows = await db
    .select({
      id: t.entries.id,
      chainId: t.entries.chainId,
      number: t.entries.number,
      kind: t.entries.kind,
      subjectId: t.entries.subjectId,
      at: t.entries.at,
    })
    .from(t.entries)
    .where(and(eq(t.entries.companyId, companyId), inArray(t.entries.id, [...entryIds])))
  return new Map(rows.map((row) => [row.id, row]))
}

export interface FactEntry extends BriefEntry {
  factIds: string[]
}

/** What was entered on one job, on the chains of its systems, in their order. */
export async function listEntriesOfJob(
  { db, t, companyId }: Scope,
  systemIds: readonly string[],
  jobId: string,
): Promise<FactEntry[]> {
  if (systemIds.length === 0) return []
  const rows = await db
    .select({
      id: t.entries.id,
      chainId: t.entries.chainId,
      number: t.entries.number,
      kind: t.entries.kind,
      subjectId: t.entries.subjectId,
      at: t.entries.at,
      content: t.entries.content,
    })
    .from(t.entries)
    .where(
      and(
        eq(t.entries.companyId, companyId),
        inArray(t.entries.chainId, [...systemIds]),
        eq(t.entries.jobId, jobId),
      ),
    )
    .orderBy(asc(t.entries.chainId), asc(t.entries.number))
  return rows.map(({ content, ...row }) => ({ ...row, factIds: factIdsIn(content) }))
}

/** Only the seals are read: the rest of some hundred entries would be most of what there is to parse. */
function factIdsIn(content: string): string[] {
  const from = content.indexOf('"facts":[')
  const to = content.indexOf(']', from)
  if (from < 0 || to < 0) return []
  // Canonical JSON: no blanks, and a seal holds nothing but a digest, an id and a table's name.
  const facts = JSON.parse(content.slice(from + '"facts":'.length, to + 1)) as FactSeal[]
  return facts.map(({ id }) => id)
}
