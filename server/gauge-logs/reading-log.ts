// What does a gauge's log say, row by row? Moments, pressures and temperatures as they stand in it; and what can't be read, and why.

import {
  type PressureUnit,
  parseQuantity,
  type Quantity,
  type TemperatureUnit,
  toPascals,
} from '../trade/units.ts'
import { say } from '../words/say.ts'
import {
  clockIn,
  type DateOrder,
  type Decimal,
  dateIn,
  isUnitOf,
  momentIn,
  numberIn,
  plainNumber,
  spanIn,
} from './cells.ts'
import {
  type GuessContext,
  guessColumns,
  headingParts,
  isForeignUnit,
  type LogColumns,
  type LogKind,
  phaseIn,
  type TimeReading,
} from './columns.ts'
import { instantOf, instantsOf, localAt } from './local-time.ts'
import type { LogTable, TableRow } from './table.ts'

/** How a log is to be read; what is left out is guessed. */
export interface LogChoices {
  columns?: { [Name in keyof LogColumns]?: number | undefined } | undefined
  timeAs?: TimeReading | undefined
  dateOrder?: DateOrder | undefined
  decimal?: Decimal | undefined
  /** Goes before the heading's own; a unit in the cell itself goes before both. */
  pressureUnit?: PressureUnit | undefined
  temperatureUnit?: TemperatureUnit | undefined
  /** The zone of the log's clock. */
  zone?: string | undefined
  /** When the log began: for times that count from there, and for the day of a time of day. */
  beganAt?: number | undefined
}

export interface LogContext extends GuessContext {
  zone: string
  /** Of a figure without a unit where others have theirs written beside them; left out, it is not read. */
  elseUnit?: PressureUnit
  now: number
}

export interface LogRow {
  line: number
  at: number
  pressure: Quantity<PressureUnit>
  pressurePa: number
  temperature: Quantity<TemperatureUnit> | null
  /** The log's own word for the phase, where it has a column for it. */
  phase: string | null
}

export interface LogFault {
  line: number
  why: string
  /** A remark or a repetition: nothing is lost with it. */
  isHarmless?: true
}

export interface ReadLog {
  kind: LogKind
  /** Columns as they are in the file: what heads them and what stands in them first. */
  shape: { number: number; heading: string; example: string }[]
  /** How it was read: what was chosen, and for the rest what was guessed. */
  read: {
    columns: LogColumns
    timeAs: TimeReading
    dateOrder: DateOrder
    decimal: Decimal
    pressureUnit: PressureUnit | null
    temperatureUnit: TemperatureUnit | null
    zone: string
    beganAt: number | null
  }
  /** In the order of time, one a moment. */
  rows: LogRow[]
  faults: LogFault[]
  doubts: string[]
  /** Why none of it can be read before something is chosen; null where it can. */
  blocked: { path: string; why: string } | null
  /** Rows of the file below the heading. */
  total: number
}

type MeasuredKind = 'gauge-pressure' | 'absolute-pressure' | 'temperature'

/** Pressures of the kind of test, in the words of units.ts. */
const QUANTITY = { pressure: 'gauge-pressure', vacuum: 'absolute-pressure' } as const

