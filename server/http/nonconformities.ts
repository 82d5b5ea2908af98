// The register of nonconformities: what was not met, what became of it, and how often by month, as pages and as JSON.

import { z } from 'zod'
import { type NonconformityLine, NonconformityList } from '../../views/nonconformities/index.tsx'
import { type EvidenceLink, NonconformityPage } from '../../views/nonconformities/show.tsx'
import { NonconformityTrend } from '../../views/nonconformities/trend.tsx'
import { id } from '../commands/fields.ts'
import { monthName, monthOf, startOfMonth } from '../rules/cohorts.ts'
import type { Finding } from '../rules/finding.ts'
import { REQUIREMENTS } from '../rules/index.ts'
import { listPeopleNames } from '../store/queries/certificates.ts'
import { listWaitingRequests } from '../store/queries/concessions.ts'
import { type BriefEntry, listEntriesById } from '../store/queries/entries.ts'
import {
  countNonconformities,
  findNonconformity,
  listFirstSubmissions,
  listNonconformities,
  listRequirementsNotMet,
  type Nonconformity,
  type NonconformityFilter,
} from '../store/queries/nonconformities.ts'
import { clopperPearsonInterval } from '../trade/clopper-pearson.ts'
import { NONCONFORMITY_DISPOSITIONS, REQUIREMENT_CODES, type RequirementCode } from '../vocabulary.ts'
import { say } from '../words/say.ts'
import { entryWords } from './audit-threads.ts'
import { findingItem } from './finding-items.ts'
import { instant } from './json.ts'
import { type Ask, listQuery, type Resource } from './resource.ts'
import { shellOf } from './shell.ts'
import { placeWords } from './strip-of.ts'

const DAY_MS = 86_400_000

const STATES = ['open', 'closed', ...NONCONFORMITY_DISPOSITIONS] as const
const empty = z.literal('').transform(() => undefined)
const day = z
  .string()
  .regex(/^\d{4}-\d{2}-\d{2}$/, { error: () => say.nonconformities.useADay })
  .refine((text) => !Number.isNaN(Date.parse(text)), { error: () => say.nonconformities.noSuchDay })

const registerQuery = listQuery.extend({
  state: z
    .enum(STATES, { error: () => say.nonconformities.useOneOf(STATES.join(', ')) })
    .or(empty)
    .optional()
    .meta({ description: 'Open, closed, or one way of being closed; left out, all.' }),
  requirement: z
    .enum(REQUIREMENT_CODES, { error: () => say.jobs.notARequirement })
    .or(empty)
    .optional(),
  by: id.or(empty).optional().meta({ description: 'The member who recorded what showed it.' }),
  job: id.or(empty).optional(),
  q: z
    .string()
    .max(100)
    .optional()
    .meta({ description: 'Part of a job’s reference, a customer’s name or an address.' }),
  from: day.or(empty).optional(),
  to: day.or(empty).optional().meta({ description: 'The last day that counts, in UTC as the first.' }),
})
type RegisterQuery = z.output<typeof registerQuery>

const trendQuery = z.object({
  requirement: z
    .enum(REQUIREMENT_CODES, { error: () => say.jobs.notARequirement })
    .or(empty)
    .optional(),
  months: z.coerce.number().int().min(1).max(60).default(12),
})
type TrendQuery = z.output<typeof trendQuery>

