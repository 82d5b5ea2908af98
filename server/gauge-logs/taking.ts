// Which rows of a log become readings of a test, in which phase, and why do the others not?

import type { PressureUnit, Quantity, TemperatureUnit } from '../trade/units.ts'
import { say } from '../words/say.ts'
import { guessParting, type Parting, phaseAt } from './phases.ts'
import type { LogFault, LogRow, ReadLog } from './reading-log.ts'
import { thinned } from './thinning.ts'

export interface TestSoFar {
  readings: readonly { at: number; pressurePa: number }[]
  /** Pressure test: the last reading with the source on. Evacuation: when it was isolated, by what is recorded. */
  partedAt: number | null
  /** How long the gas is left to settle after the source is removed, s. */
  settleS: number
  now: number
  /** Why a reading can't have happened; null where it can. */
  impossible(row: LogRow): string | null
}

export interface TakingChoices {
  parting?: Parting | undefined
  /** Of a pressure test whose log has no temperatures: as read by hand. */
  temperatureAtStart?: Quantity<TemperatureUnit> | undefined
  temperatureAtEnd?: Quantity<TemperatureUnit> | undefined
}

export interface TakenReading {
  line: number
  at: number
  phase: 'raise' | 'hold' | 'pull' | 'break' | 'decay'
  pressure: Quantity<PressureUnit>
  pressurePa: number
  temperature: Quantity<TemperatureUnit> | null
}

export interface Taking {
  readings: TakenReading[]
  parting: Parting
  /** Each row, or each so many-th. */
  every: number
  faults: LogFault[]
  leftOut: { unread: number; settling: number; inRecord: number; thinned: number }
  notes: string[]
  /** Why nothing can be taken as it stands; null where it can. */
  blocked: string | null
}

/** A phone's and a gauge's clock may run a little ahead. */
const AHEAD_MS = 60_000

export function takingOf(log: ReadLog, test: TestSoFar, choices: TakingChoices): Taking {
  const { kind } = log
  const faults = [...log.faults]
  const notes: string[] = []
  const recorded = new Set(test.readings.map((reading) => reading.at))
  let inRecord = 0
  const possible = log.rows.filter((row) => {
    if (recorded.has(row.at)) {
      inRecord += 1
      return false
    }
    const why = row.at > test.now + AHEAD_MS ? say.gaugeLogs.itsTimeHasNot : test.impossible(row)
    if (why !== null) faults.push({ line: row.line, why })
    return why === null
  })
  faults.sort((a, b) => a.line - b.line)

  const known = kind === 'vacuum' && test.partedAt !== null ? Math.floor(test.partedAt / 1000) * 1000 : null
  const parting = choices.parting ?? known ?? guessParting(kind, possible)
  const phased: TakenReading[] = []
  let settling = 0
  for (const row of possible) {
    const own = row.phase as TakenReading['phase'] | null
    const phase = own ?? phaseAt(kind, row.at, parting, { settleS: test.settleS, removedAt: test.partedAt })
    if (phase === null) settling += 1
    else phased.push({ ...row, phase })
  }
  if (settling > 0)
    notes.push(
      say.gaugeLogs.leftOutTheGas(
        settling === 1 ? say.gaugeLogs.oneRowIs : say.gaugeLogs.rowsAre(settling),
        test.settleS / 60,
      ),
    )

  const hasTemperature = kind === 'vacuum' || log.read.columns.temperature > 0
  const chosen = hasTemperature ? thinned(phased) : { rows: endsOf(phased, choices), every: 1 }
  if (chosen.every > 1) notes.push(say.gaugeLogs.readingsAreMoreThan(phased.length, ordinal(chosen.every)))
  if (!hasTemperature && phased.length > 0) notes.push(say.gaugeLogs.withoutATemperatureBeside)
  if (inRecord > 0)
    notes.push(
      say.gaugeLogs.inTheRecordAlready(
        inRecord === 1 ? say.gaugeLogs.oneRowIs : say.gaugeLogs.rowsAre(inRecord),
      ),
    )
  return {
    readings: chosen.rows,
    parting,
    every: chosen.every,
    faults,
    leftOut: {
      unread: faults.length,
      settling,
      inRecord,
      thinned: phased.length - chosen.rows.length,
    },
    notes,
    blocked: log.blocked?.why ?? whyNothing(),
  }

  function whyNothing(): string | null {
    if (log.rows.length === 0) return say.gaugeLogs.noRowOfIt
    if (possible.length === 0)
      return inRecord > 0 && inRecord === log.rows.length
        ? say.gaugeLogs.everyRowOfIt
        : say.gaugeLogs.noRowOfItCan
    if (phased.length === 0) return say.gaugeLogs.theLogEndsWhile
    if (hasTemperature) return null
    if (choices.temperatureAtStart === undefined || choices.temperatureAtEnd === undefined)
      return say.gaugeLogs.itHasNoTemperatures
    return chosen.rows.length < 2 ? say.gaugeLogs.itHasNoTwo : null
  }
}

/** The two rows that a temperature is known for. */
function endsOf(rows: readonly TakenReading[], choices: TakingChoices): TakenReading[] {
  const hold = rows.filter((row) => row.phase === 'hold')
  const [first] = hold
  const last = hold.at(-1)
  const { temperatureAtStart, temperatureAtEnd } = choices
  if (!first || !last || first === last || !temperatureAtStart || !temperatureAtEnd) return []
  return [
    { ...first, temperature: temperatureAtStart },
    { ...last, temperature: temperatureAtEnd },
  ]
}

const ordinal = (number: number) =>
  number % 10 === 2 && number % 100 !== 12
    ? `${number}nd`
    : number % 10 === 3 && number % 100 !== 13
      ? `${number}rd`
      : number % 10 === 1 && number % 100 !== 11
        ? `${number}st`
        : `${number}th`
