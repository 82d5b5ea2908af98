// Brings a table in, all of it or nothing; or says beforehand, row by row, what would come of it.

import { z } from 'zod'
import { DATE_ORDERS, type DateOrder, DECIMALS, type Decimal, numberIn } from '../../gauge-logs/cells.ts'
import { type PlainTable, plainTable } from '../../gauge-logs/plain-table.ts'
import { LARGEST_LOG, textOf, UnreadableLog } from '../../gauge-logs/text.ts'
import { sha256 } from '../../ids.ts'
import { type FieldError, malformed, malformedField, missingField, Refusal } from '../../refusals.ts'
import { listNamedThings, type NamedThing } from '../../store/queries/named-things.ts'
import type { Scope } from '../../store/store.ts'
import { say } from '../../words/say.ts'
import { type Command, type Context, defineCommand, type Machinery, parse } from '../command.ts'
import { addInstrument } from '../instruments/add-instrument.ts'
import { recordCalibration } from '../instruments/record-calibration.ts'
import { Upload } from '../photos/picture.ts'
import { addEquipmentSheet } from '../places/add-equipment-sheet.ts'
import { addSite } from '../places/add-site.ts'
import { CellFault } from './cells.ts'
import { inputOf, nameOf, plainName, REFERENCE, TABLE_FIELDS, type TableKind } from './table-kinds.ts'

/** What is added for a row: the very command that adds one by hand. */
const ADDS: Record<TableKind, Command<z.ZodType, { id: string }>> = {
  sites: addSite as never,
  instruments: addInstrument as never,
  'equipment-sheets': addEquipmentSheet as never,
}

/** A table whose bytes are safely in the files. */
interface Kept {
  sha256: string
  table: PlainTable
}

const HASH = /^[0-9a-f]{64}$/
const column = z
  .int({ error: () => say.tests.enterAWholeNumber })
  .min(0, { error: () => say.tests.columnsCountFrom1 })
  .max(500)
const oneOf = <const Values extends readonly [string, ...string[]]>(values: Values) =>
  z.enum(values, { error: () => say.tests.useOneOf(values.join(', ')) }).optional()

const schema = z.strictObject({
  table: z
    .custom<Upload | string | Kept>(
      (value) => value instanceof Upload || (typeof value === 'string' && HASH.test(value)),
      { error: () => say.moving.sendTheTable },
    )
    .optional()
    .meta({
      type: 'string',
      format: 'binary',
      description: `CSV or other text with a row a line, the names of the columns in the first, up to ${LARGEST_LOG / 1024 / 1024} MB; or the SHA-256 of one that was sent before.`,
    }),
  text: z
    .string({ error: () => say.moving.sendTheTable })
    .min(1, { error: () => say.moving.chooseTheTable })
    .max(LARGEST_LOG, { error: () => say.moving.tooLarge })
    .optional()
    .meta({ description: 'The table itself, instead of a file.' }),
  columns: z
    .record(z.string().max(60), column)
    .optional()
    .meta({ description: 'Which column, from 1, has which field; 0 is none. Default: by the headings.' }),
  decimal: oneOf(DECIMALS),
  dateOrder: oneOf(DATE_ORDERS),
  dryRun: z
    .boolean({ error: () => say.tests.answerYesOrNo })
    .optional()
    .meta({
      description: 'Only say what would be added. That is also what happens unless it is `false`.',
    }),
})
type Given = z.output<typeof schema>

export interface TableColumn {
  /** From 1. */
  number: number
  heading: string
  example: string
}

export interface RowSeen {
  /** As an editor counts, from 1. */
  line: number
  /** `there`: known by its number or its name, and left as it is. */
  state: 'new' | 'there' | 'wrong'
  /** Of what there is, or will be. */
  id: string | null
  cells: string[]
  errors: { field: string; column: number; message: string }[]
}

