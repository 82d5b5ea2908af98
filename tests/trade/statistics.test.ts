import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { clopperPearsonInterval } from '../../server/trade/clopper-pearson.ts'
import { capability, individualsChart, meanAndSpread } from '../../server/trade/control-chart.ts'
import { binomialUpperTail } from '../../server/trade/distributions.ts'
import {
  ageBandAt,
  expectedEvents,
  exposureByAge,
  type PerAgeBand,
  ratesPerAgeBand,
  sumPerAgeBand,
} from '../../server/trade/exposure.ts'
import { benjaminiHochberg, type FlagGroup, flagGroups } from '../../server/trade/flagging.ts'
import { poissonInterval, ratePer1000JointYears } from '../../server/trade/poisson-interval.ts'
import { fitShape, shrinkGroups } from '../../server/trade/shrinkage.ts'
import { kaplanMeier, survivalAt } from '../../server/trade/survival.ts'
import { OutsideValidity } from '../../server/trade/validity.ts'
import { wilsonInterval } from '../../server/trade/wilson.ts'

describe('the exact Poisson interval', () => {
  // Garwood 1936 by χ², recomputed.
  it.each([
    [0, 0, 3.6889],
    [1, 0.0253, 5.5716],
    [2, 0.2422, 7.2247],
    [3, 0.6187, 8.7673],
    [4, 1.0899, 10.2416],
    [5, 1.6235, 11.6683],
    [10, 4.7954, 18.3904],
    [20, 12.2165, 30.8884],
  ])('%d events: %d to %d', (count, low, high) => {
    const interval = poissonInterval(count)
    expect(interval.low).toBeCloseTo(low, 4)
    expect(interval.high).toBeCloseTo(high, 4)
  })

  it('has the rule of three as its one-sided limit without events', () => {
    expect(poissonInterval(0, 0.9).high).toBeCloseTo(2.9957, 4)
  })

  it('scales to 1,000 joint-years and refuses a rate without exposure', () => {
    expect(ratePer1000JointYears(5, 2500).rate).toBeCloseTo(2, 12)
    expect(ratePer1000JointYears(5, 2500).low).toBeCloseTo(0.6494, 4)
    expect(() => ratePer1000JointYears(0, 0)).toThrow(OutsideValidity)
    expect(() => poissonInterval(-1)).toThrow(OutsideValidity)
    expect(() => poissonInterval(1.5)).toThrow(/whole/)
    expect(() => poissonInterval(1, 1)).toThrow(OutsideValidity)
  })
})

describe('Wilson’s interval', () => {
  // Newcombe, Stat Med 17 (1998) 857 (values from memory, recomputed).
  it.each([
    [81, 263, 0.2553, 0.3662],
    [15, 148, 0.0624, 0.1605],
    [0, 20, 0, 0.1611],
    [1, 29, 0.0061, 0.1718],
  ])('%d of %d: %d to %d', (successes, tries, low, high) => {
    const interval = wilsonInterval(successes, tries)
    expect(interval.low).toBeCloseTo(low, 4)
    expect(interval.high).toBeCloseTo(high, 4)
  })

  it('is the same seen from the other side', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 200 }), fc.integer({ min: 1, max: 200 }), (a, extra) => {
        const tries = a + extra
        const one = wilsonInterval(a, tries)
        const other = wilsonInterval(tries - a, tries)
        expect(one.low).toBeCloseTo(1 - other.high, 10)
        expect(one.low).toBeLessThanOrEqual(one.share)
        expect(one.high).toBeGreaterThanOrEqual(one.share)
      }),
    )
  })

  it('refuses none of none and more than all', () => {
    expect(() => wilsonInterval(0, 0)).toThrow(OutsideValidity)
    expect(() => wilsonInterval(3, 2)).toThrow(OutsideValidity)
    expect(() => wilsonInterval(1.5, 2)).toThrow(/whole/)
  })
})

