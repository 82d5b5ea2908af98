// Can what was recorded be changed, taken out or slipped in? Not through the database either.

import { getTableName } from 'drizzle-orm'
import type { SQLiteTable } from 'drizzle-orm/sqlite-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { changeLineSet } from '../../server/commands/places/change-line-set.ts'
import { changeSystem } from '../../server/commands/places/change-system.ts'
import { newId } from '../../server/ids.ts'
import { FACT_TABLES, FIRST_HASH, verifyChain } from '../../server/store/record.ts'
import { scopeOf } from '../../server/store/store.ts'
import { rowsOf } from '../shape/rows.ts'
import { aWorld, teamA, type World } from '../shape/world.ts'
import { aCast, type Cast } from '../support/cast.ts'
import { STORE_KINDS } from '../support/stores.ts'

describe.each(STORE_KINDS)('the record on %s', (kind) => {
  let cast: Cast
  let world: World
  beforeAll(async () => {
    cast = await aCast(kind)
    world = await aWorld(cast, teamA(cast), 'Aldermoor')
  })
  afterAll(() => cast.remove())

  const nameOf = (table: (typeof FACT_TABLES)[number] | 'entries') =>
    getTableName(cast.store.store.tables[table] as SQLiteTable)
  const guarded = [...FACT_TABLES, 'entries'] as const
  /** A table without a row proves nothing on a row trigger; a copy of any row would break its links. */
  const rowIn = async (name: string) =>
    (await cast.store.store.query<Record<string, unknown>>(`select * from ${name} limit 1`))[0]
  const saying = (action: Promise<unknown>) =>
    action.then(
      () => 'went through',
      (problem: Error & { cause?: Error }) => `${problem.message} ${problem.cause?.message ?? ''}`,
    )

  it('has rows in nearly every table of facts, so that what follows is put to the test', async () => {
    const filled = []
    for (const table of guarded) if (await rowIn(nameOf(table))) filled.push(table)
    for (const table of ['makes', 'steps', 'sectionTests', 'sectionReadings', 'charges', 'entries'] as const)
      expect(filled).toContain(table)
    expect(filled.length).toBeGreaterThanOrEqual(12)
  })

  it.each(guarded)('refuses to change, delete or replace rows of %s', async (table) => {
    const name = nameOf(table)
    const before = await rowsOf(cast.store.store)
    const row = await rowIn(name)
    const refused = new RegExp(`append-only: ${name}`)
    if (kind !== 'sqlite') {
      expect(await saying(cast.store.store.execute(`truncate ${name} cascade`))).toMatch(/append-only/)
    }
    if (row) {
      const [column] = Object.keys(row)
      const where = `where company_id = '${row.company_id}' and id = '${row.id}'`
      expect(
        await saying(cast.store.store.execute(`update ${name} set ${column} = ${column} ${where}`)),
      ).toMatch(refused)
      expect(await saying(cast.store.store.execute(`delete from ${name} ${where}`))).toMatch(refused)
      expect(await saying(cast.store.store.execute(`delete from ${name}`))).toMatch(refused)
      if (kind === 'sqlite') {
        const columns = Object.keys(row).join(', ')
        const replacing = `insert or replace into ${name} (${columns}) select ${columns} from ${name} ${where}`
        expect(await saying(cast.store.store.execute(replacing))).toMatch(/append-only|out of order/)
        expect(await saying(cast.store.store.execute(replacing.replace('insert or ', '')))).toMatch(
          /append-only|out of order/,
        )
      } else {
        const upsert = `insert into ${name} select * from ${name} ${where} on conflict do nothing`
        // Nothing to do is no change; an update on conflict would be one.
        expect(await saying(cast.store.store.execute(upsert))).toBe('went through')
        const key = table === 'entries' ? 'company_id, chain_id, number' : 'company_id, id'
        const update = `insert into ${name} select * from ${name} ${where} on conflict (${key}) do update set ${column} = excluded.${column}`
        expect(await saying(cast.store.store.execute(update))).toMatch(refused)
      }
    }
    expect(await rowsOf(cast.store.store)).toEqual(before)
  })

  it('refuses an entry that leaves a gap, forks, or begins a chain that has begun', async () => {
    const { store } = cast.store
    const [head] = await store.query<{ number: number; hash: string }>(
      `select number, hash from entries where chain_id = '${world.systemId}' order by number desc limit 1`,
    )
    if (!head) throw new Error('no chain')
    const insert = (number: number, previous: string) =>
      saying(
        store.execute(
          `insert into entries (company_id, chain_id, number, id, kind, subject_id, job_id, member_id, at, content, previous_hash, hash)
           values ('${world.companyId}', '${world.systemId}', ${number}, '${newId()}', 'made-up', 'x', null, null, 1, '{}', '${previous}', 'h')`,
        ),
      )
    const before = await rowsOf(store)
    expect(await insert(Number(head.number) + 2, head.hash)).toMatch(/out of order/)
    expect(await insert(Number(head.number) + 1, 'f'.repeat(64))).toMatch(/out of order/)
    expect(await insert(0, FIRST_HASH)).toMatch(/out of order/)
    // A second first entry meets the key.
    expect(await insert(1, FIRST_HASH)).toMatch(/unique|duplicate/i)
    expect(await rowsOf(store)).toEqual(before)
  })

  it('keeps one unbroken chain when 16 write on the same system at once', async () => {
    const { store } = cast.store
    const scope = scopeOf(store.reader(), world.companyId)
    const count = async () =>
      Number(
        (
          await store.query<{ n: number }>(
            `select count(*) as n from entries where chain_id = '${world.systemId}'`,
          )
        )[0]?.n,
      )
    const before = await count()
    await Promise.all(
      Array.from({ length: 16 }, async (_, writer) => {
        for (let turn = 0; turn < 4; turn += 1) {
          if (turn % 2 === 0)
            await cast.run(cast.tess, changeSystem, {
              systemId: world.systemId,
              name: `Hall ${writer}.${turn}`,
            })
          else
            await cast.run(cast.sam, changeLineSet, {
              lineSetId: world.lineSetId,
              name: `Hall ${writer}.${turn}`,
            })
        }
      }),
    )
    expect((await count()) - before).toBe(64)
    expect(await verifyChain(scope, world.systemId)).toEqual([])
  })

  it('says which entry was touched, once somebody gets past the guards', async () => {
    if (kind !== 'sqlite') return
    const { store } = cast.store
    const scope = scopeOf(store.reader(), world.companyId)
    await store.execute('drop trigger steps_no_update')
    await store.execute(
      `update steps set performed_at = performed_at + 60000 where id = (select id from steps where kind = 'torque' and system_id = '${world.systemId}' limit 1)`,
    )
    const faults = await verifyChain(scope, world.systemId)
    expect(faults).toHaveLength(1)
    expect(faults[0]?.what).toMatch(/^steps .* was changed$/)
  })
})
