// Which joints of ours are or were in service, how was each made, and which of them leaked?

import { and, asc, eq, inArray, isNotNull } from 'drizzle-orm'
import type { FlareBody, InspectionBody, TorqueBody } from '../../rules/dossier.ts'
import type { FlareMethod, JointKind, Line } from '../../vocabulary.ts'
import type { Scope } from '../store.ts'
import { effective } from './effective.ts'
import { grouped } from './grouped.ts'

export interface MadeJoint {
  jointId: string
  makeId: string
  jobId: string
  systemId: string
  tag: string
  place: string
  line: Line
  tubeOdM: number
  kind: JointKind
  madeAt: number
  signedOffAt: number
  /** When it was made again or taken out; null while it is in service. */
  endedAt: number | null
  refrigerant: string
  model: string | null
  flareMethod: FlareMethod | null
  flaringToolId: string | null
  wrenchId: string | null
  /** Crew ids. */
  flaredBy: string | null
  torquedBy: string | null
  madeBy: string
  leak: { callbackId: string; at: number; cause: string } | null
}

/** Every making of a joint made in the field that a sign-off released. */
export async function listMadeJoints(scope: Scope): Promise<MadeJoint[]> {
  const { db, t, companyId } = scope
  const rows = await db
    .select({ make: t.makes, joint: t.joints, refrigerant: t.systems.refrigerant })
    .from(t.makes)
    .innerJoin(t.joints, and(eq(t.joints.companyId, t.makes.companyId), eq(t.joints.id, t.makes.jointId)))
    .innerJoin(
      t.systems,
      and(eq(t.systems.companyId, t.joints.companyId), eq(t.systems.id, t.joints.systemId)),
    )
    .where(and(eq(t.makes.companyId, companyId), eq(t.joints.origin, 'field')))
    .orderBy(asc(t.makes.jointId), asc(t.makes.number))
  const steps = await db
    .select()
    .from(t.steps)
    .where(
      and(
        eq(t.steps.companyId, companyId),
        inArray(t.steps.kind, ['flare', 'torque']),
        isNotNull(t.steps.makeId),
      ),
    )
    .orderBy(asc(t.steps.performedAt), asc(t.steps.id))
  const signOffs = grouped(
    await db
      .select({ jobId: t.jobEvents.jobId, at: t.jobEvents.at })
      .from(t.jobEvents)
      .where(and(eq(t.jobEvents.companyId, companyId), eq(t.jobEvents.event, 'signed-off')))
      .orderBy(asc(t.jobEvents.at)),
    ({ jobId }) => jobId,
  )
  const retired = new Map(
    (
      await db
        .select({ jointId: t.jointRetirements.jointId, at: t.jointRetirements.retiredAt })
        .from(t.jointRetirements)
        .where(eq(t.jointRetirements.companyId, companyId))
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
      .where(and(eq(t.callbackFindings.companyId, companyId), isNotNull(t.callbackFindings.jointId)))
      .orderBy(asc(t.callbacks.reportedAt)),
    ({ jointId }) => jointId,
  )
  const models = new Map(
    (
      await db
        .select({ systemId: t.units.systemId, model: t.units.model })
        .from(t.units)
        .where(and(eq(t.units.companyId, companyId), eq(t.units.role, 'outdoor')))
        // Of several one after another, the first was there when the joints were made.
        .orderBy(asc(t.units.systemId), asc(t.units.installedAt))
    )
      .toReversed()
      .map(({ systemId, model }) => [systemId, model]),
  )
  const stepsOf = grouped(await effective(scope, steps), ({ makeId }) => makeId)
  const makesOf = grouped(rows, ({ make }) => make.jointId)
  return rows.flatMap(({ make, joint, refrigerant }): MadeJoint[] => {
    const signedOffAt = signOffs.get(make.jobId)?.find(({ at }) => at >= make.performedAt)?.at
    if (signedOffAt === undefined) return []
    const next = makesOf.get(joint.id)?.find((other) => other.make.number > make.number)?.make
    const ends = [next?.performedAt, retired.get(joint.id)].filter((at) => at !== undefined)
    const endedAt = ends.length === 0 ? null : Math.max(signedOffAt, Math.min(...ends))
    // Found before it was made again: the leak is of this making.
    const leak = leaks.get(joint.id)?.find(({ at }) => at >= signedOffAt && at <= (endedAt ?? at))
    const own = stepsOf.get(make.id) ?? []
    const flare = own.findLast(({ kind }) => kind === 'flare')
    const torque = own.findLast(({ kind }) => kind === 'torque')
    const flareBody = flare?.body as FlareBody | undefined
    return [
      {
        jointId: joint.id,
        makeId: make.id,
        jobId: make.jobId,
        systemId: joint.systemId,
        tag: joint.tag,
        place: joint.place,
        line: joint.line,
        tubeOdM: joint.tubeOdM,
        kind: joint.kind,
        madeAt: make.performedAt,
        signedOffAt,
        endedAt,
        refrigerant,
        model: models.get(joint.systemId) ?? null,
        flareMethod: flareBody?.method ?? null,
        flaringToolId: flareBody?.instrumentId ?? null,
        wrenchId: (torque?.body as TorqueBody | undefined)?.instrumentId ?? null,
        flaredBy: flare?.performedBy ?? null,
        torquedBy: torque?.performedBy ?? null,
        madeBy: make.performedBy,
        leak: leak ? { callbackId: leak.callbackId, at: leak.at, cause: leak.cause } : null,
      },
    ]
  })
}

/** How many first makings were inspected, and how many of those were accepted. */
export async function countFirstFlares(scope: Scope): Promise<{ inspected: number; accepted: number }> {
  const { db, t, companyId } = scope
  const rows = await db
    .select({ id: t.steps.id, correctsId: t.steps.correctsId, body: t.steps.body })
    .from(t.steps)
    .innerJoin(t.makes, and(eq(t.makes.companyId, t.steps.companyId), eq(t.makes.id, t.steps.makeId)))
    .where(and(eq(t.steps.companyId, companyId), eq(t.steps.kind, 'inspection'), eq(t.makes.number, 1)))
  const inspections = await effective(scope, rows)
  return {
    inspected: inspections.length,
    accepted: inspections.filter(({ body }) => (body as InspectionBody).outcome === 'accepted').length,
  }
}

/** The cause of every finding of every callback. */
export async function listFoundCauses({ db, t, companyId }: Scope): Promise<string[]> {
  const rows = await db
    .select({ cause: t.callbackFindings.cause })
    .from(t.callbackFindings)
    .where(eq(t.callbackFindings.companyId, companyId))
    .orderBy(asc(t.callbackFindings.recordedAt), asc(t.callbackFindings.id))
  return rows.map(({ cause }) => cause)
}
