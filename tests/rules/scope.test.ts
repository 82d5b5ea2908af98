// Does a job ask about its own joints only, and is each step asked for in its turn?

import { describe, expect, it } from 'vitest'
import type { Joint } from '../../server/rules/dossier.ts'
import {
  circuitOpened,
  currentMake,
  leakChecksOf,
  nextStep,
  scopeOf,
  standingLines,
  stepsFor,
  whyNotNow,
  workedOnHere,
} from '../../server/rules/scope.ts'
import type { JobKind, JointKind, JointOrigin, StepKind } from '../../server/vocabulary.ts'
import { aJob, aSheet, DAY, type JobBuilder, MORNING } from '../support/dossiers.ts'

const before = { jobId: 'job-before', performedAt: MORNING - 300 * DAY, recordedAt: MORNING - 300 * DAY }
const inService = (kind: JobKind) =>
  aJob(kind).withSystem().withLineSet({ jobId: 'job-before' }).made(before).charged(before)
const scopedTags = (job: JobBuilder) =>
  scopeOf(job.build()).joints.map(({ joint, why }) => `${joint.tag} ${why}`)
const openedSections = (job: JobBuilder) => scopeOf(job.build()).openedSections.map(({ name }) => name)
const opened = (job: JobBuilder) => circuitOpened(job.build(), 'system-1')

describe('a joint', () => {
  const jointOf = (job: JobBuilder, tag = 'A-2') => {
    const joint = job.system.joints.find((one) => one.tag === tag)
    if (!joint) throw new Error(`no ${tag}`)
    return joint
  }

  it('was worked on by a making, or by a step on an earlier one, but not by being looked at', () => {
    const old = inService('maintenance')
    expect(workedOnHere(jointOf(old), 'job')).toBe(false)
    expect(workedOnHere(jointOf(old), 'job-before')).toBe(true)
    expect(workedOnHere(jointOf(inService('repair').at('A-2').made()), 'job')).toBe(true)
    const pulled = inService('maintenance').at('A-2').torqued(38, { jobId: 'job' })
    expect(workedOnHere(jointOf(pulled), 'job')).toBe(true)
    expect(workedOnHere(jointOf(pulled), 'another-job')).toBe(false)
    const checked = jointOf(inService('maintenance').at('A-2').leakChecked())
    const [check] = checked.leakChecks
    if (check) checked.makes[0]?.steps.push(check)
    expect(workedOnHere(checked, 'job')).toBe(false)
  })

  it('has each leak check once, oldest first, wherever it was recorded', () => {
    const joint = jointOf(inService('maintenance').at('A-2').leakChecked().torqued(38).leakChecked())
    const [first, second] = joint.leakChecks
    if (!first || !second) throw new Error('it was not checked twice')
    expect(leakChecksOf({ ...joint, leakChecks: [second, first] }).map(({ id }) => id)).toEqual([
      first.id,
      second.id,
    ])
    // One of them belongs to a making: there, or in both places, it is still one.
    const [make] = joint.makes
    make?.steps.push(first)
    expect(leakChecksOf(joint).map(({ id }) => id)).toEqual([first.id, second.id])
    expect(leakChecksOf({ ...joint, leakChecks: [second] }).map(({ id }) => id)).toEqual([
      first.id,
      second.id,
    ])
  })
})

