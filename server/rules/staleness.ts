// What does a test cover, and what was done afterwards that makes it stale? The only place where that is decided.

import { say } from '../words/say.ts'
import { type Dated, inOrder, isAfter } from './chronology.ts'
import type { Evacuation, Joint, LeakCheckStep, PressureTest, Step, System } from './dossier.ts'
import { isPort, leakChecksOf, type Section } from './scope.ts'
import { moment } from './wording.ts'

export type SectionTest = PressureTest | Evacuation

/** Something done to a joint after which earlier evidence no longer speaks for it. */
export interface Deed extends Dated {
  id: string
  jobId: string | null
  jointId: string
  /** "the nut of K1-3 was torqued". */
  what: string
}

/** Why a piece of evidence no longer counts. */
export interface Staleness {
  /** The first thing done afterwards. */
  deed: Pick<Deed, 'id' | 'performedAt'>
  reason: string
}

const STEP_DEEDS: Record<Step['kind'], ((tag: string) => string) | null> = {
  preparation: (tag) => say.rules.theTubeOfWas(tag),
  flare: (tag) => say.rules.wasFlared(tag),
  brazing: (tag) => say.rules.wasBrazed(tag),
  pressing: (tag) => say.rules.wasPressed(tag),
  inspection: (tag) => say.rules.wasTakenApartFor(tag),
  assembly: (tag) => say.rules.wasAssembled(tag),
  torque: (tag) => say.rules.theNutOfWas(tag),
  // A port is what the test is made through: it is closed when the testing is over.
  closing: null,
  'leak-check': null,
}

type Visit = (fact: Dated & { id: string }, jobId: string | null, what: () => string) => void

/** Visits what was done to a joint, in no order: makings, their steps, and the unit at it being replaced. */
function eachDeed(joint: Joint, system: Pick<System, 'units'>, visit: Visit): void {
  if (!isPort(joint)) {
    for (const make of joint.makes) {
      visit(make, make.jobId, () => say.rules.makingOfBegan(make.number, joint.tag))
      for (const step of make.steps) {
        const what = STEP_DEEDS[step.kind]
        // Gauging a pressed joint leaves it as it is; looking at a flare means opening it.
        if (what === null || (step.kind === 'inspection' && joint.kind === 'press')) continue
        visit(step, step.jobId, () => what(joint.tag))
      }
    }
  }
  if (joint.unitId === null) return
  for (const unit of system.units) {
    if (unit.replacesUnitId === null) continue
    if (joint.unitId !== unit.id && joint.unitId !== unit.replacesUnitId) continue
    const replaced = { id: unit.id, performedAt: unit.installedAt, recordedAt: unit.installedAt }
    visit(replaced, null, () => say.rules.theUnitAtWas(unit.role, joint.tag))
  }
}

/** What was done to a joint, oldest first. */
export function deedsOn(joint: Joint, system: Pick<System, 'units'>): Deed[] {
  const deeds: Deed[] = []
  eachDeed(joint, system, ({ id, performedAt, recordedAt }, jobId, what) => {
    deeds.push({ id, performedAt, recordedAt, jobId, jointId: joint.id, what: what() })
  })
  return inOrder(deeds)
}

type Named = Dated & { id: string; what: string }

/** The first thing done to a joint that `counts`; null when there is none. A job has thousands to look through. */
function firstDeed(
  joint: Joint,
  system: Pick<System, 'units'>,
  counts: (fact: Dated) => boolean,
): Named | null {
  let first: { fact: Dated & { id: string }; what: () => string } | null = null
  eachDeed(joint, system, (fact, _, what) => {
    if (counts(fact) && (first === null || isAfter(first.fact, fact))) first = { fact, what }
  })
  return first === null ? null : named(first)
}

function named({ fact, what }: { fact: Dated & { id: string }; what: () => string }): Named {
  return { id: fact.id, performedAt: fact.performedAt, recordedAt: fact.recordedAt, what: what() }
}

/** Whether anything was done to a joint after a fact. */
export function workedOnSince(joint: Joint, system: Pick<System, 'units'>, fact: Dated): boolean {
  return firstDeed(joint, system, (deed) => isAfter(deed, fact)) !== null
}

// ---------------------------------------------------------------- coverage

