import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { chargeTolerance, co2Equivalent, judgeCharge, requiredCharge } from '../../server/trade/charge.ts'
import { fromKilograms, toKilograms, toKilogramsPerMetre, toMetres } from '../../server/trade/units.ts'
import { OutsideValidity } from '../../server/trade/validity.ts'

const feet = (value: number) => toMetres({ value, unit: 'ft' })
const ouncesPerFoot = (value: number) => toKilogramsPerMetre({ value, unit: 'oz/ft' })
const ounces = (value: number) => toKilograms({ value, unit: 'oz' })

describe('the charge a system needs', () => {
  // Worked examples printed in manuals (common practice, no source).
  it('1/2 in liquid line, 75 ft at 1.2 oz/ft, 9 oz already allowed for: 81 oz more', () => {
    const charge = requiredCharge({
      factoryChargeKg: 3,
      scheme: {
        kind: 'per-line',
        prechargedLengthM: 0,
        lines: [{ lengthM: feet(75), adderKgPerM: ouncesPerFoot(1.2) }],
      },
      includedAllowanceKg: ounces(15 * 0.6),
    })
    expect(fromKilograms(charge.additionalKg, 'oz')).toBeCloseTo(81, 9)
    expect(charge.parts.map((part) => part.what)).toEqual(['line', 'allowance'])
  })

  it('1/4 in at 0.16 oz/ft, 60 ft set of which 40 ft are pre-charged: 3.2 oz more', () => {
    const line = { lengthM: feet(60), adderKgPerM: ouncesPerFoot(0.16) }
    const charge = requiredCharge({
      factoryChargeKg: 1,
      scheme: { kind: 'per-line', prechargedLengthM: feet(40), lines: [line] },
    })
    expect(fromKilograms(charge.additionalKg, 'oz')).toBeCloseTo(3.2, 9)
    expect(charge.totalKg).toBeCloseTo(1 + ounces(3.2), 12)
    expect(charge.nothingToAdd).toBe(false)
  })

  it('three branches and eight indoor units: 5.575 + 3.30 = 8.875 kg', () => {
    const lines = [
      { lengthM: 35, adderKgPerM: 0.02 },
      { lengthM: 50, adderKgPerM: 0.06 },
      { lengthM: 15, adderKgPerM: 0.125 },
    ]
    const scheme = { kind: 'per-line', prechargedLengthM: 0, lines } as const
    expect(requiredCharge({ factoryChargeKg: 0, scheme }).additionalKg).toBeCloseTo(5.575, 12)
    const indoorUnitMassesKg = [0.45, 0.45, 0.45, 0.45, 0.45, 0.45, 0.35, 0.25]
    const charge = requiredCharge({ factoryChargeKg: 0, scheme, indoorUnitMassesKg })
    expect(charge.additionalKg).toBeCloseTo(8.875, 12)
    expect(charge.parts.filter((part) => part.what === 'indoor-unit')).toHaveLength(8)
  })

  it('counts the pre-charged length once per line, or once for the total length, as the sheet says', () => {
    const lines = [
      { lengthM: 10, adderKgPerM: 0.02 },
      { lengthM: 4, adderKgPerM: 0.02 },
    ]
    expect(
      requiredCharge({ factoryChargeKg: 1, scheme: { kind: 'per-line', prechargedLengthM: 5, lines } })
        .additionalKg,
    ).toBeCloseTo(0.1, 12)
    expect(
      requiredCharge({
        factoryChargeKg: 1,
        scheme: { kind: 'total-length', prechargedLengthM: 5, adderKgPerM: 0.02, lines },
      }).additionalKg,
    ).toBeCloseTo(0.18, 12)
  })

  it('a line within the pre-charged length needs nothing: release the factory charge', () => {
    const scheme = {
      kind: 'per-line',
      prechargedLengthM: 7.5,
      lines: [{ lengthM: 7.5, adderKgPerM: 0.02 }],
    } as const
    expect(requiredCharge({ factoryChargeKg: 0.9, scheme })).toMatchObject({
      additionalKg: 0,
      totalKg: 0.9,
      nothingToAdd: true,
    })
  })

  it('takes a maker’s table as it is, and adds the indoor units', () => {
    const scheme = {
      kind: 'maker-table',
      additionalKg: 1.3,
      document: 'installation manual',
      page: '31',
    } as const
    expect(requiredCharge({ factoryChargeKg: 2, scheme, indoorUnitMassesKg: [0.2] })).toMatchObject({
      additionalKg: 1.5,
      totalKg: 3.5,
    })
  })

  it('lists its parts, and an allowance only where there is one', () => {
    const scheme = {
      kind: 'per-line',
      prechargedLengthM: 5,
      lines: [{ lengthM: 10, adderKgPerM: 0.02 }],
    } as const
    expect(requiredCharge({ factoryChargeKg: 1, scheme }).parts).toEqual([{ what: 'line', massKg: 0.1 }])
    expect(requiredCharge({ factoryChargeKg: 1, scheme, includedAllowanceKg: 0 }).parts).toHaveLength(1)
    expect(requiredCharge({ factoryChargeKg: 1, scheme, includedAllowanceKg: 0.04 }).parts).toEqual([
      { what: 'line', massKg: 0.1 },
      { what: 'allowance', massKg: -0.04 },
    ])
  })

  it('refuses a missing adder rather than taking one of its own', () => {
    const scheme = { kind: 'per-line', prechargedLengthM: 5, lines: [{ lengthM: 10 }] } as const
    expect(() => requiredCharge({ factoryChargeKg: 1, scheme })).toThrow(/names none/)
  })

  it.each([
    ['a negative length', { prechargedLengthM: 5, lines: [{ lengthM: -1, adderKgPerM: 0.02 }] }],
    ['a negative adder', { prechargedLengthM: 5, lines: [{ lengthM: 10, adderKgPerM: -0.02 }] }],
    ['no number', { prechargedLengthM: Number.NaN, lines: [{ lengthM: 10, adderKgPerM: 0.02 }] }],
  ])('refuses %s', (_, scheme) => {
    expect(() => requiredCharge({ factoryChargeKg: 1, scheme: { kind: 'per-line', ...scheme } })).toThrow(
      OutsideValidity,
    )
  })

  it('never falls when a line gets longer, and does not depend on the unit', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 80, noNaN: true }),
        fc.double({ min: 0, max: 20, noNaN: true }),
        fc.double({ min: 0, max: 0.13, noNaN: true }),
        (length, more, adder) => {
          const charge = (lengthM: number) =>
            requiredCharge({
              factoryChargeKg: 1,
              scheme: { kind: 'per-line', prechargedLengthM: 7.5, lines: [{ lengthM, adderKgPerM: adder }] },
            }).additionalKg
          expect(charge(length + more)).toBeGreaterThanOrEqual(charge(length))
          expect(charge(feet(length / 0.3048))).toBeCloseTo(charge(length), 9)
        },
      ),
    )
  })
})

