import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { findBadReading, fitDecay } from '../../server/trade/decay-fit.ts'
import {
  EVACUATION_BUILT_IN,
  type Evacuation,
  type EvacuationReading,
  judgeEvacuation,
} from '../../server/trade/evacuation.ts'
import { toPascals } from '../../server/trade/units.ts'
import { OutsideValidity } from '../../server/trade/validity.ts'
import { waterVapourPressure } from '../../server/trade/water.ts'
import { seededRandom } from './seeded-random.ts'

const micron = (value: number) => toPascals({ value, unit: 'micron' })
const minute = 60_000

type Curve = (minutes: number) => number

/** Decay readings of a curve in micron, one a minute, rounded to the gauge's step; noise as a part of the reading. */
function decay(
  curve: Curve,
  options: { minutes?: number; step?: number; noise?: number; seed?: number; every?: number } = {},
): EvacuationReading[] {
  const { minutes = 20, step = 1, noise = 0, seed = 1, every = 1 } = options
  const random = seededRandom(seed)
  const readings: EvacuationReading[] = []
  for (let at = 0; at <= minutes; at += every) {
    const shown = curve(at) * (1 + random.normal(0, noise))
    readings.push({
      atMs: at * minute,
      phase: 'decay',
      pressurePa: micron(Math.max(0, Math.round(shown / step) * step)),
    })
  }
  return readings
}

function evacuation(readings: EvacuationReading[], change: Partial<Evacuation> = {}): Evacuation {
  return {
    readings: [{ atMs: -minute, phase: 'pull', pressurePa: micron(300), temperatureK: 293.15 }, ...readings],
    targetPa: EVACUATION_BUILT_IN.targetPa,
    limitPa: EVACUATION_BUILT_IN.limitPa,
    holdS: EVACUATION_BUILT_IN.holdS,
    gaugeResolutionPa: micron(1),
    volumeM3: 0.002,
    ...change,
  }
}
const judge = (readings: EvacuationReading[], change: Partial<Evacuation> = {}) =>
  judgeEvacuation(evacuation(readings, change))
const codes = (judged: { reasons: { code: string }[] }) => judged.reasons.map((reason) => reason.code)
const noted = (judged: { notes: { code: string }[] }) => judged.notes.map((note) => note.code)
const saturating =
  (start: number, rise: number, tau: number): Curve =>
  (t) =>
    start + rise * (1 - Math.exp(-t / tau))

describe('the built-in figures', () => {
  it('are 500 micron, 10 minutes, 1500 micron and an hour', () => {
    // IEC/UL/CSA 60335-2-40 instruction set as manuals print it; 500 micron = 66.66 Pa, 1500 micron = 200.0 Pa.
    expect(EVACUATION_BUILT_IN.targetPa).toBeCloseTo(66.66, 2)
    expect(EVACUATION_BUILT_IN.limitPa).toBeCloseTo(199.98, 2)
    expect(EVACUATION_BUILT_IN.holdS).toBe(600)
    expect(EVACUATION_BUILT_IN.horizonS).toBe(3600)
  })
})

describe('the shapes of a decay', () => {
  it.each([
    ['level', () => 350, 'tight'],
    ['line', (t: number) => 350 + 5 * t, 'tight'],
    ['line', (t: number) => 350 + 80 * t, 'leak'],
    ['saturating', saturating(300, 400, 4), 'tight'],
    ['saturating', saturating(300, 5000, 5), 'moisture'],
    ['both', (t: number) => saturating(300, 400, 3)(t) + 60 * t, 'leak'],
  ] as [string, Curve, string][])('%s is found and judged', (kind, curve, verdict) => {
    const judged = judge(decay(curve, { noise: 0.005 }))
    expect(judged.curve?.kind).toBe(kind)
    expect(judged.verdict).toBe(verdict)
    expect(judged.fits.map((fit) => fit.kind)).toEqual(['level', 'line', 'saturating', 'both'])
    expect(Math.min(...judged.fits.map((fit) => fit.aiccDifference ?? Number.NaN))).toBe(0)
  })

  it('finds the numbers a curve was made of', () => {
    const judged = judge(
      decay((t) => saturating(300, 900, 5)(t) + 20 * t, { minutes: 40, step: 0.01 }),
      { gaugeResolutionPa: micron(0.01) },
    )
    expect(judged.curve?.kind).toBe('both')
    expect((judged.curve?.startPressurePa ?? 0) / micron(1)).toBeCloseTo(300, 0)
    expect(((judged.curve?.risePaPerS ?? 0) * 60) / micron(1)).toBeCloseTo(20, 1)
    expect((judged.curve?.plateauPa ?? 0) / micron(1)).toBeCloseTo(1200, -1)
    expect((judged.curve?.timeConstantS ?? 0) / 60).toBeCloseTo(5, 1)
    expect(judged.leakRatePaM3PerS).toBeCloseTo((0.002 * micron(20)) / 60, 6)
    expect(judged.riseInHoldPa).toBeCloseTo(micron(900 * (1 - Math.exp(-8)) + 800), 0)
    expect(judged.lowestPressurePa).toBeCloseTo(micron(300), 9)
  })

  it('draws the curve from isolation to the horizon, or to the last reading when that is later', () => {
    const short = judge(decay(() => 350)).curve?.points ?? []
    expect(short[0]?.timeS).toBe(0)
    expect(short.at(-1)?.timeS).toBe(3600)
    expect(judge(decay(() => 350, { minutes: 90 })).curve?.points.at(-1)?.timeS).toBe(5400)
  })

  it('does not call one step of the gauge a slope', () => {
    const judged = judge(
      decay((t) => (t < 10 ? 350 : 360)),
      { gaugeResolutionPa: micron(10) },
    )
    expect(judged.curve?.kind).toBe('level')
    expect(judged.verdict).toBe('tight')
  })
})

