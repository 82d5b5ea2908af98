// What happened to each joint? Joints, their makes, and the steps recorded for a make.

import type { Step } from '../../rules/dossier.ts'
import type { JointKind, JointOrigin, Line, StepKind } from '../../vocabulary.ts'
import type { Kit } from '../kit.ts'
import type { AsTyped } from '../rows.ts'
import type { defineInstruments } from './instruments.ts'
import type { defineJobs } from './jobs.ts'
import { link, ownedBy, ownedKey, provenance } from './keys.ts'
import type { definePeople } from './people.ts'
import type { definePlaces } from './places.ts'

export function defineJoints(
  kit: Kit,
  { members, crew }: ReturnType<typeof definePeople>,
  { systems, lineSets, units }: ReturnType<typeof definePlaces>,
  { jobs }: ReturnType<typeof defineJobs>,
  { instruments }: ReturnType<typeof defineInstruments>,
) {
  const joints = kit.table(
    'joints',
    {
      ...ownedBy(kit),
      systemId: kit.text('system_id').notNull(),
      lineSetId: kit.text('line_set_id'),
      unitId: kit.text('unit_id'),
      /** Its running number in the system; the tag is made from it. */
      number: kit.int('number').notNull(),
      tag: kit.text('tag').notNull(),
      tagLower: kit.text('tag_lower').notNull(),
      place: kit.text('place').notNull(),
      indoors: kit.bool('indoors').notNull(),
      line: kit.text('line').$type<Line>().notNull(),
      tubeOdM: kit.real('tube_od_m').notNull(),
      kind: kit.text('kind').$type<JointKind>().notNull(),
      origin: kit.text('origin').$type<JointOrigin>().notNull(),
      createdAt: kit.moment('created_at').notNull(),
      /** Null for joints laid out before what was typed was kept. */
      typed: kit.json<AsTyped>('typed'),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'joints_system_fk', t, t.systemId, systems),
      link(kit, 'joints_line_set_fk', t, t.lineSetId, lineSets),
      link(kit, 'joints_unit_fk', t, t.unitId, units),
      kit.uniqueIndex('joints_number_unique').on(t.companyId, t.systemId, t.number),
      kit.uniqueIndex('joints_tag_unique').on(t.companyId, t.tagLower),
    ],
  )

  const jointRetirements = kit.table(
    'joint_retirements',
    {
      ...ownedBy(kit),
      jointId: kit.text('joint_id').notNull(),
      jobId: kit.text('job_id').notNull(),
      reason: kit.text('reason').notNull(),
      retiredAt: kit.moment('retired_at').notNull(),
      recordedBy: kit.text('recorded_by').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'joint_retirements_joint_fk', t, t.jointId, joints),
      link(kit, 'joint_retirements_job_fk', t, t.jobId, jobs),
      kit.uniqueIndex('joint_retirements_joint_unique').on(t.companyId, t.jointId),
    ],
  )

  /** Joints left out of a job's scope, each with a reason. */
  const jointExclusions = kit.table(
    'joint_exclusions',
    {
      ...ownedBy(kit),
      jobId: kit.text('job_id').notNull(),
      jointId: kit.text('joint_id').notNull(),
      reason: kit.text('reason').notNull(),
      recordedBy: kit.text('recorded_by').notNull(),
      recordedAt: kit.moment('recorded_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'joint_exclusions_job_fk', t, t.jobId, jobs),
      link(kit, 'joint_exclusions_joint_fk', t, t.jointId, joints),
      kit.uniqueIndex('joint_exclusions_unique').on(t.companyId, t.jobId, t.jointId),
    ],
  )

  const makes = kit.table(
    'makes',
    {
      ...ownedBy(kit),
      jointId: kit.text('joint_id').notNull(),
      jobId: kit.text('job_id').notNull(),
      number: kit.int('number').notNull(),
      reason: kit.text('reason'),
      ...provenance(kit),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'makes_joint_fk', t, t.jointId, joints),
      link(kit, 'makes_job_fk', t, t.jobId, jobs),
      link(kit, 'makes_performed_by_fk', t, t.performedBy, crew),
      link(kit, 'makes_recorded_by_fk', t, t.recordedBy, members),
      kit.uniqueIndex('makes_number_unique').on(t.companyId, t.jointId, t.number),
    ],
  )

  /** One recorded step; the body's shape follows the kind (rules/dossier.ts). Appended, never edited. */
  const steps = kit.table(
    'steps',
    {
      ...ownedBy(kit),
      systemId: kit.text('system_id').notNull(),
      jointId: kit.text('joint_id').notNull(),
      makeId: kit.text('make_id'),
      jobId: kit.text('job_id').notNull(),
      kind: kit.text('kind').$type<StepKind>().notNull(),
      body: kit.json<Step['body']>('body').notNull(),
      typed: kit.json<AsTyped>('typed').notNull(),
      instrumentId: kit.text('instrument_id'),
      correctsId: kit.text('corrects_id'),
      ...provenance(kit),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'steps_system_fk', t, t.systemId, systems),
      link(kit, 'steps_joint_fk', t, t.jointId, joints),
      link(kit, 'steps_make_fk', t, t.makeId, makes),
      link(kit, 'steps_job_fk', t, t.jobId, jobs),
      link(kit, 'steps_instrument_fk', t, t.instrumentId, instruments),
      link(kit, 'steps_corrects_fk', t, t.correctsId, t),
      link(kit, 'steps_performed_by_fk', t, t.performedBy, crew),
      link(kit, 'steps_recorded_by_fk', t, t.recordedBy, members),
      kit.index('steps_joint_index').on(t.companyId, t.jointId, t.performedAt),
      kit.index('steps_system_index').on(t.companyId, t.systemId),
      kit.index('steps_instrument_index').on(t.companyId, t.instrumentId, t.performedAt),
    ],
  )

  return { joints, jointRetirements, jointExclusions, makes, steps }
}