/** Whether a joint lies in the sections under test. No section named means the whole system. */
export function liesIn(
  test: Pick<SectionTest, 'covers'>,
  joint: Pick<Joint, 'id' | 'lineSetId' | 'unitId'>,
): boolean {
  return (
    test.covers.length === 0 ||
    test.covers.some(
      ({ kind, id }) =>
        (kind === 'line-set' && id === joint.lineSetId) ||
        (kind === 'unit' && id === joint.unitId) ||
        (kind === 'joint' && id === joint.id),
    )
  )
}

/** Whether a whole section was under test. */
export function coversSection(test: Pick<SectionTest, 'covers'>, section: Section): boolean {
  if (test.covers.length === 0) return true
  if (test.covers.some(({ kind, id }) => kind === section.kind && id === section.id)) return true
  const joints = section.joints.filter((joint) => !isPort(joint))
  return joints.length > 0 && joints.every((joint) => liesIn(test, joint))
}

/** Whether two tests had a joint, or all of the system, in common. */
function shareAJoint(one: SectionTest, other: SectionTest, system: Pick<System, 'joints'>): boolean {
  if (one.covers.length === 0 || other.covers.length === 0) return true
  return (
    one.covers.some((a) => other.covers.some((b) => a.kind === b.kind && a.id === b.id)) ||
    system.joints.some((joint) => liesIn(one, joint) && liesIn(other, joint))
  )
}

// ---------------------------------------------------------------- staleness

/**
 * Whether a deed came after a test began. Work that somebody states to have done while the readings ran counts
 * too, also when the test itself was only written down later.
 */
function cameAfter(deed: Dated, test: SectionTest): boolean {
  if (isAfter(deed, test)) return true
  const stated = deed.performedAt !== deed.recordedAt
  return (
    stated && deed.performedAt < test.performedAt && test.readings.some(({ at }) => at < deed.performedAt)
  )
}

const kindWords = () =>
  ({ pressure: say.rules.thePressureTest, evacuation: say.rules.theEvacuation }) as const

export function isPressureTest(test: SectionTest): test is PressureTest {
  return 'medium' in test
}

const nameOf = (test: SectionTest) => kindWords()[isPressureTest(test) ? 'pressure' : 'evacuation']

function stale(deed: Pick<Deed, 'id' | 'performedAt' | 'what'>, evidence: string, at: number): Staleness {
  const what = deed.what.charAt(0).toUpperCase() + deed.what.slice(1)
  return {
    deed: { id: deed.id, performedAt: deed.performedAt },
    reason: say.rules.onAfterOf(what, moment(deed.performedAt), evidence, moment(at)),
  }
}

/** Why a test no longer speaks for a joint that lay in its sections; null while it does. */
export function staleForJoint(
  test: SectionTest,
  joint: Joint,
  system: Pick<System, 'units' | 'joints' | 'pressureTests'>,
): Staleness | null {
  return staleByDeeds(test, joint, system) ?? staleForAll(test, system)
}

function staleByDeeds(test: SectionTest, joint: Joint, system: Pick<System, 'units'>): Staleness | null {
  const deed = firstDeed(joint, system, (candidate) => cameAfter(candidate, test))
  return deed ? stale(deed, nameOf(test), test.performedAt) : null
}

/** Why a test no longer speaks for anything it covered: nitrogen let in after an evacuation undoes it. */
function staleForAll(test: SectionTest, system: Pick<System, 'joints' | 'pressureTests'>): Staleness | null {
  if (isPressureTest(test)) return null
  const later = inOrder(system.pressureTests).find(
    (candidate) => isAfter(candidate, test) && shareAJoint(candidate, test, system),
  )
  if (!later) return null
  return stale({ ...later, what: say.rules.theSectionWasPressure }, say.rules.theEvacuation, test.performedAt)
}

/** Why a test no longer speaks for a section: a joint was cut out of it. */
function cutSince(test: SectionTest, section: Section): Staleness | null {
  for (const joint of section.retired) {
    if (joint.retiredAt === null || joint.retiredAt <= test.performedAt) continue
    const deed = {
      id: joint.id,
      performedAt: joint.retiredAt,
      what: say.rules.wasTakenOutOf(joint.tag),
    }
    return stale(deed, nameOf(test), test.performedAt)
  }
  return null
}

