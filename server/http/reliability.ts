// Which joints come back: groups by what they share, as a page and as JSON, and the joints behind a group.

import { z } from 'zod'
import { causeWords } from '../../views/callbacks/words.ts'
import { flareMethodWords } from '../../views/joints/step-words.ts'
import { GroupJoints } from '../../views/reliability/joints.tsx'
import { ReliabilityPage, type ShownGroup } from '../../views/reliability/show.tsx'
import { forbidden, malformedField } from '../refusals.ts'
import {
  type JointInService,
  judgeReliability,
  type Reliability,
  type ReliabilityGroup,
  survivalOf,
} from '../rules/judge-reliability.ts'
import type { Policy } from '../rules/policy.ts'
import { jointKindWords, tubeName } from '../rules/wording.ts'
import { listCrewPeople } from '../store/queries/dossier.ts'
import { listInstrumentNames } from '../store/queries/instruments.ts'
import { findPolicy } from '../store/queries/policy.ts'
import {
  countFirstFlares,
  listFoundCauses,
  listMadeJoints,
  type MadeJoint,
} from '../store/queries/reliability.ts'
import { wilsonInterval } from '../trade/wilson.ts'
import { RELIABILITY_DIMENSIONS, type ReliabilityDimension, type Role } from '../vocabulary.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import type { Deps } from './deps.ts'
import { instant } from './json.ts'
import type { Ask, Resource } from './resource.ts'
import { shellOf } from './shell.ts'
import { placeWords } from './strip-of.ts'

const dimension = z.enum(RELIABILITY_DIMENSIONS, {
  error: () => say.reliability.useOneOf(RELIABILITY_DIMENSIONS.join(', ')),
})
const day = z
  .string()
  .regex(/^\d{4}-\d{2}-\d{2}$/, { error: () => say.reliability.writeItAs2026 })
  .refine((text) => !Number.isNaN(Date.parse(text)), { error: () => say.reliability.thereIsNoSuch })
const empty = z.literal('').transform(() => undefined)
const question = z.object({
  by: dimension.default('position'),
  also: dimension.or(empty).optional().meta({ description: 'A second way to group, for pairs.' }),
  from: day.or(empty).optional(),
  to: day.or(empty).optional().meta({ description: 'The last day that counts.' }),
})
type Question = z.output<typeof question>

const groupQuestion = question.extend({
  key: z.string().max(400).default('').meta({ description: 'Of the group; left out, all joints.' }),
})

const DAY_MS = 86_400_000
const MOST_JOINTS = 300

/** What is known of the joints, and how this reader may see them. */
interface Looked {
  joints: MadeInService[]
  reliability: Reliability
  groups: ReliabilityGroup[]
  labels: Map<string, string>
  ownOnly: boolean
}

interface MadeInService extends JointInService {
  made: MadeJoint
}

export function reliabilityResource(resource: Resource, _deps: Deps): void {
  resource.read({
    path: '/reliability',
    name: 'reliability',
    summary:
      'Leaks per joint-year by what joints share, flagged only where the evidence holds against chance.',
    query: question,
    load: (ask) => look(ask, ask.query as unknown as Question),
    json: ({ groups, labels }) => groups.map((group) => groupJson(group, labels)),
    page: (looked, ask) => reliabilityPage(ask, looked),
  })

  resource.read({
    path: '/reliability/joints',
    name: 'reliability-joints',
    summary: 'The joints of one group, those that leaked first.',
    query: groupQuestion,
    load: (ask) => look(ask, ask.query as unknown as Question),
    json: (looked, ask) =>
      jointsOf(looked, ask).map(({ made, leak }) => ({
        jointId: made.jointId,
        tag: made.tag,
        systemId: made.systemId,
        madeAt: instant(made.madeAt),
        signedOffAt: instant(made.signedOffAt),
        endedAt: made.endedAt === null ? null : instant(made.endedAt),
        leak: leak && { callbackId: leak.callbackId, at: instant(leak.at), cause: made.leak?.cause ?? '' },
      })),
    page: (looked, ask) => {
      const joints = jointsOf(looked, ask)
      return GroupJoints({
        shell: shellOf(ask.actor, '/reliability'),
        label:
          ask.query.key === ''
            ? say.reliability.allJoints2
            : (looked.labels.get(ask.query.key ?? '') ?? say.reliability.noSuchGroup),
        back: `/reliability?${searchOf(ask.query as unknown as Question)}`,
        count: joints.length,
        joints: joints.slice(0, MOST_JOINTS).map(({ made }) => ({
          ...made,
          place: placeWords(made),
          leak: made.leak && { ...made.leak, cause: causeWords(made.leak.cause) },
        })),
      })
    },
  })
}

