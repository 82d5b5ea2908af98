import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  adapterFactor,
  judgeTorque,
  normalProbability,
  recommendedSetting,
  rectangularProbability,
  torqueAtNut,
  wrenchSetting,
} from '../../server/trade/torque.ts'
import { findBuiltInRange, type TorqueFamilyCode, torqueFamilies } from '../../server/trade/torque-ranges.ts'
import { fromNewtonMetres, toNewtonMetres } from '../../server/trade/units.ts'
import { OutsideValidity } from '../../server/trade/validity.ts'

const ft = (value: number) => toNewtonMetres({ value, unit: 'ft.lbf' })
const FOOT = 0.3048
const INCH = 0.0254

describe('an adapter between wrench and nut', () => {
  it.each([
    ['30 ft·lbf, L 1 ft, E 0.25 ft', 30, 1 * FOOT, 0.25 * FOOT, 0, 24, 'aircraft maintenance manual'],
    ['135 in·lbf, L 10 in, E 1.5 in', 135, 10 * INCH, 1.5 * INCH, 0, 117.39, 'aircraft maintenance manual'],
    ['the same turned back', 135, 10 * INCH, -1.5 * INCH, 0, 158.82, 'aircraft maintenance manual'],
    ['the same turned back, by angle', 135, 10 * INCH, 1.5 * INCH, 180, 158.82, 'derived'],
    [
      '100 in·lbf, L 12 in, E 6 in',
      100,
      12 * INCH,
      6 * INCH,
      0,
      66.67,
      'US Navy training text, answer recomputed',
    ],
    ['at a right angle', 30, FOOT, 0.25 * FOOT, 90, 30, 'US Army TM 9-254, formula'],
    ['at a right angle the other way', 30, FOOT, 0.25 * FOOT, -90, 30, 'US Army TM 9-254, formula'],
    ['at 60°', 30, FOOT, 0.25 * FOOT, 60, 30 / 1.125, 'US Army TM 9-254, formula'],
    ['no offset', 30, FOOT, 0, 0, 30, 'identity'],
  ])('%s', (_, torque, wrenchLengthM, offsetM, angleDegrees, setting) => {
    expect(
      wrenchSetting({ torqueNm: torque, adapter: { wrenchLengthM, offsetM, angleDegrees } }),
    ).toBeCloseTo(setting, 2)
  })

  it('changes nothing, exactly, at a right angle', () => {
    expect(adapterFactor({ wrenchLengthM: 0.3, offsetM: 0.07, angleDegrees: 90 })).toBe(1)
  })

  it('gives at the nut what was asked, there and back', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.1, max: 200, noNaN: true }),
        fc.double({ min: 0.1, max: 1, noNaN: true }),
        fc.double({ min: -0.09, max: 0.3, noNaN: true }),
        fc.double({ min: -180, max: 180, noNaN: true }),
        (torqueNm, wrenchLengthM, offsetM, angleDegrees) => {
          // Turned back, 0.3 m of adapter on a 0.1 m wrench can't be held: refused elsewhere.
          fc.pre(Math.abs(offsetM) < 0.9 * wrenchLengthM)
          const adapter = { wrenchLengthM, offsetM, angleDegrees }
          const readingNm = wrenchSetting({ torqueNm, adapter })
          expect(torqueAtNut({ readingNm, adapter })).toBeCloseTo(torqueNm, 9)
        },
      ),
    )
  })

  it.each([
    [{ wrenchLengthM: 0, offsetM: 0.1 }],
    [{ wrenchLengthM: -0.3, offsetM: 0.1 }],
    [{ wrenchLengthM: 0.3, offsetM: -0.3 }],
    [{ wrenchLengthM: 0.3, offsetM: 0.4, angleDegrees: 180 }],
    [{ wrenchLengthM: 0.3, offsetM: 1.5 }],
    [{ wrenchLengthM: 0.3, offsetM: Number.NaN }],
    [{ wrenchLengthM: 0.3, offsetM: 0.1, angleDegrees: 200 }],
    [{ wrenchLengthM: 0.3, offsetM: 0.1, angleDegrees: Number.NaN }],
  ])('refuses %j', (adapter) => {
    expect(() => adapterFactor(adapter)).toThrow(OutsideValidity)
  })
})

