// Which joints and sections is this job about, and which step of a joint comes next?

import type { JobKind, JointKind, StepKind } from '../vocabulary.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import { inOrder, isAfter } from './chronology.ts'
import type {
  Dossier,
  EquipmentSheet,
  InspectionStep,
  Joint,
  LeakCheckStep,
  LineSet,
  Make,
  Step,
  System,
  TorqueStep,
} from './dossier.ts'
import { type Judging, judgeTorqueStep, sheetTorqueRange } from './judge-torque.ts'
import { netCharge } from './net-charge.ts'
import { jointKindWords, list, stepWords } from './wording.ts'

// ---------------------------------------------------------------- joints

const MECHANICAL: ReadonlySet<JointKind> = new Set(['flare', 'compression', 'adapter', 'quick-coupling'])
const PORTS: ReadonlySet<JointKind> = new Set(['service-port', 'valve-cap'])

export const isMechanical = (joint: Pick<Joint, 'kind'>) => MECHANICAL.has(joint.kind)
/** Ports and caps are closed, not made: they have a requirement of their own. */
export const isPort = (joint: Pick<Joint, 'kind'>) => PORTS.has(joint.kind)

/** The making that counts now: the one with the highest number. */
export function currentMake(joint: Joint): Make | null {
  return joint.makes.reduce<Make | null>(
    (best, make) => (best === null || make.number > best.number ? make : best),
    null,
  )
}

export function isRetired(joint: Joint, at: number): boolean {
  return joint.retiredAt !== null && joint.retiredAt <= at
}

/**
 * The line sets that are still there: one whose joints were all cut out, ports left aside, went with them. It is no
 * longer tested, charged for or counted, and stays on record.
 */
export function standingLines(
  system: Pick<System, 'lineSets' | 'joints'>,
  at = Number.POSITIVE_INFINITY,
): LineSet[] {
  const cut = new Set<string>()
  const standing = new Set<string>()
  for (const joint of system.joints) {
    if (joint.lineSetId === null || isPort(joint)) continue
    if (isRetired(joint, at)) cut.add(joint.lineSetId)
    else standing.add(joint.lineSetId)
  }
  return system.lineSets.filter(({ id }) => standing.has(id) || !cut.has(id))
}

/** Every leak check of a joint once, oldest first, whether it was recorded for a making or for the joint. */
export function leakChecksOf(joint: Joint): LeakCheckStep[] {
  const byId = new Map<string, LeakCheckStep>()
  for (const check of joint.leakChecks) byId.set(check.id, check)
  for (const make of joint.makes) {
    for (const step of make.steps) if (step.kind === 'leak-check') byId.set(step.id, step)
  }
  return inOrder([...byId.values()])
}

/** The steps of one kind recorded for a making, oldest first. */
export function stepsOf<K extends StepKind>(make: Make, kind: K): Extract<Step, { kind: K }>[] {
  return inOrder(make.steps.filter((step): step is Extract<Step, { kind: K }> => step.kind === kind))
}

// ---------------------------------------------------------------- sections

/** A stretch of the circuit that is opened, tested and evacuated as one. */
export interface Section {
  kind: 'line-set' | 'unit' | 'joint'
  id: string
  name: string
  /** Retired joints left out. */
  joints: Joint[]
  /** Retired joints: cutting one out opened the section. */
  retired: Joint[]
  jointKind: JointKind | null
}

export function sectionIdOf(joint: Joint): string {
  return joint.lineSetId ?? joint.unitId ?? joint.id
}

/** The sections of a system: each line set, and what joints lie outside any line set. */
export function sectionsOf(system: System, at: number): Section[] {
  const sections = new Map<string, Section>()
  for (const line of system.lineSets) {
    sections.set(line.id, {
      kind: 'line-set',
      id: line.id,
      name: line.name,
      joints: [],
      retired: [],
      jointKind: line.jointKind,
    })
  }
  for (const joint of system.joints) {
    const id = sectionIdOf(joint)
    let section = sections.get(id)
    if (!section) {
      const unit = system.units.find((candidate) => candidate.id === id)
      section = {
        kind: unit ? 'unit' : joint.lineSetId === id ? 'line-set' : 'joint',
        id,
        name: unit ? say.rules.unitModel(coded(unit.role), unit.model) : joint.tag,
        joints: [],
        retired: [],
        jointKind: null,
      }
      sections.set(id, section)
    }
    if (isRetired(joint, at)) section.retired.push(joint)
    else section.joints.push(joint)
  }
  return [...sections.values()].filter((section) => section.kind === 'line-set' || section.joints.length > 0)
}

