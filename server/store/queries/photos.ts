// Which photos are there, and of what? Their rows; the bytes are in the files.

import { and, asc, eq, inArray } from 'drizzle-orm'
import { malformedField, missing, missingField } from '../../refusals.ts'
import type { Photo } from '../../rules/dossier.ts'
import type { PhotoSubjectKind } from '../../vocabulary.ts'
import { coded } from '../../words/coded.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'

export type PhotoRow = Tables['photos']['$inferSelect']

/** Refuses with missing. */
export async function findPhoto({ db, t, companyId }: Scope, photoId: string): Promise<PhotoRow> {
  const [row] = await db
    .select()
    .from(t.photos)
    .where(and(eq(t.photos.companyId, companyId), eq(t.photos.id, photoId)))
  if (!row) throw missing('This photo')
  return row
}

/** Oldest first. */
export async function listPhotosOfJob({ db, t, companyId }: Scope, jobId: string): Promise<PhotoRow[]> {
  return db
    .select()
    .from(t.photos)
    .where(and(eq(t.photos.companyId, companyId), eq(t.photos.jobId, jobId)))
    .orderBy(asc(t.photos.recordedAt), asc(t.photos.id))
}

/** Of some joints, tests or units, whichever job they were taken on; oldest first. */
export async function listPhotosOf(
  { db, t, companyId }: Scope,
  subjectIds: readonly string[],
): Promise<PhotoRow[]> {
  if (subjectIds.length === 0) return []
  return db
    .select()
    .from(t.photos)
    .where(and(eq(t.photos.companyId, companyId), inArray(t.photos.subjectId, [...subjectIds])))
    .orderBy(asc(t.photos.recordedAt), asc(t.photos.id))
}

/** As evidence of a job; one that is of nothing in particular bears nothing out. */
export async function listEvidence(scope: Scope, jobId: string): Promise<Photo[]> {
  return (await listPhotosOfJob(scope, jobId)).flatMap((row) =>
    row.subjectKind === null || row.subjectId === null
      ? []
      : [
          {
            id: row.id,
            subjectKind: row.subjectKind,
            subjectId: row.subjectId,
            ...(row.stepId === null ? {} : { stepId: row.stepId }),
            shows: row.shows,
            sha256: row.sha256,
          },
        ],
  )
}

/** Where what a photo is of belongs: its system, and the job of a test. Refuses with the field that names nothing. */
export async function findPhotoSubject(
  scope: Scope,
  kind: PhotoSubjectKind,
  subjectId: string,
  stepId?: string,
): Promise<{ systemId: string | null; jobId: string | null }> {
  const { db, t, companyId } = scope
  const found = await lookUp()
  if (!found) throw missingField('subjectId', `This ${coded(kind)}`)
  if (stepId !== undefined) {
    const [step] = await db
      .select({ jointId: t.steps.jointId })
      .from(t.steps)
      .where(and(eq(t.steps.companyId, companyId), eq(t.steps.id, stepId)))
    if (!step) throw missingField('stepId', 'This step')
    if (step.jointId !== subjectId)
      throw malformedField('stepId', 'This step is of a joint that the photo is not of.')
  }
  return found

  async function lookUp(): Promise<{ systemId: string | null; jobId: string | null } | null> {
    if (kind === 'job') {
      const [row] = await db
        .select({ id: t.jobs.id })
        .from(t.jobs)
        .where(and(eq(t.jobs.companyId, companyId), eq(t.jobs.id, subjectId)))
      return row ? { systemId: null, jobId: row.id } : null
    }
    if (kind === 'system') {
      const [row] = await db
        .select({ id: t.systems.id })
        .from(t.systems)
        .where(and(eq(t.systems.companyId, companyId), eq(t.systems.id, subjectId)))
      return row ? { systemId: row.id, jobId: null } : null
    }
    if (kind === 'pressure-test' || kind === 'evacuation') {
      const [row] = await db
        .select({ systemId: t.sectionTests.systemId, jobId: t.sectionTests.jobId })
        .from(t.sectionTests)
        .where(
          and(
            eq(t.sectionTests.companyId, companyId),
            eq(t.sectionTests.id, subjectId),
            eq(t.sectionTests.kind, kind === 'evacuation' ? 'evacuation' : 'pressure'),
          ),
        )
      return row ?? null
    }
    const table = { unit: t.units, 'line-set': t.lineSets, joint: t.joints }[kind] as typeof t.joints
    const [row] = await db
      .select({ systemId: table.systemId })
      .from(table)
      .where(and(eq(table.companyId, companyId), eq(table.id, subjectId)))
    return row ? { systemId: row.systemId, jobId: null } : null
  }
}
