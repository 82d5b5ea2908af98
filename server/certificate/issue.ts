// How does a certificate come to be? Frozen, signed and kept in the transaction that signs the job off.

import { newCode, sha256 } from '../ids.ts'
import type { Dossier } from '../rules/dossier.ts'
import type { Finding } from '../rules/finding.ts'
import { findTown, insertCertificate, nextRevision } from '../store/queries/certificates.ts'
import type { ChainHead, EntryDraft } from '../store/record.ts'
import type { Scope } from '../store/store.ts'
import { findingsWithoutNames, withoutNames } from './names.ts'
import { signedCopyOf } from './signed-copy.ts'
import type { Signer } from './signer.ts'

export interface ToIssue {
  job: { id: string; siteId: string }
  dossier: Dossier
  findings: readonly Finding[]
  policyVersion: number
  /** Of every system of the job, after the sign-off was entered. */
  heads: readonly (ChainHead | null)[]
  /** Whether who signs off did or recorded some of it; left out, as far as the dossier can say. */
  ownWork?: boolean
  /** The same of those who granted a concession. */
  concededOwnWork?: ReadonlySet<string>
}

/** The part of a command's context that issuing needs. */
export interface Issuing {
  actor: { memberId: string }
  now: number
  machinery: { signer: Signer; settings: { publicUrl: string } }
  newId(): string
  record(draft: EntryDraft): void
}

export interface IssuedCertificate {
  id: string
  code: string
  revision: number
}

/**
 * Call after the sign-off entry was appended. Waits for nothing but the store. Refuses with `already-there` when
 * somebody else signed the same revision off at the same time.
 */
export async function issueCertificate(
  scope: Scope,
  { job, dossier, findings, policyVersion, heads, ownWork, concededOwnWork }: ToIssue,
  { actor, now, machinery, newId, record }: Issuing,
): Promise<IssuedCertificate> {
  const known = heads.filter((head) => head !== null)
  const lacking = dossier.systems.find((system) => !known.some((head) => head.chainId === system.id))
  if (lacking || dossier.systems.length === 0)
    throw new Error(
      `A certificate needs the head of every system's chain; ${lacking?.id ?? 'none'} has none.`,
    )
  const id = newId()
  const code = newCode()
  const revision = await nextRevision(scope, job.id)
  const town = await findTown(scope, job.siteId)
  // Through JSON once, so that what is digested is what will be read back.
  const frozen = asStored(withoutNames(dossier))
  const judged = asStored(findingsWithoutNames(findings, dossier.crew))
  const payload = signedCopyOf({
    dossier: frozen,
    findings: judged,
    certificateId: id,
    code,
    revision,
    issuedAt: now,
    issuedByMember: actor.memberId,
    ownWork,
    concededOwnWork,
    heads: known,
    publicUrl: machinery.settings.publicUrl,
    town,
    policyVersion,
  })
  // Both at once: the key may be changed while the store is waited for.
  const { keyId } = machinery.signer
  const signedCopy = machinery.signer.sign(payload)
  await insertCertificate(scope, {
    id,
    jobId: job.id,
    revision,
    code,
    dossier: frozen,
    findings: judged,
    policyVersion,
    signedCopy,
    issuedBy: actor.memberId,
    issuedAt: now,
  })
  // The company's chain remembers that it was issued, so that a certificate that is taken away is missed.
  record({
    chainId: scope.companyId,
    kind: 'certificate-issued',
    subjectId: id,
    jobId: job.id,
    body: { revision, copySha256: sha256(signedCopy), keyId },
  })
  return { id, code, revision }
}

const asStored = <T>(value: T): T => JSON.parse(JSON.stringify(value)) as T
