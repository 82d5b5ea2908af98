// What does the record say of one joint, in short, and what does it not say? Facts in, statements out, each with the place
// in the history that it rests on. It judges nothing anew: the verdicts are those of the rules.

import type { CorrectionState, InstrumentKind, LeakCheckMethod, StepKind } from '../vocabulary.ts'
import { inOrder } from './chronology.ts'
import type { Calibration, Evacuation, Joint, Make, PressureTest, Step, System } from './dossier.ts'
import { judgeDiameter } from './flare-accepted.ts'
import { judgeEvacuationTest } from './judge-evacuation.ts'
import { countsAsCheck, type InstrumentJudgement, judgeInstrument } from './judge-instrument.ts'
import { judgeLeakCheck, type LeakCheckJudgement } from './judge-leak-check.ts'
import { judgePressureTest } from './judge-pressure-test.ts'
import { type RecallSpan, type Rejudged, recallSpans, rejudgeTorque } from './judge-recall.ts'
import { type Judging, judgeTorqueStep, type TorqueJudgement } from './judge-torque.ts'
import { currentMake, isPort, leakChecksOf, stepsFor, stepsOf } from './scope.ts'
import { isPressureTest, liesIn, type SectionTest, staleForJoint, staleLeakCheck } from './staleness.ts'

export interface JointFacts {
  joint: Joint
  system: System
  /** With every instrument that was used on the joint and on the tests that covered it. */
  judging: Judging
  /** Of this joint's steps. */
  corrections: readonly { id: string; factId: string; state: CorrectionState }[]
  /** Of its system, each with what was found. */
  callbacks: readonly {
    id: string
    reportedAt: number
    closedAt: number | null
    findings: readonly { jointId: string | null; cause: string }[]
  }[]
  photos: number
}

/** Where a statement's evidence stands in the history: the id of a step, a making, a test, an instrument, a callback. */
export type About = string

export type Tone = 'plain' | 'good' | 'open' | 'bad'

export type Statement = { about: About; tone: Tone } & (
  | { says: 'made'; at: number; by: string; number: number }
  | { says: 'remade'; number: number; reason: string | null }
  | { says: 'not-made' }
  | { says: 'from-factory' }
  | { says: 'was-there-before' }
  | { says: 'retired'; at: number }
  | {
      says: 'flare-inspected'
      accepted: boolean
      diameterM: number | null
      lowM: number | null
      highM: number | null
    }
  | {
      says: 'torque'
      verdict: TorqueJudgement['verdict']
      appliedNm: number | null
      lowNm: number | null
      highNm: number | null
      instrument: string | null
    }
  | { says: 'torque-rejudged'; judgement: Rejudged['judgement']; real: string | null; instrument: string }
  | { says: 'closed'; at: number }
  | { says: 'instrument'; instrument: string; state: InstrumentJudgement['state']; at: number | null }
  | {
      says: 'leak-check'
      method: LeakCheckMethod
      at: number
      verdict: LeakCheckJudgement['verdict']
      stale: boolean
      seenKgPerYear: number | null
    }
  | {
      says: 'pressure-test' | 'evacuation'
      at: number
      verdict: string | null
      stale: boolean
      holdS: number
      seenKgPerYear: number | null
      /** How many of this kind covered it. */
      count: number
    }
  | { says: 'corrected'; count: number; waiting: number }
  | { says: 'came-back'; at: number; causes: string[]; closed: boolean }
  | { says: 'system-came-back'; count: number }
  | { says: 'never-came-back' }
)

/** What is still not known, and where to look. */
export type Unknown = { about: About | null } & (
  | { lacks: 'who-made-it' }
  | { lacks: 'a-making' }
  | { lacks: 'its-step'; step: StepKind }
  | { lacks: 'a-torque-figure' }
  | { lacks: 'a-torque-range' }
  | { lacks: 'a-flare-diameter' }
  | { lacks: 'a-covering-test'; test: 'pressure' | 'evacuation'; wasThere: boolean }
  | { lacks: 'a-leak-check'; wasThere: boolean }
  | { lacks: 'what-it-could-see'; test: 'pressure' | 'evacuation' | 'leak-check' }
  | { lacks: 'a-confirmed-instrument'; instrument: string }
  | { lacks: 'a-photo' }
  | { lacks: 'an-answer-to-a-correction'; count: number }
  | { lacks: 'a-cause'; at: number }
  | { lacks: 'leaks-below'; kgPerYear: number }
)