describe('the joints of a job', () => {
  it('are all that an installation lays', () => {
    expect(scopedTags(aJob().withSystem().withLineSet())).toEqual([
      'A-1 laid-here',
      'A-2 laid-here',
      'A-3 laid-here',
      'A-4 laid-here',
    ])
  })
  it('leave out lines that an earlier job laid', () => {
    expect(
      scopedTags(inService('installation').withLineSet().at('A-5')).map((tag) => tag.slice(0, 3)),
    ).toEqual(['A-5', 'A-6', 'A-7', 'A-8'])
  })
  it('are none on a visit that opens nothing', () => {
    expect(scopedTags(inService('maintenance'))).toEqual([])
  })
  it('are the remade one and its neighbours on a repair', () => {
    expect(scopedTags(inService('repair').at('A-4').made())).toEqual([
      'A-1 opened-section',
      'A-2 opened-section',
      'A-3 opened-section',
      'A-4 worked-on-here',
    ])
  })
  it('are what its callback found, before anything is done, and nothing of another line', () => {
    const job = aJob('repair')
      .withSystem()
      .withLineSet({ jobId: 'job-before' })
      .withLineSet({ jobId: 'job-before' })
    for (const joint of job.system.joints) job.at(joint.tag).made(before)
    job.dossier.leaking = [{ jointId: job.joint('A-4').id, at: MORNING - DAY }]
    expect(scopedTags(job)).toEqual(['A-4 found-leaking'])
    expect(openedSections(job)).toEqual([])
    // Made again, it opens its own line: are of the other one.
    job.at('A-4').made()
    expect(scopedTags(job)).toEqual([
      'A-1 opened-section',
      'A-2 opened-section',
      'A-3 opened-section',
      'A-4 worked-on-here',
    ])
    expect(openedSections(job)).toEqual(['Line 1'])
  })
  it('are the nut alone when one is pulled up, which opens nothing', () => {
    const job = inService('maintenance').at('A-4').torqued(40, { jobId: 'job' })
    expect(scopedTags(job)).toEqual(['A-4 worked-on-here'])
    expect(openedSections(job)).toEqual([])
    expect(opened(job)).toBe(false)
  })
  it('are those at a unit that was replaced, and the rest of their line', () => {
    expect(scopedTags(inService('replacement').replacedUnit('outdoor-1'))).toEqual([
      'A-1 unit-replaced',
      'A-2 unit-replaced',
      'A-3 opened-section',
      'A-4 opened-section',
    ])
  })
  it('are the same when the job was opened in the evening, after the unit was replaced', () => {
    const job = inService('replacement').replacedUnit('outdoor-1')
    job.dossier.job.openedAt = MORNING + 12 * 60 * 60_000
    expect(scopedTags(job).slice(0, 2)).toEqual(['A-1 unit-replaced', 'A-2 unit-replaced'])
  })
  it('are none at a unit that an earlier job replaced', () => {
    const job = inService('maintenance').replacedUnit('outdoor-1')
    job.dossier.job.openedAt = MORNING + 3 * DAY
    expect(scopedTags(job)).toEqual([])
  })
  it('include one that was only checked here', () => {
    expect(scopedTags(inService('maintenance').at('A-2').leakChecked())).toEqual(['A-2 worked-on-here'])
  })
  it('do not include a line whose joints were all cut out, though its circuit was opened', () => {
    const job = inService('relocation').onLine('system-1-line-1')
    for (const joint of job.system.joints) joint.retiredAt = job.now
    job.withLineSet()
    expect(openedSections(job)).toEqual(['Line 2'])
    expect(opened(job)).toBe(true)
    expect(standingLines(job.system).map(({ name }) => name)).toEqual(['Line 2'])
  })
  it('leave out retired ones', () => {
    const job = aJob()
      .withSystem()
      .withLineSet()
      .with((dossier) => {
        const joint = dossier.systems[0]?.joints[0]
        if (joint) joint.retiredAt = MORNING
      })
    expect(scopedTags(job).map((tag) => tag.slice(0, 3))).toEqual(['A-2', 'A-3', 'A-4'])
  })
  it('carry the reason for being left out, unless work was done on them all the same', () => {
    const job = aJob().withSystem().withLineSet().at('A-1', 'A-2').leftOut('no access').at('A-2').made()
    expect(scopeOf(job.build()).joints.map(({ leftOut }) => leftOut)).toEqual(['no access', null, null, null])
  })
  it('outside any line set are asked for by the job that first lays them', () => {
    const job = aJob().withSystem().withJoint({ kind: 'flare', lineSetId: null, unitId: 'outdoor-1' })
    expect(scopedTags(job)).toEqual(['A-1 laid-here'])
  })
})

describe('the circuit is opened', () => {
  it.each([
    ['by laying a line', () => aJob().withSystem().withLineSet(), true],
    ['by a making', () => inService('repair').at('A-1').made(), true],
    ['by taking refrigerant out', () => inService('maintenance').recovered(0.05), true],
    ['by replacing a unit', () => inService('repair').replacedUnit('outdoor-1'), true],
    ['not by topping up', () => inService('maintenance').weighedIn(0.1), false],
    ['not by an earlier job', () => inService('maintenance'), false],
  ] as const)('%s', (_, job, expected) => {
    expect(opened(job())).toBe(expected)
  })

  it('in every section when it was emptied, in none when a little was taken out', () => {
    expect(openedSections(inService('repair').recovered(1.05))).toEqual(['Line 1'])
    expect(openedSections(inService('repair').recovered(0.1))).toEqual([])
  })
  it('in the section that a joint was cut out of', () => {
    const job = inService('repair').with((dossier) => {
      const joint = dossier.systems[0]?.joints[0]
      if (joint) joint.retiredAt = MORNING
    })
    expect(openedSections(job)).toEqual(['Line 1'])
  })
})