export function nonconformitiesResource(resource: Resource): void {
  resource.read({
    path: '/nonconformities',
    name: 'list-nonconformities',
    summary: 'What was not met on jobs when they were judged, newest first, and what became of each.',
    capability: 'audit-job',
    query: registerQuery,
    load: async ({ scope, query }) => {
      const { limit, cursor, ...asked } = query as unknown as RegisterQuery
      const filter = filterOf(asked)
      return {
        query: asked,
        counts: await countNonconformities(scope, filter),
        page: await listNonconformities(scope, { ...filter, limit, cursor }),
        names: (await listPeopleNames(scope)).members,
      }
    },
    json: ({ counts, page }) => ({
      ...counts,
      items: page.items.map(nonconformityJson),
      nextCursor: page.nextCursor,
    }),
    page: async ({ query, counts, page, names }, ask) =>
      NonconformityList({
        shell: shellOf(ask.actor, '/nonconformities'),
        query: {
          state: query.state ?? '',
          requirement: query.requirement ?? '',
          by: query.by ?? '',
          job: query.job ?? '',
          q: query.q ?? '',
          from: query.from ?? '',
          to: query.to ?? '',
        },
        counts,
        openInAll: (await countNonconformities(ask.scope, {})).open,
        requests: (await listWaitingRequests(ask.scope)).length,
        requirements: requirementOptions(),
        members: [...names].map(([value, label]) => ({ value, label })),
        rows: page.items.map((row) => lineOf(row, names)),
        cursor: ask.query.cursor ?? null,
        nextCursor: page.nextCursor,
      }),
  })

  resource.read({
    path: '/nonconformities/trend',
    name: 'nonconformities-by-month',
    summary:
      'Of the jobs first handed in within a month, on how many each requirement was not met, with exact intervals.',
    capability: 'audit-job',
    query: trendQuery,
    load: (ask) => trendOf(ask, ask.query as unknown as TrendQuery),
    json: (trend) => trend,
    page: async (trend, { actor, query, scope }) =>
      NonconformityTrend({
        shell: shellOf(actor, '/nonconformities'),
        open: (await countNonconformities(scope, {})).open,
        requests: (await listWaitingRequests(scope)).length,
        asked: { requirement: query.requirement ?? '', months: Number(query.months) },
        options: requirementOptions(),
        ...trend,
      }),
  })

  resource.read({
    path: '/nonconformities/:nonconformityId',
    name: 'read-nonconformity',
    summary: 'One nonconformity: the finding with its numbers as it was found, and what became of it.',
    capability: 'audit-job',
    load: ({ scope, params }) => findNonconformity(scope, params.nonconformityId ?? ''),
    json: nonconformityJson,
    page: async (row, { actor, scope }) => {
      const { members } = await listPeopleNames(scope)
      const entries = await listEntriesById(
        scope,
        [row.entryId, row.disposal?.entryId].filter((one) => one != null),
      )
      const linkOf = (entryId: string | null | undefined) =>
        entryId == null ? null : evidenceLink(entries.get(entryId), row)
      return NonconformityPage({
        shell: shellOf(actor, '/nonconformities'),
        line: lineOf(row, members),
        jobStage: row.job.stage,
        finding: findingItem(asFinding(row), { jobId: row.jobId }),
        policyVersion: row.policyVersion,
        foundAfter: linkOf(row.entryId),
        disposal: row.disposal && {
          policyVersion: row.disposal.policyVersion,
          reason: row.disposal.reason,
          after: linkOf(row.disposal.entryId),
        },
      })
    },
  })
}

const filterOf = (query: Omit<RegisterQuery, 'limit' | 'cursor'>): NonconformityFilter => ({
  state: query.state,
  requirement: query.requirement,
  by: query.by,
  jobId: query.job,
  text: query.q,
  from: query.from === undefined ? undefined : Date.parse(query.from),
  to: query.to === undefined ? undefined : Date.parse(query.to) + DAY_MS,
})

const titleOf = (code: RequirementCode): string =>
  REQUIREMENTS.find((requirement) => requirement.code === code)?.title ?? code

const requirementOptions = () => REQUIREMENT_CODES.map((code) => ({ value: code, label: titleOf(code) }))

export function subjectWords(
  row: Pick<Nonconformity, 'joint' | 'personName' | 'subjectKind' | 'subjectName'>,
): string {
  if (row.joint) return say.nonconformities.joint(row.joint.tag, placeWords(row.joint))
  if (row.subjectKind === 'job') return say.nonconformities.theJob
  return row.personName ?? row.subjectName
}

function lineOf(row: Nonconformity, names: ReadonlyMap<string, string>): NonconformityLine {
  const nameOf = (memberId: string) => names.get(memberId) ?? 'somebody'
  return {
    id: row.id,
    requirement: row.requirement,
    title: titleOf(row.requirement),
    subject: subjectWords(row),
    outcome: row.outcome,
    reason: row.reason,
    foundAt: row.foundAt,
    foundBy: nameOf(row.foundBy),
    job: { id: row.jobId, reference: row.job.reference },
    site: row.site,
    disposal: row.disposal && {
      disposition: row.disposal.disposition,
      at: row.disposal.disposedAt,
      by: nameOf(row.disposal.disposedBy),
    },
    concession: row.concession && {
      reason: row.concession.reason,
      conditions: row.concession.conditions,
      by: nameOf(row.concession.decidedBy),
    },
  }
}