describe('the verdict', () => {
  it.each([
    [
      'a wet line that levels off at water’s own pressure',
      saturating(300, 17000, 3),
      'moisture',
      'plateau-above-limit',
    ],
    ['a level higher than water can give', saturating(300, 40000, 3), 'cannot-tell', 'plateau-above-water'],
    ['a fast straight rise', (t: number) => 300 + 1000 * t, 'leak', 'slope-carries-over-limit'],
    [
      'a rise that just passes the limit in the hour',
      (t: number) => 300 + 25 * t,
      'leak',
      'slope-carries-over-limit',
    ],
  ] as [string, Curve, string, string][])('%s', (_, curve, verdict, code) => {
    const judged = judge(decay(curve, { noise: 0.005, minutes: 20 }))
    expect(judged.verdict).toBe(verdict)
    expect(codes(judged)).toContain(code)
  })

  it.each([
    ['a hold of nine minutes', decay(() => 350, { minutes: 9 }), {}, 'hold-too-short'],
    ['a target that was not reached', decay(() => 600), { readings: decay(() => 600) }, 'target-not-reached'],
    ['a coarse gauge', decay(() => 350), { gaugeResolutionPa: micron(51) }, 'gauge-too-coarse'],
    ['a compound gauge', decay(() => 350), { gaugeIsCompound: true }, 'gauge-too-coarse'],
    ['two readings', decay(() => 350, { minutes: 10, every: 10 }), {}, 'too-few-readings'],
    [
      'five readings that rise',
      decay((t) => 350 + 30 * t, { minutes: 20, every: 5 }),
      {},
      'too-few-readings',
    ],
    ['no decay at all', [], {}, 'too-few-readings'],
    [
      'a noisy short decay',
      decay(() => 350, { minutes: 10, noise: 0.2 }),
      { limitPa: micron(600) },
      'horizon-not-excluded',
    ],
  ] as [string, EvacuationReading[], Partial<Evacuation>, string][])(
    'can’t tell with %s',
    (_, readings, change, code) => {
      const judged = judge(readings, change)
      expect(judged.verdict).toBe('cannot-tell')
      expect(codes(judged)).toContain(code)
    },
  )

  it('accepts a gauge of exactly a tenth of the target', () => {
    expect(
      judge(
        decay(() => 350),
        { gaugeResolutionPa: EVACUATION_BUILT_IN.targetPa / 10 },
      ).verdict,
    ).toBe('tight')
  })

  it('three to six readings are tight when even a straight line stays below', () => {
    const few = (rise: number) => judge(decay((t) => 350 + rise * t, { minutes: 20, every: 5 }))
    expect(few(2)).toMatchObject({ verdict: 'tight', reasons: [] })
    expect(few(21).verdict).toBe('cannot-tell')
    expect(few(0).curve?.kind).toBe('line')
    expect(judge(decay(() => 350, { minutes: 8, every: 2 })).verdict).toBe('cannot-tell')
  })

  it('never below the limit is not moisture', () => {
    const judged = judge(
      decay(() => 1700),
      { readings: decay(() => 1700) },
    )
    expect(judged.verdict).toBe('cannot-tell')
    expect(codes(judged)).toEqual(['target-not-reached', 'never-below-limit'])
  })

  it('a level above the limit after a good vacuum is moisture', () => {
    expect(judge(decay(() => 5000, { noise: 0.01 })).verdict).toBe('moisture')
  })

  it('a policy’s leak rate is met by a slope that the limit would allow', () => {
    const readings = decay((t) => 350 + 5 * t)
    const slope = micron(5) / 60
    expect(judge(readings, { policyLeakRatePaM3PerS: 0.002 * slope * 0.5 })).toMatchObject({
      verdict: 'leak',
    })
    expect(codes(judge(readings, { policyLeakRatePaM3PerS: 0.002 * slope * 0.5 }))).toEqual([
      'slope-above-policy',
    ])
    expect(judge(readings, { policyLeakRatePaM3PerS: 0.002 * slope * 2 }).verdict).toBe('tight')
  })

  it('says how many more minutes would decide', () => {
    const short = judge(decay((t) => 350 + t, { minutes: 8 }))
    expect(short.verdict).toBe('cannot-tell')
    expect(short.minutesToDecide).toBeGreaterThanOrEqual(2)
    expect(short.minutesToDecide).toBeLessThanOrEqual(5)
    const noisy = judge(
      decay(() => 350, { minutes: 10, noise: 0.2 }),
      { limitPa: micron(600) },
    )
    expect(noisy.minutesToDecide).toBeGreaterThan(3)
    expect(judge(decay(() => 350)).minutesToDecide).toBeNull()
    expect(
      judge(
        decay(() => 350),
        { gaugeIsCompound: true },
      ).minutesToDecide,
    ).toBeNull()
  })

  it('says which slope stays unseen, and the pressure not exceeded at the horizon', () => {
    const judged = judge(decay(() => 350, { noise: 0.01, minutes: 30 }))
    expect(judged.unseenSlopePaPerS).toBeGreaterThan(0)
    expect(judged.horizonUpperPa).toBeGreaterThan(micron(350))
    expect(judged.horizonUpperPa).toBeLessThan(micron(450))
    const longer = judge(decay(() => 350, { noise: 0.01, minutes: 60 }))
    expect(longer.unseenSlopePaPerS).toBeLessThan(judged.unseenSlopePaPerS ?? 0)
  })
})

