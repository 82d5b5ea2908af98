// Callbacks: what comes back, what was found and how it was closed, as pages and as JSON.

import { z } from 'zod'
import { CallbackList } from '../../views/callbacks/index.tsx'
import { NewCallback } from '../../views/callbacks/new.tsx'
import { CallbackPage } from '../../views/callbacks/show.tsx'
import type { FormState } from '../../views/parts/field.tsx'
import { may } from '../access/capabilities.ts'
import { changeCallback } from '../commands/callbacks/change-callback.ts'
import { closeCallback } from '../commands/callbacks/close-callback.ts'
import { openCallback } from '../commands/callbacks/open-callback.ts'
import { id as uuid } from '../commands/fields.ts'
import { newId } from '../ids.ts'
import { missing } from '../refusals.ts'
import {
  type CalledSystem,
  findCallback,
  listCallbacks,
  listCalledSystems,
  systemIdsByMark,
  type WholeCallback,
} from '../store/queries/callbacks.ts'
import { findJob } from '../store/queries/jobs.ts'
import { listPlacedJoints, type PlacedJoint } from '../store/queries/systems.ts'
import type { QuantityKind, UnitOf } from '../trade/units.ts'
import type { LeakCheckMethod, LeakPlace } from '../vocabulary.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import type { Deps } from './deps.ts'
import { expand, type Fields } from './form.ts'
import { instant, instantOrNull, quantityJson } from './json.ts'
import { type Ask, type ListQuery, listQuery, type Resource } from './resource.ts'
import { shellOf } from './shell.ts'
import { placeWords } from './strip-of.ts'

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

  resource.write({
    method: 'PATCH',
    path: '/callbacks/:callbackId',
    command: changeCallback,
    json: callbackJson,
    page: {
      input: findingFrom,
      goTo: (callback) => `/callbacks/${callback.id}`,
      again: (form, _refusal, ask) => callbackAgain(ask, asFormNames(form)),
    },
  })

  resource.write({
    path: '/callbacks/:callbackId/close',
    command: closeCallback,
    json: callbackJson,
    page: {
      input: closingFrom,
      goTo: (callback) => `/callbacks/${callback.id}`,
      again: (form, _refusal, ask) => callbackAgain(ask, form),
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

/** The page adds one finding at a time; a cause in words stands before the one from the list. */
function findingFrom(fields: Fields): Record<string, unknown> {
  const { found, ...input } = expand(fields)
  if (typeof found !== 'object' || found === null) return input
  const { otherCause, ...finding } = found as Record<string, unknown>
  return { ...input, found: [{ ...finding, ...(otherCause === undefined ? {} : { cause: otherCause }) }] }
}

const asFormNames = (form: FormState): FormState => ({
  ...form,
  errors: form.errors.map((error) => ({ ...error, path: error.path.replace(/^found\.0\./, 'found.') })),
})

/** The status of a claim always stands in the form; without maker and number there is none. */
function closingFrom(fields: Fields): Record<string, unknown> {
  const { claim, ...input } = expand(fields)
  const { maker, number } = (claim ?? {}) as Record<string, unknown>
  return maker === undefined && number === undefined ? input : { ...input, claim }
}

// ---------------------------------------------------------------- pages

async function newPage(ask: Ask, form?: FormState) {
  const { scope, actor, query } = ask
  const mark = query.mark?.trim().slice(0, 120) ?? ''
  const named = form?.values.systemId ?? query.system
  const systems = await listCalledSystems(
    scope,
    named === undefined ? await systemIdsByMark(scope, mark) : [named],
  )
  if (named !== undefined && systems.length === 0) throw missing(say.callbacks.thisSystem)
  return NewCallback({
    shell: shellOf(actor, '/callbacks'),
    freshId: form?.values.id ?? newId(),
    mark,
    systems,
    // One that carries the mark is the one that is meant: straight on to what is said.
    system: systems.length === 1 ? (systems[0] ?? null) : null,
    form,
  })
}

const callbackAgain = async (ask: Ask, form: FormState) =>
  callbackPage(ask, await findCallback(ask.scope, ask.params.callbackId ?? ''), form)

async function callbackPage(ask: Ask, callback: WholeCallback, form?: FormState) {
  const { scope, actor } = ask
  const [system] = await listCalledSystems(scope, [callback.systemId])
  if (!system) throw missing(say.callbacks.thisSystem)
  const joints = await listPlacedJoints(scope, system.id)
  const repairs = await Promise.all(callback.repairJobIds.map((jobId) => findJob(scope, jobId)))
  const { recovered, added, labour } = typedOf(callback)
  const { detail } = callback
  return CallbackPage({
    shell: shellOf(actor, '/callbacks'),
    callback: {
      id: callback.id,
      reportedAt: callback.reportedAt,
      symptom: callback.symptom,
      outcome: callback.outcome,
      closedAt: callback.closedAt,
      responsibility: detail.responsibility,
      recovered,
      added,
      labour,
      parts: detail.partsReplaced,
      claim: detail.claim,
    },
    system: system satisfies CalledSystem,
    findings: callback.findings.map((finding) => ({
      id: finding.id,
      part: finding.part,
      joint: jointView(joints.find((joint) => joint.id === finding.jointId)),
      place: finding.place as LeakPlace | null,
      method: finding.method as LeakCheckMethod,
      cause: finding.cause,
      size: finding.size,
      recordedAt: finding.recordedAt,
    })),
    joints: joints
      .filter((joint) => joint.retiredAt === null)
      .map((joint) => ({
        value: joint.id,
        label: say.callbacks.line(joint.tag, placeWords(joint), coded(joint.line)),
      })),
    repairs: repairs.map(({ id, kind, reference, stage, openedAt }) => ({
      id,
      kind,
      reference,
      stage,
      openedAt,
    })),
    fresh: { job: newId(), finding: newId(), closing: newId() },
    mayHandle: may(actor, 'handle-callback'),
    mayOpenJob: may(actor, 'open-job'),
    form,
  })
}

const jointView = (joint: PlacedJoint | undefined) =>
  joint
    ? { id: joint.id, tag: joint.tag, where: say.callbacks.line2(placeWords(joint), coded(joint.line)) }
    : null

function typedOf({ detail: { typed } }: WholeCallback) {
  return {
    recovered: typed.refrigerantRecovered ?? null,
    added: typed.refrigerantAdded ?? null,
    labour: typed.labourTime ?? null,
  }
}
