// What goes on the audit page of a job? Findings first, then part by part what was recorded, beside what it was judged by.

import { h } from 'preact'
import { z } from 'zod'
import {
  type AuditedJoint,
  type AuditedSystem,
  AuditPage,
  type AuditPageProps,
  type PartMarks,
  type ShortFinding,
  type Usual,
} from '../../views/audit/job.tsx'
import { GrantConcession } from '../../views/jobs/release.tsx'
import type { FormState } from '../../views/parts/field.tsx'
import type { JudgedNumberProps } from '../../views/parts/judged-number.tsx'
import type { ShownPhoto } from '../../views/parts/photos.tsx'
import { isOwnWork, ownWorkWords } from '../commands/release/own-work.ts'
import { newId } from '../ids.ts'
import { placeInSpread, type Spread } from '../rules/crew-spread.ts'
import type { Dossier, Joint, Provenance, Step, System } from '../rules/dossier.ts'
import { type Finding, isReleased } from '../rules/finding.ts'
import { instrumentUses } from '../rules/judge-instrument.ts'
import { judgeTorqueStep } from '../rules/judge-torque.ts'
import { isPort, scopeOf as jobScopeOf, leakChecksOf } from '../rules/scope.ts'
import {
  day,
  jointKindWords,
  microns,
  millimetres,
  minutes,
  newtonMetres,
  tubeName,
} from '../rules/wording.ts'
import {
  type AuditMarkRow,
  type AuditThread,
  listAuditMarks,
  listAuditThreads,
} from '../store/queries/audit.ts'
import { type FactEntry, listEntriesOfJob } from '../store/queries/entries.ts'
import { listInstrumentNames } from '../store/queries/instruments.ts'
import { type JobRow, listJobEvents } from '../store/queries/jobs.ts'
import { listPhotosOfJob } from '../store/queries/photos.ts'
import { findSite } from '../store/queries/sites.ts'
import type { AuditSubjectKind } from '../vocabulary.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import { type AuditList, listQueryFrom, loadAuditList, notesOf, searchOf } from './audit-list.ts'
import { riskFigure, riskJson, shownReasons } from './audit-reasons.ts'
import { auditStandingOf, type CrewUsual, crewUsualOf, standingMark } from './audit-standing.ts'
import { type AuditedTest, auditedEvacuation, auditedPressureTest } from './audit-tests.ts'
import { entryWords, threadItems, threadJson } from './audit-threads.ts'
import { correctionsOfJob } from './corrections-of-job.ts'
import { findingItem, findingItems } from './finding-items.ts'
import { findingsOfJob } from './job-findings.ts'
import { summaryOf } from './joint-page.ts'
import { instant } from './json.ts'
import { photoWords } from './photo-slots.ts'
import type { Ask } from './resource.ts'
import { shellOf } from './shell.ts'
import { placeWords, stripOf } from './strip-of.ts'

export const auditQuery = z.object({
  list: z
    .string()
    .max(500)
    .optional()
    .meta({ description: 'The filters of the audit list that it was come to from.' }),
  ask: z.string().max(60).optional().meta({ description: 'The part that a question is asked about.' }),
})

/** For programs: its rank, its marks and its questions; what was recorded is read where it was recorded. */
export async function auditJson(ask: Ask, job: JobRow) {
  const { dossier, findings } = await findingsOfJob(ask.scope, job, ask.now)
  const threads = await listAuditThreads(ask.scope, [job.id])
  const marks = await listAuditMarks(ask.scope, [job.id])
  const standing = await auditStandingOf(ask, job, dossier, threads, marks)
  const names = new Map((await listInstrumentNames(ask.scope)).map(({ id, name }) => [id, name]))
  return {
    jobId: job.id,
    stage: job.stage,
    waitingSince: instant(standing.waitingSince),
    drawn: standing.drawn,
    ...riskJson(standing.risk, names),
    notes: notesOf(standing),
    notMet: findings.filter(({ outcome }) => outcome !== 'met' && outcome !== 'not-applicable'),
    marks: marks.map(markJson),
    questions: threads.map(threadJson),
  }
}

export const markJson = (mark: AuditMarkRow) => ({
  id: mark.id,
  jobId: mark.jobId,
  subjectKind: mark.subjectKind,
  subjectId: mark.subjectId,
  mark: mark.mark,
  note: mark.note,
  markedBy: mark.markedBy,
  markedAt: instant(mark.markedAt),
})