describe('water and ice', () => {
  it('takes the warmest temperature for the ceiling', () => {
    const readings = decay(() => 350).map((one, index) => ({ ...one, temperatureK: 280 + index }))
    expect(judge(readings).waterCeilingPa).toBeCloseTo(waterVapourPressure(300), 6)
    expect(judge(readings, { warmestTemperatureK: 310 }).waterCeilingPa).toBeCloseTo(
      waterVapourPressure(310),
      6,
    )
  })

  it('assumes 20 °C where no temperature is on record, and says so', () => {
    const readings = [{ atMs: -minute, phase: 'pull', pressurePa: micron(300) } as const, ...decay(() => 350)]
    const judged = judge([], { readings })
    expect(judged.waterCeilingPa).toBeCloseTo(waterVapourPressure(293.15), 6)
    expect(noted(judged)).toContain('temperature-assumed')
  })

  it('says that ice can hide below the limit: at −15 °C it never passes 1240 micron', () => {
    const judged = judge(decay(saturating(300, 930, 3)), { warmestTemperatureK: 258.15 })
    expect(noted(judged)).toEqual(expect.arrayContaining(['below-freezing', 'ice-hides-moisture']))
    expect(judged.waterPhase).toBe('ice')
    expect(
      noted(
        judge(
          decay(() => 350),
          { warmestTemperatureK: 270 },
        ),
      ),
    ).not.toContain('ice-hides-moisture')
  })

  it('never calls a plateau moisture where water’s pressure is not known', () => {
    const judged = judge(decay(saturating(300, 5000, 3)), { warmestTemperatureK: 340 })
    expect(judged.verdict).toBe('cannot-tell')
    expect(judged.waterCeilingPa).toBeNull()
    expect(noted(judged)).toContain('temperature-outside-water-range')
  })
})

