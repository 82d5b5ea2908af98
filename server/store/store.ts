// What is a store? One set of tables behind a reader and a queue of durable transactions.

import type { BaseSQLiteDatabase } from 'drizzle-orm/sqlite-core'
import type { Dialect } from './kit.ts'
import type { Tables } from './tables/index.ts'

/** The query builder, typed as SQLite's; on PostgreSQL it is cast once, in postgres.ts. */
export type Db = BaseSQLiteDatabase<'async', unknown, Record<string, never>>

/** A connection to ask through: inside a transaction the writer's, otherwise a reader's. */
export interface Session {
  db: Db
  t: Tables
  dialect: Dialect
}

/** The first argument of every query of company-owned rows. */
export interface Scope extends Session {
  companyId: string
}

export interface HowLong {
  /** It may wait for other things too, and everybody else who writes waits for it: where nobody else is yet. */
  slow: true
}

export interface Store {
  dialect: Dialect
  tables: Tables
  /** For questions. Sees what was committed. */
  reader(): Session
  /**
   * Runs the work in one transaction and answers after the commit is durable. The work may await nothing but
   * the session it is handed. Never nested.
   */
  transaction<T>(work: (session: Session) => Promise<T>, how?: HowLong): Promise<T>
  /**
   * For long reading: everything is seen as of one moment, however much is written meanwhile. Holds up nobody, and may
   * await whatever it likes.
   */
  snapshot<T>(work: (session: Session) => Promise<T>): Promise<T>
  /** Raw statements, for migrations and checks. */
  execute(sql: string): Promise<void>
  query<T = Record<string, unknown>>(sql: string): Promise<T[]>
  /** Is a write possible right now? */
  ready(): Promise<boolean>
  close(): Promise<void>
}

export const scopeOf = (session: Session, companyId: string): Scope => ({ ...session, companyId })