describe('the exact interval of a share', () => {
  // Newcombe 1998, his method 5, from memory; recomputed. The last two follow by hand: 1 − 0.025^(1/10), 0.025^(1/10).
  it.each([
    [81, 263, 0.2527, 0.3676],
    [15, 148, 0.0578, 0.1617],
    [0, 20, 0, 0.1684],
    [1, 29, 0.0009, 0.1776],
    [0, 10, 0, 0.3085],
    [10, 10, 0.6915, 1],
  ])('%d of %d: %d to %d', (successes, tries, low, high) => {
    const interval = clopperPearsonInterval(successes, tries)
    expect(interval.low).toBeCloseTo(low, 4)
    expect(interval.high).toBeCloseTo(high, 4)
  })

  it('leaves 2.5 % on either side, counted out', () => {
    for (const [seen, tries] of [
      [1, 8],
      [3, 12],
      [30, 41],
    ] as const) {
      const { low, high } = clopperPearsonInterval(seen, tries)
      expect(binomialUpperTail(seen, tries, low)).toBeCloseTo(0.025, 9)
      expect(1 - binomialUpperTail(seen + 1, tries, high)).toBeCloseTo(0.025, 9)
    }
  })

  it('covers at least 95 % of the time, whatever the share, summed over everything that can come up', () => {
    for (const tries of [1, 5, 20, 60])
      for (const share of [0.01, 0.1, 0.35, 0.5, 0.8]) {
        const covered = Array.from({ length: tries + 1 }, (_, seen) => seen)
          .filter((seen) => {
            const { low, high } = clopperPearsonInterval(seen, tries)
            return low <= share && share <= high
          })
          .reduce(
            (sum, seen) =>
              sum + binomialUpperTail(seen, tries, share) - binomialUpperTail(seen + 1, tries, share),
            0,
          )
        expect(covered, `${share} of ${tries}`).toBeGreaterThanOrEqual(0.95 - 1e-9)
      }
  })

  it('refuses none of none and more than all', () => {
    expect(() => clopperPearsonInterval(0, 0)).toThrow(OutsideValidity)
    expect(() => clopperPearsonInterval(3, 2)).toThrow(OutsideValidity)
    expect(() => clopperPearsonInterval(1.5, 2)).toThrow(/whole/)
  })
})

describe('Kaplan–Meier', () => {
  // Freireich et al. 1963, the 6-MP arm, weeks; values from memory, recomputed.
  const events = [6, 6, 6, 7, 10, 13, 16, 22, 23]
  const censored = [6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35]
  const arm = [
    ...events.map((time) => ({ time, event: true })),
    ...censored.map((time) => ({ time, event: false })),
  ]

  it('agrees with the published remission times', () => {
    const estimate = kaplanMeier(arm)
    expect(
      estimate.steps.map((step) => [
        step.time,
        Number(step.survival.toFixed(4)),
        Number(step.standardError.toFixed(4)),
      ]),
    ).toEqual([
      [6, 0.8571, 0.0764],
      [7, 0.8067, 0.0869],
      [10, 0.7529, 0.0963],
      [13, 0.6902, 0.1068],
      [16, 0.6275, 0.1141],
      [22, 0.5378, 0.1282],
      [23, 0.4482, 0.1346],
    ])
    expect(estimate).toMatchObject({ events: 9, exposure: 359, median: 23 })
    expect(survivalAt(estimate, 5.9)).toBe(1)
    expect(survivalAt(estimate, 12)).toBeCloseTo(0.7529, 4)
    expect(survivalAt(estimate, 100)).toBeCloseTo(0.4482, 4)
  })

  it('is the plain share when nobody is lost, and stays at one without events', () => {
    const all = kaplanMeier([1, 2, 3, 4].map((time) => ({ time, event: true })))
    expect(all.steps.map((step) => step.survival)).toEqual([0.75, 0.5, 0.25, 0])
    expect(all.median).toBe(2)
    expect(all.steps.at(-1)).toMatchObject({ low: 0, high: 0, standardError: 0 })
    expect(kaplanMeier([{ time: 5, event: false }])).toMatchObject({
      steps: [],
      median: null,
      events: 0,
      exposure: 5,
    })
    expect(kaplanMeier([])).toMatchObject({ steps: [], exposure: 0 })
    expect(() => kaplanMeier([{ time: -1, event: true }])).toThrow(OutsideValidity)
  })

  it('never rises, and its interval holds it', () => {
    fc.assert(
      fc.property(
        fc.array(fc.record({ time: fc.integer({ min: 0, max: 30 }), event: fc.boolean() }), {
          maxLength: 60,
        }),
        (joints) => {
          let before = 1
          for (const step of kaplanMeier(joints).steps) {
            expect(step.survival).toBeLessThanOrEqual(before)
            expect(step.low).toBeLessThanOrEqual(step.survival + 1e-12)
            expect(step.high).toBeGreaterThanOrEqual(step.survival - 1e-12)
            expect(Number.isFinite(step.standardError)).toBe(true)
            before = step.survival
          }
        },
      ),
    )
  })
})

