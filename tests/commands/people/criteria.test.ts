// Which criteria are looser than the built-in ones, what bounds have they, and how do they come and go?

import { describe, expect, it } from 'vitest'
import { criteria, criteriaJson, sentPath, sentValue } from '../../../server/commands/people/criteria.ts'
import { looserThanBuiltIn } from '../../../server/rules/looser-criteria.ts'
import { BUILT_IN_POLICY, EVIDENCE_PHOTOS, type Policy } from '../../../server/rules/policy.ts'

/** The built-in policy with one thing set at a path. */
function withSet(path: string, value: unknown): Policy {
  const policy = structuredClone(BUILT_IN_POLICY) as unknown as Record<string, unknown>
  const names = path.split('.')
  const last = names.pop() ?? ''
  let at = policy
  for (const name of names) at = at[name] as Record<string, unknown>
  at[last] = value
  return policy as unknown as Policy
}

const MICRON = 101_325 / 760_000

describe('criteria that ask less than the built-in ones', () => {
  it('are none in the built-in policy itself', () => expect(looserThanBuiltIn(BUILT_IN_POLICY)).toEqual([]))

  it.each([
    ['pressure.holdS', 3599, 3601],
    ['pressure.settleS', 0, 900],
    ['pressure.bandFraction', 0.02, 0.005],
    ['pressure.bandMinimumPa', 30_000, 10_000],
    ['pressure.temperatureFollowing', 0.2, 1],
    ['vacuum.targetPa', 600 * MICRON, 200 * MICRON],
    ['vacuum.limitPa', 2000 * MICRON, 1000 * MICRON],
    ['vacuum.holdS', 300, 1200],
    ['vacuum.horizonS', 1800, 7200],
    ['charge.toleranceMinimumKg', 0.05, 0.01],
    ['charge.toleranceFraction', 0.05, 0.01],
    ['running.steadyS', 600, 1200],
    ['running.subcoolingToleranceK', 2, 1],
    ['running.superheatToleranceK', 3, 2],
    ['confirmationDays.torque-wrench', 400, 100],
    ['confirmationDays.leak-detector', null, 1],
    ['confirmationDays.scale', null, 365],
    ['evidence.photos', ['gauge-at-start'], [...EVIDENCE_PHOTOS]],
    ['selfSignOff', true, false],
  ])('%s at %j, but not at %j', (path, looser, tighter) => {
    expect(looserThanBuiltIn(withSet(path, looser))).toEqual([
      { path, builtIn: sentValue(BUILT_IN_POLICY as never, path), set: looser },
    ])
    expect(looserThanBuiltIn(withSet(path, tighter))).toEqual([])
  })

  it('are those that let bubbles alone be enough', () => {
    const policy = withSet('bubbleSensitivity', { kgPerYear: 0.004, source: 'own trial of 12 May 2025' })
    expect(looserThanBuiltIn(policy)).toEqual([
      { path: 'bubbleSensitivity.kgPerYear', builtIn: null, set: 0.004 },
    ])
  })

  it.each([
    ['decisionRule', 'guarded'],
    ['torqueFamily', 'en-378-2'],
    ['gwpBasis', 'AR6'],
    ['personFigures', 'off'],
    ['handlerSchemes', ['Section 608']],
    ['vacuum.leakRatePaM3PerS', 1e-6],
    ['confirmationDays.tube-cutter', 365],
  ])('are not %s at %j, which is another choice or asks more', (path, value) =>
    expect(looserThanBuiltIn(withSet(path, value))).toEqual([]),
  )

  it('are named all, in one order', () => {
    const policy = withSet('selfSignOff', true)
    policy.pressure.holdS = 60
    policy.vacuum.limitPa = 400
    expect(looserThanBuiltIn(policy).map(({ path }) => path)).toEqual([
      'pressure.holdS',
      'vacuum.limitPa',
      'selfSignOff',
    ])
  })

  it('are not made by another unit or by rounding', () => {
    const sent = criteriaJson(BUILT_IN_POLICY)
    const typed = criteria.parse({
      ...sent,
      vacuum: {
        ...sent.vacuum,
        target: { value: 500, unit: 'micron' },
        limit: { value: 1500, unit: 'micron' },
        hold: { value: 10, unit: 'min' },
      },
      charge: { ...sent.charge, toleranceMinimum: { value: 1.05822, unit: 'oz' } },
      running: { ...sent.running, subcoolingTolerance: { value: 3, unit: 'degF.diff' } },
    })
    expect(looserThanBuiltIn(typed)).toEqual([])
  })
})

