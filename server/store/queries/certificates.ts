// Which certificates were issued, and what has happened to their jobs since?

import { and, asc, desc, eq, gt, inArray, isNull, max, ne } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import type { Scope, Session } from '../store.ts'
import type { Tables } from '../tables/index.ts'

export type CertificateRow = Tables['certificates']['$inferSelect']
export type CertificateSummary = Pick<
  CertificateRow,
  'id' | 'jobId' | 'revision' | 'code' | 'issuedAt' | 'issuedBy'
>

/** Refuses with missing. */
export async function findCertificate(scope: Scope, certificateId: string): Promise<CertificateRow> {
  const { db, t, companyId } = scope
  const [row] = await db
    .select()
    .from(t.certificates)
    .where(and(eq(t.certificates.companyId, companyId), eq(t.certificates.id, certificateId)))
  if (!row) throw missing('This certificate')
  return row
}

/**
 * By the code on the paper, whichever company's it is: the one question that nobody needs to be a member for. Null
 * when no certificate has this code.
 */
export async function certificateByCode(session: Session, code: string): Promise<CertificateRow | null> {
  const { db, t } = session
  const [row] = await db.select().from(t.certificates).where(eq(t.certificates.code, code))
  return row ?? null
}

/** Oldest first. */
export async function listCertificatesOfJob(scope: Scope, jobId: string): Promise<CertificateSummary[]> {
  const { db, t, companyId } = scope
  return db
    .select(summaryOf(t))
    .from(t.certificates)
    .where(and(eq(t.certificates.companyId, companyId), eq(t.certificates.jobId, jobId)))
    .orderBy(asc(t.certificates.revision))
}

/** Every certificate of the company, oldest first; ids alone, since each row holds a whole dossier. */
export async function listCertificateIds(scope: Scope): Promise<string[]> {
  const { db, t, companyId } = scope
  const rows = await db
    .select({ id: t.certificates.id })
    .from(t.certificates)
    .where(eq(t.certificates.companyId, companyId))
    .orderBy(asc(t.certificates.issuedAt), asc(t.certificates.id))
  return rows.map((row) => row.id)
}

const summaryOf = (t: Tables) => ({
  id: t.certificates.id,
  jobId: t.certificates.jobId,
  revision: t.certificates.revision,
  code: t.certificates.code,
  issuedAt: t.certificates.issuedAt,
  issuedBy: t.certificates.issuedBy,
})

/** 1 before the first. Of two sign-offs at once, the unique key on job and revision lets one through. */
export async function nextRevision(scope: Scope, jobId: string): Promise<number> {
  const { db, t, companyId } = scope
  const [row] = await db
    .select({ last: max(t.certificates.revision) })
    .from(t.certificates)
    .where(and(eq(t.certificates.companyId, companyId), eq(t.certificates.jobId, jobId)))
  return (row?.last ?? 0) + 1
}

export async function insertCertificate(
  scope: Scope,
  row: Omit<Tables['certificates']['$inferInsert'], 'companyId'>,
): Promise<void> {
  const { db, t, companyId } = scope
  await db.insert(t.certificates).values({ ...row, companyId })
}

export interface Aftermath {
  /** A later certificate of the same job was issued. */
  newerRevision: boolean
  /** The job was opened again after this sign-off. */
  reopened: boolean
  /** An instrument that the job rests on is recalled, and nobody has decided yet what that means for it. */
  recalled: boolean
  /** Since when it is so; null where it is not. */
  since: {
    reopened: number | null
    recalled: number | null
    /** When the certificate that holds now was issued, and which it is. */
    newer: { revision: number; issuedAt: number } | null
  }
}

export async function aftermathOf(
  scope: Scope,
  certificate: Pick<CertificateRow, 'jobId' | 'revision'>,
): Promise<Aftermath> {
  const { db, t, companyId } = scope
  const { jobId, revision } = certificate
  const [newer] = await db
    .select({ revision: t.certificates.revision, issuedAt: t.certificates.issuedAt })
    .from(t.certificates)
    .where(
      and(
        eq(t.certificates.companyId, companyId),
        eq(t.certificates.jobId, jobId),
        gt(t.certificates.revision, revision),
      ),
    )
    .orderBy(desc(t.certificates.revision))
    .limit(1)
  const events = await db
    .select({ event: t.jobEvents.event, at: t.jobEvents.at })
    .from(t.jobEvents)
    .where(
      and(
        eq(t.jobEvents.companyId, companyId),
        eq(t.jobEvents.jobId, jobId),
        inArray(t.jobEvents.event, ['signed-off', 'reopened']),
      ),
    )
    .orderBy(asc(t.jobEvents.number))
  const [recall] = await db
    .select({ openedAt: t.recalls.openedAt })
    .from(t.recallItems)
    .innerJoin(
      t.recalls,
      and(eq(t.recalls.companyId, t.recallItems.companyId), eq(t.recalls.id, t.recallItems.recallId)),
    )
    .where(
      and(
        eq(t.recallItems.companyId, companyId),
        eq(t.recallItems.jobId, jobId),
        ne(t.recallItems.judgement, 'stands'),
        isNull(t.recallItems.decidedAt),
        isNull(t.recalls.closedAt),
      ),
    )
    .orderBy(asc(t.recalls.openedAt), asc(t.recalls.id))
    .limit(1)
  // The n-th sign-off of a job made revision n; moments alone could not tell two in one millisecond apart.
  let signOffs = 0
  let reopened: number | null = null
  for (const { event, at } of events) {
    if (event === 'signed-off') signOffs += 1
    else if (signOffs >= revision) reopened ??= at
  }
  return {
    newerRevision: newer !== undefined,
    reopened: reopened !== null,
    recalled: recall !== undefined,
    since: { reopened, recalled: recall?.openedAt ?? null, newer: newer ?? null },
  }
}

