// Does the embedded database commit what is waiting together, and keep each unit's failure to itself?

import { readFileSync } from 'node:fs'
import Database from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { newId } from '../../server/ids.ts'
import { openSqlite } from '../../server/store/sqlite.ts'
import type { Session, Store } from '../../server/store/store.ts'
import { freshStore, type TestStore } from '../support/stores.ts'

let test: TestStore
let store: Store
/** Another connection, as another program would see the file. */
let outside: Database.Database
beforeEach(async () => {
  test = await freshStore('sqlite')
  store = test.store
  outside = new Database(test.file ?? '', { readonly: true })
})
afterEach(async () => {
  outside.close()
  await test.remove()
})

const addCompany = async ({ db, t }: Session, name: string, id = newId()) => {
  await db.insert(t.companies).values({ id, name, createdAt: 1 })
  return id
}
const names = () =>
  outside
    .prepare('select name from companies order by name')
    .all()
    .map((row) => (row as { name: string }).name)
/** In the log that is written ahead, the last page of each commit says how large the database is after it. */
function commitsInLog(): number {
  const log = readFileSync(`${test.file}-wal`)
  const frame = 24 + log.readUInt32BE(8)
  let commits = 0
  for (let at = 32; at + frame <= log.length; at += frame) if (log.readUInt32BE(at + 4) !== 0) commits += 1
  return commits
}
const outcomeOf = (work: Promise<unknown>) =>
  work.then(
    () => 'done',
    (problem) => (problem as { code?: string; message: string }).code ?? (problem as Error).message,
  )

