// When was each row of a log read? Clocks and spans, over midnight, over changed clocks, out of order.

import { describe, expect, it } from 'vitest'
import { instantOf, isZone, localAt } from '../../server/gauge-logs/local-time.ts'
import { readText as read } from '../support/gauge-logs.ts'

const times = (log: Awaited<ReturnType<typeof read>>) =>
  log.rows.map((row) => new Date(row.at).toISOString().slice(0, 19))

describe('times that count from the beginning', () => {
  it.each([
    ['seconds', 't (s);micron\n0;310\n90;320', ['13:00:00', '13:01:30']],
    ['minutes', 'min;micron\n0;310\n1,5;320', ['13:00:00', '13:01:30']],
    ['hours', 'Elapsed (h);micron\n0;310\n0,025;320', ['13:00:00', '13:01:30']],
    ['h:mm:ss', 'Elapsed;micron\n0:00:00;310\n0:01:30;320', ['13:00:00', '13:01:30']],
    ['m:ss', '0:00;310\n1:30;320', ['13:00:00', '13:01:30']],
    ['no unit', '0 310\n1 320', ['13:00:00', '13:01:00']],
    ['no unit, and far too many for minutes', '0 310\n6000 320', ['13:00:00', '14:40:00']],
  ])('in %s', async (_, text, expected) => {
    const log = await read('vacuum', text)
    expect(times(log).map((time) => time.slice(11))).toEqual(expected)
    expect(log.doubts.join()).toContain('count from when it began')
  })

  it('count from the moment that is given, and never end in the future', async () => {
    const text = 'min;micron\n0;310\n180;320'
    expect(times(await read('vacuum', text))).toEqual(['2026-03-04T12:00:00', '2026-03-04T15:00:00'])
    const beganAt = Date.UTC(2026, 2, 3, 9)
    expect(times(await read('vacuum', text, { beganAt }))).toEqual([
      '2026-03-03T09:00:00',
      '2026-03-03T12:00:00',
    ])
  })
})

describe('times of day', () => {
  it('go on past midnight', async () => {
    const log = await read(
      'vacuum',
      '23:58 310\n23:59 320\n0:00 330\n0:01 340',
      {},
      { now: Date.UTC(2026, 2, 4, 3), startedAt: Date.UTC(2026, 2, 3, 23, 50) },
    )
    expect(times(log)).toEqual([
      '2026-03-03T23:58:00',
      '2026-03-03T23:59:00',
      '2026-03-04T00:00:00',
      '2026-03-04T00:01:00',
    ])
  })

  it('lie on the day that is nearest to the test, and not in the future', async () => {
    expect(times(await read('vacuum', '13:10 310\n13:11 320'))[0]).toBe('2026-03-04T13:10:00')
    expect(times(await read('vacuum', '23:10 310\n23:11 320'))[0]).toBe('2026-03-03T23:10:00')
    const beganAt = Date.UTC(2026, 2, 1, 13)
    expect(times(await read('vacuum', '13:10 310\n13:11 320', { beganAt }))[0]).toBe('2026-03-01T13:10:00')
  })

  it('are those of the zone', async () => {
    const log = await read('vacuum', '14:10 310\n14:11 320', {}, { zone: 'Europe/Berlin' })
    expect(times(log)[0]).toBe('2026-03-04T13:10:00')
    expect(times(await read('vacuum', '15:10 310\n15:11 320', { zone: '+02:00' }))[0]).toBe(
      '2026-03-04T13:10:00',
    )
  })
})

describe('dates', () => {
  it.each([
    ['04.03.2026', '2026-03-04'],
    ['04/03/26', '2026-03-04'],
    // Read month first, this is nearer to the test.
    ['03/04/2026', '2026-03-04'],
    ['2026/3/4', '2026-03-04'],
    ['26-03-04', '2026-03-04'],
    ['4 Mar 2026', '2026-03-04'],
    ['04-Mar-26', '2026-03-04'],
  ])('%s is %s', async (date, day) => {
    const log = await read('vacuum', `when;micron\n${date} 13:10;310\n${date} 13:11;320`)
    expect(times(log)[0]).toBe(`${day}T13:10:00`)
  })

  it('in doubt are said, and read as chosen', async () => {
    const text = 'when;micron\n03/04/2026 13:10;310\n03/04/2026 13:11;320'
    expect((await read('vacuum', text)).doubts.join()).toContain('“03/04/2026 13:10” is read month first')
    expect(times(await read('vacuum', text, { dateOrder: 'day-first' }))[0]).toBe('2026-04-03T13:10:00')
  })
})

