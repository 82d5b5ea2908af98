// Which rows of a log become readings of a test, in which phase, and why do the others not?

import type { PressureUnit, Quantity, TemperatureUnit } from '../trade/units.ts'
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
    const why = row.at > test.now + AHEAD_MS ? 'its time has not come yet' : test.impossible(row)
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
      `${settling === 1 ? 'One row is' : `${settling} rows are`} left out: the gas settles for ${test.settleS / 60} minutes after the source is taken off.`,
    )

  const hasTemperature = kind === 'vacuum' || log.read.columns.temperature > 0
  const chosen = hasTemperature ? thinned(phased) : { rows: endsOf(phased, choices), every: 1 }
  if (chosen.every > 1)
    notes.push(
      `${phased.length} readings are more than a judgement gains from. Every ${ordinal(chosen.every)} is taken, and of each phase the first, the last, the highest and the lowest; the file itself is kept whole.`,
    )
  if (!hasTemperature && phased.length > 0)
    notes.push(
      'Without a temperature beside each pressure, only the first and the last reading of the hold are taken, with the temperatures that you give.',
    )
  if (inRecord > 0)
    notes.push(`${inRecord === 1 ? 'One row is' : `${inRecord} rows are`} in the record already.`)
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
    if (log.rows.length === 0)
      return 'No row of it can be read as it stands. See why below, and change how it is read.'
    if (possible.length === 0)
      return inRecord > 0 && inRecord === log.rows.length
        ? 'Every row of it is in the record already.'
        : 'No row of it can be taken. See why below, and change how it is read.'
    if (phased.length === 0)
      return 'The log ends while the gas still settles. Take the source off at an earlier moment, or log for longer.'
    if (hasTemperature) return null
    if (choices.temperatureAtStart === undefined || choices.temperatureAtEnd === undefined)
      return 'It has no temperatures, and without them a pressure test can’t be judged. Choose a column, or give those at the start and at the end of the hold.'
    return chosen.rows.length < 2
      ? 'It has no two readings of the hold to go with the two temperatures.'
      : null
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