describe('charts and spread', () => {
  const nist = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]

  it('agrees with the individuals chart of the NIST/SEMATECH e-Handbook 6.3.2.2', () => {
    const chart = individualsChart(nist)
    expect(chart.mean).toBeCloseTo(50.81, 10)
    expect(chart.meanMovingRange).toBeCloseTo(1.8778, 4)
    expect(chart.upperLimit).toBeCloseTo(55.8041, 4)
    expect(chart.lowerLimit).toBeCloseTo(45.8159, 4)
    expect(chart.outside).toEqual([])
    expect(chart.upperRangeLimit).toBeCloseTo(3.267 * 1.8777778, 5)
  })

  it('has limits from two values on', () => {
    const chart = individualsChart([38, 39])
    expect(chart).toMatchObject({ mean: 38.5, meanMovingRange: 1, outside: [], rangeOutside: [] })
    expect(chart.upperLimit).toBeCloseTo(38.5 + 3 / 1.128, 9)
    expect(() => individualsChart([38])).toThrow('number of values must be at least 2, not 1')
  })

  it('does not point at rounding where every value is the same', () => {
    for (const value of [0.1, 38.1, 4.1e6]) {
      const chart = individualsChart(Array.from({ length: 9 }, () => value))
      expect([chart.outside, chart.rangeOutside]).toEqual([[], []])
    }
    // But at a step that is small only beside the value.
    expect(individualsChart([...Array.from({ length: 20 }, () => 0), 1e-6]).outside).toEqual([20])
  })

  it('points at a value below as at one above, and not at one on the limit', () => {
    const steady = Array.from({ length: 20 }, (_, index) => 38 + (index % 2) * 0.1)
    expect(individualsChart([...steady, 30]).outside).toEqual([20])
    expect(individualsChart([...steady, 46]).outside).toEqual([20])
    // Two values a step apart: 38 and 38 + 3.267 · step can't be out of their own limits.
    expect(individualsChart([1, 2]).rangeOutside).toEqual([])
  })

  it('says how many values it needs', () => {
    expect(() => meanAndSpread([])).toThrow('number of values must be at least 1, not 0')
    expect(meanAndSpread([4, 6])).toEqual({ mean: 5, standardDeviation: Math.SQRT2 })
    expect(capability([35, 36, 37], { low: 36, high: 36.5 }).cp).toBeGreaterThan(0)
    expect(() => capability([35, 36], { low: 36, high: 36 })).toThrow(OutsideValidity)
  })

  it('points at the value that is out and at the step to it', () => {
    const chart = individualsChart([
      38, 38.4, 37.8, 38.1, 37.9, 38.3, 46, 38, 38.2, 37.7, 38.1, 38.0, 38.3, 37.9,
    ])
    expect(chart.outside).toEqual([6])
    expect(chart.rangeOutside).toEqual([6, 7])
  })

  // NIST StRD: mean and standard deviation that naive formulas get wrong.
  it('survives the cancellation probes NumAcc1 to NumAcc3 of NIST StRD', () => {
    const alternating = (base: number) => [
      base + 0.2,
      ...Array.from({ length: 1000 }, (_, index) => base + (index % 2 === 0 ? 0.1 : 0.3)),
    ]
    expect(meanAndSpread([10000001, 10000003, 10000002])).toEqual({ mean: 10000002, standardDeviation: 1 })
    expect(meanAndSpread(alternating(1)).mean).toBeCloseTo(1.2, 13)
    expect(meanAndSpread(alternating(1)).standardDeviation).toBeCloseTo(0.1, 12)
    expect(meanAndSpread(alternating(1000000)).mean).toBeCloseTo(1000000.2, 8)
    expect(meanAndSpread(alternating(1000000)).standardDeviation).toBeCloseTo(0.1, 8)
  })

  // NIST StRD Michelso: the speed of light, 100 measurements, the last digits of 299.xx thousand km/s.
  it('agrees with NIST StRD Michelso', () => {
    const last =
      '85 74 90 107 93 85 95 98 98 88 100 98 93 65 76 81 100 100 96 96 96 94 96 94 88 80 85 88 90 84 83 79 81 88 88 83 80 79 76 80 88 88 88 86 72 72 62 86 97 95 88 91 85 87 84 84 85 84 84 84 89 81 81 82 80 77 76 74 75 76 91 92 89 86 88 72 84 85 85 78 89 84 78 81 76 81 79 81 82 85 87 87 81 74 81 94 95 80 81 87'
    const values = last.split(' ').map((digits) => 299 + Number(digits) / 100)
    expect(values).toHaveLength(100)
    expect(meanAndSpread(values).mean).toBeCloseTo(299.8524, 12)
    expect(meanAndSpread(values).standardDeviation).toBeCloseTo(0.0790105478190518, 13)
  })

  it('gives capability within and overall, and none where every value is the same', () => {
    const sigma = 1.8777778 / 1.128
    expect(capability(nist, { low: 45, high: 57 }).cp).toBeCloseTo(12 / (6 * sigma), 5)
    expect(capability(nist, { low: 45, high: 57 }).cpk).toBeCloseTo((50.81 - 45) / (3 * sigma), 5)
    const overall = meanAndSpread(nist).standardDeviation ?? 0
    expect(capability(nist, { low: 45, high: 57 }).ppk).toBeCloseTo((50.81 - 45) / (3 * overall), 9)
    expect(capability(nist, { low: 52, high: 57 }).cpk).toBeLessThan(0)
    expect(capability([38, 38, 38], { low: 34, high: 42 })).toEqual({
      cp: null,
      cpk: null,
      pp: null,
      ppk: null,
    })
  })

  it('refuses too few values and swapped limits', () => {
    expect(() => individualsChart([38])).toThrow(OutsideValidity)
    expect(() => meanAndSpread([])).toThrow(OutsideValidity)
    expect(() => meanAndSpread([1, Number.NaN])).toThrow(OutsideValidity)
    expect(() => capability(nist, { low: 42, high: 34 })).toThrow(OutsideValidity)
    expect(meanAndSpread([5])).toEqual({ mean: 5, standardDeviation: null })
  })

  it('moves with the values and grows with their unit', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 10, max: 90, noNaN: true }), { minLength: 3, maxLength: 30 }),
        fc.double({ min: 0.1, max: 20, noNaN: true }),
        (values, k) => {
          const one = individualsChart(values)
          const other = individualsChart(values.map((value) => k * value))
          expect(other.upperLimit).toBeCloseTo(k * one.upperLimit, 6)
          expect(other.sigma).toBeCloseTo(k * one.sigma, 6)
        },
      ),
    )
  })
})

