// How long did each making of a joint serve, by the facts? What the projections are made from, and checked against.

import { and, asc, eq, gt, inArray } from 'drizzle-orm'
import type { Life } from '../../rules/cohorts.ts'
import type { FlareBody, InspectionBody, TorqueBody } from '../../rules/dossier.ts'
import { torqueAtNut } from '../../trade/torque.ts'
import type { Scope } from '../store.ts'
import { effective } from './effective.ts'
import { grouped } from './grouped.ts'

/** Every making of these joints that a sign-off released; joints that were not made in the field have none. */
export async function listLivesOf(scope: Scope, jointIds: readonly string[]): Promise<Life[]> {
  if (jointIds.length === 0) return []
  const { db, t, companyId } = scope
  const ids = [...jointIds]
  const rows = await db
    .select({ make: t.makes, joint: t.joints, refrigerant: t.systems.refrigerant })
    .from(t.makes)
    .innerJoin(t.joints, and(eq(t.joints.companyId, t.makes.companyId), eq(t.joints.id, t.makes.jointId)))
    .innerJoin(
      t.systems,
      and(eq(t.systems.companyId, t.joints.companyId), eq(t.systems.id, t.joints.systemId)),
    )
    .where(and(eq(t.makes.companyId, companyId), inArray(t.makes.jointId, ids), eq(t.joints.origin, 'field')))
    .orderBy(asc(t.makes.jointId), asc(t.makes.number))
  const signOffs = await signOffsOf(
    scope,
    rows.map(({ make }) => make.jobId),
  )
  const released = rows.flatMap((row) => {
    const at = signOffs.get(row.make.jobId)?.find(({ at }) => at >= row.make.performedAt)?.at
    return at === undefined ? [] : [{ ...row, signedOffAt: at }]
  })
  if (released.length === 0) return []
  const steps = await db
    .select()
    .from(t.steps)
    .where(
      and(
        eq(t.steps.companyId, companyId),
        inArray(t.steps.jointId, ids),
        inArray(t.steps.kind, ['flare', 'inspection', 'torque']),
      ),
    )
    .orderBy(asc(t.steps.performedAt), asc(t.steps.id))
  const retired = new Map(
    (
      await db
        .select({ jointId: t.jointRetirements.jointId, at: t.jointRetirements.retiredAt })
        .from(t.jointRetirements)
        .where(and(eq(t.jointRetirements.companyId, companyId), inArray(t.jointRetirements.jointId, ids)))
    ).map(({ jointId, at }) => [jointId, at]),
  )
  const leaks = grouped(
    await db
      .select({
        jointId: t.callbackFindings.jointId,
        callbackId: t.callbacks.id,
        at: t.callbacks.reportedAt,
        cause: t.callbackFindings.cause,
      })
      .from(t.callbackFindings)
      .innerJoin(
        t.callbacks,
        and(
          eq(t.callbacks.companyId, t.callbackFindings.companyId),
          eq(t.callbacks.id, t.callbackFindings.callbackId),
        ),
      )
      .where(and(eq(t.callbackFindings.companyId, companyId), inArray(t.callbackFindings.jointId, ids)))
      .orderBy(asc(t.callbacks.reportedAt), asc(t.callbacks.id), asc(t.callbackFindings.id)),
    ({ jointId }) => jointId,
  )
  const models = await outdoorModelsOf(
    scope,
    released.map(({ joint }) => joint.systemId),
  )
  const stepsOf = grouped(await effective(scope, steps), ({ makeId }) => makeId)
  const makesOf = grouped(rows, ({ make }) => make.jointId)
  return released.map(({ make, joint, refrigerant, signedOffAt }): Life => {
    const next = makesOf.get(joint.id)?.find((other) => other.make.number > make.number)?.make
    const ends = [next?.performedAt, retired.get(joint.id)].filter((at) => at !== undefined)
    const end = ends.length === 0 ? null : Math.min(...ends)
    const served = end === null || end > signedOffAt
    // Found before it was made again: the leak is of this making.
    const leak = served
      ? leaks.get(joint.id)?.find(({ at }) => at >= signedOffAt && at <= (end ?? at))
      : undefined
    const own = stepsOf.get(make.id) ?? []
    const flare = own.findLast(({ kind }) => kind === 'flare')
    const torque = own.findLast(({ kind }) => kind === 'torque')
    const inspection =
      make.number === 1 && joint.kind === 'flare' ? own.find(({ kind }) => kind === 'inspection') : undefined
    const flareBody = flare?.body as FlareBody | undefined
    const flaredBy = flare?.performedBy ?? make.performedBy
    return {
      id: make.id,
      jointId: joint.id,
      systemId: joint.systemId,
      jobId: make.jobId,
      place: joint.place,
      line: joint.line,
      tubeOdM: joint.tubeOdM,
      kind: joint.kind,
      flareMethod: flareBody?.method ?? null,
      flaringToolId: flareBody?.instrumentId ?? null,
      wrenchId: (torque?.body as TorqueBody | undefined)?.instrumentId ?? null,
      flaredBy,
      torquedBy: torque?.performedBy ?? flaredBy,
      model: models.get(joint.systemId) ?? null,
      refrigerant,
      madeAt: make.performedAt,
      signedOffAt,
      endedAt: end,
      served,
      leakAt: leak?.at ?? null,
      leakCallbackId: leak?.callbackId ?? null,
      leakCause: leak?.cause ?? null,
      inspectedAt: inspection?.performedAt ?? null,
      acceptedAtOnce: inspection ? (inspection.body as InspectionBody).outcome === 'accepted' : null,
      torqueNm: torque ? readTorque(torque.body as TorqueBody) : null,
    }
  })
}

