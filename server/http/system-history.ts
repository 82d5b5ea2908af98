// What happened on a system, told entry by entry: filtered by the address, page by page.

import { z } from 'zod'
import { causeWords } from '../../views/callbacks/words.ts'
import { chargeWords } from '../../views/charging/charge.tsx'
import { type EntryLine, SystemHistoryPage } from '../../views/systems/history.tsx'
import { may } from '../access/capabilities.ts'
import type { Joint, System } from '../rules/dossier.ts'
import type { Judging } from '../rules/judge-torque.ts'
import { isPort } from '../rules/scope.ts'
import { isPressureTest } from '../rules/staleness.ts'
import { listCallbacksOfSystem, type WholeCallback } from '../store/queries/callbacks.ts'
import { listPeopleNames } from '../store/queries/certificates.ts'
import type { RecordedCharge } from '../store/queries/charges.ts'
import type { EntryInBrief } from '../store/queries/entries.ts'
import { listInstrumentsById } from '../store/queries/instruments-used.ts'
import type { JobRow } from '../store/queries/jobs.ts'
import { loadForJudging, type SystemForJudging } from '../store/queries/judging.ts'
import type { RecordedRunningCheck } from '../store/queries/running-checks.ts'
import { listEntriesOfChain } from '../store/queries/system-history.ts'
import { type DatedUnit, listJobsOfSystem, listUnits } from '../store/queries/systems.ts'
import { HISTORY_TOPICS, type HistoryTopic } from '../vocabulary.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import { endingWords } from './endings.ts'
import { entryJson } from './joint-history.ts'
import { summaryOf } from './joint-page.ts'
import { type Ask, listQuery, type Resource } from './resource.ts'
import { runningWords } from './running-checks.ts'
import { shellOf } from './shell.ts'
import { stripOf } from './strip-of.ts'

const day = z
  .string()
  .regex(/^\d{4}-\d{2}-\d{2}$/, { error: () => say.systemHistory.writeItAs2026 })
  .refine((text) => !Number.isNaN(Date.parse(text)), { error: () => say.systemHistory.thereIsNoSuch })
const empty = z.literal('').transform(() => undefined)
const topics = Object.keys(HISTORY_TOPICS) as [HistoryTopic, ...HistoryTopic[]]

const historyQuery = listQuery.extend({
  what: z
    .enum(topics, { error: () => say.systemHistory.useOneOf(topics.join(', ')) })
    .or(empty)
    .optional()
    .meta({ description: 'One part of it; left out, everything.' }),
  joint: z
    .string()
    .max(60)
    .or(empty)
    .optional()
    .meta({ description: 'The id of a joint: what is about it.' }),
  from: day.or(empty).optional(),
  to: day.or(empty).optional().meta({ description: 'The last day that counts, in UTC as the first.' }),
})
type HistoryQuery = z.output<typeof historyQuery>

interface Told extends SystemForJudging {
  query: HistoryQuery
  items: EntryInBrief[]
  nextCursor: string | null
}

const DAY_MS = 86_400_000

export function systemHistoryResource(resource: Resource): void {
  resource.read({
    path: '/systems/:systemId/history',
    name: 'read-system-history',
    summary:
      'What happened on a system, the newest entry first: work, tests, jobs, callbacks, corrections; filtered by part, joint and day.',
    query: historyQuery,
    load,
    json: ({ items, nextCursor }) => ({ items: items.map(entryJson), nextCursor }),
    page: historyPage,
  })
}

async function load(ask: Ask): Promise<Told> {
  const { scope, params } = ask
  const loaded = await loadForJudging(scope, params.systemId ?? '')
  const query = ask.query as unknown as HistoryQuery
  const { what, joint, from, to, limit, cursor } = query
  const page = await listEntriesOfChain(scope, loaded.system.id, {
    kinds: what === undefined ? undefined : HISTORY_TOPICS[what],
    subjectId: joint,
    from: from === undefined ? undefined : Date.parse(from),
    to: to === undefined ? undefined : Date.parse(to) + DAY_MS,
    limit,
    cursor,
  })
  return { ...loaded, query, ...page }
}

