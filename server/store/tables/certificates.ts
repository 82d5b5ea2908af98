// What was released? Certificates with the frozen picture they were judged by, and the photos that bear it out.

import type { Dossier } from '../../rules/dossier.ts'
import type { Finding } from '../../rules/finding.ts'
import type { EvidencePhoto } from '../../rules/policy.ts'
import type { PhotoSubjectKind } from '../../vocabulary.ts'
import type { Kit } from '../kit.ts'
import type { defineJobs } from './jobs.ts'
import { link, ownedBy, ownedKey } from './keys.ts'
import type { definePeople } from './people.ts'

export function defineCertificates(
  kit: Kit,
  { members }: ReturnType<typeof definePeople>,
  { jobs }: ReturnType<typeof defineJobs>,
) {
  const certificates = kit.table(
    'certificates',
    {
      ...ownedBy(kit),
      jobId: kit.text('job_id').notNull(),
      /** 1 for the first sign-off of a job, 2 after it was reopened, … */
      revision: kit.int('revision').notNull(),
      /** What the public page is found by. */
      code: kit.text('code').notNull(),
      dossier: kit.json<Dossier>('dossier').notNull(),
      findings: kit.json<Finding[]>('findings').notNull(),
      policyVersion: kit.int('policy_version').notNull(),
      /** JWS, flattened JSON serialisation, over the canonical signed copy. */
      signedCopy: kit.text('signed_copy').notNull(),
      issuedBy: kit.text('issued_by').notNull(),
      issuedAt: kit.moment('issued_at').notNull(),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'certificates_job_fk', t, t.jobId, jobs),
      link(kit, 'certificates_issued_by_fk', t, t.issuedBy, members),
      kit.uniqueIndex('certificates_code_unique').on(t.code),
      kit.uniqueIndex('certificates_revision_unique').on(t.companyId, t.jobId, t.revision),
    ],
  )

  /** A picture as it was stored; facts, so appended and never edited. Its bytes are in the files (store/files.ts). */
  const photos = kit.table(
    'photos',
    {
      ...ownedBy(kit),
      sha256: kit.text('sha256').notNull(),
      mediaType: kit.text('media_type').notNull(),
      bytes: kit.int('bytes').notNull(),
      width: kit.int('width').notNull(),
      height: kit.int('height').notNull(),
      takenAt: kit.moment('taken_at'),
      jobId: kit.text('job_id'),
      subjectKind: kit.text('subject_kind').$type<PhotoSubjectKind>(),
      subjectId: kit.text('subject_id'),
      shows: kit.text('shows').$type<EvidencePhoto>(),
      recordedBy: kit.text('recorded_by').notNull(),
      recordedAt: kit.moment('recorded_at').notNull(),
      /** The small one; both are kept under the hash of their bytes. */
      thumbnailSha256: kit.text('thumbnail_sha256'),
      /** The system that the subject is part of, if it is. */
      systemId: kit.text('system_id'),
      /** The step that it bears out. */
      stepId: kit.text('step_id'),
      deviceAt: kit.moment('device_at'),
    },
    (t) => [
      ownedKey(kit, t),
      link(kit, 'photos_job_fk', t, t.jobId, jobs),
      link(kit, 'photos_recorded_by_fk', t, t.recordedBy, members),
      kit.index('photos_subject_index').on(t.companyId, t.subjectId),
      kit.index('photos_job_index').on(t.companyId, t.jobId),
    ],
  )

  return { certificates, photos }
}
