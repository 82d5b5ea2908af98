// Which column of a log is which? A guess from headings, units and figures; what is in doubt is said, and can be changed.

import { type PressureUnit, parseQuantity, type TemperatureUnit, UNIT_LABELS } from '../trade/units.ts'
import { say } from '../words/say.ts'
import {
  clockIn,
  DATE_ORDERS,
  type DateOrder,
  type Decimal,
  dateIn,
  momentIn,
  numberIn,
  plainNumber,
  spanIn,
} from './cells.ts'
import type { LogTable } from './table.ts'

export type LogKind = 'pressure' | 'vacuum'
export const TIME_READINGS = ['moment', 'clock', 's', 'min', 'h', 'h:mm:ss', 'unix'] as const
/** A moment with its date, a time of day, or what has passed since the log began. */
export type TimeReading = (typeof TIME_READINGS)[number]

/** Columns by number, from 1, as people count; 0 where there is none. */
export interface LogColumns {
  time: number
  date: number
  pressure: number
  temperature: number
  phase: number
}

export interface Guess {
  columns: LogColumns
  timeAs: TimeReading
  dateOrder: DateOrder
  decimal: Decimal
  /** Null where heading or cells name it themselves. */
  pressureUnit: PressureUnit | null
  temperatureUnit: TemperatureUnit | null
  /** What to look at before it is taken. */
  doubts: string[]
}

export interface GuessContext {
  kind: LogKind
  /** The unit used last in this test: where the log names none. */
  pressureUnit: PressureUnit
  temperatureUnit: TemperatureUnit
  /** When the test began: of two ways to read a date, the nearer. */
  startedAt: number
}

/** So many rows are looked at. */
const LOOKED_AT = 400

/** The common words of a heading in a few languages; from memory. */
const WORDS = {
  time: /^(date ?\/? ?time|time ?stamp|time|clock|zeit|uhrzeit|zeitpunkt|hora|tiempo|heure|temps|ora|tempo|tid|moment|t)$/,
  elapsed:
    /(elapsed|duration|since|dauer|laufzeit|transcurrido|écoulé|ecoule|minutes?|seconds?|minuten|sekunden|minutos|segundos)/,
  date: /^(date|day|datum|tag|fecha|día|dia|jour|data|dato)$/,
  pressure: /(press|druck|presi|vacuum|vakuum|vacío|vacio|vide|gauge|^p\d?$|micron)/,
  temperature: /(temp|°c|°f|^t[12]?$|thermo)/,
  phase: /(phase|stage|step|state|status|mode|schritt|etapa|fase)/,
  index: /^(#|no\.?|nr\.?|n°|num|number|index|row|sample|record|id|lfd.*|count)$/,
} as const

interface Column {
  number: number
  /** Without its unit, in lower case. */
  name: string
  title: string
  heading: string
  /** The unit that the heading writes, as it stands there. */
  unit: string | null
  cells: string[]
  share: (test: (cell: string) => boolean) => number
}

/** "Pressure (bar)", "P/kPa", "temp_degC", "Druck [mbar]": the name and the unit. */
export function headingParts(heading: string): { name: string; unit: string | null } {
  const title = heading.trim()
  const bracket = /^(.*?)[\s_]*[([{<]([^)\]}>]*)[)\]}>]\s*(.*)$/.exec(title)
  if (bracket) return { name: `${bracket[1]} ${bracket[3]}`.trim(), unit: bracket[2]?.trim() || null }
  const last = /^(.*?)\s*[\s_/,:]\s*(?:in\s+)?([^\s_/,:]+)$/.exec(title)
  if (last && isKnownUnit(last[2] ?? '')) return { name: (last[1] ?? '').trim(), unit: last[2] ?? null }
  return isKnownUnit(title) ? { name: '', unit: title } : { name: title, unit: null }
}

const TIME_UNITS: Record<string, TimeReading> = {
  s: 's',
  sec: 's',
  secs: 's',
  second: 's',
  seconds: 's',
  sek: 's',
  min: 'min',
  mins: 'min',
  minute: 'min',
  minutes: 'min',
  h: 'h',
  hr: 'h',
  hrs: 'h',
  hour: 'h',
  hours: 'h',
  std: 'h',
}
const timeUnit = (unit: string): TimeReading | null =>
  TIME_UNITS[unit.toLowerCase()] ?? (/^h+:mm?(:ss?)?$/i.test(unit) ? 'h:mm:ss' : null)

const readsAs = (unit: string, kind: 'gauge-pressure' | 'absolute-pressure' | 'temperature') =>
  parseQuantity(`1 ${unit}`, kind) !== null
