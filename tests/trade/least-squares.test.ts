import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { fitLinear, unscaledVariance } from '../../server/trade/least-squares.ts'
import { OutsideValidity } from '../../server/trade/validity.ts'

// NIST StRD, Norris: calibration of ozone monitors, y against x.
const NORRIS: [y: number, x: number][] = [
  [0.1, 0.2],
  [338.8, 337.4],
  [118.1, 118.2],
  [888.0, 884.6],
  [9.2, 10.1],
  [228.1, 226.5],
  [668.5, 666.3],
  [998.5, 996.3],
  [449.1, 448.6],
  [778.9, 777.0],
  [559.2, 558.2],
  [0.3, 0.4],
  [0.1, 0.6],
  [778.1, 775.5],
  [668.8, 666.9],
  [339.3, 338.0],
  [448.9, 447.5],
  [10.8, 11.6],
  [557.7, 556.0],
  [228.3, 228.1],
  [998.0, 995.8],
  [888.8, 887.6],
  [119.6, 120.2],
  [0.3, 0.3],
  [0.6, 0.3],
  [557.6, 556.8],
  [339.3, 339.1],
  [888.0, 887.2],
  [998.5, 999.0],
  [778.9, 779.0],
  [10.2, 11.1],
  [117.6, 118.3],
  [228.9, 229.2],
  [668.4, 669.1],
  [449.2, 448.9],
  [0.2, 0.5],
]

describe('linear least squares', () => {
  it('reproduces the certified values of NIST StRD Norris to nine digits and more', () => {
    const fit = fitLinear(
      NORRIS.map(([, x]) => [1, x]),
      NORRIS.map(([y]) => y),
    )
    if (!fit) throw new Error('no fit')
    const variance = fit.residualSum / (NORRIS.length - 2)
    expect(fit.coefficients[0]).toBeCloseTo(-0.262323073774029, 10)
    expect(fit.coefficients[1]).toBeCloseTo(1.00211681802045, 12)
    expect(Math.sqrt(variance * unscaledVariance(fit, [1, 0]))).toBeCloseTo(0.232818234301152, 10)
    expect(Math.sqrt(variance * unscaledVariance(fit, [0, 1]))).toBeCloseTo(0.000429796848199937, 13)
    const mean = NORRIS.reduce((sum, [y]) => sum + y, 0) / NORRIS.length
    const total = NORRIS.reduce((sum, [y]) => sum + (y - mean) ** 2, 0)
    expect(1 - fit.residualSum / total).toBeCloseTo(0.999993745883712, 12)
    expect((total - fit.residualSum) / variance / 5436385.54079785).toBeCloseTo(1, 9)
  })

  it('finds exact coefficients of exact data, whatever the weights', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -100, max: 100, noNaN: true }),
        fc.double({ min: -100, max: 100, noNaN: true }),
        fc.array(fc.double({ min: 0.01, max: 100, noNaN: true }), { minLength: 6, maxLength: 6 }),
        (a, b, weights) => {
          const rows = [0, 1, 2, 3, 4, 5].map((x) => [1, x])
          const fit = fitLinear(
            rows,
            rows.map(([, x = 0]) => a + b * x),
            weights,
          )
          expect(fit?.coefficients[0]).toBeCloseTo(a, 8)
          expect(fit?.coefficients[1]).toBeCloseTo(b, 8)
          expect(fit?.residualSum).toBeLessThan(1e-12)
        },
      ),
    )
  })

  it('a weight of two is a reading taken twice', () => {
    const rows = [
      [1, 0],
      [1, 1],
      [1, 2],
      [1, 4],
    ]
    const values = [1, 3, 4, 9]
    const weighted = fitLinear(rows, values, [1, 2, 1, 1])
    const twice = fitLinear([...rows, [1, 1]], [...values, 3])
    expect(weighted?.coefficients[0]).toBeCloseTo(twice?.coefficients[0] ?? Number.NaN, 12)
    expect(weighted?.coefficients[1]).toBeCloseTo(twice?.coefficients[1] ?? Number.NaN, 12)
    expect(weighted?.residualSum).toBeCloseTo(twice?.residualSum ?? Number.NaN, 12)
  })

  it('has the inverse of the normal matrix as its covariance, for three shapes too', () => {
    const shapes = [
      [1, 0, 0.2],
      [1, 1, 0.9],
      [1, 2, 0.1],
      [1, 3, 0.7],
      [1, 5, 0.4],
    ]
    const fit = fitLinear(shapes, [1, 3, 2, 5, 4])
    if (!fit) throw new Error('no fit')
    expect(fit.coefficients).toHaveLength(3)
    const normal = [0, 1, 2].map((i) =>
      [0, 1, 2].map((j) => shapes.reduce((sum, row) => sum + (row[i] ?? 0) * (row[j] ?? 0), 0)),
    )
    for (const i of [0, 1, 2])
      for (const j of [0, 1, 2]) {
        const product = [0, 1, 2].reduce(
          (sum, k) => sum + (normal[i]?.[k] ?? 0) * (fit.unscaledCovariance[k]?.[j] ?? 0),
          0,
        )
        expect(product).toBeCloseTo(i === j ? 1 : 0, 10)
      }
  })

  it('tells shapes apart whatever their size', () => {
    for (const size of [1e-8, 1, 1e8]) {
      const line = [0, 1, 2, 3].map((x) => [size, size * x])
      const fit = fitLinear(line, [1, 3, 5, 7])
      expect((fit?.coefficients[0] ?? 0) * size).toBeCloseTo(1, 9)
      expect((fit?.coefficients[1] ?? 0) * size).toBeCloseTo(2, 9)
      // The second shape is the first, but for rounding.
      const same = [0, 1, 2, 3].map((x) => [size * (x + 1), size * (x + 1) * (1 + (x % 2) * 2e-16)])
      expect(fitLinear(same, [1, 3, 5, 7])).toBeNull()
    }
  })

  it('answers null where the shapes can’t be told apart', () => {
    expect(
      fitLinear(
        [
          [1, 2],
          [1, 2],
          [1, 2],
        ],
        [1, 2, 3],
      ),
    ).toBeNull()
    expect(fitLinear([[1, 0]], [1])).toBeNull()
    expect(fitLinear([], [])).toBeNull()
    expect(fitLinear([[0], [0]], [1, 2])).toBeNull()
  })

  it('refuses uneven or unusable input', () => {
    expect(() => fitLinear([[1], [1]], [1])).toThrow(OutsideValidity)
    expect(() => fitLinear([[1], [Number.NaN]], [1, 2])).toThrow(OutsideValidity)
    expect(() => fitLinear([[1], [1]], [1, Number.POSITIVE_INFINITY])).toThrow(OutsideValidity)
  })
})