/** As it was judged, so that its numbers stand beside their ranges of then. */
const asFinding = (row: Nonconformity): Finding => ({
  requirement: row.requirement,
  title: titleOf(row.requirement),
  source: REQUIREMENTS.find(({ code }) => code === row.requirement)?.source ?? '',
  subject: { kind: row.subjectKind, id: row.subjectId, name: subjectWords(row) },
  outcome: row.outcome,
  decisionRule: null,
  numbers: row.numbers,
  evidence: row.evidence,
  reason: row.reason,
  nextAction: null,
  concedable: false,
})

function evidenceLink(entry: BriefEntry | undefined, row: Nonconformity): EvidenceLink | null {
  if (!entry) return null
  const href =
    row.joint && entry.subjectId === row.subjectId ? `/joints/${row.subjectId}/history` : `/jobs/${row.jobId}`
  return { label: entryWords(entry), href, at: entry.at }
}

export function nonconformityJson(row: Nonconformity) {
  return {
    id: row.id,
    jobId: row.jobId,
    jobReference: row.job.reference,
    siteId: row.site.id,
    requirement: row.requirement,
    title: titleOf(row.requirement),
    subject: { kind: row.subjectKind, id: row.subjectId, name: subjectWords(row) },
    outcome: row.outcome,
    reason: row.reason,
    numbers: row.numbers,
    evidence: row.evidence,
    policyVersion: row.policyVersion,
    entryId: row.entryId,
    foundBy: row.foundBy,
    foundAt: instant(row.foundAt),
    state: row.disposal?.disposition ?? 'open',
    disposal: row.disposal && {
      disposition: row.disposal.disposition,
      reason: row.disposal.reason,
      evidence: row.disposal.evidence,
      policyVersion: row.disposal.policyVersion,
      entryId: row.disposal.entryId,
      disposedBy: row.disposal.disposedBy,
      disposedAt: instant(row.disposal.disposedAt),
    },
    concession: row.concession,
  }
}

// ---------------------------------------------------------------- by month

interface Share {
  jobs: number
  withIt: number
  /** Of a hundred jobs; null where there were none. */
  per100: { share: number; low: number; high: number } | null
}

const shareOf = (withIt: number, jobs: number): Share => {
  if (jobs === 0) return { jobs, withIt, per100: null }
  const { share, low, high } = clopperPearsonInterval(withIt, jobs)
  return { jobs, withIt, per100: { share: 100 * share, low: 100 * low, high: 100 * high } }
}

async function trendOf({ scope, now }: Ask, { requirement, months }: TrendQuery) {
  const last = monthOf(now)
  const first = last - months + 1
  const jobs = await listFirstSubmissions(scope, { from: startOfMonth(first), to: startOfMonth(last + 1) })
  const notMet = new Map<string, RequirementCode[]>()
  for (const one of await listRequirementsNotMet(scope))
    notMet.set(one.jobId, [...(notMet.get(one.jobId) ?? []), one.requirement])
  const has = (jobId: string, code?: RequirementCode) => {
    const codes = notMet.get(jobId) ?? []
    return code === undefined ? codes.length > 0 : codes.includes(code)
  }
  return {
    requirement: requirement ?? null,
    months: Array.from({ length: months }, (_, index) => {
      const month = first + index
      const here = jobs.filter(({ at }) => monthOf(at) === month)
      return {
        month: monthName(month),
        ...shareOf(here.filter(({ jobId }) => has(jobId, requirement)).length, here.length),
      }
    }),
    requirements: REQUIREMENT_CODES.map((code) => ({
      requirement: code,
      title: titleOf(code),
      ...shareOf(jobs.filter(({ jobId }) => has(jobId, code)).length, jobs.length),
    })).filter(({ withIt }) => withIt > 0),
  }
}