describe('exposure by age', () => {
  const YEAR = 365.25 * 86_400_000

  it('splits two and a half years over the four bands', () => {
    const years = exposureByAge({ signedOffAtMs: 0, toMs: 2.5 * YEAR })
    expect(years[0]).toBeCloseTo(0.25, 12)
    expect(years[1]).toBeCloseTo(0.75, 12)
    expect(years[2]).toBeCloseTo(1, 12)
    expect(years[3]).toBeCloseTo(0.5, 12)
  })

  it('starts late when a joint was first seen late, and never before sign-off', () => {
    expect(exposureByAge({ signedOffAtMs: 0, fromMs: YEAR, toMs: 1.5 * YEAR })).toEqual([0, 0, 0.5, 0])
    expect(exposureByAge({ signedOffAtMs: YEAR, fromMs: 0, toMs: YEAR })).toEqual([0, 0, 0, 0])
    expect(() => exposureByAge({ signedOffAtMs: YEAR, toMs: 0 })).toThrow(OutsideValidity)
  })

  it('puts an event into the band of its age', () => {
    expect([0, 2.9, 3, 11.9, 12, 23.9, 24, 400].map((months) => ageBandAt(0, (months * YEAR) / 12))).toEqual([
      0, 0, 1, 1, 2, 2, 3, 3,
    ])
    expect(() => ageBandAt(10, 5)).toThrow(OutsideValidity)
  })

  it('expects of the whole company exactly the events it had', () => {
    const groups: PerAgeBand[] = [
      [10, 20, 5, 0],
      [40, 60, 50, 30],
      [5, 0, 0, 0],
    ]
    const events: PerAgeBand = [6, 4, 2, 1]
    const rates = ratesPerAgeBand(events, sumPerAgeBand(groups))
    const sum = groups.reduce((total, exposure) => total + expectedEvents(exposure, rates), 0)
    expect(sum).toBeCloseTo(13, 12)
  })

  it('does not blame a newcomer for being new', () => {
    const rates = ratesPerAgeBand([8, 4, 2, 1], [40, 100, 100, 100])
    expect(expectedEvents([2, 0, 0, 0], rates)).toBeGreaterThan(9 * expectedEvents([0, 0, 0, 2], rates))
  })

  it('has no rate where there was no exposure, and refuses events there', () => {
    expect(ratesPerAgeBand([0, 0, 0, 0], [1, 0, 0, 0])).toEqual([0, 0, 0, 0])
    expect(() => ratesPerAgeBand([0, 1, 0, 0], [1, 0, 0, 0])).toThrow(/no joint was at risk/)
  })
})

