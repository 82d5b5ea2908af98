// Are the joints to look at first those with the most against them in the record, each with every reason, and nobody's name?

import { describe, expect, it } from 'vitest'
import {
  LOOK_FIRST_DIMENSIONS,
  LOOK_FIRST_POINTS,
  type LookFirstFacts,
  type LookFirstJoint,
  lookFirst,
} from '../../server/rules/look-first.ts'
import { aFinishedJob, aJob, DAY, HOUR, type JobBuilder, MORNING } from '../support/dossiers.ts'

type More = Partial<Omit<LookFirstFacts, 'system' | 'judging'>>

function ranked(job: JobBuilder, more: More = {}): LookFirstJoint[] {
  const { systems, policy, instruments } = job.build()
  const [system] = systems
  if (!system) throw new Error('Give the job a system first')
  return lookFirst({
    system,
    judging: { policy, sheet: system.sheet, instruments },
    concessions: [],
    exclusions: [],
    corrections: new Map(),
    leakedBefore: new Map(),
    flagged: new Map(),
    ...more,
  })
}

const against = (joints: readonly LookFirstJoint[], tag: string) => {
  const joint = joints.find((one) => one.tag === tag)
  if (!joint) throw new Error(`${tag} is not in the list.`)
  return joint
}
const codes = (joints: readonly LookFirstJoint[], tag: string) =>
  against(joints, tag).reasons.map(({ code }) => code)

/** A-3 is the indoor liquid joint of 1/4 in, whose nut is asked for 14 to 18 N·m. */
function pulled(nm: number): JobBuilder {
  const job = aFinishedJob()
  for (const { steps } of job.joint('A-3').makes)
    for (const step of steps) if (step.kind === 'torque') step.body.readingNm = nm
  return job
}

describe('a system on which everything was done well', () => {
  it('has nothing against any of its joints, and says so of each', () => {
    const joints = ranked(aFinishedJob())
    expect(joints.map(({ tag, points, reasons }) => [tag, points, reasons])).toEqual(
      ['A-1', 'A-2', 'A-3', 'A-4'].map((tag) => [tag, 0, []]),
    )
  })

  it('leaves out what was taken out of service', () => {
    const job = aFinishedJob()
    job.joint('A-2').retiredAt = MORNING + DAY
    expect(ranked(job).map(({ tag }) => tag)).toEqual(['A-1', 'A-3', 'A-4'])
  })
})

describe('the torque', () => {
  // 14 to 18 is 4 N·m wide; 15 % of it is 0.6, so that near the edges is up to 14.6 and from 17.4.
  it.each([
    [13.9, 'torque-outside', 40],
    [14.5, 'torque-near-edge', 15],
    [14.7, undefined, 0],
    [16, undefined, 0],
    [17.3, undefined, 0],
    [17.5, 'torque-near-edge', 15],
    [18.1, 'torque-outside', 40],
  ] as const)('of %d N·m counts as %s, %d points', (nm, code, points) => {
    const joint = against(ranked(pulled(nm)), 'A-3')
    expect([joint.reasons[0]?.code, joint.points]).toEqual([code, points])
  })

  it('carries its figures', () => {
    expect(against(ranked(pulled(18.1)), 'A-3').reasons).toEqual([
      { code: 'torque-outside', verdict: 'high', appliedNm: 18.1, lowNm: 14, highNm: 18, points: 40 },
    ])
  })

  it('that nobody measured is not known', () => {
    const job = aFinishedJob()
    for (const { steps } of job.joint('A-3').makes)
      for (const step of steps)
        if (step.kind === 'torque') Object.assign(step.body, { indication: 'not-measured', readingNm: null })
    expect(codes(ranked(job), 'A-3')).toEqual(['torque-not-known'])
  })

  it.each([
    // 16 / 1.09 = 14.7, within 14 to 18; 15 / 1.09 = 13.8, below it.
    [16, []],
    [15, ['torque-off-since']],
  ])('of %d N·m by a wrench that was found to show 9 %% too much gives %j', (nm, expected) => {
    const job = pulled(nm)
    job.dossier.instruments
      .find(({ id }) => id === 'wrench')
      ?.calibrations.push({
        id: 'found-off',
        at: MORNING + 20 * DAY,
        result: 'out-of-tolerance',
        basis: 'certificate',
        points: [{ nominal: 16, asFoundErrorPercent: 9, asLeftErrorPercent: null }],
        reference: null,
      })
    expect(codes(ranked(job), 'A-3')).toEqual(expected)
  })
})