/** At the nut. A wrench that clicks shows its setting and reads nothing. */
function readTorque({ indication, readingNm, adapter }: TorqueBody): number | null {
  if (indication !== 'read' || readingNm === null) return null
  try {
    return torqueAtNut({ readingNm, adapter: adapter ?? undefined })
  } catch {
    // An adapter that can't be: recorded all the same, and no torque of a nut.
    return null
  }
}

async function signOffsOf({ db, t, companyId }: Scope, jobIds: readonly string[]) {
  const ids = [...new Set(jobIds)]
  if (ids.length === 0) return new Map<string, { at: number }[]>()
  return grouped(
    await db
      .select({ jobId: t.jobEvents.jobId, at: t.jobEvents.at })
      .from(t.jobEvents)
      .where(
        and(
          eq(t.jobEvents.companyId, companyId),
          inArray(t.jobEvents.jobId, ids),
          eq(t.jobEvents.event, 'signed-off'),
        ),
      )
      .orderBy(asc(t.jobEvents.at), asc(t.jobEvents.id)),
    ({ jobId }) => jobId,
  )
}

/** Of several outdoor units one after another, the first was there when the joints were made. */
async function outdoorModelsOf({ db, t, companyId }: Scope, systemIds: readonly string[]) {
  const rows = await db
    .select({ systemId: t.units.systemId, model: t.units.model })
    .from(t.units)
    .where(
      and(
        eq(t.units.companyId, companyId),
        inArray(t.units.systemId, [...new Set(systemIds)]),
        eq(t.units.role, 'outdoor'),
      ),
    )
    .orderBy(asc(t.units.systemId), asc(t.units.installedAt), asc(t.units.id))
  return new Map(rows.toReversed().map(({ systemId, model }) => [systemId, model]))
}

/** Of the systems that a job is about. */
export async function listFieldJointIdsOfJob({ db, t, companyId }: Scope, jobId: string): Promise<string[]> {
  const rows = await db
    .select({ id: t.joints.id })
    .from(t.jobSystems)
    .innerJoin(
      t.joints,
      and(eq(t.joints.companyId, t.jobSystems.companyId), eq(t.joints.systemId, t.jobSystems.systemId)),
    )
    .where(
      and(eq(t.jobSystems.companyId, companyId), eq(t.jobSystems.jobId, jobId), eq(t.joints.origin, 'field')),
    )
    .orderBy(asc(t.joints.id))
  return rows.map(({ id }) => id)
}

export async function listFoundJointIds({ db, t, companyId }: Scope, callbackId: string): Promise<string[]> {
  const rows = await db
    .selectDistinct({ id: t.callbackFindings.jointId })
    .from(t.callbackFindings)
    .where(and(eq(t.callbackFindings.companyId, companyId), eq(t.callbackFindings.callbackId, callbackId)))
    .orderBy(asc(t.callbackFindings.jointId))
  return rows.flatMap(({ id }) => id ?? [])
}

/** A page of a company's joints that were made in the field, by id. */
export async function listFieldJointIds(
  { db, t, companyId }: Scope,
  after: string,
  limit: number,
): Promise<string[]> {
  const rows = await db
    .select({ id: t.joints.id })
    .from(t.joints)
    .where(and(eq(t.joints.companyId, companyId), eq(t.joints.origin, 'field'), gt(t.joints.id, after)))
    .orderBy(asc(t.joints.id))
    .limit(limit)
  return rows.map(({ id }) => id)
}