describe('readings as they come', () => {
  const tidy = decay((t) => saturating(300, 400, 4)(t), { noise: 0.01, minutes: 30 })

  it('are the same in any order', () => {
    const random = seededRandom(3)
    const shuffled = [...tidy]
      .map((one) => ({ one, key: random.between(0, 1) }))
      .sort((a, b) => a.key - b.key)
    expect(judge(shuffled.map(({ one }) => one))).toEqual(judge(tidy))
  })

  it('taken twice at one moment are averaged and said so', () => {
    const judged = judge([...tidy, ...tidy])
    expect(judged.verdict).toBe(judge(tidy).verdict)
    expect(judged.curve?.startPressurePa).toBeCloseTo(judge(tidy).curve?.startPressurePa ?? Number.NaN, 9)
    expect(noted(judged)).toContain('readings-merged')
  })

  it.each([5000, 20])('one bad reading of %d micron is set aside and named', (wrong) => {
    const readings = tidy.map((one, index) => (index === 12 ? { ...one, pressurePa: micron(wrong) } : one))
    const judged = judge(readings)
    expect(judged.verdict).toBe('tight')
    expect(noted(judged)).toContain('reading-set-aside')
    expect(judged.notes.find((note) => note.code === 'reading-set-aside')?.text).toMatch(/12\.0 min/)
  })

  it('two bad readings are not explained away', () => {
    const readings = tidy.map((one, index) =>
      index === 12 || index === 20 ? { ...one, pressurePa: micron(5000) } : one,
    )
    expect(judge(readings).verdict).toBe('cannot-tell')
  })

  it('a last reading that jumps is not set aside: it may be the beginning of something', () => {
    const readings = tidy.map((one, index) =>
      index === tidy.length - 1 ? { ...one, pressurePa: micron(5000) } : one,
    )
    expect(judge(readings).verdict).not.toBe('tight')
  })

  it('suspects only readings that really lie off the curve', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1e6 }),
        fc.double({ min: 0, max: 0.05, noNaN: true }),
        fc.double({ min: 1, max: 20, noNaN: true }),
        (seed, noise, tau) => {
          const points = decay(saturating(300, 800, tau), { noise, seed, minutes: 30 }).map((one) => ({
            timeS: one.atMs / 1000,
            pressurePa: one.pressurePa,
          }))
          const bad = findBadReading(points, micron(1))
          if (bad !== null)
            expect(
              Math.abs((points[bad]?.pressurePa ?? 0) / micron(saturating(300, 800, tau)(bad)) - 1),
            ).toBeGreaterThan(2 * noise)
        },
      ),
      { numRuns: 200 },
    )
  })

  it('only the last decay is judged, and the lowest pressure since the last break', () => {
    const leaky = decay((t) => 300 + 100 * t)
    const later = (one: EvacuationReading): EvacuationReading => ({ ...one, atMs: one.atMs + 100 * minute })
    const second: EvacuationReading[] = [
      { atMs: 50 * minute, phase: 'break', pressurePa: 1.1e5 },
      { atMs: 99 * minute, phase: 'pull', pressurePa: micron(280) },
      ...decay(() => 350).map(later),
    ]
    const judged = judge([...leaky, ...second])
    expect(judged.verdict).toBe('tight')
    expect(judged.isolatedAtMs).toBe(100 * minute)
    expect(judged.lowestPressurePa).toBeCloseTo(micron(280), 9)
    expect(noted(judged)).toContain('earlier-decay-not-judged')
  })

  it('pressures falling after isolation are no leak', () => {
    expect(judge(decay((t) => 450 - 3 * t, { noise: 0.003 })).verdict).toBe('tight')
  })
})

describe('what an evacuation in order says', () => {
  it('has no reasons, and notes nothing that did not happen', () => {
    const judged = judge(decay(() => 350))
    expect(judged.verdict).toBe('tight')
    expect(judged.reasons).toEqual([])
    expect(judged.notes).toEqual([])
  })

  it('holds at exactly the time required', () => {
    expect(judge(decay(() => 350, { minutes: 10 })).verdict).toBe('tight')
    const short = judge(
      decay(() => 350, { minutes: 10 }),
      { holdS: 601 },
    )
    expect(codes(short)).toEqual(['hold-too-short'])
    expect(short.reasons[0]?.text).toContain('Isolated for 10.0 min of the 10 min required')
    expect(
      judge(
        decay(() => 350, { minutes: 10 }),
        { holdS: 1200 },
      ).reasons[0]?.text,
    ).toContain('Isolated for 10.0 min of the 20 min required')
  })

  it('names pressures in micron', () => {
    const judged = judge(decay((t) => 300 + 100 * t))
    expect(judged.reasons[0]?.text).toContain('passes 1500 micron within 60 min')
    const high = judge(
      decay(() => 800),
      {
        readings: [
          { atMs: -minute, phase: 'pull', pressurePa: micron(800), temperatureK: 293.15 },
          ...decay(() => 800),
        ],
      },
    )
    expect(high.reasons[0]?.text).toContain(
      'The lowest pressure was 800 micron, above the target of 500 micron',
    )
  })
})

describe('the rise while isolated', () => {
  it('is the last reading less the first, and none of one reading or of none', () => {
    expect(judge(decay((t) => 300 + 10 * t)).riseInHoldPa).toBeCloseTo(micron(200), 9)
    expect(judge(decay(() => 300).slice(0, 1)).riseInHoldPa).toBeNull()
    const none = judge([])
    expect(none).toMatchObject({ riseInHoldPa: null, fits: [], curve: null, isolatedAtMs: null, holdS: 0 })
  })
})