it('an adapter may be four times as long as the wrench, and the refusal of a longer one says so', () => {
  expect(adapterFactor({ wrenchLengthM: 0.25, offsetM: 1 })).toBe(5)
  expect(() => adapterFactor({ wrenchLengthM: 0.25, offsetM: 1.001 })).toThrow(
    /1.001 m .*at most four times as long/,
  )
  expect(() => adapterFactor({ wrenchLengthM: 0.25, offsetM: -0.25 })).toThrow(/shorter than the wrench/)
})

it('a standard uncertainty of nothing leaves no doubt', () => {
  const range = { lowNm: 34, highNm: 42 }
  expect(normalProbability(38, 0, range)).toBe(1)
  expect(normalProbability(34, 0, range)).toBe(1)
  expect(normalProbability(33.9, 0, range)).toBe(0)
})

it('swapped limits are named', () => {
  const swapped = { rangeLowNm: 42, rangeHighNm: 34, accuracyPercent: 4, decisionRule: 'simple' } as const
  expect(() => recommendedSetting(swapped)).toThrow(
    'upper torque limit must be at least 42 N·m, not 34 N·m (the limits are swapped)',
  )
  expect(recommendedSetting({ ...swapped, rangeLowNm: 34 }).settingNm).toBe(34)
})

describe('judging a torque', () => {
  // Common practice, no source: a range of 25–30 ft·lbf with the wrench set at 28 ft·lbf, a 4 % wrench.
  const practitioner = {
    indication: 'set-and-clicked',
    rangeLowNm: ft(25),
    rangeHighNm: ft(30),
    accuracyPercent: 4,
  } as const

  it('accepts 28 in 25–30 ft·lbf under both rules: 28 ± 1.12 stays inside', () => {
    for (const decisionRule of ['simple', 'guarded'] as const) {
      const judged = judgeTorque({ ...practitioner, readingNm: ft(28), decisionRule })
      expect(judged.verdict).toBe('in-range')
      expect(judged.probabilityInRange).toBe(1)
      expect(fromNewtonMetres(judged.uncertaintyNm, 'ft.lbf')).toBeCloseTo(1.12, 12)
      expect(judged.decisionRule).toBe(decisionRule)
    }
  })

  it('recommends the middle, 27.5 ft·lbf', () => {
    const setting = recommendedSetting({
      rangeLowNm: ft(25),
      rangeHighNm: ft(30),
      accuracyPercent: 4,
      decisionRule: 'guarded',
    })
    expect(fromNewtonMetres(setting.settingNm, 'ft.lbf')).toBeCloseTo(27.5, 12)
    expect(fromNewtonMetres(setting.acceptance.lowNm, 'ft.lbf')).toBeCloseTo(25 / 0.96, 12)
    expect(fromNewtonMetres(setting.acceptance.highNm, 'ft.lbf')).toBeCloseTo(30 / 1.04, 12)
    expect(setting.acceptanceEmpty).toBe(false)
  })

  it.each([
    [24.9, 'simple', 'low'],
    [25, 'simple', 'in-range'],
    [30, 'simple', 'in-range'],
    [30.1, 'simple', 'high'],
    [40, 'simple', 'high'],
    [5, 'simple', 'low'],
    [0, 'simple', 'low'],
    [24.9, 'guarded', 'low'],
    [25, 'guarded', 'not-proven'],
    [26.04, 'guarded', 'not-proven'],
    [26.05, 'guarded', 'in-range'],
    [28.84, 'guarded', 'in-range'],
    [28.85, 'guarded', 'not-proven'],
    [30, 'guarded', 'not-proven'],
    [30.1, 'guarded', 'high'],
  ] as const)(
    '%d ft·lbf under %s is %s: too tight and too loose are both failures',
    (reading, decisionRule, verdict) => {
      expect(judgeTorque({ ...practitioner, readingNm: ft(reading), decisionRule }).verdict).toBe(verdict)
    },
  )

  it('is in range to within rounding of 34–42 N·m, the 3/8 in range of the JIS class 2 set', () => {
    const range = findBuiltInRange('jis-b-8607-class-2', 9.52e-3)
    expect(range).toMatchObject({ lowNm: 34, highNm: 42 })
    expect(ft(25)).toBeCloseTo(34, 0)
    expect(ft(30)).toBeCloseTo(41, 0)
  })

  it.each([
    ['half of the interval inside at the limit', 34, 0.5],
    ['all inside in the middle', 38, 1],
    ['nothing inside far above', 50, 0],
    ['a quarter inside', 42 * (1 + 0.02 / 0.98), 0.25],
  ])('says how likely the true torque is in range: %s', (_, readingNm, probability) => {
    const judged = judgeTorque({
      readingNm,
      indication: 'read',
      rangeLowNm: 34,
      rangeHighNm: 42,
      accuracyPercent: 4,
      decisionRule: 'simple',
    })
    expect(judged.probabilityInRange).toBeCloseTo(probability, 1)
  })

  it('guards the 14–18 N·m range of a 4 % wrench by its own error at each end', () => {
    // trade-facts, derived: with w = U at 16 N·m the guarded band is 14.7–17.3; here U grows with the reading.
    const judged = judgeTorque({
      readingNm: 16,
      indication: 'read',
      rangeLowNm: 14,
      rangeHighNm: 18,
      accuracyPercent: 4,
      decisionRule: 'guarded',
    })
    expect(judged.acceptance.lowNm).toBeCloseTo(14.583, 3)
    expect(judged.acceptance.highNm).toBeCloseTo(17.308, 3)
    expect(judged.uncertaintyNm).toBeCloseTo(0.64, 12)
    expect(judged.usableForCharts).toBe(true)
  })

  it('uses a normal density with k = 2 where a certificate gives a standard uncertainty', () => {
    const judged = judgeTorque({
      readingNm: 16,
      indication: 'set-and-clicked',
      rangeLowNm: 14,
      rangeHighNm: 18,
      accuracyPercent: 4,
      standardUncertaintyNm: 0.37,
      decisionRule: 'guarded',
    })
    // trade-facts, derived: u ≈ 0.37 at 16 N·m gives 14.7–17.3.
    expect(judged.acceptance.lowNm).toBeCloseTo(14.74, 12)
    expect(judged.acceptance.highNm).toBeCloseTo(17.26, 12)
    expect(judged.uncertaintyNm).toBeCloseTo(0.74, 12)
    expect(judged.probabilityInRange).toBeCloseTo(1, 6)
    expect(judged.usableForCharts).toBe(false)
    expect(
      judgeTorque({
        readingNm: 14,
        indication: 'read',
        rangeLowNm: 14,
        rangeHighNm: 18,
        accuracyPercent: 4,
        standardUncertaintyNm: 0.37,
        decisionRule: 'guarded',
      }).verdict,
    ).toBe('not-proven')
  })

  it('agrees with the conformance examples of JCGM 106:2012 (values from memory, recomputed)', () => {
    expect(normalProbability(-5.47, 0.05, { lowNm: -1e9, highNm: -5.4 })).toBeCloseTo(0.919, 3)
    expect(normalProbability(509.7, 8.6, { lowNm: 490, highNm: 1e9 })).toBeCloseTo(0.989, 3)
  })

  it('says when no reading with this wrench could be accepted', () => {
    const input = { rangeLowNm: 15.9, rangeHighNm: 16.1, accuracyPercent: 6 }
    expect(recommendedSetting({ ...input, decisionRule: 'guarded' }).acceptanceEmpty).toBe(true)
    const judged = judgeTorque({ ...input, readingNm: 16, indication: 'read', decisionRule: 'guarded' })
    expect(judged.acceptanceEmpty).toBe(true)
    expect(judged.verdict).toBe('not-proven')
    expect(judged.probabilityInRange).toBeCloseTo(0.1 / 0.96, 6)
  })

  it('corrects range and uncertainty at the nut, not at the wrench', () => {
    const adapter = { wrenchLengthM: 0.3, offsetM: 0.075 }
    const judged = judgeTorque({
      readingNm: 30.4,
      indication: 'read',
      rangeLowNm: 34,
      rangeHighNm: 42,
      accuracyPercent: 4,
      adapter,
      decisionRule: 'guarded',
    })
    expect(judged.appliedNm).toBeCloseTo(38, 12)
    expect(judged.uncertaintyNm).toBeCloseTo(1.52, 12)
    expect(judged.verdict).toBe('in-range')
    expect(recommendedSetting({ rangeLowNm: 34, rangeHighNm: 42, adapter })).toMatchObject({ targetNm: 38 })
    expect(recommendedSetting({ rangeLowNm: 34, rangeHighNm: 42, adapter }).settingNm).toBeCloseTo(30.4, 12)
  })

  it('accepts a limit typed in one unit and read in the same through an adapter', () => {
    const adapter = { wrenchLengthM: 1 * FOOT, offsetM: 0.25 * FOOT }
    for (const reading of [20, 24]) {
      const judged = judgeTorque({ ...practitioner, readingNm: ft(reading), adapter, decisionRule: 'simple' })
      expect(judged.verdict).toBe('in-range')
    }
  })

  it('a perfect wrench proves everything it reads', () => {
    const judged = judgeTorque({
      ...practitioner,
      accuracyPercent: 0,
      readingNm: ft(25),
      decisionRule: 'guarded',
    })
    expect(judged).toMatchObject({ verdict: 'in-range', probabilityInRange: 1, uncertaintyNm: 0 })
    expect(rectangularProbability(43, 0, { lowNm: 34, highNm: 42 })).toBe(0)
    expect(normalProbability(43, 0, { lowNm: 34, highNm: 42 })).toBe(0)
  })

  it.each([
    ['a negative reading', { readingNm: -1 }],
    ['a reading that is no number', { readingNm: Number.NaN }],
    ['swapped limits', { rangeLowNm: 42, rangeHighNm: 34 }],
    ['a wrench worse than half', { accuracyPercent: 60 }],
    ['a negative accuracy', { accuracyPercent: -4 }],
    ['an endless upper limit', { rangeHighNm: Number.POSITIVE_INFINITY }],
    ['a negative standard uncertainty', { standardUncertaintyNm: -1 }],
  ])('refuses %s', (_, wrong) => {
    const input = {
      readingNm: 38,
      indication: 'read',
      rangeLowNm: 34,
      rangeHighNm: 42,
      accuracyPercent: 4,
      decisionRule: 'simple',
      ...wrong,
    } as const
    expect(() => judgeTorque(input)).toThrow(OutsideValidity)
  })

  it('keeps its order: guarded never accepts what simple refuses, and numbers stay finite', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 300, noNaN: true }),
        fc.double({ min: 1, max: 100, noNaN: true }),
        fc.double({ min: 0, max: 50, noNaN: true }),
        fc.double({ min: 0, max: 20, noNaN: true }),
        (readingNm, rangeLowNm, width, accuracyPercent) => {
          const input = {
            readingNm,
            indication: 'read',
            rangeLowNm,
            rangeHighNm: rangeLowNm + width,
            accuracyPercent,
          } as const
          const simple = judgeTorque({ ...input, decisionRule: 'simple' })
          const guarded = judgeTorque({ ...input, decisionRule: 'guarded' })
          if (guarded.verdict === 'in-range') expect(simple.verdict).toBe('in-range')
          if (simple.verdict !== 'in-range') expect(guarded.verdict).toBe(simple.verdict)
          expect(simple.probabilityInRange).toBeGreaterThanOrEqual(0)
          expect(simple.probabilityInRange).toBeLessThanOrEqual(1)
          if (guarded.verdict === 'in-range') expect(guarded.probabilityInRange).toBeCloseTo(1, 6)
          for (const value of [
            simple.appliedNm,
            simple.uncertaintyNm,
            guarded.acceptance.lowNm,
            guarded.acceptance.highNm,
          ]) {
            expect(Number.isFinite(value)).toBe(true)
          }
        },
      ),
    )
  })

  it('gives the same verdict in any unit', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 100, noNaN: true }),
        fc.constantFrom('ft.lbf', 'in.lbf', 'kgf.cm', 'N.m'),
        fc.constantFrom('simple', 'guarded'),
        (reading, unit, decisionRule) => {
          const si = (value: number) => toNewtonMetres({ value, unit })
          const plain = judgeTorque({
            readingNm: reading,
            indication: 'read',
            rangeLowNm: 34,
            rangeHighNm: 42,
            accuracyPercent: 4,
            decisionRule,
          })
          const scaled = judgeTorque({
            readingNm: si(reading),
            indication: 'read',
            rangeLowNm: si(34),
            rangeHighNm: si(42),
            accuracyPercent: 4,
            decisionRule,
          })
          expect(scaled.verdict).toBe(plain.verdict)
          expect(scaled.probabilityInRange).toBeCloseTo(plain.probabilityInRange, 9)
        },
      ),
    )
  })
})

