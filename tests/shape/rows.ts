// What stands in the database, all of it or one company's, so that a test can say that nothing changed?

import { createHash } from 'node:crypto'
import { getTableColumns, getTableName } from 'drizzle-orm'
import type { SQLiteTable } from 'drizzle-orm/sqlite-core'
import type { Store } from '../../server/store/store.ts'

/** Sessions come and go with signing in; they are nobody's record. */
const LEFT_OUT = new Set(['sessions'])

/** A digest of every row, by table; with a company, of that company's rows. */
export async function rowsOf(store: Store, companyId?: string): Promise<Record<string, string>> {
  const digests: Record<string, string> = {}
  for (const table of Object.values(store.tables)) {
    const name = getTableName(table as SQLiteTable)
    if (LEFT_OUT.has(name)) continue
    const owned = 'companyId' in table
    if (companyId !== undefined && !owned) continue
    const order = Object.keys(getTableColumns(table as SQLiteTable)).length > 2 ? '1, 2, 3' : '1, 2'
    const rows = await store.query(
      `select * from ${name}${companyId === undefined ? '' : ` where company_id = '${companyId}'`} order by ${order}`,
    )
    digests[name] = `${rows.length} rows, ${createHash('sha256').update(JSON.stringify(rows)).digest('hex')}`
  }
  return digests
}

/** Every text of a company's rows: what nobody else may come to read. */
export async function textsOf(store: Store, companyId: string): Promise<Set<string>> {
  const texts = new Set<string>()
  for (const table of Object.values(store.tables)) {
    if (!('companyId' in table)) continue
    const rows = await store.query<Record<string, unknown>>(
      `select * from ${getTableName(table as SQLiteTable)} where company_id = '${companyId}'`,
    )
    for (const row of rows)
      for (const value of Object.values(row)) if (typeof value === 'string') texts.add(value)
  }
  return texts
}

/** How many rows there are, by table, and how far the chains go: quick enough to ask after every request. */
export async function countsOf(store: Store): Promise<string> {
  const names = Object.values(store.tables)
    .map((table) => getTableName(table as SQLiteTable))
    .filter((name) => !LEFT_OUT.has(name))
  const [row] = await store.query(
    `select ${names.map((name) => `(select count(*) from ${name}) as ${name}`).join(', ')},
       (select sum(head_number) from chains) as all_heads`,
  )
  return JSON.stringify(row)
}