export interface InstrumentThen {
  id: string
  name: string
  serial: string
  kind: InstrumentKind
  /** Steps and tests that rest on it. */
  usedFor: { id: string; what: StepKind | 'pressure-test' | 'evacuation'; at: number }[]
  state: InstrumentJudgement['state']
  /** The check that stood on the day of its first use here; null when none did, or none is asked for. */
  standing: Calibration | null
  /** Checks after its last use here, oldest first. */
  since: Calibration[]
}

export interface CoveringTest {
  test: SectionTest
  kind: 'pressure' | 'evacuation'
  /** As the record stands today; null while it runs. */
  verdict: string | null
  holdS: number
  /** The smallest leak that it could have seen, as refrigerant in service; null where that can't be told. */
  seenKgPerYear: number | null
  reasons: string[]
  /** Why it no longer speaks for this joint. */
  stale: string | null
}

export interface JointHistory {
  /** Torques by step. */
  torques: Map<string, { judgement: TorqueJudgement; rejudged: Rejudged | null }>
  /** Measured diameters by step, with their band. */
  diameters: Map<string, { valueM: number; lowM: number | null; highM: number | null; source: string | null }>
  /** Leak checks by step. */
  checks: Map<string, { judgement: LeakCheckJudgement; stale: string | null }>
  instruments: InstrumentThen[]
  /** Oldest first. */
  tests: CoveringTest[]
  summary: Statement[]
  unknown: Unknown[]
}

export function historyOfJoint(facts: JointFacts): JointHistory {
  const { joint, system, judging } = facts
  const steps = joint.makes.flatMap((make) => make.steps)
  const torques = new Map(
    steps.flatMap((step) =>
      step.kind === 'torque'
        ? [
            [
              step.id,
              {
                judgement: judgeTorqueStep(joint, step.body, judging),
                rejudged: rejudgedTorque(step, joint, judging),
              },
            ] as const,
          ]
        : [],
    ),
  )
  const diameters = new Map(
    steps.flatMap((step) => {
      if (step.kind !== 'inspection' || step.body.outerDiameterM === null) return []
      const [number] = judgeDiameter(step, joint, system).numbers
      const { low = null, high = null, source = null } = number ?? {}
      return [[step.id, { valueM: step.body.outerDiameterM, lowM: low, highM: high, source }] as const]
    }),
  )
  const checks = new Map(
    leakChecksOf(joint).map((check) => [
      check.id,
      {
        judgement: judgeLeakCheck(check.body, joint, system, judging.policy),
        stale: staleLeakCheck(check, joint, system)?.reason ?? null,
      },
    ]),
  )
  const tests = inOrder(
    [...system.pressureTests, ...system.evacuations].filter((test) => liesIn(test, joint)),
  ).map((test) => coveringTest(test, facts))
  const judged = { torques, diameters, checks, instruments: instrumentsOf(facts, tests), tests }
  return { ...judged, summary: summaryOf(facts, judged), unknown: unknownOf(facts, judged) }
}

type Judged = Omit<JointHistory, 'summary' | 'unknown'>

// ---------------------------------------------------------------- what there is

/** The recall that a use of an instrument falls under: it was found off at the next check. */
function spanOf(step: Pick<Step, 'performedAt'>, spans: readonly RecallSpan[]): RecallSpan | undefined {
  return spans.find(
    ({ since, until }) => step.performedAt <= until && (since === null || step.performedAt >= since.at),
  )
}

function rejudgedTorque(step: Step, joint: Joint, judging: Judging): Rejudged | null {
  if (step.kind !== 'torque') return null
  const wrench = judging.instruments.find(({ id }) => id === step.body.instrumentId)
  const span = wrench && spanOf(step, recallSpans(wrench))
  return span ? rejudgeTorque(joint, step.body, judging, span) : null
}