/** The town of a site: all of the address that a certificate may show. */
export async function findTown(scope: Scope, siteId: string): Promise<string> {
  const { db, t, companyId } = scope
  const [row] = await db
    .select({ town: t.sites.town })
    .from(t.sites)
    .where(and(eq(t.sites.companyId, companyId), eq(t.sites.id, siteId)))
  if (!row) throw missing('This site')
  return row.town
}

export interface CertificatePlace {
  customerName: string
  address: string
  town: string
  reference: string | null
}

/** Where the certified work stands, as the company's own rows say it now. */
export async function findCertificatePlace(scope: Scope, jobId: string): Promise<CertificatePlace> {
  const { db, t, companyId } = scope
  const [row] = await db
    .select({
      customerName: t.sites.customerName,
      address: t.sites.address,
      town: t.sites.town,
      reference: t.jobs.reference,
    })
    .from(t.jobs)
    .innerJoin(t.sites, and(eq(t.sites.companyId, t.jobs.companyId), eq(t.sites.id, t.jobs.siteId)))
    .where(and(eq(t.jobs.companyId, companyId), eq(t.jobs.id, jobId)))
  if (!row) throw missing('This job')
  return row
}

/** Who the ids of a certificate are, for members only. */
export async function listPeopleNames(
  scope: Scope,
): Promise<{ crew: Map<string, string>; members: Map<string, string> }> {
  const { db, t, companyId } = scope
  const crew = await db
    .select({ id: t.crew.id, name: t.crew.name })
    .from(t.crew)
    .where(eq(t.crew.companyId, companyId))
  const members = await db
    .select({ id: t.members.id, name: t.people.name })
    .from(t.members)
    .innerJoin(t.people, eq(t.people.id, t.members.personId))
    .where(eq(t.members.companyId, companyId))
  return {
    crew: new Map(crew.map((row) => [row.id, row.name])),
    members: new Map(members.map((row) => [row.id, row.name])),
  }
}

/** What the company's chain kept of a certificate when it was issued; null when no entry speaks of it. */
export async function issueEntryOf(
  scope: Scope,
  certificateId: string,
): Promise<{ copySha256: string | null } | null> {
  const { db, t, companyId } = scope
  const [row] = await db
    .select({ content: t.entries.content })
    .from(t.entries)
    .where(
      and(
        eq(t.entries.companyId, companyId),
        eq(t.entries.chainId, companyId),
        eq(t.entries.subjectId, certificateId),
        eq(t.entries.kind, 'certificate-issued'),
      ),
    )
    .orderBy(asc(t.entries.number))
    .limit(1)
  if (!row) return null
  const { body } = JSON.parse(row.content) as { body?: { copySha256?: string } }
  return { copySha256: body?.copySha256 ?? null }
}

/** Every certificate that the company's chain says was issued. */
export async function listIssuedIds(scope: Scope): Promise<string[]> {
  const { db, t, companyId } = scope
  const rows = await db
    .select({ id: t.entries.subjectId })
    .from(t.entries)
    .where(
      and(
        eq(t.entries.companyId, companyId),
        eq(t.entries.chainId, companyId),
        eq(t.entries.kind, 'certificate-issued'),
      ),
    )
    .orderBy(asc(t.entries.number))
  return rows.map((row) => row.id)
}

/** Null when there is no such entry. */
export async function hashOfEntry(
  scope: Scope,
  { chainId, number }: { chainId: string; number: number },
): Promise<string | null> {
  const { db, t, companyId } = scope
  const [row] = await db
    .select({ hash: t.entries.hash })
    .from(t.entries)
    .where(
      and(eq(t.entries.companyId, companyId), eq(t.entries.chainId, chainId), eq(t.entries.number, number)),
    )
  return row?.hash ?? null
}
