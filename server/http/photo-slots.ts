// Which photos stand on a page, and which may be added there?

import type { PhotoForm, PhotoSlot, PhotosProps, ShownPhoto } from '../../views/parts/photos.tsx'
import { thePhotoWords } from '../../views/people/criteria-words.ts'
import { may } from '../access/capabilities.ts'
import { newId } from '../ids.ts'
import type { Dossier, System } from '../rules/dossier.ts'
import { isAsked } from '../rules/evidence-attached.ts'
import type { EvidencePhoto } from '../rules/policy.ts'
import { scopeOf as jobScopeOf } from '../rules/scope.ts'
import { listPeopleNames } from '../store/queries/certificates.ts'
import { findJob } from '../store/queries/jobs.ts'
import { listPhotosOf, listPhotosOfJob, type PhotoRow } from '../store/queries/photos.ts'
import { findPolicy } from '../store/queries/policy.ts'
import type { Scope } from '../store/store.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import { instant, instantOrNull } from './json.ts'
import type { Ask } from './resource.ts'

export const photoJson = (photo: PhotoRow) => ({
  id: photo.id,
  sha256: photo.sha256,
  width: photo.width,
  height: photo.height,
  takenAt: instantOrNull(photo.takenAt),
  mediaType: photo.mediaType,
  bytes: photo.bytes,
  jobId: photo.jobId,
  systemId: photo.systemId,
  subjectKind: photo.subjectKind,
  subjectId: photo.subjectId,
  stepId: photo.stepId,
  shows: photo.shows,
  recordedBy: photo.recordedBy,
  recordedAt: instant(photo.recordedAt),
  deviceAt: instantOrNull(photo.deviceAt),
  picture: `/photos/${photo.id}`,
  thumbnail: `/photos/${photo.id}/thumbnail`,
})

const capital = (words: string) => words.charAt(0).toUpperCase() + words.slice(1)

/** "Gauge at the start of the hold" */
export const photoWords = (shows: EvidencePhoto | null, otherwise: string): string =>
  shows === null ? otherwise : capital(thePhotoWords()[shows])

/** Where a photo belongs, as a page. */
export function pageOfPhoto(photo: {
  subjectKind: string | null
  subjectId: string | null
  jobId: string | null
  systemId?: string | null
}): string {
  const { subjectKind, subjectId, jobId } = photo
  if (subjectKind === 'pressure-test') return `/pressure-tests/${subjectId}#photos`
  if (subjectKind === 'evacuation') return `/evacuations/${subjectId}#photos`
  if (subjectKind === 'joint') return `/joints/${subjectId}${jobId === null ? '' : `?job=${jobId}`}#photos`
  if (jobId !== null) return `/jobs/${jobId}#photos-${photo.systemId ?? 'job'}`
  if (photo.systemId) return `/systems/${photo.systemId}`
  return '/jobs'
}

async function shown(scope: Scope, rows: readonly PhotoRow[], of: string): Promise<ShownPhoto[]> {
  if (rows.length === 0) return []
  const { members } = await listPeopleNames(scope)
  return rows.map((row) => ({
    id: row.id,
    alt: `${photoWords(row.shows, say.photos.photo)}, ${of}`,
    takenAt: row.takenAt,
    addedAt: row.recordedAt,
    who: members.get(row.recordedBy) ?? 'somebody',
  }))
}

/** The gauge at the start and the end of a test, and whatever else was photographed of it. */
export async function photosOfTest(
  ask: Ask,
  test: { kind: 'pressure-test' | 'evacuation'; id: string; jobId: string; systemName: string },
): Promise<PhotosProps> {
  const { criteria } = await findPolicy(ask.scope)
  const wanted: EvidencePhoto[] =
    test.kind === 'pressure-test'
      ? ['gauge-at-start', 'gauge-at-end']
      : ['vacuum-at-isolation', 'vacuum-at-end']
  const rows = await listPhotosOf(ask.scope, [test.id])
  const mayAdd = may(ask.actor, 'record-work') && (await findJob(ask.scope, test.jobId)).stage === 'open'
  const slot = async (shows: EvidencePhoto | null): Promise<PhotoSlot> => ({
    label: photoWords(shows, say.photos.anythingElse),
    asked: shows !== null && criteria.evidence.photos.includes(shows),
    photos: await shown(
      ask.scope,
      rows.filter((row) => row.shows === shows),
      say.photos.ofWord(coded(test.kind), test.systemName),
    ),
    form: mayAdd
      ? { freshId: newId(), jobId: test.jobId, subjectKind: test.kind, subjectId: test.id, shows }
      : null,
  })
  const slots = await Promise.all(wanted.map(slot))
  const other = await slot(null)
  return {
    id: 'photos',
    title: say.photos.photos,
    page: `/${test.kind}s/${test.id}`,
    slots: other.photos.length > 0 ? [...slots, { ...other, form: null }] : slots,
  }
}

