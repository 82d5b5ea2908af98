import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  betaCdf,
  binomialUpperTail,
  chiSquareQuantile,
  chiSquareUpperTail,
  gammaCdf,
  gammaQuantile,
  gammaUpperTail,
  lnGamma,
  normalCdf,
  normalQuantile,
  poissonUpperTail,
  studentCdf,
  studentQuantile,
} from '../../server/trade/distributions.ts'
import { OutsideValidity } from '../../server/trade/validity.ts'

const relative = (computed: number, exact: number) => Math.abs(computed / exact - 1)

function factorial(n: number): number {
  let product = 1
  for (let k = 2; k <= n; k += 1) product *= k
  return product
}

describe('distributions', () => {
  it('ln Γ is that of the factorials, and of a half: √π', () => {
    for (let n = 1; n <= 20; n += 1)
      expect(Math.abs(lnGamma(n + 1) - Math.log(factorial(n)))).toBeLessThan(
        1e-12 * Math.max(1, Math.log(factorial(n))),
      )
    expect(lnGamma(0.5)).toBeCloseTo(Math.log(Math.sqrt(Math.PI)), 13)
    expect(lnGamma(0.25) + lnGamma(0.75)).toBeCloseTo(Math.log(Math.PI * Math.SQRT2), 12)
  })

  // Printed tables of the normal law (Abramowitz & Stegun, table 26.1).
  it.each([
    [0, 0.5],
    [1, 0.841344746068543],
    [1.645, 0.950015094460879],
    [2, 0.977249868051821],
    [3, 0.99865010196837],
    [-1.96, 0.02499789514822],
    [-6, 9.865876450377e-10],
  ])('Φ(%d) = %d', (z, p) => {
    expect(relative(normalCdf(z), p)).toBeLessThan(1e-11)
  })

  it.each([
    [0.975, 1.959963984540054],
    [0.95, 1.644853626951473],
    [0.5, 0],
    [1e-9, -5.997807015007685],
  ])('the normal quantile at %d is %d', (p, z) => {
    expect(normalQuantile(p)).toBeCloseTo(z, 11)
  })

  // Printed tables of Student's t, one-sided.
  it.each([
    [0.95, 1, 6.313751514675],
    [0.95, 5, 2.015048373333],
    [0.975, 10, 2.228138851965],
    [0.95, 30, 1.697260886593],
    [0.995, 3, 5.840909309733],
    [0.05, 5, -2.015048373333],
    [0.5, 7, 0],
  ])('Student: %d at %d degrees is %d', (p, degrees, t) => {
    expect(studentQuantile(p, degrees)).toBeCloseTo(t, 9)
    expect(studentCdf(t, degrees)).toBeCloseTo(p, 10)
  })

  // Printed tables of χ².
  it.each([
    [0.95, 1, 3.841458820694],
    [0.95, 10, 18.307038053275],
    [0.025, 2, 0.050635615969],
    [0.99, 5, 15.086272469389],
  ])('χ²: %d at %d degrees is %d', (p, degrees, x) => {
    expect(chiSquareQuantile(p, degrees)).toBeCloseTo(x, 9)
    expect(chiSquareUpperTail(x, degrees)).toBeCloseTo(1 - p, 10)
  })

  it('the binomial tail is the sum of its terms', () => {
    const choose = (n: number, k: number) => factorial(n) / factorial(k) / factorial(n - k)
    for (const [n, p] of [
      [5, 0.3],
      [12, 0.05],
      [20, 0.5],
      [18, 1 / 6],
    ] as const) {
      for (let count = 0; count <= n; count += 1) {
        let sum = 0
        for (let k = count; k <= n; k += 1) sum += choose(n, k) * p ** k * (1 - p) ** (n - k)
        expect(Math.abs(binomialUpperTail(count, n, p) - sum)).toBeLessThan(1e-12)
      }
    }
    expect(binomialUpperTail(4, 3, 0.5)).toBe(0)
    expect(binomialUpperTail(0, 0, 0.5)).toBe(1)
  })

  it('the Poisson tail is the sum of its terms', () => {
    for (const mean of [0.2, 1, 4.5, 12]) {
      for (let count = 0; count <= 20; count += 1) {
        let below = 0
        for (let k = 0; k < count; k += 1) below += (Math.exp(-mean) * mean ** k) / factorial(k)
        expect(Math.abs(poissonUpperTail(count, mean) - (1 - below))).toBeLessThan(1e-12)
      }
    }
    expect(poissonUpperTail(1, 0)).toBe(0)
  })

  it('the beta law is symmetric and exact for whole numbers', () => {
    expect(betaCdf(0.3, 1, 1)).toBeCloseTo(0.3, 14)
    expect(betaCdf(0.3, 2, 1)).toBeCloseTo(0.09, 14)
    fc.assert(
      fc.property(
        fc.double({ min: 1e-6, max: 1 - 1e-6, noNaN: true }),
        fc.double({ min: 0.1, max: 60, noNaN: true }),
        fc.double({ min: 0.1, max: 60, noNaN: true }),
        (x, a, b) => {
          const value = betaCdf(x, a, b)
          expect(value).toBeGreaterThanOrEqual(0)
          expect(value).toBeLessThanOrEqual(1)
          expect(Math.abs(value + betaCdf(1 - x, b, a) - 1)).toBeLessThan(1e-10)
        },
      ),
    )
  })

  it('quantiles return to their probability', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-6, max: 0.999999, noNaN: true }),
        fc.double({ min: 0.3, max: 200, noNaN: true }),
        (p, shape) => {
          expect(gammaCdf(gammaQuantile(p, shape), shape)).toBeCloseTo(p, 9)
          expect(gammaUpperTail(gammaQuantile(p, shape, 3), shape, 3)).toBeCloseTo(1 - p, 9)
          expect(normalCdf(normalQuantile(p))).toBeCloseTo(p, 10)
          expect(studentCdf(studentQuantile(p, shape), shape)).toBeCloseTo(p, 8)
        },
      ),
    )
  })

  it('refuses what is outside', () => {
    expect(() => lnGamma(0)).toThrow(OutsideValidity)
    expect(() => gammaQuantile(1, 2)).toThrow(/infinite/)
    expect(() => gammaQuantile(1.1, 2)).toThrow(OutsideValidity)
    expect(() => normalQuantile(0)).toThrow(OutsideValidity)
    expect(() => normalQuantile(1)).toThrow(OutsideValidity)
    expect(() => normalCdf(Number.NaN)).toThrow(OutsideValidity)
    expect(() => studentQuantile(0, 3)).toThrow(OutsideValidity)
    expect(() => studentQuantile(0.9, 0)).toThrow(OutsideValidity)
    expect(() => betaCdf(1.5, 1, 1)).toThrow(OutsideValidity)
    expect(() => binomialUpperTail(1, 2, 1.2)).toThrow(OutsideValidity)
    expect(() => poissonUpperTail(1, -1)).toThrow(OutsideValidity)
    expect(gammaQuantile(0, 2)).toBe(0)
    expect(gammaCdf(0, 2)).toBe(0)
    expect(gammaCdf(Number.POSITIVE_INFINITY, 2)).toBe(1)
    expect(normalCdf(Number.POSITIVE_INFINITY)).toBe(1)
  })
})
