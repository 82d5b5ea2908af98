// The worklist of audits: what waits, for how long, what stands out, in the order of its risk; as a page and as JSON.

import { z } from 'zod'
import { AuditListPage, type AuditRow } from '../../views/audit/index.tsx'
import { id } from '../commands/fields.ts'
import { newId } from '../ids.ts'
import { listCrewPeople } from '../store/queries/dossier.ts'
import { listInstrumentNames } from '../store/queries/instruments.ts'
import { SURCHARGE_CODES } from '../vocabulary.ts'
import { say } from '../words/say.ts'
import { riskFigure, riskJson, shownReasons } from './audit-reasons.ts'
import { type AuditStanding, auditStandings } from './audit-standing.ts'
import { instant, instantOrNull } from './json.ts'
import { type Ask, listQuery, pageOf, placeCursor, type Resource } from './resource.ts'
import { shellOf } from './shell.ts'

/** What may stand out besides the reasons of the rank. */
export const NOTE_CODES = ['concession', 'correction', 'question', 'answered', 'sent-back'] as const
const STANDS_OUT = [...NOTE_CODES, ...SURCHARGE_CODES] as const

const empty = z.literal('').transform(() => undefined)
const auditQuery = listQuery.extend({
  cursor: placeCursor,
  view: z
    .enum(['waiting', 'accepted', 'sealed'], { error: () => say.auditList.useWaitingAcceptedOr })
    .default('waiting')
    .meta({
      description: 'What waits, what was accepted and waits to be signed off, what was signed off lately.',
    }),
  order: z.enum(['risk', 'waiting'], { error: () => say.auditList.useRiskOrWaiting }).default('risk'),
  technician: id.or(empty).optional().meta({ description: 'A person of the crew who has the job.' }),
  standsOut: z
    .enum(STANDS_OUT, { error: () => say.auditList.useOneOf(STANDS_OUT.join(', ')) })
    .or(empty)
    .optional(),
  days: z
    .enum(['1', '3', '7', '30'], { error: () => say.auditList.use137 })
    .or(empty)
    .optional()
    .meta({
      description: 'Waits at least so many days.',
    }),
  drawn: z.literal('yes').or(empty).optional().meta({ description: 'Only what was drawn at random.' }),
})
type AuditQuery = z.output<typeof auditQuery>

const DAY_MS = 86_400_000

export interface AuditList {
  query: AuditQuery
  /** All that the filters leave, in order. */
  standings: AuditStanding[]
  /** Of what waits, before the filters. */
  counts: { waiting: number; accepted: number }
  drawn: AuditStanding[]
}

export async function loadAuditList(ask: Ask, query: AuditQuery): Promise<AuditList> {
  const isSealed = query.view === 'sealed'
  const all = await auditStandings(ask, { submitted: !isSealed, sealed: isSealed })
  const inView = all.filter(({ accepted }) =>
    query.view === 'accepted' ? accepted !== null : accepted === null,
  )
  const standings = inView.filter((standing) => isWanted(standing, query, ask.now))
  if (query.order === 'waiting') standings.sort((a, b) => a.waitingSince - b.waitingSince)
  return {
    query,
    standings,
    counts: {
      waiting: isSealed ? 0 : all.filter(({ accepted }) => accepted === null).length,
      accepted: isSealed ? 0 : all.filter(({ accepted }) => accepted !== null).length,
    },
    drawn: inView.filter(({ drawn }) => drawn),
  }
}

function isWanted(standing: AuditStanding, query: AuditQuery, now: number): boolean {
  if (query.technician && standing.job.assignedTo !== query.technician) return false
  if (query.drawn && !standing.drawn) return false
  if (query.days && now - standing.waitingSince < Number(query.days) * DAY_MS) return false
  if (query.standsOut === undefined) return true
  const { standsOut } = query
  return (
    notesOf(standing).some(({ code }) => code === standsOut) ||
    standing.risk.reasons.some(({ code }) => code === standsOut)
  )
}

interface Note {
  code: (typeof NOTE_CODES)[number]
  words: string
}

/** What waits for a word of the manager, and what happened before. */
export function notesOf({ job, threads }: AuditStanding): Note[] {
  const notes: Note[] = []
  const add = (code: Note['code'], count: number, one: string, several: string) => {
    if (count > 0) notes.push({ code, words: count === 1 ? `1 ${one}` : `${count} ${several}` })
  }
  const inState = (state: string) => threads.filter((thread) => thread.state === state).length
  add('answered', inState('for-manager'), say.auditList.questionAnswered, say.auditList.questionsAnswered)
  add('question', inState('for-crew'), say.auditList.questionWaitsForThe, say.auditList.questionsWaitForThe)
  add('concession', job.requests, say.auditList.concessionAskedFor, say.auditList.concessionsAskedFor)
  add(
    'correction',
    job.correctionsWaiting,
    say.auditList.correctionWaitsForYou,
    say.auditList.correctionsWaitForYou,
  )
  add('sent-back', job.sentBack, say.auditList.timeSentBackBefore, say.auditList.timesSentBackBefore)
  return notes
}

