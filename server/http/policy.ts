// By which criteria does the company judge, and who changed them why?

import type { z } from 'zod'
import type { FormState } from '../../views/parts/field.tsx'
import { PolicyPage } from '../../views/people/policy.tsx'
import { PolicyEditPage } from '../../views/people/policy-edit.tsx'
import { type criteria, criteriaJson, sentPath, sentValue } from '../commands/people/criteria.ts'
import { setPolicy } from '../commands/people/set-policy.ts'
import type { Refusal } from '../refusals.ts'
import { looserThanBuiltIn } from '../rules/looser-criteria.ts'
import { BUILT_IN_POLICY, EVIDENCE_PHOTOS, type Policy } from '../rules/policy.ts'
import { findNewestPolicy, listPolicyVersions, type PolicyVersion } from '../store/queries/policy-versions.ts'
import { parseNumber } from '../trade/units.ts'
import { INSTRUMENT_KINDS } from '../vocabulary.ts'
import type { Deps } from './deps.ts'
import { expand, type Fields } from './form.ts'
import { instant } from './json.ts'
import {
  byRequirement,
  countsOf,
  nextOf,
  type PolicyPreview,
  previewInput,
  previewJson,
  previewPolicy,
} from './policy-preview.ts'
import type { Ask, Resource } from './resource.ts'
import { messageOf } from './session.ts'
import { shellOf } from './shell.ts'

export function policyResource(resource: Resource, deps: Deps): void {
  resource.read({
    path: '/policy',
    name: 'find-policy',
    summary: 'The criteria in force, what is built in, and what is looser.',
    capability: 'set-policy',
    load: ({ scope }) => listPolicyVersions(scope, 200),
    json: ([newest]) => (newest ? policyJson(newest) : {}),
    page: (versions, { actor }) =>
      PolicyPage({
        shell: shellOf(actor, '/crew'),
        versions: versions.map(({ version, criteria, reason, changedByName, createdAt }) => ({
          version,
          criteria: criteriaJson(criteria),
          reason,
          changedByName,
          createdAt,
        })),
        inForce: criteriaJson(versions[0]?.criteria ?? BUILT_IN_POLICY),
        builtIn: criteriaJson(BUILT_IN_POLICY),
        looser: looserThanBuiltIn(versions[0]?.criteria ?? BUILT_IN_POLICY).map(({ path }) => sentPath(path)),
      }),
  })

  resource.read({
    path: '/policy/edit',
    name: 'edit-policy',
    summary: 'The page to set criteria on.',
    capability: 'set-policy',
    load: ({ scope }) => findNewestPolicy(scope),
    page: (policy, ask) => editPage(ask, policy),
  })

  resource.compute({
    path: '/policy/preview',
    name: 'preview-policy',
    summary:
      'What would change for the jobs of the last days, if these criteria were set. Nothing is kept of it.',
    capability: 'set-policy',
    input: previewInput,
    compute: (input, { scope }) => previewPolicy(scope, input, deps.machinery.clock()),
    json: previewJson,
    page: {
      input: previewForm,
      show: async (form, preview, ask, refusal) => {
        const policy = await findNewestPolicy(ask.scope)
        const asked = Object.keys(form.values).length > 0
        return editPage(ask, policy, asked ? form : undefined, refusal, preview ?? undefined)
      },
    },
  })

  resource.write({
    method: 'PUT',
    path: '/policy',
    command: setPolicy,
    json: (policy) => policyJson(policy),
    page: {
      input: readForm,
      goTo: () => '/policy',
      again: async (form, refusal, ask) => editPage(ask, await findNewestPolicy(ask.scope), form, refusal),
    },
  })
}

const editPage = (
  { actor }: Ask,
  { version, criteria }: PolicyVersion,
  form?: FormState,
  refusal?: Refusal,
  preview?: PolicyPreview,
) =>
  PolicyEditPage({
    shell: shellOf(actor, '/crew'),
    version,
    criteria: criteriaJson(criteria),
    instruments: INSTRUMENT_KINDS,
    photos: EVIDENCE_PHOTOS,
    form,
    refused: refusal && messageOf(refusal),
    preview: preview && {
      ...preview,
      ...countsOf(preview),
      requirements: byRequirement(preview),
      nextHref:
        nextOf(preview) === null
          ? undefined
          : `/policy/preview?${new URLSearchParams({ ...form?.values, 'from#': String(nextOf(preview)) })}`,
    },
  })

/** The form of the criteria, sent to be tried: its reason and version belong to setting them. */
function previewForm(fields: Fields): Record<string, unknown> {
  const { reason: _reason, basedOnVersion: _version, ...input } = readForm(fields)
  return input
}

/** What a form can't say: nothing where null is meant, lists out of ticks and lines. */
function readForm(fields: Fields): Record<string, unknown> {
  const input = expand(fields)
  const sent = within(input, 'criteria')
  const vacuum = within(sent, 'vacuum')
  vacuum.leakRate ??= null
  const days = within(sent, 'confirmationDays')
  for (const kind of INSTRUMENT_KINDS) days[kind] ??= null
  const bubbles = within(sent, 'bubbleSensitivity')
  if (Object.keys(bubbles).length === 0) sent.bubbleSensitivity = null
  sent.torqueSet = torqueSetOf(within(sent, 'torqueSet'))
  const photos = within(within(sent, 'evidence'), 'photos')
  within(sent, 'evidence').photos = EVIDENCE_PHOTOS.filter((photo) => photos[photo] === 'true')
  sent.handlerSchemes = String(sent.handlerSchemes ?? '')
    .split('\n')
    .map((line) => line.trim())
    .filter((line) => line !== '')
  return input
}

/** "6.35 14 18" a line: tube in mm, torque from and to in N·m. A line that is none is left as it is, to be refused. */
function torqueSetOf(typed: Record<string, unknown>): Record<string, unknown> | null {
  const lines = String(typed.ranges ?? '')
    .split('\n')
    .map((line) => line.trim())
    .filter((line) => line !== '')
  if (lines.length === 0 && typed.source === undefined) return null
  const read = lines.map((line) => line.split(/[\s;]+/).map((figure) => parseNumber(figure)))
  const ranges = read.map(([tube, low, high]) => ({
    tubeOd: { value: tube, unit: 'mm' },
    low: { value: low, unit: 'N.m' },
    high: { value: high, unit: 'N.m' },
  }))
  const wrong = read.some((figures) => figures.length !== 3 || figures.includes(null))
  return { ...typed, ranges: wrong ? typed.ranges : ranges }
}

function within(of: Record<string, unknown>, name: string): Record<string, unknown> {
  const inner = of[name]
  const found = typeof inner === 'object' && inner !== null ? (inner as Record<string, unknown>) : {}
  of[name] = found
  return found
}

function policyJson(policy: PolicyVersion) {
  return {
    version: policy.version,
    criteria: criteriaJson(policy.criteria),
    reason: policy.reason,
    changedBy: policy.changedBy,
    createdAt: instant(policy.createdAt),
    builtIn: criteriaJson(BUILT_IN_POLICY),
    looserThanBuiltIn: looserJson(policy.criteria),
  }
}

export type SentCriteria = z.input<typeof criteria>

/** In the names and units in which criteria are sent. */
export function looserJson(policy: Policy) {
  const set = criteriaJson(policy)
  const builtIn = criteriaJson(BUILT_IN_POLICY)
  return looserThanBuiltIn(policy).map((criterion) => {
    const path = sentPath(criterion.path)
    return { path, builtIn: sentValue(builtIn, path), set: sentValue(set, path) }
  })
}
