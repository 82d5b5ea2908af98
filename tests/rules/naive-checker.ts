// May this job be signed? A second opinion, written from the trade's rules in plain loops and nothing of server/rules:
// for one line set of flare joints on an installation, where everything is tested as a whole.

import type { Dossier, Evacuation, Joint, PressureTest, Step } from '../../server/rules/dossier.ts'

interface Deed {
  at: number
}

const MINUTE = 60_000

export function naivelySignable(dossier: Dossier): boolean {
  const system = dossier.systems[0]
  if (!system?.sheet) throw new Error('The second opinion is about one system with a sheet.')
  const sheet = system.sheet
  const burns = system.refrigerant === 'R-32'
  const deeds: Deed[] = []

  for (const joint of system.joints) {
    const make = joint.makes.at(-1)
    if (!make) return false
    let prepared = false
    let flared = false
    let accepted = false
    let assembled = false
    let torque: number | null = null
    let tooHigh = false
    let lastDeed = make.performedAt
    for (const step of make.steps) {
      if (step.kind === 'preparation') prepared = true
      if (step.kind === 'flare') flared = true
      if (step.kind === 'assembly') assembled = true
      if (step.kind === 'inspection') {
        accepted = step.body.outcome === 'accepted'
        if (accepted) tooHigh = false
      }
      if (step.kind === 'torque') {
        torque = step.body.readingNm
        if (torque !== null && torque > rangeOf(joint).high) tooHigh = true
      }
      lastDeed = Math.max(lastDeed, step.performedAt)
    }
    if (!prepared || !flared || !accepted || !assembled || torque === null || tooHigh) return false
    if (torque < rangeOf(joint).low || torque > rangeOf(joint).high) return false
    const check = joint.leakChecks.at(-1)
    if (!check || check.performedAt <= lastDeed || check.body.result === 'found') return false
    // A leak that was found does not go away by looking again: something has to be done to the joint.
    for (const one of joint.leakChecks)
      if (one.body.result === 'found' && one.performedAt > lastDeed) return false
    if (burns && joint.indoors && check.body.method !== 'refrigerant-detector') return false
    for (const one of joint.makes) {
      deeds.push({ at: one.performedAt })
      for (const step of one.steps) if (changesTheJoint(step, one.steps)) deeds.push({ at: step.performedAt })
    }
  }

  function rangeOf(joint: Joint): { low: number; high: number } {
    for (const row of sheet.torqueNm)
      if (row.tubeOdM === joint.tubeOdM) return { low: row.lowNm, high: row.highNm }
    throw new Error('No range.')
  }

  const lastDeed = Math.max(...deeds.map((deed) => deed.at))
  const pressure = lastThatDecides(system.pressureTests, pressureCameTo, lastDeed)
  if (!pressure || pressureCameTo(pressure) !== 'pass') return false
  if (!answersWhatFailed(pressure, system.pressureTests, pressureCameTo, holdOfPressure)) return false
  if (!answersFoundLeaks(pressure, holdOfPressure(pressure), 60)) return false

  const vacuum = lastThatDecides(system.evacuations, vacuumCameTo, lastDeed)
  if (!vacuum || vacuumCameTo(vacuum) !== 'pass') return false
  if (!answersWhatFailed(vacuum, system.evacuations, vacuumCameTo, holdOfVacuum)) return false
  if (!answersFoundLeaks(vacuum, holdOfVacuum(vacuum), 10)) return false
  // Nitrogen let in after an evacuation undoes it.
  for (const test of system.pressureTests) if (test.performedAt > vacuum.performedAt) return false

  const charge = system.charges.at(-1)
  if (!charge || system.charges.length > 1) return false
  for (const test of [...system.pressureTests, ...system.evacuations])
    if (test.performedAt > charge.performedAt) return false
  const running = system.runningChecks.at(-1)
  if (!running || running.performedAt < charge.performedAt) return false
  return true

  /** After a leak was found, a pass counts only with a cause, a longer hold, or work on that joint in between. */
  function answersFoundLeaks(
    passing: PressureTest | Evacuation,
    heldMinutes: number,
    requiredMinutes: number,
  ): boolean {
    if (passing.repeatCause !== null || heldMinutes >= 2 * requiredMinutes) return true
    for (const joint of system?.joints ?? [])
      for (const check of joint.leakChecks) {
        if (check.body.result !== 'found' || check.performedAt > passing.performedAt) continue
        let workedOn = false
        for (const make of joint.makes)
          for (const deed of [make, ...make.steps.filter((step) => changesTheJoint(step, make.steps))])
            if (deed.performedAt > check.performedAt && deed.performedAt < passing.performedAt)
              workedOn = true
        if (!workedOn) return false
      }
    return true
  }
}

/** Looking at a flare changes nothing while no nut is on it; afterwards it has to be taken apart to be looked at. */
function changesTheJoint(step: Step, steps: Step[]): boolean {
  if (step.kind === 'leak-check') return false
  if (step.kind !== 'inspection') return true
  return steps.some((other) => other.kind === 'torque' && other.performedAt < step.performedAt)
}

type CameTo = 'pass' | 'fail' | 'nothing'

/** Of the tests made after the last work on any joint, the last one that passed or failed. */
function lastThatDecides<Test extends PressureTest | Evacuation>(
  tests: Test[],
  cameTo: (test: Test) => CameTo,
  lastDeed: number,
): Test | null {
  let found: Test | null = null
  for (const test of tests) if (test.performedAt > lastDeed && cameTo(test) !== 'nothing') found = test
  return found
}

/** Every failure before it must be answered: by a cause that was dealt with, or a hold twice as long. */
function answersWhatFailed<Test extends PressureTest | Evacuation>(
  passing: Test,
  tests: Test[],
  cameTo: (test: Test) => CameTo,
  heldMinutes: (test: Test) => number,
): boolean {
  let neededMinutes = 0
  for (const test of tests) {
    if (test === passing) break
    if (cameTo(test) === 'fail') neededMinutes = Math.max(neededMinutes, 2 * heldMinutes(test))
    else if (cameTo(test) === 'pass' && (test.repeatCause !== null || heldMinutes(test) >= neededMinutes))
      neededMinutes = 0
  }
  return passing.repeatCause !== null || heldMinutes(passing) >= neededMinutes
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
function vacuumCameTo(test: Evacuation): CameTo {
  const decay = test.readings.filter((reading) => reading.phase === 'decay')
  if (holdOfVacuum(test) < 10) return 'nothing'
  return (decay.at(-1)?.absolutePressurePa ?? 0) > 200 ? 'fail' : 'pass'
}
