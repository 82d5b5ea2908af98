// Which migrations are missing? Applied in order, each whole or not at all; a newer database is refused.

import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { ROOT } from '../root.ts'
import { rebuildSearch } from './search-terms.ts'
import type { Store } from './store.ts'

export function migrationNames(dialect: Store['dialect']): string[] {
  return readdirSync(join(ROOT, 'migrations', dialect))
    .filter((file) => file.endsWith('.sql'))
    .map((file) => file.slice(0, -'.sql'.length))
    .sort()
}

/** Brings the database up to the program; answers the names applied now. */
export async function migrate(store: Store): Promise<string[]> {
  await store.execute(
    'create table if not exists migrations (name text primary key, applied_at text not null)',
  )
  const known = migrationNames(store.dialect)
  const applied = new Set(
    (await store.query<{ name: string }>('select name from migrations')).map((row) => row.name),
  )
  const unknown = [...applied].filter((name) => !known.includes(name))
  if (unknown.length > 0)
    throw new Error(
      `This database is newer than the program: it has ${unknown.join(', ')}. Start a newer program.`,
    )
  const missing = known.filter((name) => !applied.has(name))
  for (const name of missing) {
    const sql = readFileSync(join(ROOT, 'migrations', store.dialect, `${name}.sql`), 'utf8')
    await store.execute(
      `begin;\n${sql.replaceAll('--> statement-breakpoint', '')};\n` +
        `insert into migrations (name, applied_at) values ('${name}', '${new Date().toISOString()}');\ncommit;`,
    )
  }
  // What is there already is to be found too; an empty database has nothing to look through.
  if (missing.some((name) => name.endsWith('_search')) && applied.size > 0) await rebuildSearch(store)
  return missing
}
