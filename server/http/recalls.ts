// Recalls: what rests on an instrument that was found off, and what was done about it, as pages and as JSON.

import type { FormState } from '../../views/parts/field.tsx'
import { RecallList } from '../../views/recalls/index.tsx'
import { RecallPage, type RecordLine } from '../../views/recalls/show.tsx'
import { may } from '../access/capabilities.ts'
import { closeRecall } from '../commands/recalls/close-recall.ts'
import { decideRecall } from '../commands/recalls/decide-recall.ts'
import { openFollowUpJobs } from '../commands/recalls/open-follow-up-jobs.ts'
import { openRecall } from '../commands/recalls/open-recall.ts'
import {
  findUnderRecall,
  type RecordUnderRecall,
  type UnderRecall,
} from '../commands/recalls/under-recall.ts'
import { newId } from '../ids.ts'
import { missing } from '../refusals.ts'
import { findInstrument } from '../store/queries/instruments.ts'
import {
  findRecall,
  findRecallOf,
  listRecallItems,
  listRecalls,
  type RecallItemRow,
  type RecallRow,
} from '../store/queries/recalls.ts'
import type { Scope } from '../store/store.ts'
import type { RecallDisposition, RecallJudgementWord } from '../vocabulary.ts'
import { say } from '../words/say.ts'
import type { Deps } from './deps.ts'
import { expand, type Fields } from './form.ts'
import { foundOff } from './instruments.ts'
import { instant, instantOrNull } from './json.ts'
import { type Ask, type ListQuery, listQuery, pageOf, placeCursor, type Resource } from './resource.ts'
import { shellOf } from './shell.ts'
import { placeWords } from './strip-of.ts'

interface WholeRecall extends UnderRecall {
  recall: RecallRow | null
  items: Map<string, RecallItemRow>
}

const recordsQuery = listQuery.extend({ cursor: placeCursor })

export function recallsResource(resource: Resource, _deps: Deps): void {
  resource.read({
    path: '/recalls',
    name: 'list-recalls',
    summary: 'The company’s recalls, newest first, with what is left to settle.',
    load: ({ scope }) => listRecalls(scope),
    json: (recalls) => ({
      items: recalls.map(({ counts, undecided, ...recall }) => ({
        ...recallJson(recall),
        counts,
        undecided,
      })),
      nextCursor: null,
    }),
    page: async (recalls, { actor, scope }) => {
      const names = new Map<string, string>()
      for (const { instrumentId } of recalls)
        if (!names.has(instrumentId))
          names.set(instrumentId, (await findInstrument(scope, instrumentId)).name)
      return RecallList({
        shell: shellOf(actor, '/instruments'),
        recalls: recalls.map((recall) => ({
          ...recall,
          instrumentName: names.get(recall.instrumentId) ?? '',
        })),
      })
    },
  })

  resource.read({
    path: '/instruments/:instrumentId/recall',
    name: 'recall-of-instrument',
    summary:
      'Every record that rests on an instrument which a check found off, judged with the error taken out.',
    query: recordsQuery,
    load: ({ scope, params }) => wholeRecallOf(scope, params.instrumentId ?? ''),
    json: (whole, { query }) => wholeJson(whole, query as unknown as ListQuery),
    page: (whole, ask) => recallPage(ask, whole),
  })

  resource.write({
    path: '/instruments/:instrumentId/recall',
    command: openRecall,
    status: 201,
    json: recallJson,
    page: {
      goTo: (recall) => `/recalls/${recall.id}`,
      again: async (form, _refusal, ask) =>
        recallPage(ask, await wholeRecallOf(ask.scope, ask.params.instrumentId ?? ''), form),
    },
  })

  resource.read({
    path: '/recalls/:recallId',
    name: 'read-recall',
    summary: 'One recall: its records by what becomes of them, and what was done about each.',
    query: recordsQuery,
    load: ({ scope, params }) => findWhole(scope, params.recallId ?? ''),
    json: (whole, { query }) => wholeJson(whole, query as unknown as ListQuery),
    page: (whole, ask) => recallPage(ask, whole),
  })

  const again = async (form: FormState, _refusal: unknown, ask: Ask) =>
    recallPage(ask, await findWhole(ask.scope, ask.params.recallId ?? ''), form)

  resource.write({
    path: '/recalls/:recallId/decisions',
    command: decideRecall,
    json: recallJson,
    page: {
      input: (fields) => ({ ...expand(fields), evidenceIds: markedRecords(fields) }),
      goTo: (recall) => `/recalls/${recall.id}`,
      again,
    },
  })

  resource.write({
    path: '/recalls/:recallId/follow-up-jobs',
    command: openFollowUpJobs,
    json: ({ recallId, jobs }) => ({ recallId, jobIds: jobs.map(({ id }) => id) }),
    page: { goTo: ({ recallId }) => `/recalls/${recallId}`, again },
  })

  resource.write({
    path: '/recalls/:recallId/close',
    command: closeRecall,
    json: recallJson,
    page: { goTo: (recall) => `/recalls/${recall.id}`, again },
  })
}

