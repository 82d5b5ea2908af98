// Gauges' own logs: looked at before they are taken into a test, taken, and kept as they came.

import type { FormState } from '../../views/parts/field.tsx'
import { GaugeLogPage, type LogPreview } from '../../views/section-tests/gauge-log.tsx'
import { parse } from '../commands/command.ts'
import {
  type LogAnswer,
  lookAtPressureLog,
  lookAtVacuumLog,
  openLog,
  recordPressureLog,
  recordVacuumLog,
} from '../commands/section-tests/record-log.ts'
import type { LogKind } from '../gauge-logs/columns.ts'
import { instantOf, isZone, localAt } from '../gauge-logs/local-time.ts'
import { newId } from '../ids.ts'
import { missing, type Refusal } from '../refusals.ts'
import { findReadingLog, type ReadingLogRow } from '../store/queries/reading-logs.ts'
import {
  findEvacuation,
  findPressureTest,
  type StoredEvacuation,
  type StoredPressureTest,
} from '../store/queries/section-tests.ts'
import { findSystem } from '../store/queries/systems.ts'
import { say } from '../words/say.ts'
import { evacuationJson } from './evacuations.ts'
import { expand, type Fields } from './form.ts'
import { instant, instantOrNull } from './json.ts'
import { pressureTestJson } from './pressure-tests.ts'
import { refusalOf } from './problem.ts'
import type { Ask, Resource } from './resource.ts'
import { mayRecordOn, refusedWhole } from './section-tests.ts'
import { shellOf } from './shell.ts'

type Stored = StoredPressureTest | StoredEvacuation

export function gaugeLogsResource(resource: Resource): void {
  resource.read({
    path: '/pressure-tests/:pressureTestId/log',
    name: 'pressure-log',
    summary: 'The form that takes a gauge’s log, and what would be taken of one that was sent.',
    capability: 'record-work',
    load: (ask) => findPressureTest(ask.scope, ask.params.pressureTestId ?? ''),
    page: (stored, ask) => logPage(ask, 'pressure', stored, chosenIn(ask.query)),
  })

  resource.write({
    path: '/pressure-tests/:pressureTestId/log',
    command: recordPressureLog,
    upload: 'log',
    json: (answer) => answerJson('pressure', answer, pressureTestJson(answer.stored)),
    page: {
      input: (fields) => inputOf('pressure', fields),
      goTo: (answer) => goTo('pressure', answer),
      again: async (form, refusal, ask) =>
        logPage(
          ask,
          'pressure',
          await findPressureTest(ask.scope, ask.params.pressureTestId ?? ''),
          form.values,
          form,
          refusal,
        ),
    },
  })

  resource.read({
    path: '/evacuations/:evacuationId/log',
    name: 'vacuum-log',
    summary: 'The form that takes a gauge’s log, and what would be taken of one that was sent.',
    capability: 'record-work',
    load: (ask) => findEvacuation(ask.scope, ask.params.evacuationId ?? ''),
    page: (stored, ask) => logPage(ask, 'vacuum', stored, chosenIn(ask.query)),
  })

  resource.write({
    path: '/evacuations/:evacuationId/log',
    command: recordVacuumLog,
    upload: 'log',
    json: (answer) => answerJson('vacuum', answer, evacuationJson(answer.stored)),
    page: {
      input: (fields) => inputOf('vacuum', fields),
      goTo: (answer) => goTo('vacuum', answer),
      again: async (form, refusal, ask) =>
        logPage(
          ask,
          'vacuum',
          await findEvacuation(ask.scope, ask.params.evacuationId ?? ''),
          form.values,
          form,
          refusal,
        ),
    },
  })

  resource.read({
    path: '/reading-logs/:readingLogId',
    name: 'read-reading-log',
    summary:
      'How a gauge’s log was taken; the log itself, as it came, stands at the same address outside the interface.',
    load: (ask) => findReadingLog(ask.scope, ask.params.readingLogId ?? ''),
    json: readingLogJson,
    file: {
      // Whatever it was: nothing may run it, and no page shows it in place.
      mediaType: 'text/plain; charset=utf-8',
      make: async (log, ask) => {
        const content = await ask.deps.machinery.files.get(ask.actor.companyId, log.sha256)
        if (!content) throw missing(say.gaugeLogs.theFileOfThis)
        return { content, fileName: `gauge-log-${log.sha256.slice(0, 8)}.csv` }
      },
    },
  })
}