export function auditListResource(resource: Resource): void {
  resource.read({
    path: '/audit-list',
    name: 'audit-list',
    summary:
      'Jobs that wait for audit, or were signed off lately, in the order of their risk, with the reasons.',
    capability: 'audit-job',
    query: auditQuery,
    load: (ask) => loadAuditList(ask, ask.query as unknown as AuditQuery),
    json: async (list, ask) => {
      const names = await instrumentNames(ask)
      const { items, nextCursor } = pageOf(list.standings, list.query)
      return { items: items.map((standing) => standingJson(standing, names)), nextCursor }
    },
    page: (list, ask) => auditListPage(ask, list),
  })
}

const instrumentNames = async ({ scope }: Ask) =>
  new Map((await listInstrumentNames(scope)).map(({ id: one, name }) => [one, name]))

function standingJson(standing: AuditStanding, names: ReadonlyMap<string, string>) {
  const { job, accepted } = standing
  return {
    jobId: job.id,
    kind: job.kind,
    reference: job.reference,
    stage: job.stage,
    siteId: job.siteId,
    assignedTo: job.assignedTo,
    submittedAt: instantOrNull(job.submitted?.at ?? null),
    waitingSince: instant(standing.waitingSince),
    drawn: standing.drawn,
    ...riskJson(standing.risk, names),
    notes: notesOf(standing),
    accepted: accepted && { by: accepted.markedBy, at: instant(accepted.markedAt) },
  }
}

/** The filters as they stand in the address, without what is as it always is. */
export function searchOf(query: Partial<AuditQuery>): string {
  const { view, order, technician, standsOut, days, drawn } = query
  const given = Object.entries({
    view: view === 'waiting' ? undefined : view,
    order: order === 'risk' ? undefined : order,
    technician,
    standsOut,
    days,
    drawn,
  }).filter((entry): entry is [string, string] => Boolean(entry[1]))
  return new URLSearchParams(given).toString()
}

/** The list that a page was come to from, by its address; the plain one where that says nothing. */
export function listQueryFrom(search: string): AuditQuery {
  const parsed = auditQuery.safeParse(Object.fromEntries(new URLSearchParams(search)))
  return parsed.success ? parsed.data : auditQuery.parse({})
}

export async function auditListPage(ask: Ask, list: AuditList, refused?: { jobId: string; words: string }) {
  const { query } = list
  const names = await instrumentNames(ask)
  const { items, nextCursor } = pageOf(list.standings, list.query)
  const search = searchOf(query)
  const crew = await listCrewPeople(ask.scope)
  const nameOf = (memberId: string) => crew.find((one) => one.memberId === memberId)?.name ?? 'somebody'
  return AuditListPage({
    shell: shellOf(ask.actor, '/audit-list'),
    query: {
      view: query.view,
      order: query.order,
      technician: query.technician ?? '',
      standsOut: query.standsOut ?? '',
      days: query.days ?? '',
      drawn: query.drawn ?? '',
    },
    search,
    counts: list.counts,
    found: list.standings.length,
    rows: items.map(
      (standing, index): AuditRow => ({
        id: standing.job.id,
        address: standing.job.address,
        customerName: standing.job.customerName,
        kind: standing.job.kind,
        reference: standing.job.reference,
        assignedName: standing.job.assignedName,
        since: standing.waitingSince,
        waitsMs: ask.now - standing.waitingSince,
        risk: riskFigure(standing.risk.score),
        drawn: standing.drawn,
        reasons: shownReasons(standing.risk, names),
        notes: notesOf(standing),
        accepted: standing.accepted && {
          who: nameOf(standing.accepted.markedBy),
          at: standing.accepted.markedAt,
        },
        freshId: newId(),
        nextId: (items[index + 1] ?? items[index - 1])?.job.id ?? null,
        refused: refused?.jobId === standing.job.id ? refused.words : null,
      }),
    ),
    drawn: list.drawn.map(({ job }) => ({ id: job.id, address: job.address })),
    technicians: crew
      .filter(
        ({ id: crewId }) =>
          list.standings.some(({ job }) => job.assignedTo === crewId) || crewId === query.technician,
      )
      .map(({ id: value, name: label }) => ({ value, label })),
    cursor: query.cursor ?? null,
    nextCursor,
  })
}
