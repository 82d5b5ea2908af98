// How is a migration made? drizzle-kit writes one for each database from the one table definition.
// Usage: npm run migrations -- <name>, or npm run migrations -- <name> --custom for hand-written SQL.

import { execFileSync } from 'node:child_process'
import { readdirSync, readFileSync, writeFileSync } from 'node:fs'

const [name, ...flags] = process.argv.slice(2)
if (!name) throw new Error('Name the migration: npm run migrations -- add_something')

for (const [dialect, folder] of [
  ['sqlite', 'sqlite'],
  ['postgresql', 'postgres'],
] as const) {
  execFileSync(
    'npx',
    [
      'drizzle-kit',
      'generate',
      `--dialect=${dialect}`,
      `--schema=./server/store/tables/${folder}.ts`,
      `--out=./migrations/${folder}`,
      `--name=${name}`,
      ...flags,
    ],
    { stdio: 'inherit' },
  )
}

// SQLite keeps to the declared types only in STRICT tables, which drizzle-kit does not write.
for (const file of readdirSync('migrations/sqlite').filter((entry) => entry.endsWith(`_${name}.sql`))) {
  const path = `migrations/sqlite/${file}`
  const sql = readFileSync(path, 'utf8')
  writeFileSync(path, sql.replaceAll(/^\)(?: STRICT)?;$/gm, ') STRICT;'))
}