describe('the steps of a joint', () => {
  const joint = (kind: JointKind, origin: JointOrigin = 'field', tubeOdM = 0.00952): Joint => ({
    ...aJob().withSystem().withLineSet().joint('A-1'),
    kind,
    origin,
    tubeOdM,
  })
  const sheet = aSheet()

  it.each([
    ['flare', 'field', ['preparation', 'flare', 'inspection', 'assembly', 'torque', 'leak-check']],
    ['flare', 'factory', ['inspection', 'assembly', 'torque', 'leak-check']],
    ['flare', 'existing', ['leak-check']],
    ['quick-coupling', 'field', ['assembly', 'torque', 'leak-check']],
    ['compression', 'field', ['assembly', 'torque', 'leak-check']],
    ['brazed', 'field', ['preparation', 'brazing', 'leak-check']],
    ['brazed', 'factory', ['leak-check']],
    ['press', 'field', ['preparation', 'pressing', 'inspection', 'leak-check']],
    ['service-port', 'field', ['closing', 'leak-check']],
    ['valve-cap', 'field', ['closing', 'leak-check']],
  ] as [JointKind, JointOrigin, StepKind[]][])('of kind %s and origin %s', (kind, origin, expected) => {
    expect(stepsFor(joint(kind, origin), sheet)).toEqual(expected)
  })
  it('of a compression joint leave the torque out where the sheet gives none for its size', () => {
    expect(stepsFor(joint('compression', 'field', 0.0127), sheet)).toEqual(['assembly', 'leak-check'])
    expect(stepsFor(joint('adapter'), null)).toEqual(['assembly', 'leak-check'])
  })
  it('of a factory end are those of the field once it was cut off and remade', () => {
    const remade = aJob().withSystem().withLineSet({ origin: 'factory' }).at('A-1').made().made().joint('A-1')
    expect(stepsFor(remade)[0]).toBe('preparation')
  })
  it('of an existing joint are those of the field once it was opened', () => {
    const made = aJob().withSystem().withLineSet({ origin: 'existing' }).at('A-1').made().joint('A-1')
    expect(stepsFor(made)).toHaveLength(6)
  })
})

