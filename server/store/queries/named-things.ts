// Which sites, instruments or sheets are there already, by the names they are told apart by?

import { asc, eq } from 'drizzle-orm'
import type { Scope } from '../store.ts'

export interface NamedThing {
  id: string
  /** A customer and an address, a kind and a serial, a maker and a model. */
  name: string[]
}

export async function listNamedThings(
  { db, t, companyId }: Scope,
  kind: 'sites' | 'instruments' | 'equipment-sheets',
): Promise<NamedThing[]> {
  if (kind === 'sites') {
    const { sites } = t
    const rows = await db
      .select({ id: sites.id, customer: sites.customerName, address: sites.address })
      .from(sites)
      .where(eq(sites.companyId, companyId))
      .orderBy(asc(sites.id))
    return rows.map(({ id, customer, address }) => ({ id, name: [customer, address] }))
  }
  if (kind === 'instruments') {
    const { instruments } = t
    const rows = await db
      .select({ id: instruments.id, kind: instruments.kind, serial: instruments.serial })
      .from(instruments)
      .where(eq(instruments.companyId, companyId))
      .orderBy(asc(instruments.id))
    return rows.map((one) => ({ id: one.id, name: [one.kind, one.serial] }))
  }
  const { equipmentSheets } = t
  const rows = await db
    .select({ id: equipmentSheets.id, maker: equipmentSheets.maker, model: equipmentSheets.model })
    .from(equipmentSheets)
    .where(eq(equipmentSheets.companyId, companyId))
    .orderBy(asc(equipmentSheets.id))
  return rows.map(({ id, maker, model }) => ({ id, name: [maker, model] }))
}
