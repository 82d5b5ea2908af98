// What do the pages of a callback show: its intake on the telephone, and itself?

import { NewCallback } from '../../views/callbacks/new.tsx'
import { CallbackPage } from '../../views/callbacks/show.tsx'
import type { LeakedView } from '../../views/callbacks/what-leaked.tsx'
import { flareMethodWords } from '../../views/joints/step-words.ts'
import type { FormState } from '../../views/parts/field.tsx'
import { matchedWords } from '../../views/search/index.tsx'
import { may } from '../access/capabilities.ts'
import { newId } from '../ids.ts'
import { missing } from '../refusals.ts'
import { warrantyStanding } from '../rules/warranty-standing.ts'
import {
  type CalledSystem,
  findCallback,
  listCallbacksOfSystem,
  listCalledSystems,
  type WholeCallback,
} from '../store/queries/callbacks.ts'
import { findJob, listSystemIdsOfJob } from '../store/queries/jobs.ts'
import { listCrew } from '../store/queries/people.ts'
import { type SearchHit, search } from '../store/queries/search.ts'
import { type DatedUnit, listPlacedJoints, listUnits, type PlacedJoint } from '../store/queries/systems.ts'
import type { Scope } from '../store/store.ts'
import type { LeakCheckMethod, LeakPlace } from '../vocabulary.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import { jointsToLookAt } from './look-first.ts'
import type { Ask } from './resource.ts'
import { shellOf } from './shell.ts'
import { placeWords } from './strip-of.ts'
import { daysInService, type Leaked, whatLeaked } from './what-leaked.ts'

// ---------------------------------------------------------------- intake

export async function newPage(ask: Ask, form?: FormState) {
  const { scope, actor, query, now } = ask
  const named = form?.values.systemId ?? query.system
  const typed = (query.q ?? '').trim().slice(0, 200)
  const { found, more, sure } = named === undefined ? await lookedFor(scope, typed) : NOTHING_FOUND
  const systemId = named ?? sure
  const [system] = systemId === undefined ? [] : await listCalledSystems(scope, [systemId])
  if (named !== undefined && !system) throw missing(say.callbacks.thisSystem)
  return NewCallback({
    shell: shellOf(actor, '/callbacks'),
    freshId: form?.values.id ?? newId(),
    typed,
    found,
    more,
    called: system
      ? {
          system,
          warranty: {
            units: answersOf(await listUnits(scope, [system.id]), now, null),
            at: now,
            back: `system=${system.id}`,
            mayState: true,
          },
          before: (await listCallbacksOfSystem(scope, system.id)).map(lineOf),
        }
      : null,
    form,
  })
}

const NOTHING_FOUND = { found: [], more: false, sure: undefined }

/** The systems that what was typed may mean. Where one alone is meant and nothing was mistyped, it is `sure`. */
async function lookedFor(scope: Scope, typed: string) {
  const { hits, more } = await search(scope, typed)
  const matched = new Map<string, SearchHit['matched']>()
  for (const hit of hits)
    for (const id of await systemsOf(scope, hit)) if (!matched.has(id)) matched.set(id, hit.matched)
  const systems = new Map((await listCalledSystems(scope, [...matched.keys()])).map((one) => [one.id, one]))
  const found = [...matched].flatMap(([id, why]) => {
    const system = systems.get(id)
    return system ? [{ ...system, matched: matchedWords(why), near: why.how === 'near' }] : []
  })
  const [only] = found
  return { found, more, sure: found.length === 1 && only?.near === false && !more ? only.id : undefined }
}

async function systemsOf(scope: Scope, hit: SearchHit): Promise<string[]> {
  if (hit.kind === 'system') return [hit.id]
  if (hit.kind === 'joint' || hit.kind === 'unit') return [hit.systemId]
  if (hit.kind === 'site') return hit.systems.map(({ id }) => id)
  return hit.kind === 'job' ? listSystemIdsOfJob(scope, hit.id) : []
}