describe('the least number of readings', () => {
  it('seven straight ones are called a leak, six are too few', () => {
    const leaky = (count: number) => decay((t) => 300 + 100 * t, { minutes: 2 * (count - 1), every: 2 })
    expect(judge(leaky(7)).verdict).toBe('leak')
    const six = judge(leaky(6))
    expect(six.verdict).toBe('cannot-tell')
    expect(codes(six)).toContain('too-few-readings')
  })

  it('minutes still needed are said from seven readings on', () => {
    const slow = (count: number) => decay((t) => 300 + 22 * t, { minutes: count - 1, noise: 0.02, seed: 3 })
    expect(judge(slow(7))).toMatchObject({ verdict: 'cannot-tell', minutesToDecide: expect.any(Number) })
    expect(judge(slow(6))).toMatchObject({ verdict: 'cannot-tell', minutesToDecide: null })
  })

  it('of few readings the gauge’s step counts against them', () => {
    // 400 to 582 micron in ten minutes is 1492 after an hour; with a step of 5 micron it may be 1522.
    const few = decay((t) => 400 + 18.2 * t, { minutes: 10, every: 5 })
    expect(judge(few, { gaugeResolutionPa: micron(0.1) }).verdict).toBe('tight')
    const coarse = judge(few, { gaugeResolutionPa: micron(5) })
    expect(coarse.verdict).toBe('cannot-tell')
    expect(coarse.horizonUpperPa).toBeCloseTo(micron(400 + (187 / 10) * 60), 6)
    expect(coarse.unseenSlopePaPerS).toBeCloseTo(micron(187) / 600, 9)
  })
})

it('a bend that a straight line explains almost as well is called neither moisture nor leak', () => {
  const judged = judge(decay(saturating(290, 3450, 11.5), { minutes: 8, noise: 0.03, seed: 2 }), {
    holdS: 300,
  })
  expect(judged.curve?.kind).toBe('saturating')
  expect(judged.curve?.plateauPa).toBeGreaterThan(EVACUATION_BUILT_IN.limitPa)
  expect(judged).toMatchObject({ verdict: 'cannot-tell', minutesToDecide: expect.any(Number) })
  expect(codes(judged)).toEqual(['straight-or-bending'])
})

describe('what was pulled to', () => {
  const decayAfter = (...before: EvacuationReading[]) =>
    judge([], { readings: [...before, ...decay(() => 850)], targetPa: micron(500) })

  it('is the lowest since nitrogen was last let in', () => {
    const judged = decayAfter(
      { atMs: -90 * minute, phase: 'pull', pressurePa: micron(300) },
      { atMs: -60 * minute, phase: 'break', pressurePa: 1.1e5 },
      { atMs: -1 * minute, phase: 'pull', pressurePa: micron(800) },
    )
    expect(judged.lowestPressurePa).toBeCloseTo(micron(800), 9)
    expect(codes(judged)).toContain('target-not-reached')
  })

  it('is not what stood between two pulls', () => {
    const judged = decayAfter(
      { atMs: -90 * minute, phase: 'pull', pressurePa: micron(900) },
      { atMs: -60 * minute, phase: 'decay', pressurePa: micron(450) },
      { atMs: -1 * minute, phase: 'pull', pressurePa: micron(800) },
    )
    expect(judged.lowestPressurePa).toBeCloseTo(micron(800), 9)
    expect(noted(judged)).toContain('earlier-decay-not-judged')
  })

  it('is the first reading of a decay where nothing was written down of the pull', () => {
    expect(decayAfter().lowestPressurePa).toBeCloseTo(micron(850), 9)
  })
})

it('readings a fraction of a millisecond apart are of one moment', () => {
  const readings = decay(() => 350)
  const twice = [...readings, { atMs: 5 * minute + 1e-9, phase: 'decay' as const, pressurePa: micron(352) }]
  const judged = judge(twice)
  expect(noted(judged)).toEqual(['readings-merged'])
  expect(judged.verdict).toBe('tight')
  // A whole millisecond is another moment.
  expect(
    noted(judge([...readings, { atMs: 5 * minute + 1, phase: 'decay', pressurePa: micron(350) }])),
  ).toEqual([])
})