/** Of one joint: its flare as it was inspected, and, indoors, how it looked before the insulation went on. */
export async function photosOfJoint(
  ask: Ask,
  joint: { id: string; tag: string; indoors: boolean; stepId: string | null },
  job: { id: string; stage: string } | null,
): Promise<PhotosProps> {
  const { criteria } = await findPolicy(ask.scope)
  const rows = await listPhotosOf(ask.scope, [joint.id])
  const mayAdd = may(ask.actor, 'record-work') && job?.stage === 'open'
  const of = say.photos.joint(joint.tag)
  const form = (shows: EvidencePhoto | null, stepId: string | null): PhotoForm | null =>
    mayAdd
      ? {
          freshId: newId(),
          jobId: job.id,
          subjectKind: 'joint',
          subjectId: joint.id,
          shows,
          ...(stepId === null ? {} : { stepId }),
        }
      : null
  const mine = (shows: EvidencePhoto | null) => rows.filter((row) => row.shows === shows)
  const slots: PhotoSlot[] = [
    {
      label: joint.stepId === null ? say.photos.thisJoint : say.photos.thisJointAsIt,
      asked: false,
      photos: await shown(ask.scope, mine(null), of),
      form: form(null, joint.stepId),
    },
  ]
  if (joint.indoors)
    slots.push({
      label: photoWords('indoor-joints', ''),
      // Asked for once a system, which the job's page says; not of each joint.
      asked: false,
      photos: await shown(ask.scope, mine('indoor-joints'), of),
      form: form('indoor-joints', null),
    })
  return {
    id: 'photos',
    title:
      criteria.evidence.photos.includes('indoor-joints') && joint.indoors
        ? say.photos.photos
        : say.photos.photosOfIt,
    page: `/joints/${joint.id}${job ? `?job=${job.id}` : ''}`,
    slots: mayAdd ? slots : slots.filter((slot) => slot.photos.length > 0),
  }
}

/** For each system of a job: what is asked for, what is there, and where the rest is added. */
export async function photosOfJob(ask: Ask, dossier: Dossier): Promise<(system: System) => PhotosProps> {
  const rows = await listPhotosOfJob(ask.scope, dossier.job.id)
  const names = await shown(ask.scope, rows, '')
  const mayAdd = may(ask.actor, 'record-work') && dossier.job.stage === 'open'
  const scope = jobScopeOf(dossier)
  return (system) => {
    const of = (shows: EvidencePhoto | null) =>
      rows.flatMap((row, index) => {
        const photo = names[index]
        const isHere = row.systemId === system.id || row.subjectKind === 'job'
        return photo && isHere && row.shows === shows ? [{ ...photo, alt: `${photo.alt}${system.name}` }] : []
      })
    const asked = dossier.policy.evidence.photos.filter((photo) => isAsked(photo, dossier, system, scope))
    const there = [...new Set(rows.flatMap((row) => row.shows ?? []))].filter((shows) => of(shows).length > 0)
    const slots = [...new Set([...asked, ...there])].map((shows): PhotoSlot => {
      const test = testFor(shows, system, dossier.job.id)
      return {
        label: photoWords(shows, ''),
        asked: asked.includes(shows),
        photos: of(shows),
        form:
          mayAdd && !test
            ? { freshId: newId(), jobId: dossier.job.id, subjectKind: 'system', subjectId: system.id, shows }
            : null,
        elsewhere: mayAdd && test && of(shows).length === 0 ? test : undefined,
      }
    })
    const other = of(null)
    if (other.length > 0)
      slots.push({ label: say.photos.otherPhotos, asked: false, photos: other, form: null })
    return {
      id: `photos-${system.id}`,
      title: say.photos.photosOf(system.name),
      page: `/jobs/${dossier.job.id}`,
      slots,
    }
  }
}

/** The page of the latest test here, which is where its gauge is photographed. */
function testFor(shows: EvidencePhoto, system: System, jobId: string): PhotoSlot['elsewhere'] {
  const isPressure = shows.startsWith('gauge')
  if (!isPressure && !shows.startsWith('vacuum')) return undefined
  const tests: readonly { id: string; jobId: string }[] = isPressure
    ? system.pressureTests
    : system.evacuations
  const last = tests.filter((test) => test.jobId === jobId).at(-1)
  if (!last) return undefined
  return isPressure
    ? { href: `/pressure-tests/${last.id}#photos`, label: say.photos.addItOnThe }
    : { href: `/evacuations/${last.id}#photos`, label: say.photos.addItOnThePage }
}