/** Units that gauges write and that are not read here: no guess may stand in for them. */
export const isForeignUnit = (unit: string) =>
  /^(in|mm|cm|m)?\s?(hg|h2o|wc|aq)|kgf?\s?\/?\s?cm|^atm/i.test(unit)
const isPressureUnit = (unit: string) => readsAs(unit, 'gauge-pressure') || readsAs(unit, 'absolute-pressure')
// A lone letter is a unit in brackets only: "C" may be a channel, "t" and "P" are names.
const isKnownUnit = (unit: string) =>
  (unit.length > 1 || unit === 'µ') &&
  (isPressureUnit(unit) || readsAs(unit, 'temperature') || timeUnit(unit) !== null)

export function guessColumns(table: LogTable, context: GuessContext): Guess {
  const columns = columnsOf(table)
  const doubts: string[] = []
  const decimal = guessDecimal(table, doubts)
  const number = (cell: string) => numberIn(cell, decimal)
  const isNumber = (cell: string) => plainNumber(cell, decimal) !== null
  const anyMoment = (cell: string) => DATE_ORDERS.some((order) => momentIn(cell, order) !== null)
  const anyDate = (cell: string) => DATE_ORDERS.some((order) => dateIn(cell, order) !== null)

  const moments = best(columns, (one) => (one.share(anyMoment) > 0.6 ? 1 : 0))
  const clocks = best(columns, (one) =>
    one.share((cell) => clockIn(cell) !== null || spanIn(cell) !== null) > 0.6
      ? 1 + (WORDS.time.test(one.name) || WORDS.elapsed.test(one.name) ? 1 : 0)
      : 0,
  )
  const dates = best(columns, (one) => (one.share(anyDate) > 0.6 ? 1 : 0))
  const counted = best(columns, (one) => {
    if (one.share(isNumber) < 0.6 || !climbs(one.cells, decimal)) return 0
    const named =
      WORDS.time.test(one.name) || WORDS.elapsed.test(one.title) || (one.unit !== null && timeUnit(one.unit))
    if (WORDS.index.test(one.name)) return 0.1
    if ((one.unit !== null && timeUnit(one.unit) === null) || WORDS.pressure.test(one.name)) return 0
    return named ? 3 : one.number === 1 ? 2 : 1
  })
  const time = moments ?? clocks ?? counted
  const date = time !== null && time === clocks && moments === null ? dates : null
  const taken = new Set([time?.number, date?.number])
  const timeAs = guessTimeReading(time, date, decimal)

  const kind = context.kind === 'pressure' ? 'gauge-pressure' : 'absolute-pressure'
  const pressureScore = (one: Column): number => {
    if (taken.has(one.number)) return 0
    const numeric = one.share((cell) => number(cell) !== null)
    if (numeric < 0.3) return 0
    const inCells = one.share((cell) => readsAs(number(cell)?.rest || '-', kind))
    if (one.unit !== null && (readsAs(one.unit, 'temperature') || timeUnit(one.unit) !== null)) return 0
    if (WORDS.index.test(one.name) || (WORDS.temperature.test(one.name) && one.unit === null)) return 0.1
    return (
      numeric +
      4 * inCells +
      (one.unit !== null && isPressureUnit(one.unit) ? (readsAs(one.unit, kind) ? 4 : 1) : 0) +
      (WORDS.pressure.test(one.name) ? 3 : 0)
    )
  }
  const pressure = best(columns, pressureScore)
  if (pressure) taken.add(pressure.number)
  const temperatureScore = (one: Column): number => {
    if (taken.has(one.number)) return 0
    const numeric = one.share((cell) => number(cell) !== null)
    const inCells = one.share((cell) => readsAs(number(cell)?.rest || '-', 'temperature'))
    if (numeric < 0.3 || WORDS.index.test(one.name)) return 0
    if (one.unit !== null && (isPressureUnit(one.unit) || isForeignUnit(one.unit) || timeUnit(one.unit)))
      return 0
    const named =
      4 * inCells +
      (one.unit !== null && readsAs(one.unit, 'temperature') ? 4 : 0) +
      (WORDS.temperature.test(one.name.toLowerCase()) ? 3 : 0)
    // Without a name only where a pressure test needs one and the figures could be degrees.
    const could =
      context.kind === 'pressure' &&
      one.title === '' &&
      one.share((cell) => {
        const value = number(cell)?.value
        return value !== undefined && value > -40 && value < 140
      }) > 0.9
    return named > 0 ? numeric + named : could ? 0.5 : 0
  }
  const temperature = best(columns, temperatureScore)
  if (temperature) taken.add(temperature.number)
  const phase = best(columns, (one) =>
    !taken.has(one.number) && one.share((cell) => phaseIn(cell, context.kind) !== null) > 0.6 ? 1 : 0,
  )

  sayDoubts(columns, pressureScore, pressure, say.gaugeLogs.thePressure, doubts)
  sayDoubts(columns, temperatureScore, temperature, say.gaugeLogs.theTemperature, doubts)
  const dateColumn = date ?? (timeAs === 'moment' ? time : null)
  const dateOrder = guessDateOrder(dateColumn, context.startedAt, doubts)
  return {
    columns: {
      time: time?.number ?? 0,
      date: date?.number ?? 0,
      pressure: pressure?.number ?? 0,
      temperature: temperature?.number ?? 0,
      phase: phase?.number ?? 0,
    },
    timeAs,
    dateOrder,
    decimal,
    pressureUnit: guessUnit(pressure, kind, decimal, context.pressureUnit, doubts),
    temperatureUnit:
      temperature === null
        ? null
        : guessUnit(temperature, 'temperature', decimal, context.temperatureUnit, doubts),
    doubts,
  }
}

