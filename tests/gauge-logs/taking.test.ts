// Which rows of a log become readings of a test, and in which phase?

import { describe, expect, it } from 'vitest'
import { type Taking, type TakingChoices, type TestSoFar, takingOf } from '../../server/gauge-logs/taking.ts'
import { MOST_READINGS, thinned } from '../../server/gauge-logs/thinning.ts'
import { readText as read } from '../support/gauge-logs.ts'

const NOW = Date.UTC(2026, 2, 4, 15)
const at = (clock: string) => Date.parse(`2026-03-04T${clock}:00Z`)
const test = (more: Partial<TestSoFar> = {}): TestSoFar => ({
  readings: [],
  partedAt: null,
  settleS: 600,
  now: NOW,
  impossible: () => null,
  ...more,
})
const take = async (
  kind: 'pressure' | 'vacuum',
  text: string,
  choices: TakingChoices = {},
  so: Partial<TestSoFar> = {},
) => takingOf(await read(kind, text), test(so), choices)
const phases = (taking: Taking) =>
  taking.readings.map((one) => `${new Date(one.at).toISOString().slice(11, 16)} ${one.phase}`)

/** Raised in two stages, the source off at 13:10, then a hold. */
const RAISED = [
  ['13:00', 1],
  ['13:05', 2.5],
  ['13:10', 4.16],
  ['13:14', 4.155],
  ['13:20', 4.15],
  ['14:00', 4.15],
  ['14:20', 4.149],
]
  .map(([clock, value]) => `${clock};${value};21`)
  .join('\n')
const HEAD = 'time;MPa;°C\n'

describe('a pressure test', () => {
  it('begins its hold when the gas has settled, and leaves out what lies between', async () => {
    const taking = await take('pressure', HEAD + RAISED)
    expect(taking.parting).toBe(at('13:10'))
    expect(phases(taking)).toEqual([
      '13:00 raise',
      '13:05 raise',
      '13:10 raise',
      '13:20 hold',
      '14:00 hold',
      '14:20 hold',
    ])
    expect(taking.leftOut).toEqual({ unread: 0, settling: 1, inRecord: 0, thinned: 0 })
    expect(taking.notes.join()).toContain('One row is left out: the gas settles for 10 minutes')
  })

  it('takes a log of the hold alone as the hold, after what is recorded of the raising', async () => {
    const hold = `${HEAD}13:14;4.155;21\n13:20;4.15;21\n14:20;4.149;21`
    expect(phases(await take('pressure', hold))).toEqual(['13:14 hold', '13:20 hold', '14:20 hold'])
    expect(phases(await take('pressure', hold, {}, { partedAt: at('13:10') }))).toEqual([
      '13:20 hold',
      '14:20 hold',
    ])
  })

  it('goes by what somebody says, whatever the figures look like', async () => {
    expect(
      new Set(
        (await take('pressure', HEAD + RAISED, { parting: 'before' })).readings.map((one) => one.phase),
      ),
    ).toEqual(new Set(['raise']))
    expect(phases(await take('pressure', HEAD + RAISED, { parting: at('13:05') }))[2]).toBe('13:20 hold')
  })

  it('without temperatures takes the two readings that somebody has them for, and no other', async () => {
    const text = `time;MPa\n13:10;4.16\n13:30;4.15\n14:40;4.149`
    const none = await take('pressure', text, { parting: 'after' })
    expect([none.readings, none.blocked]).toEqual([[], expect.stringContaining('It has no temperatures')])
    const two = await take('pressure', text, {
      parting: 'after',
      temperatureAtStart: { value: 21, unit: 'degC' },
      temperatureAtEnd: { value: 19.5, unit: 'degC' },
    })
    expect(two.blocked).toBeNull()
    expect(two.readings.map((one) => [one.line, one.temperature?.value])).toEqual([
      [2, 21],
      [4, 19.5],
    ])
    expect(two.leftOut.thinned).toBe(1)
  })
})

