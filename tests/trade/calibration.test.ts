import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  type Calibration,
  confirmationOn,
  errorInWords,
  errorPercentAt,
  trueValue,
} from '../../server/trade/calibration.ts'
import { OutsideValidity } from '../../server/trade/validity.ts'

const DAY = 86_400_000
const at = (day: number): number => Date.UTC(2026, 0, 1) + day * DAY
const calibration = (
  day: number,
  result: Calibration['result'] = 'in-tolerance',
  basis: Calibration['basis'] = 'certificate',
): Calibration => ({ atMs: at(day), result, basis })

describe('whether an instrument was confirmed on the day', () => {
  it.each([
    ['on the day of the calibration', [calibration(0)], 0, 'confirmed'],
    ['on the last day of the interval', [calibration(0)], 365, 'confirmed'],
    ['a day after it', [calibration(0)], 366, 'out-of-date'],
    ['before the first calibration', [calibration(10)], 5, 'found-in-tolerance-since'],
    ['without any', [], 5, 'never-calibrated'],
    ['late, then found in tolerance', [calibration(0), calibration(400)], 380, 'found-in-tolerance-since'],
    ['late, then found out', [calibration(0), calibration(400, 'out-of-tolerance')], 380, 'out-of-date'],
    ['late, then adjusted', [calibration(0), calibration(400, 'adjusted')], 380, 'out-of-date'],
    ['in date, then found out', [calibration(0), calibration(200, 'out-of-tolerance')], 100, 'recalled'],
    ['in date, then adjusted', [calibration(0), calibration(200, 'adjusted')], 100, 'recalled'],
    ['after it was found out', [calibration(0), calibration(50, 'out-of-tolerance')], 60, 'out-of-tolerance'],
    [
      'found out, then in tolerance after repair',
      [calibration(50, 'out-of-tolerance'), calibration(70)],
      60,
      'out-of-tolerance',
    ],
    ['after an adjustment', [calibration(50, 'adjusted')], 60, 'confirmed'],
    ['by the latest of several, in any order', [calibration(300), calibration(0)], 400, 'confirmed'],
  ] as [string, Calibration[], number, string][])('%s', (_, calibrations, day, state) => {
    const judged = confirmationOn({ calibrations, atMs: at(day), intervalDays: 365 })
    expect(judged.state).toBe(state)
    expect(judged.confirmed).toBe(state === 'confirmed' || state === 'found-in-tolerance-since')
  })

  it('counts the whole last day', () => {
    const input = { calibrations: [calibration(0)], intervalDays: 365 }
    expect(confirmationOn({ ...input, atMs: at(366) - 1 }).state).toBe('confirmed')
    expect(confirmationOn({ ...input, atMs: at(366) }).state).toBe('out-of-date')
    expect(confirmationOn({ calibrations: [calibration(0)], intervalDays: 0, atMs: at(0.9) }).state).toBe(
      'confirmed',
    )
    expect(confirmationOn({ calibrations: [calibration(0)], intervalDays: 0, atMs: at(1) }).state).toBe(
      'out-of-date',
    )
  })

  it('counts only the bases that the policy names', () => {
    const calibrations = [calibration(0, 'in-tolerance', 'own-check')]
    expect(
      confirmationOn({ calibrations, atMs: at(5), intervalDays: 365, bases: ['certificate'] }).state,
    ).toBe('never-calibrated')
    expect(confirmationOn({ calibrations, atMs: at(5), intervalDays: 365 }).state).toBe('confirmed')
  })

  it('loses it by a drop or too many uses, until the next calibration', () => {
    const input = { calibrations: [calibration(0)], intervalDays: 365 }
    expect(confirmationOn({ ...input, atMs: at(20), incidentsAtMs: [at(10)] }).state).toBe('out-of-date')
    expect(confirmationOn({ ...input, atMs: at(5), incidentsAtMs: [at(10)] }).state).toBe('confirmed')
    expect(
      confirmationOn({
        calibrations: [calibration(0), calibration(15)],
        intervalDays: 365,
        atMs: at(20),
        incidentsAtMs: [at(10)],
      }).state,
    ).toBe('confirmed')
    expect(confirmationOn({ ...input, atMs: at(20), uses: { since: 5001, limit: 5000 } }).state).toBe(
      'out-of-date',
    )
    expect(confirmationOn({ ...input, atMs: at(20), uses: { since: 5000, limit: 5000 } }).state).toBe(
      'confirmed',
    )
  })

  it('refuses moments and intervals that are none', () => {
    expect(() => confirmationOn({ calibrations: [], atMs: Number.NaN, intervalDays: 365 })).toThrow(
      OutsideValidity,
    )
    expect(() => confirmationOn({ calibrations: [], atMs: 0, intervalDays: -1 })).toThrow(OutsideValidity)
    expect(() =>
      confirmationOn({
        calibrations: [calibration(0), { ...calibration(1), atMs: Number.NaN }],
        atMs: 0,
        intervalDays: 1,
      }),
    ).toThrow(OutsideValidity)
  })
})

describe('how far off an instrument read', () => {
  const points = [
    { nominal: 20, asFoundErrorPercent: 2 },
    { nominal: 60, asFoundErrorPercent: 6 },
    { nominal: 100, asFoundErrorPercent: -8 },
  ]

  it.each([
    [20, 2],
    [40, 4],
    [60, 6],
    [80, -1],
    [100, -8],
    [10, 6],
    [120, -8],
  ])('at %d it is %d per cent (outside the points: the worse of the two nearest)', (shown, error) => {
    expect(errorPercentAt(points, shown)).toBeCloseTo(error, 12)
  })

  it('needs a point, and takes the worse of two at one place', () => {
    expect(errorPercentAt([], 30)).toBeNull()
    expect(errorPercentAt([{ nominal: 50, asFoundErrorPercent: 3 }], 30)).toBe(3)
    expect(
      errorPercentAt(
        [
          { nominal: 50, asFoundErrorPercent: 3 },
          { nominal: 50, asFoundErrorPercent: -5 },
        ],
        50,
      ),
    ).toBe(-5)
  })

  it('stays between its neighbours, in any order of points', () => {
    fc.assert(
      fc.property(fc.double({ min: 20, max: 100, noNaN: true }), (shown) => {
        const error = errorPercentAt([...points].reverse(), shown) ?? Number.NaN
        expect(error).toBeGreaterThanOrEqual(-8)
        expect(error).toBeLessThanOrEqual(6)
      }),
    )
  })

  it('a wrench with e = +9 % applies 34.9 N·m at 38 shown, and says so in words', () => {
    expect(trueValue(38, 9)).toBeCloseTo(34.86, 2)
    expect(errorInWords(9)).toBe('applies 8.3 % less than it shows')
    expect(errorInWords(-5)).toBe('applies 5.3 % more than it shows')
    expect(errorInWords(0)).toBeNull()
    expect(errorInWords(9, 'measures')).toBe('shows 9 % too much')
    expect(errorInWords(-2, 'measures')).toBe('shows 2 % too little')
  })

  it('refuses an error of −100 % and worse', () => {
    expect(() => trueValue(38, -100)).toThrow(OutsideValidity)
    expect(() => errorPercentAt([{ nominal: 20, asFoundErrorPercent: -100 }], 20)).toThrow(OutsideValidity)
    expect(() => errorPercentAt([{ nominal: 0, asFoundErrorPercent: 1 }], 20)).toThrow(OutsideValidity)
  })
})