function columnsOf(table: LogTable): Column[] {
  const rows = table.rows.slice(0, LOOKED_AT)
  return Array.from({ length: table.width }, (_, index) => {
    const title = table.heading[index] ?? ''
    const { name, unit } = headingParts(title)
    const cells = rows.map((row) => row.cells[index] ?? '').filter((cell) => cell !== '')
    return {
      number: index + 1,
      name: name.toLowerCase(),
      title: title.toLowerCase(),
      heading: title,
      unit,
      cells,
      share: (test) => (cells.length === 0 ? 0 : cells.filter(test).length / rows.length),
    }
  })
}

/** The first of the highest scores above nothing. */
function best(columns: readonly Column[], score: (column: Column) => number): Column | null {
  let found: { column: Column; score: number } | null = null
  for (const column of columns) {
    const own = score(column)
    if (own > 0 && (found === null || own > found.score)) found = { column, score: own }
  }
  return found?.column ?? null
}

function climbs(cells: readonly string[], decimal: Decimal): boolean {
  const values = cells.flatMap((cell) => plainNumber(cell, decimal) ?? [])
  const steps = values.slice(1).map((value, index) => value - (values[index] ?? value))
  const up = steps.filter((step) => step > 0).length
  const down = steps.filter((step) => step < 0).length
  return values.length > 1 && (up >= 0.9 * steps.length || down >= 0.9 * steps.length)
}

function guessTimeReading(time: Column | null, date: Column | null, decimal: Decimal): TimeReading {
  if (time === null) return 'min'
  if (time.share((cell) => DATE_ORDERS.some((order) => momentIn(cell, order) !== null)) > 0.5) return 'moment'
  const written = time.unit === null ? null : timeUnit(time.unit)
  const isSpan = time.share((cell) => spanIn(cell) !== null) > 0.5
  if (isSpan || time.share((cell) => clockIn(cell) !== null) > 0.5) {
    if (date !== null) return 'moment'
    const first = time.cells[0] ?? ''
    const startsAtNothing =
      spanIn(first) !== null && (spanIn(first) ?? 1) < 60 && clockIn(first) !== 12 * 3600
    // The first minute of a day is rarer than a log that begins at nothing.
    if (WORDS.elapsed.test(time.title) || written === 'h:mm:ss') return 'h:mm:ss'
    // A few are errors; more are hours that no day has.
    if (time.share((cell) => clockIn(cell) === null && spanIn(cell) !== null) > 0.15) return 'h:mm:ss'
    return startsAtNothing ? 'h:mm:ss' : 'clock'
  }
  if (written !== null) return written
  const values = time.cells.flatMap((cell) => plainNumber(cell, decimal) ?? [])
  const highest = Math.max(...values)
  if (highest > 1e9) return 'unix'
  if (/sec|sek|segundo/.test(time.title)) return 's'
  if (/min/.test(time.title)) return 'min'
  if (/hour|hora|stund/.test(time.title)) return 'h'
  // Nobody holds a test for four days; a log in seconds passes that figure in an hour and a half.
  return highest > 4 * 24 * 60 ? 's' : 'min'
}

