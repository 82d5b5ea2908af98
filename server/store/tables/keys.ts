// How are rows owned and linked? By company and id, both columns together, so that no link can cross companies.

import type { AnySQLiteColumn } from 'drizzle-orm/sqlite-core'
import type { Kit } from '../kit.ts'

export interface OwnedColumns {
  companyId: AnySQLiteColumn
  id: AnySQLiteColumn
}

/** The two columns every company-owned table begins with. */
export const ownedBy = (kit: Kit) => ({
  companyId: kit.text('company_id').notNull(),
  id: kit.text('id').notNull(),
})

export const ownedKey = (kit: Kit, table: OwnedColumns) =>
  kit.primaryKey({ columns: [table.companyId, table.id] })

/** A reference by company and id. */
export function link(
  kit: Kit,
  name: string,
  from: { companyId: AnySQLiteColumn },
  column: AnySQLiteColumn,
  to: OwnedColumns,
) {
  return kit.foreignKey({
    name,
    columns: [from.companyId, column],
    foreignColumns: [to.companyId, to.id],
  })
}

/** Who did it and when, beside who entered it and when: on every fact. */
export const provenance = (kit: Kit) => ({
  performedBy: kit.text('performed_by').notNull(),
  supervisedBy: kit.text('supervised_by'),
  witnessedBy: kit.text('witnessed_by'),
  performedAt: kit.moment('performed_at').notNull(),
  recordedBy: kit.text('recorded_by').notNull(),
  recordedAt: kit.moment('recorded_at').notNull(),
  deviceAt: kit.moment('device_at'),
})
