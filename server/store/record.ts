// How is the record kept so that a changed byte shows? Facts are appended, and each write adds an entry to a chain.

import canonicalize from 'canonicalize'
import { and, asc, eq, getTableColumns, lte, sql } from 'drizzle-orm'
import type { SQLiteTable } from 'drizzle-orm/sqlite-core'
import { newId, sha256 } from '../ids.ts'
import { prepared } from './prepared.ts'
import type { Scope } from './store.ts'
import type { Tables } from './tables/index.ts'

/** The tables whose rows are facts: appended, never edited, and sealed by the entry that brought them. */
export const FACT_TABLES = [
  'makes',
  'steps',
  'sectionTests',
  'sectionReadings',
  'readingLogs',
  'sectionConclusions',
  'charges',
  'runningChecks',
  'calibrations',
  'calibrationFiles',
  'instrumentUses',
  'unitRemovals',
  'jointRetirements',
  'jointExclusions',
  'jobEvents',
  'concessionRequests',
  'concessions',
  'corrections',
  'correctionDecisions',
  'callbackFindings',
  'policies',
  'photos',
  'auditMarks',
  'auditQuestions',
  'auditReplies',
  'nonconformities',
  'nonconformityDisposals',
] as const
export type FactTable = (typeof FACT_TABLES)[number]

export interface FactSeal {
  table: FactTable
  id: string
  digest: string
}

export interface EntryDraft {
  /** Made here when it is left out. */
  id?: string
  /** A system's id, or the company's for what belongs to no system. */
  chainId: string
  /** What happened, for example `torque-recorded`. */
  kind: string
  subjectId: string
  jobId?: string | null
  /** The facts this entry seals. */
  facts?: FactSeal[]
  /** What has no fact row of its own; ids, figures and salted hashes, never personal fields. */
  body?: Record<string, unknown>
  /** What was recorded says by itself that a requirement is not met; it is not written, the job is judged by it. */
  isNotMet?: boolean
}

export interface Stamp {
  now: number
  deviceAt: number | null
  memberId: string | null
}

export const FIRST_HASH = '0'.repeat(64)

export const canonical = (value: unknown): string => canonicalize(value) ?? 'null'

/** A personal field as the chain may carry it. */
export const salted = (salt: string, field: string): string => sha256(`${salt}\n${field}`)

/** Appends a fact and answers the seal that its entry must carry. */
export async function appendFact<Name extends FactTable>(
  scope: Scope,
  table: Name,
  row: Tables[Name]['$inferInsert'] & { id: string },
): Promise<FactSeal> {
  const complete = completeRow(scope.t[table], row)
  const names = Object.keys(complete)
  await prepared(scope, `append_${table}`, ({ db, t }) =>
    db
      .insert(t[table] as SQLiteTable)
      .values(Object.fromEntries(names.map((name) => [name, sql.placeholder(name)])) as never),
  ).execute(complete)
  return { table, id: row.id, digest: digestOfRow(complete) }
}

/** Every column, with null for what is not there: the same shape written and read back. */
function completeRow(table: SQLiteTable, row: Record<string, unknown>): Record<string, unknown> {
  const complete: Record<string, unknown> = {}
  for (const name of Object.keys(getTableColumns(table))) complete[name] = row[name] ?? null
  return complete
}

export async function startChain(scope: Scope, id: string, kind: 'system' | 'company'): Promise<void> {
  const { db, t, companyId } = scope
  await db.insert(t.chains).values({ companyId, id, kind, headNumber: 0, headHash: FIRST_HASH })
}

/** Over what the row holds; columns that hold nothing are left out, so that a column added later changes no digest. */
function digestOfRow(row: Record<string, unknown>): string {
  return sha256(canonical(Object.fromEntries(Object.entries(row).filter(([, value]) => value !== null))))
}

