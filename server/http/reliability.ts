// Which joints come back: groups by what they share, as a page and as JSON, and the joints behind a group.

import { z } from 'zod'
import { causeWords } from '../../views/callbacks/words.ts'
import { flareMethodWords } from '../../views/joints/step-words.ts'
import { GroupJoints } from '../../views/reliability/joints.tsx'
import { ReliabilityPage, type ShownGroup } from '../../views/reliability/show.tsx'
import { TorqueChart } from '../../views/reliability/torque.tsx'
import { day, dimension, spanOf } from '../commands/follow-ups/group-fields.ts'
import { forbidden } from '../refusals.ts'
import {
  agesOf,
  DAY_MS,
  exposureOf,
  KEY_OF,
  type Life,
  monthName,
  monthOf,
  monthsOf,
  NOT_KNOWN,
  type Span,
} from '../rules/cohorts.ts'
import {
  judgeGroups,
  type Reliability,
  type ReliabilityGroup,
  survivalOf,
} from '../rules/judge-reliability.ts'
import { torqueRangeOf } from '../rules/judge-torque.ts'
import type { Policy } from '../rules/policy.ts'
import { jointKindWords, tubeName } from '../rules/wording.ts'
import { listCrewPeople } from '../store/queries/dossier.ts'
import { grouped } from '../store/queries/grouped.ts'
import { listInstrumentNames } from '../store/queries/instruments.ts'
import { foundOn, groupOf, judgeGroupsBy, keyFor } from '../store/queries/judged-groups.ts'
import { findPolicy } from '../store/queries/policy.ts'
import {
  countFirstFlares,
  countFoundCauses,
  type GroupKey,
  type Leaked,
  type LifeWithTag,
  listCohorts,
  listLeaked,
  listLeakedOf,
  listServedLately,
  listTight,
  listTorquesRead,
} from '../store/queries/reliability.ts'
import { listSheetsById } from '../store/queries/sheets-used.ts'
import { capability, individualsChart } from '../trade/control-chart.ts'
import { sameTubeSize } from '../trade/tube.ts'
import { wilsonInterval } from '../trade/wilson.ts'
import { RELIABILITY_DIMENSIONS, type ReliabilityDimension, type Role } from '../vocabulary.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import type { Deps } from './deps.ts'
import { instant } from './json.ts'
import type { Ask, Resource } from './resource.ts'
import { shellOf } from './shell.ts'
import { placeWords } from './strip-of.ts'

const empty = z.literal('').transform(() => undefined)
const days = z.object({
  from: day.or(empty).optional(),
  to: day.or(empty).optional().meta({ description: 'The last day that counts.' }),
})
const question = z.object({
  by: dimension.default('position'),
  also: dimension.or(empty).optional().meta({ description: 'A second way to group, for pairs.' }),
  ...days.shape,
})
type Question = z.output<typeof question>

const groupQuestion = question.extend({
  key: z.string().max(400).default('').meta({ description: 'Of the group; left out, all joints.' }),
})

/** What a list of one group holds at most; what leaked comes first. */
const MOST_JOINTS = 300
/** Of how many of the joints made last it is said what is usual, where a group's leaks share something. */
const USUAL_OF = 2000

/** What is known of the joints, and how this reader may see them. */
interface Looked {
  span: Span
  dimensions: ReliabilityDimension[]
  reliability: Reliability
  groups: ReliabilityGroup[]
  label(key: string): string
  ownOnly: boolean
  /** The reader's own key by person. */
  own: string | undefined
  leaks: Leaked[]
}