describe('shrinkage', () => {
  it('pulls small groups to the mean and leaves large ones nearly alone', () => {
    const { groups } = shrinkGroups(
      [
        { key: 'small', observed: 2, expected: 0.4 },
        { key: 'large', observed: 50, expected: 10 },
        { key: 'none', observed: 0, expected: 0 },
      ],
      { shape: 2 },
    )
    const [small, large, none] = groups
    expect(small).toMatchObject({ ratio: 5 })
    expect(small?.shrunkRatio).toBeCloseTo(4 / 2.4, 12)
    expect(large?.shrunkRatio).toBeCloseTo(52 / 12, 12)
    expect(none).toMatchObject({ ratio: null, shrunkRatio: 1 })
    for (const group of groups) {
      expect(group.interval().low).toBeLessThan(group.shrunkRatio)
      expect(group.interval().high).toBeGreaterThan(group.shrunkRatio)
    }
    expect(large?.probabilityWorse).toBeGreaterThan(0.99)
    expect(small?.probabilityWorse).toBeLessThan(large?.probabilityWorse ?? 0)
  })

  it('fits a large shape to groups that are alike and a small one to groups that are not', () => {
    const alike = Array.from({ length: 20 }, (_, index) => ({ key: `${index}`, observed: 10, expected: 10 }))
    const unlike = Array.from({ length: 20 }, (_, index) => ({
      key: `${index}`,
      observed: index % 5 === 0 ? 46 : 1,
      expected: 10,
    }))
    expect(fitShape(alike)).toBeCloseTo(20, 9)
    expect(fitShape(unlike)).toBeLessThan(1)
    expect(fitShape([{ key: 'one', observed: 3, expected: 1 }])).toBe(2)
  })

  it('recovers the shape from which counts were drawn', () => {
    // Negative binomial counts at their own quantiles: mean 8, ratios gamma with shape 3.
    const shape = 3
    const expected = 8
    const counts: number[] = []
    let cumulative = 0
    let probability = (shape / (shape + expected)) ** shape
    for (let k = 0; counts.length < 400; k += 1) {
      cumulative += probability
      while (counts.length < 400 && (counts.length + 0.5) / 400 <= cumulative) counts.push(k)
      probability *= ((shape + k) / (k + 1)) * (expected / (shape + expected))
    }
    const fitted = fitShape(counts.map((observed, index) => ({ key: `${index}`, observed, expected })))
    expect(fitted).toBeGreaterThan(2.5)
    expect(fitted).toBeLessThan(3.6)
  })

  it('rises with what was observed and falls with what was expected', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 50 }),
        fc.double({ min: 0, max: 50, noNaN: true }),
        (observed, expected) => {
          const at = (o: number, e: number) =>
            shrinkGroups(
              [
                { key: 'a', observed: o, expected: e },
                { key: 'b', observed: 10, expected: 10 },
              ],
              { shape: 3 },
            ).groups[0]
          expect(at(observed + 1, expected)?.shrunkRatio).toBeGreaterThan(
            at(observed, expected)?.shrunkRatio ?? Number.NaN,
          )
          expect(at(observed, expected + 1)?.shrunkRatio).toBeLessThan(
            at(observed, expected)?.shrunkRatio ?? Number.NaN,
          )
          const p = at(observed, expected)?.probabilityWorse ?? Number.NaN
          expect(p >= 0 && p <= 1).toBe(true)
        },
      ),
    )
  })

  it('refuses counts that are none', () => {
    expect(() => shrinkGroups([{ key: 'a', observed: 1.5, expected: 1 }])).toThrow(/whole/)
    expect(() => shrinkGroups([{ key: 'a', observed: -1, expected: 1 }])).toThrow(OutsideValidity)
    expect(() => shrinkGroups([{ key: 'a', observed: 1, expected: -1 }])).toThrow(OutsideValidity)
    expect(() => shrinkGroups([{ key: 'a', observed: 1, expected: 1 }], { shape: 100 })).toThrow(
      OutsideValidity,
    )
  })
})

