// How does a job of the story get on record? As its people would have done it, each act at its own time.

import { answerQuestion } from '../server/commands/audit/answer-question.ts'
import { askQuestion } from '../server/commands/audit/ask-question.ts'
import type { Machinery } from '../server/commands/command.ts'
import { openJob } from '../server/commands/jobs/open-job.ts'
import { addSite } from '../server/commands/places/add-site.ts'
import { grantConcession } from '../server/commands/release/grant-concession.ts'
import { judgeJob } from '../server/commands/release/judge-job.ts'
import { reopenJob } from '../server/commands/release/reopen-job.ts'
import { sendBackJob } from '../server/commands/release/send-back-job.ts'
import { signOffJob } from '../server/commands/release/sign-off-job.ts'
import { submitJob } from '../server/commands/release/submit-job.ts'
import { type Finding, isReleased } from '../server/rules/finding.ts'
import { listEntriesAbout } from '../server/store/queries/entries.ts'
import { scopeOf } from '../server/store/store.ts'
import { tellCallback } from './callbacks.ts'
import type { Kit, SharedTools, Sheet, SheetName } from './equipment.ts'
import { DAY, type Hands, HOUR, iso, MINUTE } from './hands.ts'
import type { Member, Members } from './people.ts'
import { takePhotos } from './pictures.ts'
import type { Asked, JobStory, Reasons, When } from './story.ts'
import * as work from './work.ts'

/** A company with everything it needs to work. */
export interface AtWork extends Omit<Hands, 'by'> {
  machinery: Machinery
  members: Members
  kits: Record<string, Kit>
  /** Tools that the company has once. */
  shared: Partial<SharedTools>
  sheets: Partial<Record<SheetName, Sheet>>
  /** Where the story ends: nothing in it is later. */
  now: number
}

/** The moment of the story, in the time of the place where the demo is started. */
export function momentOf(when: When, now: number): number {
  if ('minutesAgo' in when) return now - when.minutesAgo * MINUTE
  const day = new Date(now)
  day.setHours(0, 0, 0, 0)
  day.setDate(day.getDate() - when.daysAgo)
  return day.getTime() + when.hour * HOUR
}

/**
 * Tells one job. Each time it yields the moment at which it goes on, so that several jobs can be told in the order
 * in which their people acted.
 */
export async function* tellJob(company: AtWork, story: JobStory): AsyncGenerator<number, void, void> {
  const { run, clock, now } = company
  const visitAt = momentOf(story.visit, now)
  yield visitAt - DAY
  const [first, second = first] = story.crew.map((key) => memberOf(company, key))
  if (!first || !second) throw new Error(`${story.reference} has no crew.`)
  const carried = company.kits[story.crew[0]]
  const borrowed = (story.borrows ?? []).map((tool) => [tool, company.shared[tool]])
  const kit: Kit | undefined = carried && { ...carried, ...Object.fromEntries(borrowed) }
  const sheet = company.sheets[story.sheet]
  if (!kit || !sheet) throw new Error(`${story.reference} lacks a kit or its sheet.`)
  const office = Object.values(company.members).find(({ role }) => role === 'manager') ?? ownerOf(company)

  const site = await run(office, addSite, {
    customerName: story.customer,
    address: story.address,
    contact: story.contact,
    elevation: { value: story.elevationM, unit: 'm' },
  })
  clock.pass(4 * MINUTE)
  const scheduledFor = story.end.is === 'opened' ? visitAt + story.end.scheduledInDays * DAY : visitAt
  const job = await run(office, openJob, {
    siteId: site.id,
    kind: 'installation',
    reference: story.reference,
    assignedTo: first.memberId,
    scheduledFor: iso(scheduledFor),
  })

  yield visitAt
  const hands: Hands = { ...company, by: first }
  const laid = await work.laySystem(hands, {
    jobId: job.id,
    name: story.system,
    sheet,
    serial: serialOf(story.reference),
    zones: story.zones,
    elevationM: story.elevationM,
    jointKind: story.jointKind,
  })
  if (story.end.is === 'opened') return

  const makes = new Map<string, string>()
  const reached = story.end.is === 'at-the-joints' ? story.end.joints : null
  for (const joint of work.fieldJoints(laid)) {
    if (reached && !reached.includes(joint.name)) continue
    clock.pass(MINUTE)
    const by = joint.indoors ? second : first
    makes.set(
      joint.name,
      await work.recordJoint({ ...hands, by }, laid, joint, kit, story.joints?.[joint.name]),
    )
  }
  if (reached) return

  clock.pass(10 * MINUTE)
  const underTest = story.end.is === 'under-test'
  await work.testPressure(hands, laid, kit, story.pressure, underTest)
  if (underTest) return

  let repeatOf: string | undefined
  for (const vacuum of story.vacuum) {
    clock.pass(6 * MINUTE)
    const told = repeatOf === undefined ? vacuum : { ...vacuum, repeatOf }
    repeatOf = await work.evacuate(hands, laid, kit, told, story.pressure.toC)
  }
  const cylinder = story.end.is === 'sent-back' ? {} : { cylinder: `CYL-${story.reference.slice(-3)}7` }
  await work.charge(hands, laid, kit, cylinder)
  await work.checkWithDetector({ ...hands, by: second }, laid, kit, story.running.roomC)
  await work.closePorts(hands, laid, kit)
  await work.checkRunning(hands, laid, story.running)
  clock.pass(5 * MINUTE)
  if (story.photos) await takePhotos(hands, laid, scopeOf(company.machinery.store.reader(), first.companyId))
  const requests = 'requests' in story.end ? story.end.requests : undefined
  await run(first, submitJob, {
    jobId: job.id,
    requests: await askedFor(company, first, job.id, story.reference, requests),
  })
  yield* release(company, story, { job, laid, makes, kit, first })
}