describe('the writer', () => {
  it('puts what is waiting into one commit', async () => {
    await store.execute('pragma wal_checkpoint(truncate)')
    await Promise.all(
      Array.from({ length: 40 }, (_, index) =>
        store.transaction((session) => addCompany(session, `Company ${String(index).padStart(2, '0')}`)),
      ),
    )
    expect(names()).toHaveLength(40)
    expect(commitsInLog()).toBe(1)
    await store.transaction((session) => addCompany(session, 'One more'))
    expect(commitsInLog()).toBe(2)
  })

  it('answers only after the commit, all of a batch together', async () => {
    const seen: number[] = []
    await Promise.all(
      Array.from({ length: 10 }, (_, index) =>
        store
          .transaction((session) => addCompany(session, `Company ${index}`))
          .then(() => seen.push(names().length)),
      ),
    )
    // Each answer came when all ten could be read by another connection.
    expect(seen).toEqual(Array.from({ length: 10 }, () => 10))
  })

  it('takes only the failing unit back', async () => {
    const outcomes = await Promise.all([
      outcomeOf(store.transaction((session) => addCompany(session, 'One'))),
      outcomeOf(
        store.transaction(async (session) => {
          await addCompany(session, 'Half')
          throw new Error('changed my mind')
        }),
      ),
      outcomeOf(store.transaction((session) => addCompany(session, 'Two'))),
    ])
    expect(outcomes).toEqual(['done', 'changed my mind', 'done'])
    expect(names()).toEqual(['One', 'Two'])
  })

  it('refuses a unit that breaks a key or a link, as missing or as already there, and keeps the others', async () => {
    const id = newId()
    const outcomes = await Promise.all([
      outcomeOf(store.transaction((session) => addCompany(session, 'One', id))),
      outcomeOf(store.transaction((session) => addCompany(session, 'Same id', id))),
      outcomeOf(
        store.transaction(async (session) => {
          await addCompany(session, 'Orphan')
          await session.db.insert(session.t.chains).values({
            companyId: 'no-such-company',
            id: newId(),
            kind: 'system',
            headNumber: 0,
            headHash: '0',
          })
        }),
      ),
      outcomeOf(store.transaction((session) => addCompany(session, 'Two'))),
    ])
    expect(outcomes).toEqual(['done', 'already-there', 'missing', 'done'])
    expect(names()).toEqual(['One', 'Two'])
  })

  it('refuses a whole batch as busy when a unit ends the transaction, and goes on with the next', async () => {
    await store.execute(
      `create trigger no_more before insert on companies when new.name = 'Bad' begin select raise(rollback, 'the end'); end`,
    )
    const outcomes = await Promise.all([
      outcomeOf(store.transaction((session) => addCompany(session, 'One'))),
      outcomeOf(store.transaction((session) => addCompany(session, 'Bad'))),
      outcomeOf(store.transaction((session) => addCompany(session, 'Two'))),
    ])
    expect(outcomes[0]).toBe('busy')
    expect(outcomes[2]).toBe('busy')
    expect(outcomes[1]).not.toBe('done')
    expect(names()).toEqual([])
    await store.transaction((session) => addCompany(session, 'Three'))
    expect(names()).toEqual(['Three'])
  })

  it('refuses a batch whose commit fails on a link that was left for later', async () => {
    await store.execute('create table parents (id text primary key) strict')
    await store.execute(
      'create table children (id text primary key, parent text references parents (id) deferrable initially deferred) strict',
    )
    const outcomes = await Promise.all([
      outcomeOf(store.transaction((session) => addCompany(session, 'One'))),
      outcomeOf(
        store.transaction(async (session) => {
          await session.db.run("insert into children values ('a', 'nobody')" as never)
        }),
      ),
    ])
    expect(outcomes).toEqual(['busy', 'busy'])
    expect(names()).toEqual([])
    await store.transaction((session) => addCompany(session, 'After'))
    expect(names()).toEqual(['After'])
  })

  it('notices a unit that awaits something other than the store', async () => {
    const complaints: string[] = []
    const other = openSqlite(`${test.file}.other`, {
      onHeldUp: (problem) => complaints.push(problem.message),
    })
    await other.transaction(async () => {
      await new Promise((resolve) => setTimeout(resolve, 5))
    })
    await other.transaction(async () => {
      await Promise.resolve()
    })
    expect(complaints).toEqual(['A transaction awaited something other than the store.'])
    await other.close()
    // In tests it is an error.
    await expect(
      store.transaction(async () => {
        await new Promise((resolve) => setTimeout(resolve, 5))
      }),
    ).rejects.toThrow(/awaited something other/)
  })

  it('has no use left for a session whose transaction has ended', async () => {
    let kept: Session | undefined
    await store.transaction(async (session) => {
      kept = session
    })
    expect(() => kept?.db).toThrow(/has ended/)
  })

  it('finishes what it accepted before it closes', async () => {
    const other = openSqlite(`${test.file}.closing`)
    await other.execute('create table companies (id text, name text, created_at integer, second_step text)')
    const writes = Array.from({ length: 100 }, (_, index) =>
      other.transaction((session) => addCompany(session, `Company ${index}`)),
    )
    await other.close()
    await Promise.all(writes)
    const again = new Database(`${test.file}.closing`, { readonly: true })
    expect(again.prepare('select count(*) as n from companies').get()).toEqual({ n: 100 })
    again.close()
  })

  it('writes durably: a log that is written ahead, synced at each commit', async () => {
    const [{ journal_mode } = { journal_mode: '' }] = await store.query<{ journal_mode: string }>(
      'pragma journal_mode',
    )
    const [{ synchronous } = { synchronous: 0 }] = await store.query<{ synchronous: number }>(
      'pragma synchronous',
    )
    expect([journal_mode, synchronous]).toEqual(['wal', 2])
  })
})

describe('the reader', () => {
  it('sees only what was committed', async () => {
    let during: number | undefined
    await store.transaction(async (session) => {
      await addCompany(session, 'One')
      const { db, t } = store.reader()
      during = (await db.select().from(t.companies)).length
    })
    expect(during).toBe(0)
    const { db, t } = store.reader()
    expect(await db.select().from(t.companies)).toHaveLength(1)
  })

  it('can write nothing', async () => {
    await expect(addCompany(store.reader(), 'One')).rejects.toThrow()
    expect(names()).toEqual([])
  })
})
