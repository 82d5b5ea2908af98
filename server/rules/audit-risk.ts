// Which jobs deserve a look first, and why? Expected leaks by what their joints share, and surcharges with their names.

import { expectedEvents, type PerAgeBand } from '../trade/exposure.ts'
import type { SurchargeCode } from '../vocabulary.ts'
import type { Dossier, FlareStep, Make, Step, TorqueStep } from './dossier.ts'
import { judgeEvacuationTest } from './judge-evacuation.ts'
import { isAtTestPressure, judgeLeakCheck } from './judge-leak-check.ts'
import { judgePressureTest } from './judge-pressure-test.ts'
import { type FoundLeak, judgeGroups, ratesByAge, type ServedGroup } from './judge-reliability.ts'
import { judgeTorqueStep } from './judge-torque.ts'
import { isPort, leakChecksOf, type ScopedJoint, scopeOf } from './scope.ts'

// ---------------------------------------------------------------- what joints share

/** By what a joint is compared. Not by person: nobody's work is looked at first for who did it. */
export const RISK_DIMENSIONS = [
  'position',
  'tubeOd',
  'flareMethod',
  'flaringTool',
  'wrench',
  'model',
] as const
export type RiskDimension = (typeof RISK_DIMENSIONS)[number]
/** Null where it does not have one: a brazed joint has no flaring tool. */
export type RiskKeys = Record<RiskDimension, string | null>

export function riskKeys(joint: {
  place: string
  line: string
  tubeOdM: number
  flareMethod: string | null
  flaringToolId: string | null
  wrenchId: string | null
  model: string | null
}): RiskKeys {
  return {
    // The keys of what comes back (rules/cohorts.ts).
    position: `${joint.place}/${joint.line}`,
    tubeOd: String(joint.tubeOdM),
    flareMethod: joint.flareMethod,
    flaringTool: joint.flaringToolId,
    wrench: joint.wrenchId,
    model: joint.model,
  }
}

/** Time in service and leaks, grouped one way. */
export interface LeakCounts {
  served: readonly ServedGroup[]
  leaks: readonly FoundLeak[]
}

/** What the company's own leaks say of joints to come. */
export interface LeakModel {
  /** Leaks expected of one joint in its first year, at the company's own rates by age. */
  firstYear: number
  /** Shrunk ratios by `dimension:key`. */
  ratios: ReadonlyMap<string, number>
}

/** The first year as it lies in the age bands: three months and nine. */
const FIRST_YEAR: PerAgeBand = [0.25, 0.75, 0, 0]

/** From the same counts as what comes back: of all joints together, and by what they share. */
export function leakModel(all: LeakCounts, by: Readonly<Record<RiskDimension, LeakCounts>>): LeakModel {
  const ratios = new Map<string, number>()
  for (const dimension of RISK_DIMENSIONS) {
    const { served, leaks } = by[dimension]
    for (const { key, shrunkRatio } of judgeGroups(served, leaks).groups)
      ratios.set(`${dimension}:${key}`, shrunkRatio)
  }
  return { firstYear: expectedEvents(FIRST_YEAR, ratesByAge(all.served, all.leaks)), ratios }
}

export interface ExpectedLeak {
  expected: number
  /** The group that stands out most, where one leaks more than the company's joints do on the whole. */
  worst: { dimension: RiskDimension; key: string; ratio: number } | null
}

/**
 * One joint's expected leaks in its first year: the company's rate times the highest shrunk ratio among the groups it
 * is in. The highest and not the product, since the groups overlap (common practice, no source).
 */
export function expectedLeak(keys: RiskKeys, model: LeakModel): ExpectedLeak {
  let worst: ExpectedLeak['worst'] = null
  let known = false
  for (const dimension of RISK_DIMENSIONS) {
    const key = keys[dimension]
    const ratio = key === null ? undefined : model.ratios.get(`${dimension}:${key}`)
    if (key === null || ratio === undefined) continue
    known = true
    if (worst === null || ratio > worst.ratio) worst = { dimension, key, ratio }
  }
  return {
    // A tool or model that is new has no ratio yet: the company's own rate.
    expected: model.firstYear * (known && worst ? worst.ratio : 1),
    worst: worst && worst.ratio > 1 ? worst : null,
  }
}

