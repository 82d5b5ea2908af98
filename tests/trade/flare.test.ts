import { describe, expect, it } from 'vitest'
import {
  type FlareClass,
  findFlareDiameterBand,
  findProjection,
  flareClassForPressure,
  flareWarnings,
  judgeFlareDiameter,
  judgeNut,
  judgeProjection,
  tubeRatedPressurePa,
} from '../../server/trade/flare.ts'
import { fromPascals } from '../../server/trade/units.ts'
import { OutsideValidity } from '../../server/trade/validity.ts'

describe('the flare’s outer diameter', () => {
  // JIS B 8607 class 1 and 2 as commonly printed (tie to the standard from memory).
  it.each([
    ['class-1', 6.35, 8.6, 9.0],
    ['class-1', 9.52, 12.6, 13.0],
    ['class-1', 12.7, 15.8, 16.2],
    ['class-1', 15.88, 19.0, 19.4],
    ['class-2', 6.35, 8.7, 9.1],
    ['class-2', 9.52, 12.8, 13.2],
    ['class-2', 12.7, 16.2, 16.6],
    ['class-2', 15.88, 19.3, 19.7],
    ['class-2', 19.05, 23.6, 24.0],
  ] as [FlareClass, number, number, number][])('%s at %d mm: %d–%d mm', (flareClass, odMm, low, high) => {
    const band = findFlareDiameterBand(flareClass, odMm / 1000)
    expect(band?.lowM).toBeCloseTo(low / 1000, 9)
    expect(band?.highM).toBeCloseTo(high / 1000, 9)
    const judge = (mm: number) =>
      judgeFlareDiameter({ outerDiameterM: mm / 1000, tubeOdM: odMm / 1000, flareClass }).verdict
    expect(judge(low - 0.05)).toBe('too-small')
    expect(judge(low)).toBe('in-band')
    expect(judge(high)).toBe('in-band')
    expect(judge(high + 0.05)).toBe('too-large')
  })

  it('has no band where the sources exclude each other, and none for sizes without a row', () => {
    expect(findFlareDiameterBand('class-1', 0.01905)).toBeNull()
    expect(judgeFlareDiameter({ outerDiameterM: 0.0235, tubeOdM: 0.01905, flareClass: 'class-1' })).toEqual({
      verdict: 'no-band',
      band: null,
    })
    expect(findFlareDiameterBand('class-2', 0.0222)).toBeNull()
  })

  it('lets the sheet’s own band outrank the built-in one', () => {
    const sheetBand = { lowM: 0.0124, highM: 0.0128, source: 'sheet' }
    const judged = judgeFlareDiameter({
      outerDiameterM: 0.013,
      tubeOdM: 0.00952,
      flareClass: 'class-2',
      sheetBand,
    })
    expect(judged).toEqual({ verdict: 'too-large', band: sheetBand })
  })

  it('refuses a diameter that is no length', () => {
    expect(() => judgeFlareDiameter({ outerDiameterM: 0, tubeOdM: 0.00635, flareClass: 'class-2' })).toThrow(
      OutsideValidity,
    )
    expect(() => judgeFlareDiameter({ outerDiameterM: 0.009, tubeOdM: -1, flareClass: 'class-2' })).toThrow(
      OutsideValidity,
    )
  })
})

describe('the projection over the die', () => {
  // Common practice, no source.
  it.each([
    ['clutch-made-for-class-2', 'class-2', 6.35, 0, 0.5],
    ['clutch-made-for-class-2', 'class-2', 19.05, 0, 0.5],
    ['clutch', 'class-2', 9.52, 1, 1.5],
    ['wing', 'class-2', 9.52, 1.5, 2],
    ['wing', 'class-2', 12.7, 2, 2.5],
    ['clutch', 'class-1', 12.7, 0.5, 1],
    ['wing', 'class-1', 6.35, 1, 1.5],
    ['wing', 'class-1', 15.88, 1, 2],
  ] as const)('%s, %s at %d mm: %d–%d mm', (tool, flareClass, odMm, low, high) => {
    const band = findProjection({ tool, flareClass, tubeOdM: odMm / 1000 })
    expect(band?.lowM).toBeCloseTo(low / 1000, 9)
    expect(band?.highM).toBeCloseTo(high / 1000, 9)
    const judge = (mm: number) =>
      judgeProjection({ projectionM: mm / 1000, tool, flareClass, tubeOdM: odMm / 1000 }).verdict
    expect(judge(low)).toBe('in-band')
    expect(judge(high)).toBe('in-band')
    expect(judge(high + 0.1)).toBe('too-long')
    if (low > 0) expect(judge(low - 0.1)).toBe('too-short')
  })

  it('has no band for a tool made for class 2 on a class 1 flare, or an unlisted size', () => {
    const projectionM = 0.001
    expect(
      judgeProjection({
        projectionM,
        tool: 'clutch-made-for-class-2',
        flareClass: 'class-1',
        tubeOdM: 0.00635,
      }).verdict,
    ).toBe('no-band')
    expect(judgeProjection({ projectionM, tool: 'wing', flareClass: 'class-2', tubeOdM: 0.03 }).verdict).toBe(
      'no-band',
    )
  })
})