export interface TableSeen {
  kind: TableKind
  sha256: string
  columns: TableColumn[]
  /** Which column has which field; fields without one are left out. */
  chosen: Record<string, number>
  decimal: Decimal
  dateOrder: DateOrder
  rows: RowSeen[]
  /** Fields that are needed and have no column. */
  lacking: string[]
  /** How many were added; null while it is only looked at. */
  added: number | null
}

const commandFor = (kind: TableKind) =>
  defineCommand({
    name: `import-${kind}`,
    summary: `Bring in a table of ${kind.replaceAll('-', ' ')}, all or nothing; unless \`dryRun\` is false, only say what would come of each row.`,
    capability: 'move-data',
    input: schema,
    async before(given, { machinery, actor }) {
      return { ...given, table: await keep(given, machinery, actor.companyId) }
    },
    async handle(scope, given, context): Promise<TableSeen> {
      const { table: kept } = given
      if (kept === undefined || kept instanceof Upload || typeof kept === 'string')
        throw new Error('The table was not read beforehand.')
      const { seen, inputs } = await lookAt(scope, kind, kept, given)
      if (given.dryRun !== false) return seen
      assertWhole(seen)
      let added = 0
      for (const row of seen.rows) {
        const input = inputs.get(row.line)
        if (!input || row.state !== 'new') continue
        await addRow(scope, kind, row, input, context)
        added += 1
      }
      context.record({
        chainId: scope.companyId,
        kind: 'table-imported',
        subjectId: scope.companyId,
        body: { table: kind, file: seen.sha256, rows: seen.rows.length, added },
      })
      return { ...seen, added }
    },
  })

export const importSites = commandFor('sites')
export const importInstruments = commandFor('instruments')
export const importEquipmentSheets = commandFor('equipment-sheets')

/** The slow part: the bytes go to the files, under their hash, and are cut into rows and columns. */
async function keep(given: Given, machinery: Machinery, companyId: string): Promise<Kept> {
  if (given.text !== undefined && given.table !== undefined)
    throw malformedField('text', say.tests.chooseAFileOr)
  const field = given.text === undefined ? 'table' : 'text'
  const bytes = await bytesOf(given, machinery, companyId)
  const table = await tableIn(bytes, field)
  return { sha256: await machinery.files.put(companyId, bytes), table }
}

async function bytesOf({ table, text }: Given, machinery: Machinery, companyId: string): Promise<Uint8Array> {
  if (text !== undefined) return new TextEncoder().encode(text)
  if (table instanceof Upload) return table.bytes
  if (typeof table !== 'string') throw malformedField('table', say.moving.chooseTheTable)
  const bytes = await machinery.files.get(companyId, table)
  if (!bytes) throw missingField('table', say.moving.thisTable)
  return bytes
}

async function tableIn(bytes: Uint8Array, field: string): Promise<PlainTable> {
  try {
    return await plainTable(textOf(bytes))
  } catch (problem) {
    if (problem instanceof UnreadableLog) throw malformedField(field, problem.message)
    throw problem
  }
}

/** A table that was sent before, once more; refuses what is not there. */
export async function openTable(machinery: Machinery, companyId: string, hash: string): Promise<Kept> {
  const bytes = HASH.test(hash) ? await machinery.files.get(companyId, hash) : null
  if (!bytes) throw missingField('table', say.moving.thisTable)
  return { sha256: hash, table: await tableIn(bytes, 'table') }
}

export interface TableChoices {
  columns?: Record<string, number> | undefined
  decimal?: Decimal | undefined
  dateOrder?: DateOrder | undefined
}

interface Seen {
  seen: TableSeen
  inputs: Map<number, ReturnType<typeof inputOf>>
}

