// A fresh, migrated store for a test file: a SQLite file, PGlite, or a real server when one is named.

import { randomUUID } from 'node:crypto'
import { copyFileSync, existsSync, mkdtempSync, openAsBlob, readFileSync, renameSync, rmSync } from 'node:fs'
import { writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { sha256 } from '../../server/ids.ts'
import { ROOT } from '../../server/root.ts'
import type { Dialect } from '../../server/store/kit.ts'
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
  const template = await templateOf('sqlite', async (building) => {
    const first = openSqlite(building)
    await migrate(first)
    await first.execute('pragma wal_checkpoint(truncate)')
    await first.close()
  })
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
  const open = (engine: InstanceType<typeof PGlite>) => {
    const db = drizzle(engine)
    return postgresStore(
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
  }
  const template = await templateOf('postgres', async (building) => {
    const engine = await PGlite.create()
    const first = open(engine)
    await migrate(first)
    await writeFile(building, Buffer.from(await (await engine.dumpDataDir('none')).arrayBuffer()))
    await first.close()
  })
  const store = open(await PGlite.create({ loadDataDir: await openAsBlob(template) }))
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

/** A migrated database to copy, which is quicker than migrating each time. Made once for these very migrations. */
async function templateOf(dialect: Dialect, build: (file: string) => Promise<void>): Promise<string> {
  const migrations = migrationNames(dialect).map((name) =>
    readFileSync(join(ROOT, 'migrations', dialect, `${name}.sql`), 'utf8'),
  )
  const template = join(
    tmpdir(),
    `jointkeep-template-${dialect}-${sha256(migrations.join('\n')).slice(0, 12)}.db`,
  )
  if (!existsSync(template)) {
    const building = `${template}.${randomUUID()}`
    await build(building)
    renameSync(building, template)
  }
  return template
}
