// Was the work done in its order: pressure, then vacuum, then charge, then running, with none of them stale?

import { say } from '../words/say.ts'
import { failed, met, notApplicable, open, systemSubject } from './answers.ts'
import { isAfter, latest } from './chronology.ts'
import type { Charge, Dossier, RunningCheck, System } from './dossier.ts'
import type { Answer, Requirement } from './finding.ts'
import { isPort, type Scope, type ScopedSection, scopeOf } from './scope.ts'
import { isChargedCoupling, pressureState, vacuumState } from './section-answers.ts'
import { coversSection, isPressureTest, liesIn, type SectionState, type SectionTest } from './staleness.ts'
import { moment } from './wording.ts'

/** Something out of order, or not there yet, in a sentence with what to do about it. */
interface Problem {
  outcome: 'failed' | 'open'
  reason: string
  next: string
  evidence: string[]
}

interface TestedSection {
  section: ScopedSection
  pressure: SectionState
  vacuum: SectionState
}

const testsOf = (state: SectionState): SectionTest[] =>
  state.state === 'none' ? [] : state.state === 'passed' ? state.tests : [state.test]

/** Lets refrigerant in. */
const letsIn = (charge: Charge) => charge.direction !== 'out'

/** What is wrong with one section's order, worst first; null when nothing is. */
function sectionProblem(
  dossier: Dossier,
  { section, pressure, vacuum }: TestedSection,
  charges: Charge[],
): Problem | null {
  for (const state of [pressure, vacuum]) {
    if (state.state !== 'stale') continue
    return {
      outcome: 'failed',
      reason: state.staleness.reason,
      next: say.rules.testTheSectionAgain,
      evidence: [state.test.id, state.staleness.deed.id],
    }
  }
  const pressed = latest(testsOf(pressure))
  const evacuated = latest(testsOf(vacuum))
  const lastIn = latest(charges.filter(letsIn))
  if (pressed && evacuated && isAfter(pressed, evacuated)) {
    return {
      outcome: 'failed',
      reason: say.rules.wasEvacuatedBeforeIts(section.name),
      next: say.rules.evacuateTheSectionAgain,
      evidence: [pressed.id, evacuated.id],
    }
  }
  // Whatever a test came to: nitrogen or a pump on a charged circuit undoes the charge.
  const last = latest(attemptsOn(dossier, section))
  if (lastIn && last && isAfter(last, lastIn)) {
    return {
      outcome: 'failed',
      reason: say.rules.refrigerantWasLetIn(
        moment(lastIn.performedAt),
        section.name,
        isPressureTest(last) ? 'pressure-tested' : say.rules.evacuated,
      ),
      next: say.rules.recoverTheRefrigerantTest,
      evidence: [lastIn.id, last.id],
    }
  }
  const early = evacuated && chargedTooEarly(dossier, section, evacuated, charges)
  if (early && evacuated) {
    return {
      outcome: 'failed',
      reason: say.rules.refrigerantLetInOn(moment(early.performedAt), section.name),
      next: say.rules.recoverTheRefrigerantEvacuate,
      evidence: [early.id, evacuated.id],
    }
  }
  for (const [state, what] of [
    [pressure, say.rules.thePressureTest],
    [vacuum, say.rules.theEvacuation],
  ] as const) {
    if (state.state === 'none') {
      return {
        outcome: 'open',
        reason: say.rules.stillWaitsFor(section.name, what),
        next: say.rules.goOnInOrder,
        evidence: [],
      }
    }
  }
  return null
}

/** Every test and evacuation of a section on this job. */
function attemptsOn(dossier: Dossier, section: ScopedSection): SectionTest[] {
  const { system } = section
  return [...system.pressureTests, ...system.evacuations].filter(
    (test) =>
      test.jobId === dossier.job.id &&
      (coversSection(test, section) || section.joints.some((joint) => liesIn(test, joint))),
  )
}

/**
 * A charge let in before a section was evacuated, still in the circuit then, and not meant for another section that
 * had been evacuated by that time.
 */