function coveringTest(test: SectionTest, { joint, system, judging }: JointFacts): CoveringTest {
  const stale = staleForJoint(test, joint, system)?.reason ?? null
  const isOver = test.concludedAt !== null
  if (isPressureTest(test)) {
    const judged = judgePressureTest(test, system, judging)
    return {
      test,
      kind: 'pressure',
      verdict: isOver ? judged.verdict : null,
      holdS: judged.holdS,
      seenKgPerYear: judged.smallestSeenRefrigerantKgPerYear,
      reasons: judged.reasons.map(({ text }) => text),
      stale,
    }
  }
  const judged = judgeEvacuationTest(test, system, judging)
  return {
    test,
    kind: 'evacuation',
    verdict: isOver ? judged.verdict : null,
    holdS: judged.holdS,
    seenKgPerYear: judged.unseenRefrigerantKgPerYear,
    reasons: judged.reasons.map(({ text }) => text),
    stale,
  }
}

function instrumentsOf({ joint, judging }: JointFacts, tests: readonly CoveringTest[]): InstrumentThen[] {
  const uses = new Map<string, (InstrumentThen['usedFor'][number] & { tried: boolean })[]>()
  const use = (
    instrumentId: string | null | undefined,
    what: InstrumentThen['usedFor'][number]['what'],
    fact: { id: string; performedAt: number },
    tried = false,
  ) => {
    if (instrumentId == null) return
    const known = uses.get(instrumentId) ?? []
    if (!known.some(({ id }) => id === fact.id))
      known.push({ id: fact.id, what, at: fact.performedAt, tried })
    uses.set(instrumentId, known)
  }
  for (const step of joint.makes.flatMap((make) => make.steps)) {
    if (step.kind !== 'leak-check' && 'instrumentId' in step.body)
      use(step.body.instrumentId, step.kind, step)
  }
  for (const check of leakChecksOf(joint))
    use(check.body.instrumentId, check.kind, check, check.body.checkedOnTrialLeak)
  for (const { test } of tests) {
    const what = isPressureTest(test) ? 'pressure-test' : 'evacuation'
    use(test.gaugeInstrumentId, what, test)
    if (isPressureTest(test)) use(test.thermometerInstrumentId, what, test)
    for (const reading of test.readings) use(reading.instrumentId, what, test)
  }
  return [...uses].flatMap(([id, usedFor]) => {
    const instrument = judging.instruments.find((one) => one.id === id)
    if (!instrument) return []
    const { state } = judgeInstrument(
      instrument,
      usedFor.map(({ at, id: evidenceId, tried }) => ({ at, evidenceId, triedOnTheDay: tried })),
      judging.policy,
    )
    const counted = instrument.calibrations
      .filter((calibration) => countsAsCheck(calibration, instrument.kind))
      .toSorted((a, b) => a.at - b.at)
    const first = Math.min(...usedFor.map(({ at }) => at))
    const last = Math.max(...usedFor.map(({ at }) => at))
    return [
      {
        id,
        name: instrument.name,
        serial: instrument.serial,
        kind: instrument.kind,
        usedFor: usedFor.map(({ tried: _, ...one }) => one),
        state,
        standing: counted.findLast(({ at }) => at <= first) ?? null,
        since: counted.filter(({ at }) => at > last),
      },
    ]
  })
}

// ---------------------------------------------------------------- in short

const TEST_TONE: Record<string, Tone> = {
  holds: 'good',
  tight: 'good',
  falls: 'bad',
  leak: 'bad',
  moisture: 'bad',
}

function summaryOf(facts: JointFacts, judged: Judged): Statement[] {
  const { joint } = facts
  const make = currentMake(joint)
  return [
    ...howItCame(joint, make),
    ...(make ? ofMaking(make, facts, judged) : []),
    ...judged.instruments.flatMap((one) => ofInstrument(one)),
    ...ofChecks(joint, judged),
    ...(['pressure', 'evacuation'] as const).flatMap((kind) => ofTests(kind, judged)),
    ...ofCorrections(facts),
    ...(joint.retiredAt === null
      ? []
      : [{ says: 'retired', about: 'place', tone: 'plain', at: joint.retiredAt } as const]),
    ...ofCallbacks(facts),
  ]
}