export function readLog(table: LogTable, choices: LogChoices, context: LogContext): ReadLog {
  const { kind } = context
  const guess = guessColumns(table, context)
  const chosen = Object.fromEntries(
    Object.entries(choices.columns ?? {}).filter(([, number]) => number !== undefined),
  )
  const columns: LogColumns = { ...guess.columns, ...chosen }
  const decimal = choices.decimal ?? guess.decimal
  const dateOrder = choices.dateOrder ?? guess.dateOrder
  const timeAs = choices.timeAs ?? guess.timeAs
  const zone = choices.zone ?? context.zone
  const doubts = [...guess.doubts]
  const shape = shapeOf(table)
  const own = (column: number) => headingParts(table.heading[column - 1] ?? '').unit
  const unitOf = (
    column: number,
    quantity: MeasuredKind,
    picked: string | undefined,
    guessed: string | null,
  ) => {
    if (picked !== undefined) return picked
    const written = own(column)
    return written !== null && isUnitOf(written, quantity) ? written : guessed
  }
  const pressureUnit =
    unitOf(columns.pressure, QUANTITY[kind], choices.pressureUnit, guess.pressureUnit) ??
    (own(columns.pressure) === null ? (context.elseUnit ?? null) : null)
  const temperatureUnit = unitOf(
    columns.temperature,
    'temperature',
    choices.temperatureUnit,
    // A column that was chosen by hand may name no unit either.
    guess.temperatureUnit ?? context.temperatureUnit,
  )
  const blocked = whyBlocked(kind, columns, { written: own(columns.pressure), taken: pressureUnit })

  const faults: LogFault[] = []
  const timed: (Timed & { row: TableRow })[] = []
  for (const row of blocked === null ? table.rows : []) {
    const cell = (column: number) => (column === 0 ? '' : (row.cells[column - 1] ?? ''))
    // A row without any figure is a remark, or the heading once more.
    if (!row.cells.some((text) => /\d/.test(text))) {
      faults.push({
        line: row.line,
        why: say.gaugeLogs.noFiguresInIt(quoted(row.cells.join(' '))),
        isHarmless: true,
      })
      continue
    }
    const time = timeOf(cell(columns.time), cell(columns.date), columns.date > 0, timeAs, dateOrder, decimal)
    if (time === null) {
      const text = [cell(columns.date), cell(columns.time)].filter((one) => one !== '').join(' ')
      faults.push({
        line: row.line,
        why: text === '' ? say.gaugeLogs.noTimeInIt : say.gaugeLogs.noTimeCanBe(quoted(text)),
      })
      continue
    }
    timed.push({ ...time, row })
  }
  const placed = place(timed, { timeAs, zone, beganAt: choices.beganAt, context }, doubts)

  const rows: LogRow[] = []
  for (const { row, at } of placed.rows) {
    const text = row.cells[columns.pressure - 1] ?? ''
    const pressure = measured(text, QUANTITY[kind], pressureUnit, decimal) as Quantity<PressureUnit> | null
    if (pressure === null) {
      faults.push({
        line: row.line,
        why:
          text === ''
            ? say.gaugeLogs.noPressureInIt
            : say.gaugeLogs.noPressureCanBe(
                kind === 'pressure' ? say.gaugeLogs.gauge : say.gaugeLogs.absolute,
                quoted(text),
              ),
      })
      continue
    }
    const degrees = columns.temperature === 0 ? '' : (row.cells[columns.temperature - 1] ?? '')
    const temperature = measured(
      degrees,
      'temperature',
      temperatureUnit,
      decimal,
    ) as Quantity<TemperatureUnit> | null
    // A pressure test is nothing without it; an evacuation wants it once.
    if (columns.temperature > 0 && temperature === null && (kind === 'pressure' || degrees !== '')) {
      faults.push({
        line: row.line,
        why:
          degrees === ''
            ? say.gaugeLogs.noTemperatureInIt
            : say.gaugeLogs.noTemperatureCanBe(quoted(degrees)),
      })
      if (kind === 'pressure') continue
    }
    rows.push({
      line: row.line,
      at,
      pressure,
      pressurePa: toPascals(pressure),
      temperature,
      phase: columns.phase === 0 ? null : phaseIn(row.cells[columns.phase - 1] ?? '', kind),
    })
  }
  const ordered = inOrder(rows, faults)
  faults.sort((a, b) => a.line - b.line)
  return {
    kind,
    shape,
    read: {
      columns,
      timeAs,
      dateOrder,
      decimal,
      pressureUnit: choices.pressureUnit ?? guess.pressureUnit,
      temperatureUnit: choices.temperatureUnit ?? guess.temperatureUnit,
      zone,
      beganAt: placed.beganAt,
    },
    rows: ordered,
    faults,
    doubts,
    blocked,
    total: table.rows.length,
  }
}

