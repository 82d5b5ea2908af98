// Does a log say the same whatever parts its columns, heads them and marks its decimals? Tables of logs, edges first.

import { describe, expect, it } from 'vitest'
import { readText as read } from '../support/gauge-logs.ts'

/** "13:10:00 4150 kPa 21.5 degC" */
const inWords = (log: Awaited<ReturnType<typeof read>>) =>
  log.rows.map((row) =>
    [
      new Date(row.at).toISOString().slice(11, 19),
      `${row.pressure.value} ${row.pressure.unit}`,
      ...(row.temperature ? [`${row.temperature.value} ${row.temperature.unit}`] : []),
    ].join(' '),
  )
const utf16 = (text: string, mark: boolean, bigEndian = false) => {
  const bytes = Buffer.from(`${mark ? '\ufeff' : ''}${text}`, 'utf16le')
  return bigEndian ? bytes.swap16() : bytes
}

const PRESSURE = ['13:10:00 4.15 MPa 21.5 degC', '13:11:00 4.148 MPa 21.4 degC']
describe('a pressure log', () => {
  it.each([
    ['commas', 'Time,Pressure (MPa),Temp (°C)\n13:10:00,4.15,21.5\n13:11:00,4.148,21.4\n'],
    ['semicolons and decimal commas', 'Zeit;Druck [MPa];Temperatur [°C]\n13:10;4,15;21,5\n13:11;4,148;21,4'],
    ['tabs, and line ends of two kinds', 'time\tp/MPa\tT/degC\r\n13:10\t4.15\t21.5\n13:11\t4.148\t21.4\r\n'],
    ['bars', 'hora|presión (MPa)|temp (C)\n13:10|4.15|21.5\n13:11|4.148|21.4'],
    ['blanks and no heading, units in the cells', '13:10  4.15 MPa   21.5 °C\n13:11  4.148 MPa   21.4 °C'],
    ['quotes around decimal commas', '"t","P (MPa)","T (°C)"\n"13:10","4,15","21,5"\n"13:11","4,148","21,4"'],
    ['a mark at the start of UTF-8', '\ufeffTime;P (MPa);T (°C)\n13:10;4.15;21.5\n13:11;4.148;21.4'],
    ['no heading at all', '13:10;4.15;21.5\n13:11;4.148;21.4'],
    ['columns in another order', 'T [°C];P [MPa];Uhrzeit\n21,5;4,15;13:10\n21,4;4,148;13:11'],
    [
      'an index and a battery beside',
      '#,Time,Battery %,P (MPa),T (°C)\n1,13:10,98,4.15,21.5\n2,13:11,98,4.148,21.4',
    ],
    ['the half of the day', 'Time,P (MPa),T (°C)\n1:10 PM,4.15,21.5\n1:11 p.m.,4.148,21.4'],
    [
      'date and time in two columns',
      'Date,Time,P (MPa),T (°C)\n04.03.2026,13:10,4.15,21.5\n04.03.2026,13:11,4.148,21.4',
    ],
    [
      'date and time in one',
      'ts,P_MPa,T_degC\n2026-03-04 13:10:00,4.15,21.5\n2026-03-04 13:11:00,4.148,21.4',
    ],
    [
      'a zone of its own',
      'ts,P_MPa,T_degC\n2026-03-04T15:10:00+02:00,4.15,21.5\n2026-03-04T13:11:00Z,4.148,21.4',
    ],
    [
      'lines about the gauge before',
      'Gauge;PG-4\nSerial;0012\n\nTime;P;T\n;MPa;°C\n13:10;4,15;21,5\n13:11;4,148;21,4',
    ],
    ['its newest row first', 'Time,P (MPa),T (°C)\n13:11,4.148,21.4\n13:10,4.15,21.5'],
    ['seconds since 1970', 'time,P (MPa),T (°C)\n1772629800,4.15,21.5\n1772629860,4.148,21.4'],
    ['a lone quote', 'on a 3/8" line\nTime,P (MPa),T (°C)\n13:10,4.15,21.5\n13:11,4.148,21.4'],
    [
      'words behind the figures',
      'Time,P (MPa),T (°C),Note\n13:10,4.15,21.5,start\n13:11,4.148,21.4,"in, the shade"',
    ],
  ])('parted by or with %s', async (_, text) => {
    expect(inWords(await read('pressure', text))).toEqual(PRESSURE)
  })

  it.each([
    ['UTF-16 with its mark', utf16('Time;P (MPa);T (°C)\n13:10;4,15;21,5\n13:11;4,148;21,4', true)],
    [
      'UTF-16 the other way round',
      utf16('Time;P (MPa);T (°C)\n13:10;4,15;21,5\n13:11;4,148;21,4', true, true),
    ],
    ['UTF-16 without a mark', utf16('Time;P (MPa);T (C)\n13:10;4,15;21,5\n13:11;4,148;21,4', false)],
    ['an 8-bit alphabet', Buffer.from('Time;P (MPa);T (°C)\n13:10;4,15;21,5\n13:11;4,148;21,4', 'latin1')],
  ])('in %s', async (_, bytes) => {
    expect(inWords(await read('pressure', bytes))).toEqual(PRESSURE)
  })

  it('keeps the gauge’s own unit, and takes the usual one only where none is written, and says so', async () => {
    const psi = await read('pressure', 'Time,Pressure (psig),Temp (°F)\n13:10,"1,602.5",71\n13:11,602,71')
    expect(inWords(psi)).toEqual(['13:10:00 1602.5 psi 71 degF', '13:11:00 602 psi 71 degF'])
    expect(psi.doubts).toEqual([])
    const bare = await read('pressure', 'Time,Pressure,Temp (°C)\n13:10,4.15,21\n13:11,4.148,21')
    expect(bare.read.pressureUnit).toBe('MPa')
    expect(bare.doubts.join()).toContain('names no unit for the pressure: MPa is taken')
    const chosen = await read('pressure', 'Time,Pressure,Temp (°C)\n13:10,41.5,21\n13:11,41.48,21', {
      pressureUnit: 'bar',
    })
    expect(inWords(chosen)[0]).toBe('13:10:00 41.5 bar 21 degC')
  })

  it('never takes an absolute pressure for one above the air’s, nor a unit that it can’t read', async () => {
    const absolute = await read('pressure', 'Time (s),P (bara),T (°C)\n0,41.5,21\n60,41.5,21')
    expect([absolute.rows, absolute.blocked?.why]).toEqual([
      [],
      expect.stringContaining('bara, which is absolute'),
    ])
    const mercury = await read('vacuum', 'Time,Vacuum (inHg)\n13:00,29.9\n13:30,29.8')
    expect([mercury.rows, mercury.blocked?.why]).toEqual([
      [],
      expect.stringContaining('inHg, which is not read here'),
    ])
    const gauge = await read('vacuum', 'Time,P (psig)\n13:00,29.9\n13:30,29.8')
    expect(gauge.blocked?.why).toContain('psig, which is above the air’s pressure')
  })

  it('says which other column could be it, and takes the one that is chosen', async () => {
    const text = 'Time (s),P1 (bar),P2 (bar),T (°C)\n0,41.5,8,21\n60,41.4,8,21'
    const guessed = await read('pressure', text)
    expect(guessed.read.columns.pressure).toBe(2)
    expect(guessed.doubts.join()).toContain('Column 3 “P2 (bar)” could be the pressure too')
    const chosen = await read('pressure', text, { columns: { pressure: 3 } })
    expect(chosen.rows.map((row) => row.pressure.value)).toEqual([8, 8])
    const twice = await read('pressure', text, { columns: { pressure: 4 } })
    expect(twice.blocked?.why).toContain('can’t be two things')
  })
})

