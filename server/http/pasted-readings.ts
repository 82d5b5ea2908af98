// Which readings stand in a pasted text? One a line, as a gauge's log, a table or a person writes them.

import { type PressureUnit, parseNumber, parseQuantity } from '../trade/units.ts'

export interface PastedReading {
  /** Since the first reading; text where it could not be read, so that it is said beside the field. */
  minutes: number | string
  absolutePressure: { value: number | string; unit: string }
}

/** A clock in a line, after a date or without one. */
const CLOCK =
  /^(?:(\d{4}-\d{2}-\d{2})[T ]+)?(\d{1,2}):(\d{2})(?::(\d{2}(?:[.,]\d+)?))?\s*(am|pm)?(?=$|[\s;,|])/i
const DAY_MINUTES = 24 * 60

/**
 * Lines of "minute pressure" or "clock pressure", parted by blanks, tabs, semicolons, bars, or by commas where nothing
 * else parts them; decimal point or comma; a unit behind the pressure goes before the one chosen. A heading without any
 * digit is passed over. Clock times count from the earliest; past midnight they go on.
 */
export function pastedReadings(text: string, unit: string): PastedReading[] {
  const lines = text
    .split(/\r?\n/)
    .map((line) => line.trim())
    .filter((line) => /\d/.test(line))
  let clocked = false
  let before = Number.NEGATIVE_INFINITY
  let days = 0
  const readings = lines.map((line) => {
    const clock = CLOCK.exec(line)
    if (clock) {
      clocked = true
      const [whole, day, hours, minute, seconds, half] = clock
      const twelve = half === undefined ? Number(hours) : (Number(hours) % 12) + (/pm/i.test(half) ? 12 : 0)
      const ofDay = twelve * 60 + Number(minute) + Number((seconds ?? '0').replace(',', '.')) / 60
      if (day === undefined && ofDay + days * DAY_MINUTES < before - DAY_MINUTES / 2) days += 1
      const at = (day === undefined ? days * DAY_MINUTES : Date.parse(day) / 60_000) + ofDay
      before = at
      return {
        minutes: at as number | string,
        absolutePressure: pressureOf(rest(line.slice(whole.length)), unit),
      }
    }
    const [first = '', others = ''] = parted(line)
    return { minutes: parseNumber(first) ?? first, absolutePressure: pressureOf(others, unit) }
  })
  if (!clocked) return readings
  const start = Math.min(...readings.flatMap((one) => (typeof one.minutes === 'number' ? [one.minutes] : [])))
  return readings.map((one) => ({
    ...one,
    // To the millisecond: a clock in minutes has no more.
    minutes:
      typeof one.minutes === 'number' ? Math.round((one.minutes - start) * 60_000) / 60_000 : one.minutes,
  }))
}

/** The first field of a line, and what comes after it. */
function parted(line: string): [string, string] {
  const mark = /[\s;|]+/.exec(line)
  if (mark) return [line.slice(0, mark.index).replace(/,$/, ''), rest(line.slice(mark.index))]
  const comma = line.indexOf(',')
  return comma === -1 ? [line, ''] : [line.slice(0, comma), line.slice(comma + 1)]
}

const rest = (text: string) => text.replace(/^[\s;|,]+/, '').trim()

function pressureOf(text: string, unit: string): { value: number | string; unit: string } {
  // A table may have more columns; the pressure is the first, with its unit where one is written behind it.
  const [first = '', second] = text.split(/[\s;|]+/)
  const written =
    parseQuantity(second === undefined ? first : `${first} ${second}`, 'absolute-pressure') ??
    parseQuantity(first, 'absolute-pressure', unit as PressureUnit)
  return written ?? { value: first === '' ? text : first, unit }
}
