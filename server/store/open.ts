// Which database does an address name?

import { openSqlite, type SqliteOptions } from './sqlite.ts'
import type { Store } from './store.ts'

export async function openStore(url: string, options: SqliteOptions = {}): Promise<Store> {
  if (url.startsWith('sqlite:')) return openSqlite(url.slice('sqlite:'.length), options)
  if (/^postgres(ql)?:\/\//.test(url)) return (await import('./postgres.ts')).openPostgres(url)
  throw new Error(`DATABASE_URL must begin with sqlite: or postgres://, not "${url.split(':')[0]}:".`)
}