export function reliabilityResource(resource: Resource, _deps: Deps): void {
  resource.read({
    path: '/reliability',
    name: 'reliability',
    summary:
      'Leaks per joint-year by what joints share, flagged only where the evidence holds against chance.',
    query: question,
    load: (ask) => look(ask, ask.query as unknown as Question),
    json: ({ groups, label }) => groups.map((group) => groupJson(group, label)),
    page: (looked, ask) => reliabilityPage(ask, looked),
  })

  resource.read({
    path: '/reliability/joints',
    name: 'reliability-joints',
    summary: `The joints of one group, those that leaked first; ${MOST_JOINTS} at most.`,
    query: groupQuestion,
    load: async (ask) => {
      const looked = await look(ask, ask.query as unknown as Question)
      return { looked, joints: await jointsOf(looked, ask) }
    },
    json: ({ looked, joints }) =>
      joints.map((life) => {
        const leak = leakIn(life, looked.span)
        return {
          jointId: life.jointId,
          tag: life.tag,
          systemId: life.systemId,
          madeAt: instant(life.madeAt),
          signedOffAt: instant(life.signedOffAt),
          endedAt: life.endedAt === null ? null : instant(life.endedAt),
          leak: leak && { callbackId: leak.callbackId, at: instant(leak.at), cause: leak.cause },
        }
      }),
    page: ({ looked, joints }, ask) => {
      const group = looked.groups.find(({ key }) => key === ask.query.key)
      const asked = ask.query as unknown as Question
      return GroupJoints({
        shell: shellOf(ask.actor, '/reliability'),
        label:
          ask.query.key === ''
            ? say.reliability.allJoints2
            : group === undefined
              ? say.reliability.noSuchGroup
              : looked.label(group.key),
        back: `/reliability?${searchOf(asked)}`,
        atRisk: group === undefined ? undefined : atRiskOf(asked, group.key, looked.dimensions),
        count: Math.max(joints.length, group?.joints ?? looked.reliability.all.joints),
        joints: joints.map((life) => {
          const leak = leakIn(life, looked.span)
          return {
            ...life,
            place: placeWords(life),
            leak: leak && { ...leak, cause: causeWords(leak.cause) },
          }
        }),
      })
    },
  })

  resource.read({
    path: '/reliability/torque',
    name: 'reliability-torque',
    summary: `Control chart and capability of the torques that were read on one size; the last ${MOST_NUTS} nuts.`,
    query: days.extend({
      size: z
        .string()
        .max(40)
        .optional()
        .meta({ description: 'Outer diameter in metres. Default: the size with the most joints.' }),
    }),
    load: torques,
    json: ({ size, pulled, chart, range, capability }) => ({
      tubeOd: size === null ? null : { value: Number(size), unit: 'm' },
      nuts: pulled.map(({ jointId, tag, madeAt, torqueNm, outside }) => ({
        jointId,
        tag,
        madeAt: instant(madeAt),
        torque: { value: torqueNm, unit: 'N.m' },
        outside,
      })),
      chart,
      range,
      capability,
    }),
    page: ({ pulled, chart, ...rest }, { actor, query }) =>
      TorqueChart({
        shell: shellOf(actor, '/reliability'),
        ...rest,
        chart: chart && { ...chart, rangeOutside: chart.rangeOutside.length },
        pulled: pulled.map((one) => ({ ...one, day: instant(one.madeAt).slice(0, 10) })),
        form: { values: { from: query.from ?? '', to: query.to ?? '' }, errors: [], scope: '' },
      }),
  })

  resource.read({
    path: '/reliability/overview',
    name: 'reliability-overview',
    summary:
      'All joints together: months, causes, flares accepted at once, and the share still tight by age.',
    query: days,
    load: (ask) => overview(ask, spanOf(ask.query, ask.now)),
    json: ({ all, months, causes, firstPass, survival }) => ({
      all,
      months,
      causes,
      firstPass,
      survival,
    }),
  })
}

const groupJson = (group: ReliabilityGroup, label: (key: string) => string) => ({
  key: group.key,
  label: label(group.key),
  joints: group.joints,
  jointYears: group.jointYears,
  events: group.events,
  expectedEvents: group.expectedEvents,
  ratio: group.ratio,
  ratePer1000JointYears: group.ratePer1000JointYears,
  interval: group.interval && [group.interval.low, group.interval.high],
  shrunkRatio: group.shrunkRatio,
  probabilityWorse: group.probabilityWorse,
  pValue: group.pValue,
  flagged: group.flagged,
})