async function historyPage(told: Told, ask: Ask) {
  const { scope, actor } = ask
  const { system, policy, site, query, items, nextCursor } = told
  const instruments = await listInstrumentsById(
    scope,
    system.joints
      .flatMap((joint) => joint.makes.flatMap((make) => make.steps))
      .flatMap((step) => (step.kind === 'torque' && step.body.instrumentId ? [step.body.instrumentId] : [])),
  )
  const judging: Judging = { policy: policy.criteria, sheet: system.sheet, instruments }
  const units = await listUnits(scope, [system.id])
  const jobs = await listJobsOfSystem(scope, system.id)
  const callbacks = await listCallbacksOfSystem(scope, system.id)
  const { members } = await listPeopleNames(scope)
  const about = { system, judging, units, jobs, callbacks }
  const path = `/systems/${system.id}/history`
  const address = (cursor: string | null) => {
    const given = Object.entries({ ...query, limit: undefined, cursor: cursor ?? undefined }).filter(
      (pair): pair is [string, string] => pair[1] !== undefined,
    )
    const asked = new URLSearchParams(given).toString()
    return asked === '' ? path : `${path}?${asked}`
  }
  return SystemHistoryPage({
    shell: shellOf(actor, '/search'),
    system: { id: system.id, name: system.name },
    site: { id: site.id, customerName: site.customerName, address: site.address },
    strip:
      system.lineSets.length === 0
        ? null
        : stripOf(
            // Ports and caps make the drawing taller; they are reached by the list.
            { ...system, joints: system.joints.filter((joint) => !isPort(joint)) },
            { policy: policy.criteria, instruments, at: ask.now },
            {
              hrefOf: (joint) => `/joints/${joint.id}/history`,
              currentJointId: query.joint,
              caption: 'hidden',
            },
          ),
    units: units.map(({ id, name, model, serial, installedAt, removedAt }) => ({
      id,
      name,
      model,
      serial,
      installedAt,
      removedAt,
    })),
    counts: {
      joints: system.joints.filter(({ retiredAt }) => retiredAt === null).length,
      jobs: jobs.length,
      callbacks: callbacks.length,
      open: callbacks.filter(({ closedAt }) => closedAt === null).length,
    },
    filter: { what: query.what ?? '', joint: query.joint ?? '', from: query.from ?? '', to: query.to ?? '' },
    joints: system.joints.map(({ id, tag }) => ({ id, tag })),
    entries: inRuns(items).map(({ entry, from }) => ({
      id: entry.id,
      number: entry.number,
      from,
      kind: entry.kind,
      at: entry.at,
      who: entry.memberId === null ? null : (members.get(entry.memberId) ?? null),
      ...lineOf(entry, about),
    })),
    firstHref: query.cursor === undefined ? undefined : address(null),
    nextHref: nextCursor === null ? undefined : address(nextCursor),
    mayTakeIn: may(actor, 'handle-callback'),
  })
}

/** Readings come one by one: a run of them by one hand is one line, that of the last. */
function inRuns(items: readonly EntryInBrief[]): { entry: EntryInBrief; from: number }[] {
  const runs: { entry: EntryInBrief; from: number }[] = []
  for (const entry of items) {
    const run = runs.at(-1)
    const isSame =
      run !== undefined &&
      entry.kind.endsWith('-readings-recorded') &&
      entry.kind === run.entry.kind &&
      entry.subjectId === run.entry.subjectId &&
      entry.memberId === run.entry.memberId &&
      entry.number === run.from - 1
    if (isSame) run.from = entry.number
    else runs.push({ entry, from: entry.number })
  }
  return runs
}

interface About {
  system: System
  judging: Judging
  units: readonly DatedUnit[]
  jobs: readonly JobRow[]
  callbacks: readonly WholeCallback[]
}

/** What an entry is about, and what it says, from the facts as they stand today. */
function lineOf(
  entry: EntryInBrief,
  { system, judging, units, jobs, callbacks }: About,
): Pick<EntryLine, 'about' | 'says'> {
  const facts = new Set(entry.facts.map(({ id }) => id))
  const joint = system.joints.find(({ id }) => id === entry.subjectId)
  if (joint)
    return {
      about: { href: `/joints/${joint.id}/history`, label: joint.tag, isTag: true },
      says: saidOf(joint, facts, judging),
    }
  const test = [...system.pressureTests, ...system.evacuations].find(({ id }) => id === entry.subjectId)
  if (test) {
    const isPressure = isPressureTest(test)
    return {
      about: {
        href: `/${isPressure ? 'pressure-tests' : 'evacuations'}/${test.id}`,
        label: isPressure ? say.systemHistory.thePressureTest : say.systemHistory.theEvacuation,
      },
      says: entry.kind.endsWith('-concluded')
        ? [endingWords({ verdict: test.verdict, verdictToday: null })]
        : [],
    }
  }
  const callback = callbacks.find(({ id }) => id === entry.subjectId)
  if (callback) {
    const causes = [...new Set(callback.findings.map(({ cause }) => causeWords(cause)))]
    return {
      about: { href: `/callbacks/${callback.id}`, label: say.systemHistory.theCallback },
      says: entry.kind === 'callback-opened' ? [`“${callback.symptom}”`] : causes,
    }
  }
  const unit = units.find(({ id }) => id === entry.subjectId)
  if (unit)
    return {
      about: { href: `/systems/${system.id}`, label: unit.name },
      says: [`${unit.model}, ${unit.serial}`],
    }
  const charge = system.charges.find(({ id }) => facts.has(id))
  const running = system.runningChecks.find(({ id }) => facts.has(id))
  const job = jobs.find(({ id }) => id === entry.jobId)
  return {
    about: job && {
      href: `/jobs/${job.id}`,
      label:
        job.reference === null
          ? say.systemHistory.the(coded(job.kind))
          : say.systemHistory.the2(coded(job.kind), job.reference),
    },
    // As they were read from their rows, with what was typed.
    says: charge
      ? [chargeWords({ ...(charge as RecordedCharge), scale: null })]
      : running
        ? [runningWords(running as RecordedRunningCheck)]
        : [],
  }
}

/** What was recorded of a joint by these facts; what was corrected since stands in the joint's own history. */
function saidOf(joint: Joint, facts: ReadonlySet<string>, judging: Judging): string[] {
  const steps = [...joint.makes.flatMap((make) => make.steps), ...joint.leakChecks]
  const said = new Map(steps.filter(({ id }) => facts.has(id)).map((step) => [step.id, step]))
  return [...said.values()].map((step) => summaryOf(step, joint, judging))
}
