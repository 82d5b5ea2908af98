// Tables of sites, instruments and equipment sheets: looked at row by row, then brought in, all or nothing.

import { ImportPage } from '../../views/moving/import.tsx'
import type { FormState } from '../../views/parts/field.tsx'
import { parse } from '../commands/command.ts'
import {
  importEquipmentSheets,
  importInstruments,
  importSites,
  lookAt,
  openTable,
  type TableChoices,
  type TableSeen,
} from '../commands/imports/import-table.ts'
import { TABLE_FIELDS, TABLE_KINDS, type TableKind } from '../commands/imports/table-kinds.ts'
import type { Refusal } from '../refusals.ts'
import type { Fields } from './form.ts'
import { refusalOf } from './problem.ts'
import type { Ask, Resource } from './resource.ts'
import { shellOf } from './shell.ts'

const COMMANDS = {
  sites: importSites,
  instruments: importInstruments,
  'equipment-sheets': importEquipmentSheets,
}

export function importsResource(resource: Resource): void {
  for (const kind of TABLE_KINDS) {
    resource.read({
      path: `/imports/${kind}`,
      name: `import-form-of-${kind}`,
      summary: 'The form that brings in a table, and what would come of one that was sent.',
      capability: 'move-data',
      load: async () => kind,
      page: (_, ask) => importPage(ask, kind, ask.query),
    })
    resource.write({
      path: `/imports/${kind}.csv`,
      command: COMMANDS[kind],
      upload: 'table',
      json: seenJson,
      page: {
        path: `/imports/${kind}`,
        input: inputOf,
        goTo: (seen) =>
          `/imports/${kind}?${new URLSearchParams({
            table: seen.sha256,
            ...(seen.added === null ? {} : { ...howOf(seen), added: String(seen.added) }),
          })}`,
        again: (form, refusal, ask) => importPage(ask, kind, form.values, form, refusal),
      },
    })
  }
}

/** How it was read, as the form names it. */
const howOf = (seen: TableSeen): Fields => ({
  decimal: seen.decimal,
  dateOrder: seen.dateOrder,
  ...Object.fromEntries(
    TABLE_FIELDS[seen.kind].map(({ code }) => [`columns.${code}`, String(seen.chosen[code] ?? 0)]),
  ),
})

const seenJson = (seen: TableSeen) => ({
  table: seen.sha256,
  added: seen.added,
  columns: seen.columns,
  chosen: seen.chosen,
  decimal: seen.decimal,
  dateOrder: seen.dateOrder,
  lacking: seen.lacking,
  rows: seen.rows.map(({ line, state, id, errors }) => ({ row: line, state, id, errors })),
})

/** The names of fields have points of their own: they are not nested. */
function inputOf(fields: Fields): Record<string, unknown> {
  const { text = '', table = '' } = fields
  const dryRun = fields['dryRun?']
  return {
    ...(text.trim() === '' ? {} : { text }),
    ...(table === '' ? {} : { table }),
    ...(dryRun === undefined ? {} : { dryRun: dryRun !== 'no' }),
    ...choicesIn(fields),
  }
}

function choicesIn(fields: Fields): Record<string, unknown> {
  const columns = Object.entries(fields)
    .filter(([name, value]) => name.startsWith('columns.') && value !== '')
    .map(([name, value]) => [name.slice('columns.'.length), Number(value)] as const)
  return {
    ...(columns.length === 0 ? {} : { columns: Object.fromEntries(columns) }),
    ...(fields.decimal ? { decimal: fields.decimal } : {}),
    ...(fields.dateOrder ? { dateOrder: fields.dateOrder } : {}),
  }
}

async function importPage(ask: Ask, kind: TableKind, fields: Fields, came?: FormState, refusal?: Refusal) {
  const base = {
    shell: shellOf(ask.actor, '/moving-data'),
    kind,
    fields: TABLE_FIELDS[kind].map(({ code, required }) => ({ code, required: required === true })),
    added: /^\d{1,6}$/.test(fields.added ?? '') ? Number(fields.added) : null,
  }
  const hash = fields.table ?? ''
  if (hash === '')
    return ImportPage({
      ...base,
      preview: null,
      form: came ?? { values: fields, errors: [] },
      ...(refusal === undefined ? {} : { refused: refusal.message }),
    })
  const kept = await openTable(ask.deps.machinery, ask.actor.companyId, hash)
  const { choices, problem } = choicesOf(kind, fields)
  const { seen } = await lookAt(ask.scope, kind, kept, choices)
  const said = refusal ?? problem
  return ImportPage({
    ...base,
    preview: seen,
    form: { values: fields, errors: (came?.errors ?? problem?.errors ?? []).slice() },
    ...(said === undefined ? {} : { refused: said.message }),
  })
}

/** A choice that can't be is said, and the rest is shown as it is guessed. */
function choicesOf(kind: TableKind, fields: Fields) {
  try {
    const { columns, decimal, dateOrder } = parse(COMMANDS[kind].input, choicesIn(fields))
    return { choices: { columns, decimal, dateOrder } as TableChoices, problem: undefined }
  } catch (problem) {
    return { choices: {} as TableChoices, problem: refusalOf(problem) }
  }
}
