// Which requirements turn out not to be met when a job is judged, and what became of those that were not met before?

import {
  type NonconformityDisposition,
  REQUIREMENT_CODES,
  type RequirementCode,
  STEP_KINDS,
} from '../vocabulary.ts'
import type { Dossier, Make } from './dossier.ts'
import { type Finding, isReleased } from './finding.ts'
import { findingsAlone, release } from './index.ts'

const OF_JOINTS: readonly RequirementCode[] = [
  'joint-prepared',
  'flare-accepted',
  'joint-assembled',
  'joint-torque-in-range',
  'braze-purged',
  'press-verified',
  'joint-leak-checked',
  'ports-and-caps-closed',
]
const OF_TESTS: readonly RequirementCode[] = ['standing-pressure-held', 'vacuum-held']

/** The whole job is judged: it turns, something is conceded, or the record is not what it was. */
const JUDGED_WHOLE: ReadonlySet<string> = new Set([
  'job-submitted',
  'job-sent-back',
  'job-signed-off',
  'job-reopened',
  'concession-granted',
  'concession-refused',
  'fact-corrected',
  'correction-accepted',
])

/**
 * What may newly turn out not to be met after an entry of this kind. While the work goes on most of it is not done yet,
 * so a step answers for its joint alone and a test for its section; the rest is asked when the job is handed in.
 */
export function askedAfter(kind: string): readonly RequirementCode[] {
  if (JUDGED_WHOLE.has(kind)) return REQUIREMENT_CODES
  if (kind === 'pressure-test-concluded' || kind === 'evacuation-concluded') return OF_TESTS
  if (kind === 'running-check-recorded') return ['running-as-specified']
  return OF_JOINTS
}

const OF_ONE_JOINT: ReadonlySet<string> = new Set([
  'make-started',
  ...STEP_KINDS.map((kind) => `${kind}-recorded`),
])

/** Whether all that such an entry can change is how its joint stands, the one that it is about. */
export const isOfOneJoint = (kind: string): boolean => OF_ONE_JOINT.has(kind)

/** Whether a joint is asked this by itself, whatever else is on the job. */
export const isAskedOfJoints = (requirement: RequirementCode): boolean => OF_JOINTS.includes(requirement)

/** Whether the job is judged after such an entry whatever was recorded, or only where that says it is not met. */
export const isAlwaysJudgedAfter = (kind: string): boolean => askedAfter(kind) !== OF_JOINTS

/** What the register has of a requirement and subject. */
export interface Registered {
  id: string
  requirement: RequirementCode
  subjectId: string
  evidence: readonly string[]
  policyVersion: number
  disposition: NonconformityDisposition | null
  disposedAt: number | null
}

export interface Disposed {
  disposition: NonconformityDisposition
  /** As it stands now; null where nobody asks for it any more. */
  finding: Finding | null
}

export interface RegisterTurns {
  /** What was not met: as the requirement itself says, whatever was asked for. Some of it is conceded already. */
  found: { finding: Finding; disposed: Disposed | null }[]
  disposed: (Disposed & { id: string })[]
}

/**
 * Compares what the register has of the job with how the job stands. What is not met enters it once; it stays open
 * until the requirement is met, conceded or not asked any more, and what is not met again after that enters anew.
 */
export function registerTurns(
  dossier: Dossier,
  registered: readonly Registered[],
  asked: readonly RequirementCode[],
): RegisterTurns {
  const alone = findingsAlone(dossier)
  const now = new Map(
    alone.map((finding) => [keyOf(finding.requirement, finding.subject.id), release(finding, dossier)]),
  )
  const open = registered.filter(({ disposition }) => disposition === null)
  const isOpen = new Set(open.map(({ requirement, subjectId }) => keyOf(requirement, subjectId)))

  const found: RegisterTurns['found'] = []
  for (const finding of alone) {
    const key = keyOf(finding.requirement, finding.subject.id)
    const stands = now.get(key) ?? finding
    if (isOpen.has(key) || !asked.includes(finding.requirement) || !isNotMet(finding, stands)) continue
    const conceded = stands.outcome === 'conceded'
    if (conceded && hasItsConcession(registered, finding, dossier)) continue
    found.push({ finding, disposed: conceded ? { disposition: 'conceded', finding: stands } : null })
  }
  const disposed = open.flatMap((row) => {
    const stands = now.get(keyOf(row.requirement, row.subjectId)) ?? null
    if (stands && !isReleased(stands)) return []
    return [{ id: row.id, disposition: dispositionOf(row, stands, dossier), finding: stands }]
  })
  return { found, disposed }
}

const keyOf = (requirement: RequirementCode, subjectId: string) => `${requirement} ${subjectId}`

/** The evidence says no; or it is missing, and a release is asked for all the same. */
const isNotMet = (alone: Finding, stands: Finding): boolean =>
  alone.outcome === 'failed' || stands.outcome === 'requested' || stands.outcome === 'conceded'

/** A concession is in the register once; a later one for the same speaks of something new. */
function hasItsConcession(
  registered: readonly Registered[],
  { requirement, subject }: Finding,
  { concessions }: Dossier,
): boolean {
  const given = concessions.findLast(
    (concession) => concession.requirement === requirement && concession.subjectId === subject.id,
  )
  return registered.some(
    (row) =>
      row.requirement === requirement &&
      row.subjectId === subject.id &&
      row.disposition === 'conceded' &&
      (row.disposedAt ?? 0) >= (given?.at ?? 0),
  )
}

function dispositionOf(row: Registered, stands: Finding | null, dossier: Dossier): NonconformityDisposition {
  if (stands === null || stands.outcome === 'not-applicable') return 'not-asked'
  if (stands.outcome === 'conceded') return 'conceded'
  const facts = factsOf(dossier)
  if (row.evidence.some((id) => !facts.has(id))) return 'corrected'
  if (wasRemade(row, dossier)) return 'remade'
  if (stands.evidence.some((id) => !row.evidence.includes(id))) return 're-tested'
  return row.policyVersion === dossier.policyVersion ? 'corrected' : 'other-criteria'
}

/** The joint has a later making than the one that was not met. */
function wasRemade({ subjectId, evidence }: Registered, dossier: Dossier): boolean {
  const joint = dossier.systems.flatMap(({ joints }) => joints).find(({ id }) => id === subjectId)
  const isOf = (make: Make) => make.steps.some(({ id }) => evidence.includes(id))
  const makes = joint?.makes ?? []
  const of = makes.find(isOf)
  return of !== undefined && makes.some(({ number }) => number > of.number)
}

/** Whatever a finding may name as evidence, as far as it still counts: a corrected fact is not among them. */
function factsOf({ systems, instruments, photos }: Dossier): ReadonlySet<string> {
  const ids = new Set<string>()
  const add = (facts: readonly { id: string }[]) => {
    for (const { id } of facts) ids.add(id)
  }
  add(instruments)
  for (const instrument of instruments) add(instrument.calibrations)
  add(photos ?? [])
  for (const system of systems) {
    ids.add(system.id)
    add(system.units)
    add(system.lineSets)
    add(system.charges)
    add(system.runningChecks)
    for (const test of [...system.pressureTests, ...system.evacuations]) {
      ids.add(test.id)
      add(test.readings)
    }
    for (const joint of system.joints) {
      ids.add(joint.id)
      add(joint.makes)
      add(joint.leakChecks)
      for (const make of joint.makes) add(make.steps)
    }
  }
  return ids
}
