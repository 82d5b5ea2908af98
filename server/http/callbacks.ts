// Callbacks: what comes back, what was found and how it was closed, as pages and as JSON.

import { z } from 'zod'
import { CallbackList } from '../../views/callbacks/index.tsx'
import type { FormState } from '../../views/parts/field.tsx'
import { may } from '../access/capabilities.ts'
import { changeCallback } from '../commands/callbacks/change-callback.ts'
import { closeCallback } from '../commands/callbacks/close-callback.ts'
import { openCallback } from '../commands/callbacks/open-callback.ts'
import { openRepair } from '../commands/callbacks/open-repair.ts'
import { id as uuid } from '../commands/fields.ts'
import { stateWarranty } from '../commands/places/state-warranty.ts'
import {
  findCallback,
  listCallbacks,
  listCalledSystems,
  type WholeCallback,
} from '../store/queries/callbacks.ts'
import type { QuantityKind, UnitOf } from '../trade/units.ts'
import { say } from '../words/say.ts'
import { callbackAgain, callbackPage, newPage } from './callback-page.ts'
import type { Deps } from './deps.ts'
import { expand, type Fields } from './form.ts'
import { jobJson } from './jobs.ts'
import { instant, instantOrNull, quantityJson } from './json.ts'
import { jointsToLookAt } from './look-first.ts'
import { type ListQuery, listQuery, type Resource } from './resource.ts'
import { shellOf } from './shell.ts'
import { unitJson } from './systems.ts'
import { leakedJson, whatLeaked } from './what-leaked.ts'

const callbacksQuery = listQuery.extend({
  state: z.enum(['open', 'closed'], { error: () => say.callbacks.useOpenOrClosed }).optional(),
  systemId: uuid.optional(),
})
type CallbacksQuery = ListQuery & Pick<z.output<typeof callbacksQuery>, 'state' | 'systemId'>

export function callbacksResource(resource: Resource, _deps: Deps): void {
  resource.read({
    path: '/callbacks',
    name: 'list-callbacks',
    summary: 'The company’s callbacks, newest report first.',
    query: callbacksQuery,
    load: ({ scope, query }) => listCallbacks(scope, query as unknown as CallbacksQuery),
    json: ({ items, nextCursor }) => ({ items: items.map(callbackJson), nextCursor }),
    page: async ({ items, nextCursor }, { actor, scope, query }) => {
      const systems = await listCalledSystems(
        scope,
        items.map((callback) => callback.systemId),
      )
      const byId = new Map(systems.map((system) => [system.id, system]))
      return CallbackList({
        shell: shellOf(actor, '/callbacks'),
        state: (query as unknown as CallbacksQuery).state ?? null,
        callbacks: items.map((callback) => ({
          id: callback.id,
          reportedAt: callback.reportedAt,
          customerName: byId.get(callback.systemId)?.customerName ?? '',
          systemName: byId.get(callback.systemId)?.name ?? '',
          symptom: callback.symptom,
          outcome: callback.outcome,
          causes: callback.findings.map(({ cause }) => cause),
          closedAt: callback.closedAt,
        })),
        isFirstPage: query.cursor === undefined,
        nextCursor,
        mayHandle: may(actor, 'handle-callback'),
      })
    },
  })

  resource.read({
    path: '/callbacks/new',
    name: 'new-callback',
    summary: 'The form that takes in a callback.',
    capability: 'handle-callback',
    load: async () => null,
    page: (_nothing, ask) => newPage(ask),
  })

  resource.write({
    path: '/callbacks',
    command: openCallback,
    status: 201,
    json: callbackJson,
    page: {
      goTo: (callback) => `/callbacks/${callback.id}`,
      again: (form, _refusal, ask) => newPage(ask, form),
    },
  })

  resource.read({
    path: '/callbacks/:callbackId',
    name: 'read-callback',
    summary: 'One callback with what was found and the job that repairs it.',
    load: ({ scope, params }) => findCallback(scope, params.callbackId ?? ''),
    json: callbackJson,
    page: (callback, ask) => callbackPage(ask, callback),
  })

  resource.read({
    path: '/callbacks/:callbackId/look-first',
    name: 'look-first',
    summary:
      'The joints of its system to look at first, each with its reasons from the record; those with nothing against them last.',
    load: async (ask) => jointsToLookAt(ask, await findCallback(ask.scope, ask.params.callbackId ?? '')),
    json: (joints) => ({ items: joints, nextCursor: null }),
  })

  resource.read({
    path: '/callbacks/:callbackId/what-leaked',
    name: 'what-leaked',
    summary:
      'What each finding counts against: the making that stood when it was reported, with its tool, wrench, people, model.',
    load: async ({ scope, params }) => whatLeaked(scope, await findCallback(scope, params.callbackId ?? '')),
    json: (leaked) => ({ items: leaked.map(leakedJson), nextCursor: null }),
  })

  resource.write({
    method: 'PATCH',
    path: '/callbacks/:callbackId',
    command: changeCallback,
    json: callbackJson,
    page: {
      input: changeFrom,
      goTo: (callback) => `/callbacks/${callback.id}`,
      again: (form, _refusal, ask) => callbackAgain(ask, asFormNames(form)),
    },
  })

  resource.write({
    path: '/callbacks/:callbackId/close',
    command: closeCallback,
    json: callbackJson,
    page: {
      goTo: (callback) => `/callbacks/${callback.id}`,
      again: (form, _refusal, ask) => callbackAgain(ask, form),
    },
  })

  resource.write({
    path: '/callbacks/:callbackId/repair',
    command: openRepair,
    status: 201,
    json: jobJson,
    page: {
      goTo: ({ callbackId }) => `/callbacks/${callbackId}`,
      again: (form, _refusal, ask) => callbackAgain(ask, form),
    },
  })

  resource.write({
    path: '/units/:unitId/warranty',
    command: stateWarranty,
    json: unitJson,
    page: {
      input: warrantyFrom,
      goTo: (unit, { query }) =>
        query.callback === undefined
          ? `/callbacks/new?system=${unit.systemId}`
          : `/callbacks/${encodeURIComponent(query.callback)}`,
      again: async (form, _refusal, ask) => {
        const { callback } = ask.query
        if (callback === undefined) return newPage(ask, form)
        return callbackPage(ask, await findCallback(ask.scope, callback), form)
      },
    },
  })
}