/** Everything that the parts of the page are made from. */
interface Looked {
  ask: Ask
  job: JobRow
  dossier: Dossier
  findings: readonly Finding[]
  threads: readonly AuditThread[]
  marks: readonly AuditMarkRow[]
  entryOf: ReadonlyMap<string, FactEntry>
  entriesAbout: ReadonlyMap<string, readonly FactEntry[]>
  photos: ReadonlyMap<string, readonly ShownPhoto[]>
  usual: CrewUsual
  /** Of whatever was done before it nothing was mended. */
  sentBackAt: number | null
  mayMark: boolean
  /** The part that a question is asked about now. */
  asked: string | null
  member(memberId: string): string
  person(crewId: string): string
}

export async function auditPage(ask: Ask, job: JobRow, form?: FormState, note?: string) {
  const { scope, now, actor } = ask
  const { dossier, findings } = await findingsOfJob(scope, job, now)
  const systemIds = dossier.systems.map(({ id }) => id)
  const members = new Map(dossier.crew.flatMap(({ memberId, name }) => (memberId ? [[memberId, name]] : [])))
  const people = new Map(dossier.crew.map(({ id, name }) => [id, name]))
  const member = (id: string) => members.get(id) ?? 'somebody'
  const events = await listJobEvents(scope, job.id)
  const entries = await listEntriesOfJob(scope, systemIds, job.id)
  const threads = await listAuditThreads(scope, [job.id])
  const marks = await listAuditMarks(scope, [job.id])
  const own = await isOwnWork(scope, dossier, actor.memberId)
  const isOwn = own && !dossier.policy.selfSignOff
  const looked: Looked = {
    ask,
    job,
    dossier,
    findings,
    threads,
    marks,
    entryOf: new Map(entries.flatMap((entry) => entry.factIds.map((id) => [id, entry] as const))),
    entriesAbout: byKey(entries, ({ subjectId }) => subjectId),
    photos: await photosBySubject(ask, job.id, member),
    usual: await crewUsualOf(ask),
    sentBackAt: events.findLast(({ event }) => event === 'sent-back')?.at ?? null,
    mayMark: job.stage !== 'open' && !isOwn,
    asked: form?.values._part ?? ask.query.ask ?? null,
    member,
    person: (id) => people.get(id) ?? 'somebody',
  }
  const site = await findSite(scope, job.siteId)
  const standing = await auditStandingOf(ask, job, dossier, threads, marks)
  const names = new Map((await listInstrumentNames(scope)).map(({ id, name }) => [id, name]))
  const held = findings.filter((finding) => !isReleased(finding))
  const notMet = findings.filter(({ outcome }) => outcome !== 'met' && outcome !== 'not-applicable')
  const items = await threadItems(ask, threads, {
    nameOf: member,
    systems: dossier.systems,
    from: 'audit',
    list: ask.query.list,
    form,
  })
  const threadsAbout = byKey(items, ({ id }) => threads.find((one) => one.id === id)?.subjectId ?? '')
  const waits = job.stage === 'submitted'
  const props: AuditPageProps = {
    shell: shellOf(actor, '/audit-list'),
    job: {
      id: job.id,
      kind: job.kind,
      reference: job.reference,
      stage: job.stage,
      address: site.address,
      customerName: site.customerName,
      assignedName: dossier.crew.find(({ id }) => id === job.assignedTo)?.name ?? null,
    },
    waits: { since: standing.waitingSince, ms: now - standing.waitingSince },
    risk: riskFigure(standing.risk.score),
    drawn: standing.drawn,
    reasons: shownReasons(standing.risk, names),
    notes: notesOf(standing),
    list: await placeInList(ask, job.id),
    marks: marksOf(looked, 'job', job.id, standing.waitingSince),
    threads: threadsAbout.get(job.id) ?? [],
    openThreads: items
      .filter(({ state }) => state !== 'settled')
      .map(({ id, about, state }) => ({ id, about: about.label, state })),
    notMet: findingItems(notMet, { jobId: job.id, formFor: (finding) => concessionForm(looked, finding) }),
    passed: passedOf(findings),
    corrections: await correctionsOfJob(ask, job, dossier, member),
    systems: dossier.systems.map((system) => systemPart(looked, system, threadsAbout)),
    instruments: instrumentsOf(looked),
    photos: looked.photos.get(job.id) ?? [],
    events: events.map((event) => ({
      event: event.event,
      at: event.at,
      who: member(event.memberId),
      reason: event.detail.reason ?? null,
      about: (event.detail.subjects ?? []).map((id) => subjectName(findings, id)),
    })),
    release: {
      mayMark: looked.mayMark,
      maySignOff: waits && !isOwn && held.length === 0,
      maySendBack: waits,
      held: held.length,
      openQuestions: items.filter(({ state }) => state !== 'settled').length,
      notBecause: isOwn && job.stage !== 'open' ? ownWorkWords(say.auditPage.acceptsConcedesAndSigns) : null,
    },
    usualJobs: looked.usual.jobs,
    form,
    note: note ?? null,
  }
  return AuditPage(props)
}

