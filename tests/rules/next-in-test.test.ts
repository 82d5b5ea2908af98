// Which reading comes next, when, and when is a running test decided at the earliest?

import { describe, expect, it } from 'vitest'
import { nextInEvacuation, nextInPressureTest } from '../../server/rules/next-in-test.ts'

const NOON = Date.UTC(2026, 2, 4, 12)
const minutes = (at: number | null | undefined) => (at == null ? null : (at - NOON) / 60_000)
const why = (...codes: string[]) => codes.map((code) => ({ code, text: code }))

describe('a pressure test', () => {
  const next = (
    readings: [number, 'raise' | 'hold'][],
    verdict: 'holds' | 'falls' | 'cannot-tell' | 'void' = 'cannot-tell',
    ...codes: string[]
  ) => {
    const { advice, due, decidesAt } = nextInPressureTest(
      readings.map(([minute, stage]) => ({ at: NOON + minute * 60_000, stage })),
      { verdict, reasons: why(...codes) as never, requiredHoldS: 3600 },
      600,
    )
    return [advice, due?.what ?? null, minutes(due?.at), minutes(decidesAt)]
  }
  it.each([
    ['nothing read', [], 'cannot-tell', [], ['raise', null, null, null]],
    ['raised once', [[0, 'raise']], 'cannot-tell', ['missing-reading'], ['settle', 'start-of-hold', 10, 70]],
    [
      'raised further',
      [
        [0, 'raise'],
        [7, 'raise'],
      ],
      'cannot-tell',
      [],
      ['settle', 'start-of-hold', 17, 77],
    ],
    [
      'the hold begun',
      [
        [0, 'raise'],
        [10, 'hold'],
      ],
      'cannot-tell',
      ['missing-reading'],
      ['read-on', 'reading', 25, 70],
    ],
    [
      'read a little later',
      [
        [10, 'hold'],
        [26, 'hold'],
      ],
      'cannot-tell',
      ['hold-too-short'],
      ['read-on', 'reading', 40, 70],
    ],
    [
      'read just on the quarter',
      [
        [10, 'hold'],
        [25, 'hold'],
      ],
      'cannot-tell',
      ['hold-too-short'],
      ['read-on', 'reading', 40, 70],
    ],
    [
      'the last quarter',
      [
        [10, 'hold'],
        [58, 'hold'],
      ],
      'cannot-tell',
      ['hold-too-short'],
      ['read-on', 'last-reading', 70, 70],
    ],
    [
      'holds',
      [
        [10, 'hold'],
        [70, 'hold'],
      ],
      'holds',
      [],
      ['holds', null, null, null],
    ],
    [
      'falls early',
      [
        [10, 'hold'],
        [30, 'hold'],
      ],
      'falls',
      ['fall-proven', 'hold-too-short'],
      ['falls', null, null, null],
    ],
    [
      'not excluded',
      [
        [10, 'hold'],
        [70, 'hold'],
      ],
      'cannot-tell',
      ['fall-not-excluded'],
      ['read-on', 'reading', 85, null],
    ],
    [
      'rose',
      [
        [10, 'hold'],
        [70, 'hold'],
      ],
      'cannot-tell',
      ['rise-unexplained'],
      ['start-again', null, null, null],
    ],
    [
      'begun too low',
      [
        [10, 'hold'],
        [30, 'hold'],
      ],
      'cannot-tell',
      ['pressure-not-reached'],
      ['start-again', null, null, null],
    ],
    [
      'begun too early',
      [
        [0, 'raise'],
        [3, 'hold'],
      ],
      'cannot-tell',
      ['settling-too-short'],
      ['start-again', null, null, null],
    ],
    ['oxygen', [[0, 'raise']], 'void', ['wrong-medium'], ['void', null, null, null]],
  ] as const)('%s', (_, readings, verdict, codes, expected) => {
    expect(next(readings.map((one) => [...one]) as never, verdict, ...codes)).toEqual(expected)
  })
})

describe('an evacuation', () => {
  const next = (
    readings: [number, 'pull' | 'break' | 'decay', number][],
    more: {
      verdict?: 'tight' | 'moisture' | 'leak' | 'cannot-tell'
      codes?: string[]
      minutesToDecide?: number
      holdS?: number
    } = {},
  ) => {
    const criterion = (value: number) => ({ value, source: 'policy' })
    const lastOther = readings.findLastIndex(([, phase]) => phase !== 'decay')
    const isolated = readings[lastOther + 1]
    const { advice, due, decidesAt } = nextInEvacuation(
      readings.map(([minute, phase, absolutePressurePa]) => ({
        at: NOON + minute * 60_000,
        phase,
        absolutePressurePa,
      })),
      {
        verdict: more.verdict ?? 'cannot-tell',
        reasons: why(...(more.codes ?? [])) as never,
        criteria: { targetPa: criterion(66), limitPa: criterion(200), holdS: criterion(more.holdS ?? 600) },
        isolatedAtMs: isolated ? NOON + isolated[0] * 60_000 : null,
        minutesToDecide: more.minutesToDecide ?? null,
      },
    )
    return [advice, due?.what ?? null, minutes(due?.at), minutes(decidesAt)]
  }
  const decay = (...at: number[]): [number, 'decay', number][] => at.map((minute) => [minute, 'decay', 40])
  it('waits for the target, then for the pump to be shut off', () => {
    expect(next([])).toEqual(['pull', null, null, null])
    expect(next([[0, 'pull', 900]])).toEqual(['pull', null, null, null])
    expect(next([[0, 'pull', 66]])).toEqual(['isolate', null, null, null])
    // Broken with nitrogen, it has to be pulled down again.
    expect(next([...decay(0, 1), [5, 'break', 50]])).toEqual(['pull', null, null, null])
  })
  it('is read once a minute while it is held, and at the end of it', () => {
    expect(next(decay(0))).toEqual(['read-on', 'reading', 1, 10])
    expect(next(decay(0, 1, 2.5))).toEqual(['read-on', 'reading', 3.5, 10])
    expect(next(decay(0, 9.5))).toEqual(['read-on', 'last-reading', 10, 10])
    expect(next(decay(0, 1), { holdS: 3600 })).toEqual(['read-on', 'reading', 7, 60])
    expect(next(decay(0, 1, 2), { minutesToDecide: 30 })).toEqual(['read-on', 'reading', 3, 32])
  })
  it('is read on for as long as that should decide it', () => {
    expect(next(decay(0, 5, 10), { minutesToDecide: 20 })).toEqual(['read-on', 'reading', 14, 30])
    expect(next(decay(0, 5, 10), { minutesToDecide: 1 })).toEqual(['read-on', 'reading', 11, 11])
    expect(next(decay(0, 5, 10), { minutesToDecide: 240 })).toEqual(['read-on', 'reading', 20, 250])
    expect(next(decay(0, 10), { codes: ['too-few-readings'] })).toEqual(['read-on', 'reading', 11, null])
  })
  it('asks for no reading that can’t decide', () => {
    expect(next(decay(0, 5, 10))).toEqual(['pull-again', null, null, null])
    expect(next(decay(0, 1), { codes: ['target-not-reached'] })).toEqual(['pull-again', null, null, null])
    expect(next(decay(0, 1), { codes: ['gauge-too-coarse'] })).toEqual(['pull-again', null, null, null])
    for (const verdict of ['tight', 'moisture', 'leak'] as const)
      expect(next(decay(0, 5, 10), { verdict })).toEqual([verdict, null, null, null])
  })
})
