// Keeps a photo, and says what it shows: a fact of its system's record, bound to its bytes by their hash.

import { z } from 'zod'
import { malformedField, missingField, Refusal } from '../../refusals.ts'
import { EVIDENCE_PHOTOS, type EvidencePhoto } from '../../rules/policy.ts'
import { findJob } from '../../store/queries/jobs.ts'
import { findPhotoSubject, type PhotoRow } from '../../store/queries/photos.ts'
import { appendFact } from '../../store/record.ts'
import { type Scope, scopeOf } from '../../store/store.ts'
import { PHOTO_SUBJECT_KINDS, type PhotoSubjectKind } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { CLOCK_SLACK_MS, id, moment, ownId } from '../fields.ts'
import { assertOpen, chainOfJob, findOpenJob, findOpenJobOn } from '../jobs/job-turns.ts'
import { jobFor } from '../places/job-for.ts'
import { preparePicture, Upload } from './picture.ts'

/** A picture once it is safely in the files. */
interface Kept extends Pick<PhotoRow, 'sha256' | 'bytes' | 'width' | 'height' | 'takenAt'> {
  thumbnailSha256: string
}

const input = z.strictObject({
  id: ownId,
  picture: z
    .custom<Upload | Kept>((value) => value instanceof Upload, { error: () => say.photos.sendThePhotoAs })
    .meta({ type: 'string', format: 'binary', description: 'JPEG, PNG or WebP, up to 12 MB.' }),
  jobId: id.optional().meta({
    description: 'Default: the job of the test, or the one job that is open on the system.',
  }),
  subjectKind: z
    .enum(PHOTO_SUBJECT_KINDS, { error: () => say.photos.useOneOf(PHOTO_SUBJECT_KINDS.join(', ')) })
    .optional(),
  subjectId: id.optional(),
  stepId: id.optional().meta({ description: 'The step of the joint that it bears out.' }),
  shows: z
    .enum(EVIDENCE_PHOTOS, { error: () => say.photos.useOneOf(EVIDENCE_PHOTOS.join(', ')) })
    .optional()
    .meta({ description: 'Which of the photos that a policy may ask for it is.' }),
  takenAt: moment.optional().meta({
    description:
      'When it was taken, for a picture that does not say so itself with its zone. Not the future.',
  }),
})
type Input = z.output<typeof input>

/** Of what each of the photos that a policy asks for can be. */
const CAN_BE_OF: Record<EvidencePhoto, readonly PhotoSubjectKind[]> = {
  'gauge-at-start': ['pressure-test', 'system', 'line-set', 'job'],
  'gauge-at-end': ['pressure-test', 'system', 'line-set', 'job'],
  'vacuum-at-isolation': ['evacuation', 'system', 'line-set', 'job'],
  'vacuum-at-end': ['evacuation', 'system', 'line-set', 'job'],
  'unit-plates': ['unit', 'system', 'job'],
  'indoor-joints': ['joint', 'line-set', 'unit', 'system', 'job'],
}