// ---------------------------------------------------------------- what stands out in the record

/** In leaks, for each one counted (common practice, no source). */
export const SURCHARGES: Record<SurchargeCode, number> = {
  'weak-joint-check': 0.05,
  'uncertain-hold': 0.1,
  'late-entry': 0.05,
  'quick-flares': 0.05,
  'pass-after-fail': 0.1,
  'changed-by-correction': 0.1,
  'near-limit-torque': 0.02,
}
/** No reason adds more than this, so that one habit does not drown what else there is (common practice, no source). */
export const MOST_OF_ONE_REASON = 0.5

/** Bubbles at 4.15 MPa find about 15 g/year (EN 1779 order of magnitude, from memory): less is weaker than asked for. */
const ASKED_SENSITIVITY_KG_PER_YEAR = 0.015
/** The least time that hands need for a flare, from cut to nut (common practice, no source). */
export const LEAST_FLARE_MS = 4 * 60_000
/** Both ends at a unit may be entered together, and the first of a run was begun before it. */
const FLARES_FOR_FREE = 2
/** Entered as if done that moment, while the phone's clock stood this much earlier. */
const CLOCKS_APART_MS = 15 * 60_000
const AT_ONCE_MS = 60_000
/** An entry this long after the rest, and this near to the submission, was added for the submission. */
const LONG_AFTER_MS = 12 * 3_600_000
const BEFORE_SUBMISSION_MS = 3_600_000

export interface Surcharge {
  code: SurchargeCode
  /** How many: joints, tests, entries, flares, corrections. */
  count: number
  /** Tags of joints, where it is about joints. */
  tags: string[]
}

/** What a job brings to the list by itself; it does not change while the job waits or is sealed. */
export interface AuditFigures {
  /** One for each joint of ours that was made here. */
  joints: RiskKeys[]
  surcharges: Surcharge[]
}

/** `changedByCorrection`: how many accepted corrections changed an outcome. */
export function auditFigures(dossier: Dossier, changedByCorrection = 0): AuditFigures {
  const { job } = dossier
  const scope = scopeOf(dossier)
  const inScope = scope.joints.filter(({ joint, leftOut }) => leftOut === null && !isPort(joint))
  const made = inScope.flatMap((scoped) => {
    const make = scoped.joint.makes.findLast((one) => one.jobId === job.id)
    return make ? [{ ...scoped, make }] : []
  })
  const surcharges: Surcharge[] = [
    onJoints(
      'weak-joint-check',
      inScope.filter((scoped) => isCheckWeak(dossier, scoped)),
    ),
    { code: 'uncertain-hold', count: uncertainHolds(dossier), tags: [] },
    { code: 'late-entry', count: lateEntries(dossier), tags: [] },
    { code: 'quick-flares', count: tooManyFlares(flaresOf(dossier)), tags: [] },
    { code: 'pass-after-fail', count: passedAfterFailing(dossier), tags: [] },
    { code: 'changed-by-correction', count: changedByCorrection, tags: [] },
    onJoints(
      'near-limit-torque',
      made.filter((scoped) => isNearLimit(dossier, scoped)),
    ),
  ]
  return {
    joints: made
      .filter(({ joint }) => joint.origin === 'field')
      .map(({ system, joint, make }) => {
        const flare = make.steps.findLast((step): step is FlareStep => step.kind === 'flare')
        const torque = make.steps.findLast((step): step is TorqueStep => step.kind === 'torque')
        return riskKeys({
          place: joint.place,
          line: joint.line,
          tubeOdM: joint.tubeOdM,
          flareMethod: flare?.body.method ?? null,
          flaringToolId: flare?.body.instrumentId ?? null,
          wrenchId: torque?.body.instrumentId ?? null,
          model: system.units.find(({ role }) => role === 'outdoor')?.model ?? null,
        })
      }),
    surcharges: surcharges.filter(({ count }) => count > 0),
  }
}

const onJoints = (code: SurchargeCode, joints: readonly Pick<ScopedJoint, 'joint'>[]): Surcharge => ({
  code,
  count: joints.length,
  tags: joints.map(({ joint }) => joint.tag),
})