describe('flagging', () => {
  const group = (key: string, events: number, expected: number, systems = events): FlagGroup => ({
    key,
    events,
    systems,
    expected,
  })
  const even = (key: string) => group(key, 2, 3)

  it('adjusts p-values as Benjamini and Hochberg do', () => {
    // Worked by hand: sorted 0.005, 0.01, 0.03, 0.04, 0.2 times 5/rank, made monotone from the end.
    const adjusted = benjaminiHochberg([0.01, 0.04, 0.03, 0.005, 0.2])
    expect(adjusted.map((p) => Number(p.toFixed(6)))).toEqual([0.025, 0.05, 0.05, 0.025, 0.2])
    expect(benjaminiHochberg([])).toEqual([])
    expect(() => benjaminiHochberg([1.2])).toThrow(OutsideValidity)
  })

  it('flags a group that leaks five times as much as five even ones', () => {
    const { groups, tooFewEvents } = flagGroups([
      group('bad', 10, 3.3),
      even('a'),
      even('b'),
      even('c'),
      even('d'),
      even('e'),
    ])
    expect(tooFewEvents).toBe(false)
    expect(groups.filter((g) => g.flagged).map((g) => g.key)).toEqual(['bad'])
    expect(groups[0]?.pValue).toBeLessThan(0.01)
  })

  it('does not flag two leaks, or three on two systems, however unlikely', () => {
    const rest = [group('a', 4, 400), group('b', 4, 400)]
    expect(flagGroups([group('x', 2, 0.01), ...rest]).groups.some((g) => g.flagged)).toBe(false)
    const clustered = flagGroups([group('x', 3, 0.01, 2), ...rest])
    expect(clustered.groups[0]?.adjustedP).toBeLessThan(0.001)
    expect(clustered.groups[0]?.flagged).toBe(false)
    expect(flagGroups([group('x', 3, 0.01, 3), ...rest]).groups[0]?.flagged).toBe(true)
  })

  it('does not flag a difference that is sure but small', () => {
    const { groups } = flagGroups([group('x', 600, 500), group('y', 400, 500)])
    expect(groups[0]?.adjustedP).toBeLessThan(0.001)
    expect(groups[0]?.guardedRatio).toBeCloseTo(601 / 401, 9)
    expect(groups[0]?.flagged).toBe(false)
  })

  it('flags at exactly one and a half times the rest, and at exactly 5 per cent', () => {
    // (299 + 1) / (199 + 1) = 1.5.
    const half = flagGroups([group('x', 299, 500), group('y', 199, 500)]).groups[0]
    expect(half?.guardedRatio).toBe(1.5)
    expect(half?.flagged).toBe(true)
    expect(flagGroups([group('x', 298, 500), group('y', 199, 500)]).groups[0]?.flagged).toBe(false)
    // All five events in a group of which an equal share was expected: p = s⁵, here 0.05 after the factor of two.
    const share = 0.025 ** 0.2
    const sure = (expected: number) =>
      flagGroups([group('x', 5, expected), group('y', 0, 1 - expected)]).groups[0]
    expect(sure(share * 0.999)?.flagged).toBe(true)
    expect(sure(share * 1.001)?.adjustedP).toBeGreaterThan(0.05)
    expect(sure(share * 1.001)?.flagged).toBe(false)
  })

  it('compares with the rest’s own rate, and with what was expected where the rest has none', () => {
    const { groups } = flagGroups([group('x', 6, 2), group('y', 4, 8)])
    expect(groups[0]?.guardedRatio).toBeCloseTo(7 / (1 + 1), 12)
    expect(groups[1]?.guardedRatio).toBeCloseTo(5 / (24 + 1), 12)
    expect(flagGroups([group('x', 6, 2), group('y', 4, 0)]).groups[0]?.guardedRatio).toBeCloseTo(
      7 / (2 + 1),
      12,
    )
  })

  it('flags nobody with fewer than five events in the company, and says so', () => {
    const { groups, tooFewEvents } = flagGroups([group('x', 4, 0.1), group('y', 0, 100)])
    expect(tooFewEvents).toBe(true)
    expect(groups.some((g) => g.flagged)).toBe(false)
  })

  it('has nothing to compare a single group with', () => {
    expect(flagGroups([group('only', 20, 1)]).groups[0]).toMatchObject({ pValue: 1, flagged: false })
    expect(flagGroups([])).toEqual({ tooFewEvents: true, groups: [] })
    expect(flagGroups([group('x', 5, 0), group('y', 5, 0)]).groups.every((g) => g.pValue === 1)).toBe(true)
  })

  it('refuses more systems than events and parts of events', () => {
    expect(() => flagGroups([group('x', 3, 1, 4)])).toThrow(OutsideValidity)
    expect(() => flagGroups([group('x', 3.5, 1, 3)])).toThrow(/whole/)
    expect(() => flagGroups([group('x', 3, -1)])).toThrow(OutsideValidity)
  })
})
