// How does one table definition serve two databases? Two records of column builders with the same shape.

import * as pg from 'drizzle-orm/pg-core'
import * as sqlite from 'drizzle-orm/sqlite-core'

export type Dialect = 'sqlite' | 'postgres'

const sqliteKit = {
  table: sqlite.sqliteTable,
  text: (name: string) => sqlite.text(name),
  int: (name: string) => sqlite.integer(name),
  /** Milliseconds since 1970; needs more than 32 bits. */
  moment: (name: string) => sqlite.integer(name),
  real: (name: string) => sqlite.real(name),
  bool: (name: string) => sqlite.integer(name, { mode: 'boolean' }),
  json: <T>(name: string) => sqlite.text(name, { mode: 'json' }).$type<T>(),
  primaryKey: sqlite.primaryKey,
  foreignKey: sqlite.foreignKey,
  uniqueIndex: sqlite.uniqueIndex,
  index: sqlite.index,
}
export type Kit = typeof sqliteKit

const jsonText = pg.customType<{ data: unknown; driverData: string }>({
  dataType: () => 'text',
  toDriver: (value) => JSON.stringify(value),
  fromDriver: (value) => JSON.parse(value),
})

const postgresKit = {
  table: pg.pgTable,
  text: (name: string) => pg.text(name),
  int: (name: string) => pg.integer(name),
  moment: (name: string) => pg.bigint(name, { mode: 'number' }),
  real: (name: string) => pg.doublePrecision(name),
  bool: (name: string) => pg.boolean(name),
  json: (name: string) => jsonText(name),
  primaryKey: pg.primaryKey,
  foreignKey: pg.foreignKey,
  uniqueIndex: pg.uniqueIndex,
  index: pg.index,
}

/** The builders of one dialect. The cast is the only place where the two type systems meet. */
export function kitFor(dialect: Dialect): Kit {
  return dialect === 'sqlite' ? sqliteKit : (postgresKit as unknown as Kit)
}