export interface OnRecord {
  job: { id: string; siteId: string }
  laid: work.Laid
  makes: ReadonlyMap<string, string>
  kit: Kit
  first: Member
}

/** What the office does with a submitted job. */
async function* release(
  company: AtWork,
  story: JobStory,
  { job, laid, makes, kit, first }: OnRecord,
): AsyncGenerator<number, void, void> {
  const { run, now, clock } = company
  const { end } = story
  if (end.is === 'sent-back') {
    yield momentOf(end.sentBack.at, now)
    await run(memberOf(company, end.sentBack.by), sendBackJob, { jobId: job.id, reason: end.sentBack.reason })
    return
  }
  if (end.is === 'waiting' && end.asked) yield* askAndAnswer(company, end.asked, { job, laid, first })
  if (end.is !== 'signed-off' && end.is !== 'reopened') return

  yield momentOf(end.at, now)
  const manager = memberOf(company, end.by)
  const grants = end.is === 'signed-off' ? end.grants : undefined
  for (const grant of await askedFor(company, manager, job.id, story.reference, grants)) {
    await run(manager, grantConcession, { jobId: job.id, ...grant })
    clock.pass(2 * MINUTE)
  }
  await run(manager, signOffJob, { jobId: job.id })
  if (story.cameBack) yield* tellCallback(company, story, story.cameBack, { job, laid, makes, kit, first })
  if (end.is !== 'reopened') return

  yield momentOf(end.reopened.at, now)
  await run(memberOf(company, end.reopened.by), reopenJob, { jobId: job.id, reason: end.reopened.reason })
  yield momentOf(end.tightened.at, now)
  const joint = laid.joints.find(({ name }) => name === end.tightened.joint)
  const makeId = makes.get(end.tightened.joint)
  if (!joint || !makeId) throw new Error(`${story.reference} has no joint ${end.tightened.joint}.`)
  await work.tighten({ ...company, by: first }, laid, joint, makeId, kit, end.tightened.torqueNm)
}

/** A question about the torque of a joint, bound to the entry that brought it. */
async function* askAndAnswer(
  company: AtWork,
  asked: Asked,
  { job, laid, first }: Pick<OnRecord, 'job' | 'laid' | 'first'>,
): AsyncGenerator<number, void, void> {
  const { run, now, machinery } = company
  const joint = laid.joints.find(({ name }) => name === asked.joint)
  if (!joint) throw new Error(`There is no joint ${asked.joint}.`)
  const entries = await listEntriesAbout(scopeOf(machinery.store.reader(), first.companyId), joint.id)
  const entry = entries.findLast(({ kind }) => kind === 'torque-recorded')
  if (!entry) throw new Error(`${asked.joint} has no torque to be asked about.`)
  yield momentOf(asked.at, now)
  const question = await run(memberOf(company, asked.by), askQuestion, {
    jobId: job.id,
    entryId: entry.id,
    words: asked.words,
  })
  if (!asked.answered) return
  yield momentOf(asked.answered.at, now)
  await run(first, answerQuestion, { questionId: question.id, words: asked.answered.words })
}

/** One request or grant for each finding that holds the job and that the story has a reason for. */
async function askedFor(
  company: AtWork,
  member: Member,
  jobId: string,
  reference: string,
  reasons: Reasons = {},
) {
  const scope = scopeOf(company.machinery.store.reader(), member.companyId)
  const { findings } = await judgeJob(scope, jobId, company.clock.now)
  const held = findings.filter((finding) => !isReleased(finding))
  return held.map((finding) => {
    const reason = reasons[finding.requirement]
    if (reason === undefined) throw new Error(`${reference} is held: ${inWords(finding)}`)
    return { requirement: finding.requirement, subjectId: finding.subject.id, reason }
  })
}

const inWords = ({ requirement, subject, outcome, reason }: Finding) =>
  `${requirement} of ${subject.name} is ${outcome}: ${reason}`

export function memberOf(company: AtWork, key: string): Member {
  const member = company.members[key]
  if (!member) throw new Error(`Nobody in the story is called ${key}.`)
  return member
}

function ownerOf(company: AtWork): Member {
  const owner = Object.values(company.members).find(({ role }) => role === 'owner')
  if (!owner) throw new Error('This company has no owner.')
  return owner
}

/** Ends differently for each job: the public page of a certificate shows the last four characters alone. */
const serialOf = (reference: string) => `731${reference.replaceAll(/[^0-9]/g, '')}`

/** Goes through several jobs as they happened, the earliest act first. */
export async function inOrderOfTime(
  clock: Hands['clock'],
  jobs: AsyncGenerator<number, void, void>[],
): Promise<void> {
  const waiting: { at: number; order: number; job: AsyncGenerator<number, void, void> }[] = []
  const next = async (job: AsyncGenerator<number, void, void>, order: number) => {
    const { value, done } = await job.next()
    if (!done) waiting.push({ at: value, order, job })
  }
  for (const [order, job] of jobs.entries()) await next(job, order)
  while (waiting.length > 0) {
    waiting.sort((a, b) => a.at - b.at || a.order - b.order)
    const first = waiting.shift()
    if (!first) return
    clock.now = first.at
    await next(first.job, first.order)
  }
}