/** What would come of each row, as things stand. */
export async function lookAt(
  scope: Scope,
  kind: TableKind,
  { sha256: file, table }: Kept,
  choices: TableChoices,
): Promise<Seen> {
  const fields = TABLE_FIELDS[kind]
  const headings = table.heading.map(headingOf)
  const chosen = chosenColumns(kind, headings, table.width, choices.columns ?? {})
  const how = {
    decimal: choices.decimal ?? decimalOf(table),
    dateOrder: choices.dateOrder ?? ('day-first' as const),
  }
  const lacking = fields.filter(({ code, required }) => required && !chosen[code]).map(({ code }) => code)
  const things = await listNamedThings(scope, kind)
  const byId = new Map(things.map((thing) => [thing.id, thing]))
  const byName = new Map(things.map((thing) => [nameOfThing(thing), thing]))
  const inputs: Seen['inputs'] = new Map()
  const known = new Map<string, number>()
  const rows = table.rows.map(({ line, cells }): RowSeen => {
    const values: Record<string, unknown> = {}
    const errors: RowSeen['errors'] = []
    const wrong = (field: string, message: string) =>
      errors.push({ field, column: chosen[field] ?? 0, message })
    for (const { code, required, read } of fields) {
      const at = chosen[code] ?? 0
      const cell = at === 0 ? '' : withoutGuard((cells[at - 1] ?? '').trim())
      if (cell === '') {
        if (required && at !== 0) wrong(code, say.fields.thisIsNeeded)
        continue
      }
      try {
        values[code] = read(cell, { ...how, unit: headings[at - 1]?.unit ?? null })
      } catch (problem) {
        if (!(problem instanceof CellFault)) throw problem
        wrong(code, problem.message)
      }
    }
    const input = inputOf(kind, values)
    if (errors.length === 0 && lacking.length === 0)
      for (const { path, message } of faultsOf(kind, input)) wrong(fieldOf(input, path), message)
    const reference = typeof values[REFERENCE] === 'string' ? values[REFERENCE] : null
    const id = reference === null ? null : idOfReference(scope.companyId, kind, reference)
    const name = nameOf(kind, input.add)
    const there = (id === null ? undefined : byId.get(id)) ?? byName.get(name)
    if (errors.length === 0 && !there) {
      for (const one of id === null ? [name] : [id, name]) {
        const before = known.get(one)
        if (before !== undefined) {
          wrong(one === id ? REFERENCE : (fields[0]?.code ?? ''), say.moving.sameAsRow(before))
          break
        }
      }
      for (const one of id === null ? [name] : [id, name]) if (!known.has(one)) known.set(one, line)
    }
    const state = errors.length > 0 ? 'wrong' : there ? 'there' : 'new'
    if (state === 'new') inputs.set(line, { ...input, add: id === null ? input.add : { ...input.add, id } })
    return { line, state, id: there?.id ?? id, cells, errors }
  })
  return {
    inputs,
    seen: {
      kind,
      sha256: file,
      columns: table.heading.map((heading, index) => ({
        number: index + 1,
        heading,
        example: table.rows.map(({ cells }) => cells[index] ?? '').find((cell) => cell !== '') ?? '',
      })),
      chosen,
      ...how,
      rows,
      lacking,
      added: null,
    },
  }
}

/** What keeps a spreadsheet from working a text out is none of the text. */
const withoutGuard = (cell: string) => cell.replace(/^'(?=[=+\-@])/, '')

/** "Length (m)": the name, and the unit in brackets. As good as a blank is a line under the words. */
function headingOf(heading: string): { name: string; unit: string | null } {
  const parts = /^(.*?)\s*[([]([^)\]]+)[)\]]\s*$/.exec(heading.trim())
  const name = (parts?.[1] ?? heading)
    .trim()
    .toLowerCase()
    .replaceAll(/[\s_]+/g, ' ')
  return { name, unit: parts?.[2]?.trim() ?? null }
}

