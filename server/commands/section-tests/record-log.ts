// Takes a gauge's own log into a running test, all or nothing; or says beforehand what would be taken.

import { z } from 'zod'
import { DATE_ORDERS, DECIMALS } from '../../gauge-logs/cells.ts'
import { type LogKind, TIME_READINGS } from '../../gauge-logs/columns.ts'
import { isZone } from '../../gauge-logs/local-time.ts'
import type { Parting } from '../../gauge-logs/phases.ts'
import { type LogChoices, type LogContext, type ReadLog, readLog } from '../../gauge-logs/reading-log.ts'
import { type LogTable, tableOf } from '../../gauge-logs/table.ts'
import { type Taking, type TakingChoices, type TestSoFar, takingOf } from '../../gauge-logs/taking.ts'
import { LARGEST_LOG, textOf, UnreadableLog } from '../../gauge-logs/text.ts'
import { conflict, malformedField, missingField } from '../../refusals.ts'
import { findPolicy } from '../../store/queries/policy.ts'
import { listReadingLogs, type ReadingLogRow } from '../../store/queries/reading-logs.ts'
import {
  findEvacuation,
  findPressureTest,
  lockSectionTest,
  type StoredEvacuation,
  type StoredPressureTest,
} from '../../store/queries/section-tests.ts'
import { appendFact } from '../../store/record.ts'
import { type Scope, scopeOf } from '../../store/store.ts'
import {
  PRESSURE_UNITS,
  type PressureUnit,
  TEMPERATURE_UNITS,
  type TemperatureUnit,
} from '../../trade/units.ts'
import { say } from '../../words/say.ts'
import { type Context, defineCommand, type Machinery } from '../command.ts'
import { id, moment, ownId, text } from '../fields.ts'
import { findOpenJob } from '../jobs/job-turns.ts'
import { Upload } from '../photos/picture.ts'
import { absolutePressure, asTyped, gaugePressure, type Measured, temperature } from '../quantities.ts'
import { appendReadings } from './record-readings.ts'
import { assertRunning } from './set-up.ts'

/** A log whose bytes are safely in the files, and what rows and columns it has. */
interface Kept {
  sha256: string
  bytes: number
  table: LogTable
}

const HASH = /^[0-9a-f]{64}$/
const column = z
  .int({ error: () => say.tests.enterAWholeNumber })
  .min(0, { error: () => say.tests.columnsCountFrom1 })
  .max(200)
  .optional()
const oneOf = <const Values extends readonly [string, ...string[]]>(values: Values) =>
  z.enum(values, { error: () => say.tests.useOneOf(values.join(', ')) }).optional()

/** How the log is to be read; whatever is left out is guessed, and the answer says what was guessed. */
const howRead = {
  columns: z
    .strictObject({ time: column, date: column, pressure: column, temperature: column, phase: column })
    .optional()
    .meta({
      description: 'Which column is which, from 1; 0 is none. Default: by headings, units and figures.',
    }),
  timeAs: oneOf(TIME_READINGS).meta({
    description:
      'A moment with its date, a time of day, what has passed since the log began, or seconds since 1970.',
  }),
  dateOrder: oneOf(DATE_ORDERS),
  decimal: oneOf(DECIMALS),
  pressureUnit: oneOf(PRESSURE_UNITS).meta({
    description: 'Instead of what the heading says; a unit in the cell itself counts all the same.',
  }),
  temperatureUnit: oneOf(TEMPERATURE_UNITS),
  zone: text(64)
    .refine(isZone, { error: () => say.tests.enterAZoneSuch })
    .optional()
    .meta({ description: 'Of the log’s clock: an IANA name, or an offset. Default: UTC.' }),
  beganAt: moment.optional().meta({
    description:
      'When the log began, where its times count from there; or its day, where they are times of day.',
  }),
}

const common = {
  id: ownId,
  log: z
    .custom<Upload | string | Kept>(
      (value) => value instanceof Upload || (typeof value === 'string' && HASH.test(value)),
      { error: () => say.tests.sendTheLogAs },
    )
    .optional()
    .meta({
      type: 'string',
      format: 'binary',
      description: `CSV or any other text with one reading a row, up to ${LARGEST_LOG / 1024 / 1024} MB; or the SHA-256 of one that was sent before.`,
    }),
  text: z
    .string({ error: () => say.tests.sendTheLogAsText })
    .min(1, { error: () => say.tests.pasteTheLogOr })
    .max(LARGEST_LOG, { error: () => say.tests.logsOfUpTo })
    .optional()
    .meta({ description: 'The log itself, instead of a file.' }),
  dryRun: z
    .boolean({ error: () => say.tests.answerYesOrNo })
    .optional()
    .meta({ description: 'Only say what would be taken: nothing is recorded.' }),
  ...howRead,
}