describe('what could have seen a leak', () => {
  it('counts against a joint that was never checked by itself, and more where its tests see little', () => {
    const job = aFinishedJob()
    const never = job.joint('A-1')
    never.leakChecks = []
    for (const make of never.makes) make.steps = make.steps.filter(({ kind }) => kind !== 'leak-check')
    expect(codes(ranked(job), 'A-1')).toEqual(['never-leak-checked'])
    // The evacuation sees 88 g/year; without it only the pressure test is left, which sees 295 g/year in 65 minutes.
    job.system.evacuations = []
    const joints = ranked(job)
    expect(joints.map(({ tag, points }) => [tag, points])).toEqual([
      ['A-1', 30 + 10],
      ['A-2', 0],
      ['A-3', 0],
      ['A-4', 0],
    ])
    const blind = against(joints, 'A-1').reasons[1]
    if (blind?.code !== 'blind-tests') throw new Error('The tests were not said to be blind.')
    expect(blind.seenKgPerYear).toBeCloseTo(0.295, 3)
    expect(blind.holdS).toBe(65 * 60)
  })

  it('is nothing where no test covers it', () => {
    const job = aFinishedJob()
    job.system.pressureTests = []
    job.system.evacuations = []
    expect(codes(ranked(job), 'A-4')).toEqual(['no-test'])
  })

  it('is gone where the nut was pulled again afterwards: check and tests are stale', () => {
    const job = aFinishedJob()
    const [make] = job.joint('A-4').makes
    const torque = make?.steps.find(({ kind }) => kind === 'torque')
    if (!make || !torque) throw new Error('A-4 was not torqued.')
    make.steps.push({
      ...torque,
      id: 'again',
      performedAt: torque.performedAt + 20 * DAY,
      recordedAt: torque.recordedAt + 20 * DAY,
    })
    expect(codes(ranked(job), 'A-4').toSorted()).toEqual(['leak-check-stale', 'no-test'])
  })
})

describe('what else is on record', () => {
  const id = (job: JobBuilder, tag: string) => job.joint(tag).id

  it('adds up, reason by reason, and ranks by the sum', () => {
    const job = pulled(17.5)
    const group = { dimension: 'position', key: 'indoor-gas/gas', events: 8, expected: 3 } as const
    const joints = ranked(job, {
      leakedBefore: new Map([[id(job, 'A-2'), 1]]),
      corrections: new Map([[id(job, 'A-3'), 2]]),
      flagged: new Map([[id(job, 'A-4'), [group]]]),
      concessions: [
        { requirement: 'joint-torque-in-range', subjectId: id(job, 'A-4'), decidedAt: MORNING + 10 * DAY },
      ],
    })
    expect(joints.map(({ tag, points }) => [tag, points])).toEqual([
      // A group that stands out 30, a concession 20.
      ['A-4', 50],
      ['A-2', 30],
      // Near the edge 15, corrected 5.
      ['A-3', 20],
      ['A-1', 0],
    ])
    expect(codes(joints, 'A-4')).toEqual(['group-flagged', 'conceded'])
  })

  it('forgets what was conceded for a making that was replaced', () => {
    const job = aFinishedJob()
    const concessions = [
      { requirement: 'joint-torque-in-range', subjectId: id(job, 'A-4'), decidedAt: MORNING - HOUR },
    ] as const
    expect(codes(ranked(job, { concessions }), 'A-4')).toEqual([])
  })

  it('says of joints without a making why there is none', () => {
    const job = aJob().withSystem().withLineSet()
    job.joint('A-2').origin = 'existing'
    const joints = ranked(job, { exclusions: [{ jointId: id(job, 'A-3'), reason: 'Behind a wall.' }] })
    expect(codes(joints, 'A-1')).toContain('not-made')
    expect(codes(joints, 'A-2')).toContain('not-ours')
    expect(against(joints, 'A-3').reasons).toContainEqual({
      code: 'left-out',
      reason: 'Behind a wall.',
      points: 20,
    })
  })

  it('is the same whoever made the joint', () => {
    const job = pulled(18.1)
    const before = ranked(job)
    for (const joint of job.system.joints)
      for (const make of joint.makes) {
        make.performedBy = 'somebody-else'
        for (const step of make.steps) step.performedBy = 'somebody-else'
      }
    expect(ranked(job)).toEqual(before)
    expect(LOOK_FIRST_DIMENSIONS).not.toContain('technician')
  })

  it('puts evidence of a leak before everything else', () => {
    const [most] = Object.entries(LOOK_FIRST_POINTS).toSorted(([, a], [, b]) => b - a)
    expect(most?.[0]).toBe('leak-found-open')
    const job = pulled(18.1)
    const [last] = job.joint('A-1').leakChecks.slice(-1)
    const check =
      last ??
      job
        .joint('A-1')
        .makes.flatMap(({ steps }) => steps)
        .find(({ kind }) => kind === 'leak-check')
    if (check?.kind !== 'leak-check') throw new Error('A-1 was not checked.')
    job.joint('A-1').leakChecks.push({
      ...check,
      id: 'found',
      performedAt: check.performedAt + 20 * DAY,
      recordedAt: check.recordedAt + 20 * DAY,
      body: { ...check.body, result: 'found' },
    })
    expect(
      ranked(job)
        .map(({ tag }) => tag)
        .slice(0, 2),
    ).toEqual(['A-1', 'A-3'])
    expect(codes(ranked(job), 'A-1')[0]).toBe('leak-found-open')
  })
})
