import { describe, expect, it } from 'vitest'
import {
  OutsideValidity,
  requireFinite,
  requireNotNegative,
  requirePositive,
  requireWithin,
} from '../../server/trade/validity.ts'

function refusal(ask: () => unknown): OutsideValidity {
  try {
    ask()
  } catch (problem) {
    if (problem instanceof OutsideValidity) return problem
    throw problem
  }
  throw new Error('nothing was refused')
}

describe('a refusal of a number', () => {
  it.each([
    [{ low: 0, high: 10, unit: 'bar' }, 'pressure must be between 0 and 10 bar, not 12 bar'],
    [{ low: 0, high: 10 }, 'pressure must be between 0 and 10, not 12'],
    [{ low: 20, unit: 'bar' }, 'pressure must be at least 20 bar, not 12 bar'],
    [{ low: 20 }, 'pressure must be at least 20, not 12'],
    [{ high: 10, unit: 'bar' }, 'pressure must be at most 10 bar, not 12 bar'],
    [{ high: 10 }, 'pressure must be at most 10, not 12'],
    [{ unit: 'bar' }, 'pressure must be a usable number, not 12 bar'],
    [
      { low: 20, because: 'nothing drives the leak' },
      'pressure must be at least 20, not 12 (nothing drives the leak)',
    ],
  ])('says the range, the number and the reason: %j', (range, message) => {
    expect(new OutsideValidity('pressure', 12, range).message).toBe(message)
  })

  it('rounds the number that it shows, and keeps the whole of it', () => {
    const problem = new OutsideValidity('pressure', 1 / 3, { low: 1, high: 2, unit: 'Pa' })
    expect(problem.message).toContain('not 0.333333 Pa')
    expect(problem).toMatchObject({ quantity: 'pressure', value: 1 / 3, low: 1, high: 2, unit: 'Pa' })
    expect(problem.code).toBe('outside-validity')
  })

  it('shows no number where there is none', () => {
    expect(new OutsideValidity('pressure', Number.NaN, {}).message).toBe(
      'pressure: it must be a usable number',
    )
    expect(new OutsideValidity('pressure', Number.POSITIVE_INFINITY, { low: 1, unit: 'Pa' }).message).toBe(
      'pressure: it must be at least 1 Pa',
    )
    expect(new OutsideValidity('release height', Number.NaN, { because: 'state the mounting' }).message).toBe(
      'release height: state the mounting',
    )
    expect(new OutsideValidity('pressure', 12, {})).toMatchObject({ low: null, high: null, unit: '' })
  })
})

describe('what is asked of a number', () => {
  it('lets through what is in order, as it is', () => {
    expect(requireFinite('length', -3)).toBe(-3)
    expect(requirePositive('length', 1e-300)).toBe(1e-300)
    expect(requireNotNegative('length', 0)).toBe(0)
    expect(requireWithin('length', 5, 0, 10)).toBe(5)
    expect([requireWithin('length', 0, 0, 10), requireWithin('length', 10, 0, 10)]).toEqual([0, 10])
  })

  it.each([Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])(
    'refuses %d everywhere',
    (value) => {
      for (const ask of [
        () => requireFinite('length', value),
        () => requirePositive('length', value),
        () => requireNotNegative('length', value),
        () => requireWithin('length', value, 0, 10),
      ])
        expect(refusal(ask).quantity).toBe('length')
    },
  )

  it('refuses what is no number at all', () => {
    expect(refusal(() => requireFinite('length', '5' as never)).quantity).toBe('length')
  })

  it('refuses nought only where more is needed, and anything below it', () => {
    expect(refusal(() => requirePositive('length', 0, 'm')).message).toContain('it must be greater than zero')
    expect(refusal(() => requireNotNegative('length', -1e-9, 'm'))).toMatchObject({ low: 0, unit: 'm' })
  })

  it('takes a limit missed by rounding as the limit, and nothing beyond', () => {
    // −40 °C in kelvin lies 2.8e-14 K below 233.15 K.
    expect(requireWithin('temperature', -40 + 273.15, 233.15, 338.15)).toBe(233.15)
    expect(requireWithin('temperature', 338.15 + 1e-10, 233.15, 338.15)).toBe(338.15)
    expect(
      refusal(() => requireWithin('temperature', 233.149, 233.15, 338.15, 'K', 'no data')),
    ).toMatchObject({
      low: 233.15,
      high: 338.15,
      unit: 'K',
      message: 'temperature must be between 233.15 and 338.15 K, not 233.149 K (no data)',
    })
    expect(() => requireWithin('temperature', 338.151, 233.15, 338.15)).toThrow(OutsideValidity)
  })
})
