// Everything that is known of a joint, on one page and for programs: in short, by making, by test, and what is not known.

import type { VNode } from 'preact'
import { type HistoryStep, JointHistoryPage } from '../../views/joints/history.tsx'
import { type Sayings, sentenceOf, unknownWords } from '../../views/joints/history-words.ts'
import type { JudgedNumberProps } from '../../views/parts/judged-number.tsx'
import type { FindingOutcome } from '../../views/parts/mark.tsx'
import { formatWhen } from '../../views/parts/when.tsx'
import { entryWords } from '../../views/systems/entry-words.ts'
import { may } from '../access/capabilities.ts'
import type { Step } from '../rules/dossier.ts'
import { historyOfJoint, instrumentIdsOf, type JointHistory } from '../rules/joint-history.ts'
import { currentMake, isPort, leakChecksOf } from '../rules/scope.ts'
import { tubeName } from '../rules/wording.ts'
import { listCallbacksOfSystem, type WholeCallback } from '../store/queries/callbacks.ts'
import { listPeopleNames } from '../store/queries/certificates.ts'
import { listCorrectionsOfJoint, type StepCorrection } from '../store/queries/corrections.ts'
import { type EntryInBrief, listEntriesAbout } from '../store/queries/entries.ts'
import { listInstrumentsById } from '../store/queries/instruments-used.ts'
import type { RecordedStep } from '../store/queries/joints.ts'
import { listPhotosOf, type PhotoRow } from '../store/queries/photos.ts'
import { findSite, type SiteRow } from '../store/queries/sites.ts'
import { formatNumber, formatQuantity, fromSi, type TorqueUnit, UNIT_LABELS } from '../trade/units.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import { correctionNotes, type MemberWords } from './correction-notes.ts'
import { summaryOf } from './joint-page.ts'
import { instant, instantOrNull, quantityJson } from './json.ts'
import { photosOfJoint } from './photo-slots.ts'
import type { Ask } from './resource.ts'
import { lookAt, type SeenJoint } from './seen-joint.ts'
import { shellOf } from './shell.ts'
import { placeWords, stripOf } from './strip-of.ts'

export interface ToldJoint {
  seen: SeenJoint
  history: JointHistory
  corrections: StepCorrection[]
  entries: EntryInBrief[]
  photos: PhotoRow[]
  /** Of its system, newest first. */
  callbacks: WholeCallback[]
  site: SiteRow
  names: { crew: Map<string, string>; members: Map<string, string> }
}

export async function tellJoint(ask: Ask, jointId: string): Promise<ToldJoint> {
  const { scope } = ask
  const seen = await lookAt(ask, jointId)
  const { joint, system, row } = seen
  const corrections = await listCorrectionsOfJoint(scope, joint.id)
  const photos = await listPhotosOf(scope, [joint.id])
  const callbacks = await listCallbacksOfSystem(scope, row.systemId)
  const known = new Map(seen.judging.instruments.map((one) => [one.id, one]))
  const more = instrumentIdsOf(joint, system).filter((id) => !known.has(id))
  for (const instrument of await listInstrumentsById(scope, more)) known.set(instrument.id, instrument)
  const history = historyOfJoint({
    joint,
    system,
    judging: { ...seen.judging, instruments: [...known.values()] },
    corrections,
    callbacks,
    photos: photos.length,
  })
  return {
    seen,
    history,
    corrections,
    entries: await listEntriesAbout(scope, joint.id),
    photos,
    callbacks,
    site: await findSite(scope, seen.siteId),
    names: await listPeopleNames(scope),
  }
}

/** What the page says in short, for programs: each statement with its sentence, days in UTC. */
export function summaryJson({ history, names }: ToldJoint) {
  const sayings: Sayings = {
    day: (at) => formatWhen({ at, show: 'day', zone: 'UTC' }),
    person: (crewId) => names.crew.get(crewId) ?? 'somebody',
  }
  return {
    summary: history.summary.map((said) => ({
      says: said.says,
      about: said.about,
      tone: said.tone,
      sentence: sentenceOf(said, sayings),
    })),
    unknown: history.unknown.map((one) => ({
      lacks: one.lacks,
      about: one.about,
      sentence: unknownWords(one, sayings),
    })),
    instruments: history.instruments.map((one) => ({
      id: one.id,
      name: one.name,
      serial: one.serial,
      kind: one.kind,
      usedFor: one.usedFor.map(({ id, what, at }) => ({ id, what, at: instant(at) })),
      state: one.state,
      checkThatStood: one.standing && checkJson(one.standing),
      checksSince: one.since.map(checkJson),
    })),
  }
}

const checkJson = (check: { id: string; at: number; result: string; reference: string | null }) => ({
  id: check.id,
  at: instant(check.at),
  result: check.result,
  reference: check.reference,
})