export const attachPhoto = defineCommand({
  name: 'attach-photo',
  summary: 'Keep a photo as evidence, bound to what it shows; its place and camera are taken out of it.',
  capability: 'record-work',
  input,
  /** The slow part. What can be refused is refused first, so that a refused photo leaves no file behind. */
  async before(given, { machinery, actor }): Promise<Input> {
    if (!(given.picture instanceof Upload)) return given
    const scope = scopeOf(machinery.store.reader(), actor.companyId)
    const now = machinery.clock()
    const { jobId } = await aboutWhat(scope, given)
    if (jobId !== null) assertOpen(await findNamedJob(scope, jobId))
    const prepared = await preparePicture(given.picture.bytes, now)
    // Before the row that names them: a file that no row names is no harm, a row without its file would be.
    const sha256 = await machinery.files.put(actor.companyId, prepared.picture)
    const thumbnailSha256 = await machinery.files.put(actor.companyId, prepared.thumbnail)
    const picture: Kept = {
      sha256,
      thumbnailSha256,
      bytes: prepared.picture.byteLength,
      width: prepared.width,
      height: prepared.height,
      // A phone whose clock is ahead is no reason to go without the photo.
      takenAt: prepared.takenAt ?? notAhead(given.takenAt, now),
    }
    return { ...given, picture }
  },
  async handle(scope, given, context): Promise<PhotoRow> {
    const { picture } = given
    if (picture instanceof Upload) throw new Error('The picture was not prepared.')
    const { systemId, jobId } = await aboutWhat(scope, given)
    if (jobId !== null) {
      if (systemId === null) await findOpenJob(scope, jobId)
      else await findOpenJobOn(scope, jobId, systemId)
    }
    const photo: PhotoRow = {
      companyId: scope.companyId,
      id: given.id ?? context.newId(),
      sha256: picture.sha256,
      mediaType: 'image/jpeg',
      bytes: picture.bytes,
      width: picture.width,
      height: picture.height,
      takenAt: picture.takenAt,
      jobId,
      subjectKind: given.subjectKind ?? null,
      subjectId: given.subjectId ?? null,
      shows: given.shows ?? null,
      recordedBy: context.actor.memberId,
      recordedAt: context.now,
      thumbnailSha256: picture.thumbnailSha256,
      systemId,
      stepId: given.stepId ?? null,
      deviceAt: context.deviceAt,
    }
    const seal = await appendFact(scope, 'photos', photo)
    context.record({
      chainId: systemId ?? (jobId === null ? scope.companyId : await chainOfJob(scope, jobId)),
      kind: 'photo-attached',
      subjectId: photo.subjectId ?? photo.id,
      jobId,
      facts: [seal],
      body: { photo: photo.id, sha256: photo.sha256, shows: photo.shows },
    })
    return photo
  },
})

const notAhead = (at: number | undefined, now: number): number | null =>
  at === undefined || at > now + CLOCK_SLACK_MS ? null : Math.min(at, now)

/** What the photo is of, and the job that it belongs to; refuses what is not there or does not go together. */
async function aboutWhat(
  scope: Scope,
  given: Input,
): Promise<{ systemId: string | null; jobId: string | null }> {
  const { subjectKind, subjectId, shows } = given
  if (subjectId !== undefined && subjectKind === undefined)
    throw malformedField('subjectKind', say.photos.sayWhatItIs(PHOTO_SUBJECT_KINDS.join(', ')))
  if (subjectId === undefined && (subjectKind ?? given.stepId ?? shows) !== undefined)
    throw malformedField('subjectId', say.photos.sayWhatThePhoto)
  if (subjectKind === undefined || subjectId === undefined) {
    if (given.jobId !== undefined) await findNamedJob(scope, given.jobId)
    return { systemId: null, jobId: given.jobId ?? null }
  }
  if (shows !== undefined && !CAN_BE_OF[shows].includes(subjectKind))
    throw malformedField('shows', say.photos.thatCanBeA(CAN_BE_OF[shows].join(', ')))
  const subject = await findPhotoSubject(scope, subjectKind, subjectId, given.stepId)
  if (given.jobId !== undefined) await findNamedJob(scope, given.jobId)
  if (subject.jobId !== null && given.jobId !== undefined && given.jobId !== subject.jobId)
    throw malformedField('jobId', say.photos.whatThePhotoIs)
  const jobId = given.jobId ?? subject.jobId
  if (jobId !== null || subject.systemId === null) return { systemId: subject.systemId, jobId }
  return { systemId: subject.systemId, jobId: await jobFor(scope, subject.systemId) }
}

async function findNamedJob(scope: Scope, jobId: string) {
  return findJob(scope, jobId).catch((problem) => {
    throw problem instanceof Refusal && problem.kind === 'missing'
      ? missingField('jobId', say.photos.thisJob)
      : problem
  })
}