/** Missing, not enough by its own rule, or blind to what bubbles at test pressure would show. */
function isCheckWeak({ job, policy }: Dossier, { joint, system }: ScopedJoint): boolean {
  const check = leakChecksOf(joint).findLast((one) => one.jobId === job.id)
  if (!check) return true
  const judged = judgeLeakCheck(check.body, joint, system, policy)
  if (judged.verdict === 'not-enough') return true
  const { method, medium } = check.body
  if (method === 'bubble' && medium !== 'refrigerant' && isAtTestPressure(check.body, system)) return false
  return (
    judged.sensitivityKgPerYear === null ||
    judged.sensitivityKgPerYear > ASKED_SENSITIVITY_KG_PER_YEAR * (1 + 1e-9)
  )
}

/** Holds that passed although their uncertainty takes up more than half of what may stay unseen. */
function uncertainHolds(dossier: Dossier): number {
  let count = 0
  for (const system of dossier.systems)
    for (const test of system.pressureTests) {
      if (test.jobId !== dossier.job.id || test.concludedAt === null) continue
      const { verdict, changeUncertaintyPa, bandPa } = judgePressureTest(test, system, dossier)
      if (verdict !== 'holds' || changeUncertaintyPa === null || bandPa === null) continue
      if (changeUncertaintyPa > bandPa / 2) count += 1
    }
  return count
}

/** How many tests failed that were followed by one that passed, each kind and system by itself. */
function passedAfterFailing(dossier: Dossier): number {
  let count = 0
  const here = ({ jobId, concludedAt }: { jobId: string; concludedAt: number | null }) =>
    jobId === dossier.job.id && concludedAt !== null
  for (const system of dossier.systems) {
    const holds = system.pressureTests
      .filter(here)
      .map((test) => ({ at: test.performedAt, verdict: judgePressureTest(test, system, dossier).verdict }))
    const vacuums = system.evacuations
      .filter(here)
      .map((test) => ({ at: test.performedAt, verdict: judgeEvacuationTest(test, system, dossier).verdict }))
    for (const tests of [holds, vacuums]) {
      const inTime = tests.toSorted((a, b) => a.at - b.at)
      const lastPass = inTime.findLastIndex(({ verdict }) => verdict === 'holds' || verdict === 'tight')
      count += inTime
        .slice(0, Math.max(0, lastPass))
        .filter(({ verdict }) => verdict === 'falls' || verdict === 'leak' || verdict === 'moisture').length
    }
  }
  return count
}

const stepsHere = ({ systems, job }: Dossier): Step[] =>
  systems.flatMap(({ joints }) =>
    joints.flatMap((joint) => {
      const made = joint.makes.flatMap((make) => make.steps)
      const known = new Set(made.map(({ id }) => id))
      return [...made, ...joint.leakChecks.filter(({ id }) => !known.has(id))].filter(
        ({ jobId }) => jobId === job.id,
      )
    }),
  )

/** Entered as if done that very moment, though the phone's clock or the rest of the job says otherwise. */
function lateEntries(dossier: Dossier): number {
  const steps = stepsHere(dossier).filter(
    ({ performedAt, recordedAt }) => Math.abs(recordedAt - performedAt) <= AT_ONCE_MS,
  )
  const late = new Set(
    steps
      .filter(({ deviceAt, recordedAt }) => deviceAt !== null && recordedAt - deviceAt > CLOCKS_APART_MS)
      .map(({ id }) => id),
  )
  const { submittedAt } = dossier.job
  if (submittedAt !== null) {
    const moments = momentsOf(dossier)
    const from = submittedAt - BEFORE_SUBMISSION_MS
    const before = Math.max(Number.NEGATIVE_INFINITY, ...moments.filter((at) => at < from))
    if (Number.isFinite(before) && from - before > LONG_AFTER_MS)
      for (const step of steps)
        if (step.performedAt >= from && step.performedAt <= submittedAt) late.add(step.id)
  }
  return late.size
}

/** When anything was done on this job, as far as it is dated. */
function momentsOf(dossier: Dossier): number[] {
  const here = ({ jobId }: { jobId: string }) => jobId === dossier.job.id
  return [
    ...stepsHere(dossier).map(({ performedAt }) => performedAt),
    ...dossier.systems.flatMap((system) => [
      ...[...system.pressureTests, ...system.evacuations]
        .filter(here)
        .flatMap((test) => [test.performedAt, test.concludedAt ?? test.performedAt]),
      ...[...system.charges, ...system.runningChecks].filter(here).map(({ performedAt }) => performedAt),
    ]),
  ]
}