/** Why a test no longer speaks for a section: one of its joints was worked on, or one was cut out. */
export function staleForSection(
  test: SectionTest,
  section: Section,
  system: Pick<System, 'units' | 'joints' | 'pressureTests'>,
): Staleness | null {
  for (const joint of section.joints) {
    if (isPort(joint) || !liesIn(test, joint)) continue
    const found = staleForJoint(test, joint, system)
    if (found) return found
  }
  return cutSince(test, section) ?? staleForAll(test, system)
}

/** Why a leak check no longer speaks for its joint; null while it does. */
export function staleLeakCheck(
  check: LeakCheckStep,
  joint: Joint,
  system: Pick<System, 'units'>,
): Staleness | null {
  const deed = firstDeed(joint, system, (candidate) => isAfter(candidate, check))
  if (deed) return stale(deed, say.rules.theLeakCheck, check.performedAt)
  if (!isPort(joint)) return null
  const closed = inOrder(joint.makes.flatMap((make) => make.steps)).find(
    (step) => step.kind === 'closing' && isAfter(step, check),
  )
  if (!closed) return null
  return stale(
    { ...closed, what: say.rules.wasClosedAgain(joint.tag) },
    say.rules.theLeakCheck,
    check.performedAt,
  )
}

// ---------------------------------------------------------------- repeats after a failure

/** What a test came to, as far as the repeat rule needs to know. */
export interface Weighed {
  result: 'pass' | 'fail' | 'undecided' | 'void'
  /** How long it was held. */
  holdS: number
  /** True when only a recorded cause will do afterwards, however long the next hold is. */
  onlyCause?: boolean
}

export interface Repeat {
  counts: boolean
  /** The failure that is still unanswered; null when the test counts. */
  unanswered: { id: string; at: number } | null
}

/**
 * Whether a passing test counts. After a failed test of the same section, or a leak found at one of its joints,
 * it does so only with a recorded cause that was dealt with, or a hold at least twice as long as the failed one.
 * A found leak is also dealt with when the joint was worked on afterwards.
 */
export function passCounts<T extends SectionTest>(
  passing: T,
  tests: readonly T[],
  weigh: (test: T) => Weighed,
  section: Section,
  system: Pick<System, 'units' | 'joints'>,
  requiredHoldS: number,
): Repeat {
  const before = inOrder(tests.filter((test) => test !== passing && !isAfter(test, passing)))
  const failure = unansweredFailure(
    before.filter(
      (test) => test.jobId === passing.jobId && test.concludedAt !== null && touchesSection(test, section),
    ),
    weigh,
  )
  if (failure && !isAnsweredBy(passing, weigh(passing), failure.neededS)) {
    return { counts: false, unanswered: { id: failure.id, at: failure.at } }
  }
  for (const joint of section.joints) {
    const found = leakChecksOf(joint).find(
      (check) =>
        check.jobId === passing.jobId &&
        check.body.result === 'found' &&
        isAfter(passing, check) &&
        firstDeed(joint, system, (deed) => isAfter(deed, check) && !isAfter(deed, passing)) === null,
    )
    if (found && !isAnsweredBy(passing, weigh(passing), 2 * requiredHoldS)) {
      return { counts: false, unanswered: { id: found.id, at: found.performedAt } }
    }
  }
  return { counts: true, unanswered: null }
}

interface Failure {
  id: string
  at: number
  /** The hold that answers it without a cause; infinite where only a cause will do. */
  neededS: number
}

/** The last failure that no later test has answered, and the longest hold that any unanswered one asks for. */
function unansweredFailure<T extends SectionTest>(tests: T[], weigh: (test: T) => Weighed): Failure | null {
  return tests.reduce<Failure | null>((open, test) => {
    const weighed = weigh(test)
    if (weighed.result === 'pass') return open && !isAnsweredBy(test, weighed, open.neededS) ? open : null
    if (weighed.result !== 'fail') return open
    const neededS = weighed.onlyCause ? Number.POSITIVE_INFINITY : 2 * weighed.holdS
    return { id: test.id, at: test.performedAt, neededS: Math.max(neededS, open?.neededS ?? 0) }
  }, null)
}