const MARK = '_record.'
const markedRecords = (fields: Fields) =>
  Object.keys(fields).flatMap((name) => (name.startsWith(MARK) ? [name.slice(MARK.length)] : []))

async function wholeRecallOf(scope: Scope, instrumentId: string): Promise<WholeRecall> {
  const under = await findUnderRecall(scope, instrumentId)
  if (!under) throw missing(say.recalls.aCheckThatFound)
  return withItems(scope, under, await findRecallOf(scope, under.span.found.id))
}

async function findWhole(scope: Scope, recallId: string): Promise<WholeRecall> {
  const recall = await findRecall(scope, recallId)
  const under = await findUnderRecall(scope, recall.instrumentId, recall.calibrationId)
  if (!under) throw missing(say.recalls.thisRecall)
  return withItems(scope, under, recall)
}

async function withItems(scope: Scope, under: UnderRecall, recall: RecallRow | null): Promise<WholeRecall> {
  const items = recall === null ? [] : await listRecallItems(scope, recall.id)
  return { ...under, recall, items: new Map(items.map((item) => [item.evidenceId, item])) }
}

/** As it was judged when the recall was opened; before, as it is judged now. */
const judgementOf = ({ items }: WholeRecall, record: RecordUnderRecall): RecallJudgementWord =>
  items.get(record.evidenceId)?.judgement ?? record.rejudged.judgement

const recallJson = (recall: RecallRow) => ({
  id: recall.id,
  instrumentId: recall.instrumentId,
  calibrationId: recall.calibrationId,
  openedBy: recall.openedBy,
  openedAt: instant(recall.openedAt),
  closedAt: instantOrNull(recall.closedAt),
  closedBy: recall.closedBy,
})

/** The counts are of all; the records come a page at a time, the worst first. */
function wholeJson(whole: WholeRecall, query: ListQuery) {
  const { instrument, span, recall, records, items } = whole
  const counts: Record<RecallJudgementWord, number> = { fails: 0, doubtful: 0, stands: 0 }
  for (const record of records) counts[judgementOf(whole, record)] += 1
  const page = pageOf(records, query)
  return {
    instrumentId: instrument.id,
    calibrationId: span.found.id,
    foundAt: instant(span.found.at),
    since: span.since === null ? null : instant(span.since.at),
    recall: recall === null ? null : recallJson(recall),
    counts,
    items: page.items.map((record) => {
      const item = items.get(record.evidenceId)
      return {
        evidenceId: record.evidenceId,
        kind: record.kind,
        jobId: record.where.jobId,
        systemId: record.where.systemId,
        jointId: record.joint?.id ?? null,
        tag: record.joint?.tag ?? null,
        performedAt: instant(record.performedAt),
        judgement: judgementOf(whole, record),
        shown: record.rejudged.shown,
        real: record.rejudged.real,
        reason: record.rejudged.reason,
        disposition: item?.disposition ?? null,
        note: item?.note ?? null,
        decidedBy: item?.decidedBy ?? null,
        decidedAt: instantOrNull(item?.decidedAt ?? null),
      }
    }),
    nextCursor: page.nextCursor,
  }
}

