// Joints most at risk: those in service that are like those that leaked, as a page, as JSON and as a table, and the jobs
// that look at them again.

import { z } from 'zod'
import { causeWords } from '../../views/callbacks/words.ts'
import type { FormState } from '../../views/parts/field.tsx'
import { AtRiskPage } from '../../views/reliability/at-risk.tsx'
import { dimensionWords } from '../../views/reliability/words.ts'
import { may } from '../access/capabilities.ts'
import { parse } from '../commands/command.ts'
import { type AtRisk, findAtRisk, type JointAtRisk } from '../commands/follow-ups/at-risk.ts'
import { type Likeness, likenessFields } from '../commands/follow-ups/group-fields.ts'
import { openFollowUps } from '../commands/follow-ups/open-follow-ups.ts'
import { newId } from '../ids.ts'
import type { System } from '../rules/dossier.ts'
import { type JointToLookAt, listFollowUpsOfJob } from '../store/queries/follow-ups.ts'
import { findJob } from '../store/queries/jobs.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import { type CsvForm, type CsvRow, csvOf, csvQuery } from './csv.ts'
import { expand, type Fields } from './form.ts'
import { instant } from './json.ts'
import { groupLabels } from './reliability.ts'
import { type Ask, type ListQuery, listQuery, pageOf, placeCursor, type Resource } from './resource.ts'
import { shellOf } from './shell.ts'
import { placeWords } from './strip-of.ts'

/** What a form leaves empty was not asked. */
const unlessEmpty = (value: unknown) => (value === '' ? undefined : value)
const optional = <Schema extends z.ZodType>(schema: Schema) => z.preprocess(unlessEmpty, schema)
const likenessQuery = z.object({
  by: optional(likenessFields.by),
  also: optional(likenessFields.also),
  key: optional(likenessFields.key),
  from: optional(likenessFields.from),
  to: optional(likenessFields.to),
  callbackId: optional(likenessFields.callbackId),
})
const atRiskQuery = likenessQuery.extend({ ...listQuery.shape, cursor: placeCursor })

const PATH = '/reliability/at-risk'

export function atRiskResource(resource: Resource): void {
  resource.read({
    path: PATH,
    name: 'joints-at-risk',
    summary:
      'Joints in service that are like those of a group, or like the one that a closed callback found; those to look at first first.',
    query: atRiskQuery,
    load: (ask) => atRisk(ask, ask.query as unknown as Likeness),
    json: atRiskJson,
    page: (found, ask) => atRiskPage(found, ask),
  })

  resource.read({
    path: `${PATH}.csv`,
    name: 'joints-at-risk-as-csv',
    summary: 'The same as a table, whole.',
    query: likenessQuery.extend(csvQuery.shape),
    load: (ask) => atRisk(ask, ask.query as unknown as Likeness),
    file: {
      mediaType: 'text/csv; charset=utf-8',
      make: (found, ask) => ({
        content: csvOf(COLUMNS, rowsOf(found), ask.query as unknown as CsvForm),
        fileName: `at-risk-${instant(ask.now).slice(0, 10)}.csv`,
      }),
    },
  })

  resource.write({
    path: '/follow-up-jobs',
    command: openFollowUps,
    status: 201,
    page: {
      path: PATH,
      input: (fields) => {
        const ticked = tickedJoints(fields)
        return { ...expand(fields), ...(ticked.length === 0 ? {} : { jointIds: ticked }) }
      },
      goTo: (_opened, ask) => addressOf(likenessIn(ask.query)),
      again: async (form, _refusal, ask) => {
        const query = parse(atRiskQuery, likenessIn(ask.query))
        return atRiskPage(await atRisk(ask, query), { ...ask, query: query as never }, form)
      },
    },
  })

  resource.read({
    path: '/jobs/:jobId/follow-ups',
    name: 'follow-ups-of-job',
    summary: 'The joints that a job is to look at again, each with why.',
    load: async ({ scope, params }) => {
      const job = await findJob(scope, params.jobId ?? '')
      return listFollowUpsOfJob(scope, job.id)
    },
    json: (joints) => ({
      items: joints.map((one) => ({
        jointId: one.jointId,
        tag: one.tag,
        systemId: one.systemId,
        callbackId: one.callbackId,
        grounds: one.grounds,
        openedBy: one.openedBy,
        openedAt: instant(one.openedAt),
      })),
      nextCursor: null,
    }),
  })
}

