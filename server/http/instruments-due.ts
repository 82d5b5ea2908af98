// Which instruments are to be checked, by when, and because of what: the calendar, or how often they were used?

import { z } from 'zod'
import { DueListPage } from '../../views/instruments/due.tsx'
import { instrumentKindWords } from '../../views/instruments/words.ts'
import { may } from '../access/capabilities.ts'
import { instrumentKind } from '../commands/instruments/instrument-figures.ts'
import type { Policy } from '../rules/policy.ts'
import { countUses, type UseCount, usesLimit } from '../store/queries/instrument-uses.ts'
import { type KeptInstrument, listInstruments } from '../store/queries/instruments.ts'
import { findPolicy } from '../store/queries/policy.ts'
import type { Scope } from '../store/store.ts'
import { say } from '../words/say.ts'
import { type Confirmation, confirmationOf, lastCheck } from './confirmation.ts'
import { csvQuery, csvText } from './csv.ts'
import { instant, instantOrNull } from './json.ts'
import type { Ask, Resource } from './resource.ts'
import { shellOf } from './shell.ts'

const DAY_MS = 86_400_000
const PAGE = 200

export const DUE_WITHIN = ['overdue', '30', '60', '90'] as const
export type DueWithin = (typeof DUE_WITHIN)[number]
export const DUE_BY = ['calendar', 'uses'] as const
export type DueBy = (typeof DUE_BY)[number]

const within = z
  .enum(DUE_WITHIN, { error: () => say.instrumentCare.useOneOf(DUE_WITHIN.join(', ')) })
  .default('90')
const dueQuery = z.object({
  within,
  by: z.enum(DUE_BY, { error: () => say.instrumentCare.useOneOf(DUE_BY.join(', ')) }).optional(),
  kind: instrumentKind.optional(),
})
type DueQuery = z.output<typeof dueQuery>

export interface DueInstrument {
  instrument: KeptInstrument
  confirmation: Confirmation
  uses: UseCount | null
  /** By when it is to be checked; null: it may not be used as it is, so it was due before. */
  dueAt: number | null
  by: DueBy
  /** The smallest of the spans that it is due within. */
  within: DueWithin
}

export interface DueList {
  query: DueQuery
  items: DueInstrument[]
  /** Of all that are due, whatever was asked for: each span holds those before it. */
  counts: Record<DueWithin, number>
}

export function instrumentsDueResource(resource: Resource): void {
  resource.read({
    path: '/instruments/due',
    name: 'list-due-instruments',
    summary:
      'Instruments in use that are overdue or are due within 30, 60 or 90 days, by the calendar or by their uses; what is due first stands first.',
    query: dueQuery,
    load: loadDue,
    json: ({ items, counts }) => ({ items: items.map(dueJson), counts, nextCursor: null }),
    page: ({ items, counts, query }, { actor }) =>
      DueListPage({
        shell: shellOf(actor, '/instruments'),
        within: query.within,
        by: query.by ?? null,
        kind: query.kind ?? null,
        counts,
        mayKeep: may(actor, 'keep-instruments'),
        lines: items.map(({ instrument, confirmation, uses, dueAt, by, within }) => ({
          id: instrument.id,
          kindWords: instrumentKindWords()[instrument.kind],
          name: instrument.name,
          serial: instrument.serial,
          confirmation,
          uses,
          dueAt,
          by,
          within,
        })),
      }),
  })

  resource.read({
    path: '/instruments/due.csv',
    name: 'export-due-instruments',
    summary: 'The same as a table for a spreadsheet.',
    query: dueQuery.extend(csvQuery.shape),
    load: loadDue,
    file: {
      mediaType: 'text/csv; charset=utf-8',
      make: ({ items }, { query }) => ({
        content: csvText(COLUMNS, items.map(csvRow), csvQuery.parse(query)),
        fileName: 'instruments-due.csv',
      }),
    },
  })
}

async function loadDue({ scope, query, now }: Ask): Promise<DueList> {
  const asked = dueQuery.parse(query)
  const due = await listDue(scope, now)
  const spans = DUE_WITHIN.slice(0, DUE_WITHIN.indexOf(asked.within) + 1)
  return {
    query: asked,
    counts: countsOf(due),
    items: due.filter(
      ({ within: span, by, instrument }) =>
        spans.includes(span) &&
        (asked.by === undefined || asked.by === by) &&
        (asked.kind === undefined || asked.kind === instrument.kind),
    ),
  }
}

/** For the notice on a manager's first page. */
export const countDue = async (scope: Scope, now: number) => countsOf(await listDue(scope, now))

const countsOf = (due: readonly DueInstrument[]): DueList['counts'] => {
  const within = (span: DueWithin) =>
    due.filter((one) => DUE_WITHIN.indexOf(one.within) <= DUE_WITHIN.indexOf(span)).length
  return { overdue: within('overdue'), 30: within('30'), 60: within('60'), 90: within('90') }
}