function chosenColumns(
  kind: TableKind,
  headings: readonly { name: string }[],
  width: number,
  given: Record<string, number>,
): Record<string, number> {
  const fields = TABLE_FIELDS[kind]
  for (const [code, number] of Object.entries(given)) {
    if (!fields.some((field) => field.code === code))
      throw malformedField(`columns.${code}`, say.moving.noSuchField)
    if (number > width) throw malformedField(`columns.${code}`, say.moving.tableHasColumns(width))
  }
  const chosen: Record<string, number> = Object.fromEntries(
    Object.entries(given).filter(([, number]) => number !== 0),
  )
  const taken = new Set(Object.values(chosen))
  for (const { code, heading } of fields) {
    if (given[code] !== undefined) continue
    const at = headings.findIndex(
      ({ name }, index) => !taken.has(index + 1) && (heading.test(name) || name === code.toLowerCase()),
    )
    if (at === -1) continue
    chosen[code] = at + 1
    taken.add(at + 1)
  }
  return chosen
}

/** A comma where semicolons or tabs part the columns, and numbers are written with it. */
function decimalOf(table: PlainTable): Decimal {
  if (table.delimiter === 'comma') return 'point'
  const cells = table.rows.slice(0, 200).flatMap((row) => row.cells)
  const asComma = cells.filter((cell) => /^[+-]?\d+,\d+\b/.test(cell) && numberIn(cell, 'comma') !== null)
  const asPoint = cells.filter((cell) => /^[+-]?\d+\.\d+\b/.test(cell))
  return asComma.length > asPoint.length ? 'comma' : 'point'
}

/** What the command that adds one by hand would say of it. */
function faultsOf(kind: TableKind, { add, calibration }: ReturnType<typeof inputOf>): FieldError[] {
  const faults: FieldError[] = []
  const tried = (work: () => unknown) => {
    try {
      work()
    } catch (problem) {
      if (!(problem instanceof Refusal)) throw problem
      faults.push(...(problem.errors.length > 0 ? problem.errors : [{ path: '', message: problem.message }]))
    }
  }
  tried(() => parse(ADDS[kind].input, add))
  if (calibration) tried(() => parse(recordCalibration.input, { ...calibration, instrumentId: NOBODY }))
  return faults
}
const NOBODY = '00000000-0000-7000-8000-000000000000'

function fieldOf({ paths }: ReturnType<typeof inputOf>, path: string): string {
  const prefix = Object.keys(paths).find((one) => path === one || path.startsWith(`${one}.`))
  if (prefix !== undefined) return paths[prefix] ?? path
  return path.startsWith('source.') ? path : (path.split('.')[0] ?? path)
}

/** The same number of the customer is the same id, in this company and of this kind. Its time is no time. */
export function idOfReference(companyId: string, kind: TableKind, reference: string): string {
  const hex = sha256(`${companyId}\n${kind}\n${reference.trim().toLowerCase()}`)
  return `00000000-0000-7${hex.slice(0, 3)}-8${hex.slice(3, 6)}-${hex.slice(6, 18)}`
}

const nameOfThing = (thing: NamedThing) => plainName(thing.name)

function assertWhole(seen: TableSeen): void {
  const errors = [
    ...seen.lacking.map((code) => ({ path: `columns.${code}`, message: say.moving.needsAColumn })),
    ...seen.rows.flatMap(({ line, errors: faults }) =>
      faults.map(({ field, message }) => ({ path: `rows.${line}.${field}`, message })),
    ),
  ]
  if (errors.length > 0) throw malformed(errors, say.moving.nothingAdded)
}

/** What can only be told while it is added is told by the row it is of. */
async function addRow(
  scope: Scope,
  kind: TableKind,
  row: RowSeen,
  input: ReturnType<typeof inputOf>,
  context: Context,
): Promise<void> {
  const command = ADDS[kind]
  try {
    const { id } = await command.handle(scope, parse(command.input, input.add), context)
    if (input.calibration)
      await recordCalibration.handle(
        scope,
        parse(recordCalibration.input, { ...input.calibration, instrumentId: id }),
        context,
      )
  } catch (problem) {
    if (!(problem instanceof Refusal)) throw problem
    const errors = problem.errors.length > 0 ? problem.errors : [{ path: '', message: problem.message }]
    throw malformed(
      errors.map(({ path, message }) => ({ path: `rows.${row.line}.${fieldOf(input, path)}`, message })),
      say.moving.nothingAdded,
    )
  }
}
