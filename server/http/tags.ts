// How does a tag on a pipe lead to its joint? Typed or scanned it opens; and the tags of a system can be printed.

import { z } from 'zod'
import { FindTagPage, OtherCompanyPage, type TagChoice } from '../../views/tags/find.tsx'
import { TagSheetPage } from '../../views/tags/sheet.tsx'
import { missing } from '../refusals.ts'
import { crewOfMember } from '../store/queries/crew.ts'
import { type Membership, membershipsOf } from '../store/queries/people.ts'
import { findSite } from '../store/queries/sites.ts'
import { loadSystem, type WholeSystem } from '../store/queries/systems.ts'
import { listJointsByTag, type TaggedJoint } from '../store/queries/tags.ts'
import { scopeOf } from '../store/store.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import { drawQr } from './qr.ts'
import type { Ask, Resource } from './resource.ts'
import { shellOf } from './shell.ts'
import { placeWords } from './strip-of.ts'
import { companyCode, tagLink } from './tag-link.ts'

const tagQuery = z.object({
  tag: z
    .string()
    .max(60, { error: () => say.tags.aTagIsShorter })
    .optional(),
  job: z.string().max(60).optional(),
})

export function tagsResource(resource: Resource): void {
  resource.read({
    path: '/tags',
    name: 'find-tag',
    summary: 'The joints that a tag names, whatever its case, blanks and dashes; each with its open jobs.',
    query: tagQuery,
    load: (ask) => listJointsByTag(ask.scope, ask.query.tag ?? ''),
    json: (joints) => ({ items: joints.map(taggedJson), nextCursor: null }),
    page: (joints, ask) => openOrChoose(ask, joints, ask.query.tag ?? ''),
  })

  resource.read({
    path: '/t/:companyCode/:tag',
    name: 'follow-tag',
    summary: 'Where the picture on a printed tag leads: to the joint, in its company and its job.',
    load: followTag,
    page: ({ company, joints }, ask) =>
      company.companyId === ask.actor.companyId
        ? openOrChoose(ask, joints, ask.params.tag ?? '')
        : OtherCompanyPage({
            shell: shellOf(ask.actor, ''),
            tag: joints[0]?.tag ?? '',
            here: ask.actor.companyName,
            company: { id: company.companyId, name: company.companyName },
            action: `/session/company?next=${encodeURIComponent(tagPath(ask))}`,
          }),
  })

  resource.read({
    path: '/systems/:systemId/tags',
    name: 'tag-sheet',
    summary: 'The tags of a system’s joints, each with the address that its printed picture leads to.',
    load: ({ scope, params }) => loadSystem(scope, params.systemId ?? ''),
    json: ({ joints }, { deps, actor }) => ({
      items: joints
        .filter((joint) => joint.retiredAt === null)
        .map((joint) => ({
          jointId: joint.id,
          tag: joint.tag,
          place: joint.place,
          line: joint.line,
          link: tagLink(deps.config.publicUrl, actor.companyId, joint.tag),
        })),
      nextCursor: null,
    }),
    page: sheetPage,
  })
}

const tagPath = ({ params }: Ask) => `/t/${params.companyCode}/${encodeURIComponent(params.tag ?? '')}`

const taggedJson = ({ id, openJobs, ...joint }: TaggedJoint) => ({
  jointId: id,
  ...joint,
  openJobIds: openJobs.map((job) => job.id),
})

/** The person's own company that the code means, the one they work in first, with what it has under this tag. */
async function followTag(ask: Ask): Promise<{ company: Membership; joints: TaggedJoint[] }> {
  const { deps, actor, params } = ask
  const reader = deps.machinery.store.reader()
  const own = (await membershipsOf(reader, actor.personId))
    // A token speaks for its member in one company alone.
    .filter(({ companyId }) => actor.via === 'session' || companyId === actor.companyId)
    .filter(({ companyId }) => companyCode(companyId) === params.companyCode?.toLowerCase())
    .sort((a, b) => Number(b.companyId === actor.companyId) - Number(a.companyId === actor.companyId))
  for (const company of own) {
    const joints = await listJointsByTag(scopeOf(reader, company.companyId), params.tag ?? '')
    if (joints.length > 0) return { company, joints }
  }
  throw missing(say.tags.thisTag)
}