function whyBlocked(
  kind: LogKind,
  columns: LogColumns,
  unit: { written: string | null; taken: string | null },
): ReadLog['blocked'] {
  const because = (path: string, why: string) => ({ path, why })
  if (columns.time === 0) return because('columns.time', say.gaugeLogs.noColumnWithTimes)
  if (columns.pressure === 0) return because('columns.pressure', say.gaugeLogs.noColumnWithPressures)
  const seen = new Set<number>()
  for (const [name, number] of Object.entries(columns)) {
    if (number > 0 && seen.has(number)) return because(`columns.${name}`, say.gaugeLogs.oneColumnCantBe)
    seen.add(number)
  }
  if (unit.taken !== null || unit.written === null) return null
  const { written } = unit
  if (isForeignUnit(written)) return because('pressureUnit', say.gaugeLogs.theHeadingSaysWhich(written))
  return because(
    'pressureUnit',
    kind === 'pressure'
      ? say.gaugeLogs.theHeadingSaysWhichIs(written)
      : say.gaugeLogs.theHeadingSaysWhichIsAbove(written),
  )
}

const quoted = (text: string) => `“${text.length > 40 ? `${text.slice(0, 39)}…` : text}”`

function shapeOf(table: LogTable): ReadLog['shape'] {
  return Array.from({ length: table.width }, (_, index) => ({
    number: index + 1,
    heading: table.heading[index] ?? '',
    example: table.rows.find((row) => (row.cells[index] ?? '') !== '')?.cells[index] ?? '',
  }))
}

function measured(text: string, kind: MeasuredKind, unit: string | null, decimal: Decimal): Quantity | null {
  const read = numberIn(text, decimal)
  if (read === null) return null
  const written = read.rest === '' ? unit : read.rest
  if (written === null) return null
  return parseQuantity(`${read.value} ${written}`, kind)
}

/** A time as it was written: an instant, a clock on the wall (ms as if in UTC), a time of day or a span (s). */
interface Timed {
  instant?: number
  local?: number
  clockS?: number
  spanS?: number
}

const SPAN_SECONDS = { s: 1, min: 60, h: 3600 } as const

function timeOf(
  text: string,
  date: string,
  hasDate: boolean,
  timeAs: TimeReading,
  order: DateOrder,
  decimal: Decimal,
): Timed | null {
  if (timeAs === 'moment') {
    if (hasDate) {
      const day = dateIn(date, order)
      const clock = clockIn(text)
      return day === null || clock === null ? null : { local: day + Math.round(clock * 1000) }
    }
    const moment = momentIn(text, order)
    return moment && (moment.zoned ? { instant: moment.ms } : { local: moment.ms })
  }
  if (timeAs === 'clock') {
    // A date before it may stand in the same cell.
    const clockS = clockIn(text) ?? clockIn(text.split(/[T ]/).slice(1).join(' '))
    return clockS === null ? null : { clockS }
  }
  if (timeAs === 'h:mm:ss') {
    const spanS = spanIn(text)
    return spanS === null ? null : { spanS }
  }
  const value = plainNumber(text, decimal)
  if (value === null) return null
  if (timeAs === 'unix') return { instant: Math.round(value > 1e11 ? value : value * 1000) }
  return { spanS: value * SPAN_SECONDS[timeAs] }
}

const DAY_S = 24 * 3600

