import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  boreM,
  findTube,
  sameTubeSize,
  TUBES,
  tubeVolumeM3,
  volumePerMetreM3,
} from '../../server/trade/tube.ts'
import { OutsideValidity } from '../../server/trade/validity.ts'

describe('copper tube', () => {
  // ASTM B280 by a published table; volume derived from its inner diameter.
  it.each([
    ['1/4 in', 0.25, 0.03, 4.83, 18.3],
    ['5/16 in', 0.312, 0.032, 6.3, 31.2],
    ['3/8 in', 0.375, 0.032, 7.9, 49],
    ['3/8 in', 0.375, 0.03, 8, 50.3],
    ['1/2 in', 0.5, 0.032, 11.07, 96.3],
    ['1/2 in', 0.5, 0.035, 10.92, 93.7],
    ['5/8 in', 0.625, 0.035, 14.1, 156],
    ['5/8 in', 0.625, 0.04, 13.84, 151],
    ['3/4 in', 0.75, 0.035, 17.27, 234],
    ['3/4 in', 0.75, 0.042, 16.92, 225],
    ['7/8 in', 0.875, 0.045, 19.94, 312],
    ['1-1/8 in', 1.125, 0.05, 26.04, 532],
  ])('%s with wall %d in: bore %d mm, %d mL/m', (name, odIn, wallIn, boreMm, mlPerM) => {
    const tube = findTube(odIn * 0.0254, wallIn * 0.0254)
    expect(tube?.name).toBe(name)
    if (!tube) throw new Error('not found')
    expect(boreM(tube) * 1000).toBeCloseTo(boreMm, 1)
    expect(Math.abs((volumePerMetreM3(tube) * 1e6) / mlPerM - 1)).toBeLessThan(0.004)
  })

  // Metric sizes; volumes derived.
  it.each([
    [6, 0.8, 15.2],
    [6.35, 0.8, 17.7],
    [8, 0.8, 32.2],
    [9.52, 0.8, 49.3],
    [10, 1, 50.3],
    [12, 1, 78.5],
    [12.7, 0.8, 96.8],
    [15, 1, 132.7],
    [15.88, 1, 151.3],
    [18, 1, 201.1],
    [19.05, 1, 228.3],
    [22, 1, 314.2],
    [28, 1, 530.9],
    [28.58, 1, 554.9],
  ])('%d × %d mm holds %d mL/m', (odMm, wallMm, mlPerM) => {
    const tube = findTube(odMm / 1000, wallMm / 1000)
    if (!tube) throw new Error('not found')
    expect(volumePerMetreM3(tube) * 1e6).toBeCloseTo(mlPerM, 1)
  })

  it('names 9.5, 9.52 and 9.525 mm one tube, and 7.94 and 8.00 mm two', () => {
    expect(sameTubeSize(0.0095, 0.009525)).toBe(true)
    expect(sameTubeSize(0.00952, 0.009525)).toBe(true)
    expect(sameTubeSize(0.00794, 0.008)).toBe(false)
    expect(sameTubeSize(0.022, 0.022225)).toBe(false)
  })

  it('takes the thinnest annealed wall when none is stated, so that no volume is understated', () => {
    expect(findTube(0.009525)?.wallM).toBeCloseTo(0.0008, 4)
    expect(findTube(0.01588)?.wallM).toBeCloseTo(0.000889, 6)
    for (const { odM } of TUBES) {
      const taken = findTube(odM)
      const others = TUBES.filter((tube) => sameTubeSize(tube.odM, odM) && tube.temper !== 'drawn')
      for (const other of others) expect(taken?.wallM).toBeLessThanOrEqual(other.wallM)
    }
  })

  it('is null for a size or a wall that is not listed', () => {
    expect(findTube(0.05)).toBeNull()
    expect(findTube(0.00635, 0.002)).toBeNull()
  })

  it('adds up the volume of a line: 7.5 m of 1/4 and 3/8 in hold about half a litre', () => {
    const litres =
      1000 * (tubeVolumeM3({ odM: 0.00635, lengthM: 7.5 }) + tubeVolumeM3({ odM: 0.009525, lengthM: 7.5 }))
    expect(litres).toBeCloseTo(7.5 * (0.0183 + 0.0493), 2)
  })

  it('refuses an unlisted size without a wall, a wall thicker than the tube, a negative length', () => {
    expect(() => tubeVolumeM3({ odM: 0.05, lengthM: 1 })).toThrow(/state the wall/)
    expect(tubeVolumeM3({ odM: 0.05, wallM: 0.001, lengthM: 1 })).toBeCloseTo((Math.PI / 4) * 0.048 ** 2, 12)
    expect(() => tubeVolumeM3({ odM: 0.01, wallM: 0.005, lengthM: 1 })).toThrow(OutsideValidity)
    expect(() => tubeVolumeM3({ odM: 0.00635, lengthM: -1 })).toThrow(OutsideValidity)
    expect(() => findTube(Number.NaN)).toThrow(OutsideValidity)
  })

  it('grows with the length', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...TUBES),
        fc.double({ min: 0, max: 100, noNaN: true }),
        fc.double({ min: 0.01, max: 10, noNaN: true }),
        (tube, length, more) => {
          expect(tubeVolumeM3({ ...tube, lengthM: length + more })).toBeGreaterThan(
            tubeVolumeM3({ ...tube, lengthM: length }),
          )
        },
      ),
    )
  })
})
