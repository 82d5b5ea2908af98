// Is a torque judged the same way for the technician at once and for the hold point later?

import { describe, expect, it } from 'vitest'
import type { TorqueBody } from '../../server/rules/dossier.ts'
import { judgeTorqueStep, torqueRangeOf } from '../../server/rules/judge-torque.ts'
import { BUILT_IN_POLICY } from '../../server/rules/policy.ts'
import { anInstrument, aSheet } from '../support/dossiers.ts'

const liquid = { kind: 'flare', tubeOdM: 0.00635 } as const
const gas = { kind: 'flare', tubeOdM: 0.00952 } as const
const body = (readingNm: number | null, over: Partial<TorqueBody> = {}): TorqueBody => ({
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
const guarded = { ...judging, policy: { ...BUILT_IN_POLICY, decisionRule: 'guarded' as const } }

describe('the range', () => {
  it('is the sheet’s before any built-in set', () => {
    const sheet = aSheet({ torqueNm: [{ tubeOdM: 0.00635, lowNm: 15, highNm: 20 }] })
    expect(torqueRangeOf(liquid, sheet, BUILT_IN_POLICY)).toEqual({
      lowNm: 15,
      highNm: 20,
      source: 'equipment sheet, Installation manual TI-35, page 12',
    })
  })
  it('is the built-in set’s where the sheet is silent on the size', () => {
    const sheet = aSheet({ torqueNm: [] })
    expect(torqueRangeOf(gas, sheet, BUILT_IN_POLICY)).toEqual({
      lowNm: 34,
      highNm: 42,
      source: 'JIS B 8607 class 2 set (built in)',
    })
  })
  it('is the company’s own EN 378-2 set where it entered and chose one, and says whose it is', () => {
    const policy = {
      ...BUILT_IN_POLICY,
      torqueFamily: 'en-378-2' as const,
      torqueSet: { source: 'our copy of 2016', ranges: [{ tubeOdM: 0.00953, lowNm: 33, highNm: 42 }] },
    }
    expect(torqueRangeOf(gas, null, policy)).toEqual({
      lowNm: 33,
      highNm: 42,
      source: 'EN 378-2 flare table as your company entered it (our copy of 2016)',
    })
    // A size that it did not enter is in no set, and another set chosen leaves it aside.
    expect(torqueRangeOf(liquid, null, policy)).toBeNull()
    expect(torqueRangeOf(gas, null, { ...policy, torqueFamily: 'jis-b-8607-class-2' })?.lowNm).toBe(34)
    // The sheet goes before it.
    expect(
      torqueRangeOf(gas, aSheet({ torqueNm: [{ tubeOdM: 0.00952, lowNm: 30, highNm: 36 }] }), policy)?.lowNm,
    ).toBe(30)
  })
  it('is none for a coupling, a size in no set, or a set that must be entered first', () => {
    expect(torqueRangeOf({ kind: 'quick-coupling', tubeOdM: 0.00952 }, null, BUILT_IN_POLICY)).toBeNull()
    expect(torqueRangeOf({ kind: 'flare', tubeOdM: 0.0222 }, null, BUILT_IN_POLICY)).toBeNull()
    expect(torqueRangeOf(gas, null, { ...BUILT_IN_POLICY, torqueFamily: 'en-378-2' })).toBeNull()
  })
})

describe('a torque', () => {
  it.each([
    [13.99, 'low'],
    [14, 'in-range'],
    [18, 'in-range'],
    [18.01, 'high'],
  ])('of %s N·m on 1/4 in is %s by the simple rule', (readingNm, verdict) => {
    expect(judgeTorqueStep(liquid, body(readingNm), judging).verdict).toBe(verdict)
  })
  // 14/(1 − 0.04) = 14.58 and 18/(1 + 0.04) = 17.31.
  it.each([
    [14.5, 'not-proven'],
    [14.6, 'in-range'],
    [17.3, 'in-range'],
    [17.4, 'not-proven'],
    [18.5, 'high'],
  ])('of %s N·m on 1/4 in is %s by the guarded rule', (readingNm, verdict) => {
    const judged = judgeTorqueStep(liquid, body(readingNm), guarded)
    expect(judged.verdict).toBe(verdict)
    expect(judged.acceptance?.lowNm).toBeCloseTo(14.583, 3)
    expect(judged.acceptance?.highNm).toBeCloseTo(17.308, 3)
  })

  it('through an adapter is judged at the nut, and the setting is corrected for it', () => {
    // US Army TM 9-254: S = T·L/(L + E); T 16, L 0.2, E 0.05 → 12.8.
    const adapter = { offsetM: 0.05, wrenchLengthM: 0.2, angleDegrees: 0 }
    const judged = judgeTorqueStep(liquid, body(12.8, { adapter }), judging)
    expect(judged).toMatchObject({ verdict: 'in-range' })
    expect(judged.appliedNm).toBeCloseTo(16, 9)
    expect(judged.recommendedSettingNm).toBeCloseTo(12.8, 9)
  })

  it('takes the wrench’s own accuracy, else the assumed one, and says which', () => {
    expect(judgeTorqueStep(liquid, body(16), judging)).toMatchObject({
      uncertaintyNm: 0.64,
      accuracySource: 'torque-wrench wrench',
    })
    const bare = judgeTorqueStep(liquid, body(16), { ...judging, instruments: [] })
    expect(bare.uncertaintyNm).toBeCloseTo(0.64, 9)
    expect(bare.accuracySource).toMatch(/assumed/)
    const absolute = [anInstrument('wrench', 'torque-wrench', { accuracyAbsolute: 0.5 })]
    expect(
      judgeTorqueStep(liquid, body(16), { ...judging, instruments: absolute }).uncertaintyNm,
    ).toBeCloseTo(0.5, 9)
  })

  it.each([
    ['not-measured', /was not measured/],
    ['angle-by-manual', /was turned by angle/],
  ] as const)('that was %s is not measured, and still gets a recommended setting', (indication, reason) => {
    const judged = judgeTorqueStep(liquid, body(null, { indication }), judging)
    expect(judged).toMatchObject({ verdict: 'not-measured', appliedNm: null, recommendedSettingNm: 16 })
    expect(judged.reason).toMatch(reason)
  })

  it('without any range is known at the nut and proven by nothing', () => {
    const judged = judgeTorqueStep({ kind: 'quick-coupling', tubeOdM: 0.00635 }, body(30), judging)
    expect(judged).toMatchObject({
      verdict: 'not-proven',
      range: null,
      appliedNm: 30,
      recommendedSettingNm: null,
    })
    expect(judged.reason).toMatch(/no torque range for 1\/4 in/)
  })

  it.each([
    ['a negative reading', body(-1)],
    ['a reading that is no number', body(Number.NaN)],
    [
      'an adapter longer than the wrench, turned back',
      body(16, { adapter: { offsetM: -0.3, wrenchLengthM: 0.2, angleDegrees: 0 } }),
    ],
  ])('with %s is recorded and proven by nothing', (_, wrong) => {
    const judged = judgeTorqueStep(liquid, wrong, judging)
    expect(judged.verdict).toBe('not-proven')
    expect(judged.reason).toMatch(/can't be judged/)
  })
})
