// A job that was signed off, for what is about certificates: rows and chains as the commands leave them.

import { type IssuedCertificate, issueCertificate } from '../../server/certificate/issue.ts'
import { newId } from '../../server/ids.ts'
import type { Dossier } from '../../server/rules/dossier.ts'
import type { Finding } from '../../server/rules/finding.ts'
import { evaluate } from '../../server/rules/index.ts'
import { appendEntry, appendFact, chainHead, type EntryDraft, startChain } from '../../server/store/record.ts'
import { type Scope, scopeOf } from '../../server/store/store.ts'
import type { JobEvent } from '../../server/vocabulary.ts'
import type { Cast } from './cast.ts'
import { aFinishedJob, type JobBuilder } from './dossiers.ts'

export const CUSTOMER = 'Mallory Quill'
export const STREET = '14 Reed Lane'
export const TOWN = 'Brackwater'

export interface Sealed extends IssuedCertificate {
  scope: Scope
  jobId: string
  siteId: string
  systemIds: string[]
  dossier: Dossier
  findings: Finding[]
}

/** The dossier of a builder, as if it were this company's: its ids, its people, its name. */
function ownedBy(cast: Cast, built: Dossier, ids: { jobId: string; siteId: string }): Dossier {
  const dossier = structuredClone(built)
  const renamed = new Map<string, string>([
    ['job', ids.jobId],
    ['site', ids.siteId],
    ['tess', cast.tess.crewId],
    ['sam', cast.sam.crewId],
    ['member-tess', cast.tess.memberId],
    ['member-sam', cast.sam.memberId],
  ])
  for (const system of dossier.systems) renamed.set(system.id, newId())
  const rename = (value: unknown): unknown => {
    if (typeof value === 'string') return renamed.get(value) ?? value
    if (Array.isArray(value)) return value.map(rename)
    if (typeof value !== 'object' || value === null) return value
    return Object.fromEntries(Object.entries(value).map(([name, item]) => [name, rename(item)]))
  }
  const owned = rename(dossier) as Dossier
  for (const concession of owned.concessions) concession.by = cast.sam.memberId
  return {
    ...owned,
    company: { id: cast.sam.companyId, name: cast.sam.companyName },
    crew: [
      { id: cast.tess.crewId, name: 'Tess', memberId: cast.tess.memberId, credentials: [] },
      { id: cast.sam.crewId, name: 'Sam', memberId: cast.sam.memberId, credentials: [] },
    ],
  }
}

/** Signs a job off as Sam, and answers its certificate. */
export async function aSealedJob(cast: Cast, builder: JobBuilder = aFinishedJob()): Promise<Sealed> {
  const jobId = newId()
  const siteId = newId()
  const dossier = ownedBy(cast, builder.build(), { jobId, siteId })
  const findings = evaluate(dossier)
  const { companyId, memberId } = cast.sam
  return cast.store.store.transaction(async (session) => {
    const scope = scopeOf(session, companyId)
    const { db, t } = session
    await db.insert(t.sites).values({
      companyId,
      id: siteId,
      customerName: CUSTOMER,
      address: STREET,
      town: TOWN,
      contact: null,
      elevationM: null,
      searchText: '',
      salt: 'salt',
      createdAt: cast.clock.now,
    })
    await db.insert(t.jobs).values({
      companyId,
      id: jobId,
      siteId,
      kind: dossier.job.kind,
      reference: 'Quill kitchen',
      referenceLower: 'quill kitchen',
      stage: 'sealed',
      stageAt: cast.clock.now,
      assignedTo: null,
      scheduledFor: null,
      callbackId: null,
      openedAt: dossier.job.openedAt,
    })
    for (const [index, system] of dossier.systems.entries()) {
      await db.insert(t.systems).values({
        companyId,
        id: system.id,
        siteId,
        name: system.name,
        tagPrefix: `T${jobId.slice(-6)}${index}`,
        refrigerant: system.refrigerant,
        equipmentSheetId: null,
        createdAt: cast.clock.now,
      })
      await db.insert(t.jobSystems).values({ companyId, jobId, systemId: system.id })
      await startChain(scope, system.id, 'system')
      // A few entries before the sign-off, so that there is a chain to walk.
      for (const kind of ['system-added', 'line-set-laid'])
        await appendEntry(scope, { chainId: system.id, kind, subjectId: system.id, jobId }, stamp())
    }
    await turn(scope, 'signed-off', 1)
    const later: EntryDraft[] = []
    const issued = await issueCertificate(
      scope,
      {
        job: { id: jobId, siteId },
        dossier,
        findings,
        policyVersion: dossier.policyVersion,
        heads: await Promise.all(dossier.systems.map((system) => chainHead(scope, system.id))),
      },
      {
        actor: cast.sam,
        now: cast.clock.now,
        machinery: cast.machinery,
        newId,
        record: (draft) => later.push(draft),
      },
    )
    for (const draft of later) await appendEntry(scope, draft, stamp())
    return {
      ...issued,
      scope: scopeOf(cast.store.store.reader(), companyId),
      jobId,
      siteId,
      systemIds: dossier.systems.map((system) => system.id),
      dossier,
      findings,
    }

    async function turn(within: Scope, event: JobEvent, number: number) {
      const seal = await appendFact(within, 'jobEvents', {
        companyId,
        id: newId(),
        jobId,
        number,
        event,
        memberId,
        at: cast.clock.now,
        detail: {},
      })
      for (const system of dossier.systems)
        await appendEntry(
          within,
          { chainId: system.id, kind: `job-${event}`, subjectId: jobId, jobId, facts: [seal] },
          stamp(),
        )
    }
  })

  function stamp() {
    return { now: cast.clock.now, deviceAt: null, memberId }
  }
}

/** Opens the job again, after which its certificate is no longer the last word. */
export async function reopened(cast: Cast, sealed: Sealed): Promise<void> {
  const { companyId, memberId } = cast.sam
  await cast.store.store.transaction(async (session) => {
    const scope = scopeOf(session, companyId)
    const seal = await appendFact(scope, 'jobEvents', {
      companyId,
      id: newId(),
      jobId: sealed.jobId,
      number: 2,
      event: 'reopened',
      memberId,
      at: cast.clock.now,
      detail: { reason: 'a nut was tightened' },
    })
    for (const chainId of sealed.systemIds)
      await appendEntry(
        scope,
        { chainId, kind: 'job-reopened', subjectId: sealed.jobId, jobId: sealed.jobId, facts: [seal] },
        { now: cast.clock.now, deviceAt: null, memberId },
      )
  })
}
