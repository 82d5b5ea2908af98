// What was it that leaked, as it was made: making, tool, wrench, people, and what it counts for?

import { answersFor, type Life } from '../rules/cohorts.ts'
import type { WholeCallback } from '../store/queries/callbacks.ts'
import { listPeopleNames } from '../store/queries/certificates.ts'
import { listInstrumentNames } from '../store/queries/instruments.ts'
import { listLivesOf } from '../store/queries/lives.ts'
import { listPlacedJoints } from '../store/queries/systems.ts'
import type { Scope } from '../store/store.ts'
import { instant } from './json.ts'

export type NotCounted = 'no-joint' | 'not-made-here' | 'not-in-service'

export interface Leaked {
  findingId: string
  jointId: string | null
  tag: string | null
  cause: string
  /** The making that stood when the leak was reported; null where the finding counts against none. */
  life: Life | null
  notCounted: NotCounted | null
  names: { flaringTool: string | null; wrench: string | null; flaredBy: string; torquedBy: string } | null
}

/** One line for each finding. What counts is what the figures of what comes back count. */
export async function whatLeaked(scope: Scope, callback: WholeCallback): Promise<Leaked[]> {
  const named = callback.findings.flatMap(({ jointId }) => jointId ?? [])
  if (callback.findings.length === 0) return []
  const joints = new Map((await listPlacedJoints(scope, callback.systemId)).map((one) => [one.id, one]))
  const lives = (await listLivesOf(scope, [...new Set(named)])).filter(
    ({ leakCallbackId }) => leakCallbackId === callback.id,
  )
  const tools = new Map((await listInstrumentNames(scope)).map(({ id, name }) => [id, name]))
  const { crew } = await listPeopleNames(scope)
  return callback.findings.map(({ id, jointId, cause }) => {
    const joint = jointId === null ? undefined : joints.get(jointId)
    const life = lives.find((one) => one.jointId === jointId) ?? null
    return {
      findingId: id,
      jointId,
      tag: joint?.tag ?? null,
      cause,
      life,
      notCounted:
        life !== null
          ? null
          : joint === undefined
            ? 'no-joint'
            : joint.origin === 'field'
              ? 'not-in-service'
              : 'not-made-here',
      names: life && {
        flaringTool: life.flaringToolId === null ? null : (tools.get(life.flaringToolId) ?? null),
        wrench: life.wrenchId === null ? null : (tools.get(life.wrenchId) ?? null),
        flaredBy: crew.get(life.flaredBy) ?? '',
        torquedBy: crew.get(life.torquedBy) ?? '',
      },
    }
  })
}

export const leakedJson = ({ findingId, jointId, tag, cause, life, notCounted }: Leaked) => ({
  findingId,
  jointId,
  tag,
  cause,
  notCounted,
  making: life && {
    id: life.id,
    jobId: life.jobId,
    madeAt: instant(life.madeAt),
    signedOffAt: instant(life.signedOffAt),
    daysInService: daysInService(life),
    flareMethod: life.flareMethod,
    flaringToolId: life.flaringToolId,
    wrenchId: life.wrenchId,
    flaredBy: life.flaredBy,
    torquedBy: life.torquedBy,
    /** Whose work the cause points to. */
    answersFor: answersFor({ ...life, leakCause: cause }),
    position: `${life.place}/${life.line}`,
    model: life.model,
    refrigerant: life.refrigerant,
  },
})

export const daysInService = ({ leakAt, signedOffAt }: Life): number =>
  Math.floor(((leakAt ?? signedOffAt) - signedOffAt) / 86_400_000)