/** Of one test that covered the joint: what it could have seen. */
export const seenByJson = (history: JointHistory, testId: string) => {
  const covering = history.tests.find(({ test }) => test.id === testId)
  return {
    held: quantityJson('time', covering?.holdS ?? null, 's'),
    smallestSeenLeak: quantityJson('mass-rate', covering?.seenKgPerYear ?? null, 'g/yr'),
  }
}

export async function jointHistoryPage(told: ToldJoint, ask: Ask): Promise<VNode> {
  const { seen, history, corrections, entries, callbacks, site, names } = told
  const { joint, system, judging } = seen
  const make = currentMake(joint)
  const person = (crewId: string) => names.crew.get(crewId) ?? 'somebody'
  const member: MemberWords = (memberId, at) =>
    `${names.members.get(memberId) ?? 'somebody'}, ${formatWhen({ at, show: 'day' })}`
  const words = (step: Step) => summaryOf(step, joint, judging)
  const entryOf = new Map(entries.flatMap((entry) => entry.facts.map((fact) => [fact.id, entry] as const)))
  const nameOf = (id: string) => history.instruments.find((one) => one.id === id)?.name
  const stepOf = (step: Step): HistoryStep => {
    const instrumentId = 'instrumentId' in step.body ? step.body.instrumentId : null
    const name = instrumentId === null ? undefined : nameOf(instrumentId)
    return {
      id: step.id,
      kind: step.kind,
      summary: words(step),
      outcome: outcomeOf(step, history),
      who: person(step.performedBy),
      at: step.performedAt,
      recordedAt: step.recordedAt,
      deviceAt: step.deviceAt,
      instrument: instrumentId === null || name === undefined ? null : { id: instrumentId, name },
      entry: entryOf.get(step.id)?.number ?? null,
      judged: judgedOf(step as RecordedStep, history),
      remarks: remarksOf(step, history),
      notes: correctionNotes(step.id, corrections, words, member),
    }
  }
  const inMakings = new Set(joint.makes.flatMap((one) => one.steps.map(({ id }) => id)))
  return JointHistoryPage({
    shell: shellOf(ask.actor, '/search'),
    joint: {
      id: joint.id,
      tag: joint.tag,
      lead: [
        system.lineSets.find((line) => line.id === joint.lineSetId)?.name,
        placeWords(joint, system.units),
        say.jointHistory.line(coded(joint.line)),
        tubeName(joint.tubeOdM),
        coded(joint.kind),
        joint.origin === 'field' ? null : coded(joint.origin),
      ]
        .filter(Boolean)
        .join(' · '),
    },
    system: { id: system.id, name: system.name },
    site: { id: site.id, customerName: site.customerName, address: site.address },
    strip: stripOf(
      {
        ...system,
        lineSets: system.lineSets.filter((line) => !joint.lineSetId || line.id === joint.lineSetId),
        joints: system.joints.filter((one) => isPort(joint) || !isPort(one)),
      },
      { policy: judging.policy, instruments: [...judging.instruments], at: seen.now },
      {
        hrefOf: (one) => `/joints/${one.id}/history`,
        currentJointId: joint.id,
        caption: 'hidden',
      },
    ),
    people: Object.fromEntries(joint.makes.map((one) => [one.performedBy, person(one.performedBy)])),
    summary: history.summary,
    unknown: history.unknown,
    makings: joint.makes
      .toSorted((a, b) => b.number - a.number)
      .map((one) => ({
        id: one.id,
        number: one.number,
        isCurrent: one.id === make?.id,
        at: one.performedAt,
        who: person(one.performedBy),
        job: one.jobId,
        replaced: joint.makes.find(({ number }) => number === one.number + 1)?.reason ?? null,
        steps: one.steps.map(stepOf),
      })),
    checks: leakChecksOf(joint)
      .filter(({ id }) => !inMakings.has(id))
      .map(stepOf),
    instruments: history.instruments,
    tests: history.tests.map(({ test, kind, verdict, holdS, seenKgPerYear, reasons, stale }) => ({
      id: test.id,
      kind,
      at: test.performedAt,
      who: person(test.performedBy),
      atItsEnd: test.verdict,
      today: verdict,
      outcome:
        stale !== null || verdict === null || verdict === 'cannot-tell'
          ? 'open'
          : verdict === 'holds' || verdict === 'tight'
            ? 'met'
            : 'failed',
      holdS,
      seenKgPerYear,
      reasons,
      stale,
    })),
    photos: await photosOfJoint(
      ask,
      { id: joint.id, tag: joint.tag, indoors: joint.indoors && !isPort(joint), stepId: null },
      null,
    ),
    corrections: corrections.map((one) => ({
      id: one.id,
      state: one.state,
      words: words(one.replacement),
      before: words(one.original),
      after: words(one.replacement),
      reason: one.reason,
      who: member(one.requestedBy, one.requestedAt),
    })),
    callbacks: callbacks.map(({ id, reportedAt, symptom, closedAt, findings }) => {
      const here = findings.filter(({ jointId }) => jointId === joint.id)
      return {
        id,
        at: reportedAt,
        symptom,
        isOpen: closedAt === null,
        causes: here.length === 0 ? null : [...new Set(here.map(({ cause }) => cause))],
      }
    }),
    entries: entries.map((entry) => ({
      id: entry.id,
      number: entry.number,
      what: entryWords(entry.kind),
      who:
        entry.memberId === null
          ? say.jointHistory.theConsole
          : (names.members.get(entry.memberId) ?? 'somebody'),
      at: entry.at,
      hash: entry.hash,
    })),
    mayTakeIn: may(ask.actor, 'handle-callback'),
  })
}