function howItCame(joint: Joint, make: Make | null): Statement[] {
  if (make === null) {
    if (joint.origin === 'factory') return [{ says: 'from-factory', about: 'place', tone: 'plain' }]
    if (joint.origin === 'existing') return [{ says: 'was-there-before', about: 'place', tone: 'plain' }]
    return [{ says: 'not-made', about: 'place', tone: 'open' }]
  }
  const before: Statement[] =
    joint.origin === 'existing' ? [{ says: 'was-there-before', about: 'place', tone: 'plain' }] : []
  const remade = inMakings(joint).filter(({ id }) => id !== make.id)
  return [
    ...before,
    {
      says: 'made',
      about: make.id,
      tone: 'plain',
      at: make.performedAt,
      by: make.performedBy,
      number: make.number,
    },
    ...remade.map(
      (old): Statement => ({
        says: 'remade',
        about: old.id,
        tone: 'plain',
        number: old.number,
        reason: joint.makes.find(({ number }) => number === old.number + 1)?.reason ?? null,
      }),
    ),
  ]
}

const inMakings = (joint: Joint) => joint.makes.toSorted((a, b) => a.number - b.number)

function ofMaking(make: Make, { judging }: JointFacts, { torques, diameters }: Judged): Statement[] {
  const said: Statement[] = []
  const inspection = stepsOf(make, 'inspection').at(-1)
  if (inspection) {
    const accepted = inspection.body.outcome === 'accepted'
    const band = diameters.get(inspection.id)
    said.push({
      says: 'flare-inspected',
      about: inspection.id,
      tone: accepted ? 'good' : 'bad',
      accepted,
      diameterM: band?.valueM ?? null,
      lowM: band?.lowM ?? null,
      highM: band?.highM ?? null,
    })
  }
  const torque = stepsOf(make, 'torque').at(-1)
  const worked = torque && torques.get(torque.id)
  if (torque && worked) {
    const { verdict, appliedNm, range } = worked.judgement
    const wrench = judging.instruments.find(({ id }) => id === torque.body.instrumentId)
    said.push({
      says: 'torque',
      about: torque.id,
      tone: verdict === 'in-range' ? 'good' : verdict === 'not-measured' ? 'open' : 'bad',
      verdict,
      appliedNm,
      lowNm: range?.lowNm ?? null,
      highNm: range?.highNm ?? null,
      instrument: wrench?.name ?? null,
    })
    if (worked.rejudged && wrench)
      said.push({
        says: 'torque-rejudged',
        about: torque.id,
        tone: { stands: 'good', doubtful: 'open', fails: 'bad' }[worked.rejudged.judgement] as Tone,
        judgement: worked.rejudged.judgement,
        real: worked.rejudged.real,
        instrument: wrench.name,
      })
  }
  const closing = stepsOf(make, 'closing').at(-1)
  if (closing) said.push({ says: 'closed', about: closing.id, tone: 'plain', at: closing.performedAt })
  return said
}

/** Those that were in order are said in the table; here only what somebody has to know. */
function ofInstrument({ id, name, state, since, standing }: InstrumentThen): Statement[] {
  if (state === 'confirmed' || state === 'not-asked') return []
  const cleared = state === 'found-in-tolerance-since'
  const at = (state === 'recalled' || cleared ? since[0]?.at : standing?.at) ?? null
  return [{ says: 'instrument', about: id, tone: cleared ? 'plain' : 'bad', instrument: name, state, at }]
}

/** The check that speaks for the joint; where none does, the last one. */
function checkThatCounts(joint: Joint, { checks }: Judged) {
  const all = leakChecksOf(joint)
  return all.findLast(({ id }) => checks.get(id)?.stale === null) ?? all.at(-1)
}