function byKey<T>(all: readonly T[], keyOf: (one: T) => string): Map<string, T[]> {
  const map = new Map<string, T[]>()
  for (const one of all) {
    const list = map.get(keyOf(one)) ?? []
    list.push(one)
    map.set(keyOf(one), list)
  }
  return map
}

const subjectName = (findings: readonly Finding[], id: string): string =>
  findings.find(({ subject }) => subject.id === id)?.subject.name ?? say.auditPage.somethingThatIsNo

/** The jobs before and after it in the list that the reader came from. */
async function placeInList(ask: Ask, jobId: string): Promise<AuditPageProps['list']> {
  const search = ask.query.list ?? ''
  const plain = { search, previous: null, next: null, place: null }
  if (ask.query.list === undefined) return plain
  const list: AuditList = await loadAuditList(ask, listQueryFrom(search))
  const at = list.standings.findIndex(({ job }) => job.id === jobId)
  const cleaned = searchOf(list.query)
  // What is gone from the list, since it was just accepted, has the top of it next.
  if (at < 0) return { ...plain, search: cleaned, next: list.standings[0]?.job.id ?? null }
  return {
    search: cleaned,
    previous: list.standings[at - 1]?.job.id ?? null,
    next: list.standings[at + 1]?.job.id ?? null,
    place: { at: at + 1, of: list.standings.length },
  }
}

async function photosBySubject(
  { scope }: Ask,
  jobId: string,
  member: (id: string) => string,
): Promise<Map<string, ShownPhoto[]>> {
  const rows = await listPhotosOfJob(scope, jobId)
  const shown = byKey(rows, ({ subjectId }) => subjectId ?? jobId)
  return new Map(
    [...shown].map(([subjectId, photos]) => [
      subjectId,
      photos.map((photo) => ({
        id: photo.id,
        alt: photoWords(photo.shows, say.auditPage.photo),
        takenAt: photo.takenAt,
        addedAt: photo.recordedAt,
        who: member(photo.recordedBy),
      })),
    ]),
  )
}

/** How often each requirement is met; what is not met stands above with all it says. */
function passedOf(findings: readonly Finding[]): AuditPageProps['passed'] {
  const rows = new Map<string, AuditPageProps['passed'][number]>()
  for (const { requirement, title, outcome, reason } of findings) {
    const row = rows.get(requirement) ?? {
      requirement,
      title,
      met: 0,
      notMet: 0,
      notApplicable: 0,
      why: null,
    }
    if (outcome === 'met') row.met += 1
    else if (outcome === 'not-applicable') {
      row.notApplicable += 1
      row.why ??= reason
    } else row.notMet += 1
    rows.set(requirement, row)
  }
  return [...rows.values()]
}

function concessionForm({ job, mayMark }: Looked, finding: Finding) {
  if (isReleased(finding) || !finding.concedable || job.stage !== 'submitted' || !mayMark) return null
  return h(GrantConcession, {
    jobId: job.id,
    id: newId(),
    requirement: finding.requirement,
    subjectId: finding.subject.id,
    from: 'audit',
  })
}

// ---------------------------------------------------------------- marks

function marksOf(
  looked: Looked,
  kind: AuditSubjectKind,
  id: string,
  changedAt: number,
  /** What the record's entries name in its place: a system's charges and checks. */
  entered: readonly string[] = [id],
): PartMarks {
  const own = looked.marks.filter(({ subjectId }) => subjectId === id)
  const standing = standingMark(own, changedAt)
  const last = own.at(-1)
  const hasOpen = looked.threads.some(
    (thread) => thread.state !== 'settled' && (kind === 'job' || thread.subjectId === id),
  )
  return {
    kind,
    id,
    accepted: standing && {
      who: looked.member(standing.markedBy),
      at: standing.markedAt,
      note: standing.note,
    },
    changedSince: standing === null && last?.mark === 'accepted',
    mended: looked.sentBackAt !== null && kind !== 'job' && changedAt > looked.sentBackAt,
    mayMark: looked.mayMark,
    hasOpenQuestion: hasOpen,
    freshId: newId(),
    ask:
      looked.asked === `${kind}-${id}`
        ? {
            freshId: newId(),
            entries: entered
              .flatMap((one) => looked.entriesAbout.get(one) ?? [])
              .map((entry) => ({ value: entry.id, label: entryWords(entry) })),
          }
        : null,
  }
}

