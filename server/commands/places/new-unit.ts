// How does a unit come to stand in a system? A dated row; serials are kept lower-case beside, for search.

import type { UnitRow } from '../../store/queries/systems.ts'
import { keepFindable, unitFoundBy } from '../../store/search-terms.ts'
import type { Scope } from '../../store/store.ts'
import type { UnitRole } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'

export interface NewUnit {
  id: string
  systemId: string
  role: UnitRole
  name: string
  model: string
  serial: string
  installedAt: number
  now: number
  equipmentSheetId?: string | null
  replacesUnitId?: string | null
  warrantyStartAt?: number | null
  warrantyEndAt?: number | null
  registeredWithMaker?: boolean
}

export const unitNames = (): Record<UnitRole, string> => ({
  outdoor: say.systems.outdoorUnit,
  indoor: say.systems.indoorUnit,
  branch: say.systems.branchUnit,
})

export async function insertUnit(scope: Scope, unit: NewUnit): Promise<UnitRow> {
  const { db, t, companyId } = scope
  const row: UnitRow = {
    companyId,
    id: unit.id,
    systemId: unit.systemId,
    role: unit.role,
    name: unit.name,
    model: unit.model,
    serial: unit.serial,
    serialLower: unit.serial.toLowerCase(),
    equipmentSheetId: unit.equipmentSheetId ?? null,
    replacesUnitId: unit.replacesUnitId ?? null,
    installedAt: unit.installedAt,
    warrantyStartAt: unit.warrantyStartAt ?? null,
    warrantyEndAt: unit.warrantyEndAt ?? null,
    registeredWithMaker: unit.registeredWithMaker ?? false,
    createdAt: unit.now,
  }
  await db.insert(t.units).values(row)
  await keepFindable(scope, [unitFoundBy(row)])
  return row
}

/** A unit as the chain carries it. */
export const unitBody = (unit: UnitRow): Record<string, unknown> => ({
  unit: unit.id,
  role: unit.role,
  model: unit.model,
  serial: unit.serial,
  sheet: unit.equipmentSheetId,
  replaces: unit.replacesUnitId,
  installedAt: unit.installedAt,
  warrantyStartAt: unit.warrantyStartAt,
  warrantyEndAt: unit.warrantyEndAt,
  registeredWithMaker: unit.registeredWithMaker,
})
