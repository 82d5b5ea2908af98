// How does each job that waits, or was signed off lately, stand in the audit list: its rank, its reasons, what was said?

import { sha256 } from '../ids.ts'
import { missing } from '../refusals.ts'
import {
  type AuditFigures,
  type AuditRisk,
  auditFigures,
  auditRisk,
  isDrawn,
  type LeakCounts,
  type LeakModel,
  leakModel,
  RISK_DIMENSIONS,
  type RiskDimension,
} from '../rules/audit-risk.ts'
import { exposureOf, KEY_OF, type Life } from '../rules/cohorts.ts'
import { type Spread, usualSpread } from '../rules/crew-spread.ts'
import type { Dossier } from '../rules/dossier.ts'
import {
  type AuditMarkRow,
  type AuditThread,
  listAuditMarks,
  listAuditThreads,
} from '../store/queries/audit.ts'
import { type AuditCandidate, listAuditCandidates, listSealedDossiers } from '../store/queries/audit-list.ts'
import { listCrewFigures } from '../store/queries/crew-figures.ts'
import { loadDossier } from '../store/queries/dossier.ts'
import { grouped } from '../store/queries/grouped.ts'
import type { JobRow } from '../store/queries/jobs.ts'
import { findPolicy } from '../store/queries/policy.ts'
import { listCohorts, listLeaked } from '../store/queries/reliability.ts'
import type { Scope, Store } from '../store/store.ts'
import { say } from '../words/say.ts'
import type { Ask } from './resource.ts'

export interface AuditStanding {
  job: AuditCandidate
  risk: AuditRisk
  /** Drawn at random, whatever its figures. */
  drawn: boolean
  waitingSince: number
  threads: AuditThread[]
  /** The mark on the job as a whole, while it counts. */
  accepted: AuditMarkRow | null
}

/** How long a job that was signed off may still turn up here. */
export const SEALED_DAYS = 90
const DAY_MS = 86_400_000

/** The highest rank first; of equal ones the one that waits longest. */
export async function auditStandings(
  ask: Ask,
  stages: { submitted: boolean; sealed: boolean },
): Promise<AuditStanding[]> {
  const { scope, now } = ask
  const candidates = await listAuditCandidates(scope, {
    submitted: stages.submitted,
    sealedSince: stages.sealed ? now - SEALED_DAYS * DAY_MS : null,
  })
  const ids = candidates.map((job) => job.id)
  const threads = await listAuditThreads(scope, ids)
  const marks = await listAuditMarks(scope, ids)
  const figures = await figuresOf(ask, candidates)
  const model = await leakModelOf(ask)
  return candidates
    .map((job) => standingOf(job, figures, model, threads, marks))
    .toSorted((a, b) => b.risk.score - a.risk.score || a.waitingSince - b.waitingSince)
}

function standingOf(
  job: AuditCandidate,
  figures: ReadonlyMap<string, AuditFigures>,
  model: LeakModel,
  threads: readonly AuditThread[],
  marks: readonly AuditMarkRow[],
): AuditStanding {
  const waitingSince = job.submitted?.at ?? job.stageAt
  return {
    job,
    risk: auditRisk(figures.get(job.id) ?? NOTHING, model),
    drawn: job.submitted !== null && isDrawn(lotOf(job.submitted.id)),
    waitingSince,
    threads: threads.filter((thread) => thread.jobId === job.id),
    accepted: standingMark(
      marks.filter((mark) => mark.jobId === job.id && mark.subjectId === job.id),
      waitingSince,
    ),
  }
}

/** One job among them, from what its own page has read already; also of one that is being worked on again. */
export async function auditStandingOf(
  ask: Ask,
  { id }: Pick<JobRow, 'id'>,
  dossier: Dossier,
  threads: readonly AuditThread[],
  marks: readonly AuditMarkRow[],
): Promise<AuditStanding> {
  const [job] = await listAuditCandidates(ask.scope, { jobId: id })
  if (!job) throw missing(say.auditStanding.thisJob)
  const figures = await figuresOf(ask, [job], dossier)
  return standingOf(job, figures, await leakModelOf(ask), threads, marks)
}

/** The last mark, unless it was taken back or what it was about changed after it. */
export function standingMark(marks: readonly AuditMarkRow[], changedAt: number): AuditMarkRow | null {
  const last = marks.at(-1)
  return last && last.mark === 'accepted' && last.markedAt >= changedAt ? last : null
}

/** From the submission's own id, which nobody chooses: the same job is drawn at every look. */
const lotOf = (eventId: string): number => Number.parseInt(sha256(eventId).slice(0, 8), 16)

// ---------------------------------------------------------------- figures, kept while nothing changes

const NOTHING: AuditFigures = { joints: [], surcharges: [] }
const KEPT_JOBS = 5000

interface Kept {
  figures: Map<string, { stamp: string; figures: AuditFigures }>
  models: Map<string, { at: number; model: LeakModel }>
  usual: Map<string, { at: number; usual: CrewUsual }>
}
const kept = new WeakMap<Store, Kept>()

