// May this job be signed? A second opinion, written from the trade's rules in plain loops and nothing of server/rules:
// for an installation with one system, whose line sets of flare joints each have one port, tested as a whole or line by line.

import type {
  Dossier,
  Evacuation,
  Joint,
  LeakCheckStep,
  LineSet,
  PressureTest,
  Step,
  System,
} from '../../server/rules/dossier.ts'

type SectionTest = PressureTest | Evacuation
/** `nothing`: too short to say. `damp`: moisture, which a manager may let go. */
type CameTo = 'pass' | 'fail' | 'damp' | 'nothing'

const MINUTE = 60_000

export function naivelySignable(dossier: Dossier): boolean {
  const system = dossier.systems[0]
  if (!system?.sheet) throw new Error('The second opinion is about one system with a sheet.')
  for (const line of system.lineSets) if (!lineIsFine(dossier, system, line)) return false

  // Pressure, vacuum, charge, running: in this order, for the whole system.
  const charge = system.charges[0]
  if (!charge || system.charges.length > 1) return false
  for (const test of [...system.pressureTests, ...system.evacuations])
    if (test.performedAt > charge.performedAt) return false
  const running = system.runningChecks.at(-1)
  return running !== undefined && running.performedAt > charge.performedAt
}

function lineIsFine(dossier: Dossier, system: System, line: LineSet): boolean {
  const joints: Joint[] = []
  const ports: Joint[] = []
  for (const joint of system.joints)
    if (joint.lineSetId === line.id) (joint.kind === 'service-port' ? ports : joints).push(joint)

  let lastDeed = 0
  for (const joint of joints) {
    if (!isMadeWell(system, joint)) return false
    if (!isChecked(system, joint)) return false
    lastDeed = Math.max(lastDeed, lastDeedOn(joint))
  }
  for (const port of ports) if (!isClosed(system, port)) return false

  const pressureTests = system.pressureTests.filter((test) => isOn(test, line))
  const pressure = whatDecides(pressureTests, pressureCameTo, lastDeed)
  if (!pressure) return false
  if (pressureCameTo(pressure) === 'fail') return false
  if (pressureCameTo(pressure) === 'nothing') {
    // Too short: a manager may let it go, every joint having been checked.
    if (!isConceded(dossier, 'standing-pressure-held', line, pressure)) return false
  } else {
    if (!answersWhatFailed(pressure, pressureTests, pressureCameTo, holdOfPressure)) return false
    if (!answersFoundLeaks(joints, pressure, holdOfPressure(pressure), 60)) return false
  }

  // Nitrogen let in after an evacuation undoes it: all of it, since it was one volume.
  const evacuations = system.evacuations.filter((test) => isOn(test, line))
  const standing = evacuations.filter((test) => !isUndone(system, test))
  const vacuum = whatDecides(standing, vacuumCameTo, lastDeed)
  if (!vacuum) return false
  if (vacuumCameTo(vacuum) === 'fail') return false
  if (vacuumCameTo(vacuum) !== 'pass') return isConceded(dossier, 'vacuum-held', line, vacuum)
  if (!answersWhatFailed(vacuum, evacuations, vacuumCameTo, holdOfVacuum)) return false
  return answersFoundLeaks(joints, vacuum, holdOfVacuum(vacuum), 10)
}

// ---------------------------------------------------------------- joints

function isMadeWell(system: System, joint: Joint): boolean {
  const make = joint.makes.at(-1)
  if (!make) return false
  const range = rangeOf(system, joint)
  let prepared = false
  let flared = false
  let accepted = false
  let assembled = false
  let torque: number | null = null
  let tooHigh = false
  for (const step of byTime(make.steps)) {
    if (step.kind === 'preparation') prepared = true
    if (step.kind === 'flare') flared = true
    if (step.kind === 'assembly') assembled = true
    if (step.kind === 'inspection') {
      accepted = step.body.outcome === 'accepted'
      // Pulled too far, it may be torqued again only once flare and nut were looked at and accepted.
      if (accepted) tooHigh = false
    }
    if (step.kind === 'torque') {
      torque = step.body.readingNm
      if (torque !== null && torque > range.high) tooHigh = true
    }
  }
  if (!prepared || !flared || !accepted || !assembled || torque === null || tooHigh) return false
  return torque >= range.low && torque <= range.high
}

function rangeOf(system: System, joint: Joint): { low: number; high: number } {
  for (const row of system.sheet?.torqueNm ?? [])
    if (row.tubeOdM === joint.tubeOdM) return { low: row.lowNm, high: row.highNm }
  throw new Error('No range.')
}

/** Checked since anything was done to it, well enough, and no leak that nothing was done about. */
function isChecked(system: System, joint: Joint): boolean {
  const since = lastDeedOn(joint)
  let good = false
  for (const check of joint.leakChecks) {
    if (check.performedAt <= since) continue
    if (check.body.result === 'found') return false
    if (isGoodEnough(system, joint, check)) good = true
  }
  return good
}

function isGoodEnough(system: System, joint: Joint, check: LeakCheckStep): boolean {
  // Bubbles in nitrogen are looked for at test pressure, less what cooling takes away.
  const wanted = system.sheet?.testPressureGaugePa ?? 0
  if (check.body.method === 'bubble' && (check.body.gaugePressurePa ?? 0) < 0.9 * wanted) return false
  const strict = system.refrigerant === 'R-32' && joint.indoors
  return !strict || check.body.method === 'refrigerant-detector'
}

/** Looking at a flare changes nothing while no nut is on it; afterwards it has to be taken apart to be looked at. */
function changesTheJoint(step: Step, steps: Step[]): boolean {
  if (step.kind === 'leak-check' || step.kind === 'closing') return false
  if (step.kind !== 'inspection') return true
  for (const other of steps) if (other.kind === 'torque' && other.performedAt < step.performedAt) return true
  return false
}

