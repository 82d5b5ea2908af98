// How does a record move to another database, whole? Row by row, in an order in which nothing refers to what is not there yet.

import { eq, getTableColumns, getTableName } from 'drizzle-orm'
import type { SQLiteTable } from 'drizzle-orm/sqlite-core'
import type { Session, Store } from './store.ts'
import type { Tables } from './tables/index.ts'

/** In which column a row of a table may name another row of the same table. */
const NAMES_ANOTHER: Partial<Record<keyof Tables, string>> = {
  units: 'replacesUnitId',
  sectionTests: 'repeatOf',
  sectionReadings: 'correctsId',
  steps: 'correctsId',
  charges: 'correctsId',
  runningChecks: 'correctsId',
}

/** Whoever is signed in signs in again. */
const LEFT_BEHIND: ReadonlySet<string> = new Set(['sessions', 'signInSteps'])

const BATCH = 200

type Row = Record<string, unknown>

/** Copies every row into an empty, migrated database; answers how many of each table. All or nothing. */
export async function copyStore(from: Store, to: Store): Promise<{ table: string; rows: number }[]> {
  const source = from.reader()
  const counts: { table: string; rows: number }[] = []
  const companies = await source.db.select({ id: source.t.companies.id }).from(source.t.companies)
  const writeAll = async (target: Session) => {
    const there = await target.db.select({ id: target.t.companies.id }).from(target.t.companies).limit(1)
    if (there.length > 0) throw new Error('The other database holds companies already. It must be empty.')
    for (const [name, table] of Object.entries(source.t) as [keyof Tables, SQLiteTable][]) {
      if (LEFT_BEHIND.has(name)) continue
      const goal = target.t[name] as SQLiteTable
      const columns = getTableColumns(table)
      const { companyId } = columns
      let count = 0
      // Company by company: a whole table at once could be more than memory holds.
      for (const owner of companyId ? companies : [null]) {
        const rows = (await source.db
          .select()
          .from(table)
          .where(companyId && owner ? eq(companyId, owner.id) : undefined)) as Row[]
        for (const batch of batches(inOrder(name, rows))) {
          await target.db.insert(goal).values(batch as never)
          count += batch.length
        }
      }
      counts.push({ table: getTableName(table), rows: count })
    }
  }
  // It waits for the other database between its writes; nobody else is in this one yet.
  await to.transaction(writeAll, { slow: true })
  return counts
}

/** Entries follow one another; what names another row comes after it. */
function inOrder(name: keyof Tables, rows: Row[]): Row[] {
  if (name === 'entries')
    return rows.sort((a, b) => compare(a.chainId, b.chainId) || Number(a.number) - Number(b.number))
  const column = NAMES_ANOTHER[name]
  if (column === undefined) return rows
  const placed: Row[] = []
  const known = new Set<unknown>()
  let waiting = rows
  while (waiting.length > 0) {
    const later: Row[] = []
    for (const row of waiting) {
      if (row[column] === null || known.has(row[column])) {
        placed.push(row)
        known.add(row.id)
      } else later.push(row)
    }
    if (later.length === waiting.length) throw new Error(`Rows of ${name} refer to each other in a circle.`)
    waiting = later
  }
  return placed
}

const compare = (a: unknown, b: unknown) => (String(a) < String(b) ? -1 : String(a) > String(b) ? 1 : 0)

function* batches(rows: Row[]): Generator<Row[]> {
  for (let start = 0; start < rows.length; start += BATCH) yield rows.slice(start, start + BATCH)
}
