import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { largestCharge, MOUNTINGS, minimumFloorArea } from '../../server/trade/room-area.ts'
import { OutsideValidity } from '../../server/trade/validity.ts'

const R32 = { refrigerant: 'R-32' } as const

describe('the room for a flammable charge', () => {
  // A maker's table citing IEC 60335-2-40:2018 GG.2; the formula reproduces it. h₀ 0.6 m, LFL 0.307.
  it.each([
    [1, 0.138],
    [5, 0.691],
    [6, 0.829],
    [7, 0.907],
    [10, 1.084],
    [15, 1.328],
    [20, 1.533],
    [30, 1.877],
    [45, 2.299],
  ])('floor, %d m²: %d kg by area', (floorAreaM2, massKg) => {
    expect(
      Math.abs(largestCharge({ ...R32, mounting: 'floor', floorAreaM2 }).byAreaKg - massKg),
    ).toBeLessThanOrEqual(0.001)
  })

  // Two makers' tables, square-root law at h₀ 0.6 m.
  it.each([
    [1.84, 28.81],
    [1.9, 30.72],
    [2.0, 34.04],
    [2.1, 37.53],
    [2.2, 41.19],
    [2.3, 45.02],
    [2.5, 53.19],
    [3.0, 76.6],
    [3.5, 104.26],
  ])('floor, %d kg: %d m² by the square-root law', (chargeKg, areaM2) => {
    const area = minimumFloorArea({ ...R32, mounting: 'floor', chargeKg })
    expect(Math.abs(area.squareRootAreaM2 - areaM2)).toBeLessThanOrEqual(0.011)
    if (chargeKg > area.m1Kg) {
      expect(area.governs).toBe('square-root')
      expect(area.minimumFloorAreaM2).toBe(area.squareRootAreaM2)
    }
  })

  // A maker's table for ceiling units, h₀ 2.2 m: the cap governs.
  it.each([
    [1.843, 3.64],
    [2.0, 3.95],
    [2.2, 4.34],
    [2.4, 4.74],
    [2.6, 5.13],
    [2.8, 5.53],
  ])('ceiling, %d kg: %d m² by the cap', (chargeKg, areaM2) => {
    const area = minimumFloorArea({ ...R32, mounting: 'ceiling', chargeKg })
    expect(Math.abs((area.minimumFloorAreaM2 ?? 0) - areaM2)).toBeLessThanOrEqual(0.01)
    expect(area.governs).toBe('cap')
  })

  // Table GG.1 as a manual prints it, edition 5 (no cap), R-32 with LFL 0.306.
  it.each([
    [0.6, [0.68, 0.9, 1.08, 1.32, 1.53, 1.87, 2.41], 0.01],
    [1.0, [1.14, 1.51, 1.8, 2.2, 2.54, 3.12, 4.02], 0.01],
    [1.8, [2.05, 2.71, 3.24, 3.97, 4.58, 5.61, 7.25], 0.02],
    [2.2, [2.5, 3.31, 3.96, 4.85, 5.6, 6.86, 8.85], 0.011],
  ] as [number, number[], number][])(
    'edition 5 at h₀ %d m agrees with the printed table',
    (releaseHeightM, masses, tolerance) => {
      const areas = [4, 7, 10, 15, 20, 30, 50]
      masses.forEach((mass, index) => {
        const { byAreaKg } = largestCharge({
          ...R32,
          lflKgPerM3: 0.306,
          releaseHeightM,
          edition: 'edition-5',
          floorAreaM2: areas[index] ?? 0,
        })
        expect(Math.abs(byAreaKg - mass)).toBeLessThanOrEqual(tolerance)
      })
    },
  )

  it('agrees with the printed table for R-290 (LFL 0.038, h₀ 0.6 m)', () => {
    const masses = [0.05, 0.07, 0.08, 0.1, 0.11, 0.14, 0.18]
    ;[4, 7, 10, 15, 20, 30, 50].forEach((floorAreaM2, index) => {
      const { byAreaKg } = largestCharge({ refrigerant: 'R-290', mounting: 'floor', floorAreaM2 })
      expect(Math.abs(byAreaKg - (masses[index] ?? 0))).toBeLessThanOrEqual(0.005)
    })
  })

  it('takes the larger of two laws that makers disagree on: 4.44 m² at 1.84 kg on a wall, not 3.20', () => {
    const area = minimumFloorArea({ ...R32, mounting: 'wall', chargeKg: 1.84 })
    expect(area.squareRootAreaM2).toBeCloseTo(3.2, 2)
    expect(area.capAreaM2).toBeCloseTo(4.44, 2)
    expect(minimumFloorArea({ ...R32, mounting: 'wall', chargeKg: 1.85 }).governs).toBe('cap')
  })

  it('crosses from cap to square root at 6.156 m² (h₀ 0.6 m, derived)', () => {
    const at = (floorAreaM2: number) => largestCharge({ ...R32, mounting: 'floor', floorAreaM2 }).byAreaKg
    const capAt = (area: number) => 0.75 * 0.307 * 0.6 * area
    expect(at(6.15)).toBeCloseTo(capAt(6.15), 9)
    expect(at(6.16)).toBeLessThan(capAt(6.16))
  })

  it('asks nothing up to m₁ and has no answer above m₂', () => {
    expect(minimumFloorArea({ ...R32, mounting: 'floor', chargeKg: 1.842 })).toMatchObject({
      minimumFloorAreaM2: 0,
      governs: 'no-limit',
    })
    expect(minimumFloorArea({ ...R32, mounting: 'floor', chargeKg: 1.843 }).governs).toBe('square-root')
    const beyond = minimumFloorArea({ ...R32, mounting: 'ceiling', chargeKg: 15.97 })
    expect(beyond).toMatchObject({ minimumFloorAreaM2: null, governs: 'beyond-method' })
    expect(beyond.m1Kg).toBeCloseTo(1.842, 12)
    expect(beyond.m2Kg).toBeCloseTo(15.964, 12)
    expect(minimumFloorArea({ refrigerant: 'R-290', mounting: 'wall', chargeKg: 0.152 }).governs).toBe(
      'no-limit',
    )
    expect(minimumFloorArea({ refrigerant: 'R-290', mounting: 'wall', chargeKg: 0.99 }).governs).toBe(
      'beyond-method',
    )
    expect(minimumFloorArea({ refrigerant: 'R-454B', mounting: 'wall', chargeKg: 1 }).m1Kg).toBeCloseTo(
      1.776,
      12,
    )
  })

  it('never counts a release below 0.6 m, and takes a stated height before the mounting', () => {
    const low = minimumFloorArea({ ...R32, releaseHeightM: 0.1, chargeKg: 2 })
    expect(low.minimumFloorAreaM2).toBe(
      minimumFloorArea({ ...R32, mounting: 'floor', chargeKg: 2 }).minimumFloorAreaM2,
    )
    expect(minimumFloorArea({ ...R32, mounting: 'floor', releaseHeightM: 1.8, chargeKg: 2 }).heightM).toBe(
      1.8,
    )
  })

  it('a charge that just fits its own least area is the largest charge of that area', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1.85, max: 15.9, noNaN: true }),
        fc.constantFrom(...MOUNTINGS),
        (chargeKg, mounting) => {
          const area = minimumFloorArea({ ...R32, mounting, chargeKg }).minimumFloorAreaM2 ?? 0
          expect(largestCharge({ ...R32, mounting, floorAreaM2: area }).byAreaKg).toBeCloseTo(chargeKg, 9)
          expect(
            minimumFloorArea({ ...R32, mounting, chargeKg: chargeKg * 1.001 }).minimumFloorAreaM2,
          ).toBeGreaterThan(area)
        },
      ),
    )
  })

  it('allows between m₁ and m₂ whatever the room', () => {
    expect(largestCharge({ ...R32, mounting: 'floor', floorAreaM2: 0.5 }).maximumChargeKg).toBeCloseTo(
      1.842,
      12,
    )
    expect(largestCharge({ ...R32, mounting: 'ceiling', floorAreaM2: 1e6 }).maximumChargeKg).toBeCloseTo(
      15.964,
      12,
    )
  })

  it.each([
    ['a refrigerant that does not burn', { refrigerant: 'R-410A', mounting: 'wall', chargeKg: 1 }],
    ['no charge', { ...R32, mounting: 'wall', chargeKg: 0 }],
    ['no height at all', { ...R32, chargeKg: 2 }],
    ['a height of ten and more', { ...R32, releaseHeightM: 11, chargeKg: 2 }],
    ['a limit that is no limit', { ...R32, mounting: 'wall', lflKgPerM3: 0, chargeKg: 2 }],
  ] as [string, Parameters<typeof minimumFloorArea>[0]][])('refuses %s', (_, input) => {
    expect(() => minimumFloorArea(input)).toThrow(OutsideValidity)
  })

  it('says why it can’t be asked', () => {
    expect(() => minimumFloorArea({ refrigerant: 'R-22', mounting: 'wall', chargeKg: 1 })).toThrow(
      'flammability limit of R-22: not flammable: this room check does not apply',
    )
    expect(() =>
      minimumFloorArea({ refrigerant: 'R-134a', mounting: 'wall', lflKgPerM3: 0.3, chargeKg: 1 }),
    ).toThrow(/does not apply/)
    expect(() => minimumFloorArea({ ...R32, chargeKg: 2 })).toThrow(
      'release height: state the mounting or the release height',
    )
  })
})