function place<Row extends Timed>(
  written: readonly Row[],
  how: { timeAs: TimeReading; zone: string; beganAt: number | undefined; context: LogContext },
  doubts: string[],
): { rows: (Row & { at: number })[]; beganAt: number | null } {
  const { zone, context } = how
  const order = (row: Row) => row.instant ?? row.local ?? row.clockS ?? row.spanS ?? 0
  // Some gauges write the newest reading first.
  const steps = written.slice(1).map((row, index) => Math.sign(order(row) - order(written[index] ?? row)))
  const isTurned = steps.filter((step) => step < 0).length > steps.filter((step) => step > 0).length
  const rows = isTurned ? [...written].reverse() : written
  if (isTurned && rows.length > 1) doubts.push(say.gaugeLogs.theLogHasIts)
  const [first] = rows
  if (!first) return { rows: [], beganAt: null }

  if (how.timeAs === 'moment' || how.timeAs === 'unix') {
    const locals = rows.flatMap((row) => row.local ?? [])
    const local = instantsOf(locals, zone)
    if (local.note) doubts.push(local.note)
    let next = 0
    return {
      rows: rows.map((row) => {
        if (row.instant !== undefined) return { ...row, at: row.instant }
        next += 1
        return { ...row, at: local.at[next - 1] ?? 0 }
      }),
      beganAt: null,
    }
  }
  if (how.timeAs === 'clock') {
    let days = 0
    const clocks = rows.map((row, index) => {
      const clock = row.clockS ?? 0
      const before = rows[index - 1]?.clockS ?? clock
      // Back by more than half a day is past midnight; back by less is an error, or the clocks were changed.
      if (clock < before - DAY_S / 2) days += 1
      return (clock + days * DAY_S) * 1000
    })
    const [start = 0] = clocks
    const anchor = how.beganAt ?? context.startedAt
    const midnight = Math.floor(localAt(anchor, zone) / (DAY_S * 1000)) * DAY_S * 1000
    const candidates = [-1, 0, 1]
      .map((offset) => midnight + offset * DAY_S * 1000)
      // It can't begin in the future; of the days that are left, the nearest.
      .filter((day) => how.beganAt !== undefined || instantOf(day + start, zone) <= context.now)
    const away = (day: number) => Math.abs(instantOf(day + start, zone) - anchor)
    const day = candidates.reduce((a, b) => (away(b) < away(a) ? b : a), candidates[0] ?? midnight)
    const local = instantsOf(
      clocks.map((clock) => day + clock),
      zone,
    )
    if (local.note) doubts.push(local.note)
    return {
      rows: rows.map((row, index) => ({ ...row, at: local.at[index] ?? 0 })),
      beganAt: local.at[0] ?? null,
    }
  }
  const spans = rows.map((row) => Math.round((row.spanS ?? 0) * 1000))
  const longest = spans.reduce((most, span) => Math.max(most, span), 0)
  // To the second, as it is shown and sent back.
  const zero = how.beganAt ?? Math.floor(Math.min(context.startedAt, context.now - longest) / 1000) * 1000
  if (how.beganAt === undefined) doubts.push(say.gaugeLogs.itsTimesCountFrom)
  return { rows: rows.map((row, index) => ({ ...row, at: zero + (spans[index] ?? 0) })), beganAt: zero }
}

/** The most rows that stand in the order of time, one a moment; the others are faults. */
function inOrder(rows: readonly LogRow[], faults: LogFault[]): LogRow[] {
  // The longest climbing run: `ends` holds, for each length, the row with the earliest end so far.
  const ends: number[] = []
  const before: (number | null)[] = []
  for (const [index, row] of rows.entries()) {
    let [low, high] = [0, ends.length]
    while (low < high) {
      const middle = (low + high) >> 1
      if ((rows[ends[middle] ?? 0]?.at ?? 0) < row.at) low = middle + 1
      else high = middle
    }
    before.push(low === 0 ? null : (ends[low - 1] ?? null))
    // Of two of the same moment the first stays.
    const there = ends[low]
    if (there === undefined || (rows[there]?.at ?? 0) > row.at) ends[low] = index
  }
  const kept = new Set<number>()
  for (let index: number | null = ends.at(-1) ?? null; index !== null; index = before[index] ?? null)
    kept.add(index)
  const lineAt = new Map<number, number>()
  for (const index of kept) {
    const row = rows[index]
    if (row) lineAt.set(row.at, row.line)
  }
  for (const [index, row] of rows.entries()) {
    if (kept.has(index)) continue
    const same = lineAt.get(row.at)
    faults.push(
      same === undefined
        ? { line: row.line, why: say.gaugeLogs.itsTimeDoesNot }
        : { line: row.line, why: say.gaugeLogs.theSameMomentAs(same), isHarmless: true },
    )
  }
  return rows.filter((_, index) => kept.has(index))
}
