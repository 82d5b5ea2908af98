// What was proven of a section? Pressure tests and evacuations, charges and running checks.

import { sql } from 'drizzle-orm'
import type {
  ChargeDirection,
  ChargeSource,
  PressureStage,
  PressureVerdict,
  RunningMode,
  SectionTestKind,
  TestConditions,
  TestMedium,
  Tracer,
  VacuumPhase,
  VacuumVerdict,
} from '../../vocabulary.ts'
import type { Kit } from '../kit.ts'
import type { AsTyped, CoverageFacts, ReadingLogFacts } from '../rows.ts'
import type { defineInstruments } from './instruments.ts'
import type { defineJobs } from './jobs.ts'
import { link, ownedBy, ownedKey, provenance } from './keys.ts'
import type { definePeople } from './people.ts'
import type { definePlaces } from './places.ts'

/** What only one of the two kinds of test has. */
export interface PressureSetUp {
  medium: TestMedium
  tracer: { kind: Tracer; fraction: number } | null
  thermometerInstrumentId: string | null
  atmosphericPressurePa: number
  /** Entered as such, from an elevation entered, from the site's own, or taken as at sea level. */
  atmosphericPressureSource: 'entered' | 'elevation-entered' | 'site-elevation' | 'sea-level'
  conditions: TestConditions | null
}
export interface EvacuationSetUp {
  gaugeAt: 'far-side' | 'near-pump' | null
  isolatedAt: 'core-tool' | 'manifold' | null
}

export interface RunningMeasurements {
  steadyS: number | null
  liquidLinePressureGaugePa: number | null
  liquidLineTemperatureK: number | null
  suctionPressureGaugePa: number | null
  suctionTemperatureK: number | null
  supplyAirK: number | null
  returnAirK: number | null
  ambientK: number | null
  notPossible: { reason: string; dueAt: number } | null
}