type HowRead = { [Name in keyof typeof howRead]?: z.output<(typeof howRead)[Name]> }
interface Given extends HowRead {
  id?: string | undefined
  log?: Upload | string | Kept | undefined
  text?: string | undefined
  dryRun?: boolean | undefined
}

/** What becomes of it, and of the test. */
export interface LogAnswer<Stored> {
  stored: Stored
  log: ReadLog
  taking: Taking
  /** What the bytes are kept under. */
  sha256: string
  /** Null while nothing is recorded. */
  taken: ReadingLogRow | null
}

export const recordPressureLog = defineCommand({
  name: 'record-pressure-log',
  summary: 'Take readings of a running pressure test from a gauge’s own log, all or nothing.',
  capability: 'record-work',
  input: z.strictObject({
    pressureTestId: id,
    ...common,
    only: oneOf(['raise', 'hold']).meta({ description: 'All of it is the raising, or the hold.' }),
    sourceOffAt: moment.optional().meta({ description: 'When the source was taken off. Default: guessed.' }),
    temperatureAtStart: temperature()
      .optional()
      .meta({ description: 'For a log without temperatures: as read at the start of the hold.' }),
    temperatureAtEnd: temperature().optional(),
  }),
  async before(given, { machinery, actor }) {
    const scope = scopeOf(machinery.store.reader(), actor.companyId)
    const stored = await findPressureTest(scope, given.pressureTestId)
    await findOpenJob(scope, stored.test.jobId)
    return { ...given, log: await keep(given, machinery, actor.companyId) }
  },
  async handle(scope, given, context): Promise<LogAnswer<StoredPressureTest>> {
    if (!given.dryRun) await lockSectionTest(scope, given.pressureTestId)
    const stored = await findPressureTest(scope, given.pressureTestId)
    const seen = await lookAtPressureLog(scope, stored, keptOf(given), given, context.now)
    const taken = await take(scope, context, stored, 'pressure', given, seen)
    return {
      ...seen,
      taken,
      stored: taken === null ? stored : await findPressureTest(scope, stored.test.id),
    }
  },
})

export const recordVacuumLog = defineCommand({
  name: 'record-vacuum-log',
  summary: 'Take readings of a running evacuation from a gauge’s own log, all or nothing.',
  capability: 'record-work',
  input: z.strictObject({
    evacuationId: id,
    ...common,
    only: oneOf(['pull', 'decay']).meta({ description: 'All of it is the pumping down, or the decay.' }),
    isolatedAt: moment
      .optional()
      .meta({ description: 'When it was isolated from the pump. Default: as recorded, else guessed.' }),
  }),
  async before(given, { machinery, actor }) {
    const scope = scopeOf(machinery.store.reader(), actor.companyId)
    const stored = await findEvacuation(scope, given.evacuationId)
    await findOpenJob(scope, stored.test.jobId)
    return { ...given, log: await keep(given, machinery, actor.companyId) }
  },
  async handle(scope, given, context): Promise<LogAnswer<StoredEvacuation>> {
    if (!given.dryRun) await lockSectionTest(scope, given.evacuationId)
    const stored = await findEvacuation(scope, given.evacuationId)
    const seen = lookAtVacuumLog(stored, keptOf(given), given, context.now)
    const taken = await take(scope, context, stored, 'vacuum', given, seen)
    return { ...seen, taken, stored: taken === null ? stored : await findEvacuation(scope, stored.test.id) }
  },
})

function keptOf(given: Given): Kept {
  if (given.log === undefined || given.log instanceof Upload || typeof given.log === 'string')
    throw new Error('The log was not read beforehand.')
  return given.log
}

