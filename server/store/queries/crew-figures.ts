// What did the crew's last signed-off jobs come to, to compare a job with? Torques, flare diameters, holds and vacuums.

import { and, desc, eq, inArray } from 'drizzle-orm'
import type { InspectionBody, TorqueBody } from '../../rules/dossier.ts'
import { torqueAtNut } from '../../trade/torque.ts'
import type { Scope } from '../store.ts'
import { effective } from './effective.ts'

export interface CrewFigures {
  jobs: number
  torques: { tubeOdM: number; torqueNm: number }[]
  diameters: { tubeOdM: number; diameterM: number }[]
  /** Of tests that were concluded. */
  holdsS: number[]
  lowestPa: number[]
}

/** Enough to know a habit by, and not so many that an old one hides a new one. */
const JOBS = 60

export async function listCrewFigures(scope: Scope): Promise<CrewFigures> {
  const { db, t, companyId } = scope
  const figures: CrewFigures = { jobs: 0, torques: [], diameters: [], holdsS: [], lowestPa: [] }
  const jobs = await db
    .select({ id: t.jobs.id })
    .from(t.jobs)
    .where(and(eq(t.jobs.companyId, companyId), eq(t.jobs.stage, 'sealed')))
    .orderBy(desc(t.jobs.stageAt), desc(t.jobs.id))
    .limit(JOBS)
  const jobIds = jobs.map(({ id }) => id)
  figures.jobs = jobIds.length
  if (jobIds.length === 0) return figures
  const systems = await db
    .selectDistinct({ systemId: t.jobSystems.systemId })
    .from(t.jobSystems)
    .where(and(eq(t.jobSystems.companyId, companyId), inArray(t.jobSystems.jobId, jobIds)))
  // By system first, which has an index.
  const steps = await db
    .select({
      id: t.steps.id,
      correctsId: t.steps.correctsId,
      jobId: t.steps.jobId,
      body: t.steps.body,
      kind: t.steps.kind,
      tubeOdM: t.joints.tubeOdM,
    })
    .from(t.steps)
    .innerJoin(t.joints, and(eq(t.joints.companyId, t.steps.companyId), eq(t.joints.id, t.steps.jointId)))
    .where(
      and(
        eq(t.steps.companyId, companyId),
        inArray(
          t.steps.systemId,
          systems.map(({ systemId }) => systemId),
        ),
        inArray(t.steps.kind, ['torque', 'inspection']),
      ),
    )
    .orderBy(t.steps.performedAt, t.steps.id)
  const wanted = new Set(jobIds)
  for (const { jobId, kind, body, tubeOdM } of await effective(scope, steps)) {
    if (!wanted.has(jobId)) continue
    if (kind === 'torque') {
      const { readingNm, adapter } = body as TorqueBody
      const torqueNm = readingNm === null ? null : atNut(readingNm, adapter)
      if (torqueNm !== null) figures.torques.push({ tubeOdM, torqueNm })
    } else {
      const { outerDiameterM } = body as InspectionBody
      if (outerDiameterM !== null) figures.diameters.push({ tubeOdM, diameterM: outerDiameterM })
    }
  }
  const ended = await db
    .select({ kind: t.sectionTests.kind, result: t.sectionConclusions.result })
    .from(t.sectionTests)
    .innerJoin(
      t.sectionConclusions,
      and(
        eq(t.sectionConclusions.companyId, t.sectionTests.companyId),
        eq(t.sectionConclusions.testId, t.sectionTests.id),
      ),
    )
    .where(and(eq(t.sectionTests.companyId, companyId), inArray(t.sectionTests.jobId, jobIds)))
    .orderBy(t.sectionTests.performedAt, t.sectionTests.id)
  for (const { kind, result } of ended) {
    const figure = kind === 'pressure' ? result.holdS : result.lowestPressurePa
    if (typeof figure === 'number') figures[kind === 'pressure' ? 'holdsS' : 'lowestPa'].push(figure)
  }
  return figures
}

/** Null where the adapter was recorded in a way that nothing can be worked out from. */
function atNut(readingNm: number, adapter: TorqueBody['adapter']): number | null {
  try {
    return torqueAtNut({ readingNm, adapter: adapter ?? undefined })
  } catch {
    return null
  }
}