describe('criteria as they are sent', () => {
  it('come back as they went', () => {
    expect(criteria.parse(criteriaJson(BUILT_IN_POLICY))).toEqual(BUILT_IN_POLICY)
    const other: Policy = {
      ...BUILT_IN_POLICY,
      decisionRule: 'guarded',
      vacuum: { ...BUILT_IN_POLICY.vacuum, leakRatePaM3PerS: 2e-6 },
      bubbleSensitivity: { kgPerYear: 0.004, source: 'own trial' },
      handlerSchemes: ['Section 608', 'Regulation 2024/573'],
      evidence: { photos: ['unit-plates'] },
      torqueFamily: 'en-378-2',
      torqueSet: {
        source: 'our copy, 2016, table of flare torques',
        ranges: [{ tubeOdM: 0.00952, lowNm: 33, highNm: 42 }],
      },
    }
    expect(criteria.parse(criteriaJson(other))).toEqual(other)
  })

  it('are called by names without units', () => {
    const sent = criteriaJson(withSet('bubbleSensitivity', { kgPerYear: 0.004, source: 'own trial' }))
    const everything = structuredClone(BUILT_IN_POLICY)
    everything.bubbleSensitivity = { kgPerYear: 0.004, source: 'own trial' }
    everything.pressure = {
      ...everything.pressure,
      holdS: 1,
      settleS: 1,
      bandMinimumPa: 1e6,
      bandFraction: 1,
    }
    everything.pressure.temperatureFollowing = 0
    everything.vacuum = { ...everything.vacuum, targetPa: 1e6, limitPa: 1e6, holdS: 1, horizonS: 1 }
    everything.charge = { toleranceMinimumKg: 1, toleranceFraction: 1 }
    everything.running = { steadyS: 1, subcoolingToleranceK: 99, superheatToleranceK: 99 }
    everything.evidence = { photos: [] }
    everything.selfSignOff = true
    const looser = looserThanBuiltIn(everything)
    expect(looser).toHaveLength(17)
    for (const { path } of looser) expect(sentValue(sent, sentPath(path)), path).not.toBeNull()
  })

  const sent = () => structuredClone(criteriaJson(BUILT_IN_POLICY)) as unknown as Record<string, never>
  const problemsOf = (raw: unknown) =>
    criteria
      .safeParse(raw)
      .error?.issues.map((issue) =>
        (issue.code === 'unrecognized_keys' ? [...issue.path, ...issue.keys] : issue.path).join('.'),
      ) ?? []

  it.each([
    ['pressure.hold.unit', { value: 60, unit: 'bar' }, 'pressure.hold'],
    ['pressure.hold.value', { value: 10, unit: 's' }, 'pressure.hold'],
    ['pressure.hold.value', { value: -1, unit: 'h' }, 'pressure.hold'],
    ['pressure.hold.value', { value: 8, unit: 'days' }, 'pressure.hold', 'pressure.hold.unit'],
    ['pressure.hold.value', { value: '60', unit: 'min' }, 'pressure.hold'],
    ['pressure.hold', 3600, 'pressure.hold'],
    ['pressure.bandFraction', 0.2, 'pressure.bandFraction'],
    ['pressure.bandFraction', Number.NaN, 'pressure.bandFraction'],
    ['pressure.temperatureFollowing', 1.1, 'pressure.temperatureFollowing'],
    ['vacuum.limit.value', { value: 1, unit: 'bar' }, 'vacuum.limit'],
    ['vacuum.leakRate.value', { value: 0, unit: 'Pa.m3/s' }, 'vacuum.leakRate'],
    ['vacuum.leakRate.unit', { value: 1e-6, unit: 'g/yr' }, 'vacuum.leakRate'],
    ['confirmationDays.scale', 0, 'confirmationDays.scale'],
    ['confirmationDays.scale', 1.5, 'confirmationDays.scale'],
    ['bubbleSensitivity.source', { rate: { value: 4, unit: 'g/yr' } }, 'bubbleSensitivity'],
    ['evidence.photos.0', ['selfie'], 'evidence.photos'],
    ['selfSignOff', 'yes', 'selfSignOff'],
    ['gwpBasis', 'AR9', 'gwpBasis'],
    ['tau', 3, 'tau'],
  ])('are refused with the path %s for %j', (path, value, at, told = path) => {
    const raw = sent()
    const names = at.split('.')
    const last = names.pop() ?? ''
    let within = raw as Record<string, unknown>
    for (const name of names) within = within[name] as Record<string, unknown>
    within[last] = value
    expect(problemsOf(raw)).toEqual([told])
  })

  const set = (...ranges: [number, number, number][]) => ({
    source: 'our copy, 2016',
    ranges: ranges.map(([tube, low, high]) => ({
      tubeOd: { value: tube, unit: 'mm' },
      low: { value: low, unit: 'N.m' },
      high: { value: high, unit: 'N.m' },
    })),
  })

  it('name the EN 378-2 set only where the company entered it', () => {
    expect(problemsOf({ ...sent(), torqueFamily: 'en-378-2' })).toEqual(['torqueFamily'])
    expect(problemsOf({ ...sent(), torqueFamily: 'en-378-2', torqueSet: set([9.52, 33, 42]) })).toEqual([])
    expect(problemsOf({ ...sent(), torqueSet: set([9.52, 33, 42]) })).toEqual([])
    const { torqueSet: _, ...older } = sent() as unknown as { torqueSet: null }
    expect(problemsOf(older)).toEqual([])
  })

  it.each([
    ['no size', set(), 'torqueSet.ranges'],
    ['a range turned round', set([9.52, 42, 33]), 'torqueSet.ranges.0.high'],
    ['a range of nothing', set([9.52, 42, 42]), 'torqueSet.ranges.0.high'],
    ['an absurd torque', set([9.52, 33, 4200]), 'torqueSet.ranges.0.high.value'],
    ['an absurd tube', set([952, 33, 42]), 'torqueSet.ranges.0.tubeOd.value'],
    ['one size twice', set([9.52, 33, 42], [9.525, 34, 42]), 'torqueSet.ranges.1.tubeOd'],
    ['no source', { ...set([9.52, 33, 42]), source: '' }, 'torqueSet.source'],
    ['no list', { source: 'our copy', ranges: '9.52 33' }, 'torqueSet.ranges'],
  ])('take no torque set with %s', (_, torqueSet, told) => {
    expect(problemsOf({ ...sent(), torqueSet })).toEqual([told])
  })

  it('need each kind of instrument, and none that is unknown', () => {
    const raw = sent() as unknown as { confirmationDays: Record<string, unknown> }
    const { scale: _scale, ...rest } = raw.confirmationDays
    expect(problemsOf({ ...raw, confirmationDays: rest })).toEqual(['confirmationDays.scale'])
    expect(problemsOf({ ...raw, confirmationDays: { ...raw.confirmationDays, ladder: 1 } })).toEqual([
      'confirmationDays.ladder',
    ])
  })

  it('reach the target before the limit is judged', () => {
    const raw = criteriaJson(BUILT_IN_POLICY)
    expect(problemsOf({ ...raw, vacuum: { ...raw.vacuum, limit: { value: 400, unit: 'micron' } } })).toEqual([
      'vacuum.target',
    ])
  })
})