function guessDecimal(table: LogTable, doubts: string[]): Decimal {
  const cells = table.rows
    .slice(0, LOOKED_AT)
    .flatMap((row) => row.cells)
    .filter((cell) => !/[:/]|\d[.-]\d+[.-]\d/.test(cell) && /\d/.test(cell))
  const withComma = cells.filter((cell) => /\d,\d/.test(cell))
  if (withComma.length === 0) return 'point'
  const withPoint = cells.filter((cell) => /\d\.\d/.test(cell))
  const both = cells.find((cell) => /\d\.\d/.test(cell) && /\d,\d/.test(cell))
  if (both !== undefined) return both.lastIndexOf(',') > both.lastIndexOf('.') ? 'comma' : 'point'
  // "0,512" and "1,5" and "12,3456" can't be thousands; "4,150" can.
  if (withComma.some((cell) => !/(?<!\d)[1-9]\d{0,2}(,\d{3})+(?!\d)/.test(cell))) return 'comma'
  if (withPoint.length > 0) return 'point'
  const guess: Decimal = table.delimiter === 'comma' ? 'point' : 'comma'
  const [example = ''] = withComma
  doubts.push(
    guess === 'comma' ? say.gaugeLogs.isReadWithA(example) : say.gaugeLogs.isReadAsThousands(example),
  )
  return guess
}

function guessDateOrder(column: Column | null, startedAt: number, doubts: string[]): DateOrder {
  if (column === null) return 'year-first'
  const dayIn = (cell: string, order: DateOrder) => dateIn(cell, order) ?? momentIn(cell, order)?.ms ?? null
  const readable = DATE_ORDERS.map((order) => ({
    order,
    share: column.share((cell) => dayIn(cell, order) !== null),
    away: Math.min(
      ...column.cells.flatMap((cell) => {
        const at = dayIn(cell, order)
        return at === null ? [] : [Math.abs(at - startedAt)]
      }),
    ),
  })).filter((one) => one.share > 0)
  const most = Math.max(...readable.map((one) => one.share))
  const equal = readable.filter((one) => one.share > most - 1e-9)
  // A written year in front, or a month by its name, reads the same in every order.
  const [first] = column.cells
  const days = new Set(equal.map(({ order }) => dayIn(first ?? '', order)))
  const nearest = equal.reduce(
    (a, b) => (b.away < a.away ? b : a),
    equal[0] ?? { order: 'year-first', away: 0 },
  )
  if (equal.length > 1 && days.size > 1 && /^\d{1,2}[-/]/.test(first ?? ''))
    doubts.push(say.gaugeLogs.isReadWhichIs(first, nearest.order.replace('-', ' ')))
  return nearest.order as DateOrder
}

function guessUnit<U extends PressureUnit | TemperatureUnit>(
  column: Column | null,
  kind: 'gauge-pressure' | 'absolute-pressure' | 'temperature',
  decimal: Decimal,
  usual: U,
  doubts: string[],
): U | null {
  if (column === null) return null
  if (column.unit !== null && readsAs(column.unit, kind)) return null
  if (column.share((cell) => readsAs(numberIn(cell, decimal)?.rest || '-', kind)) > 0.5) return null
  // Whatever else the heading says, no other unit may stand in for it.
  if (column.unit !== null && (isPressureUnit(column.unit) || isForeignUnit(column.unit))) return null
  const what = kind === 'temperature' ? say.gaugeLogs.theTemperature : say.gaugeLogs.thePressure
  doubts.push(say.gaugeLogs.theLogNamesNo(what, UNIT_LABELS[usual]))
  return usual
}

function sayDoubts(
  columns: readonly Column[],
  score: (column: Column) => number,
  chosen: Column | null,
  what: string,
  doubts: string[],
): void {
  // What was chosen counts as taken by now, so it is left out here.
  const others = chosen === null ? [] : columns.filter((one) => one !== chosen && score(one) > 3)
  if (others.length > 0)
    doubts.push(
      say.gaugeLogs.couldBeTooCheck(
        others
          .map((one) => say.gaugeLogs.column(one.number, one.heading === '' ? '' : ` “${one.heading}”`))
          .join(say.gaugeLogs.and),
        what,
      ),
    )
}

const PHASE_WORDS: Record<LogKind, readonly [RegExp, string][]> = {
  pressure: [
    [/^(rais|fill|pressuri|füll|llen)/, 'raise'],
    [/^(hold|stand|halt|stabil|test|manten)/, 'hold'],
  ],
  vacuum: [
    [/^(pull|pump|evac|down|abpump|vac[ií]o)/, 'pull'],
    [/^(break|sweep|nitrogen|purge|stickstoff)/, 'break'],
    [/^(decay|isolat|hold|rise|leak|stand|halt)/, 'decay'],
  ],
}

/** What a log's own word for a phase means here. */
export function phaseIn(cell: string, kind: LogKind): string | null {
  const word = cell.trim().toLowerCase()
  return PHASE_WORDS[kind].find(([test]) => test.test(word))?.[1] ?? null
}