describe('the order of rows', () => {
  it('drops the same moment twice, and what jumps back', async () => {
    const log = await read('vacuum', '13:00 310\n13:00 311\n13:01 320\n12:59 100\n13:02 330')
    expect(log.rows.map(({ line }) => line)).toEqual([1, 3, 5])
    expect(log.faults).toEqual([
      { line: 2, why: 'the same moment as row 1', isHarmless: true },
      { line: 4, why: 'its time does not follow on the rows around it' },
    ])
  })

  it('gives up one wrong date, not all that come after it', async () => {
    const rows = ['2026-03-04 13:00', '2062-03-04 13:01', '2026-03-04 13:02', '2026-03-04 13:03']
    const log = await read('vacuum', rows.map((row) => `${row};310`).join('\n'))
    expect(log.faults.map(({ line }) => line)).toEqual([2])
  })
})

describe('clocks that were changed in between', () => {
  const berlin = { zone: 'Europe/Berlin', now: Date.UTC(2025, 11, 1), startedAt: Date.UTC(2025, 9, 25, 23) }
  const spaced = async (rows: string[]) => {
    const log = await read('vacuum', rows.map((row) => `${row};310`).join('\n'), {}, berlin)
    const gaps = log.rows.slice(1).map((row, index) => (row.at - (log.rows[index]?.at ?? 0)) / 60_000)
    return { gaps, doubts: log.doubts.join(), faults: log.faults }
  }

  it('back: an hour that is written twice was lived twice', async () => {
    const { gaps, doubts, faults } = await spaced([
      '2025-10-26 02:30',
      '2025-10-26 02:59',
      '2025-10-26 02:00',
      '2025-10-26 03:10',
    ])
    expect([gaps, faults]).toEqual([[29, 1, 70], []])
    expect(doubts).toContain('went back during this log, and its own clock with them')
  })
  it('back: without that hour, the gauge kept its own time', async () => {
    const { gaps, doubts } = await spaced(['2025-10-26 01:30', '2025-10-26 02:30', '2025-10-26 03:30'])
    expect(gaps).toEqual([60, 60])
    expect(doubts).toContain('went back during this log; its own clock did not')
  })
  it('forward: an hour that nobody had is missing', async () => {
    const { gaps, doubts } = await spaced(['2025-03-30 01:58', '2025-03-30 01:59', '2025-03-30 03:00'])
    expect(gaps).toEqual([1, 1])
    expect(doubts).toContain('went forward during this log, and its own clock with them')
  })
  it('forward: where it is there all the same, the gauge kept its own time', async () => {
    const { gaps, doubts } = await spaced(['2025-03-30 01:59', '2025-03-30 02:00', '2025-03-30 03:00'])
    expect(gaps).toEqual([1, 60])
    expect(doubts).toContain('went forward during this log; its own clock did not')
  })
})

describe('a zone', () => {
  it.each([
    ['UTC', true],
    ['Europe/Berlin', true],
    ['America/Argentina/Buenos_Aires', true],
    ['+05:30', true],
    ['-03:00', true],
    ['+25:00', false],
    ['Europe/Nowhere', false],
    ['', false],
    ['x'.repeat(80), false],
  ])('%s: %s', (zone, is) => expect(isZone(zone)).toBe(is))

  it('turns instants into what its clocks show, and back', () => {
    for (const zone of ['UTC', 'Asia/Kathmandu', 'America/St_Johns', 'Australia/Lord_Howe', '+05:30'])
      for (let at = Date.UTC(2026, 0, 1, 0, 30); at < Date.UTC(2027, 0, 1); at += 86_400_000 * 5)
        expect(instantOf(localAt(at, zone), zone)).toBe(at)
  })
})