/** Kinds of job on which new lines are laid. */
const LAYING: ReadonlySet<JobKind> = new Set(['installation', 'replacement', 'relocation'])

export const laysLines = (kind: JobKind) => LAYING.has(kind)

function touchedByAnotherJob(joint: Joint, jobId: string): boolean {
  return joint.makes.some((make) => make.jobId !== jobId)
}

const DAY_MS = 86_400_000

/**
 * When the work of this job may have begun: a job that is entered in the evening was opened after its own work, and
 * not every hour of that work is on record.
 */
function beganAt({ job, systems }: Dossier): number {
  const stated = systems.flatMap((system) => [
    ...system.joints.flatMap((joint) => joint.makes),
    ...system.pressureTests,
    ...system.evacuations,
    ...system.charges,
  ])
  const moments = stated.filter((fact) => fact.jobId === job.id).map((fact) => fact.performedAt)
  return moments.reduce((first, at) => Math.min(first, at), job.openedAt) - DAY_MS
}

/** Units put in place of another one on this job. */
function unitsReplacedHere(dossier: Dossier, system: System, since: number): Set<string> {
  const ids = new Set<string>()
  for (const unit of system.units) {
    if (unit.replacesUnitId === null) continue
    if (unit.installedAt < since || unit.installedAt > dossier.at) continue
    ids.add(unit.id)
    ids.add(unit.replacesUnitId)
  }
  return ids
}

/** Whether this job worked on the joint itself: a making, or a step on an earlier making. */
export function workedOnHere(joint: Joint, jobId: string): boolean {
  return joint.makes.some(
    (make) =>
      make.jobId === jobId || make.steps.some((step) => step.jobId === jobId && step.kind !== 'leak-check'),
  )
}

const madeHere = (joint: Joint, jobId: string) => joint.makes.some((make) => make.jobId === jobId)

/** Why a joint belongs to this job. */
export type ScopeReason =
  | 'laid-here'
  | 'unit-replaced'
  | 'worked-on-here'
  | 'opened-section'
  | 'found-leaking'

export interface ScopedJoint {
  system: System
  joint: Joint
  section: Section
  /** The making that counts now, of whichever job. */
  make: Make | null
  why: ScopeReason
  /** True when this job has to make it, unless it is left out with a reason. */
  mustBeMade: boolean
  /** True when what was made or done to it is this job's own work. */
  workedOnHere: boolean
  /** Why it was left out of the job, where it was. */
  leftOut: string | null
}

export interface ScopedSection extends Section {
  system: System
}

export interface Scope {
  joints: ScopedJoint[]
  /** Sections that were laid or opened on this job. */
  openedSections: ScopedSection[]
  /** Ids of systems whose refrigerant circuit was opened on this job. */
  openedCircuits: Set<string>
}

/** Whether refrigerant was taken out on this job until the circuit was, for all that is known, empty. */
function emptiedHere(dossier: Dossier, system: System): boolean {
  const here = new Set(
    system.charges.filter((charge) => charge.jobId === dossier.job.id).map((charge) => charge.id),
  )
  return here.size > 0 && netCharge(system).emptyingIds.some((id) => here.has(id))
}

function isOpenedHere(
  dossier: Dossier,
  system: System,
  section: Section,
  replaced: Set<string>,
  since: number,
): boolean {
  const { job } = dossier
  const line = system.lineSets.find((candidate) => candidate.id === section.id)
  // A later job that only measured a line again or wrote down its room has opened nothing.
  const untouched = !section.joints.some((joint) => touchedByAnotherJob(joint, job.id))
  if (line) {
    if (untouched && (line.jobId === job.id || (line.jobId === null && LAYING.has(job.kind)))) return true
  } else if (LAYING.has(job.kind)) {
    const fresh = (joint: Joint) => joint.origin !== 'existing' && !touchedByAnotherJob(joint, job.id)
    if (section.joints.some(fresh)) return true
  }
  if (section.joints.some((joint) => madeHere(joint, job.id))) return true
  if (section.joints.some((joint) => joint.unitId !== null && replaced.has(joint.unitId))) return true
  // Cutting a joint out opens the line, whoever wrote it down.
  return section.retired.some((joint) => joint.retiredAt !== null && joint.retiredAt >= since)
}