describe('the next step', () => {
  const begun = () => aJob().withSystem().withLineSet().at('A-1').made()
  const next = (job: JobBuilder) => {
    const joint = job.joint('A-1')
    const make = currentMake(joint)
    if (!make) throw new Error('no making')
    return nextStep(joint, make, {
      policy: job.dossier.policy,
      sheet: job.system.sheet,
      instruments: job.dossier.instruments,
    })
  }
  const refusal = (job: JobBuilder, kind: StepKind, making = -1) => {
    const joint = job.joint('A-1')
    const make = joint.makes.at(making)
    if (!make) throw new Error('no making')
    return whyNotNow(kind, joint, make, {
      policy: job.dossier.policy,
      sheet: job.system.sheet,
      instruments: job.dossier.instruments,
    })
  }
  const torqued = (readingNm = 16) => begun().prepared().flared().inspected().assembled().torqued(readingNm)

  it.each([
    ['preparation', () => begun()],
    ['flare', () => begun().prepared()],
    ['inspection', () => begun().prepared().flared()],
    ['assembly', () => begun().prepared().flared().inspected()],
    ['torque', () => begun().prepared().flared().inspected().assembled()],
    ['leak-check', () => torqued()],
    [null, () => torqued().leakChecked()],
    ['torque', () => torqued(12)],
    ['leak-check', () => torqued(12).torqued(16)],
    ['inspection', () => torqued(19)],
    ['inspection', () => torqued(19).leakChecked()],
    ['torque', () => torqued(19).inspected()],
    ['leak-check', () => torqued(19).inspected().torqued(16)],
    [null, () => torqued(19).inspected({ outcome: 'rejected' })],
    [null, () => begun().prepared().flared().inspected({ outcome: 'rejected' })],
    ['leak-check', () => torqued(0).at('A-1').torqued(0, { indication: 'not-measured', readingNm: null })],
    [
      'torque',
      () =>
        begun()
          .withPolicy({ decisionRule: 'guarded' })
          .prepared()
          .flared()
          .inspected()
          .assembled()
          .torqued(17.8),
    ],
    ['leak-check', () => torqued().leakChecked().torqued(16.5)],
  ] as [StepKind | null, () => JobBuilder][])('is %s', (step, job) => {
    expect(next(job()).step).toBe(step)
  })

  it('is judged in the order of entry when several steps carry one moment', () => {
    const moment = { performedAt: MORNING, recordedAt: MORNING }
    const job = torqued(19).inspected().torqued(16)
    for (const step of job.joint('A-1').makes[0]?.steps ?? []) Object.assign(step, moment)
    expect(next(job).step).toBe('leak-check')
  })

  it('says why there is none after a rejected flare', () => {
    expect(next(begun().prepared().flared().inspected({ outcome: 'rejected' })).reason).toBe(
      'Making 1 was rejected at inspection. Cut it off and start making 2.',
    )
  })
  it('is none for a making that was replaced', () => {
    const job = begun().made()
    const joint = job.joint('A-1')
    const [first] = joint.makes
    if (!first) throw new Error('no making')
    const judging = {
      policy: job.dossier.policy,
      sheet: job.system.sheet,
      instruments: job.dossier.instruments,
    }
    expect(nextStep(joint, first, judging)).toEqual({
      step: null,
      reason: 'Making 1 was replaced by making 2.',
    })
  })

  it.each([
    ['a flare before the preparation', 'flare', () => begun(), /Record the preparation first/],
    [
      'a torque before the assembly',
      'torque',
      () => begun().prepared().flared().inspected(),
      /Record the assembly first/,
    ],
    [
      'a leak check before the torque',
      'leak-check',
      () => begun().prepared().flared().inspected().assembled(),
      /Record the torque first/,
    ],
    ['a brazing on a flare', 'brazing', () => begun(), /has no step for the brazing/],
    ['a second flare on one making', 'flare', () => torqued(), /Start a new making/],
    ['a torque after a high one', 'torque', () => torqued(19), /too high/],
    [
      'anything after a rejection',
      'assembly',
      () => begun().prepared().flared().inspected({ outcome: 'rejected' }),
      /was rejected/,
    ],
    [
      'anything on a retired joint',
      'preparation',
      () =>
        begun().with((dossier) => {
          const joint = dossier.systems[0]?.joints[0]
          if (joint) joint.retiredAt = MORNING
        }),
      /retired/,
    ],
  ] as [string, StepKind, () => JobBuilder, RegExp][])('refuses %s', (_, kind, job, reason) => {
    expect(refusal(job(), kind)).toMatch(reason)
  })
  it('refuses anything on a making that was replaced', () => {
    expect(refusal(begun().made(), 'preparation', 0)).toMatch(/replaced by making 2/)
  })

  it.each([
    ['a step in its turn', 'preparation', () => begun()],
    ['another torque after a good one', 'torque', () => torqued()],
    ['another torque after a low one', 'torque', () => torqued(12)],
    ['another torque after a high one that was inspected', 'torque', () => torqued(19).inspected()],
    ['an inspection after a high torque', 'inspection', () => torqued(19)],
    ['another assembly', 'assembly', () => torqued()],
    ['another leak check', 'leak-check', () => torqued().leakChecked()],
    ['a leak check while the torque is low', 'leak-check', () => torqued(12)],
  ] as [string, StepKind, () => JobBuilder][])('allows %s', (_, kind, job) => {
    expect(refusal(job(), kind)).toBeNull()
  })
  it('allows a compression nut to be looked at after a torque that was too high', () => {
    const job = aJob()
      .withSystem()
      .withLineSet()
      .withJoint({ kind: 'compression', place: 'drier' })
      .made()
      .assembled()
      .torqued(30)
    const joint = job.joint('drier')
    const [make] = joint.makes
    if (!make) throw new Error('no making')
    const judging = {
      policy: job.dossier.policy,
      sheet: job.system.sheet,
      instruments: job.dossier.instruments,
    }
    expect(nextStep(joint, make, judging).step).toBe('inspection')
    expect(whyNotNow('inspection', joint, make, judging)).toBeNull()
  })
})
