// How does another server take up a company from its archive? Looked through first, then all of it in one transaction, or none.

import { createHash } from 'node:crypto'
import { setImmediate as nextTurn } from 'node:timers/promises'
import { asc, eq } from 'drizzle-orm'
import type { SQLiteTable } from 'drizzle-orm/sqlite-core'
import { conflict } from '../refusals.ts'
import { type Files, hashOf } from '../store/files.ts'
import { lockFounding } from '../store/queries/people.ts'
import { verifyChain } from '../store/record.ts'
import { rebuildRollups } from '../store/rollups.ts'
import { rebuildSearchOf } from '../store/search-terms.ts'
import { type Scope, type Session, type Store, scopeOf } from '../store/store.ts'
import { say } from '../words/say.ts'
import {
  ABOUT,
  type About,
  FORM,
  FORM_VERSION,
  filePlace,
  MANIFEST,
  type Manifest,
  type MovingProgress,
} from './archive-form.ts'
import { type MovedTable, movedTables, NOTHING_TO_SIGN_IN_WITH } from './moved-tables.ts'
import { BrokenArchive, TarFile } from './tar.ts'

export interface Archive {
  tar: TarFile
  about: About
  manifest: Manifest
}

export { BrokenArchive } from './tar.ts'

type Row = Record<string, unknown>

/**
 * Opens an archive and looks at every byte of it: what the manifest names is there, is what it was, and there is nothing
 * else. Throws `BrokenArchive`.
 */
export async function openArchive(path: string): Promise<Archive> {
  const tar = new TarFile(path)
  try {
    const about = jsonIn(tar, ABOUT) as unknown as About
    const manifest = jsonIn(tar, MANIFEST) as unknown as Manifest
    for (const one of [about, manifest]) {
      if (one.form !== FORM) throw new BrokenArchive(say.moving.noArchive)
      if (one.version !== FORM_VERSION) throw new BrokenArchive(say.moving.newerArchive)
    }
    if (about.company.id !== manifest.company.id) throw new BrokenArchive(say.moving.damaged(ABOUT))
    const expected = new Set([ABOUT, MANIFEST])
    const check = (name: string, bytes: number, sha256: string) => {
      expected.add(name)
      const content = tar.read(name)
      if (content.byteLength !== bytes || createHash('sha256').update(content).digest('hex') !== sha256)
        throw new BrokenArchive(say.moving.damaged(name))
    }
    const known = new Map(movedTables().map((table) => [table.sqlName, table]))
    for (const { table, parts } of manifest.tables) {
      if (!known.has(table)) throw new BrokenArchive(say.moving.unknownTable(table))
      for (const part of parts) {
        check(part.name, part.bytes, part.sha256)
        await nextTurn()
      }
    }
    for (const file of manifest.files) {
      check(filePlace(file.sha256), file.bytes, file.sha256)
      await nextTurn()
    }
    for (const name of tar.entries.keys())
      if (!expected.has(name)) throw new BrokenArchive(say.moving.notInManifest(name))
    return { tar, about, manifest }
  } catch (problem) {
    tar.close()
    throw problem
  }
}

function jsonIn(tar: TarFile, name: string): Row {
  if (!tar.entries.has(name)) throw new BrokenArchive(say.moving.noArchive)
  try {
    const value: unknown = JSON.parse(tar.read(name).toString('utf8'))
    if (typeof value === 'object' && value !== null) return value as Row
  } catch {
    // Said below.
  }
  throw new BrokenArchive(say.moving.damaged(name))
}

export interface Imported {
  companyId: string
  rows: number
  files: number
  chains: number
}

export interface ImportOptions {
  files: Files
  now: number
  /** Refuses all of it, by what it finds in place. */
  lastly?: ((scope: Scope) => Promise<void>) | undefined
  onProgress?: ((progress: MovingProgress) => void) | undefined
}

