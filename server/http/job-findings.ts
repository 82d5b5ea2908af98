// What holds this job? As things stand while it is open or waits; as it was signed once it is sealed.

import type { Dossier } from '../rules/dossier.ts'
import type { Finding } from '../rules/finding.ts'
import { evaluate } from '../rules/index.ts'
import { findCertificate, listCertificatesOfJob } from '../store/queries/certificates.ts'
import { loadDossier } from '../store/queries/dossier.ts'
import type { JobRow } from '../store/queries/jobs.ts'
import type { Scope } from '../store/store.ts'

export interface JobFindings {
  /** The facts as they are now. */
  dossier: Dossier
  /** Of a sealed job those that were frozen with its certificate: later criteria never alter what was signed. */
  findings: readonly Finding[]
}

export async function findingsOfJob(scope: Scope, job: JobRow, now: number): Promise<JobFindings> {
  const dossier = await loadDossier(scope, job.id, now)
  const certificate = job.stage === 'sealed' ? (await listCertificatesOfJob(scope, job.id)).at(-1) : undefined
  const findings = certificate ? (await findCertificate(scope, certificate.id)).findings : evaluate(dossier)
  return { dossier, findings }
}