function ofChecks(joint: Joint, judged: Judged): Statement[] {
  const check = checkThatCounts(joint, judged)
  const known = check && judged.checks.get(check.id)
  if (!check || !known) return []
  const { verdict, sensitivityKgPerYear } = known.judgement
  return [
    {
      says: 'leak-check',
      about: check.id,
      tone: verdict === 'leak' ? 'bad' : verdict === 'not-enough' || known.stale !== null ? 'open' : 'good',
      method: check.body.method,
      at: check.performedAt,
      verdict,
      stale: known.stale !== null,
      seenKgPerYear: sensitivityKgPerYear,
    },
  ]
}

/** The test of a kind that speaks for the joint; where none does, the last one. */
function testThatCounts(kind: CoveringTest['kind'], { tests }: Judged): CoveringTest | undefined {
  const ofKind = tests.filter((test) => test.kind === kind && test.verdict !== null)
  return ofKind.findLast(({ stale }) => stale === null) ?? ofKind.at(-1)
}

function ofTests(kind: CoveringTest['kind'], judged: Judged): Statement[] {
  const covering = testThatCounts(kind, judged)
  if (!covering) return []
  const { test, verdict, stale, holdS, seenKgPerYear } = covering
  return [
    {
      says: kind === 'pressure' ? 'pressure-test' : 'evacuation',
      about: test.id,
      tone: stale === null ? (TEST_TONE[verdict ?? ''] ?? 'open') : 'open',
      at: test.performedAt,
      verdict,
      stale: stale !== null,
      holdS,
      seenKgPerYear,
      count: judged.tests.filter((one) => one.kind === kind).length,
    },
  ]
}

function ofCorrections({ corrections }: JointFacts): Statement[] {
  if (corrections.length === 0) return []
  const waiting = corrections.filter(({ state }) => state === 'waiting').length
  const tone = waiting > 0 ? 'open' : 'plain'
  return [{ says: 'corrected', about: 'corrections', tone, count: corrections.length, waiting }]
}

function ofCallbacks({ joint, callbacks }: JointFacts): Statement[] {
  const named = callbacks.filter(({ findings }) => findings.some(({ jointId }) => jointId === joint.id))
  const others = callbacks.length - named.length
  const said: Statement[] = named
    .toSorted((a, b) => a.reportedAt - b.reportedAt)
    .map(({ id, reportedAt, closedAt, findings }) => ({
      says: 'came-back',
      about: id,
      tone: 'bad',
      at: reportedAt,
      causes: [...new Set(findings.filter(({ jointId }) => jointId === joint.id).map(({ cause }) => cause))],
      closed: closedAt !== null,
    }))
  if (others > 0) said.push({ says: 'system-came-back', about: 'callbacks', tone: 'plain', count: others })
  if (callbacks.length === 0 && joint.makes.length > 0)
    said.push({ says: 'never-came-back', about: 'callbacks', tone: 'plain' })
  return said
}

// ---------------------------------------------------------------- what is not known

function unknownOf(facts: JointFacts, judged: Judged): Unknown[] {
  const { joint, judging, corrections, callbacks, photos } = facts
  const make = currentMake(joint)
  const lacking: Unknown[] = []
  if (make) lacking.push(...ofMakingUnknown(make, joint, judging, judged))
  else if (joint.origin === 'field') lacking.push({ lacks: 'a-making', about: null })
  else lacking.push({ lacks: 'who-made-it', about: null })

  const check = checkThatCounts(joint, judged)
  const checked = check && judged.checks.get(check.id)
  if (!check || !checked || checked.stale !== null)
    lacking.push({ lacks: 'a-leak-check', about: check?.id ?? null, wasThere: check !== undefined })
  else if (checked.judgement.verdict !== 'leak' && checked.judgement.sensitivityKgPerYear === null)
    lacking.push({ lacks: 'what-it-could-see', about: check.id, test: 'leak-check' })

  // A port is what the tests are made through, and a charged coupling is opened by none.
  if (!isPort(joint) && joint.kind !== 'quick-coupling')
    for (const kind of ['pressure', 'evacuation'] as const) {
      const covering = testThatCounts(kind, judged)
      if (!covering || covering.stale !== null)
        lacking.push({
          lacks: 'a-covering-test',
          about: covering?.test.id ?? null,
          test: kind,
          wasThere: covering !== undefined,
        })
      else if (covering.seenKgPerYear === null)
        lacking.push({ lacks: 'what-it-could-see', about: covering.test.id, test: kind })
    }

  for (const { id, name, state } of judged.instruments)
    if (['recalled', 'out-of-tolerance', 'out-of-date', 'never-calibrated'].includes(state))
      lacking.push({ lacks: 'a-confirmed-instrument', about: id, instrument: name })
  if (photos === 0 && !isPort(joint)) lacking.push({ lacks: 'a-photo', about: null })
  const waiting = corrections.filter(({ state }) => state === 'waiting').length
  if (waiting > 0) lacking.push({ lacks: 'an-answer-to-a-correction', about: 'corrections', count: waiting })
  for (const callback of callbacks)
    if (callback.closedAt === null && callback.findings.length === 0)
      lacking.push({ lacks: 'a-cause', about: callback.id, at: callback.reportedAt })
  const smallest = smallestSeen(joint, judged)
  if (smallest !== null) lacking.push({ lacks: 'leaks-below', about: null, kgPerYear: smallest })
  return lacking
}

