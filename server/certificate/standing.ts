// What is a certificate worth today? Its signature, what was frozen beside it, its chains, and what came after.

import { sha256 } from '../ids.ts'
import type { Aftermath, CertificateRow } from '../store/queries/certificates.ts'
import { aftermathOf, hashOfEntry, issueEntryOf } from '../store/queries/certificates.ts'
import { verifyChain } from '../store/record.ts'
import type { Scope } from '../store/store.ts'
import { say } from '../words/say.ts'
import type { CertificatePayload } from './payload.ts'
import { digestOf } from './signed-copy.ts'
import type { PublicKey } from './signer.ts'
import { verifyCopy } from './verify-copy.ts'

export type StandingState = 'genuine' | 'altered' | 'superseded' | 'recalled' | 'unknown-key'

export interface Standing extends Aftermath {
  state: StandingState
  /** What was found wrong with it, each in a sentence; empty unless it is altered or can't be checked. */
  faults: string[]
  /** What was signed; null when that can't be told. */
  payload: CertificatePayload | null
}

/** `walk: false` looks at the signed heads alone, not at all that leads up to them: for who walks the chains anyway. */
export async function standingOf(
  scope: Scope,
  row: CertificateRow,
  { keys, walk }: { keys: readonly PublicKey[]; walk: boolean },
): Promise<Standing> {
  const copy = verifyCopy(row.signedCopy, { keys })
  const aftermath = await aftermathOf(scope, row)
  if (copy.verdict === 'unknown-key')
    return { ...aftermath, state: 'unknown-key', faults: [copy.reason], payload: null }
  const payload = copy.payload ?? null
  const faults = payload ? await faultsOf(scope, row, payload, walk) : [copy.reason]
  return { ...aftermath, state: stateBy(faults, aftermath), faults, payload }
}

function stateBy(faults: string[], { recalled, newerRevision, reopened }: Aftermath): StandingState {
  if (faults.length > 0) return 'altered'
  if (newerRevision || reopened) return 'superseded'
  return recalled ? 'recalled' : 'genuine'
}

async function faultsOf(
  scope: Scope,
  row: CertificateRow,
  payload: CertificatePayload,
  walk: boolean,
): Promise<string[]> {
  const faults = besideFaults(row, payload)
  const entry = await issueEntryOf(scope, row.id)
  if (entry === null) faults.push(say.certificates.theCompanysRecordDoes)
  else if (entry.copySha256 !== sha256(row.signedCopy)) faults.push(say.certificates.theCompanysRecordWas)
  for (const head of payload.record.heads) {
    if (!walk) {
      if ((await hashOfEntry(scope, head)) !== head.hash)
        faults.push(say.certificates.recordOfSystemEntry(head.chainId, head.number))
      continue
    }
    for (const fault of await verifyChain(scope, head.chainId, head))
      faults.push(say.certificates.recordOfSystemEntry2(fault.chainId, fault.number, fault.what))
  }
  return faults
}

/** Does what stands beside the signed copy still say what was signed? */
function besideFaults(
  row: CertificateRow,
  { certificate, job, signedOff, criteria, record }: CertificatePayload,
) {
  const faults: string[] = []
  const same =
    certificate.id === row.id &&
    certificate.code === row.code &&
    certificate.revision === row.revision &&
    certificate.issuedAt === new Date(row.issuedAt).toISOString() &&
    job.id === row.jobId &&
    signedOff.byMember === row.issuedBy &&
    criteria.policyVersion === row.policyVersion
  if (!same) faults.push(say.certificates.itsNumberDateJob)
  if (digestOf(row.dossier) !== record.dossierSha256) faults.push(say.certificates.theFrozenDossierIs)
  if (digestOf(row.findings) !== record.findingsSha256) faults.push(say.certificates.theFrozenFindingsAre)
  return faults
}