describe('the published torque families', () => {
  it.each([
    ['jis-b-8607-class-2', 6.35, 14, 18],
    ['jis-b-8607-class-2', 9.525, 34, 42],
    ['jis-b-8607-class-2', 12.7, 49, 61],
    ['jis-b-8607-class-2', 15.875, 68, 82],
    ['jis-b-8607-class-2', 19.05, 100, 120],
    ['kgf-cm-set', 6.35, 14.2, 17.2],
    ['kgf-cm-set', 9.52, 32.7, 39.9],
    ['kgf-cm-set', 12.7, 49.5, 60.3],
    ['kgf-cm-set', 15.88, 61.8, 75.4],
    ['kgf-cm-set', 19.05, 97.2, 118.6],
  ] as [TorqueFamilyCode, number, number, number][])(
    '%s at %d mm is %d–%d N·m',
    (family, odMm, low, high) => {
      expect(findBuiltInRange(family, odMm / 1000)).toMatchObject({ lowNm: low, highNm: high, family })
    },
  )

  it('disagree at 5/8 in: 64 N·m passes one and fails another, 80 N·m the other way round', () => {
    const jis = findBuiltInRange('jis-b-8607-class-2', 0.015875)
    const kgf = findBuiltInRange('kgf-cm-set', 0.015875)
    const inside = (value: number, range: { lowNm: number; highNm: number } | null) =>
      range !== null && value >= range.lowNm && value <= range.highNm
    expect([inside(64, jis), inside(64, kgf)]).toEqual([false, true])
    expect([inside(80, jis), inside(80, kgf)]).toEqual([true, false])
  })

  it('agree with the printed foot-pound rounding of the JIS set (common practice, no source)', () => {
    const pounds = (nm: number) => Math.round(fromNewtonMetres(nm, 'ft.lbf') * 10) / 10
    expect([pounds(14), pounds(18), pounds(34), pounds(42), pounds(49), pounds(61)]).toEqual([
      10.3, 13.3, 25.1, 31, 36.1, 45,
    ])
  })

  it('does not offer the set that is known from memory only', () => {
    expect(torqueFamilies()['en-378-2'].choosable).toBe(false)
    expect(findBuiltInRange('en-378-2', 0.00635)).toBeNull()
  })

  it('says nothing about sizes it has no row for', () => {
    expect(findBuiltInRange('jis-b-8607-class-2', 0.0079375)).toBeNull()
    expect(findBuiltInRange('jis-b-8607-class-2', 0.01)).toBeNull()
    expect(findBuiltInRange('jis-b-8607-class-2', 0.006)).toBeNull()
    expect(() => findBuiltInRange('jis-b-8607-class-2', 0)).toThrow(OutsideValidity)
  })

  it('names source and label with every range', () => {
    for (const family of Object.values(torqueFamilies())) {
      expect(family.source.length).toBeGreaterThan(10)
      for (const range of family.ranges) expect(range.highNm).toBeGreaterThan(range.lowNm)
    }
  })
})
