// With the error of an instrument taken out: does what rests on it still stand? Figures worked out by hand.

import { describe, expect, it } from 'vitest'
import type { Calibration, TorqueBody } from '../../server/rules/dossier.ts'
import {
  type RecallSpan,
  recallSpans,
  rejudgeCharge,
  rejudgeEvacuation,
  rejudgeFlare,
  rejudgeLeakCheck,
  rejudgePressureTest,
  rejudgeTorque,
} from '../../server/rules/judge-recall.ts'
import { BUILT_IN_POLICY } from '../../server/rules/policy.ts'
import { aJobWithJointsMade, anInstrument, DAY, type JobBuilder, MORNING } from '../support/dossiers.ts'

const check = (
  daysAgo: number,
  result: Calibration['result'],
  points: [nominal: number, errorPercent: number][] = [],
): Calibration => ({
  id: `check-${daysAgo}`,
  at: MORNING - daysAgo * DAY,
  result,
  basis: 'certificate',
  points: points.map(([nominal, asFoundErrorPercent]) => ({
    nominal,
    asFoundErrorPercent,
    asLeftErrorPercent: null,
  })),
  reference: 'certificate',
})
/** Found off today, good a year ago. */
const off = (...points: [number, number][]): RecallSpan => ({
  found: check(-1, 'out-of-tolerance', points),
  since: check(365, 'in-tolerance'),
  until: MORNING + DAY,
})

describe('what is in doubt', () => {
  const spans = (...calibrations: Calibration[]) =>
    recallSpans(anInstrument('wrench', 'torque-wrench', { calibrations })).map(({ found, since }) => [
      found.id,
      since?.id ?? null,
    ])

  it('is every use since the last good check before the one that found it off', () => {
    expect(
      spans(check(700, 'in-tolerance'), check(300, 'in-tolerance'), check(10, 'out-of-tolerance')),
    ).toEqual([['check-10', 'check-300']])
  })
  it('is every use there was, without a good check before', () => {
    expect(spans(check(10, 'out-of-tolerance'))).toEqual([['check-10', null]])
  })
  it('begins at a setting right as well', () => {
    expect(spans(check(300, 'adjusted'), check(200, 'in-tolerance'), check(10, 'adjusted'))).toEqual([
      ['check-10', 'check-200'],
      ['check-300', null],
    ])
  })
  it('goes on while it is found off again without having been set right', () => {
    const checks = [
      check(300, 'in-tolerance'),
      check(200, 'out-of-tolerance'),
      check(190, 'adjusted', [[40, 9]]),
      check(10, 'out-of-tolerance'),
    ]
    expect(spans(...checks)).toEqual([
      ['check-10', 'check-190'],
      ['check-200', 'check-300'],
    ])
    const [, first] = recallSpans(anInstrument('wrench', 'torque-wrench', { calibrations: checks }))
    // Nobody wrote down at first how far off it was; then somebody did.
    expect(first?.until).toBe(MORNING - 190 * DAY)
    expect(first?.found.points).toMatchObject([{ asFoundErrorPercent: 9 }])
  })
  it('begins at no own check that was made against nothing', () => {
    const own = { ...check(100, 'in-tolerance'), basis: 'own-check' as const, reference: null }
    expect(spans(check(300, 'in-tolerance'), own, check(10, 'out-of-tolerance'))).toEqual([
      ['check-10', 'check-300'],
    ])
  })
  it('is nothing where every check was good', () => {
    expect(spans(check(300, 'in-tolerance'))).toEqual([])
  })
})