describe('an evacuation', () => {
  const run = 'time;micron\n13:00;90000\n13:10;900\n13:20;320\n13:21;310\n13:22;330\n13:25;360'
  it('is taken to be isolated at the lowest reading, unless it is said or recorded', async () => {
    expect(phases(await take('vacuum', run))).toEqual([
      '13:00 pull',
      '13:10 pull',
      '13:20 pull',
      '13:21 decay',
      '13:22 decay',
      '13:25 decay',
    ])
    expect(phases(await take('vacuum', run, { parting: at('13:22') }))[3]).toBe('13:21 pull')
    expect(phases(await take('vacuum', run, {}, { partedAt: at('13:20') }))[2]).toBe('13:20 decay')
  })
  it('that only pumps down, or only stands, is all of that', async () => {
    expect((await take('vacuum', 'time;micron\n13:00;90000\n13:10;900\n13:20;320')).parting).toBe('before')
    expect((await take('vacuum', 'time;micron\n13:00;310\n13:10;330\n13:20;325')).parting).toBe('after')
  })
  it('goes by the log’s own words where it has a column for them', async () => {
    const taking = await take(
      'vacuum',
      'time;phase;Pa\n13:00;Pump down;9000\n13:10;Pump down;40\n13:11;Nitrogen;90000\n13:12;Isolated;41',
    )
    expect(phases(taking)).toEqual(['13:00 pull', '13:10 pull', '13:11 break', '13:12 decay'])
  })
})

describe('what is left out', () => {
  it('is what is in the record already, what can’t be, and what has not come yet', async () => {
    const taking = await take(
      'vacuum',
      'time;micron\n13:00;310\n13:01;-5\n13:02;320\n15:01;330\n15:05;340',
      {},
      {
        readings: [{ at: at('13:00'), pressurePa: 41 }],
        impossible: (row) => (row.pressure.value < 0 ? "that can't be" : null),
      },
    )
    expect(taking.readings.map(({ line }) => line)).toEqual([4, 5])
    expect(taking.faults).toEqual([
      { line: 3, why: "that can't be" },
      { line: 6, why: 'its time has not come yet' },
    ])
    expect(taking.leftOut).toEqual({ unread: 2, settling: 0, inRecord: 1, thinned: 0 })
  })

  it('is everything, and said so, when the whole log is in the record', async () => {
    const taking = await take(
      'vacuum',
      'time;micron\n13:00;310\n13:01;311',
      {},
      {
        readings: [
          { at: at('13:00'), pressurePa: 41 },
          { at: at('13:01'), pressurePa: 41 },
        ],
      },
    )
    expect(taking.blocked).toBe('Every row of it is in the record already.')
  })
})

describe('thinning', () => {
  const rows = (count: number) =>
    Array.from({ length: count }, (_, index) => ({
      line: index,
      phase: index < count / 4 ? 'pull' : 'decay',
      pressurePa: index === 777 ? 9999 : index === 778 ? 1 : 40 + index / 100,
    }))

  it('leaves few rows as they are', () => {
    expect(thinned(rows(MOST_READINGS))).toEqual({ rows: rows(MOST_READINGS), every: 1 })
  })
  it.each([241, 1000, 20_000])(
    'of %i rows keeps a spread, the ends of each phase, the highest and the lowest',
    (count) => {
      const { rows: kept, every } = thinned(rows(count))
      const lines = new Set(kept.map(({ line }) => line))
      expect(kept.length).toBeLessThanOrEqual(MOST_READINGS)
      expect(kept.length).toBeGreaterThan(MOST_READINGS / 3)
      const quarter = Math.ceil(count / 4)
      for (const line of [0, quarter - 1, quarter, count - 1]) expect(lines).toContain(line)
      if (count > 800) for (const line of [777, 778]) expect(lines).toContain(line)
      const gaps = kept.slice(1).map((row, index) => row.line - (kept[index]?.line ?? 0))
      expect(Math.max(...gaps)).toBeLessThanOrEqual(every)
    },
  )
  it('finds an end also where the phase changes with every row', () => {
    const flips = Array.from({ length: 600 }, (_, index) => ({ phase: String(index % 2), pressurePa: 1 }))
    expect(thinned(flips).rows).toHaveLength(600)
  })
})
