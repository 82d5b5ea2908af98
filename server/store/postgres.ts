// How does the same store run on PostgreSQL? A pool of connections, and the query builder cast once.

import { drizzle } from 'drizzle-orm/node-postgres'
import pg from 'pg'
import { asRefusal } from './failures.ts'
import type { Db, Session, Store } from './store.ts'
import { defineTables } from './tables/index.ts'

/** Deadlock, serialization failure: the same work may go through a moment later. */
const AGAIN = new Set(['40001', '40P01'])
const TRIES = 4

export async function openPostgres(url: string): Promise<Store> {
  const pool = new pg.Pool({ connectionString: url, max: 16 })
  // A connection that breaks while idle is replaced by the pool; unheard, the event would end the process.
  pool.on('error', () => {})
  const db = drizzle(pool)
  const transact: Transact = (work, how) => db.transaction((tx) => work(tx as unknown as Db), how)
  return postgresStore(db as unknown as Db, transact, {
    execute: async (sql) => {
      await pool.query(sql)
    },
    query: async (sql) => (await pool.query(sql)).rows,
    close: () => pool.end(),
  })
}

/** As drizzle takes them. */
export interface HowToTransact {
  isolationLevel: 'repeatable read'
  accessMode: 'read only'
}
export type Transact = <T>(work: (tx: Db) => Promise<T>, how?: HowToTransact) => Promise<T>

interface Raw {
  execute(sql: string): Promise<void>
  query(sql: string): Promise<unknown[]>
  close(): Promise<void>
}

/** The part that a server and the embedded engine of the tests have in common. */
export function postgresStore(db: Db, transact: Transact, raw: Raw): Store {
  const tables = defineTables('postgres')
  return {
    dialect: 'postgres',
    tables,
    reader: () => ({ db, t: tables, dialect: 'postgres' }),
    async transaction<T>(work: (session: Session) => Promise<T>) {
      for (let attempt = 1; ; attempt += 1) {
        try {
          return await transact((tx) => work({ db: tx, t: tables, dialect: 'postgres' }))
        } catch (problem) {
          if (attempt < TRIES && AGAIN.has(codeOf(problem))) continue
          throw asRefusal(problem)
        }
      }
    },
    snapshot: <T>(work: (session: Session) => Promise<T>) =>
      transact((tx) => work({ db: tx, t: tables, dialect: 'postgres' }), {
        isolationLevel: 'repeatable read',
        accessMode: 'read only',
      }),
    execute: raw.execute,
    query: <T>(sql: string) => raw.query(sql) as Promise<T[]>,
    async ready() {
      const rows = (await raw.query('select pg_is_in_recovery() as standby')) as { standby: boolean }[]
      return rows[0]?.standby === false
    },
    close: raw.close,
  }
}

function codeOf(problem: unknown): string {
  let at = problem as { code?: string; cause?: unknown }
  while (at?.cause) at = at.cause as typeof at
  return at?.code ?? ''
}