const flaresOf = (dossier: Dossier): FlareStep[] =>
  stepsHere(dossier).filter((step): step is FlareStep => step.kind === 'flare')

/**
 * By how many flares the fullest run of one person's went beyond what hands can make: of a run of n flares over a time
 * t, two are free and one more fits into each whole four minutes of t.
 */
export function tooManyFlares(flares: readonly Pick<FlareStep, 'performedBy' | 'performedAt'>[]): number {
  const byPerson = new Map<string, number[]>()
  for (const { performedBy, performedAt } of flares)
    byPerson.set(performedBy, [...(byPerson.get(performedBy) ?? []), performedAt])
  let sum = 0
  for (const times of byPerson.values()) {
    const sorted = times.toSorted((a, b) => a - b)
    let most = 0
    for (const [first, start] of sorted.entries())
      for (const [last, end] of sorted.entries()) {
        if (last < first) continue
        const possible = FLARES_FOR_FREE + Math.floor((end - start) / LEAST_FLARE_MS)
        most = Math.max(most, last - first + 1 - possible)
      }
    sum += most
  }
  return sum
}

/** In range, but nearer to a limit than the wrench is sure. */
function isNearLimit(dossier: Dossier, { joint, system, make }: ScopedJoint & { make: Make }): boolean {
  const torque = make.steps.findLast((step): step is TorqueStep => step.kind === 'torque')
  if (!torque) return false
  const { verdict, appliedNm, uncertaintyNm, range } = judgeTorqueStep(joint, torque.body, {
    policy: dossier.policy,
    sheet: system.sheet,
    instruments: dossier.instruments,
  })
  if (verdict !== 'in-range' || appliedNm === null || uncertaintyNm === null || range === null) return false
  return appliedNm - uncertaintyNm < range.lowNm || appliedNm + uncertaintyNm > range.highNm
}

// ---------------------------------------------------------------- the rank

export interface RiskReason {
  code: 'expected-leaks' | SurchargeCode
  /** What it adds, in leaks. */
  adds: number
  count: number
  tags: string[]
}

export interface AuditRisk {
  /** Leaks expected in the first year, with the surcharges: for the order alone. */
  score: number
  /** What adds most stands first. */
  reasons: RiskReason[]
  /** The group that most of the expected leaks come from, with how many of the joints are in it. */
  group: { dimension: RiskDimension; key: string; ratio: number; joints: number } | null
}

export function auditRisk({ joints, surcharges }: AuditFigures, model: LeakModel): AuditRisk {
  const expected = joints.map((keys) => expectedLeak(keys, model))
  const sum = expected.reduce((total, one) => total + one.expected, 0)
  const groups = new Map<string, NonNullable<AuditRisk['group']>>()
  for (const { worst } of expected) {
    if (!worst) continue
    const name = `${worst.dimension}:${worst.key}`
    const group = groups.get(name) ?? { ...worst, joints: 0 }
    groups.set(name, { ...group, joints: group.joints + 1 })
  }
  const [group] = [...groups.values()].toSorted(
    (a, b) => b.joints * (b.ratio - 1) - a.joints * (a.ratio - 1) || a.key.localeCompare(b.key),
  )
  const reasons: RiskReason[] = surcharges.map(({ code, count, tags }) => ({
    code,
    count,
    tags,
    adds: Math.min(MOST_OF_ONE_REASON, SURCHARGES[code] * count),
  }))
  if (joints.length > 0) reasons.push({ code: 'expected-leaks', count: joints.length, tags: [], adds: sum })
  return {
    score: reasons.reduce((total, { adds }) => total + adds, 0),
    reasons: reasons.toSorted((a, b) => b.adds - a.adds || a.code.localeCompare(b.code)),
    group: group ?? null,
  }
}

/** One job in ten is drawn, whatever its figures, or the list only finds what it looks for. `lot`: any whole number. */
export const ONE_IN = 10
export const isDrawn = (lot: number): boolean => lot % ONE_IN === 0