const atRisk = (ask: Ask, asked: Likeness): Promise<AtRisk> =>
  findAtRisk(ask.scope, asked, ask.now, (condition) => dimensionWords()[condition])

const TICK = '_joint.'
const tickedJoints = (fields: Fields) =>
  Object.keys(fields).flatMap((name) => (name.startsWith(TICK) ? [name.slice(TICK.length)] : []))

const NAMES = ['by', 'also', 'key', 'from', 'to', 'callbackId'] as const
const likenessIn = (values: Record<string, string | undefined>) =>
  Object.fromEntries(NAMES.flatMap((name) => (values[name] ? [[name, values[name]]] : [])))

/** The filters stand in the address: whoever is sent it sees the same list. */
export function addressOf(
  asked: Partial<Record<(typeof NAMES)[number], string | undefined>>,
  path = PATH,
  more = {},
) {
  const given = asked.callbackId === undefined ? asked : { callbackId: asked.callbackId }
  const pairs = Object.entries({ ...given, ...more }).filter(
    (pair): pair is [string, string] => typeof pair[1] === 'string' && pair[1] !== '',
  )
  return `${path}?${new URLSearchParams(pairs)}`
}

const isOpen = ({ followUp }: JointAtRisk) => followUp !== null && followUp.stage !== 'sealed'

function atRiskJson(found: AtRisk, { query }: Ask) {
  const { items, nextCursor } = pageOf(
    found.joints.map((joint, index) => ({ ...joint, rank: index + 1 })),
    query as unknown as ListQuery,
  )
  return {
    grounds: found.grounds,
    standsOut: found.group?.judged.flagged ?? null,
    alikeBy: found.callback?.conditions ?? found.group?.common ?? [],
    joints: found.joints.length,
    cut: found.cut,
    items: items.map((joint) => ({
      rank: joint.rank,
      jointId: joint.jointId,
      tag: joint.tag,
      systemId: joint.systemId,
      siteId: joint.siteId,
      place: joint.place,
      line: joint.line,
      signedOffAt: instant(joint.signedOffAt),
      yearsInService: joint.yearsInService,
      points: joint.points,
      reasons: joint.reasons,
      shared: joint.shared,
      followUp: joint.followUp && { jobId: joint.followUp.jobId, open: isOpen(joint) },
    })),
    nextCursor,
  }
}

const COLUMNS = [
  'rank',
  'points',
  'joint_id',
  'tag',
  'place',
  'line',
  'tube_od_mm',
  'kind',
  'system_id',
  'system',
  'site_id',
  'customer',
  'address',
  'made_at',
  'signed_off_at',
  'years_in_service',
  'torque_at_nut_nm',
  'range_low_nm',
  'range_high_nm',
  'shares',
  'reasons',
  'follow_up_job_id',
  'follow_up_is_open',
] as const

async function* rowsOf({
  joints,
}: AtRisk): AsyncGenerator<CsvRow & Record<(typeof COLUMNS)[number], CsvRow[string]>> {
  for (const [index, joint] of joints.entries())
    yield {
      rank: index + 1,
      points: joint.points,
      joint_id: joint.jointId,
      tag: joint.tag,
      place: joint.place,
      line: joint.line,
      tube_od_mm: Number((joint.tubeOdM * 1000).toPrecision(9)),
      kind: joint.kind,
      system_id: joint.systemId,
      system: joint.systemName,
      site_id: joint.siteId,
      customer: joint.customerName,
      address: joint.address,
      made_at: instant(joint.madeAt),
      signed_off_at: instant(joint.signedOffAt),
      years_in_service: Number(joint.yearsInService.toFixed(3)),
      torque_at_nut_nm: joint.torqueNm === null ? null : Number(joint.torqueNm.toPrecision(9)),
      range_low_nm: joint.range?.lowNm,
      range_high_nm: joint.range?.highNm,
      shares: joint.shared.join(' '),
      reasons: joint.reasons.map(({ words }) => words).join('; '),
      follow_up_job_id: joint.followUp?.jobId,
      follow_up_is_open: joint.followUp === null ? null : isOpen(joint),
    }
}

