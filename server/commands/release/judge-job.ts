// What holds a job, as things stand in this transaction?

import type { Dossier } from '../../rules/dossier.ts'
import type { Finding } from '../../rules/finding.ts'
import { evaluate } from '../../rules/index.ts'
import { loadDossier } from '../../store/queries/dossier.ts'
import type { Scope } from '../../store/store.ts'

export interface JudgedJob {
  dossier: Dossier
  findings: Finding[]
}

export async function judgeJob(scope: Scope, jobId: string, now: number): Promise<JudgedJob> {
  const dossier = await loadDossier(scope, jobId, now)
  return { dossier, findings: evaluate(dossier) }
}
