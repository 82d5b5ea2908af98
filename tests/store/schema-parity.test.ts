// Do both databases, after migrating, report the same schema?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { migrationNames } from '../../server/store/migrate.ts'
import { defineTables } from '../../server/store/tables/index.ts'
import * as postgresTables from '../../server/store/tables/postgres.ts'
import * as sqliteTables from '../../server/store/tables/sqlite.ts'
import { freshStore, type TestStore } from '../support/stores.ts'

interface Column {
  table: string
  column: string
  nullable: boolean
  hasDefault: boolean
}

let sqlite: TestStore
let postgres: TestStore
beforeAll(async () => {
  sqlite = await freshStore('sqlite')
  postgres = await freshStore('pglite')
})
afterAll(async () => {
  await sqlite.remove()
  await postgres.remove()
})

const SQLITE_TABLES = `select name from sqlite_master where type = 'table' and name <> 'migrations' order by name`
const POSTGRES_TABLES = `select table_name as name from information_schema.tables
  where table_schema = 'public' and table_name <> 'migrations' order by table_name collate "C"`

describe('the schema after migrating', () => {
  it('has the same migrations on both', () => {
    expect(migrationNames('sqlite')).toEqual(migrationNames('postgres'))
    expect(migrationNames('sqlite').length).toBeGreaterThan(0)
  })

  it('has the same tables, and every one is exported to the generator', async () => {
    const left = (await sqlite.store.query<{ name: string }>(SQLITE_TABLES)).map((row) => row.name)
    const right = (await postgres.store.query<{ name: string }>(POSTGRES_TABLES)).map((row) => row.name)
    expect(left).toEqual(right)
    const defined = Object.keys(defineTables('sqlite')).sort()
    expect(Object.keys(sqliteTables).sort()).toEqual(defined)
    expect(Object.keys(postgresTables).sort()).toEqual(defined)
    expect(left).toHaveLength(defined.length)
  })

  it('has the same columns, nullability and no default on either', async () => {
    const left = await sqlite.store.query<{
      table: string
      column: string
      required: number
      preset: unknown
      key: number
    }>(
      `select m.name as "table", p.name as "column", p."notnull" as required, p.dflt_value as preset, p.pk as key
       from sqlite_master m join pragma_table_info(m.name) p
       where m.type = 'table' and m.name <> 'migrations'`,
    )
    const right = await postgres.store.query<{
      table: string
      column: string
      nullable: string
      preset: unknown
    }>(
      `select table_name as "table", column_name as "column", is_nullable as nullable, column_default as preset
       from information_schema.columns where table_schema = 'public' and table_name <> 'migrations'`,
    )
    const sqliteColumns = left.map(
      (row): Column => ({
        table: row.table,
        column: row.column,
        nullable: row.required === 0 && row.key === 0,
        hasDefault: row.preset !== null,
      }),
    )
    const postgresColumns = right.map(
      (row): Column => ({
        table: row.table,
        column: row.column,
        nullable: row.nullable === 'YES',
        hasDefault: row.preset !== null,
      }),
    )
    const byName = (a: Column, b: Column) => (`${a.table}.${a.column}` < `${b.table}.${b.column}` ? -1 : 1)
    expect(sqliteColumns.sort(byName)).toEqual(postgresColumns.sort(byName))
    expect(sqliteColumns.filter((column) => column.hasDefault)).toEqual([])
  })

  it('has the same unique keys and foreign keys', async () => {
    const left = await sqlite.store.query<{ key: string }>(
      `select m.name || ':' || (select group_concat(name, ',') from pragma_index_info(i.name)) as key
       from sqlite_master m join pragma_index_list(m.name) i where m.type = 'table' and i."unique" = 1 and m.name <> 'migrations'`,
    )
    const right = await postgres.store.query<{ key: string }>(
      `select t.relname || ':' || string_agg(a.attname, ',' order by k.position) as key
       from pg_index i join pg_class t on t.oid = i.indrelid join pg_namespace n on n.oid = t.relnamespace
       cross join lateral unnest(i.indkey) with ordinality as k(attnum, position)
       join pg_attribute a on a.attrelid = t.oid and a.attnum = k.attnum
       where i.indisunique and n.nspname = 'public' and t.relname <> 'migrations' group by i.indexrelid, t.relname`,
    )
    expect(left.map((row) => row.key).sort()).toEqual(right.map((row) => row.key).sort())

    const leftLinks = await sqlite.store.query<{ link: string }>(
      `select m.name || ':' || group_concat(f."from", ',') || '>' || f."table" || ':' || group_concat(f."to", ',') as link
       from sqlite_master m join pragma_foreign_key_list(m.name) f where m.type = 'table' group by m.name, f.id`,
    )
    const rightLinks = await postgres.store.query<{ link: string }>(
      `select c.conrelid::regclass::text || ':' ||
         (select string_agg(a.attname, ',' order by k.n) from unnest(c.conkey) with ordinality k(att, n)
           join pg_attribute a on a.attrelid = c.conrelid and a.attnum = k.att) || '>' ||
         c.confrelid::regclass::text || ':' ||
         (select string_agg(a.attname, ',' order by k.n) from unnest(c.confkey) with ordinality k(att, n)
           join pg_attribute a on a.attrelid = c.confrelid and a.attnum = k.att) as link
       from pg_constraint c where c.contype = 'f'`,
    )
    expect(leftLinks.map((row) => row.link).sort()).toEqual(rightLinks.map((row) => row.link).sort())
    expect(leftLinks.length).toBeGreaterThan(40)
  })

  it('keeps every company-owned table under a key that begins with the company', async () => {
    const keys = await sqlite.store.query<{ table: string; key: string }>(
      `select m.name as "table", (select group_concat(name, ',') from
         (select name from pragma_table_info(m.name) where pk > 0 order by pk)) as key
       from sqlite_master m where m.type = 'table' and m.name <> 'migrations'`,
    )
    // What belongs to a person, whichever companies they are in.
    const global = [
      'companies',
      'people',
      'sessions',
      'sign_ins',
      'authenticators',
      'passkeys',
      'recovery_codes',
      'sign_in_steps',
    ]
    for (const { table, key } of keys)
      if (!global.includes(table)) expect(key, table).toMatch(/^company_id(,|$)/)
  })

  it('has STRICT tables and the append-only triggers', async () => {
    const loose = await sqlite.store.query<{ name: string }>(
      `select name from pragma_table_list where type = 'table' and strict = 0 and name not like 'sqlite_%' and name <> 'migrations'`,
    )
    expect(loose).toEqual([])
    const left = await sqlite.store.query<{ table: string }>(
      `select distinct tbl_name as "table" from sqlite_master where type = 'trigger' and name like '%no_delete'`,
    )
    const right = await postgres.store.query<{ table: string }>(
      `select distinct c.relname as "table" from pg_trigger g join pg_class c on c.oid = g.tgrelid where g.tgname like '%no_change'`,
    )
    expect(left.map((row) => row.table).sort()).toEqual(right.map((row) => row.table).sort())
    expect(left.map((row) => row.table)).toContain('entries')
  })
})