// ---------------------------------------------------------------- who may see whom

type Sight = 'all' | 'own' | 'none'

/** Figures by person are personnel data: by policy, never at the warranty desk. */
export function sightOfPersons(role: Role, policy: Pick<Policy, 'personFigures'>): Sight {
  if (role === 'warranty' || policy.personFigures === 'off') return 'none'
  return policy.personFigures === 'managers' && (role === 'manager' || role === 'owner') ? 'all' : 'own'
}

async function look({ actor, scope, now }: Ask, asked: Question): Promise<Looked> {
  const { by, also } = asked
  const span = spanOf(asked, now)
  const { criteria } = await findPolicy(scope)
  const byPerson = by === 'technician' || also === 'technician'
  const sight = byPerson ? sightOfPersons(actor.role, criteria) : 'all'
  if (sight === 'none') throw forbidden(say.reliability.figuresByPersonAre)
  const crew = await listCrewPeople(scope)
  const label = await groupLabels(scope, crew)
  const dimensions = also === undefined || also === by ? [by] : [by, also]
  const { reliability, leaks } = await judgeGroupsBy(scope, dimensions, span, now)
  const own = crew.find(({ memberId }) => memberId === actor.memberId)?.id
  const at = dimensions.indexOf('technician')
  const isOwn = (key: string) => own !== undefined && key.split('|')[at] === own
  return {
    span,
    dimensions,
    reliability,
    groups: sight === 'all' ? reliability.groups : reliability.groups.filter(({ key }) => isOwn(key)),
    label: (key) => label(dimensions, key),
    ownOnly: sight === 'own',
    own,
    leaks,
  }
}

/** How the groups of some dimensions are called, tools and persons by their names. */
export async function groupLabels(scope: Ask['scope'], crew: readonly { id: string; name: string }[]) {
  const names = new Map([
    ...(await listInstrumentNames(scope)).map(({ id, name }) => [id, name] as const),
    ...crew.map(({ id, name }) => [id, name] as const),
  ])
  return (dimensions: readonly ReliabilityDimension[], key: string): string => {
    const parts = key.split('|')
    return dimensions.map((one, index) => labelOf(one, parts[index] ?? '', names)).join(', ')
  }
}

export function labelOf(by: ReliabilityDimension, part: string, names: Map<string, string>): string {
  if (part === NOT_KNOWN)
    return by === 'flareMethod' || by === 'flaringTool'
      ? say.reliability.noFlare
      : say.reliability.notOnRecord
  switch (by) {
    case 'position': {
      const at = part.lastIndexOf('/')
      return say.reliability.line(placeWords({ place: part.slice(0, at) }), coded(part.slice(at + 1)))
    }
    case 'tubeOd':
      return tubeName(Number(part))
    case 'kind':
      return jointKindWords()[part as keyof typeof jointKindWords] ?? part
    case 'flareMethod':
      return flareMethodWords()[part as keyof typeof flareMethodWords] ?? part
    case 'flaringTool':
    case 'wrench':
    case 'technician':
      return names.get(part) ?? say.reliability.notOnRecord
    case 'model':
    case 'refrigerant':
    case 'month':
      return part
  }
}

// ---------------------------------------------------------------- pages

const searchOf = ({ by, also, from, to }: Question): string =>
  new URLSearchParams(
    Object.entries({ by, also, from, to }).filter((entry): entry is [string, string] => Boolean(entry[1])),
  ).toString()

/** Joints are never picked by who made them. */
const atRiskOf = (asked: Question, key: string, dimensions: readonly ReliabilityDimension[]) =>
  dimensions.includes('technician')
    ? undefined
    : `/reliability/at-risk?${searchOf(asked)}&key=${encodeURIComponent(key)}`