describe('a torque by a wrench that shows 9 % too much', () => {
  const gas = { kind: 'flare', tubeOdM: 0.00952 } as const
  const torque = (readingNm: number | null, over: Partial<TorqueBody> = {}): TorqueBody => ({
    indication: 'read',
    readingNm,
    instrumentId: 'wrench',
    adapter: null,
    turnDegrees: null,
    reason: null,
    witnessMark: true,
    circuitState: 'empty',
    ...over,
  })
  const judging = {
    policy: BUILT_IN_POLICY,
    sheet: null,
    instruments: [anInstrument('wrench', 'torque-wrench', { accuracyPercent: 4 })],
  }
  const judged = (readingNm: number | null, over: Partial<TorqueBody> = {}, span = off([50, 9])) =>
    rejudgeTorque(gas, torque(readingNm, over), judging, span)

  // 34–42 N·m for 3/8 in; what was applied is the reading over 1.09, and the wrench scatters by 4 % of it.
  it.each([
    // 40/1.09 = 36.70 ± 1.47: 35.23 to 38.17
    [40, 'stands', '36.7 N·m'],
    // 38.6/1.09 = 35.41 ± 1.42: 33.996 is just below
    [38.6, 'doubtful', '35.4 N·m'],
    // 38/1.09 = 34.86 ± 1.39
    [38, 'doubtful', '34.9 N·m'],
    // 37/1.09 = 33.94
    [37, 'fails', '33.9 N·m'],
    // 48/1.09 = 44.04
    [48, 'fails', '44.0 N·m'],
  ])('%d N·m shown', (shown, judgement, real) => {
    expect(judged(shown)).toMatchObject({ judgement, real, shown: `${shown.toFixed(1)} N·m` })
  })

  it('is taken between the points that were checked, and by the worse one outside them', () => {
    const span = off([20, 0], [40, 10])
    // At 30 the error is 5 %: 30/1.05 = 28.57. At 50 it is the worse of the two nearest, 10 %: 45.45.
    expect(judged(30, {}, span)?.real).toBe('28.6 N·m')
    expect(judged(50, {}, span)?.real).toBe('45.5 N·m')
  })
  it('reaches the nut over the adapter', () => {
    // 38/1.09 × (0.35 + 0.05)/0.35 = 39.84
    const adapter = { offsetM: 0.05, wrenchLengthM: 0.35, angleDegrees: 0 }
    expect(judged(38, { adapter })).toMatchObject({ judgement: 'stands', real: '39.8 N·m' })
  })
  it('is in doubt where nobody wrote down how far off it was, and where no range is known', () => {
    expect(judged(38, {}, off())).toMatchObject({ judgement: 'doubtful', real: null })
    expect(
      rejudgeTorque({ kind: 'quick-coupling', tubeOdM: 0.00952 }, torque(38), judging, off([50, 9])),
    ).toMatchObject({ judgement: 'doubtful', real: null })
  })
  it('is no matter where nothing was measured with it', () => {
    expect(judged(null)).toBeNull()
    expect(judged(38, { indication: 'angle-by-manual' })).toBeNull()
  })
})

describe('a pressure test by a gauge that was off', () => {
  const test = (errorPercent: number | null, job: JobBuilder = aJobWithJointsMade().pressureTested()) => {
    const last = job.system.pressureTests.at(-1)
    if (!last) throw new Error('no test')
    const tested = { ...job.dossier, system: job.system, instrumentId: 'gauge' }
    return rejudgePressureTest(last, tested, errorPercent === null ? off() : off([4e6, errorPercent]))
  }
  // 3.90 MPa were shown; 3.80 are asked for and 4.15 are the limit, each by the gauge's 0.02.
  it.each([
    [2, 'stands', '3.824 MPa'],
    // 3.9/1.05 = 3.714: the pressure was never reached
    [5, 'doubtful', '3.714 MPa'],
    // 3.9/0.92 = 4.239: above the limit
    [-8, 'fails', '4.239 MPa'],
  ])('%d %%', (error, judgement, real) => {
    expect(test(error)).toMatchObject({ judgement, real, shown: '3.900 MPa' })
  })
  it('is in doubt where nobody wrote down how far off it was', () => {
    expect(test(null)).toMatchObject({ judgement: 'doubtful' })
  })
  it('is no worse than it was, where it proved nothing before', () => {
    const fell = test(2, aJobWithJointsMade().pressureTested({ shape: 'falls' }))
    expect(fell).toMatchObject({ judgement: 'stands', reason: 'It proved nothing before either: falls.' })
  })
  it('stands where the readings were taken with another gauge', () => {
    const job = aJobWithJointsMade().pressureTested({ gaugeInstrumentId: 'other' })
    expect(test(-50, job)).toMatchObject({ judgement: 'stands', real: '3.900 MPa' })
  })
})