export function scopeOf(dossier: Dossier): Scope {
  const { job } = dossier
  const scope: Scope = { joints: [], openedSections: [], openedCircuits: new Set() }
  const since = beganAt(dossier)
  for (const system of dossier.systems) {
    if (system.charges.some((charge) => charge.jobId === job.id && charge.direction === 'out')) {
      scope.openedCircuits.add(system.id)
    }
    const replaced = unitsReplacedHere(dossier, system, since)
    const emptied = job.kind !== 'removal' && emptiedHere(dossier, system)
    const standing = new Set(standingLines(system, dossier.at).map(({ id }) => id))
    for (const section of sectionsOf(system, dossier.at)) {
      // A system that is taken away is opened for good: nothing is left to test.
      const opened =
        job.kind === 'removal'
          ? section.joints.some((joint) => madeHere(joint, job.id))
          : emptied || isOpenedHere(dossier, system, section, replaced, since)
      if (opened) {
        // Of a line that was taken out altogether nothing is left to test.
        const isGone = section.kind === 'line-set' && !standing.has(section.id)
        if (!isGone) scope.openedSections.push({ ...section, system })
        scope.openedCircuits.add(system.id)
      }
      for (const joint of section.joints) {
        const scoped = scopeJoint(dossier, system, section, joint, opened, replaced)
        if (scoped) scope.joints.push(scoped)
      }
    }
  }
  return scope
}

function scopeJoint(
  dossier: Dossier,
  system: System,
  section: Section,
  joint: Joint,
  sectionOpened: boolean,
  replaced: Set<string>,
): ScopedJoint | null {
  const { job } = dossier
  const laid = sectionOpened && joint.origin !== 'existing' && !touchedByAnotherJob(joint, job.id)
  const worked = workedOnHere(joint, job.id)
  const leaked = joint.leakChecks.some((check) => check.jobId === job.id && check.body.result === 'found')
  const atReplacedUnit = joint.unitId !== null && replaced.has(joint.unitId)
  const why: ScopeReason | null = worked
    ? 'worked-on-here'
    : laid
      ? 'laid-here'
      : atReplacedUnit
        ? 'unit-replaced'
        : sectionOpened
          ? 'opened-section'
          : joint.leakChecks.some((check) => check.jobId === job.id)
            ? 'worked-on-here'
            : dossier.leaking?.some(({ jointId }) => jointId === joint.id)
              ? 'found-leaking'
              : null
  if (why === null) return null
  return {
    system,
    joint,
    section,
    make: currentMake(joint),
    why,
    mustBeMade: !isPort(joint) && (laid || atReplacedUnit || madeHere(joint, job.id)),
    workedOnHere: worked,
    // Work that was done and a leak that was found are judged, whatever was written down about leaving it out.
    leftOut:
      worked || leaked
        ? null
        : (dossier.exclusions.find((exclusion) => exclusion.jointId === joint.id)?.reason ?? null),
  }
}

/** Whether the refrigerant circuit of a system was opened on this job. */
export function circuitOpened(dossier: Dossier, systemId: string): boolean {
  return scopeOf(dossier).openedCircuits.has(systemId)
}

// ---------------------------------------------------------------- steps

const FIELD_STEPS: Record<JointKind, StepKind[]> = {
  flare: ['preparation', 'flare', 'inspection', 'assembly', 'torque', 'leak-check'],
  brazed: ['preparation', 'brazing', 'leak-check'],
  press: ['preparation', 'pressing', 'inspection', 'leak-check'],
  compression: ['assembly', 'torque', 'leak-check'],
  adapter: ['assembly', 'torque', 'leak-check'],
  'quick-coupling': ['assembly', 'torque', 'leak-check'],
  'service-port': ['closing', 'leak-check'],
  'valve-cap': ['closing', 'leak-check'],
}
const FACTORY_STEPS: Record<JointKind, StepKind[]> = {
  ...FIELD_STEPS,
  flare: ['inspection', 'assembly', 'torque', 'leak-check'],
  brazed: ['leak-check'],
  press: ['leak-check'],
}

/** Whether a nut of it is pulled tight by a torque. */
export const isPulledTight = (kind: JointKind): boolean => FIELD_STEPS[kind].includes('torque')

/**
 * The steps of a joint in the order of the work. `make`: the making they are asked for, the current one when left
 * out. A factory end that was cut off and remade is field work from its second making on; an existing joint has
 * only its leak check until it is made anew. `sheet`: compression joints and adapters are torqued where it says to.
 */
export function stepsFor(
  joint: Joint,
  sheet: EquipmentSheet | null = null,
  make: Pick<Make, 'number'> | null = currentMake(joint),
): StepKind[] {
  if (joint.origin === 'existing' && make === null) return ['leak-check']
  const factoryEnd = joint.origin === 'factory' && (make === null || make.number <= 1)
  const steps = (factoryEnd ? FACTORY_STEPS : FIELD_STEPS)[joint.kind]
  if (joint.kind !== 'compression' && joint.kind !== 'adapter') return [...steps]
  return steps.filter((step) => step !== 'torque' || sheetTorqueRange(joint, sheet) !== null)
}

