// What can one cell of a log be? A number, a time of day, a date, a moment, a span of time; never more than stands in it.

import { parseQuantity } from '../trade/units.ts'

export type Decimal = 'point' | 'comma'
export const DECIMALS = ['point', 'comma'] as const
export type DateOrder = 'year-first' | 'day-first' | 'month-first'
export const DATE_ORDERS = ['year-first', 'day-first', 'month-first'] as const

const BLANKS = /[\u00a0\u2009\u202f\t]/g
const MINUS = /[\u2212\u2012\u2013]/g
const tidy = (text: string) => text.replace(BLANKS, ' ').replace(MINUS, '-').trim()

/** A number and what stands behind it: "4,15 bar" is 4.15 and "bar". */
export function numberIn(text: string, decimal: Decimal): { value: number; rest: string } | null {
  const parts = /^([+-]?(?:\d[\d.,'’ ]*|[.,]\d+)(?:e[+-]?\d{1,3}(?![\d.,]))?)(.*)$/i.exec(tidy(text))
  if (!parts) return null
  const written = (parts[1] ?? '').trim()
  const rest = (parts[2] ?? '').trim()
  const [mark, group] = decimal === 'comma' ? [',', "[.'’ ]"] : ['.', "[,'’ ]"]
  const thousands = new RegExp(`^[+-]?\\d{1,3}(?:${group}\\d{3})+(?:\\${mark}\\d+)?$`)
  let plain = written
  if (thousands.test(written)) plain = written.replaceAll(new RegExp(group, 'g'), '').replace(mark, '.')
  // One mark that can't part thousands is the decimal mark, whichever it is.
  else plain = written.replace(',', '.')
  if (!/^[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d{1,3})?$/i.test(plain)) return null
  const value = Number(plain)
  return Number.isFinite(value) ? { value, rest } : null
}

/** A number with nothing behind it. */
export function plainNumber(text: string, decimal: Decimal = 'point'): number | null {
  const read = numberIn(text, decimal)
  return read && read.rest === '' ? read.value : null
}

/** Seconds since midnight: "15:10", "15:10:05.5", "3:10 pm". */
export function clockIn(text: string): number | null {
  const parts = /^(\d{1,2}):(\d{2})(?::(\d{2}(?:[.,]\d+)?))?\s*(?:([ap])\.?\s?m\.?)?$/i.exec(tidy(text))
  if (!parts) return null
  const [, hours, minutes, seconds = '0', half] = parts
  const hour = half === undefined ? Number(hours) : (Number(hours) % 12) + (/p/i.test(half) ? 12 : 0)
  if (hour > 23 || Number(minutes) > 59 || (half !== undefined && Number(hours) > 12)) return null
  const second = Number(seconds.replace(',', '.'))
  return second < 60 ? hour * 3600 + Number(minutes) * 60 + second : null
}

/** Seconds: "1:02:03" is an hour, two minutes and three seconds, "62:03" is 62 minutes and three seconds. */
export function spanIn(text: string): number | null {
  const parts = /^(?:(\d{1,4}):)?(\d{1,4}):(\d{2}(?:[.,]\d+)?)$/.exec(tidy(text))
  if (!parts) return null
  const [, hours, minutes, seconds = '0'] = parts
  const second = Number(seconds.replace(',', '.'))
  if (second >= 60 || (hours !== undefined && Number(minutes) > 59)) return null
  return Number(hours ?? 0) * 3600 + Number(minutes) * 60 + second
}

const MONTHS = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec']

/** Midnight of the day as if it were in UTC, in ms. */
export function dateIn(text: string, order: DateOrder): number | null {
  const plain = tidy(text)
  const yearFirst = /^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})$/.exec(plain)
  if (yearFirst) return dayOf(Number(yearFirst[1]), Number(yearFirst[2]), Number(yearFirst[3]))
  const named = /^(\d{1,2})[-. /]([a-z]{3})[a-z]*\.?[-. /](\d{4}|\d{2})$/i.exec(plain)
  if (named) {
    const month = MONTHS.indexOf((named[2] ?? '').toLowerCase()) + 1
    return month === 0 ? null : dayOf(fullYear(named[3] ?? ''), month, Number(named[1]))
  }
  const figures = /^(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d{2})$/.exec(plain)
  if (!figures) return null
  if (order === 'year-first') {
    // "26-03-04"; with four digits at the end it can't be meant.
    return (figures[4] ?? '').length === 4
      ? null
      : dayOf(fullYear(figures[1] ?? ''), Number(figures[3]), Number(figures[4]))
  }
  const [day, month] = order === 'day-first' ? [figures[1], figures[3]] : [figures[3], figures[1]]
  return dayOf(fullYear(figures[4] ?? ''), Number(month), Number(day))
}

const fullYear = (digits: string) => (digits.length <= 2 ? 2000 + Number(digits) : Number(digits))

function dayOf(year: number, month: number, day: number): number | null {
  const at = Date.UTC(year, month - 1, day)
  const back = new Date(at)
  return back.getUTCMonth() === month - 1 && back.getUTCDate() === day ? at : null
}

export interface WrittenMoment {
  /** The clock on the wall, as if it were in UTC; or the instant itself where a zone is written. */
  ms: number
  zoned: boolean
}

/** A date with a time of day, in one cell: "2026-03-04T15:10:00Z", "4.3.2026 15:10". */
export function momentIn(text: string, order: DateOrder): WrittenMoment | null {
  const parts =
    /^(\S.*?\d)(?:T|,? +|T +)(\d{1,2}:\d{2}(?::\d{2}(?:[.,]\d+)?)?(?: ?[ap]\.?m\.?)?) ?(Z|UTC|GMT|[+-]\d{2}:?\d{2})?$/i.exec(
      tidy(text),
    )
  if (!parts) return null
  const day = dateIn(parts[1] ?? '', order)
  const clock = clockIn(parts[2] ?? '')
  if (day === null || clock === null) return null
  const zone = parts[3]
  const local = day + Math.round(clock * 1000)
  return { ms: local - (zone === undefined ? 0 : writtenOffset(zone)), zoned: zone !== undefined }
}

/** In ms ahead of UTC: "+02:00", "-0530", "Z". */
export function writtenOffset(zone: string): number {
  const parts = /^([+-])(\d{2}):?(\d{2})$/.exec(zone)
  if (!parts) return 0
  return (Number(parts[2]) * 60 + Number(parts[3])) * 60_000 * (parts[1] === '-' ? -1 : 1)
}

/** Is this a unit, and of what? "psig" is one of gauge pressure alone. */
export const isUnitOf = (text: string, kind: 'gauge-pressure' | 'absolute-pressure' | 'temperature') =>
  /[a-zµμ°]/i.test(text) && parseQuantity(`1 ${text}`, kind) !== null

/** Does it look like something that was measured, or like a time? */
export function isMeasure(text: string): 'number' | 'time' | null {
  if (clockIn(text) !== null || spanIn(text) !== null) return 'time'
  for (const order of DATE_ORDERS) {
    if (dateIn(text, order) !== null || momentIn(text, order) !== null) return 'time'
  }
  const read = numberIn(text, 'point') ?? numberIn(text, 'comma')
  if (!read) return null
  if (read.rest === '') return 'number'
  return (['gauge-pressure', 'absolute-pressure', 'temperature'] as const).some((kind) =>
    isUnitOf(read.rest, kind),
  )
    ? 'number'
    : null
}