function keptBy(store: Store): Kept {
  const known = kept.get(store) ?? { figures: new Map(), models: new Map(), usual: new Map() }
  kept.set(store, known)
  return known
}

/** A job that waits is judged by the criteria of today, a sealed one by those that it was signed by. */
async function figuresOf(
  { scope, now, deps }: Ask,
  candidates: readonly AuditCandidate[],
  /** Of the only one, where it was read already. */
  read?: Dossier,
): Promise<Map<string, AuditFigures>> {
  const { figures } = keptBy(deps.machinery.store)
  const policy = await findPolicy(scope)
  const keyOf = (job: AuditCandidate) => `${scope.companyId} ${job.id}`
  const stampOf = (job: AuditCandidate) =>
    [job.stage, job.stageAt, job.stamp, job.changedByCorrection, policy.version].join(' ')
  const missing = candidates.filter((job) => figures.get(keyOf(job))?.stamp !== stampOf(job))
  const sealed = await listSealedDossiers(
    scope,
    missing.flatMap((job) => (job.stage === 'sealed' ? [job.id] : [])),
  )
  for (const job of missing) {
    const dossier: Dossier = sealed.get(job.id) ?? read ?? (await loadDossier(scope, job.id, now, policy))
    figures.delete(keyOf(job))
    figures.set(keyOf(job), {
      stamp: stampOf(job),
      figures: auditFigures(dossier, job.changedByCorrection),
    })
  }
  while (figures.size > KEPT_JOBS) {
    const oldest = figures.keys().next()
    if (oldest.done) break
    figures.delete(oldest.value)
  }
  return new Map(
    candidates.flatMap((job) => {
      const known = figures.get(keyOf(job))
      return known ? [[job.id, known.figures] as const] : []
    }),
  )
}

/** What comes back changes slowly, and counting it takes longer than the rest of the list. */
const MODEL_KEPT_MS = 10 * 60_000

async function leakModelOf({ scope, now, deps }: Ask): Promise<LeakModel> {
  const { models } = keptBy(deps.machinery.store)
  const known = models.get(scope.companyId)
  if (known && Math.abs(now - known.at) < MODEL_KEPT_MS) return known.model
  const model = await countLeaks(scope, now)
  models.set(scope.companyId, { at: now, model })
  return model
}

/** From sums by month, so that it costs the same however many joints there are. */
async function countLeaks(scope: Scope, now: number): Promise<LeakModel> {
  const span = { from: 0, to: now }
  const leaked = await listLeaked(scope, span, RISK_DIMENSIONS)
  const countsBy = async (dimension: RiskDimension | 'all') => ({
    served: [...grouped(await listCohorts(scope, dimension), ({ key }) => key)].map(([key, rows]) => ({
      key,
      ...exposureOf(rows, span, now),
    })),
    leaks: leaked.map((leak) => ({
      key: KEY_OF[dimension](leak as Life),
      callbackId: leak.leakCallbackId,
      systemId: leak.systemId,
      ageMs: leak.leakAt - leak.signedOffAt,
    })),
  })
  const by = {} as Record<RiskDimension, LeakCounts>
  for (const dimension of RISK_DIMENSIONS) by[dimension] = await countsBy(dimension)
  return leakModel(await countsBy('all'), by)
}

// ---------------------------------------------------------------- what the crew usually gets

export interface CrewUsual {
  /** How many jobs it is taken from. */
  jobs: number
  /** By tube size. */
  torqueNm: ReadonlyMap<string, Spread>
  diameterM: ReadonlyMap<string, Spread>
  holdS: Spread | null
  lowestPa: Spread | null
}

/** Kept like the count of leaks: a habit does not change in ten minutes. */
export async function crewUsualOf({ scope, now, deps }: Ask): Promise<CrewUsual> {
  const { usual } = keptBy(deps.machinery.store)
  const known = usual.get(scope.companyId)
  if (known && Math.abs(now - known.at) < MODEL_KEPT_MS) return known.usual
  const figures = await listCrewFigures(scope)
  const found: CrewUsual = {
    jobs: figures.jobs,
    torqueNm: spreadsBySize(figures.torques.map(({ tubeOdM, torqueNm }) => ({ tubeOdM, figure: torqueNm }))),
    diameterM: spreadsBySize(
      figures.diameters.map(({ tubeOdM, diameterM }) => ({ tubeOdM, figure: diameterM })),
    ),
    holdS: usualSpread(figures.holdsS),
    lowestPa: usualSpread(figures.lowestPa),
  }
  usual.set(scope.companyId, { at: now, usual: found })
  return found
}

function spreadsBySize(figures: readonly { tubeOdM: number; figure: number }[]): Map<string, Spread> {
  const bySize = new Map<string, number[]>()
  for (const { tubeOdM, figure } of figures) {
    const size = tubeOdM.toFixed(5)
    const known = bySize.get(size)
    if (known) known.push(figure)
    else bySize.set(size, [figure])
  }
  return new Map(
    [...bySize].flatMap(([size, all]) => {
      const spread = usualSpread(all)
      return spread ? [[size, spread] as const] : []
    }),
  )
}