/** The slow part: its bytes go to the files, under their hash, and are cut into rows and columns. */
async function keep(given: Given, machinery: Machinery, companyId: string): Promise<Kept> {
  const field = given.text === undefined ? 'log' : 'text'
  if (given.text !== undefined && given.log !== undefined)
    throw malformedField('text', say.tests.chooseAFileOr)
  const bytes = await bytesOf(given, machinery, companyId)
  const table = await tableIn(bytes, field)
  const sha256 = await machinery.files.put(companyId, bytes)
  return { sha256, bytes: bytes.byteLength, table }
}

async function bytesOf({ log, text: pasted }: Given, machinery: Machinery, companyId: string) {
  if (pasted !== undefined) return new TextEncoder().encode(pasted)
  if (log instanceof Upload) return log.bytes
  if (typeof log !== 'string') throw malformedField('log', say.tests.chooseTheFileOf)
  const bytes = await machinery.files.get(companyId, log)
  if (!bytes) throw missingField('log', say.tests.thisLog)
  return bytes
}

async function tableIn(bytes: Uint8Array, field: string): Promise<LogTable> {
  try {
    return await tableOf(textOf(bytes))
  } catch (problem) {
    if (problem instanceof UnreadableLog) throw malformedField(field, problem.message)
    throw problem
  }
}

/** A log that was sent before, once more; refuses what is not there. */
export async function openLog(machinery: Machinery, companyId: string, sha256: string): Promise<Kept> {
  const bytes = HASH.test(sha256) ? await machinery.files.get(companyId, sha256) : null
  if (!bytes) throw missingField('log', say.tests.thisLog)
  return { sha256, bytes: bytes.byteLength, table: await tableIn(bytes, 'log') }
}

type Seen = Pick<LogAnswer<unknown>, 'log' | 'taking' | 'sha256'>
type Choices<Own> = HowRead & Own & { only?: string | undefined }

/** What a log would give this pressure test as it stands. */
export async function lookAtPressureLog(
  scope: Scope,
  stored: StoredPressureTest,
  kept: Kept,
  given: Choices<{
    sourceOffAt?: number | undefined
    temperatureAtStart?: Measured<TemperatureUnit> | undefined
    temperatureAtEnd?: Measured<TemperatureUnit> | undefined
  }>,
  now: number,
): Promise<Seen> {
  const { readings } = stored.test
  const { criteria } = await findPolicy(scope)
  const first = stored.readingsTyped[readings[0]?.id ?? '']
  const log = readLog(kept.table, choicesIn(kept.table, given), {
    kind: 'pressure',
    pressureUnit: (first?.gaugePressure?.unit as PressureUnit | undefined) ?? 'MPa',
    temperatureUnit: (first?.temperature?.unit as TemperatureUnit | undefined) ?? 'degC',
    ...placeOf(stored, given, now),
  })
  const so: TestSoFar = {
    readings: readings.map((one) => ({ at: one.at, pressurePa: one.gaugePressurePa })),
    partedAt: readings.filter((one) => one.stage === 'raise').at(-1)?.at ?? null,
    settleS: criteria.pressure.settleS,
    now,
    impossible: (row) =>
      firstIssue(gaugePressure(), row.pressure) ??
      (row.temperature === null ? null : firstIssue(temperature(), row.temperature)),
  }
  const choices: TakingChoices = {
    parting: partingOf('sourceOffAt', given.only === 'raise', given.only, given.sourceOffAt),
    temperatureAtStart: given.temperatureAtStart,
    temperatureAtEnd: given.temperatureAtEnd,
  }
  return { log, taking: takingOf(log, so, choices), sha256: kept.sha256 }
}

/** What a log would give this evacuation as it stands. */
export function lookAtVacuumLog(
  stored: StoredEvacuation,
  kept: Kept,
  given: Choices<{ isolatedAt?: number | undefined }>,
  now: number,
): Seen {
  const { readings } = stored.test
  const first = stored.readingsTyped[readings[0]?.id ?? '']
  const log = readLog(kept.table, choicesIn(kept.table, given), {
    kind: 'vacuum',
    pressureUnit: (first?.absolutePressure?.unit as PressureUnit | undefined) ?? 'micron',
    temperatureUnit: (first?.temperature?.unit as TemperatureUnit | undefined) ?? 'degC',
    ...placeOf(stored, given, now),
  })
  const lastOther = readings.findLastIndex((one) => one.phase !== 'decay')
  const so: TestSoFar = {
    readings: readings.map((one) => ({ at: one.at, pressurePa: one.absolutePressurePa })),
    partedAt: readings[lastOther + 1]?.at ?? null,
    settleS: 0,
    now,
    impossible: (row) =>
      firstIssue(absolutePressure({ max: 1e6 }), row.pressure) ??
      (row.temperature === null ? null : firstIssue(temperature(), row.temperature)),
  }
  const parting = partingOf('isolatedAt', given.only === 'pull', given.only, given.isolatedAt)
  return { log, taking: takingOf(log, so, { parting }), sha256: kept.sha256 }
}

