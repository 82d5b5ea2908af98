// What do the pages and answers of tests of a section share? How a coverage, a person and a quantity are written.

import type { PhotosProps } from '../../views/parts/photos.tsx'
import { SOME_TEST } from '../../views/section-tests/once-started.tsx'
import { may } from '../access/capabilities.ts'
import { instrumentsOf } from '../commands/section-tests/instruments-of.ts'
import type { Refusal } from '../refusals.ts'
import type { Coverage, Evacuation, Instrument, PressureTest, System } from '../rules/dossier.ts'
import { day, moment } from '../rules/wording.ts'
import { listCrewPage } from '../store/queries/crew.ts'
import { listActiveInstruments } from '../store/queries/instruments.ts'
import { listInstrumentsById } from '../store/queries/instruments-used.ts'
import { findJob, listOpenJobsOfSystem } from '../store/queries/jobs.ts'
import { listReadingLogs } from '../store/queries/reading-logs.ts'
import { findToolsAtHand, handFirst } from '../store/queries/tools-at-hand.ts'
import type { AsTyped } from '../store/rows.ts'
import type { Scope } from '../store/store.ts'
import type { Unit } from '../trade/units.ts'
import type { InstrumentKind } from '../vocabulary.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import { type Ending, endingWords } from './endings.ts'
import { instantOrNull, type QuantityJson, whoJson } from './json.ts'
import { photosOfTest } from './photo-slots.ts'
import type { Ask } from './resource.ts'

/** Units that only answers know. */
export const plainJson = (value: number | null | undefined, unit: string): QuantityJson | null =>
  value === null || value === undefined ? null : { value, unit }

const COVERAGE_FIELD = { 'line-set': 'lineSetId', unit: 'unitId', joint: 'jointId' } as const

export const coversJson = (covers: readonly Coverage[]) =>
  covers.map(({ kind, id }) => ({ [COVERAGE_FIELD[kind]]: id }))

/** What both kinds of test answer. */
export const sectionTestJson = (stored: { systemId: string; test: PressureTest | Evacuation }) => ({
  id: stored.test.id,
  systemId: stored.systemId,
  jobId: stored.test.jobId,
  covers: coversJson(stored.test.covers),
  throughOutdoorUnit: stored.test.throughOutdoorUnit,
  gaugeInstrumentId: stored.test.gaugeInstrumentId,
  repeatOf: stored.test.repeatOf,
  repeatCause: stored.test.repeatCause,
  repeatNote: stored.test.repeatNote,
  ...whoJson(stored.test),
  concludedAt: instantOrNull(stored.test.concludedAt),
})

/** The unit that somebody typed first for a field, if the record still knows it. */
export function unitTyped<U extends Unit>(typed: AsTyped | undefined, field: string): U | null {
  return (typed?.[field]?.unit as U | undefined) ?? null
}

/** "Kitchen, Hall"; the whole system where nothing else is named. */
export function sectionNames(covers: readonly Coverage[], system: System): string[] {
  return covers.map(({ kind, id }) => {
    if (kind === 'line-set') return system.lineSets.find((line) => line.id === id)?.name ?? say.tests.aLineSet
    if (kind === 'joint') return system.joints.find((joint) => joint.id === id)?.tag ?? say.tests.aJoint
    const unit = system.units.find((one) => one.id === id)
    return unit ? say.tests.unit(unit.role, unit.model) : say.tests.aUnit
  })
}

export const instrumentsUsed = (scope: Scope, test: PressureTest | Evacuation): Promise<Instrument[]> =>
  listInstrumentsById(scope, instrumentsOf(test))

/** Instruments to choose from; at a system, first those that somebody has in hand there. */
export async function instrumentOptions(
  scope: Scope,
  kinds: readonly InstrumentKind[],
  at?: { systemId: string; memberId: string },
) {
  const active = await listActiveInstruments(scope, kinds)
  const rows = at ? handFirst(active, (await findToolsAtHand(scope, at)).instrumentIds) : active
  return rows.map((row) => ({
    value: row.id,
    label: `${row.name} (${row.serial})${row.compound ? say.tests.compound : ''}`,
  }))
}

/** People of the crew to choose from. */
export async function crewOptions(scope: Scope) {
  const { items } = await listCrewPage(scope, { limit: 200 })
  return items
    .filter((person) => person.active)
    .map((person) => ({ value: person.id, label: person.name }))
    .sort((a, b) => a.label.localeCompare(b.label))
}

/** The gauges' logs that a test holds, as its page shows them. */
export async function takenLogsOf(scope: Scope, testId: string) {
  const rows = await listReadingLogs(scope, testId)
  return rows.map((row) => ({
    id: row.id,
    rows: row.rows,
    taken: row.taken,
    from: row.firstAt,
    to: row.lastAt,
  }))
}

/** May the one who asks record on this job now? */
export async function mayRecordOn({ actor, scope }: Ask, jobId: string): Promise<boolean> {
  return may(actor, 'record-work') && (await findJob(scope, jobId)).stage === 'open'
}

/** The open jobs of a system to choose from; the one asked for stands first. */
export async function jobOptions(scope: Scope, systemId: string, asked: string | undefined) {
  const jobs = await listOpenJobsOfSystem(scope, systemId)
  return jobs
    .map((job) => ({
      value: job.id,
      label: job.reference ?? say.tests.ofWord(coded(job.kind), day(job.openedAt)),
    }))
    .sort((a, b) => Number(b.value === asked) - Number(a.value === asked))
}

/** An earlier test that a new one may repeat: "2026-03-04 15:10 UTC, falls". */
export const briefly = (test: { id: string; performedAt: number }, ending: Ending) => ({
  value: test.id,
  label: `${moment(test.performedAt)}, ${endingWords(ending)}`,
})

/** A form's numbered groups (`readings.0.at`) as the list they stand for. */
export const listOf = (groups: unknown): unknown[] =>
  typeof groups === 'object' && groups !== null ? Object.values(groups) : []

export function orNull<T>(compute: () => T): T | null {
  try {
    return compute()
  } catch {
    return null
  }
}

/** What is photographed of a test that a phone started without a signal: its own id is put in there. */
export function photosOnceStarted(
  ask: Ask,
  kind: 'pressure-test' | 'evacuation',
  systemName: string,
  jobs: readonly { value: string }[],
): Promise<PhotosProps> | null {
  const [job] = jobs
  return job ? photosOfTest(ask, { kind, id: SOME_TEST, jobId: job.value, systemName }) : null
}

/** Line sets, and joints that belong to none. */
export function sectionChoices(system: System) {
  return [
    ...system.lineSets.map((line) => ({ field: 'lineSetId' as const, id: line.id, label: line.name })),
    ...system.joints
      .filter((joint) => joint.lineSetId === null && joint.retiredAt === null)
      .map((joint) => ({ field: 'jointId' as const, id: joint.id, label: say.tests.joint(joint.tag) })),
  ]
}

/** A refusal that no field is at fault for is said above the form. */
export const refusedWhole = (refusal: Refusal | undefined): string | undefined =>
  refusal && refusal.errors.length === 0 ? refusal.message : undefined
