// What is needed to show or judge one joint? It in its system, and what its torques are judged by.

import type { Joint, System } from '../rules/dossier.ts'
import type { Judging } from '../rules/judge-torque.ts'
import { loadSystems } from '../store/queries/dossier.ts'
import { listInstrumentsById } from '../store/queries/instruments-used.ts'
import { findJointRow, type JointRow } from '../store/queries/joints.ts'
import { findPolicy } from '../store/queries/policy.ts'
import { findSystem } from '../store/queries/systems.ts'
import type { Ask } from './resource.ts'

/** A joint in its system, with what its torques are judged by. */
export interface SeenJoint {
  row: JointRow
  system: System
  joint: Joint
  judging: Judging
  siteId: string
  now: number
}

export async function lookAt(ask: Ask, jointId: string): Promise<SeenJoint> {
  const { scope } = ask
  const row = await findJointRow(scope, jointId)
  const { siteId } = await findSystem(scope, row.systemId)
  const [system] = await loadSystems(scope, { siteId }, [row.systemId])
  const joint = system?.joints.find((one) => one.id === jointId)
  if (!system || !joint) throw new Error('A joint without its system was found.')
  const wrenches = system.joints
    .flatMap((one) => one.makes.flatMap((make) => make.steps))
    .flatMap((step) => (step.kind === 'torque' && step.body.instrumentId ? [step.body.instrumentId] : []))
  return {
    row,
    system,
    joint,
    judging: {
      policy: (await findPolicy(scope)).criteria,
      sheet: system.sheet,
      instruments: await listInstrumentsById(scope, wrenches),
    },
    siteId,
    now: ask.now,
  }
}