/** Of the leaks that lie in the span, as the figures count them. */
const leakIn = (life: Life, span: Span) =>
  life.leakAt === null || life.leakCallbackId === null || life.leakAt > span.to
    ? null
    : { callbackId: life.leakCallbackId, at: life.leakAt, cause: life.leakCause ?? '' }

/** Only of groups that this reader may see. */
async function jointsOf(looked: Looked, { scope, query }: Ask): Promise<LifeWithTag[]> {
  const { dimensions, span } = looked
  let group: GroupKey = []
  if (query.key !== undefined && query.key !== '') {
    if (!looked.groups.some(({ key }) => key === query.key)) return []
    group = groupOf(dimensions, query.key)
  } else if (looked.ownOnly) {
    if (looked.own === undefined) return []
    group = [{ dimension: 'technician', key: looked.own }]
  }
  const leaked = await listLeakedOf(scope, group, span, MOST_JOINTS)
  if (leaked.length === MOST_JOINTS) return leaked
  return [...leaked, ...(await listTight(scope, group, span, MOST_JOINTS - leaked.length))]
}

/** As many as a chart can show; the last ones. */
const MOST_NUTS = 120

/** The torques that were read on one size, by the chart for single values; against a range only where all have the same. */
async function torques({ scope, query, now }: Ask) {
  const span = spanOf(query, now)
  const counts = new Map<string, number>()
  for (const { key, part, count } of await listCohorts(scope, 'tubeOd'))
    if (part === 'entered') counts.set(key, (counts.get(key) ?? 0) + count)
  const sizes = [...counts].sort(([a], [b]) => Number(a) - Number(b))
  const most = [...counts].sort(([, a], [, b]) => b - a)[0]?.[0] ?? null
  const asked = Number(query.size)
  const size = sizes.find(([key]) => asked > 0 && sameTubeSize(Number(key), asked))?.[0] ?? most
  const rows = size === null ? [] : await listTorquesRead(scope, Number(size), span, MOST_NUTS)
  const values = rows.map(({ torqueNm }) => torqueNm)
  const chart = values.length < 2 ? null : individualsChart(values)
  const { criteria } = await findPolicy(scope)
  const sheets = await listSheetsById(
    scope,
    rows.flatMap(({ sheetId }) => sheetId ?? []),
  )
  const ranges = rows.map((life) => torqueRangeOf(life, sheets.get(life.sheetId ?? '') ?? null, criteria))
  const [first] = ranges
  const range =
    first && ranges.every((one) => one?.lowNm === first.lowNm && one.highNm === first.highNm) ? first : null
  return {
    sizes: sizes.map(([value]) => ({ value, label: tubeName(Number(value)) })),
    size,
    pulled: rows.map(({ jointId, tag, madeAt, torqueNm }, at) => ({
      jointId,
      tag,
      madeAt,
      torqueNm,
      outside: chart?.outside.includes(at) ?? false,
    })),
    chart,
    range,
    capability:
      chart === null || range === null ? null : capability(values, { low: range.lowNm, high: range.highNm }),
  }
}

/** What is said of all joints together. */
async function overview({ scope, now }: Ask, span: Span, person?: string | undefined) {
  const rows = await listCohorts(scope, 'all')
  const leaks = await listLeaked(scope, span, [])
  const { all } = judgeGroups([{ key: '', ...exposureOf(rows, span, now) }], foundOn(leaks, []))
  const leaksOf = grouped(leaks, ({ leakAt }) => monthName(monthOf(leakAt)))
  const { inspected, accepted } = await countFirstFlares(scope, {
    from: Math.floor(span.from / DAY_MS),
    to: Math.ceil(span.to / DAY_MS) - 1,
  })
  const ages = agesOf(person === undefined ? rows : await listCohorts(scope, 'technician', person), now)
  const watched = ages.reduce((sum, { count }) => sum + count, 0)
  return {
    all,
    months: monthsOf(rows, span, now).map((month) => ({
      ...month,
      leaks: new Set((leaksOf.get(month.month) ?? []).map(({ leakCallbackId }) => leakCallbackId)).size,
    })),
    causes: await countFoundCauses(scope, span),
    firstPass: inspected === 0 ? null : { accepted, inspected, ...wilsonInterval(accepted, inspected) },
    survival:
      watched === 0
        ? []
        : [
            { years: 0, atRisk: watched, share: 1, low: 1, high: 1 },
            ...survivalOf(ages).steps.map(({ time, atRisk, survival, low, high }) => ({
              years: time,
              atRisk,
              share: survival,
              low,
              high,
            })),
          ],
  }
}