/** Adds an entry to its chain. The head row is locked here, last in a transaction, until the commit. */
export async function appendEntry(scope: Scope, draft: EntryDraft, stamp: Stamp): Promise<string> {
  const { companyId } = scope
  const key = { companyId, chainId: draft.chainId }
  const [head] = await prepared<{ number: number; hash: string }>(scope, 'chain_advance', ({ db, t }) =>
    db
      .update(t.chains)
      .set({ headNumber: sql`${t.chains.headNumber} + 1` })
      .where(
        and(
          eq(t.chains.companyId, sql.placeholder('companyId')),
          eq(t.chains.id, sql.placeholder('chainId')),
        ),
      )
      .returning({ number: t.chains.headNumber, hash: t.chains.headHash }),
  ).execute(key)
  if (!head) throw new Error(`There is no chain ${draft.chainId}.`)
  const id = draft.id ?? newId()
  const content = canonical({
    version: 1,
    company: companyId,
    chain: draft.chainId,
    number: head.number,
    id,
    kind: draft.kind,
    subject: draft.subjectId,
    job: draft.jobId ?? null,
    member: stamp.memberId,
    at: stamp.now,
    deviceAt: stamp.deviceAt,
    facts: draft.facts ?? [],
    body: draft.body ?? {},
  })
  const hash = sha256(head.hash + content)
  await prepared(scope, 'entry_append', ({ db, t }) =>
    db.insert(t.entries).values({
      companyId: sql.placeholder('companyId'),
      chainId: sql.placeholder('chainId'),
      number: sql.placeholder('number'),
      id: sql.placeholder('id'),
      kind: sql.placeholder('kind'),
      subjectId: sql.placeholder('subjectId'),
      jobId: sql.placeholder('jobId'),
      memberId: sql.placeholder('memberId'),
      at: sql.placeholder('at'),
      content: sql.placeholder('content'),
      previousHash: sql.placeholder('previousHash'),
      hash: sql.placeholder('hash'),
    }),
  ).execute({
    ...key,
    number: head.number,
    id,
    kind: draft.kind,
    subjectId: draft.subjectId,
    jobId: draft.jobId ?? null,
    memberId: stamp.memberId,
    at: stamp.now,
    content,
    previousHash: head.hash,
    hash,
  })
  await prepared(scope, 'chain_head', ({ db, t }) =>
    db
      .update(t.chains)
      .set({ headHash: sql`${sql.placeholder('hash')}` })
      .where(
        and(
          eq(t.chains.companyId, sql.placeholder('companyId')),
          eq(t.chains.id, sql.placeholder('chainId')),
        ),
      ),
  ).execute({ ...key, hash })
  return id
}

export interface ChainHead {
  chainId: string
  number: number
  hash: string
}

export async function chainHead(scope: Scope, chainId: string): Promise<ChainHead | null> {
  const { db, t, companyId } = scope
  const [row] = await db
    .select({ chainId: t.chains.id, number: t.chains.headNumber, hash: t.chains.headHash })
    .from(t.chains)
    .where(and(eq(t.chains.companyId, companyId), eq(t.chains.id, chainId)))
  return row ?? null
}

export interface ChainFault {
  chainId: string
  number: number
  what: string
}

/**
 * Walks a chain from its first entry: hashes, numbers, the columns beside, and every fact that it seals. With `upTo`,
 * as far as a head that was signed once, which must then stand there with the very hash that was signed.
 */
export async function verifyChain(scope: Scope, chainId: string, upTo?: ChainHead): Promise<ChainFault[]> {
  const { db, t, companyId } = scope
  const faults: ChainFault[] = []
  const fault = (number: number, what: string) => faults.push({ chainId, number, what })
  const entries = await db
    .select()
    .from(t.entries)
    .where(
      and(
        eq(t.entries.companyId, companyId),
        eq(t.entries.chainId, chainId),
        upTo ? lte(t.entries.number, upTo.number) : undefined,
      ),
    )
    .orderBy(asc(t.entries.number))
  let previous = { number: 0, hash: FIRST_HASH }
  for (const entry of entries) {
    if (entry.number !== previous.number + 1) fault(entry.number, `entry ${previous.number + 1} is missing`)
    if (entry.previousHash !== previous.hash) fault(entry.number, 'does not follow the entry before it')
    if (sha256(entry.previousHash + entry.content) !== entry.hash)
      fault(entry.number, 'its content was changed')
    const content = readContent(entry.content)
    if (!content) fault(entry.number, 'its content cannot be read')
    else {
      if (
        content.chain !== entry.chainId ||
        content.company !== entry.companyId ||
        content.number !== entry.number ||
        content.id !== entry.id ||
        content.kind !== entry.kind ||
        content.subject !== entry.subjectId ||
        content.at !== entry.at ||
        content.job !== entry.jobId ||
        content.member !== entry.memberId
      )
        fault(entry.number, 'what stands beside its content was changed')
      for (const seal of content.facts) {
        const what = await checkFact(scope, seal)
        if (what) fault(entry.number, what)
      }
    }
    previous = { number: entry.number, hash: entry.hash }
  }
  const head = upTo ?? (await chainHead(scope, chainId))
  if (!head || head.number !== previous.number || head.hash !== previous.hash)
    fault(previous.number, upTo ? 'is not the head that was signed' : 'entries are missing at the end')
  return faults
}

interface EntryContent {
  company: string
  chain: string
  number: number
  id: string
  kind: string
  subject: string
  job: string | null
  member: string | null
  at: number
  facts: FactSeal[]
}

function readContent(text: string): EntryContent | null {
  try {
    return JSON.parse(text) as EntryContent
  } catch {
    return null
  }
}

async function checkFact(scope: Scope, seal: FactSeal): Promise<string | null> {
  const { db, t, companyId } = scope
  const table = t[seal.table]
  if (!table) return `it seals something in ${seal.table}, which is not kept`
  const name = `${seal.table} ${seal.id}`
  try {
    const [row] = await db
      .select()
      .from(table as Tables['steps'])
      .where(and(eq(table.companyId, companyId), eq(table.id, seal.id)))
    if (!row) return `${name} is missing`
    return digestOfRow(row) === seal.digest ? null : `${name} was changed`
  } catch {
    return `${name} cannot be read`
  }
}