/** Of the units in service, the outdoor one first. */
function answersOf(units: readonly DatedUnit[], at: number, claimDueAt: number | null) {
  return units
    .filter(({ removedAt }) => removedAt === null)
    .toSorted((a, b) => Number(b.role === 'outdoor') - Number(a.role === 'outdoor'))
    .map((unit) => ({
      id: unit.id,
      name: unit.name,
      model: unit.model,
      serial: unit.serial,
      installedAt: unit.installedAt,
      standing: warrantyStanding(unit, at, claimDueAt),
    }))
}

const lineOf = (callback: WholeCallback) => ({
  id: callback.id,
  reportedAt: callback.reportedAt,
  symptom: callback.symptom,
  outcome: callback.outcome,
  causes: callback.findings.map(({ cause }) => cause),
  closedAt: callback.closedAt,
})

// ---------------------------------------------------------------- itself

export const callbackAgain = async (ask: Ask, form: FormState) =>
  callbackPage(ask, await findCallback(ask.scope, ask.params.callbackId ?? ''), form)

export async function callbackPage(ask: Ask, callback: WholeCallback, form?: FormState) {
  const { scope, actor } = ask
  const [system] = await listCalledSystems(scope, [callback.systemId])
  if (!system) throw missing(say.callbacks.thisSystem)
  const units = await listUnits(scope, [system.id])
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
      reportedBy: detail.reportedBy ?? null,
      closedAt: callback.closedAt,
      responsibility: detail.responsibility,
      recovered,
      added,
      labour,
      parts: detail.partsReplaced,
      claim: detail.claim,
    },
    system: system satisfies CalledSystem,
    warranty: {
      units: answersOf(units, callback.reportedAt, detail.claim?.dueAt ?? null),
      at: callback.reportedAt,
      back: `callback=${callback.id}`,
      mayState: may(actor, 'handle-callback'),
    },
    lookFirst:
      callback.closedAt === null
        ? (await jointsToLookAt(ask, callback)).map(({ place, line, ...one }) => ({
            ...one,
            where: say.callbacks.line2(placeWords({ place }), coded(line)),
          }))
        : null,
    leaked: (await whatLeaked(scope, callback)).flatMap(leakedView),
    crew: (await listCrew(scope)).map(({ id, name }) => ({ value: id, label: name })),
    replacedUnits: replacedUnits(units, detail.partsReplaced),
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
    fresh: { job: newId(), finding: newId(), work: newId(), closing: newId() },
    mayHandle: may(actor, 'handle-callback'),
    mayOpenJob: may(actor, 'open-job'),
    maySetUp: may(actor, 'set-up-system'),
    form,
  })
}

/** Other parts than joints are told by their finding alone. */
function leakedView(leaked: Leaked): LeakedView[] {
  const { findingId, jointId, tag, life, names, notCounted } = leaked
  if (jointId === null || tag === null) return []
  const named = (id: string | null, name: string | null) =>
    id === null || name === null ? null : { id, name }
  return [
    {
      findingId,
      jointId,
      tag,
      notCounted:
        notCounted === null
          ? null
          : notCounted === 'not-made-here'
            ? say.callbacks.notMadeHere
            : say.callbacks.notInService,
      making: life &&
        names && {
          madeAt: life.madeAt,
          days: daysInService(life),
          flaredBy: names.flaredBy,
          flareMethod: life.flareMethod === null ? null : flareMethodWords()[life.flareMethod],
          flaringTool: named(life.flaringToolId, names.flaringTool),
          torquedBy: names.torquedBy,
          wrench: named(life.wrenchId, names.wrench),
          model: life.model,
          refrigerant: life.refrigerant,
          figures: `/reliability/joints?by=position&key=${encodeURIComponent(`${life.place}/${life.line}`)}`,
        },
    },
  ]
}

/** Whole units among the parts, whose old serial is still that of a unit in service: the unit is to be recorded. */
function replacedUnits(
  units: readonly DatedUnit[],
  parts: readonly { oldSerial: string | null; newSerial: string | null }[],
) {
  return parts.flatMap(({ oldSerial, newSerial }) => {
    if (oldSerial === null || newSerial === null) return []
    const unit = units.find(
      (one) => one.removedAt === null && one.serialLower === oldSerial.trim().toLowerCase(),
    )
    return unit ? [{ id: unit.id, name: unit.name, oldSerial, newSerial }] : []
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