function deedsOn(joint: Joint): number[] {
  const deeds: number[] = []
  for (const make of joint.makes) {
    deeds.push(make.performedAt)
    for (const step of make.steps) if (changesTheJoint(step, make.steps)) deeds.push(step.performedAt)
  }
  return deeds
}
const lastDeedOn = (joint: Joint) => Math.max(0, ...deedsOn(joint))

// ---------------------------------------------------------------- ports

/** Closed after its last use, and checked since: a test of its line, or refrigerant moved. */
function isClosed(system: System, port: Joint): boolean {
  let lastUse = 0
  for (const test of [...system.pressureTests, ...system.evacuations])
    if (isOn(test, { id: port.lineSetId ?? '' })) lastUse = Math.max(lastUse, test.performedAt)
  for (const charge of system.charges) lastUse = Math.max(lastUse, charge.performedAt)
  let closed = 0
  for (const make of port.makes)
    for (const step of make.steps) if (step.kind === 'closing') closed = Math.max(closed, step.performedAt)
  if (closed === 0 || closed < lastUse) return false
  for (const check of port.leakChecks) if (check.performedAt > closed) return true
  return false
}

// ---------------------------------------------------------------- tests

/** Nothing named means the whole system. */
function isOn(test: SectionTest, line: { id: string }): boolean {
  if (test.covers.length === 0) return true
  for (const part of test.covers) if (part.id === line.id) return true
  return false
}

function isUndone(system: System, evacuation: Evacuation): boolean {
  for (const test of system.pressureTests)
    for (const line of system.lineSets)
      if (test.performedAt > evacuation.performedAt && isOn(test, line) && isOn(evacuation, line)) return true
  return false
}

/** Of the tests begun after this moment: the last one that passed or failed, else the last one of all. */
function whatDecides<Test extends SectionTest>(
  tests: Test[],
  cameTo: (test: Test) => CameTo,
  after: number,
): Test | null {
  let decides: Test | null = null
  for (const test of byTime(tests)) {
    if (test.performedAt <= after) continue
    if (cameTo(test) !== 'nothing' || decides === null || cameTo(decides) === 'nothing') decides = test
  }
  return decides
}

/** Every failure before it must be answered: by a cause that was dealt with, or a hold twice as long. */
function answersWhatFailed<Test extends SectionTest>(
  passing: Test,
  tests: Test[],
  cameTo: (test: Test) => CameTo,
  heldMinutes: (test: Test) => number,
): boolean {
  let neededMinutes = 0
  for (const test of byTime(tests)) {
    if (test.id === passing.id) break
    if (cameTo(test) === 'fail' || cameTo(test) === 'damp')
      neededMinutes = Math.max(neededMinutes, 2 * heldMinutes(test))
    else if (cameTo(test) === 'pass' && (test.repeatCause !== null || heldMinutes(test) >= neededMinutes))
      neededMinutes = 0
  }
  return passing.repeatCause !== null || heldMinutes(passing) >= neededMinutes
}

/** After a leak was found, a pass counts only with a cause, a longer hold, or work on that joint in between. */
function answersFoundLeaks(
  joints: Joint[],
  passing: SectionTest,
  heldMinutes: number,
  requiredMinutes: number,
): boolean {
  if (passing.repeatCause !== null || heldMinutes >= 2 * requiredMinutes) return true
  for (const joint of joints)
    for (const check of joint.leakChecks) {
      if (check.body.result !== 'found' || check.performedAt > passing.performedAt) continue
      let workedOn = false
      for (const deed of deedsOn(joint))
        if (deed > check.performedAt && deed < passing.performedAt) workedOn = true
      if (!workedOn) return false
    }
  return true
}

/** A concession speaks for what was on record when it was given. */
function isConceded(dossier: Dossier, requirement: string, line: LineSet, test: SectionTest): boolean {
  for (const concession of dossier.concessions)
    if (
      concession.requirement === requirement &&
      concession.subjectId === line.id &&
      concession.at >= test.recordedAt
    )
      return true
  return false
}

function byTime<Fact extends { performedAt: number }>(facts: Fact[]): Fact[] {
  return [...facts].sort((one, other) => one.performedAt - other.performedAt)
}

function holdOfPressure(test: PressureTest): number {
  const held = test.readings.filter((reading) => reading.stage === 'hold')
  return ((held.at(-1)?.at ?? 0) - (held[0]?.at ?? 0)) / MINUTE
}
function holdOfVacuum(test: Evacuation): number {
  const decay = test.readings.filter((reading) => reading.phase === 'decay')
  return ((decay.at(-1)?.at ?? 0) - (decay[0]?.at ?? 0)) / MINUTE
}

/** The tests of these histories are at one temperature, and either clearly hold, clearly fall, or are too short. */
function pressureCameTo(test: PressureTest): CameTo {
  const held = test.readings.filter((reading) => reading.stage === 'hold')
  const fell = (held[0]?.gaugePressurePa ?? 0) - (held.at(-1)?.gaugePressurePa ?? 0)
  if (fell > 50_000) return 'fail'
  return holdOfPressure(test) >= 60 ? 'pass' : 'nothing'
}
/** Steady and low: tight. Rising and flattening out high: damp. Rising on: a leak. */
function vacuumCameTo(test: Evacuation): CameTo {
  const decay = test.readings.filter((reading) => reading.phase === 'decay')
  if (holdOfVacuum(test) < 10) return 'nothing'
  const last = decay.at(-1)?.absolutePressurePa ?? 0
  const before = decay.at(-2)?.absolutePressurePa ?? 0
  if (last < 100) return 'pass'
  return last - before < 5 ? 'damp' : 'fail'
}
