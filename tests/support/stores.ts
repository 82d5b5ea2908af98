// A fresh, migrated store for a test file: a SQLite file, PGlite, or a real server when one is named.

import { randomUUID } from 'node:crypto'
import { copyFileSync, existsSync, mkdtempSync, renameSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { sha256 } from '../../server/ids.ts'
import { migrate, migrationNames } from '../../server/store/migrate.ts'
import { openSqlite } from '../../server/store/sqlite.ts'
import type { Db, Store } from '../../server/store/store.ts'

export type StoreKind = 'sqlite' | 'pglite' | 'postgres'

/** The kinds a contract runs on here. A real server joins when JOINTKEEP_TEST_POSTGRES names one. */
export const STORE_KINDS: StoreKind[] = [
  'sqlite',
  'pglite',
  ...(process.env.JOINTKEEP_TEST_POSTGRES ? (['postgres'] as const) : []),
]

export interface TestStore {
  store: Store
  /** The database file, on SQLite. */
  file: string | null
  remove(): Promise<void>
}

export async function freshStore(kind: StoreKind = 'sqlite'): Promise<TestStore> {
  if (kind === 'sqlite') return freshSqlite()
  if (kind === 'pglite') return freshPglite()
  return freshPostgres()
}

async function freshSqlite(): Promise<TestStore> {
  const folder = mkdtempSync(join(tmpdir(), 'jointkeep-test-'))
  const file = join(folder, 'jointkeep.db')
  // Migrating once and copying the file is quicker than migrating for each test file.
  const template = join(
    tmpdir(),
    `jointkeep-template-${sha256(migrationNames('sqlite').join('+')).slice(0, 12)}-${process.ppid}.db`,
  )
  if (!existsSync(template)) {
    const building = `${template}.${randomUUID()}`
    const first = openSqlite(building)
    await migrate(first)
    await first.execute('pragma wal_checkpoint(truncate)')
    await first.close()
    renameSync(building, template)
  }
  copyFileSync(template, file)
  const store = openSqlite(file, {
    onHeldUp: (problem) => {
      throw problem
    },
  })
  return {
    store,
    file,
    async remove() {
      await store.close()
      rmSync(folder, { recursive: true, force: true })
    },
  }
}

async function freshPglite(): Promise<TestStore> {
  const { PGlite } = await import('@electric-sql/pglite')
  const { drizzle } = await import('drizzle-orm/pglite')
  const { postgresStore } = await import('../../server/store/postgres.ts')
  const engine = await PGlite.create()
  const db = drizzle(engine)
  const store = postgresStore(
    db as unknown as Db,
    (work, how) => db.transaction((tx) => work(tx as unknown as Db), how),
    {
      execute: async (sql) => {
        await engine.exec(sql)
      },
      query: async (sql) => (await engine.query(sql)).rows,
      close: () => engine.close(),
    },
  )
  await migrate(store)
  return { store, file: null, remove: () => store.close() }
}

async function freshPostgres(): Promise<TestStore> {
  const { openPostgres } = await import('../../server/store/postgres.ts')
  const admin = process.env.JOINTKEEP_TEST_POSTGRES ?? ''
  const name = `jointkeep_test_${randomUUID().replaceAll('-', '')}`
  const server = await openPostgres(admin)
  await server.execute(`create database ${name}`)
  const url = new URL(admin)
  url.pathname = `/${name}`
  const store = await openPostgres(url.href)
  await migrate(store)
  return {
    store,
    file: null,
    async remove() {
      await store.close()
      await server.execute(`drop database ${name}`)
      await server.close()
    },
  }
}
