// Do sums by month say the same of time in service as asking each joint, worked by hand?

import { describe, expect, it } from 'vitest'
import { addedUp, agesOf, bandOfAge, exposureOf, type Life, monthsOf } from '../../server/rules/cohorts.ts'

const DAY = 86_400_000
const YEAR = 365.25 * DAY
const at = (text: string) => Date.parse(`${text}Z`)
const NOW = at('2026-07-01T00:00:00')
let made = 0
const life = (over: Partial<Life>): Life => {
  made += 1
  return {
    id: `make-${made}`,
    jointId: `joint-${made}`,
    systemId: `system-${made}`,
    jobId: 'job',
    place: 'indoor-gas',
    line: 'gas',
    tubeOdM: 0.009525,
    kind: 'flare',
    flareMethod: 'powered',
    flaringToolId: 'tool',
    wrenchId: 'wrench',
    flaredBy: 'tess',
    torquedBy: 'tess',
    model: 'LS-35',
    refrigerant: 'R-32',
    madeAt: 0,
    signedOffAt: NOW - 100 * DAY,
    endedAt: null,
    served: true,
    leakAt: null,
    leakCallbackId: null,
    leakCause: null,
    inspectedAt: null,
    acceptedAtOnce: null,
    torqueNm: null,
    ...over,
  }
}
const sums = (lives: Life[]) =>
  addedUp(lives.map((one) => ({ life: one, sign: 1 as const }))).filter(
    ({ dimension }) => dimension === 'all',
  )
const ever = { from: 0, to: NOW }

describe('time in service from sums', () => {
  it('is from sign-off until now, however many were signed off in a month', () => {
    const lives = [1, 11, 21].map((day) =>
      life({ signedOffAt: at(`2026-06-${day < 10 ? '0' : ''}${day}T00:00:00`) }),
    )
    // 30 + 20 + 10 days.
    const { jointYears, within, joints } = exposureOf(sums(lives), ever, NOW)
    expect(jointYears[0]).toBeCloseTo((60 * DAY) / YEAR, 12)
    expect([jointYears[1], within[0], joints]).toEqual([0, 0, 3])
  })

  it('ends at a leak or at the end, in the band of that age', () => {
    const signedOffAt = at('2024-07-01T00:00:00')
    const leaked = life({ signedOffAt, leakAt: at('2024-08-10T00:00:00') })
    const ended = life({ signedOffAt, endedAt: at('2025-01-01T00:00:00') })
    // 40 days; 184 days, of which 91.3125 are the first three months.
    const { jointYears } = exposureOf(sums([leaked, ended]), ever, NOW)
    expect(jointYears[0] * 365.25).toBeCloseTo(40 + 91.3125, 9)
    expect(jointYears[1] * 365.25).toBeCloseTo(184 - 91.3125, 9)
    expect(jointYears[2] + jointYears[3]).toBe(0)
  })

  it('is split at an age in the middle of a month within the stated bound, and its sum is exact', () => {
    // Three months before now lie on 31 March at 16:30: March is the month that the sums can't look into.
    const lives = [1, 6, 12, 25].map((day) =>
      life({ signedOffAt: at(`2026-03-${String(day).padStart(2, '0')}T00:00:00`) }),
    )
    const { jointYears, within } = exposureOf(sums(lives), ever, NOW)
    const days = [122, 117, 111, 98]
    expect((jointYears[0] + jointYears[1]) * 365.25).toBeCloseTo(
      days.reduce((a, b) => a + b),
      9,
    )
    const young = days.reduce((sum, one) => sum + Math.min(one, 91.3125), 0)
    expect(Math.abs(jointYears[0] * 365.25 - young)).toBeLessThanOrEqual(within[0] * 365.25 + 1e-9)
    expect(within[0] * 365.25).toBeGreaterThan(0)
    expect(within[0] * 365.25).toBeLessThanOrEqual((4 * 31) / 8)
  })

  it('is cut to the days that were asked for', () => {
    const lives = [life({ signedOffAt: at('2025-01-15T00:00:00') })]
    const span = { from: at('2025-02-01T00:00:00'), to: at('2025-03-01T00:00:00') }
    const { jointYears, joints } = exposureOf(sums(lives), span, NOW)
    expect(jointYears[0] * 365.25).toBeCloseTo(28, 9)
    expect(joints).toBe(1)
    expect(exposureOf(sums(lives), { from: 0, to: at('2025-01-01T00:00:00') }, NOW).joints).toBe(0)
  })

  it('counts nothing of what was made again before any sign-off', () => {
    expect(sums([life({ served: false })])).toEqual([])
  })

  it('comes to nothing when what was added is taken away', () => {
    const one = life({ leakAt: NOW - DAY })
    expect(
      addedUp([
        { life: one, sign: 1 },
        { life: one, sign: -1 },
      ]),
    ).toEqual([])
  })
})

it('a life that ends at the very age that ends a band has lived through that band', () => {
  const months = (count: number) => (count * YEAR) / 12
  expect([0, 3, 12, 24].map((age) => bandOfAge(months(age)))).toEqual([0, 1, 2, 3])
  expect(bandOfAge(months(3) - 1)).toBe(0)
})

it('months have the time in service that lies in them', () => {
  const lives = [
    life({ signedOffAt: at('2026-05-11T00:00:00') }),
    life({ signedOffAt: at('2026-05-21T00:00:00'), leakAt: at('2026-06-11T00:00:00') }),
  ]
  const months = monthsOf(sums(lives), ever, NOW)
  expect(months.map(({ month, signedOff }) => [month, signedOff])).toEqual([
    ['2026-05', 2],
    ['2026-06', 0],
    ['2026-07', 0],
  ])
  // May: 21 + 11 days. June: 30 + 10.
  expect(months.map(({ jointYears }) => Math.round(jointYears * 365.25 * 1e6) / 1e6)).toEqual([32, 40, 0])
})

it('ages are whole calendar months, of what left and of what is still watched', () => {
  const lives = [
    life({ signedOffAt: at('2026-01-31T00:00:00'), leakAt: at('2026-03-01T00:00:00') }),
    life({ signedOffAt: at('2026-01-02T00:00:00') }),
    life({ signedOffAt: at('2026-01-20T00:00:00') }),
  ]
  expect(agesOf(sums(lives), NOW).sort((a, b) => a.months - b.months)).toEqual([
    { months: 2, leaked: true, count: 1 },
    { months: 6, leaked: false, count: 2 },
  ])
})