export function defineSectionTests(
  kit: Kit,
  { members, crew }: ReturnType<typeof definePeople>,
  { systems }: ReturnType<typeof definePlaces>,
  { jobs }: ReturnType<typeof defineJobs>,
  { instruments }: ReturnType<typeof defineInstruments>,
) {
  const sectionTests = kit.table(
    'section_tests',
    {
      ...ownedBy(kit),
      systemId: kit.text('system_id').notNull(),
      jobId: kit.text('job_id').notNull(),
      kind: kit.text('kind').$type<SectionTestKind>().notNull(),
      covers: kit.json<CoverageFacts>('covers').notNull(),
      throughOutdoorUnit: kit.bool('through_outdoor_unit').notNull(),
      gaugeInstrumentId: kit.text('gauge_instrument_id').notNull(),
      setUp: kit.json<PressureSetUp | EvacuationSetUp>('set_up').notNull(),
      repeatOf: kit.text('repeat_of'),
      repeatCause: kit.text('repeat_cause'),
      repeatNote: kit.text('repeat_note'),
      typed: kit.json<AsTyped>('typed').notNull(),
      ...provenance(kit),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'section_tests_system_fk', t, t.systemId, systems),
      link(kit, 'section_tests_job_fk', t, t.jobId, jobs),
      link(kit, 'section_tests_gauge_fk', t, t.gaugeInstrumentId, instruments),
      link(kit, 'section_tests_repeat_fk', t, t.repeatOf, t),
      link(kit, 'section_tests_performed_by_fk', t, t.performedBy, crew),
      link(kit, 'section_tests_recorded_by_fk', t, t.recordedBy, members),
      kit.index('section_tests_system_index').on(t.companyId, t.systemId),
      kit.index('section_tests_job_index').on(t.companyId, t.jobId),
      kit.index('section_tests_gauge_index').on(t.companyId, t.gaugeInstrumentId, t.performedAt),
    ],
  )

  const sectionReadings = kit.table(
    'section_readings',
    {
      ...ownedBy(kit),
      testId: kit.text('test_id').notNull(),
      at: kit.moment('at').notNull(),
      phase: kit.text('phase').$type<PressureStage | VacuumPhase>().notNull(),
      /** Gauge pressure in a pressure test, absolute pressure in an evacuation. */
      pressurePa: kit.real('pressure_pa').notNull(),
      temperatureK: kit.real('temperature_k'),
      instrumentId: kit.text('instrument_id'),
      thermometerInstrumentId: kit.text('thermometer_instrument_id'),
      correctsId: kit.text('corrects_id'),
      typed: kit.json<AsTyped>('typed').notNull(),
      recordedBy: kit.text('recorded_by').notNull(),
      recordedAt: kit.moment('recorded_at').notNull(),
      deviceAt: kit.moment('device_at'),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'section_readings_test_fk', t, t.testId, sectionTests),
      link(kit, 'section_readings_instrument_fk', t, t.instrumentId, instruments),
      link(kit, 'section_readings_thermometer_fk', t, t.thermometerInstrumentId, instruments),
      link(kit, 'section_readings_corrects_fk', t, t.correctsId, t),
      link(kit, 'section_readings_recorded_by_fk', t, t.recordedBy, members),
      kit.index('section_readings_test_index').on(t.companyId, t.testId, t.at),
      // Most readings name none of their own; a recall asks for the few that do.
      kit
        .index('section_readings_gauge_index')
        .on(t.companyId, t.instrumentId, t.at)
        .where(sql`${t.instrumentId} is not null`),
      kit
        .index('section_readings_thermometer_index')
        .on(t.companyId, t.thermometerInstrumentId, t.at)
        .where(sql`${t.thermometerInstrumentId} is not null`),
    ],
  )

  /** A gauge's own log that readings were taken from; its bytes are in the files (store/files.ts). */
  const readingLogs = kit.table(
    'reading_logs',
    {
      ...ownedBy(kit),
      testId: kit.text('test_id').notNull(),
      sha256: kit.text('sha256').notNull(),
      bytes: kit.int('bytes').notNull(),
      /** Rows with a reading in them, and how many of them became readings of the test. */
      rows: kit.int('row_count').notNull(),
      taken: kit.int('taken').notNull(),
      firstAt: kit.moment('first_at').notNull(),
      lastAt: kit.moment('last_at').notNull(),
      /** Which column was which, how times were read, what was left out and why. */
      how: kit.json<ReadingLogFacts>('how').notNull(),
      recordedBy: kit.text('recorded_by').notNull(),
      recordedAt: kit.moment('recorded_at').notNull(),
      deviceAt: kit.moment('device_at'),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'reading_logs_test_fk', t, t.testId, sectionTests),
      link(kit, 'reading_logs_recorded_by_fk', t, t.recordedBy, members),
      // The same file is taken once into a test, also by two at once.
      kit.uniqueIndex('reading_logs_file_unique').on(t.companyId, t.testId, t.sha256),
    ],
  )

  /** One conclusion ends a test; the unique key settles two at once. */
  const sectionConclusions = kit.table(
    'section_conclusions',
    {
      ...ownedBy(kit),
      testId: kit.text('test_id').notNull(),
      verdict: kit.text('verdict').$type<PressureVerdict | VacuumVerdict>().notNull(),
      result: kit.json<Record<string, unknown>>('result').notNull(),
      policyVersion: kit.int('policy_version').notNull(),
      ...provenance(kit),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'section_conclusions_test_fk', t, t.testId, sectionTests),
      link(kit, 'section_conclusions_recorded_by_fk', t, t.recordedBy, members),
      kit.uniqueIndex('section_conclusions_test_unique').on(t.companyId, t.testId),
    ],
  )

  const charges = kit.table(
    'charges',
    {
      ...ownedBy(kit),
      systemId: kit.text('system_id').notNull(),
      jobId: kit.text('job_id').notNull(),
      direction: kit.text('direction').$type<ChargeDirection>().notNull(),
      massKg: kit.real('mass_kg'),
      scaleInstrumentId: kit.text('scale_instrument_id'),
      source: kit.text('source').$type<ChargeSource>(),
      cylinderId: kit.text('cylinder_id'),
      correctsId: kit.text('corrects_id'),
      typed: kit.json<AsTyped>('typed').notNull(),
      ...provenance(kit),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'charges_system_fk', t, t.systemId, systems),
      link(kit, 'charges_job_fk', t, t.jobId, jobs),
      link(kit, 'charges_scale_fk', t, t.scaleInstrumentId, instruments),
      link(kit, 'charges_corrects_fk', t, t.correctsId, t),
      link(kit, 'charges_performed_by_fk', t, t.performedBy, crew),
      link(kit, 'charges_recorded_by_fk', t, t.recordedBy, members),
      kit.index('charges_system_index').on(t.companyId, t.systemId),
    ],
  )

  const runningChecks = kit.table(
    'running_checks',
    {
      ...ownedBy(kit),
      systemId: kit.text('system_id').notNull(),
      jobId: kit.text('job_id').notNull(),
      mode: kit.text('mode').$type<RunningMode>().notNull(),
      measured: kit.json<RunningMeasurements>('measured').notNull(),
      correctsId: kit.text('corrects_id'),
      typed: kit.json<AsTyped>('typed').notNull(),
      ...provenance(kit),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'running_checks_system_fk', t, t.systemId, systems),
      link(kit, 'running_checks_job_fk', t, t.jobId, jobs),
      link(kit, 'running_checks_corrects_fk', t, t.correctsId, t),
      link(kit, 'running_checks_performed_by_fk', t, t.performedBy, crew),
      link(kit, 'running_checks_recorded_by_fk', t, t.recordedBy, members),
      kit.index('running_checks_system_index').on(t.companyId, t.systemId),
    ],
  )

  return { sectionTests, sectionReadings, readingLogs, sectionConclusions, charges, runningChecks }
}
