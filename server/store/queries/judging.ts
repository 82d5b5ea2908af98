// What does it take to judge the tests, the charge and the running of one system? Its dossier, and the policy.

import type { LineSet, System } from '../../rules/dossier.ts'
import { atmosphericPressureAt, STANDARD_ATMOSPHERE_PA } from '../../trade/atmosphere.ts'
import type { Scope } from '../store.ts'
import { listCharges } from './charges.ts'
import { listJoints } from './joints.ts'
import { type LineSetRow, listLineSets } from './line-sets.ts'
import { findPolicy, type PolicyInForce } from './policy.ts'
import { listRunningChecks } from './running-checks.ts'
import { listEvacuations, listPressureTests } from './section-tests.ts'
import { findSheetFigures } from './sheets-used.ts'
import { findSite } from './sites.ts'
import { findSystem, listUnits } from './systems.ts'

export interface SystemForJudging {
  system: System
  policy: PolicyInForce
  site: { id: string; elevationM: number | null }
}

/** Refuses with missing. */
export async function loadForJudging(scope: Scope, systemId: string): Promise<SystemForJudging> {
  const row = await findSystem(scope, systemId)
  const site = await findSite(scope, row.siteId)
  const only = [systemId]
  const system: System = {
    id: row.id,
    name: row.name,
    refrigerant: row.refrigerant,
    sheet: await findSheetFigures(scope, row.equipmentSheetId),
    atmosphericPressurePa:
      site.elevationM === null ? STANDARD_ATMOSPHERE_PA : atmosphericPressureAt(site.elevationM),
    units: await listUnits(scope, only),
    lineSets: (await listLineSets(scope, only)).map(lineSetIn),
    joints: (await listJoints(scope, only)).get(systemId) ?? [],
    pressureTests: (await listPressureTests(scope, only)).get(systemId) ?? [],
    evacuations: (await listEvacuations(scope, only)).get(systemId) ?? [],
    charges: (await listCharges(scope, only)).get(systemId) ?? [],
    runningChecks: (await listRunningChecks(scope, only)).get(systemId) ?? [],
  }
  return { system, policy: await findPolicy(scope), site: { id: site.id, elevationM: site.elevationM } }
}

const lineSetIn = (row: LineSetRow): LineSet => ({
  id: row.id,
  name: row.name,
  fromUnitId: row.fromUnitId,
  toUnitId: row.toUnitId,
  liquidOdM: row.liquidOdM,
  gasOdM: row.gasOdM,
  lengthM: row.lengthM,
  riseM: row.riseM,
  tubing: row.tubing,
  tubeWallM: row.tubeWallM,
  previousRefrigerant: row.previousRefrigerant,
  cleaning: row.cleaning,
  jointKind: row.jointKind,
  room: row.room,
  jobId: row.jobId,
})