// ---------------------------------------------------------------- page

/** More lines than anybody settles at one go; the rest come up when these are done. */
const SHOWN_AT_ONCE = 300

const kindWords = (): Partial<Record<RecordUnderRecall['kind'], string>> => ({
  torque: say.recalls.torque,
  flare: say.recalls.flare,
  'leak-check': say.recalls.leakCheck,
  preparation: say.recalls.preparation,
  pressing: say.recalls.pressing,
  'pressure-test': say.recalls.pressureTest,
  evacuation: say.recalls.evacuation,
  charge: say.recalls.charge,
})

function recallPage({ actor }: Ask, whole: WholeRecall, form?: FormState) {
  const { instrument, span, recall, records, items } = whole
  const known = new Set(records.map(({ evidenceId }) => evidenceId))
  const rows = [...items.values()]
  const groupOf = (judgement: RecallJudgementWord) => {
    const group = records.filter((record) => judgementOf(whole, record) === judgement)
    const unsettledFirst = group.toSorted((a, b) => Number(isDecided(items, a)) - Number(isDecided(items, b)))
    return {
      count: group.length,
      jobs: new Set(group.map(({ where }) => where.jobId)).size,
      lines: unsettledFirst
        .slice(0, SHOWN_AT_ONCE)
        .map((record) => lineOf(record, items.get(record.evidenceId))),
    }
  }
  const undecided = rows.filter(({ decidedAt, evidenceId }) => decidedAt === null && known.has(evidenceId))
  return RecallPage({
    shell: shellOf(actor, '/instruments'),
    instrument: { id: instrument.id, name: instrument.name, serial: instrument.serial },
    found: {
      at: span.found.at,
      words: foundOff(instrument.kind, span.found),
      reference: span.found.reference,
    },
    since: span.since?.at ?? null,
    groups: { fails: groupOf('fails'), doubtful: groupOf('doubtful'), stands: groupOf('stands') },
    recall: recall && {
      id: recall.id,
      openedAt: recall.openedAt,
      closedAt: recall.closedAt,
      undecided: undecided.length,
      withoutJob: undecided.filter(({ disposition }) => disposition === null).length,
    },
    gone: rows.filter(({ evidenceId }) => !known.has(evidenceId)).length,
    mayDecide: may(actor, 'audit-job'),
    freshId: form?.values.id ?? newId(),
    form,
  })
}

const isDecided = (items: WholeRecall['items'], { evidenceId }: RecordUnderRecall) =>
  (items.get(evidenceId)?.decidedAt ?? null) !== null

function lineOf(record: RecordUnderRecall, item: RecallItemRow | undefined): RecordLine {
  const disposition = (item?.disposition ?? null) as RecallDisposition | null
  const isFollowUp = disposition === 'follow-up'
  const { where, rejudged } = record
  return {
    evidenceId: record.evidenceId,
    what: kindWords()[record.kind] ?? say.recalls.step,
    joint: record.joint && {
      tag: record.joint.tag,
      place: placeWords(record.joint),
      href: `/joints/${record.joint.id}`,
    },
    customerName: where.customerName,
    systemName: where.systemName,
    job: { href: `/jobs/${where.jobId}`, label: where.jobReference ?? say.recalls.theJob2 },
    performedAt: record.performedAt,
    shown: rejudged.shown,
    real: rejudged.real,
    reason: rejudged.reason,
    settled: disposition && {
      disposition,
      note: isFollowUp ? null : (item?.note ?? null),
      jobHref: isFollowUp ? `/jobs/${item?.note ?? ''}` : null,
      decided: (item?.decidedAt ?? null) !== null,
    },
  }
}