function ofMakingUnknown(make: Make, joint: Joint, judging: Judging, judged: Judged): Unknown[] {
  const asked = stepsFor(joint, judging.sheet, make)
  const there = new Set(make.steps.map(({ kind }) => kind))
  const lacking: Unknown[] = asked
    // Checks stand for the joint, whichever making they were recorded for.
    .filter((step) => step !== 'leak-check' && !there.has(step))
    .map((step) => ({ lacks: 'its-step', about: make.id, step }))
  const torque = stepsOf(make, 'torque').at(-1)
  const worked = torque && judged.torques.get(torque.id)
  if (torque && worked?.judgement.verdict === 'not-measured')
    lacking.push({ lacks: 'a-torque-figure', about: torque.id })
  else if (torque && worked?.judgement.range === null)
    lacking.push({ lacks: 'a-torque-range', about: torque.id })
  const inspection = stepsOf(make, 'inspection').at(-1)
  if (joint.kind === 'flare' && inspection?.body.diameterCheck === 'not-checked')
    lacking.push({ lacks: 'a-flare-diameter', about: inspection.id })
  return lacking
}

/** The smallest leak that anything which still speaks for this joint, and found nothing, could have found. */
function smallestSeen(joint: Joint, { tests, checks }: Judged): number | null {
  const seen = [
    ...tests
      .filter(({ stale, verdict }) => stale === null && (verdict === 'holds' || verdict === 'tight'))
      .map(({ seenKgPerYear }) => seenKgPerYear),
    ...leakChecksOf(joint).map(({ id }) => {
      const known = checks.get(id)
      return known?.stale === null && known.judgement.verdict !== 'leak'
        ? known.judgement.sensitivityKgPerYear
        : null
    }),
  ].filter((kgPerYear): kgPerYear is number => kgPerYear !== null && kgPerYear > 0)
  return seen.length === 0 ? null : Math.min(...seen)
}

/** Every instrument that the history of a joint asks about. */
export function instrumentIdsOf(
  joint: Joint,
  system: { pressureTests: PressureTest[]; evacuations: Evacuation[] },
): string[] {
  const ids: (string | null | undefined)[] = []
  for (const step of [...joint.makes.flatMap((make) => make.steps), ...joint.leakChecks])
    if ('instrumentId' in step.body) ids.push(step.body.instrumentId)
  for (const test of system.pressureTests) {
    if (!liesIn(test, joint)) continue
    ids.push(test.gaugeInstrumentId, test.thermometerInstrumentId)
    for (const reading of test.readings) ids.push(reading.instrumentId, reading.thermometerInstrumentId)
  }
  for (const test of system.evacuations) {
    if (!liesIn(test, joint)) continue
    ids.push(test.gaugeInstrumentId)
    for (const reading of test.readings) ids.push(reading.instrumentId)
  }
  return [...new Set(ids.filter((id): id is string => id != null))]
}