function outcomeOf(step: Step, { torques, checks }: JointHistory): FindingOutcome | undefined {
  if (step.kind === 'torque') {
    const verdict = torques.get(step.id)?.judgement.verdict
    return verdict === 'in-range' ? 'met' : verdict === 'not-measured' ? 'open' : 'failed'
  }
  if (step.kind === 'inspection') return step.body.outcome === 'accepted' ? 'met' : 'failed'
  if (step.kind !== 'leak-check') return undefined
  const check = checks.get(step.id)
  if (check?.judgement.verdict === 'leak') return 'failed'
  return check?.judgement.verdict === 'tight' && check.stale === null ? 'met' : 'open'
}

/** The number of a step beside the range that it was judged by. */
function judgedOf(step: RecordedStep, { torques, diameters }: JointHistory): JudgedNumberProps | null {
  if (step.kind === 'torque') {
    const judgement = torques.get(step.id)?.judgement
    if (!judgement || judgement.appliedNm === null) return null
    const unit = (step.typed.reading?.unit ?? 'N.m') as TorqueUnit
    const inUnit = (nm: number) => fromSi('torque', nm, unit)
    const { range } = judgement
    return {
      label: say.jointHistory.torqueAtTheNut,
      value: formatNumber(Number(inUnit(judgement.appliedNm).toPrecision(3))),
      unit: UNIT_LABELS[unit],
      at: inUnit(judgement.appliedNm),
      low: range ? inUnit(range.lowNm) : undefined,
      high: range ? inUnit(range.highNm) : undefined,
      uncertainty: judgement.uncertaintyNm === null ? undefined : inUnit(judgement.uncertaintyNm),
      verdict: judgement.reason,
      outcome:
        judgement.verdict === 'in-range' ? 'met' : judgement.verdict === 'not-measured' ? 'open' : 'failed',
      also: unit === 'N.m' ? undefined : formatQuantity(judgement.appliedNm, 'N.m'),
      source: range?.source,
    }
  }
  const measured = diameters.get(step.id)
  if (!measured) return null
  const { valueM, lowM, highM, source } = measured
  const isIn = (lowM === null || valueM >= lowM) && (highM === null || valueM <= highM)
  const hasBand = lowM !== null || highM !== null
  return {
    label: say.jointHistory.diameterOfTheFlare,
    value: formatNumber(Number((valueM * 1000).toPrecision(3))),
    unit: 'mm',
    at: valueM * 1000,
    low: lowM === null ? undefined : lowM * 1000,
    high: highM === null ? undefined : highM * 1000,
    verdict: hasBand
      ? isIn
        ? say.jointHistory.withinItsBand
        : say.jointHistory.outsideItsBand
      : say.jointHistory.thereIsNoBand,
    outcome: hasBand ? (isIn ? 'met' : 'failed') : 'not-applicable',
    source: source ?? undefined,
  }
}

function remarksOf(step: Step, { torques, checks, instruments }: JointHistory): string[] {
  if (step.kind === 'torque') {
    const rejudged = torques.get(step.id)?.rejudged
    const wrench = instruments.find(({ id }) => id === step.body.instrumentId)
    return rejudged
      ? [say.jointHistory.withTheErrorTaken(wrench?.name ?? say.jointHistory.theWrench, rejudged.reason)]
      : []
  }
  const check = checks.get(step.id)
  if (!check) return []
  const said = check.judgement.verdict === 'tight' ? [] : [check.judgement.reason]
  return check.stale === null ? said : [...said, check.stale]
}

export const entryJson = ({ at, deviceAt, ...entry }: EntryInBrief) => ({
  ...entry,
  at: instant(at),
  deviceAt: instantOrNull(deviceAt),
})
