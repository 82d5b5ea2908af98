// How is everything of a company written down, so that another server can take it up? Table by table, then its files.

import { createHash } from 'node:crypto'
import { setImmediate as nextTurn } from 'node:timers/promises'
import { and, asc, count, eq, gt, gte, inArray, isNotNull, or, type SQL, sql } from 'drizzle-orm'
import type { SQLiteColumn, SQLiteTable } from 'drizzle-orm/sqlite-core'
import { missing } from '../refusals.ts'
import { type Files, hashOf } from '../store/files.ts'
import { canonical } from '../store/record.ts'
import { type Scope, type Store, scopeOf } from '../store/store.ts'
import { say } from '../words/say.ts'
import {
  ABOUT,
  type About,
  FORM,
  FORM_VERSION,
  filePlace,
  MANIFEST,
  type Manifest,
  type ManifestPart,
  type MovingProgress,
  tablePlace,
} from './archive-form.ts'
import { type MovedTable, movedTables } from './moved-tables.ts'
import { TAR_END, tarHeader, tarPadding } from './tar.ts'

/** Rows that are read at once. */
const PAGE = 500
/** A part of a table is kept in memory until it is whole: its size stands before it. */
const PART_BYTES = 4 * 1024 * 1024

export interface ExportOptions {
  files: Files
  about: Pick<About, 'from' | 'program' | 'keys'>
  now: number
  /** Takes the archive's bytes in turn; answered when it can take more. */
  write(bytes: Uint8Array): Promise<void>
  onProgress?: ((progress: MovingProgress) => void) | undefined
}

export interface Exported {
  manifest: Manifest
  bytes: number
}

/** As of one moment: what is written meanwhile is not in it. Refuses with missing. */
export async function exportCompany(
  store: Store,
  companyId: string,
  options: ExportOptions,
): Promise<Exported> {
  return store.snapshot(async (session) => {
    const scope = scopeOf(session, companyId)
    const { db, t } = scope
    const [company] = await db
      .select({ id: t.companies.id, name: t.companies.name })
      .from(t.companies)
      .where(eq(t.companies.id, companyId))
    if (!company) throw missing(say.people.thisCompany)
    const tables = movedTables()
    const progress = { done: 0, total: 0 }
    const named = new Set<string>()
    for (const table of tables) {
      progress.total += await countRows(scope, table)
      for (const column of table.files) for (const one of await hashesIn(scope, table, column)) named.add(one)
    }
    progress.total += named.size
    const tell = () => options.onProgress?.({ ...progress })
    let bytes = 0
    const put = async (chunk: Uint8Array) => {
      bytes += chunk.byteLength
      await options.write(chunk)
    }
    const add = async (name: string, content: Buffer) => {
      await put(tarHeader(name, content.byteLength))
      await put(content)
      await put(tarPadding(content.byteLength))
    }
    const head = { form: FORM, version: FORM_VERSION, company } as const
    const about: About = { ...head, ...options.about, exportedAt: new Date(options.now).toISOString() }
    await add(ABOUT, asLine(about))
    const manifest: Manifest = { ...head, tables: [], files: [], missing: [] }
    for (const table of tables) {
      const parts: ManifestPart[] = []
      let lines: Buffer[] = []
      let held = 0
      let rows = 0
      const flush = async () => {
        const content = Buffer.concat(lines)
        const name = tablePlace(table.sqlName, parts.length + 1)
        parts.push({
          name,
          bytes: content.byteLength,
          sha256: createHash('sha256').update(content).digest('hex'),
        })
        await add(name, content)
        lines = []
        held = 0
      }
      for await (const row of rowsOf(scope, table)) {
        const line = asLine(Object.fromEntries(table.columns.map((column) => [column, row[column] ?? null])))
        lines.push(line)
        held += line.byteLength
        rows += 1
        progress.done += 1
        if (rows % PAGE === 0) tell()
        if (held >= PART_BYTES) await flush()
      }
      if (held > 0) await flush()
      manifest.tables.push({ table: table.sqlName, rows, parts })
      tell()
    }
    for (const sha256 of [...named].sort()) {
      const content = await options.files.get(companyId, sha256)
      if (content && hashOf(content) === sha256) {
        await add(filePlace(sha256), content)
        manifest.files.push({ sha256, bytes: content.byteLength })
      } else manifest.missing.push(sha256)
      progress.done += 1
      tell()
    }
    await add(MANIFEST, asLine(manifest))
    await put(TAR_END)
    return { manifest, bytes }
  })
}

/** RFC 8785: the same row is the same line, whichever database it was read from. */
const asLine = (value: unknown) => Buffer.from(`${canonical(value)}\n`)

/** Which rows of a table are the company's. */
function owned(scope: Scope, moved: MovedTable): SQL | undefined {
  const { t, db, companyId } = scope
  if (moved.persons)
    return inArray(
      t.people.id,
      db.select({ id: t.members.personId }).from(t.members).where(eq(t.members.companyId, companyId)),
    )
  const table = t[moved.name] as unknown as Record<string, SQLiteColumn>
  // The companies' own table is told by its id.
  const owner = table.companyId ?? table.id
  return owner ? eq(owner, companyId) : undefined
}

async function countRows(scope: Scope, moved: MovedTable): Promise<number> {
  const [row] = await scope.db
    .select({ rows: count() })
    .from(scope.t[moved.name] as SQLiteTable)
    .where(owned(scope, moved))
  return row?.rows ?? 0
}

async function hashesIn(scope: Scope, moved: MovedTable, name: string): Promise<string[]> {
  const column = (scope.t[moved.name] as unknown as Record<string, SQLiteColumn>)[name]
  if (!column) return []
  const rows = await scope.db
    .selectDistinct({ sha256: column })
    .from(scope.t[moved.name] as SQLiteTable)
    .where(and(owned(scope, moved), isNotNull(column)))
  return rows.map(({ sha256 }) => String(sha256))
}

/** In the order of the key: the same on every database. */
async function* rowsOf(scope: Scope, moved: MovedTable): AsyncGenerator<Record<string, unknown>> {
  const table = scope.t[moved.name] as unknown as Record<string, SQLiteColumn>
  const columns = moved.key.map((name) => ({
    name,
    inOrder:
      moved.anyText.has(name) && scope.dialect === 'postgres'
        ? sql`${table[name]} collate "C"`
        : sql`${table[name]}`,
  }))
  for (let last: Record<string, unknown> | null = null; ; ) {
    const after: SQL | undefined = last === null ? undefined : follows(columns, last)
    const rows: Record<string, unknown>[] = await scope.db
      .select()
      .from(scope.t[moved.name] as SQLiteTable)
      .where(and(owned(scope, moved), after))
      .orderBy(...columns.map(({ inOrder }) => asc(inOrder)))
      .limit(PAGE)
    yield* rows
    last = rows.at(-1) ?? null
    if (rows.length < PAGE) return
    // The embedded database answers at once: others get their turn here.
    await nextTurn()
  }
}

/** Later in the order of these columns. */
function follows(
  columns: readonly { name: string; inOrder: SQL }[],
  last: Record<string, unknown>,
): SQL | undefined {
  const [first, ...rest] = columns
  if (!first) return undefined
  const value = last[first.name]
  const later = gt(first.inOrder, value)
  return rest.length === 0
    ? later
    : and(gte(first.inOrder, value), or(later, and(eq(first.inOrder, value), follows(rest, last))))
}