describe('for any input that passes', () => {
  it('no number is NaN or infinite, and a verdict other than tight has a reason', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.record({
            at: fc.integer({ min: 0, max: 90 }),
            micron: fc.double({ min: 0, max: 30000, noNaN: true }),
          }),
          { maxLength: 25 },
        ),
        fc.constantFrom(0, 1, 10, 50),
        fc.double({ min: 240, max: 330, noNaN: true }),
        (raw, step, warmestTemperatureK) => {
          const readings = raw.map(
            ({ at, micron: value }): EvacuationReading => ({
              atMs: at * minute,
              phase: 'decay',
              pressurePa: micron(value),
            }),
          )
          const judged = judge(readings, { gaugeResolutionPa: micron(step), warmestTemperatureK })
          const walk = (value: unknown): void => {
            if (typeof value === 'number') expect(Number.isFinite(value)).toBe(true)
            else if (Array.isArray(value)) value.forEach(walk)
            else if (value && typeof value === 'object') Object.values(value).forEach(walk)
          }
          walk(judged)
          expect(judged.verdict === 'tight').toBe(judged.reasons.length === 0)
          if (judged.verdict === 'tight')
            for (const reading of readings)
              expect(reading.pressurePa).toBeLessThanOrEqual(3 * EVACUATION_BUILT_IN.limitPa + 5e3)
        },
      ),
      { numRuns: 150 },
    )
  })

  it('does not depend on the unit or the moment it started', () => {
    const readings = decay((t) => saturating(300, 400, 4)(t) + 3 * t, { noise: 0.02, minutes: 30 })
    const one = judge(readings)
    const moved = judgeEvacuation({
      ...evacuation(readings),
      readings: evacuation(readings).readings.map((r) => ({ ...r, atMs: r.atMs + 1.7e12 })),
    })
    expect(moved.verdict).toBe(one.verdict)
    expect(moved.curve?.risePaPerS).toBeCloseTo(one.curve?.risePaPerS ?? Number.NaN, 12)
  })

  it('a steeper rise never gets a better verdict', () => {
    const order = { tight: 0, 'cannot-tell': 1, moisture: 1, leak: 2 }
    for (const seed of [1, 2, 3, 4, 5]) {
      let before = 0
      for (const rise of [0, 5, 10, 15, 18, 22, 30, 60, 150]) {
        const rank = order[judge(decay((t) => 300 + rise * t, { noise: 0.01, seed, minutes: 20 })).verdict]
        expect(rank).toBeGreaterThanOrEqual(before)
        before = rank
      }
    }
  })

  it.each([
    ['a negative pressure', { readings: [{ atMs: 0, phase: 'decay', pressurePa: -1 }] }],
    ['a pressure that is no number', { readings: [{ atMs: 0, phase: 'decay', pressurePa: Number.NaN }] }],
    ['ten atmospheres', { readings: [{ atMs: 0, phase: 'decay', pressurePa: 1.1e6 }] }],
    ['a time that is no number', { readings: [{ atMs: Number.NaN, phase: 'decay', pressurePa: 1 }] }],
    ['a temperature of nothing', { readings: [{ atMs: 0, phase: 'decay', pressurePa: 1, temperatureK: 0 }] }],
    ['a target of nothing', { targetPa: 0 }],
    ['a limit of nothing', { limitPa: 0 }],
    ['a negative hold', { holdS: -1 }],
    ['a horizon of nothing', { horizonS: 0 }],
    ['a negative step', { gaugeResolutionPa: -1 }],
    ['a volume of nothing', { volumeM3: 0 }],
    ['a leak rate of nothing', { policyLeakRatePaM3PerS: 0 }],
  ] as [string, Partial<Evacuation>][])('refuses %s', (_, change) => {
    expect(() => judgeEvacuation({ ...evacuation(decay(() => 350)), ...change })).toThrow(OutsideValidity)
  })
})

