// Is the whole record as it was written? Walks every chain, looks for what no entry seals, and checks certificates.

import { and, asc, eq } from 'drizzle-orm'
import { type Files, hashOf } from '../store/files.ts'
import { findCertificate, listCertificateIds, listIssuedIds } from '../store/queries/certificates.ts'
import { FACT_TABLES, type FactSeal, verifyChain } from '../store/record.ts'
import { type Scope, type Store, scopeOf } from '../store/store.ts'
import type { Tables } from '../store/tables/index.ts'
import { say } from '../words/say.ts'
import type { PublicKey } from './signer.ts'
import { standingOf } from './standing.ts'

export interface RecordFault {
  companyId: string
  companyName: string
  /** Which chain, certificate or row. */
  of: string
  what: string
}

export interface RecordCheck {
  companies: number
  chains: number
  entries: number
  certificates: number
  /** Pictures and their small copies that were read and hashed. */
  files: number
  /** Files that nothing names: left by an upload that was refused at the last moment, or a log that was only looked at. No fault. */
  spareFiles: number
  faults: number
}

export interface RecordCheckOptions {
  keys: readonly PublicKey[]
  /** One company alone. */
  companyId?: string | undefined
  /** Left out, the photos' bytes are not looked at. */
  files?: Files | undefined
  onFault(fault: RecordFault): void
}

/** Null when the company asked for is not there. */
export async function verifyRecord(store: Store, options: RecordCheckOptions): Promise<RecordCheck | null> {
  const session = store.reader()
  const { db, t } = session
  const companies = await db
    .select({ id: t.companies.id, name: t.companies.name })
    .from(t.companies)
    .where(options.companyId === undefined ? undefined : eq(t.companies.id, options.companyId))
    .orderBy(asc(t.companies.createdAt), asc(t.companies.id))
  if (companies.length === 0 && options.companyId !== undefined) return null
  const sum: RecordCheck = {
    companies: companies.length,
    chains: 0,
    entries: 0,
    certificates: 0,
    files: 0,
    spareFiles: 0,
    faults: 0,
  }
  for (const company of companies) {
    const scope = scopeOf(session, company.id)
    const fault = (of: string, what: string) => {
      sum.faults += 1
      options.onFault({ companyId: company.id, companyName: company.name, of, what })
    }
    const sealed = await checkChains(scope, sum, fault)
    await checkUnsealed(scope, sealed, fault)
    await checkCertificates(scope, options.keys, sum, fault)
    if (options.files) await checkFiles(scope, options.files, sum, fault)
  }
  return sum
}

type Fault = (of: string, what: string) => void

/** Answers every fact that some entry seals. */
async function checkChains(scope: Scope, sum: RecordCheck, fault: Fault): Promise<Set<string>> {
  const { db, t, companyId } = scope
  const chains = await db
    .select({ id: t.chains.id, headNumber: t.chains.headNumber })
    .from(t.chains)
    .where(eq(t.chains.companyId, companyId))
    .orderBy(asc(t.chains.id))
  const sealed = new Set<string>()
  for (const chain of chains) {
    sum.chains += 1
    sum.entries += chain.headNumber
    for (const found of await verifyChain(scope, chain.id))
      fault(say.certificates.chainEntry(chain.id, found.number), found.what)
    // Chain by chain: all entries of a company at once could be more than memory holds.
    const entries = await db
      .select({ content: t.entries.content })
      .from(t.entries)
      .where(and(eq(t.entries.companyId, companyId), eq(t.entries.chainId, chain.id)))
    for (const { content } of entries)
      for (const seal of sealsOf(content)) sealed.add(`${seal.table} ${seal.id}`)
  }
  const known = new Set(chains.map((chain) => chain.id))
  if (!known.has(companyId)) fault(say.certificates.company2(companyId), say.certificates.hasNoChain)
  const systems = await db
    .select({ id: t.systems.id })
    .from(t.systems)
    .where(eq(t.systems.companyId, companyId))
    .orderBy(asc(t.systems.id))
  for (const system of systems)
    if (!known.has(system.id)) fault(say.certificates.system(system.id), say.certificates.hasNoChain)
  return sealed
}

/** A row that was slipped in stands in no entry: the chains alone would not miss it. */
async function checkUnsealed(scope: Scope, sealed: Set<string>, fault: Fault): Promise<void> {
  const { db, t, companyId } = scope
  for (const name of FACT_TABLES) {
    const table = t[name] as Tables['steps']
    const rows = await db.select({ id: table.id }).from(table).where(eq(table.companyId, companyId))
    for (const { id } of rows)
      if (!sealed.has(`${name} ${id}`)) fault(`${name} ${id}`, say.certificates.standsInNoEntry)
  }
}

/** Nothing for content that can't be read: the walk of the chain has said so already. */
function sealsOf(content: string): FactSeal[] {
  try {
    return (JSON.parse(content) as { facts?: FactSeal[] }).facts ?? []
  } catch {
    return []
  }
}

async function checkCertificates(
  scope: Scope,
  keys: readonly PublicKey[],
  sum: RecordCheck,
  fault: Fault,
): Promise<void> {
  const ids = await listCertificateIds(scope)
  for (const id of ids) {
    sum.certificates += 1
    try {
      const standing = await standingOf(scope, await findCertificate(scope, id), { keys, walk: false })
      for (const what of standing.faults) fault(say.certificates.certificate3(id), what)
    } catch (problem) {
      fault(
        say.certificates.certificate3(id),
        say.certificates.cannotBeRead(problem instanceof Error ? problem.message : problem),
      )
    }
  }
  const there = new Set(ids)
  for (const id of await listIssuedIds(scope))
    if (!there.has(id)) fault(say.certificates.certificate3(id), say.certificates.wasIssuedAndIs)
}

/** The rows are checked with the chains; here, that what they name is still there, byte for byte. */
async function checkFiles(
  { db, t, companyId }: Scope,
  files: Files,
  sum: RecordCheck,
  fault: Fault,
): Promise<void> {
  const photos = await db
    .select({ id: t.photos.id, sha256: t.photos.sha256, thumbnailSha256: t.photos.thumbnailSha256 })
    .from(t.photos)
    .where(eq(t.photos.companyId, companyId))
    .orderBy(asc(t.photos.recordedAt), asc(t.photos.id))
  const spare = new Set(await files.list(companyId))
  const check = async (where: string, what: string, sha256: string) => {
    spare.delete(sha256)
    sum.files += 1
    try {
      const bytes = await files.get(companyId, sha256)
      if (!bytes) fault(where, say.certificates.isMissing(what))
      else if (hashOf(bytes) !== sha256) fault(where, say.certificates.wasChanged(what))
    } catch (problem) {
      fault(where, say.certificates.cannotBeRead2(what, problem instanceof Error ? problem.message : problem))
    }
  }
  for (const photo of photos) {
    await check(say.certificates.photo(photo.id), say.certificates.itsPicture, photo.sha256)
    if (photo.thumbnailSha256 !== null)
      await check(say.certificates.photo(photo.id), say.certificates.itsSmallPicture, photo.thumbnailSha256)
  }
  const logs = await db
    .select({ id: t.readingLogs.id, sha256: t.readingLogs.sha256 })
    .from(t.readingLogs)
    .where(eq(t.readingLogs.companyId, companyId))
    .orderBy(asc(t.readingLogs.recordedAt), asc(t.readingLogs.id))
  for (const log of logs)
    await check(say.certificates.gaugesLog(log.id), say.certificates.itsFile, log.sha256)
  sum.spareFiles += spare.size
}
