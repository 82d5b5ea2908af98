// How does what is not met come into the register of nonconformities, and what became of it? In the write that shows it.

import { findingsWithoutNames } from '../../certificate/names.ts'
import type { Dossier } from '../../rules/dossier.ts'
import type { Finding } from '../../rules/finding.ts'
import {
  askedAfter,
  type Disposed,
  isAlwaysJudgedAfter,
  isAskedOfJoints,
  isOfOneJoint,
  type Registered,
  registerTurns,
} from '../../rules/register.ts'
import { loadDossier } from '../../store/queries/dossier.ts'
import {
  findGrantedConcession,
  listOpenOnJob,
  listRegistered,
  type OpenOnJob,
} from '../../store/queries/register.ts'
import { appendFact, type EntryDraft } from '../../store/record.ts'
import type { Scope } from '../../store/store.ts'
import { FIRST_LANGUAGE, inLanguage } from '../../words/say.ts'
import type { Context } from '../command.ts'
import { chainOfJob } from '../jobs/job-turns.ts'

type Judging = Pick<Context, 'now' | 'newId'> & { memberId: string }

/**
 * Called once a command is done, with the entries it will write; answers the entries to write after those. Most writes
 * end here at once: nothing is open on the job, and what was recorded is in order.
 */
export async function keepRegister(
  scope: Scope,
  drafts: readonly EntryDraft[],
  judging: Judging,
): Promise<EntryDraft[]> {
  const more: EntryDraft[] = []
  for (const jobId of new Set(drafts.flatMap((draft) => draft.jobId ?? []))) {
    const entered = drafts.filter((draft) => draft.jobId === jobId)
    const telling = entered.filter((draft) => draft.isNotMet || isAlwaysJudgedAfter(draft.kind))
    const last = telling.at(-1) ?? entered.at(-1)
    if (!last?.id) continue
    const open = await listOpenOnJob(scope, jobId)
    const jointIds = jointsAlone(entered, open)
    const isTouched =
      jointIds === null ? open.length > 0 : open.some(({ subjectId }) => jointIds.has(subjectId))
    if (telling.length === 0 && !isTouched) continue
    const only = jointIds === null ? undefined : [...jointIds]
    const dossier = await loadDossier(scope, jobId, judging.now, undefined, only)
    const registered = await listRegistered(scope, jobId)
    more.push(
      ...(await judgeForRegister(
        scope,
        dossier,
        { ...judging, asked: telling.flatMap(({ kind }) => askedAfter(kind)), entryId: last.id },
        registered.filter(({ subjectId }) => jointIds === null || jointIds.has(subjectId)),
      )),
    )
  }
  return more
}

/**
 * The joints that steps were recorded of, where nothing else was written and nothing else is open: then no other joint of
 * the job stands otherwise than before, and none is looked at. Null where the whole job has to be.
 */
function jointsAlone(entered: readonly EntryDraft[], open: readonly OpenOnJob[]): ReadonlySet<string> | null {
  if (!entered.every(({ kind }) => isOfOneJoint(kind))) return null
  if (!open.every(({ requirement }) => isAskedOfJoints(requirement))) return null
  return new Set(entered.map(({ subjectId }) => subjectId))
}

/** Judges the job and appends what turned out; answers the entries that seal it. */
export async function judgeForRegister(
  scope: Scope,
  dossier: Dossier,
  judging: Judging & { asked: Parameters<typeof registerTurns>[2]; entryId: string | null },
  registered?: readonly Registered[],
): Promise<EntryDraft[]> {
  // As a certificate is: in the company's language, whoever makes the write.
  const { found, disposed } = await inLanguage(
    dossier.policy.certificateLanguage ?? FIRST_LANGUAGE,
    async () =>
      registerTurns(dossier, registered ?? (await listRegistered(scope, dossier.job.id)), judging.asked),
  )
  const drafts: EntryDraft[] = []
  for (const { finding, disposed: already } of found) {
    const id = judging.newId()
    const bare = bareOf(finding, dossier)
    const seal = await appendFact(scope, 'nonconformities', {
      companyId: scope.companyId,
      id,
      jobId: dossier.job.id,
      requirement: bare.requirement,
      subjectKind: bare.subject.kind,
      subjectId: bare.subject.id,
      subjectName: bare.subject.name,
      outcome: bare.outcome === 'failed' ? 'failed' : 'open',
      reason: bare.reason,
      numbers: bare.numbers,
      evidence: bare.evidence,
      policyVersion: dossier.policyVersion,
      entryId: judging.entryId,
      foundBy: judging.memberId,
      foundAt: judging.now,
    })
    drafts.push({
      chainId: await chainOf(scope, dossier, bare.subject.id),
      kind: 'nonconformity-found',
      subjectId: bare.subject.id,
      jobId: dossier.job.id,
      facts: [seal],
      body: { requirement: bare.requirement, evidence: bare.evidence },
    })
    if (already) drafts.push(await dispose(scope, dossier, { ...already, id, finding }, judging))
  }
  for (const turn of disposed) drafts.push(await dispose(scope, dossier, turn, judging))
  return drafts
}

async function dispose(
  scope: Scope,
  dossier: Dossier,
  turn: Disposed & { id: string },
  judging: Judging & { entryId: string | null },
): Promise<EntryDraft> {
  const bare = turn.finding ? bareOf(turn.finding, dossier) : null
  const jobId = dossier.job.id
  const seal = await appendFact(scope, 'nonconformityDisposals', {
    companyId: scope.companyId,
    id: judging.newId(),
    nonconformityId: turn.id,
    disposition: turn.disposition,
    reason: bare?.reason ?? '',
    evidence: bare?.evidence ?? [],
    concessionId:
      turn.disposition === 'conceded' && bare
        ? await findGrantedConcession(scope, {
            jobId,
            requirement: bare.requirement,
            subjectId: bare.subject.id,
          })
        : null,
    policyVersion: dossier.policyVersion,
    entryId: judging.entryId,
    disposedBy: judging.memberId,
    disposedAt: judging.now,
  })
  return {
    chainId: await chainOf(scope, dossier, bare?.subject.id),
    kind: 'nonconformity-disposed',
    subjectId: bare?.subject.id ?? jobId,
    jobId,
    facts: [seal],
    body: { nonconformity: turn.id, disposition: turn.disposition },
  }
}

/** No names of people: a lawful request to erase somebody must not touch what is sealed. */
function bareOf(finding: Finding, { crew }: Dossier): Finding {
  const [bare] = findingsWithoutNames([finding], crew)
  return bare ?? finding
}

/** The chain of the system that it is about, where it is about a part of one. */
async function chainOf(scope: Scope, { job, systems }: Dossier, subjectId?: string): Promise<string> {
  const system = systems.find(
    ({ id, joints, lineSets, units }) =>
      id === subjectId || [...joints, ...lineSets, ...units].some((part) => part.id === subjectId),
  )
  return system?.id ?? chainOfJob(scope, job.id)
}