describe('the fits themselves', () => {
  it('cover the true pressure at the horizon at least 95 times in a hundred for straight rises', () => {
    const random = seededRandom(99)
    let covered = 0
    let slopeBelow = 0
    const tries = 600
    for (let index = 0; index < tries; index += 1) {
      const slope = random.between(0, 0.3)
      const points = Array.from({ length: 21 }, (_, at) => ({
        timeS: at * 60,
        pressurePa: (50 + slope * at * 60) * (1 + random.normal(0, 0.02)),
      }))
      const line = fitDecay(points, { gaugeResolutionPa: 0.1, horizonS: 3600 }).fits.find(
        (fit) => fit.shape === 'line',
      )
      if ((line?.atHorizonPa.high ?? 0) >= 50 + slope * 3600) covered += 1
      if ((line?.slopePaPerS.low ?? 1) <= slope) slopeBelow += 1
    }
    // One-sided 95 %, within three standard errors of the simulation.
    expect(covered / tries).toBeGreaterThan(0.95 - 3 * Math.sqrt((0.95 * 0.05) / tries))
    expect(slopeBelow / tries).toBeGreaterThan(0.95 - 3 * Math.sqrt((0.95 * 0.05) / tries))
  })

  it('the bounds of the shape with everything cover its slope', () => {
    const random = seededRandom(100)
    let below = 0
    let above = 0
    const tries = 300
    for (let index = 0; index < tries; index += 1) {
      const slope = random.between(0.01, 0.2)
      const theta = random.between(120, 500)
      const points = Array.from({ length: 41 }, (_, at) => ({
        timeS: at * 60,
        pressurePa:
          (50 + slope * at * 60 + 80 * (1 - Math.exp((-at * 60) / theta))) * (1 + random.normal(0, 0.02)),
      }))
      const both = fitDecay(points, { gaugeResolutionPa: 0.1, horizonS: 3600 }).fits.find(
        (fit) => fit.shape === 'both',
      )
      if ((both?.slopePaPerS.low ?? 1) <= slope) below += 1
      if ((both?.slopePaPerS.high ?? 0) >= slope) above += 1
    }
    expect(below / tries).toBeGreaterThan(0.95 - 3 * Math.sqrt((0.95 * 0.05) / tries))
    expect(above / tries).toBeGreaterThan(0.95 - 3 * Math.sqrt((0.95 * 0.05) / tries))
  })

  const exact = (curve: (timeS: number) => number, count = 41, gapS = 60) =>
    fitDecay(
      Array.from({ length: count }, (_, index) => ({ timeS: index * gapS, pressurePa: curve(index * gapS) })),
      { gaugeResolutionPa: 0.01, horizonS: 3600 },
    )

  it.each([
    ['level', () => 60],
    ['line', (timeS: number) => 50 + 0.1 * timeS],
    ['saturating', (timeS: number) => 40 + 90 * (1 - Math.exp(-timeS / 400))],
    ['both', (timeS: number) => 40 + 90 * (1 - Math.exp(-timeS / 300)) + 0.05 * timeS],
  ] as [string, (timeS: number) => number][])(
    'follow a %s curve they were made of, also between and beyond',
    (shape, curve) => {
      const { chosen } = exact(curve)
      expect(chosen?.shape).toBe(shape)
      for (const timeS of [0, 90, 1230, 2400, 3600]) expect(chosen?.at(timeS)).toBeCloseTo(curve(timeS), 0)
      expect(chosen?.atHorizonPa.estimate).toBeCloseTo(curve(3600), 0)
      expect(chosen?.startPressurePa).toBeCloseTo(curve(0), 0)
    },
  )

  it('have a slope where the shape has one, and none elsewhere', () => {
    const { fits } = exact((timeS) => 50 + 0.1 * timeS)
    const slope = (shape: string) => fits.find((fit) => fit.shape === shape)?.slopePaPerS
    expect(slope('level')).toEqual({ estimate: 0, low: 0, high: 0 })
    expect(slope('saturating')).toEqual({ estimate: 0, low: 0, high: 0 })
    expect(slope('line')?.estimate).toBeCloseTo(0.1, 6)
    expect(slope('both')?.high).toBeGreaterThan(0.09)
  })

  it('say how the scatter compares with the gauge’s: about one at two per cent, about a half at one', () => {
    const random = seededRandom(101)
    const scale = (noise: number) => {
      const points = Array.from({ length: 200 }, (_, index) => ({
        timeS: index * 30,
        pressurePa: 60 * (1 + random.normal(0, noise)),
      }))
      return fitDecay(points, { gaugeResolutionPa: 0.01, horizonS: 7200, steps: 8 }).fits[0]?.scale ?? 0
    }
    expect(scale(0.02)).toBeGreaterThan(0.9)
    expect(scale(0.02)).toBeLessThan(1.1)
    expect(scale(0.01)).toBeGreaterThan(0.45)
    expect(scale(0.01)).toBeLessThan(0.55)
  })

  it.each([
    [2, ['level', 'line']],
    [4, ['level', 'line']],
    [5, ['level', 'line', 'saturating']],
    [6, ['level', 'line', 'saturating', 'both']],
    [9, ['level', 'line', 'saturating', 'both']],
  ])('of %d readings are %j', (count, shapes) => {
    const { fits } = exact((timeS) => 40 + 90 * (1 - Math.exp(-timeS / 100)) + 0.02 * timeS, count)
    expect(fits.map((fit) => fit.shape)).toEqual(shapes)
  })

  it('without any bend the bent shapes end at the simpler ones', () => {
    // Bending upwards: neither a saturating part nor a level helps.
    const { fits } = exact((timeS) => 50 + 1e-5 * timeS ** 2, 21)
    const of = (shape: string) => fits.find((fit) => fit.shape === shape)
    expect(of('saturating')?.saturatingRisePa).toBeGreaterThanOrEqual(0)
    expect(of('both')?.slopePaPerS.estimate).toBeCloseTo(of('line')?.slopePaPerS.estimate ?? Number.NaN, 9)
    // Falling: even the slope is left out, and the level remains.
    const falling = exact((timeS) => 80 - 0.01 * timeS, 21).fits
    expect(falling.find((fit) => fit.shape === 'both')?.slopePaPerS.estimate).toBe(0)
    expect(falling.find((fit) => fit.shape === 'saturating')?.timeConstantS).toBeNull()
  })

  it('find a bend that is over within the first short gap of uneven readings', () => {
    const times = [0, 4, 9, 15, 60, 180, 360, 600, 900, 1200]
    const curve = (timeS: number) => 40 + 60 * (1 - Math.exp(-timeS / 5))
    const { chosen } = fitDecay(
      times.map((timeS) => ({ timeS, pressurePa: curve(timeS) })),
      { gaugeResolutionPa: 0.01, horizonS: 3600 },
    )
    expect(chosen?.shape).toBe('saturating')
    expect(chosen?.timeConstantS).toBeGreaterThan(4)
    expect(chosen?.timeConstantS).toBeLessThan(6)
    expect(chosen?.plateauPa?.estimate).toBeCloseTo(100, 0)
  })

  it('never let a leak flow outwards, nor a bend fall', () => {
    // Up to a level, and slowly down from there.
    const { fits } = exact((timeS) => 40 + 60 * (1 - Math.exp(-timeS / 120)) - 0.005 * timeS, 21)
    for (const fit of fits.filter(({ shape }) => shape === 'saturating' || shape === 'both')) {
      expect(fit.saturatingRisePa).toBeGreaterThanOrEqual(0)
      expect(fit.slopePaPerS.estimate).toBeGreaterThanOrEqual(0)
    }
  })

  it('bound a level by its scatter alone: two hundred readings of 2 % leave about 0.2 %', () => {
    const random = seededRandom(104)
    const points = Array.from({ length: 200 }, (_, index) => ({
      timeS: index * 30,
      pressurePa: 60 * (1 + random.normal(0, 0.02)),
    }))
    const { fits } = fitDecay(points, { gaugeResolutionPa: 0.01, horizonS: 7200, steps: 8 })
    const half = (shape: string) => {
      const at = fits.find((fit) => fit.shape === shape)?.atHorizonPa
      return (at?.high ?? 0) - (at?.estimate ?? 0)
    }
    // 1.65 · 2 % · 60 Pa / √200 for the level; a line carried on to a fifth beyond its end, 2.3 times as much.
    expect(half('level')).toBeGreaterThan(0.12)
    expect(half('level')).toBeLessThan(0.16)
    expect(half('line')).toBeGreaterThan(2.1 * half('level'))
    expect(half('line')).toBeLessThan(2.9 * half('level'))
  })

  describe('that bend too slowly to be seen', () => {
    const slow = (
      curve: (timeS: number) => number,
      options: { count?: number; ceilingPa?: number; noise?: number } = {},
    ) => {
      const { count = 21, ceilingPa, noise = 0 } = options
      const random = seededRandom(103)
      return fitDecay(
        Array.from({ length: count }, (_, index) => ({
          timeS: index * 60,
          pressurePa: curve(index * 60) * (1 + random.normal(0, noise)),
        })),
        { gaugeResolutionPa: 0.01, horizonS: 3600, ...(ceilingPa === undefined ? {} : { ceilingPa }) },
      )
    }
    // Twenty minutes are watched; a third of the bend is over by then. The level is 440 Pa.
    const bend = (timeS: number) => 40 + 400 * (1 - Math.exp(-timeS / 3600))
    const lineOf = (found: ReturnType<typeof slow>) =>
      found.fits.find((fit) => fit.shape === 'line')?.aicc ?? Number.NaN

    it('cast their doubt where they fit better than a straight line', () => {
      const found = slow(bend)
      expect(found.slowBendAicc).toBeLessThan(lineOf(found) - 10)
      // Where the rise is straight, they fit no better.
      const straight = slow((timeS) => 40 + 0.1 * timeS, { noise: 0.02 })
      expect(straight.slowBendAicc).toBeGreaterThan(lineOf(straight) - 4)
    })

    it('only up to the ceiling', () => {
      const free = slow(bend)
      expect(slow(bend, { ceilingPa: 500 }).slowBendAicc).toBe(free.slowBendAicc)
      const low = slow(bend, { ceilingPa: 300 }).slowBendAicc
      expect(low === null || low > (free.slowBendAicc ?? 0) + 5).toBe(true)
      expect(slow(bend, { ceilingPa: 60 }).slowBendAicc).toBeNull()
    })

    it('never downwards, and only from five readings on', () => {
      expect(slow((timeS) => 80 - 0.01 * timeS).slowBendAicc).toBeNull()
      expect(slow(bend, { count: 4 }).slowBendAicc).toBeNull()
      // Five readings are no more than the corrected criterion can count with.
      expect(slow(bend, { count: 5 }).slowBendAicc).toBeNull()
      expect(slow(bend, { count: 6 }).slowBendAicc).not.toBeNull()
    })

    it('so that moisture far from its level is not called a leak', () => {
      const judged = judge(decay(saturating(300, 4000, 40), { minutes: 15, noise: 0.002, seed: 4 }))
      expect(judged.curve?.kind).not.toBe('saturating')
      expect(judged.verdict).toBe('cannot-tell')
      expect(codes(judged)).toContain('straight-or-bending')
    })
  })

  it('have no AICc where there are too few readings for a shape', () => {
    const points = [0, 60, 120, 180].map((timeS) => ({ timeS, pressurePa: 50 + timeS / 100 }))
    const { fits, chosen } = fitDecay(points, { gaugeResolutionPa: 0.1, horizonS: 3600 })
    expect(fits.map((fit) => fit.shape)).toEqual(['level', 'line'])
    expect(fits[1]?.aicc).toBeNull()
    expect(chosen?.shape).toBe('level')
  })
})