async function reliabilityPage(ask: Ask, looked: Looked) {
  const { actor, scope, query } = ask
  const asked = query as unknown as Question
  const { criteria } = await findPolicy(scope)
  const dimensions = RELIABILITY_DIMENSIONS.filter(
    (one) => one !== 'technician' || sightOfPersons(actor.role, criteria) !== 'none',
  )
  const { all, tooFewEvents } = looked.reliability
  const { causes, firstPass, survival, months } = await overview(
    ask,
    looked.span,
    looked.ownOnly ? (looked.own ?? NOT_KNOWN) : undefined,
  )
  const usual = looked.groups.some(({ flagged }) => flagged) ? await listServedLately(scope, USUAL_OF) : []
  const shown: ShownGroup[] = []
  for (const group of looked.groups)
    shown.push({
      ...group,
      label: looked.label(group.key),
      href: `/reliability/joints?${searchOf(asked)}&key=${encodeURIComponent(group.key)}`,
      shared: group.flagged ? await sharedBy(ask, looked, group.key, usual, dimensions) : [],
      atRiskHref: atRiskOf(asked, group.key, looked.dimensions),
    })
  const named = new Map<string, number>()
  for (const { cause, number } of causes)
    named.set(causeWords(cause), (named.get(causeWords(cause)) ?? 0) + number)
  return ReliabilityPage({
    shell: shellOf(actor, '/reliability'),
    by: asked.by,
    also: asked.also ?? null,
    dimensions,
    groups: shown,
    all: {
      joints: all.joints,
      jointYears: all.jointYears,
      events: all.events,
      rate: all.ratePer1000JointYears,
      low: all.interval?.low ?? null,
      high: all.interval?.high ?? null,
    },
    tooFewEvents,
    ownOnly: looked.ownOnly,
    causes: [...named]
      .map(([label, number]) => ({ label, number }))
      .toSorted((a, b) => b.number - a.number || a.label.localeCompare(b.label, 'en')),
    firstPass,
    months,
    survival,
    form: { values: { from: asked.from ?? '', to: asked.to ?? '' }, errors: [], scope: '' },
  })
}

/** In what else do the leaks of a group agree, where its other joints do not? Of those, the ones made last are looked at. */
async function sharedBy(
  { scope }: Ask,
  looked: Looked,
  key: string,
  usual: readonly Life[],
  dimensions: readonly ReliabilityDimension[],
): Promise<string[]> {
  const own = looked.dimensions
  const group = groupOf(own, key)
  const leaking = await listLeakedOf(scope, group, looked.span, MOST_JOINTS)
  const tight = usual.filter((life) => life.leakAt === null && keyFor(life, own, life.flaredBy) === key)
  const members = [...leaking, ...tight]
  return dimensions
    .filter((one) => !own.includes(one) && one !== 'technician' && one !== 'month')
    .flatMap((one) => {
      const values = (ones: readonly Life[]) => ones.map((life) => labelOf(one, KEY_OF[one](life), NO_NAMES))
      const found = values(leaking)
      const [value] = found
      const alike = found.filter((other) => other === value).length
      const share = values(members).filter((other) => other === value).length / members.length
      if (value === undefined || value === 'not on record' || alike < found.length || share > 0.8) return []
      return [say.reliability.allAtWhichOf(found.length, value, Math.round(100 * share))]
    })
}
/** Tools by name add nothing here: where they stand out, they are a group of their own. */
const NO_NAMES = new Map<string, string>()