describe('judging the weighed charge', () => {
  it.each([
    [0.03, 'within'],
    [-0.03, 'within'],
    [0.0301, 'over'],
    [-0.0301, 'under'],
  ])('the tolerance itself is within: %d kg off is %s', (offKg, verdict) => {
    const input = { requiredAdditionalKg: 0.1, factoryChargeKg: 0.4, scaleErrorKg: 0, maximumChargeKg: 0.53 }
    const judged = judgeCharge({ ...input, weighedKg: 0.1 + offKg })
    expect(judged.verdict).toBe(verdict)
    // 0.53 kg in all may be reached and not passed.
    expect(judged.aboveMaximum).toBe(offKg > 0.03)
  })
  it.each([
    [1, 0.005, 0.03, '30 g is the least'],
    [2, 0.028, 0.06, '3 % of 2 kg'],
    [1, 0.05, Math.SQRT2 * 0.05, '√2 × a coarse scale'],
    [0, 0, 0.03, 'nothing at all'],
  ])(
    'tolerance at %d kg in total with a scale of ±%d kg is %d kg: %s',
    (totalKg, scaleErrorKg, tolerance) => {
      expect(chargeTolerance({ totalKg, scaleErrorKg })).toBeCloseTo(tolerance, 12)
    },
  )

  it.each([
    [0.2, 'within'],
    [0.235, 'within'],
    [0.165, 'within'],
    [0.24, 'over'],
    [0.16, 'under'],
    [0, 'under'],
    [-0.1, 'under'],
  ] as const)('%d kg weighed where 0.2 kg were asked on 1 kg: %s', (weighedKg, verdict) => {
    const judged = judgeCharge({
      weighedKg,
      requiredAdditionalKg: 0.2,
      factoryChargeKg: 1,
      scaleErrorKg: 0.005,
    })
    expect(judged.verdict).toBe(verdict)
    expect(judged.toleranceKg).toBeCloseTo(0.036, 12)
    expect(judged.differenceKg).toBeCloseTo(weighedKg - 0.2, 12)
  })

  it('says when the total passes the sheet’s maximum, even inside the tolerance', () => {
    const input = { requiredAdditionalKg: 0.2, factoryChargeKg: 1, scaleErrorKg: 0.005, maximumChargeKg: 1.2 }
    expect(judgeCharge({ ...input, weighedKg: 0.2 }).aboveMaximum).toBe(false)
    expect(judgeCharge({ ...input, weighedKg: 0.21 })).toMatchObject({
      verdict: 'within',
      aboveMaximum: true,
    })
  })
})

describe('CO₂-equivalent', () => {
  // A trade table with AR4 values: mass for 5 and 50 t.
  it.each([
    ['R-134a', 3.5, 5],
    ['R-410A', 2.39, 5],
    ['R-134a', 34.96, 50],
    ['R-410A', 23.95, 50],
    ['R-32', 7.41, 5],
    ['R-454B', 10.7, 5],
  ] as const)('%s: %d kg is %d t (AR4)', (name, massKg, tonnes) => {
    const { co2eKg, basis } = co2Equivalent({ refrigerant: name, massKg, basis: 'AR4' })
    expect(Math.abs(co2eKg / 1000 / tonnes - 1)).toBeLessThan(0.005)
    expect(basis).toBe('AR4')
  })

  it('names its basis and differs by it', () => {
    expect(co2Equivalent({ refrigerant: 'R-32', massKg: 1, basis: 'AR6' })).toMatchObject({
      co2eKg: 771,
      gwp: 771,
      basis: 'AR6',
    })
    expect(co2Equivalent({ refrigerant: 'R-32', massKg: 1, basis: 'AR5' }).co2eKg).toBe(677)
  })

  it('refuses a basis that has no value', () => {
    expect(() => co2Equivalent({ refrigerant: 'R-290', massKg: 1, basis: 'AR5' })).toThrow(OutsideValidity)
    expect(() => co2Equivalent({ refrigerant: 'R-32', massKg: -1, basis: 'AR4' })).toThrow(OutsideValidity)
  })
})
