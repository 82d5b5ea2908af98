// What does it take to judge the tests, the charge and the running of one system? Its facts, and the policy in force.

import { missing } from '../../refusals.ts'
import type { System } from '../../rules/dossier.ts'
import type { Scope } from '../store.ts'
import { loadSystems } from './dossier.ts'
import { findPolicy, type PolicyInForce } from './policy.ts'
import { findSite, type SiteRow } from './sites.ts'
import { findSystem } from './systems.ts'

export interface SystemForJudging {
  system: System
  policy: PolicyInForce
  site: SiteRow
}

/** Refuses with missing. */
export async function loadForJudging(scope: Scope, systemId: string): Promise<SystemForJudging> {
  const { siteId } = await findSystem(scope, systemId)
  const [system] = await loadSystems(scope, { siteId }, [systemId])
  if (!system) throw missing('This system')
  return { system, policy: await findPolicy(scope), site: await findSite(scope, siteId) }
}
