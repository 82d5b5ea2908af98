// What does the record hold that goes into a system's claim packet?

import { standingOf } from '../../certificate/standing.ts'
import type { Instrument } from '../../rules/dossier.ts'
import { listCallbacksOfSystem, type WholeCallback } from '../../store/queries/callbacks.ts'
import {
  findCertificate,
  findCertificatePlace,
  listCertificatesOfJob,
  listPeopleNames,
} from '../../store/queries/certificates.ts'
import { instrumentIdsIn } from '../../store/queries/dossier.ts'
import { listWholeEntries, type WholeEntry } from '../../store/queries/entries.ts'
import { listInstrumentsById } from '../../store/queries/instruments-used.ts'
import { loadForJudging, type SystemForJudging } from '../../store/queries/judging.ts'
import { listPhotosOf, listPhotosOfJob, type PhotoRow } from '../../store/queries/photos.ts'
import {
  findEvacuation,
  findPressureTest,
  type StoredEvacuation,
  type StoredPressureTest,
} from '../../store/queries/section-tests.ts'
import { type DatedUnit, listJobsOfSystem, listUnits } from '../../store/queries/systems.ts'
import type { CertificateData } from '../certificate-page.ts'
import type { Ask } from '../resource.ts'

export interface ClaimRecord extends SystemForJudging {
  units: DatedUnit[]
  /** Newest first. */
  callbacks: WholeCallback[]
  /** Of every job on the system, the first issued first. */
  certificates: CertificateData[]
  pressureTests: StoredPressureTest[]
  evacuations: StoredEvacuation[]
  photos: PhotoRow[]
  /** The system's chain, whole. */
  entries: WholeEntry[]
  instruments: Instrument[]
  people: { crew: Map<string, string>; members: Map<string, string> }
}

/** Refuses with missing. */
export async function loadClaimRecord({ scope, deps }: Ask, systemId: string): Promise<ClaimRecord> {
  const judged = await loadForJudging(scope, systemId)
  const { system } = judged
  const jobs = (await listJobsOfSystem(scope, systemId)).reverse()
  const people = await listPeopleNames(scope)
  const certificates: CertificateData[] = []
  for (const job of jobs)
    for (const { id } of await listCertificatesOfJob(scope, job.id)) {
      const row = await findCertificate(scope, id)
      const keys = deps.machinery.signer.publicKeys
      const standing = await standingOf(scope, row, { keys, walk: true })
      certificates.push({ row, standing, place: await findCertificatePlace(scope, job.id), people })
    }
  const pressureTests: StoredPressureTest[] = []
  for (const { id } of system.pressureTests) pressureTests.push(await findPressureTest(scope, id))
  const evacuations: StoredEvacuation[] = []
  for (const { id } of system.evacuations) evacuations.push(await findEvacuation(scope, id))
  return {
    ...judged,
    units: await listUnits(scope, [systemId]),
    callbacks: await listCallbacksOfSystem(scope, systemId),
    certificates,
    pressureTests,
    evacuations,
    photos: await photosOf(scope, judged, jobs),
    entries: await listWholeEntries(scope, systemId),
    instruments: await listInstrumentsById(scope, [...instrumentIdsIn([system])]),
    people,
  }
}

/** Of the system and its parts; and what was taken on a job on it of the job itself, or of nothing in particular. */
async function photosOf(
  scope: Ask['scope'],
  { system }: SystemForJudging,
  jobs: readonly { id: string }[],
): Promise<PhotoRow[]> {
  const parts = [
    system,
    ...system.units,
    ...system.lineSets,
    ...system.joints,
    ...system.pressureTests,
    ...system.evacuations,
  ]
  const found = await listPhotosOf(
    scope,
    parts.map(({ id }) => id),
  )
  for (const { id } of jobs)
    for (const photo of await listPhotosOfJob(scope, id))
      if (photo.subjectId === null || photo.subjectKind === 'job') found.push(photo)
  return found.sort((a, b) => a.recordedAt - b.recordedAt || (a.id < b.id ? -1 : 1))
}

/** Photos as they will be; papers as they are as a rule: nobody waits for a paper to be set only to see its size. */
export function roughBytes({
  certificates,
  photos,
  entries,
  pressureTests,
  evacuations,
}: ClaimRecord): number {
  const sum = (sizes: readonly number[]) => sizes.reduce((all, size) => all + size, 0)
  const readings = [...pressureTests, ...evacuations].map(({ test }) => test.readings.length * READING_BYTES)
  return (
    sum(photos.map(({ bytes }) => bytes)) +
    sum(certificates.map(({ row }) => 2 * row.signedCopy.length + PAPER_BYTES)) +
    sum(entries.map(({ content }) => content.length + ENTRY_BYTES)) +
    sum(readings) +
    PAPER_BYTES +
    CHECK_BYTES
  )
}
/** With its letters inside. */
const PAPER_BYTES = 90_000
const READING_BYTES = 260
const ENTRY_BYTES = 220
const CHECK_BYTES = 130_000