export const readingLogJson = (log: ReadingLogRow) => ({
  id: log.id,
  testId: log.testId,
  sha256: log.sha256,
  bytes: log.bytes,
  rows: log.rows,
  taken: log.taken,
  from: instant(log.firstAt),
  to: instant(log.lastAt),
  how: log.how,
  recordedBy: log.recordedBy,
  recordedAt: instant(log.recordedAt),
  deviceAt: instantOrNull(log.deviceAt),
  file: `/reading-logs/${log.id}`,
})

function answerJson(kind: LogKind, answer: LogAnswer<Stored>, test: object) {
  const { log, taking, taken } = answer
  const name = kind === 'pressure' ? 'gaugePressure' : 'absolutePressure'
  return {
    ...test,
    log: {
      sha256: answer.sha256,
      recorded: taken && readingLogJson(taken),
      read: {
        ...log.read,
        beganAt: instantOrNull(log.read.beganAt),
        parted: typeof taking.parting === 'number' ? instant(taking.parting) : taking.parting,
        every: taking.every,
      },
      columns: log.shape,
      rows: log.total,
      readings: taking.readings.map((reading) => ({
        row: reading.line,
        at: instant(reading.at),
        [kind === 'pressure' ? 'stage' : 'phase']: reading.phase,
        [name]: reading.pressure,
        temperature: reading.temperature,
      })),
      leftOut: taking.leftOut,
      faults: taking.faults.map(({ line, why }) => ({ row: line, why })),
      doubts: log.doubts,
      notes: taking.notes,
      blocked: taking.blocked,
    },
  }
}

const pageOf = (kind: LogKind, testId: string) =>
  `/${kind === 'pressure' ? 'pressure-tests' : 'evacuations'}/${testId}`

/** Looked at: to what would be taken. Taken: to the test, with its plot. */
function goTo(kind: LogKind, { stored, sha256, taken, log }: LogAnswer<Stored>): string {
  const page = pageOf(kind, stored.test.id)
  return taken === null ? `${page}/log?${new URLSearchParams({ log: sha256, zone: log.read.zone })}` : page
}

/**
 * What somebody chose: a field that still holds what was guessed (beside it under `_name`) is guessed anew, since the
 * guess may have hung on what was changed.
 */
function chosenIn(fields: Fields): Fields {
  return Object.fromEntries(
    Object.entries(fields).filter(
      ([name, value]) => value !== '' && !name.startsWith('_') && fields[`_${name}`] !== value,
    ),
  )
}

/** Local times of the form are those of its zone, which may have changed its clocks since. */
function inputOf(kind: LogKind, fields: Fields): Record<string, unknown> {
  const { beganLocal, partedLocal, ...rest } = fields
  const zone = rest.zone !== undefined && isZone(rest.zone) ? rest.zone : 'UTC'
  const input = expand(rest)
  const parted = kind === 'pressure' ? 'sourceOffAt' : 'isolatedAt'
  const local = (text: string | undefined) => {
    const at = Date.parse(`${text?.trim()}Z`)
    return Number.isNaN(at) ? (text ?? '').trim() : new Date(instantOf(at, zone)).toISOString()
  }
  if (beganLocal?.trim()) input.beganAt = local(beganLocal)
  // Where all of it is one thing, no moment parts it.
  if (partedLocal?.trim() && input.only === undefined) input[parted] = local(partedLocal)
  return input
}