const groupJson = (group: ReliabilityGroup, labels: Map<string, string>) => ({
  key: group.key,
  label: labels.get(group.key) ?? group.key,
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
  const from = asked.from === undefined ? 0 : Date.parse(asked.from)
  const to = asked.to === undefined ? now : Math.min(now, Date.parse(asked.to) + DAY_MS)
  if (to <= from) throw malformedField('to', say.reliability.thatIsBeforeIt)
  const { criteria } = await findPolicy(scope)
  const byPerson = by === 'technician' || also === 'technician'
  const sight = byPerson ? sightOfPersons(actor.role, criteria) : 'all'
  if (sight === 'none') throw forbidden(say.reliability.figuresByPersonAre)
  const crew = await listCrewPeople(scope)
  const names = new Map([
    ...(await listInstrumentNames(scope)).map(({ id, name }) => [id, name] as const),
    ...crew.map(({ id, name }) => [id, name] as const),
  ])
  const dimensions = also === undefined || also === by ? [by] : [by, also]
  const labels = new Map<string, string>()
  const keyed = (made: MadeJoint, person: string) => {
    const parts = dimensions.map((one) => partOf(one, made, person))
    const key = parts.join('|')
    labels.set(key, dimensions.map((one, index) => labelOf(one, parts[index] ?? '', names)).join(', '))
    return key
  }
  const joints = (await listMadeJoints(scope)).map((made): MadeInService => {
    const performer = made.flaredBy ?? made.madeBy
    const key = keyed(made, performer)
    return {
      made,
      key,
      systemId: made.systemId,
      signedOffAt: made.signedOffAt,
      endAt: made.endedAt ?? now,
      leak: made.leak && {
        callbackId: made.leak.callbackId,
        at: made.leak.at,
        // A wrong torque is whose who pulled it; what is not known is the flare’s.
        key: TORQUE_CAUSES.has(made.leak.cause) ? keyed(made, made.torquedBy ?? performer) : key,
      },
    }
  })
  const reliability = judgeReliability(joints, { from, to })
  const own = crew.find(({ memberId }) => memberId === actor.memberId)?.id
  const at = dimensions.indexOf('technician')
  const isOwn = (key: string) => own !== undefined && key.split('|')[at] === own
  return {
    joints: sight === 'all' ? joints : joints.filter(({ key }) => isOwn(key)),
    reliability,
    groups: sight === 'all' ? reliability.groups : reliability.groups.filter(({ key }) => isOwn(key)),
    labels,
    ownOnly: sight === 'own',
  }
}

const TORQUE_CAUSES: ReadonlySet<string> = new Set(['over-torque', 'under-torque'])
const NOT_KNOWN = 'not-known'

function partOf(by: ReliabilityDimension, made: MadeJoint, person: string): string {
  switch (by) {
    case 'position':
      return `${placeWords(made)}/${coded(made.line)}`
    case 'tubeOd':
      return String(made.tubeOdM)
    case 'kind':
      return made.kind
    case 'flareMethod':
      return made.flareMethod ?? NOT_KNOWN
    case 'flaringTool':
      return made.flaringToolId ?? NOT_KNOWN
    case 'wrench':
      return made.wrenchId ?? NOT_KNOWN
    case 'technician':
      return person
    case 'model':
      return made.model ?? NOT_KNOWN
    case 'refrigerant':
      return made.refrigerant
    case 'month':
      return new Date(made.madeAt).toISOString().slice(0, 7)
  }
}

function labelOf(by: ReliabilityDimension, part: string, names: Map<string, string>): string {
  if (part === NOT_KNOWN)
    return by === 'flareMethod' || by === 'flaringTool'
      ? say.reliability.noFlare
      : say.reliability.notOnRecord
  switch (by) {
    case 'position':
      return part.replace('/', ', ').replace(/(liquid|gas)$/, '$1 line')
    case 'tubeOd':
      return tubeName(Number(part))
    case 'kind':
      return jointKindWords()[part as keyof ReturnType<typeof jointKindWords>] ?? part
    case 'flareMethod':
      return flareMethodWords()[part as keyof ReturnType<typeof flareMethodWords>] ?? part
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

function jointsOf({ joints }: Looked, { query }: Ask): MadeInService[] {
  const leakOf = ({ leak, key }: MadeInService) =>
    leak !== null && (query.key === '' || (leak.key ?? key) === query.key)
  return joints
    .filter((joint) => query.key === '' || joint.key === query.key || leakOf(joint))
    .toSorted((a, b) => Number(leakOf(b)) - Number(leakOf(a)) || b.made.madeAt - a.made.madeAt)
}

async function reliabilityPage({ actor, scope, query }: Ask, looked: Looked) {
  const asked = query as unknown as Question
  const { criteria } = await findPolicy(scope)
  const dimensions = RELIABILITY_DIMENSIONS.filter(
    (one) => one !== 'technician' || sightOfPersons(actor.role, criteria) !== 'none',
  )
  const { all, tooFewEvents } = looked.reliability
  const { accepted, inspected } = await countFirstFlares(scope)
  const causes = new Map<string, number>()
  for (const cause of await listFoundCauses(scope))
    causes.set(causeWords(cause), (causes.get(causeWords(cause)) ?? 0) + 1)
  return ReliabilityPage({
    shell: shellOf(actor, '/reliability'),
    by: asked.by,
    also: asked.also ?? null,
    dimensions,
    groups: looked.groups.map((group): ShownGroup => {
      const key = encodeURIComponent(group.key)
      return {
        ...group,
        label: looked.labels.get(group.key) ?? group.key,
        href: `/reliability/joints?${searchOf(asked)}&key=${key}`,
        shared: group.flagged ? sharedBy(looked, group.key, asked, dimensions) : [],
      }
    }),
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
    causes: [...causes]
      .map(([label, number]) => ({ label, number }))
      .toSorted((a, b) => b.number - a.number || a.label.localeCompare(b.label, 'en')),
    firstPass: inspected === 0 ? null : { accepted, inspected, ...wilsonInterval(accepted, inspected) },
    survival: looked.joints.length === 0 ? [] : stepsOf(looked.joints),
    form: { values: { from: asked.from ?? '', to: asked.to ?? '' }, errors: [], scope: '' },
  })
}

function stepsOf(joints: readonly MadeInService[]) {
  const { steps } = survivalOf(joints)
  const first = { years: 0, atRisk: joints.length, share: 1, low: 1, high: 1 }
  return [
    first,
    ...steps.map(({ time, atRisk, survival, low, high }) => ({
      years: time,
      atRisk,
      share: survival,
      low,
      high,
    })),
  ]
}

/** In what else do the leaks of a group agree, where its other joints do not? */
function sharedBy(
  { joints }: Looked,
  key: string,
  { by, also }: Question,
  dimensions: readonly ReliabilityDimension[],
): string[] {
  const members = joints.filter((joint) => joint.key === key)
  const leaking = members.filter(({ leak }) => leak !== null)
  return dimensions
    .filter((one) => one !== by && one !== also && one !== 'technician' && one !== 'month')
    .flatMap((one) => {
      const values = (ones: readonly MadeInService[]) =>
        ones.map(({ made }) => labelOf(one, partOf(one, made, ''), NO_NAMES))
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