/** One joint on one job is opened; where there are more, somebody has to say which is meant. */
async function openOrChoose(ask: Ask, joints: readonly TaggedJoint[], typed: string) {
  const [joint, ...others] = joints
  if (joint && others.length === 0) {
    const jobId = await jobMeant(ask, joint)
    if (jobId !== undefined) return jointAt(joint.id, jobId)
  }
  return FindTagPage({
    shell: shellOf(ask.actor, '/jobs'),
    typed,
    jobId: ask.query.job,
    choices: joints.flatMap(choicesOf),
  })
}

const jointAt = (jointId: string, jobId: string | null) =>
  `/joints/${jointId}${jobId === null ? '' : `?job=${jobId}`}`

/** Where somebody came from; else their own open job, else the only one. Undefined where that can't be told. */
async function jobMeant(ask: Ask, { openJobs }: TaggedJoint): Promise<string | null | undefined> {
  if (openJobs.some((job) => job.id === ask.query.job)) return ask.query.job ?? null
  const [only, ...others] = openJobs
  if (others.length === 0) return only?.id ?? null
  const me = await crewOfMember(ask.scope, ask.actor.memberId)
  const mine = openJobs.filter((job) => me !== null && job.assignedTo === me.id)
  return mine.length === 1 ? mine[0]?.id : undefined
}

function choicesOf(joint: TaggedJoint): TagChoice[] {
  const where = say.tags.line(joint.systemName, placeWords(joint), coded(joint.line))
  if (joint.openJobs.length === 0)
    return [{ href: jointAt(joint.id, null), tag: joint.tag, words: say.tags.noJobIsOpen(where) }]
  return joint.openJobs.map((job) => ({
    href: jointAt(joint.id, job.id),
    tag: joint.tag,
    words: say.tags.onThe(where, coded(job.kind), job.reference === null ? '' : ` ${job.reference}`),
    openedAt: job.openedAt,
  }))
}

async function sheetPage({ system, units, lineSets, joints }: WholeSystem, ask: Ask) {
  const { scope, actor, deps, query } = ask
  const site = await findSite(scope, system.siteId)
  const there = joints.filter((joint) => joint.retiredAt === null)
  const marked = there.filter((joint) => query[`_joint.${joint.id}`] === 'yes')
  // By the name somebody gave it, which says which of two boxes it is.
  const boxes = units.map(({ id, role, name }) => ({ id, role, model: name }))
  const names = new Map(lineSets.map((lineSet) => [lineSet.id, lineSet.name]))
  const lineSetOf = (joint: (typeof joints)[number]) =>
    joint.lineSetId === null ? null : (names.get(joint.lineSetId) ?? null)
  const wordsOf = (joint: (typeof joints)[number]) =>
    say.tags.line2(placeWords(joint, boxes), coded(joint.line))
  const printed = marked.length > 0 ? marked : there
  return TagSheetPage({
    shell: shellOf(actor, '/sites'),
    system: { id: system.id, name: system.name },
    address: site.address,
    all: there.map((joint) => ({
      id: joint.id,
      tag: joint.tag,
      group: lineSetOf(joint) ?? say.tags.ofNoLineSet,
      words: wordsOf(joint),
      marked: printed.includes(joint),
    })),
    labels: await Promise.all(
      printed.map(async (joint) => ({
        id: joint.id,
        tag: joint.tag,
        where: lineSetOf(joint),
        words: wordsOf(joint),
        qr: await drawQr(tagLink(deps.config.publicUrl, actor.companyId, joint.tag)),
      })),
    ),
  })
}