const lastOf = (facts: readonly Pick<Provenance, 'recordedAt'>[]): number =>
  facts.reduce((latest, { recordedAt }) => Math.max(latest, recordedAt), 0)

// ---------------------------------------------------------------- parts

type ThreadsAbout = ReadonlyMap<string, AuditPageProps['threads']>

function systemPart(looked: Looked, system: System, threadsAbout: ThreadsAbout): AuditedSystem {
  const { dossier, job, findings } = looked
  const scoped = jobScopeOf({ ...dossier, systems: [system] }).joints
  const here = (fact: { jobId: string }) => fact.jobId === job.id
  const charges = system.charges.filter(here)
  const checks = system.runningChecks.filter(here)
  // Ports and caps stand together in the system's own part, unless something was asked about one.
  const asksAbout = ({ id }: Joint) => (threadsAbout.get(id) ?? []).length > 0
  const judging = { policy: dossier.policy, sheet: system.sheet, instruments: dossier.instruments }
  const ports = scoped
    .filter(({ joint, leftOut }) => isPort(joint) && leftOut === null && !asksAbout(joint))
    .map(({ joint }) => ({
      joint,
      steps: stepsHere(joint, job.id).map((step) => ({ step, words: summaryOf(step, joint, judging) })),
    }))
  const around = findings.filter(
    ({ subject }) =>
      subject.id === system.id ||
      system.lineSets.some(({ id }) => id === subject.id) ||
      system.units.some(({ id }) => id === subject.id),
  )
  return {
    id: system.id,
    name: system.name,
    refrigerant: system.refrigerant,
    facts: [
      ...system.units
        .filter(({ removedAt }) => removedAt === null)
        .map((unit) => ({
          label: say.auditPage.unit(coded(unit.role)),
          value: say.auditPage.serial(unit.model, unit.serial),
        })),
      {
        label: say.auditPage.equipmentSheet,
        value: system.sheet
          ? `${system.sheet.maker} ${system.sheet.model}`
          : say.auditPage.noneBuiltInFigures,
        ...(system.sheet
          ? { note: say.auditPage.page(system.sheet.source.document, system.sheet.source.page) }
          : {}),
      },
    ],
    strip:
      system.lineSets.length === 0
        ? null
        : stripOf(system, dossier, { hrefOf: (joint) => `#joint-${joint.id}`, caption: 'hidden' }),
    findings: around
      .filter(({ outcome }) => outcome !== 'not-applicable')
      .map((finding) =>
        inALine(finding, job.id, finding.subject.id === system.id ? null : finding.subject.name),
      ),
    work: [
      ...[...charges, ...checks]
        .toSorted((a, b) => a.performedAt - b.performedAt)
        .map((fact) => ({
          ...stamps(looked, fact),
          words:
            'direction' in fact
              ? say.auditPage.charge(
                  coded(fact.direction),
                  fact.massKg === null ? '' : `, ${Number((fact.massKg * 1000).toPrecision(4))} g`,
                )
              : say.auditPage.runningCheck(
                  coded(fact.mode),
                  fact.notPossible ? say.auditPage.notPossible(fact.notPossible.reason) : '',
                ),
          instrument: nameOf(dossier, 'scaleInstrumentId' in fact ? fact.scaleInstrumentId : null),
        })),
      ...ports.flatMap((port) =>
        port.steps.map(({ step, words }) => ({
          ...stamps(looked, step),
          words: `${port.joint.tag}, ${placeWords(port.joint, system.units)}: ${words}`,
          instrument: 'instrumentId' in step.body ? nameOf(dossier, step.body.instrumentId) : null,
        })),
      ),
    ],
    marks: marksOf(
      looked,
      'system',
      system.id,
      lastOf([...charges, ...checks, ...ports.flatMap(({ steps }) => steps.map(({ step }) => step))]),
      [...charges.map(({ id }) => id), ...checks.map(({ id }) => id), ...ports.map(({ joint }) => joint.id)],
    ),
    threads: threadsAbout.get(system.id) ?? [],
    joints: scoped
      .filter(({ joint, leftOut }) => !isPort(joint) || leftOut !== null || asksAbout(joint))
      .map(({ joint, leftOut }) => jointPart(looked, system, joint, leftOut, threadsAbout)),
    tests: [
      ...system.pressureTests
        .filter(here)
        .map((test) => ({ test, shown: auditedPressureTest(test, system, dossier) })),
      ...system.evacuations
        .filter(here)
        .map((test) => ({ test, shown: auditedEvacuation(test, system, dossier) })),
    ].map(({ test, shown }) => ({
      ...shown,
      numbers: numbersOfTest(looked, test.id),
      usual: usualOfTest(looked.usual, shown),
      recorded: stamps(looked, test),
      photos: looked.photos.get(test.id) ?? [],
      marks: marksOf(
        looked,
        shown.kind,
        test.id,
        Math.max(
          test.recordedAt,
          test.concludedAt ?? 0,
          ...test.readings.map(({ correctedAt }) => correctedAt ?? 0),
        ),
      ),
      threads: threadsAbout.get(test.id) ?? [],
    })),
  }
}