/** What a joint's making waits for: the step to record, or null with the reason why there is none. */
export interface NextStep {
  step: StepKind | null
  reason: string
}

/**
 * A `high` torque that no accepted inspection has answered yet. Steps of one making follow each other as they
 * were recorded, also when several were sent at one moment.
 */
export function uninspectedHigh(joint: Joint, make: Make, judging: Judging): TorqueStep | null {
  let high: TorqueStep | null = null
  for (const step of inOrder(make.steps)) {
    if (step.kind === 'torque') {
      if (judgeTorqueStep(joint, step.body, judging).verdict === 'high') high = step
    } else if (step.kind === 'inspection' && step.body.outcome === 'accepted') high = null
  }
  return high
}

function lastInspection(make: Make): InspectionStep | null {
  return stepsOf(make, 'inspection').at(-1) ?? null
}

function rejection(make: Make): string | null {
  if (lastInspection(make)?.body.outcome !== 'rejected') return null
  return say.rules.makingWasRejectedAt(make.number, make.number + 1)
}

const complete = () => say.rules.everyStepOfThis

/** Which step of this making to record next. */
export function nextStep(joint: Joint, make: Make, judging: Judging): NextStep {
  const current = currentMake(joint)
  if (joint.retiredAt !== null) return { step: null, reason: say.rules.thisJointIsRetired }
  if (current && current.id !== make.id && current.number > make.number) {
    return { step: null, reason: say.rules.makingWasReplacedBy(make.number, current.number) }
  }
  const rejected = rejection(make)
  if (rejected) return { step: null, reason: rejected }
  if (uninspectedHigh(joint, make, judging)) {
    return {
      step: 'inspection',
      reason: say.rules.theTorqueWasToo,
    }
  }
  for (const step of stepsFor(joint, judging.sheet, make)) {
    if (step === 'torque') {
      const last = stepsOf(make, 'torque').at(-1)
      if (!last) return { step, reason: say.rules.torqueTheNut }
      const { verdict, range, reason } = judgeTorqueStep(joint, last.body, judging)
      // An unanswered one was dealt with above, so this one has been inspected since.
      if (verdict === 'high') {
        return { step, reason: say.rules.flareAndNutWere }
      }
      if (verdict === 'low' || (verdict === 'not-proven' && range !== null)) {
        return { step, reason: say.rules.torqueAgain(reason) }
      }
    } else if (step === 'leak-check') {
      if (!leakCheckedSince(joint, make)) return { step, reason: say.rules.checkTheJointFor }
    } else if (stepsOf(make, step).length === 0) {
      return { step, reason: say.rules.record(stepWords()[step]) }
    }
  }
  return { step: null, reason: complete() }
}

/** Whether the joint was checked for leaks after the last thing done to this making. */
function leakCheckedSince(joint: Joint, make: Make): boolean {
  const deeds = make.steps.filter((step) => step.kind !== 'leak-check')
  return leakChecksOf(joint).some((check) => [make, ...deeds].every((deed) => !isAfter(deed, check)))
}

/**
 * Why a step may not be recorded for this making now; null when it may. Repeating is allowed where the work can
 * honestly be done twice (inspect again, assemble again, torque again, braze again, check again).
 */
export function whyNotNow(kind: StepKind, joint: Joint, make: Make, judging: Judging): string | null {
  const next = nextStep(joint, make, judging)
  if (next.step === null && next.reason !== complete()) return next.reason
  const order = stepsFor(joint, judging.sheet, make)
  const place = order.indexOf(kind)
  const torqued = stepsOf(make, 'torque').length > 0
  if (place < 0) {
    // After a torque that was too high, nut and body of any joint are looked at anew.
    if (kind === 'inspection' && torqued) return null
    return say.rules.aHasNoStep(
      jointKindWords()[joint.kind],
      stepWords()[kind],
      list(order.map((step) => stepWords()[step])),
    )
  }
  const missing = order.slice(0, place).find((step) => stepsOf(make, step).length === 0)
  if (missing) return say.rules.recordFirst(stepWords()[missing])
  if (kind === 'torque' && uninspectedHigh(joint, make, judging)) return next.reason
  const onlyOnce = kind === 'preparation' || kind === 'flare' || kind === 'pressing'
  if (onlyOnce && stepsOf(make, kind).length > 0) {
    return say.rules.thisMakingAlreadyHas(stepWords()[kind])
  }
  return null
}
