// Who does the work, with or without an account, and with which licences?

import type { FormState } from '../../views/parts/field.tsx'
import { CrewPage, CrewPersonPage } from '../../views/people/crew.tsx'
import { addCrewPerson } from '../commands/people/add-crew-person.ts'
import { changeCrewPerson } from '../commands/people/change-crew-person.ts'
import { newId } from '../ids.ts'
import type { Refusal } from '../refusals.ts'
import { type CrewRow, findCrewPerson, listCrewPage } from '../store/queries/crew.ts'
import type { Deps } from './deps.ts'
import { expand, type Fields } from './form.ts'
import { instant, instantOrNull } from './json.ts'
import { type Ask, type ListQuery, listQuery, type Resource } from './resource.ts'
import { messageOf } from './session.ts'
import { shellOf } from './shell.ts'

export function crewResource(resource: Resource, _deps: Deps): void {
  resource.read({
    path: '/crew',
    name: 'list-crew',
    summary: 'The people who do the work, newest first.',
    capability: 'keep-crew',
    query: listQuery,
    load: ({ scope, query }) => listCrewPage(scope, query as unknown as ListQuery),
    json: ({ items, nextCursor }) => ({ items: items.map(crewJson), nextCursor }),
    page: (_page, ask) => crewPage(ask),
  })

  resource.write({
    path: '/crew',
    command: addCrewPerson,
    status: 201,
    json: (row) => crewJson(row),
    page: {
      input: withRows,
      goTo: () => '/crew',
      again: (form, refusal, ask) => crewPage(ask, byRow(form), refusal),
    },
  })

  resource.read({
    path: '/crew/:crewId',
    name: 'find-crew-person',
    summary: 'One person of the crew.',
    capability: 'keep-crew',
    load: ({ scope, params }) => findCrewPerson(scope, params.crewId ?? ''),
    json: (row) => crewJson(row),
    page: (row, ask) => personPage(ask, row),
  })

  resource.write({
    method: 'PATCH',
    path: '/crew/:crewId',
    command: changeCrewPerson,
    json: (row) => crewJson(row),
    page: {
      input: withRows,
      goTo: () => '/crew',
      again: async (form, refusal, ask) =>
        personPage(ask, await findCrewPerson(ask.scope, ask.params.crewId ?? ''), byRow(form), refusal),
    },
  })
}

async function crewPage(ask: Ask, form?: FormState, refusal?: Refusal) {
  const { items, nextCursor } = await listCrewPage(ask.scope, { limit: 50, cursor: ask.query.cursor })
  return CrewPage({
    shell: shellOf(ask.actor, '/crew'),
    id: form?.values.id ?? newId(),
    now: ask.now,
    items: items.map((row) => ({
      id: row.id,
      name: row.name,
      hasAccount: row.memberId !== null,
      active: row.active,
      credentials: row.credentials,
    })),
    nextHref: nextCursor === null ? undefined : `/crew?cursor=${nextCursor}`,
    form,
    refused: refusal && messageOf(refusal),
  })
}

const personPage = (ask: Ask, row: CrewRow, form?: FormState, refusal?: Refusal) =>
  CrewPersonPage({
    shell: shellOf(ask.actor, '/crew'),
    person: {
      id: row.id,
      name: row.name,
      hasAccount: row.memberId !== null,
      active: row.active,
      credentials: row.credentials,
    },
    form,
    refused: refusal && messageOf(refusal),
  })

/** `credentials.2.scheme` and its like become a list; a row left empty is no row. */
function withRows(fields: Fields): Record<string, unknown> {
  const { credentials, ...rest } = expand(fields)
  const rows = (credentials ?? {}) as Record<string, unknown>
  return { ...rest, credentials: filledRows(fields).map((row) => rows[row]) }
}

const filledRows = (fields: Fields): string[] => [
  ...new Set(
    Object.entries(fields)
      .filter(([, value]) => value.trim() !== '')
      .flatMap(([name]) => /^credentials\.(\d+)\./.exec(name)?.[1] ?? []),
  ),
]

/** The command counts only the rows that were filled in; the form shows them all. */
function byRow(form: FormState): FormState {
  const rows = filledRows(form.values)
  return {
    ...form,
    errors: form.errors.map((error) => ({
      ...error,
      path: error.path.replace(/^credentials\.(\d+)/, (all, at) => {
        const row = rows[Number(at)]
        return row === undefined ? all : `credentials.${row}`
      }),
    })),
  }
}

const crewJson = (row: CrewRow) => ({
  id: row.id,
  name: row.name,
  memberId: row.memberId,
  active: row.active,
  credentials: row.credentials.map((credential) => ({
    ...credential,
    validUntil: instantOrNull(credential.validUntil),
  })),
  createdAt: instant(row.createdAt),
})