describe('an evacuation by a gauge that was off', () => {
  const test = (errorPercent: number, shape: 'tight' | 'leak' = 'tight') => {
    const job = aJobWithJointsMade().pressureTested().evacuated({ shape })
    const last = job.system.evacuations.at(-1)
    if (!last) throw new Error('no evacuation')
    return rejudgeEvacuation(
      last,
      { ...job.dossier, system: job.system, instrumentId: 'vacuum' },
      off([100, errorPercent]),
    )
  }
  // From 40 to 52 Pa were shown; 66.7 are asked for at the valve, and 200 throughout.
  it('stands where it was deep enough all the same', () => {
    // 40/0.7 = 57 Pa, 52/0.7 = 74 Pa
    expect(test(-30)).toMatchObject({ judgement: 'stands' })
  })
  it('stands no more where the depth was never reached', () => {
    // 40/0.4 = 100 Pa
    expect(test(-60).judgement).not.toBe('stands')
  })
  it('is no worse than it was, where it proved nothing before', () => {
    expect(test(2, 'leak')).toMatchObject({ judgement: 'stands' })
  })
})

describe('a charge by a scale that was off', () => {
  const charge = (errorPercent: number | null) => {
    const job = aJobWithJointsMade({ sheet: { factoryChargeKg: 0, prechargedLengthM: 0 } }).weighedIn(1)
    const last = job.system.charges.at(-1)
    if (!last) throw new Error('no charge')
    const asked = rejudgeCharge(
      { ...last, massKg: 1 },
      { ...job.dossier, system: job.system, instrumentId: 'scale' },
      errorPercent === null ? off() : off([1, errorPercent]),
    )
    return asked
  }
  it('is what the scale would have shown', () => {
    // 1/1.25 = 0.8 kg
    expect(charge(25)).toMatchObject({ shown: '1.000 kg', real: '0.800 kg' })
  })
  it('is in doubt where nobody wrote down how far off it was', () => {
    expect(charge(null)).toMatchObject({ judgement: 'doubtful' })
  })
})

describe('what can’t be worked out again', () => {
  it('is a flare, unless it was measured and accepted afterwards', () => {
    const inspected = { points: { answers: {}, reasons: {}, allAsListed: true }, photoIds: [] }
    const measured = { ...inspected, diameterCheck: 'measured', outcome: 'accepted' } as const
    expect(rejudgeFlare({ ...measured, outerDiameterM: 0.0131 }).judgement).toBe('stands')
    expect(rejudgeFlare({ ...measured, outerDiameterM: null }).judgement).toBe('doubtful')
    expect(rejudgeFlare({ ...measured, outerDiameterM: 0.0131, outcome: 'rejected' }).judgement).toBe(
      'doubtful',
    )
    expect(rejudgeFlare(null).judgement).toBe('doubtful')
  })
  it('is what a detector did not find, unless it found the trial leak at that check', () => {
    const body = {
      method: 'refrigerant-detector',
      medium: 'refrigerant',
      instrumentId: 'detector',
      gaugePressurePa: null,
      sensitivityKgPerYear: null,
      sensitivitySource: 'maker',
      part: null,
      where: null,
    } as unknown as Parameters<typeof rejudgeLeakCheck>[0]
    expect(rejudgeLeakCheck({ ...body, checkedOnTrialLeak: false, result: 'none-found' }).judgement).toBe(
      'doubtful',
    )
    expect(rejudgeLeakCheck({ ...body, checkedOnTrialLeak: true, result: 'none-found' }).judgement).toBe(
      'stands',
    )
    expect(rejudgeLeakCheck({ ...body, checkedOnTrialLeak: false, result: 'found' }).judgement).toBe('stands')
  })
})