// ---------------------------------------------------------------- pages

async function atRiskPage(found: AtRisk, ask: Ask, form?: FormState) {
  const { group, callback, joints, cut } = found
  const query = ask.query as unknown as ListQuery & Likeness
  const asked: Likeness = query
  const page = pageOf(
    joints.map((joint, index) => ({ ...joint, rank: index + 1 })),
    query,
  )
  const label = group ? (await groupLabels(ask.scope, []))(group.dimensions, group.judged.key) : null
  return AtRiskPage({
    shell: shellOf(ask.actor, '/reliability'),
    label: label ?? callback?.leaked.tag ?? null,
    group: group && {
      flagged: group.judged.flagged,
      leaks: group.judged.events,
      expected: group.judged.expectedEvents.toFixed(1),
      common: group.common.map((condition) => dimensionWords()[condition]),
    },
    callback: callback && {
      tag: callback.leaked.tag,
      cause: causeWords(callback.cause),
      conditions: callback.conditions.map((condition) => dimensionWords()[condition]),
    },
    self: addressOf(asked),
    back:
      asked.callbackId === undefined
        ? addressOf({ ...asked, key: undefined }, '/reliability')
        : `/callbacks/${asked.callbackId}`,
    asked: { ...likenessIn(query as never) },
    count: joints.length,
    cut,
    open: joints.filter(isOpen).length,
    joints: page.items.map((joint) => ({
      jointId: joint.jointId,
      rank: joint.rank,
      tag: joint.tag,
      place: say.reliability.line(placeWords(joint), coded(joint.line)),
      customerName: joint.customerName,
      systemName: joint.systemName,
      systemId: joint.systemId,
      points: joint.points,
      reasons: joint.reasons.map(({ words }) => words),
      followUp: joint.followUp && { jobId: joint.followUp.jobId, open: isOpen(joint) },
    })),
    csv: addressOf(asked, `${PATH}.csv`),
    firstHref: query.cursor === undefined ? undefined : addressOf(asked),
    nextHref: page.nextCursor === null ? undefined : addressOf(asked, PATH, { cursor: page.nextCursor }),
    mayOpen: may(ask.actor, 'audit-job') && (group === null || group.judged.flagged) && joints.length > 0,
    freshKey: newId(),
    form,
  })
}

/** For the page of a job: the joints to look at again, and why, as it stood when the job was opened. */
export async function followUpLines(
  { scope }: Ask,
  joints: readonly JointToLookAt[],
  systems: readonly System[],
) {
  if (joints.length === 0) return []
  const label = await groupLabels(scope, [])
  const there = new Map(systems.flatMap((system) => system.joints).map((joint) => [joint.id, joint]))
  const onThisJob = (jobId: string) => (fact: { jobId: string }) => fact.jobId === jobId
  return joints.map(({ jobId, jointId, tag, place, callbackId, grounds }) => ({
    jointId,
    tag,
    place: placeWords({ place }),
    callbackId,
    done: there.get(jointId)?.makes.some(onThisJob(jobId))
      ? ('made-again' as const)
      : there.get(jointId)?.leakChecks.some(onThisJob(jobId))
        ? ('checked' as const)
        : null,
    why:
      grounds.kind === 'callback'
        ? { cause: causeWords(grounds.cause) }
        : {
            label: label(grounds.also === null ? [grounds.by] : [grounds.by, grounds.also], grounds.key),
            leaks: grounds.leaks,
            expected: grounds.expectedLeaks.toFixed(1),
          },
  }))
}
