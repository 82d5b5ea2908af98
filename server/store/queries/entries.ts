// Which entry brought which fact?

import { and, asc, eq } from 'drizzle-orm'
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

function inBrief({ content, ...row }: EntryRow): EntryInBrief {
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
