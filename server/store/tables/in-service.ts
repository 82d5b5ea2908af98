// How long has each making of a joint served, and how do those of one kind add up? Projections of the facts: kept in the
// same transaction as what changes them, and made anew from the facts by `jointkeep rebuild-sums`.

import type { FlareMethod, JointKind, Line, RollupDimension, RollupPart } from '../../vocabulary.ts'
import type { Kit } from '../kit.ts'
import type { defineJobs } from './jobs.ts'
import type { defineJoints } from './joints.ts'
import { link, ownedBy, ownedKey } from './keys.ts'
import type { definePeople } from './people.ts'
import type { definePlaces } from './places.ts'

export function defineService(
  kit: Kit,
  { companies }: ReturnType<typeof definePeople>,
  { systems }: ReturnType<typeof definePlaces>,
  { jobs }: ReturnType<typeof defineJobs>,
  { joints, makes }: ReturnType<typeof defineJoints>,
) {
  /** One row for each making that a sign-off released; its id is the make's. */
  const serviceLives = kit.table(
    'service_lives',
    {
      ...ownedBy(kit),
      jointId: kit.text('joint_id').notNull(),
      systemId: kit.text('system_id').notNull(),
      jobId: kit.text('job_id').notNull(),
      place: kit.text('place').notNull(),
      line: kit.text('line').$type<Line>().notNull(),
      tubeOdM: kit.real('tube_od_m').notNull(),
      kind: kit.text('kind').$type<JointKind>().notNull(),
      flareMethod: kit.text('flare_method').$type<FlareMethod>(),
      flaringToolId: kit.text('flaring_tool_id'),
      wrenchId: kit.text('wrench_id'),
      /** Of the crew: who flared it (made it, where there is no flare), and who pulled it tight. */
      flaredBy: kit.text('flared_by').notNull(),
      torquedBy: kit.text('torqued_by').notNull(),
      model: kit.text('model'),
      refrigerant: kit.text('refrigerant').notNull(),
      madeAt: kit.moment('made_at').notNull(),
      signedOffAt: kit.moment('signed_off_at').notNull(),
      /** When it was made again or taken out; null while it is in service. */
      endedAt: kit.moment('ended_at'),
      /** False where it was made again before any sign-off: then it never was in service. */
      served: kit.bool('served').notNull(),
      leakAt: kit.moment('leak_at'),
      leakCallbackId: kit.text('leak_callback_id'),
      leakCause: kit.text('leak_cause'),
      /** Of first makings of flares: their first inspection, and whether that accepted them. */
      inspectedAt: kit.moment('inspected_at'),
      acceptedAtOnce: kit.bool('accepted_at_once'),
      /** At the nut, as it was read last; null where the wrench shows no reading. */
      torqueNm: kit.real('torque_nm'),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'service_lives_make_fk', t, t.id, makes),
      link(kit, 'service_lives_joint_fk', t, t.jointId, joints),
      link(kit, 'service_lives_system_fk', t, t.systemId, systems),
      link(kit, 'service_lives_job_fk', t, t.jobId, jobs),
      kit.index('service_lives_joint_index').on(t.companyId, t.jointId),
      kit.index('service_lives_made_index').on(t.companyId, t.madeAt, t.id),
      kit.index('service_lives_leak_index').on(t.companyId, t.leakAt),
      kit.index('service_lives_size_index').on(t.companyId, t.tubeOdM, t.madeAt),
    ],
  )

  /**
   * Sums over the makings with one key of one dimension. A part says what is counted and what its period is: months since
   * 1970, months of age, or days since 1970 (rules/cohorts.ts). `offsetMs` adds up how far into the month each moment is.
   */
  const serviceCohorts = kit.table(
    'service_cohorts',
    {
      companyId: kit.text('company_id').notNull(),
      dimension: kit.text('dimension').$type<RollupDimension>().notNull(),
      key: kit.text('key').notNull(),
      part: kit.text('part').$type<RollupPart>().notNull(),
      period: kit.int('period').notNull(),
      count: kit.int('count').notNull(),
      offsetMs: kit.moment('offset_ms').notNull(),
    },
    (t) => [
      kit.primaryKey({ columns: [t.companyId, t.dimension, t.key, t.part, t.period] }),
      kit.foreignKey({
        name: 'service_cohorts_company_fk',
        columns: [t.companyId],
        foreignColumns: [companies.id],
      }),
    ],
  )

  /** By which version of the definitions a company's projections were made from its facts. */
  const serviceRollups = kit.table(
    'service_rollups',
    {
      companyId: kit.text('company_id').notNull(),
      version: kit.int('version').notNull(),
      builtAt: kit.moment('built_at').notNull(),
    },
    (t) => [
      kit.primaryKey({ columns: [t.companyId, t.version] }),
      kit.foreignKey({
        name: 'service_rollups_company_fk',
        columns: [t.companyId],
        foreignColumns: [companies.id],
      }),
    ],
  )

  return { serviceLives, serviceCohorts, serviceRollups }
}