/** When it was done, when the service got it, what the phone's clock said, and who it was. */
function stamps({ entryOf, member, person }: Looked, fact: Provenance & { id: string }) {
  const entry = entryOf.get(fact.id)
  const by = person(fact.performedBy)
  const typedBy = member(fact.recordedBy)
  return {
    id: fact.id,
    at: fact.performedAt,
    recordedAt: fact.recordedAt,
    deviceAt: fact.deviceAt,
    who: typedBy === by ? by : say.auditPage.enteredBy(by, typedBy),
    beside: [
      fact.supervisedBy === null ? null : say.auditPage.supervisedBy(person(fact.supervisedBy)),
      fact.witnessedBy === null ? null : say.auditPage.witnessedBy(person(fact.witnessedBy)),
    ].filter((one) => one !== null),
    entry: entry ? entry.number : null,
  }
}

const nameOf = ({ instruments }: Dossier, id: string | null | undefined): string | null =>
  id == null ? null : (instruments.find((one) => one.id === id)?.name ?? say.auditPage.anInstrument)

/** What the section was judged by, beside the test that the judgement rests on. */
function numbersOfTest({ findings, job }: Looked, testId: string): readonly JudgedNumberProps[] {
  const finding = findings.find(
    ({ requirement, evidence }) => OF_TESTS.has(requirement) && evidence.includes(testId),
  )
  return finding ? (findingItem(finding, { jobId: job.id }).numbers ?? []) : []
}
const OF_TESTS: ReadonlySet<string> = new Set(['standing-pressure-held', 'vacuum-held'])

function inALine(finding: Finding, jobId: string, of: string | null): ShortFinding {
  const item = findingItem(finding, { jobId })
  return {
    id: item.id,
    title: item.title,
    of,
    outcome: item.outcome,
    reason: finding.outcome === 'met' ? null : finding.reason,
    numbers: OF_TESTS.has(finding.requirement) ? [] : (item.numbers ?? []),
  }
}

/** Whatever this job recorded of a joint: its makings' steps, and checks that belong to none. */
function stepsHere(joint: Joint, jobId: string): Step[] {
  const made = joint.makes.flatMap((make) => make.steps)
  const known = new Set(made.map(({ id }) => id))
  return [...made, ...leakChecksOf(joint).filter(({ id }) => !known.has(id))].filter(
    (step) => step.jobId === jobId,
  )
}