/** Into a server that holds no company yet; ids stay, and every chain is walked before anything is kept. */
export async function importCompany(
  store: Store,
  { tar, manifest }: Archive,
  options: ImportOptions,
): Promise<Imported> {
  const companyId = manifest.company.id
  const rows = manifest.tables.reduce((sum, one) => sum + one.rows, 0)
  const progress = { done: 0, total: rows + manifest.files.length }
  const tell = () => options.onProgress?.({ ...progress })
  await assertEmpty(store.reader())
  // Kept under their hashes: where the rest is refused, they harm nothing.
  for (const { sha256 } of manifest.files) {
    const bytes = tar.read(filePlace(sha256))
    if (hashOf(bytes) !== sha256) throw new BrokenArchive(say.moving.damaged(filePlace(sha256)))
    await options.files.put(companyId, bytes)
    progress.done += 1
    tell()
  }
  const parts = new Map(manifest.tables.map((one) => [one.table, one]))
  const sum = await store.transaction(async (session) => {
    await lockFounding(session)
    await assertEmpty(session)
    const scope = scopeOf(session, companyId)
    let taken = 0
    for (const table of movedTables()) {
      const listed = parts.get(table.sqlName)
      const count = await insertRows(session, table, linesOf(tar, listed?.parts ?? []), companyId, (more) => {
        progress.done += more
        tell()
      })
      if (count !== (listed?.rows ?? 0)) throw new BrokenArchive(say.moving.damaged(table.sqlName))
      taken += count
    }
    const { db, t } = scope
    const chains = await db
      .select({ id: t.chains.id })
      .from(t.chains)
      .where(eq(t.chains.companyId, companyId))
      .orderBy(asc(t.chains.id))
    for (const { id } of chains) {
      const [fault] = await verifyChain(scope, id)
      if (fault) throw new BrokenArchive(say.moving.brokenChain(fault.chainId, fault.number, fault.what))
      await nextTurn()
    }
    await rebuildSearchOf(scope)
    await options.lastly?.(scope)
    return { rows: taken, chains: chains.length }
  }, SLOW)
  await rebuildRollups(store, companyId, options.now)
  return { companyId, files: manifest.files.length, ...sum }
}

/** A server without a company has nobody who waits. */
const SLOW = { slow: true } as const

async function assertEmpty({ db, t }: Session): Promise<void> {
  const there = await db.select({ id: t.companies.id }).from(t.companies).limit(1)
  if (there.length > 0) throw conflict('not-empty', say.moving.notEmpty)
}

function* linesOf(tar: TarFile, parts: readonly { name: string }[]): Generator<Row> {
  for (const { name } of parts) {
    for (const line of tar.read(name).toString('utf8').split('\n')) {
      if (line === '') continue
      try {
        yield JSON.parse(line) as Row
      } catch {
        throw new BrokenArchive(say.moving.damaged(name))
      }
    }
  }
}

/** Rows of one statement: SQLite takes 32,766 values. */
const AT_ONCE = 200

async function insertRows(
  session: Session,
  table: MovedTable,
  rows: Generator<Row>,
  companyId: string,
  onRows: (count: number) => void,
): Promise<number> {
  const known = new Set(table.columns)
  const goal = session.t[table.name] as SQLiteTable
  let batch: Row[] = []
  let count = 0
  const flush = async () => {
    if (batch.length > 0) await session.db.insert(goal).values(batch as never)
    // Whoever looks how far it is gets an answer in between.
    await nextTurn()
    count += batch.length
    onRows(batch.length)
    batch = []
  }
  for (const row of inOrder(table, rows)) {
    for (const column of Object.keys(row))
      if (!known.has(column)) throw new BrokenArchive(say.moving.unknownColumn(table.sqlName, column))
    const owner = table.name === 'companies' ? row.id : row.companyId
    if (!table.persons && owner !== companyId) throw new BrokenArchive(say.moving.damaged(table.sqlName))
    batch.push(table.persons ? { ...row, ...NOTHING_TO_SIGN_IN_WITH } : row)
    if (batch.length >= AT_ONCE) await flush()
  }
  await flush()
  return count
}

/** What names another row of its table comes after it, whoever chose the ids. */
function* inOrder(table: MovedTable, rows: Generator<Row>): Generator<Row> {
  if (table.namesAnother.length === 0) {
    yield* rows
    return
  }
  const placed = new Set<unknown>()
  const waiting = new Map<unknown, Row[]>()
  const lacks = (row: Row) =>
    table.namesAnother.map((column) => row[column]).find((one) => one !== null && !placed.has(one))
  for (const row of rows) {
    const ready = [row]
    for (let next = ready.shift(); next; next = ready.shift()) {
      const needed = lacks(next)
      if (needed !== undefined) {
        waiting.set(needed, [...(waiting.get(needed) ?? []), next])
        continue
      }
      yield next
      placed.add(next.id)
      ready.push(...(waiting.get(next.id) ?? []))
      waiting.delete(next.id)
    }
  }
  if (waiting.size > 0) throw new BrokenArchive(say.moving.damaged(table.sqlName))
}