describe('a decimal comma', () => {
  it.each([
    ['4,15', 'comma', 4.15, false],
    ['0,512', 'comma', 0.512, false],
    ['1.234,5', 'comma', 1234.5, false],
    ['1,234.5', 'point', 1234.5, false],
    ['1.5', 'point', 1.5, false],
    // Fifteen hundred to one reader, one and a half to another.
    ['1,500', 'comma', 1.5, true],
  ])('%s is read by the %s', async (cell, decimal, value, inDoubt) => {
    const log = await read('vacuum', `t;Pa\n0;${cell}\n1;${cell}`)
    expect([log.read.decimal, log.rows[0]?.pressure.value]).toEqual([decimal, value])
    expect(log.doubts.some((doubt) => doubt.includes('decimal comma'))).toBe(inDoubt)
  })

  it('is no comma between columns', async () => {
    const log = await read('vacuum', 'min,micron\n0,"1,500"\n1,"1,510"')
    expect(log.rows.map((row) => row.pressure.value)).toEqual([1500, 1510])
    const other = await read('vacuum', 'min,micron\n0,"1,500"\n1,"1,510"', { decimal: 'comma' })
    expect(other.rows.map((row) => row.pressure.value)).toEqual([1.5, 1.51])
  })
})

describe('what can’t be read', () => {
  it('is said row by row, with the reason, and the rest is read', async () => {
    const log = await read(
      'pressure',
      'Time;P (MPa);T (°C)\n13:10;4,15;21\nnoon;4,15;21\n13:12;;21\n13:13;OL;21\n13:14;4,15;\n--;--;--\n13:16;4,15;21\n25:00;4,15;21\n',
    )
    expect(log.rows.map(({ line }) => line)).toEqual([2, 8])
    expect(log.faults).toEqual([
      { line: 3, why: 'no time can be read in “noon”' },
      { line: 4, why: 'no pressure in it' },
      { line: 5, why: 'no gauge pressure can be read in “OL”' },
      { line: 6, why: 'no temperature in it' },
      { line: 7, why: 'no figures in it: “-- -- --”', isHarmless: true },
      { line: 9, why: 'no time can be read in “25:00”' },
    ])
  })

  it.each([
    ['nothing', '', 'nothing in this file'],
    ['blanks', ' \n \n', 'nothing but blanks'],
    ['words', 'hello\nthere', 'no number in it'],
    ['one column', '310\n320\n330', 'only one column'],
    ['bytes that are no text', Buffer.from([1, 2, 3, 0, 250, 10, 7]), 'This is no text'],
    ['a spreadsheet', Buffer.from([0x50, 0x4b, 3, 4, 20, 0]), 'Save it as CSV'],
    ['10 MB', Buffer.alloc(10 * 1024 * 1024, '0;310\n'), 'Logs of up to 2 MB'],
    ['too many rows', '0;1\n'.repeat(20_001), '20001 rows'],
  ])('%s is refused in plain words', async (_, input, words) => {
    await expect(read('vacuum', input)).rejects.toThrow(words)
  })
})