/** Those in use that a check is asked of, save what is tried on the day it is used. What is due first stands first. */
async function listDue(scope: Scope, now: number): Promise<DueInstrument[]> {
  const { criteria } = await findPolicy(scope)
  const kept: KeptInstrument[] = []
  let cursor: string | undefined
  do {
    const page = await listInstruments(scope, { limit: PAGE, cursor })
    kept.push(...page.items.filter(({ active }) => active))
    cursor = page.nextCursor ?? undefined
  } while (cursor !== undefined)
  const uses = await usesOf(scope, kept, now)
  return kept
    .flatMap((instrument) => dueOf(instrument, uses.get(instrument.id) ?? null, criteria, now) ?? [])
    .sort((a, b) => (a.dueAt ?? 0) - (b.dueAt ?? 0) || (a.instrument.name < b.instrument.name ? -1 : 1))
}

/** How often each was used since the check that stands, of those whose uses are counted. */
export async function usesOf(
  scope: Scope,
  instruments: readonly KeptInstrument[],
  now: number,
): Promise<Map<string, UseCount>> {
  const counted = instruments.filter(({ kind }) => usesLimit(kind) !== null)
  const counts = await countUses(
    scope,
    counted.map((instrument) => ({
      instrumentId: instrument.id,
      since: lastCheck(instrument, now)?.at ?? null,
      until: now,
    })),
  )
  return new Map(
    counted.flatMap(({ id }, index) => {
      const found = counts[index]
      return found ? [[id, found]] : []
    }),
  )
}

/** Null where nothing is due within the longest span. */
export function dueOf(
  instrument: KeptInstrument,
  uses: UseCount | null,
  policy: Policy,
  now: number,
): DueInstrument | null {
  const confirmation = confirmationOf(instrument, policy, now, uses)
  const { state, intervalDays } = confirmation
  if (intervalDays === null || intervalDays <= 1) return null
  const since = lastCheck(instrument, now)?.at ?? null
  const byUses = since === null || uses === null ? null : usesDueAt(uses, since, now)
  const byCalendar = since === null ? null : since + intervalDays * DAY_MS - 1
  const isByUses = byUses !== null && byCalendar !== null && byUses < byCalendar
  const dueAt = state === 'out-of-tolerance' ? null : isByUses ? byUses : byCalendar
  const left = dueAt === null ? -1 : (dueAt - now) / DAY_MS
  const span = left < 0 ? 'overdue' : DUE_WITHIN.find((days) => days !== 'overdue' && left <= Number(days))
  if (span === undefined) return null
  return { instrument, confirmation, uses, dueAt, by: isByUses ? 'uses' : 'calendar', within: span }
}

/** When the limit was reached; else when it will be, should the use go on as since the check. Common practice, no source. */
function usesDueAt({ total, limit, reachedAt }: UseCount, since: number, now: number): number | null {
  if (reachedAt !== null) return reachedAt
  // A day at the least: what was done in the first hour says nothing of the year.
  const perMs = total / Math.max(now - since, DAY_MS)
  return perMs === 0 ? null : now + (limit - total) / perMs
}

export const usesJson = (uses: UseCount) => ({
  sinceCheck: uses.total,
  recorded: uses.recorded,
  byHand: uses.byHand,
  limit: uses.limit,
  reachedAt: instantOrNull(uses.reachedAt),
})

const dueJson = ({ instrument, confirmation, uses, dueAt, by, within }: DueInstrument) => ({
  instrumentId: instrument.id,
  kind: instrument.kind,
  name: instrument.name,
  serial: instrument.serial,
  state: confirmation.state,
  dueAt: instantOrNull(dueAt),
  by,
  within,
  uses: uses === null ? null : usesJson(uses),
})

const COLUMNS = [
  'instrument_id',
  'kind',
  'name',
  'serial',
  'state',
  'due_at',
  'due_by',
  'due_within',
  'interval_days',
  'last_calibrated_at',
  'uses_since',
  'uses_limit',
  'uses_limit_reached_at',
] as const

function csvRow({ instrument, confirmation, uses, dueAt, by, within }: DueInstrument) {
  const last = instrument.calibrations.at(-1)
  return {
    instrument_id: instrument.id,
    kind: instrument.kind,
    name: instrument.name,
    serial: instrument.serial,
    state: confirmation.state,
    due_at: instantOrNull(dueAt),
    due_by: by,
    due_within: within,
    interval_days: confirmation.intervalDays,
    last_calibrated_at: last ? instant(last.at) : null,
    uses_since: uses?.total,
    uses_limit: uses?.limit,
    uses_limit_reached_at: instantOrNull(uses?.reachedAt ?? null),
  }
}
