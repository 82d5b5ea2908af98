// Which tools does somebody have in hand at a system? Those they last recorded with there, then what the job was set up with.

import { and, desc, eq, inArray } from 'drizzle-orm'
import type { FlareStep } from '../../rules/dossier.ts'
import type { Scope } from '../store.ts'
import type { EvacuationSetUp, PressureSetUp } from '../tables/section-tests.ts'
import { listOpenJobsOfSystem } from './jobs.ts'

export interface ToolsAtHand {
  /** Ids of instruments, those used last first. */
  instrumentIds: string[]
  /** How the last flare was formed. */
  flareMethod: FlareStep['body']['method'] | null
}

/** Far more steps than one person's tools change in. */
const ENOUGH = 120

export async function findToolsAtHand(
  scope: Scope,
  { systemId, memberId }: { systemId: string; memberId: string },
): Promise<ToolsAtHand> {
  const { db, t, companyId } = scope
  const jobs = await listOpenJobsOfSystem(scope, systemId)
  const jobIds = jobs.map((job) => job.id)
  // The tools of the first joint of a system are most likely those of the last joint of the one before.
  const systems =
    jobIds.length === 0
      ? []
      : await db
          .select({ systemId: t.jobSystems.systemId })
          .from(t.jobSystems)
          .where(and(eq(t.jobSystems.companyId, companyId), inArray(t.jobSystems.jobId, jobIds)))
  const systemIds = [...new Set([systemId, ...systems.map((row) => row.systemId)])]
  const steps = await db
    .select({ instrumentId: t.steps.instrumentId, kind: t.steps.kind, body: t.steps.body })
    .from(t.steps)
    .where(
      and(
        eq(t.steps.companyId, companyId),
        inArray(t.steps.systemId, systemIds),
        eq(t.steps.recordedBy, memberId),
        // Not "with an instrument": SQLite would then walk through every use of every instrument of the company.
      ),
    )
    .orderBy(desc(t.steps.recordedAt), desc(t.steps.id))
    .limit(ENOUGH)
  const tests = await db
    .select({ gauge: t.sectionTests.gaugeInstrumentId, setUp: t.sectionTests.setUp })
    .from(t.sectionTests)
    .where(
      and(
        eq(t.sectionTests.companyId, companyId),
        inArray(t.sectionTests.systemId, systemIds),
        eq(t.sectionTests.recordedBy, memberId),
      ),
    )
    .orderBy(desc(t.sectionTests.recordedAt), desc(t.sectionTests.id))
    .limit(ENOUGH)
  const flare = steps.find((step) => step.kind === 'flare')
  const used = [...steps.map(({ instrumentId }) => instrumentId), ...tests.map(({ gauge }) => gauge)].filter(
    (id) => id !== null,
  )
  const taken = jobs.flatMap((job) => job.tools ?? [])
  return {
    instrumentIds: [...new Set([...used, ...taken])],
    flareMethod: flare ? (flare.body as FlareStep['body']).method : null,
  }
}

/** What is at hand stands first; the rest as it was. */
export function handFirst<Row extends { id: string }>(
  rows: readonly Row[],
  atHand: readonly string[],
): Row[] {
  const place = (row: Row) => {
    const index = atHand.indexOf(row.id)
    return index < 0 ? atHand.length : index
  }
  return [...rows].sort((a, b) => place(a) - place(b))
}

/** The instruments that a system was worked on with, by anybody: those used last first. */
export async function listToolsUsedAt(scope: Scope, systemId: string): Promise<string[]> {
  const { db, t, companyId } = scope
  const steps = await db
    .select({ id: t.steps.instrumentId, at: t.steps.recordedAt })
    .from(t.steps)
    .where(and(eq(t.steps.companyId, companyId), eq(t.steps.systemId, systemId)))
  const tests = await db
    .select({
      gauge: t.sectionTests.gaugeInstrumentId,
      setUp: t.sectionTests.setUp,
      at: t.sectionTests.recordedAt,
    })
    .from(t.sectionTests)
    .where(and(eq(t.sectionTests.companyId, companyId), eq(t.sectionTests.systemId, systemId)))
  const charges = await db
    .select({ id: t.charges.scaleInstrumentId, at: t.charges.recordedAt })
    .from(t.charges)
    .where(and(eq(t.charges.companyId, companyId), eq(t.charges.systemId, systemId)))
  const used = [
    ...steps,
    ...tests.map(({ gauge, at }) => ({ id: gauge, at })),
    ...tests.map(({ setUp, at }) => ({ id: thermometerIn(setUp), at })),
    ...charges,
  ].sort((a, b) => b.at - a.at)
  return [...new Set(used.flatMap(({ id }) => (id === null ? [] : [id])))]
}

const thermometerIn = (setUp: PressureSetUp | EvacuationSetUp): string | null =>
  'thermometerInstrumentId' in setUp ? setUp.thermometerInstrumentId : null