export const callbackJson = (callback: WholeCallback) => {
  const { detail } = callback
  const quantity = <Kind extends QuantityKind>(
    name: string,
    kind: Kind,
    si: number | null,
    unit: UnitOf<Kind>,
  ) => detail.typed[name] ?? quantityJson(kind, si, unit)
  return {
    id: callback.id,
    systemId: callback.systemId,
    reportedAt: instant(callback.reportedAt),
    reportedBy: detail.reportedBy ?? null,
    symptom: callback.symptom,
    outcome: callback.outcome,
    found: callback.findings.map((finding) => ({
      id: finding.id,
      part: finding.part,
      jointId: finding.jointId,
      where: finding.place,
      method: finding.method,
      cause: finding.cause,
      size: finding.size,
      recordedBy: finding.recordedBy,
      recordedAt: instant(finding.recordedAt),
    })),
    responsibility: detail.responsibility,
    refrigerantRecovered: quantity('refrigerantRecovered', 'mass', detail.refrigerantRecoveredKg, 'kg'),
    refrigerantAdded: quantity('refrigerantAdded', 'mass', detail.refrigerantAddedKg, 'kg'),
    labourTime: quantity('labourTime', 'time', detail.labourS, 's'),
    partsReplaced: detail.partsReplaced,
    claim: detail.claim && {
      ...detail.claim,
      sentAt: instantOrNull(detail.claim.sentAt),
      dueAt: instantOrNull(detail.claim.dueAt),
    },
    repairJobId: callback.repairJobIds[0] ?? null,
    recordedBy: callback.recordedBy,
    recordedAt: instant(callback.recordedAt),
    closedAt: instantOrNull(callback.closedAt),
    closedBy: callback.closedBy,
  }
}

// ---------------------------------------------------------------- forms

type Named = Record<string, unknown>

/** Two forms of one page say what is new: what was found, or what was done. */
const changeFrom = (fields: Fields) => (fields._form === 'work' ? workFrom(fields) : findingFrom(fields))

/** The page adds one finding at a time; a cause in words stands before the one from the list. */
function findingFrom(fields: Fields): Named {
  const { found, ...input } = expand(fields)
  if (typeof found !== 'object' || found === null) return input
  const { otherCause, ...finding } = found as Named
  return { ...input, found: [{ ...finding, ...(otherCause === undefined ? {} : { cause: otherCause }) }] }
}

/** The form holds all that is known of the work: what is empty is taken away. Without a maker there is no claim. */
function workFrom(fields: Fields): Named {
  const { claim, partsReplaced, ...input } = expand(fields)
  const emptied = Object.fromEntries(
    ['responsibility', 'refrigerantRecovered', 'refrigerantAdded', 'labourTime']
      .filter((name) => !(name in input))
      .map((name) => [name, null]),
  )
  const { status, dueAt, sentAt, ...said } = (claim ?? {}) as Record<string, string>
  const dated = {
    ...said,
    ...(dueAt ? { dueAt: noonOf(dueAt) } : {}),
    ...(sentAt ? { sentAt: noonOf(sentAt) } : {}),
  }
  return {
    ...input,
    ...emptied,
    partsReplaced: Object.values((partsReplaced ?? {}) as Named),
    claim: Object.keys(dated).length === 0 ? null : { ...dated, status },
  }
}

/** A day as the middle of it, so that it stays the same day whoever reads it. */
const noonOf = (day: string) => (/^\d{4}-\d{2}-\d{2}$/.test(day) ? `${day}T12:00:00Z` : day)

/** Errors by the names of the form: of a single finding, and of the parts' rows, of which empty ones were left out. */
function asFormNames(form: FormState): FormState {
  const rows = [
    ...new Set(
      Object.entries(form.values).flatMap(([name, value]) => {
        const [list, row] = name.split('.')
        return list === 'partsReplaced' && row !== undefined && value.trim() !== '' ? [Number(row)] : []
      }),
    ),
  ].sort((a, b) => a - b)
  return {
    ...form,
    errors: form.errors.map((error) => ({
      ...error,
      path: error.path
        .replace(/^found\.0\./, 'found.')
        .replace(/^partsReplaced\.(\d+)/, (_all, row) => `partsReplaced.${rows[Number(row)] ?? row}`),
    })),
  }
}

/** What is left empty is not known. */
const warrantyFrom = (fields: Fields): Named => ({
  warrantyStart: fields.warrantyStart ? noonOf(fields.warrantyStart) : null,
  warrantyEnd: fields.warrantyEnd ? noonOf(fields.warrantyEnd) : null,
  registeredWithMaker: fields.registeredWithMaker === 'true',
})
