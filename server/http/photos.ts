// Photos: taken in, told of as JSON, and shown to members alone.

import type { FormState } from '../../views/parts/field.tsx'
import { NewPhotoPage } from '../../views/photos/new.tsx'
import { attachPhoto } from '../commands/photos/attach-photo.ts'
import { newId } from '../ids.ts'
import { missing } from '../refusals.ts'
import { EVIDENCE_PHOTOS } from '../rules/policy.ts'
import { findPhoto, findPhotoSubject } from '../store/queries/photos.ts'
import { PHOTO_SUBJECT_KINDS } from '../vocabulary.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import { pageOfPhoto, photoJson, photoWords } from './photo-slots.ts'
import type { Ask, FileAnswer, Resource } from './resource.ts'
import { shellOf } from './shell.ts'

/** Its bytes never change; a day is how long a browser that was signed out may still show it to itself. */
const KEPT_SECONDS = 24 * 60 * 60

export function photosResource(resource: Resource): void {
  resource.write({
    path: '/photos',
    command: attachPhoto,
    status: 201,
    upload: 'picture',
    json: photoJson,
    page: {
      goTo: pageOfPhoto,
      again: (form, _refusal, ask) => photoPage(ask, form.values, form),
    },
  })

  resource.read({
    path: '/photos/:photoId',
    name: 'read-photo',
    summary: 'What is known of a photo; the picture itself stands at the same address outside the interface.',
    load: (ask) => findPhoto(ask.scope, ask.params.photoId ?? ''),
    json: photoJson,
    file: { mediaType: 'image/jpeg', make: ({ sha256 }, ask) => bytesOf(ask, sha256) },
  })

  resource.read({
    path: '/photos/:photoId/thumbnail',
    name: 'read-thumbnail',
    summary: 'The photo, 320 pixels at most.',
    load: (ask) => findPhoto(ask.scope, ask.params.photoId ?? ''),
    file: {
      mediaType: 'image/jpeg',
      make: (photo, ask) => bytesOf(ask, photo.thumbnailSha256 ?? photo.sha256),
    },
  })
}

async function bytesOf({ deps, actor }: Ask, sha256: string): Promise<FileAnswer> {
  const content = await deps.machinery.files.get(actor.companyId, sha256)
  if (!content) throw missing(say.photos.theFileOfThis)
  return { content, keep: { tag: sha256, seconds: KEPT_SECONDS } }
}

/** The form of one photo by itself: where a refused one comes back to. */
async function photoPage(ask: Ask, values: Record<string, string>, came: FormState) {
  const subjectKind = PHOTO_SUBJECT_KINDS.find((kind) => kind === values.subjectKind)
  const shows = EVIDENCE_PHOTOS.find((photo) => photo === values.shows) ?? null
  const subjectId = values.subjectId ?? ''
  if (!subjectKind) throw missing(say.photos.whatThePhotoIsOf)
  const { systemId, jobId } = await findPhotoSubject(ask.scope, subjectKind, subjectId)
  const about = { subjectKind, subjectId, systemId, jobId: values.jobId || jobId }
  return NewPhotoPage({
    shell: shellOf(ask.actor, '/jobs'),
    what: photoWords(shows, say.photos.ofThe(coded(subjectKind))),
    // Nothing was kept under the id that was refused; another one is as good.
    form: { ...about, shows, freshId: newId(), ...(values.stepId ? { stepId: values.stepId } : {}) },
    back: pageOfPhoto(about),
    came,
  })
}
