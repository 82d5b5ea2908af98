// How does the embedded database take many durable writes? One writer commits what is waiting together.

import { mkdirSync } from 'node:fs'
import { dirname } from 'node:path'
import Database from 'better-sqlite3'
import { drizzle } from 'drizzle-orm/better-sqlite3'
import { busy } from '../refusals.ts'
import { asNow } from '../words/say.ts'
import { asRefusal } from './failures.ts'
import type { Db, HowLong, Session, Store } from './store.ts'
import { defineTables } from './tables/index.ts'

/** How many waiting units share one commit; 16, 64 and 256 were not told apart when tried. */
const BATCH = 64

interface Unit {
  work(session: Session): Promise<unknown>
  slow: boolean
  resolve(value: unknown): void
  reject(problem: unknown): void
}

export interface SqliteOptions {
  /** What happens when a unit awaits anything but the store, and so holds everybody up. */
  onHeldUp?: ((problem: Error) => void) | undefined
}

export function openSqlite(file: string, options: SqliteOptions = {}): Store {
  mkdirSync(dirname(file), { recursive: true })
  const tables = defineTables('sqlite')
  const writer = connect(file, false)
  const reader = connect(file, true)
  const writerDb = drizzle(writer) as unknown as Db
  const readerDb = drizzle(reader) as unknown as Db

  const begin = writer.prepare('begin immediate')
  const commit = writer.prepare('commit')
  const rollback = writer.prepare('rollback')
  const savepoint = writer.prepare('savepoint unit')
  const release = writer.prepare('release unit')
  const rollbackUnit = writer.prepare('rollback to unit')

  const waiting: Unit[] = []
  let draining = false

  function schedule() {
    if (draining || waiting.length === 0) return
    draining = true
    // The next turn of the loop: whatever else arrived in this one joins the same commit.
    setImmediate(() => {
      void drain().finally(() => {
        draining = false
        schedule()
      })
    })
  }

  async function drain() {
    const batch = waiting.splice(0, BATCH)
    try {
      begin.run()
    } catch (problem) {
      for (const unit of batch) unit.reject(asRefusal(problem))
      return
    }
    const answers: (() => void)[] = []
    for (const unit of batch) {
      savepoint.run()
      try {
        const value = await alone(unit)
        release.run()
        answers.push(() => unit.resolve(value))
      } catch (problem) {
        if (!writer.inTransaction) {
          // A full disk or RAISE(ROLLBACK) ends the whole transaction: nothing of this batch was written.
          for (const other of batch) other.reject(other === unit ? asRefusal(problem) : busy())
          return
        }
        rollbackUnit.run()
        release.run()
        answers.push(() => unit.reject(asRefusal(problem)))
      }
    }
    try {
      commit.run()
    } catch (problem) {
      if (writer.inTransaction) rollback.run()
      for (const unit of batch) unit.reject(busy(asRefusal(problem).message))
      return
    }
    for (const answer of answers) answer()
  }

  async function alone(unit: Unit): Promise<unknown> {
    let over = false
    const session: Session = {
      get db() {
        if (over) throw new Error('This transaction has ended; a promise was forgotten in it.')
        return writerDb
      },
      t: tables,
      dialect: 'sqlite',
    }
    let heldUp = false
    const watch = setImmediate(() => {
      heldUp = true
    })
    try {
      return await unit.work(session)
    } finally {
      over = true
      clearImmediate(watch)
      if (heldUp && !unit.slow)
        options.onHeldUp?.(new Error('A transaction awaited something other than the store.'))
    }
  }

  return {
    dialect: 'sqlite',
    tables,
    reader: () => ({ db: readerDb, t: tables, dialect: 'sqlite' }),
    transaction<T>(work: (session: Session) => Promise<T>, how?: HowLong) {
      return new Promise<T>((resolve, reject) => {
        waiting.push({
          work: asNow(work),
          slow: how?.slow === true,
          resolve: resolve as (value: unknown) => void,
          reject,
        })
        schedule()
      })
    },
    async snapshot<T>(work: (session: Session) => Promise<T>) {
      // A connection of its own: what others read goes on seeing what is written.
      const own = connect(file, true)
      try {
        own.exec('begin')
        return await work({ db: drizzle(own) as unknown as Db, t: tables, dialect: 'sqlite' })
      } finally {
        own.close()
      }
    },
    async execute(sql) {
      writer.exec(sql)
    },
    async query<T>(sql: string) {
      return writer.prepare(sql).all() as T[]
    },
    async ready() {
      begin.run()
      rollback.run()
      return true
    },
    async close() {
      while (draining || waiting.length > 0) await new Promise((resolve) => setImmediate(resolve))
      reader.close()
      writer.close()
    },
  }
}

function connect(file: string, readonly: boolean): Database.Database {
  const connection = new Database(file, { readonly })
  connection.pragma('busy_timeout = 5000')
  connection.pragma('foreign_keys = on')
  // Without it INSERT OR REPLACE slips past the triggers that refuse deletion.
  connection.pragma('recursive_triggers = on')
  if (!readonly) {
    connection.pragma('journal_mode = wal')
    connection.pragma('synchronous = full')
  }
  keepStatements(connection)
  return connection
}

/** How many compiled statements a connection keeps. */
const STATEMENTS = 500

/**
 * Compiling a statement costs more than running most of them, and the query builder asks for it anew each time.
 * Safe because every statement is run to its end before the next is asked for.
 */
function keepStatements(connection: Database.Database): void {
  const compile = connection.prepare.bind(connection)
  const kept = new Map<string, Database.Statement>()
  connection.prepare = ((text: string) => {
    const known = kept.get(text)
    if (known) {
      // The builder may have left it answering arrays.
      if (known.reader) known.raw(false)
      return known
    }
    const made = compile(text)
    kept.set(text, made)
    const oldest = kept.size > STATEMENTS ? kept.keys().next().value : undefined
    if (oldest !== undefined) kept.delete(oldest)
    return made
  }) as typeof connection.prepare
}
