// Where does the work happen, and on what? Sites, equipment sheets, systems, units, line sets.

import type { JointKind, RefrigerantName, Tubing, UnitRole } from '../../vocabulary.ts'
import type { Kit } from '../kit.ts'
import type { AsTyped, RoomFacts, SheetFigures } from '../rows.ts'
import { link, ownedBy, ownedKey } from './keys.ts'
import type { definePeople } from './people.ts'

export function definePlaces(kit: Kit, { companies }: ReturnType<typeof definePeople>) {
  /** Customer, address and contact are personal: the chain carries salted hashes of them only. */
  const sites = kit.table(
    'sites',
    {
      ...ownedBy(kit),
      customerName: kit.text('customer_name').notNull(),
      address: kit.text('address').notNull(),
      /** Shown on the public page of a certificate; no street. */
      town: kit.text('town').notNull(),
      contact: kit.text('contact'),
      elevationM: kit.real('elevation_m'),
      searchText: kit.text('search_text').notNull(),
      salt: kit.text('salt').notNull(),
      createdAt: kit.moment('created_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      kit.foreignKey({ name: 'sites_company_fk', columns: [t.companyId], foreignColumns: [companies.id] }),
      kit.index('sites_created_index').on(t.companyId, t.createdAt, t.id),
    ],
  )

  const equipmentSheets = kit.table(
    'equipment_sheets',
    {
      ...ownedBy(kit),
      maker: kit.text('maker').notNull(),
      model: kit.text('model').notNull(),
      kind: kit.text('kind').notNull(),
      refrigerant: kit.text('refrigerant').$type<RefrigerantName>().notNull(),
      figures: kit.json<SheetFigures>('figures').notNull(),
      typed: kit.json<Record<string, unknown>>('typed').notNull(),
      sourceDocument: kit.text('source_document').notNull(),
      sourcePage: kit.text('source_page').notNull(),
      createdAt: kit.moment('created_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      kit.foreignKey({
        name: 'equipment_sheets_company_fk',
        columns: [t.companyId],
        foreignColumns: [companies.id],
      }),
      kit.index('equipment_sheets_created_index').on(t.companyId, t.createdAt, t.id),
    ],
  )

  const systems = kit.table(
    'systems',
    {
      ...ownedBy(kit),
      siteId: kit.text('site_id').notNull(),
      name: kit.text('name').notNull(),
      /** What its joints' tags begin with; unique in the company. */
      tagPrefix: kit.text('tag_prefix').notNull(),
      refrigerant: kit.text('refrigerant').$type<RefrigerantName>().notNull(),
      equipmentSheetId: kit.text('equipment_sheet_id'),
      createdAt: kit.moment('created_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'systems_site_fk', t, t.siteId, sites),
      link(kit, 'systems_sheet_fk', t, t.equipmentSheetId, equipmentSheets),
      kit.uniqueIndex('systems_tag_prefix_unique').on(t.companyId, t.tagPrefix),
      kit.index('systems_site_index').on(t.companyId, t.siteId),
    ],
  )

  /** Dated rows: replaced, never overwritten. */
  const units = kit.table(
    'units',
    {
      ...ownedBy(kit),
      systemId: kit.text('system_id').notNull(),
      role: kit.text('role').$type<UnitRole>().notNull(),
      name: kit.text('name').notNull(),
      model: kit.text('model').notNull(),
      serial: kit.text('serial').notNull(),
      serialLower: kit.text('serial_lower').notNull(),
      equipmentSheetId: kit.text('equipment_sheet_id'),
      replacesUnitId: kit.text('replaces_unit_id'),
      installedAt: kit.moment('installed_at').notNull(),
      warrantyStartAt: kit.moment('warranty_start_at'),
      warrantyEndAt: kit.moment('warranty_end_at'),
      registeredWithMaker: kit.bool('registered_with_maker').notNull(),
      createdAt: kit.moment('created_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'units_system_fk', t, t.systemId, systems),
      link(kit, 'units_sheet_fk', t, t.equipmentSheetId, equipmentSheets),
      link(kit, 'units_replaces_fk', t, t.replacesUnitId, t),
      kit.index('units_system_index').on(t.companyId, t.systemId),
      kit.index('units_serial_index').on(t.companyId, t.serialLower),
    ],
  )

  const unitRemovals = kit.table(
    'unit_removals',
    {
      ...ownedBy(kit),
      unitId: kit.text('unit_id').notNull(),
      reason: kit.text('reason').notNull(),
      removedAt: kit.moment('removed_at').notNull(),
      recordedBy: kit.text('recorded_by').notNull(),
      recordedAt: kit.moment('recorded_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'unit_removals_unit_fk', t, t.unitId, units),
      kit.uniqueIndex('unit_removals_unit_unique').on(t.companyId, t.unitId),
    ],
  )

  const lineSets = kit.table(
    'line_sets',
    {
      ...ownedBy(kit),
      systemId: kit.text('system_id').notNull(),
      name: kit.text('name').notNull(),
      fromUnitId: kit.text('from_unit_id'),
      toUnitId: kit.text('to_unit_id'),
      liquidOdM: kit.real('liquid_od_m').notNull(),
      gasOdM: kit.real('gas_od_m').notNull(),
      lengthM: kit.real('length_m').notNull(),
      riseM: kit.real('rise_m'),
      tubing: kit.text('tubing').$type<Tubing>().notNull(),
      tubeWallM: kit.real('tube_wall_m'),
      previousRefrigerant: kit.text('previous_refrigerant'),
      cleaning: kit.text('cleaning'),
      jointKind: kit.text('joint_kind').$type<JointKind>().notNull(),
      room: kit.json<RoomFacts>('room'),
      typed: kit.json<AsTyped>('typed').notNull(),
      jobId: kit.text('job_id'),
      createdAt: kit.moment('created_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'line_sets_system_fk', t, t.systemId, systems),
      link(kit, 'line_sets_from_fk', t, t.fromUnitId, units),
      link(kit, 'line_sets_to_fk', t, t.toUnitId, units),
      kit.index('line_sets_system_index').on(t.companyId, t.systemId),
    ],
  )

  return { sites, equipmentSheets, systems, units, unitRemovals, lineSets }
}