describe('nut, class, wall and pressure', () => {
  it.each([
    [12.7, 26, 'class-2', 'right'],
    [12.7, 24, 'class-2', 'class-1-nut'],
    [12.7, 24, 'class-1', 'right'],
    [12.7, 26, 'class-1', 'class-2-nut'],
    [12.7, 22, 'class-2', 'wrong-size'],
    [15.88, 29, 'class-2', 'right'],
    [15.88, 27, 'class-2', 'class-1-nut'],
    [6.35, 17, 'class-2', 'cannot-tell-by-size'],
    [9.52, 22, 'class-2', 'cannot-tell-by-size'],
    [19.05, 36, 'class-2', 'cannot-tell-by-size'],
    [6.35, 19, 'class-2', 'wrong-size'],
    [22.2, 41, 'class-2', 'not-listed'],
  ] as const)('%d mm tube, %d mm nut on a %s system: %s', (odMm, flatsMm, flareClass, verdict) => {
    expect(judgeNut({ tubeOdM: odMm / 1000, acrossFlatsM: flatsMm / 1000, flareClass })).toBe(verdict)
  })

  it('asks for class 2 above 3.45 MPa and for neither above 4.15 MPa (JIS B 8607:2002, from memory)', () => {
    expect(flareClassForPressure(3.45e6)).toBe('class-1')
    expect(flareClassForPressure(3.46e6)).toBe('class-2')
    expect(flareClassForPressure(4.15e6)).toBe('class-2')
    expect(flareClassForPressure(4.2e6)).toBe('beyond')
  })

  // Derived from the copper-industry formula with nominal dimensions, psi.
  it.each([
    [0.25, 0.03, 1593],
    [0.375, 0.032, 1099],
    [0.5, 0.032, 809],
    [0.625, 0.035, 704],
    [0.75, 0.035, 582],
    [0.75, 0.042, 704],
    [0.875, 0.045, 644],
    [1.125, 0.05, 553],
  ])('annealed tube of %d × %d in is rated %d psi', (odIn, wallIn, psi) => {
    const rated = tubeRatedPressurePa({ odM: odIn * 0.0254, wallM: wallIn * 0.0254 })
    expect(Math.abs(fromPascals(rated, 'psi') - psi)).toBeLessThan(1)
  })

  it('warns that 3/4 in with the thin wall and its fitting are rated below 4.15 MPa', () => {
    const warnings = flareWarnings({ tubeOdM: 0.01905, wallM: 0.000889, gaugePressurePa: 4.15e6 })
    expect(warnings.map((warning) => warning.code)).toEqual([
      'wall-thinner-than-any-set',
      'tube-rating-below-pressure',
      'fitting-rating-below-pressure',
    ])
    expect(warnings[1]?.against).toBeCloseTo(582 * 6894.757, -5)
  })

  it('says nothing about a usual 1/4 in line at 4.15 MPa', () => {
    expect(
      flareWarnings({ tubeOdM: 0.00635, wallM: 0.0008, temper: 'annealed', gaugePressurePa: 4.15e6 }),
    ).toEqual([])
    expect(flareWarnings({ tubeOdM: 0.00635 })).toEqual([])
  })

  it('warns of a wall thinner than usual, thinner than any set, and of drawn tube', () => {
    expect(flareWarnings({ tubeOdM: 0.00635, wallM: 0.0007 }).map((w) => w.code)).toEqual([
      'wall-thinner-than-usual',
    ])
    expect(flareWarnings({ tubeOdM: 0.00635, wallM: 0.0005 }).map((w) => w.code)).toEqual([
      'wall-thinner-than-any-set',
    ])
    expect(flareWarnings({ tubeOdM: 0.00635, wallM: 0.0008, temper: 'drawn' }).map((w) => w.code)).toEqual([
      'drawn-tube',
    ])
    expect(flareWarnings({ tubeOdM: 0.0222, wallM: 0.001 })).toEqual([])
  })

  it('refuses a wall that leaves no bore', () => {
    expect(() => tubeRatedPressurePa({ odM: 0.006, wallM: 0.003 })).toThrow(OutsideValidity)
    expect(() => tubeRatedPressurePa({ odM: 0.008, wallM: 0.005 })).toThrow(
      'tube wall must be at most 0.004 m, not 0.005 m',
    )
  })
})
