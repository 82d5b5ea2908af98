// What is the scope of a visit, and how far is it? Jobs, their systems, and every turn from open to sealed.

import type { JudgedNumber } from '../../rules/finding.ts'
import type {
  JobEvent,
  JobKind,
  JobStage,
  NonconformityDisposition,
  RequirementCode,
  SubjectKind,
} from '../../vocabulary.ts'
import type { Kit } from '../kit.ts'
import { link, ownedBy, ownedKey } from './keys.ts'
import type { definePeople } from './people.ts'
import type { definePlaces } from './places.ts'

export interface JobEventDetail {
  reason?: string | undefined
  /** What a send-back is about. */
  subjects?: string[] | undefined
  /** Persons of the crew: who had the job before, and who has it now. */
  from?: string | null | undefined
  to?: string | undefined
}

export function defineJobs(
  kit: Kit,
  { members, crew }: ReturnType<typeof definePeople>,
  { sites, systems }: ReturnType<typeof definePlaces>,
) {
  const jobs = kit.table(
    'jobs',
    {
      ...ownedBy(kit),
      siteId: kit.text('site_id').notNull(),
      kind: kit.text('kind').$type<JobKind>().notNull(),
      reference: kit.text('reference'),
      referenceLower: kit.text('reference_lower').notNull(),
      /** A projection of the last job event, for worklists. */
      stage: kit.text('stage').$type<JobStage>().notNull(),
      stageAt: kit.moment('stage_at').notNull(),
      assignedTo: kit.text('assigned_to'),
      scheduledFor: kit.moment('scheduled_for'),
      callbackId: kit.text('callback_id'),
      /** Instruments that were chosen for it: they stand first where one is asked for. */
      tools: kit.json<string[]>('tools'),
      openedAt: kit.moment('opened_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'jobs_site_fk', t, t.siteId, sites),
      link(kit, 'jobs_assigned_fk', t, t.assignedTo, crew),
      kit.index('jobs_stage_index').on(t.companyId, t.stage, t.stageAt, t.id),
      kit.index('jobs_opened_index').on(t.companyId, t.openedAt, t.id),
      kit.index('jobs_site_index').on(t.companyId, t.siteId),
    ],
  )

  const jobSystems = kit.table(
    'job_systems',
    {
      companyId: kit.text('company_id').notNull(),
      jobId: kit.text('job_id').notNull(),
      systemId: kit.text('system_id').notNull(),
    },
    (t) => [
      kit.primaryKey({ columns: [t.companyId, t.jobId, t.systemId] }),
      link(kit, 'job_systems_job_fk', t, t.jobId, jobs),
      link(kit, 'job_systems_system_fk', t, t.systemId, systems),
      // With the job in it: without statistics SQLite would rather walk through the whole key, which has all it is asked for.
      kit.index('job_systems_system_index').on(t.companyId, t.systemId, t.jobId),
    ],
  )

  /** Every turn of a job, numbered, so that two sign-offs at once meet on the unique key. */
  const jobEvents = kit.table(
    'job_events',
    {
      ...ownedBy(kit),
      jobId: kit.text('job_id').notNull(),
      number: kit.int('number').notNull(),
      event: kit.text('event').$type<JobEvent>().notNull(),
      memberId: kit.text('member_id').notNull(),
      at: kit.moment('at').notNull(),
      detail: kit.json<JobEventDetail>('detail').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'job_events_job_fk', t, t.jobId, jobs),
      link(kit, 'job_events_member_fk', t, t.memberId, members),
      kit.uniqueIndex('job_events_number_unique').on(t.companyId, t.jobId, t.number),
    ],
  )

  const concessionRequests = kit.table(
    'concession_requests',
    {
      ...ownedBy(kit),
      jobId: kit.text('job_id').notNull(),
      requirement: kit.text('requirement').$type<RequirementCode>().notNull(),
      subjectId: kit.text('subject_id').notNull(),
      reason: kit.text('reason').notNull(),
      photoIds: kit.json<string[]>('photo_ids').notNull(),
      requestedBy: kit.text('requested_by').notNull(),
      requestedAt: kit.moment('requested_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'concession_requests_job_fk', t, t.jobId, jobs),
      link(kit, 'concession_requests_member_fk', t, t.requestedBy, members),
      kit.index('concession_requests_job_index').on(t.companyId, t.jobId),
    ],
  )

  /** A manager's answer to a request, or a concession given unasked. */
  const concessions = kit.table(
    'concessions',
    {
      ...ownedBy(kit),
      jobId: kit.text('job_id').notNull(),
      requirement: kit.text('requirement').$type<RequirementCode>().notNull(),
      subjectId: kit.text('subject_id').notNull(),
      requestId: kit.text('request_id'),
      granted: kit.bool('granted').notNull(),
      reason: kit.text('reason').notNull(),
      /** What the release hangs on, for example a check within a year. */
      conditions: kit.text('conditions'),
      decidedBy: kit.text('decided_by').notNull(),
      decidedAt: kit.moment('decided_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'concessions_job_fk', t, t.jobId, jobs),
      link(kit, 'concessions_request_fk', t, t.requestId, concessionRequests),
      link(kit, 'concessions_member_fk', t, t.decidedBy, members),
      kit.index('concessions_job_index').on(t.companyId, t.jobId),
    ],
  )

  /**
   * A requirement of a job that was not met when it was judged, in the company's language and without names of people.
   * What became of it is appended beside it, so that neither is ever written over.
   */
  const nonconformities = kit.table(
    'nonconformities',
    {
      ...ownedBy(kit),
      jobId: kit.text('job_id').notNull(),
      requirement: kit.text('requirement').$type<RequirementCode>().notNull(),
      subjectKind: kit.text('subject_kind').$type<SubjectKind>().notNull(),
      subjectId: kit.text('subject_id').notNull(),
      /** Of a person only a label. */
      subjectName: kit.text('subject_name').notNull(),
      /** `failed`: the evidence says no; `open`: it is missing, and a concession was asked for or given. */
      outcome: kit.text('outcome').$type<'failed' | 'open'>().notNull(),
      reason: kit.text('reason').notNull(),
      numbers: kit.json<JudgedNumber[]>('numbers').notNull(),
      /** The facts that it rests on. */
      evidence: kit.json<string[]>('evidence').notNull(),
      policyVersion: kit.int('policy_version').notNull(),
      /** The entry after which the job was judged; null where it was found in an old record later. */
      entryId: kit.text('entry_id'),
      foundBy: kit.text('found_by').notNull(),
      foundAt: kit.moment('found_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'nonconformities_job_fk', t, t.jobId, jobs),
      link(kit, 'nonconformities_member_fk', t, t.foundBy, members),
      kit.index('nonconformities_job_index').on(t.companyId, t.jobId),
      kit.index('nonconformities_found_index').on(t.companyId, t.foundAt, t.id),
      kit.index('nonconformities_requirement_index').on(t.companyId, t.requirement, t.foundAt, t.id),
    ],
  )

  /** What became of a nonconformity; each has one end, and what fails again is another one. */
  const nonconformityDisposals = kit.table(
    'nonconformity_disposals',
    {
      ...ownedBy(kit),
      nonconformityId: kit.text('nonconformity_id').notNull(),
      disposition: kit.text('disposition').$type<NonconformityDisposition>().notNull(),
      /** Why it holds nothing any more, in the company's language and without names of people. */
      reason: kit.text('reason').notNull(),
      evidence: kit.json<string[]>('evidence').notNull(),
      concessionId: kit.text('concession_id'),
      policyVersion: kit.int('policy_version').notNull(),
      entryId: kit.text('entry_id'),
      disposedBy: kit.text('disposed_by').notNull(),
      disposedAt: kit.moment('disposed_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'nonconformity_disposals_nonconformity_fk', t, t.nonconformityId, nonconformities),
      link(kit, 'nonconformity_disposals_concession_fk', t, t.concessionId, concessions),
      link(kit, 'nonconformity_disposals_member_fk', t, t.disposedBy, members),
      kit.uniqueIndex('nonconformity_disposals_once').on(t.companyId, t.nonconformityId),
    ],
  )

  return {
    jobs,
    jobSystems,
    jobEvents,
    concessionRequests,
    concessions,
    nonconformities,
    nonconformityDisposals,
  }
}