async function logPage(
  ask: Ask,
  kind: LogKind,
  stored: Stored,
  fields: Fields,
  form?: FormState,
  refusal?: Refusal,
) {
  const { test } = stored
  const { name } = await findSystem(ask.scope, stored.systemId)
  const running = test.concludedAt === null && (await mayRecordOn(ask, test.jobId))
  let refused = refusal
  let preview: LogPreview | null = null
  if (fields.log && running) {
    const seen = await look(ask, kind, stored, fields).catch((problem: unknown) => {
      const why = refusalOf(problem)
      if (why.status >= 500) throw problem
      refused ??= why
      // Something of what was chosen can't be; as it is guessed, the rest can still be changed.
      return look(ask, kind, stored, { log: fields.log ?? '' }).catch(() => null)
    })
    preview = seen && previewOf(kind, seen, fields)
  }
  return GaugeLogPage({
    shell: shellOf(ask.actor, '/jobs'),
    kind,
    test: { id: test.id, systemName: name, page: pageOf(kind, test.id) },
    running,
    preview,
    freshId: form?.values.id ?? newId(),
    form: refused
      ? { values: fields, errors: refused.errors.map((error) => ({ ...error, path: fieldOf(error.path) })) }
      : { values: fields, errors: [] },
    refused: refusedWhole(refused),
  })
}

/** Where the form asks for it. */
const fieldOf = (path: string): string =>
  path.startsWith('columns.')
    ? `${path}#`
    : path === 'beganAt'
      ? 'beganLocal'
      : path === 'sourceOffAt' || path === 'isolatedAt'
        ? 'partedLocal'
        : path

async function look(ask: Ask, kind: LogKind, stored: Stored, fields: Fields) {
  const { log: sha256, id: _id, ...choices } = fields
  const kept = await openLog(ask.deps.machinery, ask.actor.companyId, sha256 ?? '')
  const input = { ...inputOf(kind, choices), log: kept.sha256 }
  return kind === 'pressure'
    ? lookAtPressureLog(
        ask.scope,
        stored as StoredPressureTest,
        kept,
        parse(recordPressureLog.input, { ...input, pressureTestId: stored.test.id }),
        ask.now,
      )
    : lookAtVacuumLog(
        stored as StoredEvacuation,
        kept,
        parse(recordVacuumLog.input, { ...input, evacuationId: stored.test.id }),
        ask.now,
      )
}

function previewOf(
  kind: LogKind,
  { log, taking, sha256 }: Pick<LogAnswer<Stored>, 'log' | 'taking' | 'sha256'>,
  fields: Fields,
): LogPreview {
  const { read } = log
  const local = (at: number) => new Date(localAt(at, read.zone)).toISOString().slice(0, 19)
  const { parting } = taking
  const only =
    typeof parting === 'number'
      ? ''
      : kind === 'pressure'
        ? { before: 'raise', after: 'hold' }[parting]
        : { before: 'pull', after: 'decay' }[parting]
  const chosen: Fields = {
    log: sha256,
    ...Object.fromEntries(
      Object.entries(read.columns).map(([name, number]) => [`columns.${name}#`, String(number)]),
    ),
    timeAs: read.timeAs,
    dateOrder: read.dateOrder,
    decimal: read.decimal,
    pressureUnit: read.pressureUnit ?? '',
    temperatureUnit: read.temperatureUnit ?? '',
    zone: read.zone,
    beganLocal: read.beganAt === null ? '' : local(read.beganAt),
    only,
    partedLocal: typeof parting === 'number' ? local(parting) : '',
    ...Object.fromEntries(Object.entries(fields).filter(([name]) => name.startsWith('temperatureAt'))),
  }
  const guessed = Object.keys(chosen).filter((name) => name !== 'log' && (fields[name] ?? '') === '')
  return { log, taking, chosen, guessed }
}
