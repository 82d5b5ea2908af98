// What was it measured or formed with? Instruments, their calibrations, and recalls.

import type {
  CalibrationBasis,
  CalibrationResult,
  CertificateMediaType,
  InstrumentKind,
} from '../../vocabulary.ts'
import type { Kit } from '../kit.ts'
import type { AsTyped, CalibrationPoints } from '../rows.ts'
import { link, ownedBy, ownedKey } from './keys.ts'
import type { definePeople } from './people.ts'

export function defineInstruments(kit: Kit, { companies, members }: ReturnType<typeof definePeople>) {
  const instruments = kit.table(
    'instruments',
    {
      ...ownedBy(kit),
      kind: kit.text('kind').$type<InstrumentKind>().notNull(),
      name: kit.text('name').notNull(),
      serial: kit.text('serial').notNull(),
      serialLower: kit.text('serial_lower').notNull(),
      accuracyPercent: kit.real('accuracy_percent'),
      accuracyAbsolute: kit.real('accuracy_absolute'),
      resolution: kit.real('resolution'),
      repeatability: kit.real('repeatability'),
      fullScale: kit.real('full_scale'),
      compound: kit.bool('compound').notNull(),
      calibrationIntervalDays: kit.int('calibration_interval_days'),
      typed: kit.json<AsTyped>('typed').notNull(),
      active: kit.bool('active').notNull(),
      createdAt: kit.moment('created_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      kit.foreignKey({
        name: 'instruments_company_fk',
        columns: [t.companyId],
        foreignColumns: [companies.id],
      }),
      kit.uniqueIndex('instruments_serial_unique').on(t.companyId, t.kind, t.serialLower),
    ],
  )

  const calibrations = kit.table(
    'calibrations',
    {
      ...ownedBy(kit),
      instrumentId: kit.text('instrument_id').notNull(),
      at: kit.moment('at').notNull(),
      result: kit.text('result').$type<CalibrationResult>().notNull(),
      basis: kit.text('basis').$type<CalibrationBasis>().notNull(),
      points: kit.json<CalibrationPoints>('points').notNull(),
      uncertainty: kit.real('uncertainty'),
      reference: kit.text('reference'),
      recordedBy: kit.text('recorded_by').notNull(),
      recordedAt: kit.moment('recorded_at').notNull(),
      /** Null for what was recorded before what was typed was kept. */
      typed: kit.json<AsTyped>('typed'),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'calibrations_instrument_fk', t, t.instrumentId, instruments),
      link(kit, 'calibrations_recorded_by_fk', t, t.recordedBy, members),
      kit.index('calibrations_instrument_index').on(t.companyId, t.instrumentId, t.at),
    ],
  )

  /** The certificate of a calibration, as it came; its bytes are in the files (store/files.ts). Never replaced. */
  const calibrationFiles = kit.table(
    'calibration_files',
    {
      ...ownedBy(kit),
      calibrationId: kit.text('calibration_id').notNull(),
      sha256: kit.text('sha256').notNull(),
      mediaType: kit.text('media_type').$type<CertificateMediaType>().notNull(),
      bytes: kit.int('bytes').notNull(),
      recordedBy: kit.text('recorded_by').notNull(),
      recordedAt: kit.moment('recorded_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'calibration_files_calibration_fk', t, t.calibrationId, calibrations),
      link(kit, 'calibration_files_recorded_by_fk', t, t.recordedBy, members),
      // The same file stands once beside a calibration, also when two send it at once.
      kit.uniqueIndex('calibration_files_file_unique').on(t.companyId, t.calibrationId, t.sha256),
    ],
  )

  /** Uses that no record tells of, counted by hand; below zero takes back what was counted too much. */
  const instrumentUses = kit.table(
    'instrument_uses',
    {
      ...ownedBy(kit),
      instrumentId: kit.text('instrument_id').notNull(),
      /** By when they had happened. */
      at: kit.moment('at').notNull(),
      uses: kit.int('uses').notNull(),
      note: kit.text('note'),
      recordedBy: kit.text('recorded_by').notNull(),
      recordedAt: kit.moment('recorded_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'instrument_uses_instrument_fk', t, t.instrumentId, instruments),
      link(kit, 'instrument_uses_recorded_by_fk', t, t.recordedBy, members),
      kit.index('instrument_uses_instrument_index').on(t.companyId, t.instrumentId, t.at),
    ],
  )

  /** All records that rest on an instrument since its last good calibration, under review. */
  const recalls = kit.table(
    'recalls',
    {
      ...ownedBy(kit),
      instrumentId: kit.text('instrument_id').notNull(),
      calibrationId: kit.text('calibration_id').notNull(),
      openedBy: kit.text('opened_by').notNull(),
      openedAt: kit.moment('opened_at').notNull(),
      closedAt: kit.moment('closed_at'),
      closedBy: kit.text('closed_by'),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'recalls_instrument_fk', t, t.instrumentId, instruments),
      link(kit, 'recalls_calibration_fk', t, t.calibrationId, calibrations),
      kit.index('recalls_instrument_index').on(t.companyId, t.instrumentId),
    ],
  )

  const recallItems = kit.table(
    'recall_items',
    {
      ...ownedBy(kit),
      recallId: kit.text('recall_id').notNull(),
      evidenceId: kit.text('evidence_id').notNull(),
      jobId: kit.text('job_id').notNull(),
      judgement: kit.text('judgement').$type<'stands' | 'doubtful' | 'fails'>().notNull(),
      disposition: kit.text('disposition'),
      note: kit.text('note'),
      decidedBy: kit.text('decided_by'),
      decidedAt: kit.moment('decided_at'),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'recall_items_recall_fk', t, t.recallId, recalls),
      kit.uniqueIndex('recall_items_unique').on(t.companyId, t.recallId, t.evidenceId),
    ],
  )

  return { instruments, calibrations, calibrationFiles, instrumentUses, recalls, recallItems }
}