function jointPart(
  looked: Looked,
  system: System,
  joint: Joint,
  leftOut: string | null,
  threadsAbout: ThreadsAbout,
): AuditedJoint {
  const { dossier, job, findings, usual } = looked
  const judging = { policy: dossier.policy, sheet: system.sheet, instruments: dossier.instruments }
  const makes = joint.makes.filter(
    (make) => make.jobId === job.id || make.steps.some(({ jobId }) => jobId === job.id),
  )
  const current = joint.makes.at(-1)
  const steps = stepsHere(joint, job.id)
  const own = findings.filter(
    ({ subject, outcome }) => subject.id === joint.id && outcome !== 'not-applicable',
  )
  const line = system.lineSets.find(({ id }) => id === joint.lineSetId)
  const rowOf = (step: Step) => ({
    ...stamps(looked, step),
    words: summaryOf(step, joint, judging),
    instrument: 'instrumentId' in step.body ? nameOf(dossier, step.body.instrumentId) : null,
  })
  return {
    id: joint.id,
    tag: joint.tag,
    place: [line?.name, placeWords(joint, system.units), say.auditPage.line(coded(joint.line))]
      .filter(Boolean)
      .join(', '),
    kind: [
      tubeName(joint.tubeOdM),
      jointKindWords()[joint.kind],
      joint.origin === 'field' ? null : coded(joint.origin),
      current ? say.auditPage.making(current.number) : say.auditPage.notMade,
    ]
      .filter(Boolean)
      .join(', '),
    leftOut,
    findings: own.map((finding) => inALine(finding, job.id, null)),
    usual: usualOfJoint(usual, joint, steps, judging),
    steps: steps.filter((step) => step.makeId === current?.id || step.makeId === null).map(rowOf),
    earlier: makes
      .filter((make) => make.id !== current?.id)
      .map((make) => ({
        number: make.number,
        reason: joint.makes.find(({ number }) => number === make.number + 1)?.reason ?? null,
        steps: make.steps.map(rowOf),
      })),
    photos: looked.photos.get(joint.id) ?? [],
    marks: marksOf(looked, 'joint', joint.id, lastOf([...makes, ...steps])),
    threads: threadsAbout.get(joint.id) ?? [],
  }
}

// ---------------------------------------------------------------- what is usual

function usualWords(
  label: string,
  figure: number,
  spread: Spread | null,
  say: (si: number) => string,
): Usual[] {
  if (spread === null) return []
  const place = placeInSpread(figure, spread)
  return [
    {
      label,
      figure: say(figure),
      place,
      low: say(spread.low),
      high: say(spread.high),
      count: spread.count,
    },
  ]
}

function usualOfJoint(
  usual: CrewUsual,
  joint: Joint,
  steps: readonly Step[],
  judging: Parameters<typeof judgeTorqueStep>[2],
): Usual[] {
  const torque = steps.findLast((step) => step.kind === 'torque')
  const inspection = steps.findLast((step) => step.kind === 'inspection')
  const appliedNm = torque?.kind === 'torque' ? judgeTorqueStep(joint, torque.body, judging).appliedNm : null
  const diameterM = inspection?.kind === 'inspection' ? inspection.body.outerDiameterM : null
  const size = joint.tubeOdM.toFixed(5)
  return [
    ...(appliedNm === null
      ? []
      : usualWords(say.auditPage.torque, appliedNm, usual.torqueNm.get(size) ?? null, newtonMetres)),
    ...(diameterM === null
      ? []
      : usualWords(say.auditPage.flare, diameterM, usual.diameterM.get(size) ?? null, millimetres)),
  ]
}

function usualOfTest(usual: CrewUsual, { kind, figure }: AuditedTest): Usual[] {
  if (figure === null) return []
  return kind === 'pressure-test'
    ? usualWords(say.auditPage.heldFor, figure, usual.holdS, minutes)
    : usualWords(say.auditPage.downTo, figure, usual.lowestPa, microns)
}

// ---------------------------------------------------------------- instruments

function instrumentsOf({ dossier, findings }: Looked): AuditPageProps['instruments'] {
  const uses = instrumentUses(dossier)
  return dossier.instruments.flatMap((instrument) => {
    const used = uses.get(instrument.id)
    if (!used) return []
    const first = Math.min(...used.map(({ at }) => at))
    const last = Math.max(...used.map(({ at }) => at))
    const before = instrument.calibrations
      .filter(({ at }) => at <= last)
      .toSorted((a, b) => a.at - b.at)
      .at(-1)
    const finding = findings.find(
      ({ requirement, subject }) => requirement === 'instruments-confirmed' && subject.id === instrument.id,
    )
    return [
      {
        id: instrument.id,
        name: instrument.name,
        kind: coded(instrument.kind),
        serial: instrument.serial,
        uses: used.length,
        from: first,
        to: last,
        calibration: before
          ? `${day(before.at)}, ${coded(before.basis)}, ${coded(before.result)}${before.reference ? `, ${before.reference}` : ''}`
          : say.auditPage.noneOnRecord,
        outcome: finding?.outcome ?? ('not-applicable' as const),
        reason: finding?.reason ?? say.auditPage.noConfirmationIsAsked,
      },
    ]
  })
}