function isAnsweredBy(test: SectionTest, { holdS }: Weighed, neededS: number): boolean {
  return (test.repeatCause ?? '').trim() !== '' || holdS >= neededS
}

function touchesSection(test: SectionTest, section: Section): boolean {
  return coversSection(test, section) || section.joints.some((joint) => liesIn(test, joint))
}

// ---------------------------------------------------------------- how a section stands

export type SectionState =
  /** A test that counts passed, and nothing was done since. */
  | { state: 'passed'; tests: SectionTest[] }
  /** The last test that decides failed. */
  | { state: 'failed'; test: SectionTest }
  /** A test passed after a failure that nobody has answered. */
  | { state: 'unexplained'; test: SectionTest; unanswered: { id: string; at: number } }
  | { state: 'undecided'; test: SectionTest }
  | { state: 'void'; test: SectionTest }
  | { state: 'running'; test: SectionTest }
  | { state: 'stale'; test: SectionTest; staleness: Staleness }
  | { state: 'none' }

/** From worst to best: a section stands as its worst joint does. */
const WORST_FIRST: SectionState['state'][] = [
  'failed',
  'void',
  'stale',
  'none',
  'running',
  'unexplained',
  'undecided',
  'passed',
]

function onceFor<T extends object, R>(ask: (test: T) => R): (test: T) => R {
  const known = new Map<T, { answer: R }>()
  return (test) => {
    const held = known.get(test) ?? { answer: ask(test) }
    known.set(test, held)
    return held.answer
  }
}

/**
 * How a section stands by its tests of one kind. Each joint is asked by itself, since they may have been tested on
 * different days; `leftOut`: joints that this job leaves out and that need no test.
 */
export function sectionState<T extends SectionTest>(
  section: Section,
  system: System,
  tests: readonly T[],
  weigh: (test: T) => Weighed,
  requiredHoldS: number,
  leftOut: ReadonlySet<string> = new Set(),
): SectionState {
  const ordered = inOrder(tests)
  const joints = section.joints.filter((joint) => !isPort(joint) && !leftOut.has(joint.id))
  // What is the same for every joint is asked once for each test.
  const staleAltogether = onceFor((test: T) => cutSince(test, section) ?? staleForAll(test, system))
  const repeatOf = onceFor((test: T) => passCounts(test, tests, weigh, section, system, requiredHoldS))
  const states = joints.map((joint) =>
    stateBy(
      ordered.filter((test) => liesIn(test, joint)),
      (test) => staleByDeeds(test, joint, system) ?? staleAltogether(test),
    ),
  )
  if (joints.length === 0) {
    states.push(
      stateBy(
        ordered.filter((test) => coversSection(test, section)),
        (test) => staleForSection(test, section, system),
      ),
    )
  }
  const worst = WORST_FIRST.map((state) => states.find((candidate) => candidate.state === state)).find(
    Boolean,
  )
  if (!worst) return { state: 'none' }
  if (worst.state !== 'passed') return worst
  const passed = states.flatMap((candidate) => (candidate.state === 'passed' ? candidate.tests : []))
  return { state: 'passed', tests: [...new Set(passed)] }

  function stateBy(covering: T[], staleness: (test: T) => Staleness | null): SectionState {
    const fresh = covering.filter((test) => staleness(test) === null)
    const concluded = fresh.filter((test) => test.concludedAt !== null)
    // A later test that can't tell takes nothing away from one that did.
    const decisive = concluded.findLast((test) => ['pass', 'fail'].includes(weigh(test).result))
    if (decisive) {
      if (weigh(decisive).result === 'fail') return { state: 'failed', test: decisive }
      const repeat = repeatOf(decisive)
      return repeat.unanswered
        ? { state: 'unexplained', test: decisive, unanswered: repeat.unanswered }
        : { state: 'passed', tests: [decisive] }
    }
    const running = fresh.findLast((test) => test.concludedAt === null)
    if (running) return { state: 'running', test: running }
    const last = concluded.at(-1)
    if (last) return { state: weigh(last).result === 'void' ? 'void' : 'undecided', test: last }
    for (const test of [...covering].reverse()) {
      const found = staleness(test)
      if (found) return { state: 'stale', test, staleness: found }
    }
    return { state: 'none' }
  }
}