function chargedTooEarly(
  dossier: Dossier,
  section: ScopedSection,
  evacuated: SectionTest,
  charges: Charge[],
): Charge | null {
  const forAnother = (charge: Charge) =>
    section.system.evacuations.some(
      (candidate) =>
        candidate.jobId === dossier.job.id &&
        !isAfter(candidate, charge) &&
        !coversSection(candidate, section) &&
        !section.joints.some((joint) => liesIn(candidate, joint)),
    )
  return (
    charges.find(
      (charge) =>
        letsIn(charge) &&
        isAfter(evacuated, charge) &&
        !forAnother(charge) &&
        !charges.some((out) => !letsIn(out) && !isAfter(charge, out) && !isAfter(out, evacuated)),
    ) ?? null
  )
}

function runningProblem(charges: Charge[], check: RunningCheck | null): Problem | null {
  const lastCharge = latest(charges)
  if (!check || !lastCharge || check.notPossible || !isAfter(lastCharge, check)) return null
  return {
    outcome: 'failed',
    reason: say.rules.theChargeWasChanged(moment(lastCharge.performedAt)),
    next: say.rules.repeatTheRunningCheck,
    evidence: [check.id, lastCharge.id],
  }
}

/** A running check speaks for nothing that was opened afterwards. */
function openedAfterRunning(
  sections: ScopedSection[],
  dossier: Dossier,
  check: RunningCheck | null,
): Problem | null {
  if (!check || check.notPossible) return null
  const later = sections
    .flatMap((section) => [...section.system.pressureTests, ...section.system.evacuations])
    .find((test) => test.jobId === dossier.job.id && isAfter(test, check))
  if (!later) return null
  return {
    outcome: 'failed',
    reason: say.rules.aSectionWasTested(moment(later.performedAt)),
    next: say.rules.repeatTheRunningCheck,
    evidence: [check.id, later.id],
  }
}

function ask(dossier: Dossier, system: System, scope: Scope): Answer {
  const subject = systemSubject(system)
  const { job } = dossier
  const sections = scope.openedSections.filter(
    (section) =>
      section.system.id === system.id && !isChargedCoupling(section) && !leftOutAltogether(section, scope),
  )
  const charges = system.charges.filter((charge) => charge.jobId === job.id)
  const check = latest(system.runningChecks.filter((candidate) => candidate.jobId === job.id))
  const opened = scope.openedCircuits.has(system.id)
  // Taking a little out opens no section, and asks for nothing to be let in again.
  const laidOrOpened = scope.openedSections.some((section) => section.system.id === system.id)
  if (job.kind === 'removal') return notApplicable(subject, say.rules.theSystemIsTaken)
  if (!opened && charges.length === 0) {
    return notApplicable(subject, say.rules.theCircuitWasNeither)
  }
  const tested: TestedSection[] = sections.map((section) => ({
    section,
    pressure: pressureState(dossier, section, scope),
    vacuum: vacuumState(dossier, section, scope),
  }))
  const problems = [
    ...tested.map((section) => sectionProblem(dossier, section, charges)),
    runningProblem(charges, check),
    openedAfterRunning(sections, dossier, check),
    laidOrOpened && !charges.some(letsIn)
      ? ({
          outcome: 'open',
          reason: say.rules.theChargeIsNot,
          next: say.rules.goOnInOrder,
          evidence: [],
        } satisfies Problem)
      : null,
  ].filter((problem) => problem !== null)
  const worst = problems.find((problem) => problem.outcome === 'failed') ?? problems[0]
  const evidence = [
    ...tested.flatMap(({ pressure, vacuum }) => [...testsOf(pressure), ...testsOf(vacuum)]),
    ...charges,
    ...(check ? [check] : []),
  ].map(({ id }) => id)
  if (!worst) {
    return met(subject, {
      reason: say.rules.pressureTestEvacuationCharge,
      evidence: [...new Set(evidence)],
    })
  }
  const { outcome, ...said } = worst
  return outcome === 'failed'
    ? failed(subject, { ...said, concedable: false })
    : open(subject, { ...said, concedable: false })
}

function leftOutAltogether(section: ScopedSection, scope: Scope): boolean {
  const joints = scope.joints.filter((scoped) => scoped.section.id === section.id && !isPort(scoped.joint))
  return joints.length > 0 && joints.every((scoped) => scoped.leftOut !== null)
}

export const orderOfWork: Requirement = {
  code: 'order-of-work',
  get title() {
    return say.rules.theWorkWasDone
  },
  get source() {
    return say.rules.iecUlCsa603352
  },
  check(dossier) {
    const scope = scopeOf(dossier)
    return dossier.systems.map((system) => ask(dossier, system, scope))
  },
}