const placeOf = (
  { test }: StoredPressureTest | StoredEvacuation,
  given: HowRead,
  now: number,
): Pick<LogContext, 'zone' | 'startedAt' | 'now'> => ({
  zone: given.zone ?? 'UTC',
  startedAt: test.performedAt,
  now,
})

function choicesIn(table: LogTable, given: HowRead): LogChoices {
  for (const [name, number] of Object.entries(given.columns ?? {}))
    if (number !== undefined && number > table.width)
      throw malformedField(`columns.${name}`, say.tests.theLogHasColumns(table.width))
  const { columns, timeAs, dateOrder, decimal, pressureUnit, temperatureUnit, zone, beganAt } = given
  return { columns, timeAs, dateOrder, decimal, pressureUnit, temperatureUnit, zone, beganAt }
}

function partingOf(
  field: string,
  isBefore: boolean,
  only: string | undefined,
  at: number | undefined,
): Parting | undefined {
  if (only !== undefined && at !== undefined) throw malformedField(field, say.tests.allOfItIs)
  return only === undefined ? at : isBefore ? 'before' : 'after'
}

const firstIssue = (schema: z.ZodType, value: unknown): string | null =>
  schema.safeParse(value).error?.issues[0]?.message ?? null

async function take(
  scope: Scope,
  context: Context,
  stored: StoredPressureTest | StoredEvacuation,
  kind: LogKind,
  given: Given,
  { log, taking, sha256 }: Seen,
): Promise<ReadingLogRow | null> {
  await findOpenJob(scope, stored.test.jobId)
  assertRunning(stored)
  if (given.dryRun) return null
  const kept = keptOf(given)
  const before = (await listReadingLogs(scope, stored.test.id)).find((one) => one.sha256 === sha256)
  if (before) throw conflict('log-taken', say.tests.thisVeryLogWas)
  if (taking.blocked !== null)
    throw malformedField(log.blocked?.path ?? (given.text === undefined ? 'log' : 'text'), taking.blocked)
  const [first] = taking.readings
  const last = taking.readings.at(-1)
  if (!first || !last) throw malformedField('log', say.tests.noRowOfIt)
  const row: ReadingLogRow = {
    companyId: scope.companyId,
    id: given.id ?? context.newId(),
    testId: stored.test.id,
    sha256,
    bytes: kept.bytes,
    rows: log.total,
    taken: taking.readings.length,
    firstAt: first.at,
    lastAt: last.at,
    how: { read: { ...log.read, parting: taking.parting, every: taking.every }, leftOut: taking.leftOut },
    recordedBy: context.actor.memberId,
    recordedAt: context.now,
    deviceAt: context.deviceAt,
  }
  const seal = await appendFact(scope, 'readingLogs', row)
  const seals = await appendReadings(
    scope,
    context,
    stored.test.id,
    taking.readings.map((reading) => {
      const quantities = measuredOf(kind, reading)
      return {
        at: reading.at,
        phase: reading.phase,
        pressurePa: reading.pressurePa,
        temperatureK: quantities.temperature?.si ?? null,
        typed: asTyped(quantities),
      }
    }),
  )
  context.record({
    chainId: stored.systemId,
    kind: `${kind}-log-taken`,
    subjectId: stored.test.id,
    jobId: stored.test.jobId,
    facts: [seal, ...seals],
    body: { log: row.id, sha256, rows: row.rows, taken: row.taken },
  })
  return row
}

/** As a reading by hand would come in: with its SI value, checked once more. */
function measuredOf(kind: LogKind, reading: Taking['readings'][number]) {
  const degrees =
    reading.temperature === null ? {} : { temperature: temperature().parse(reading.temperature) }
  return kind === 'pressure'
    ? { gaugePressure: gaugePressure().parse(reading.pressure), ...degrees }
    : { absolutePressure: absolutePressure({ max: 1e6 }).parse(reading.pressure), ...degrees }
}
