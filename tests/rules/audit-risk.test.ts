// Does the audit list rank by numbers that can be worked by hand, and name each reason?

import { describe, expect, it } from 'vitest'
import {
  auditFigures,
  auditRisk,
  expectedLeak,
  isDrawn,
  type LeakCounts,
  type LeakModel,
  leakModel,
  MOST_OF_ONE_REASON,
  type RiskDimension,
  type RiskKeys,
  SURCHARGES,
  tooManyFlares,
} from '../../server/rules/audit-risk.ts'
import { placeInSpread, usualSpread } from '../../server/rules/crew-spread.ts'
import type { FoundLeak, ServedGroup } from '../../server/rules/judge-reliability.ts'
import type { PerAgeBand } from '../../server/trade/exposure.ts'
import { aJob, type JobBuilder } from '../support/dossiers.ts'

const YEAR = 365.25 * 86_400_000
const MINUTE = 60_000
const START = Date.UTC(2020, 0, 1)

const keys = (over: Partial<RiskKeys> = {}): RiskKeys => ({
  position: 'indoor-gas/gas',
  tubeOd: '0.00952',
  flareMethod: 'powered',
  flaringTool: 'tool',
  wrench: 'wrench',
  model: 'TI',
  ...over,
})
/** Joints with one key: how many, and their years by age. */
const served = (key: string, joints: number, ...jointYears: PerAgeBand): ServedGroup => ({
  key,
  joints,
  jointYears,
})
const leak = (callbackId: string, years: number, key = ''): FoundLeak => ({
  key,
  callbackId,
  systemId: `system of ${callbackId}`,
  ageMs: years * YEAR,
})
const NOTHING: LeakCounts = { served: [], leaks: [] }
const by = (over: Partial<Record<RiskDimension, LeakCounts>> = {}) => ({
  position: NOTHING,
  tubeOd: NOTHING,
  flareMethod: NOTHING,
  flaringTool: NOTHING,
  wrench: NOTHING,
  model: NOTHING,
  ...over,
})

describe('what the company’s leaks say of a joint to come', () => {
  it('is its rate by age, over a quarter and three quarters of a year', () => {
    // At risk 0–3 months: 0.25 + 0.125 years, with one leak; 3–12 months: 0.75 years, with none.
    const all = { served: [served('', 2, 0.375, 0.75, 1, 0)], leaks: [leak('c1', 0.125)] }
    // 0.25 × 1/0.375 + 0.75 × 0/0.75
    expect(leakModel(all, by()).firstYear).toBeCloseTo(2 / 3, 9)
  })
  it('counts a callback once, however many joints it found', () => {
    const all = { served: [served('', 3, 0.75, 0, 0, 0)], leaks: [leak('c1', 0.2), leak('c1', 0.24)] }
    // One event in 0.75 joint-years.
    expect(leakModel(all, by()).firstYear).toBeCloseTo(0.25 / 0.75, 9)
  })
  it('has a ratio of one where all joints are alike, and above one where the leaks are', () => {
    const alike = { served: [served('tool', 2, 0.5, 1, 0, 0)], leaks: [leak('c1', 0.5, 'tool')] }
    expect(leakModel(alike, by({ flaringTool: alike })).ratios.get('flaringTool:tool')).toBeCloseTo(1, 9)
    const tools = {
      served: [served('tool', 30, 7.5, 22.5, 0, 0), served('worn', 7, 1.75, 1.75, 0, 0)],
      leaks: Array.from({ length: 6 }, (_, index) => leak(`c${index}`, 0.5, 'worn')),
    }
    const { ratios } = leakModel(tools, by({ flaringTool: tools }))
    expect(ratios.get('flaringTool:worn') ?? 0).toBeGreaterThan(2)
    expect(ratios.get('flaringTool:tool') ?? 9).toBeLessThan(0.7)
  })
  it('knows nothing, and says nothing, of a company without a joint in service', () => {
    expect(leakModel(NOTHING, by())).toEqual({ firstYear: 0, ratios: new Map() })
  })
})

const model: LeakModel = {
  firstYear: 0.02,
  ratios: new Map([
    ['flaringTool:worn', 3.2],
    ['position:indoor-gas/gas', 1.4],
    ['position:outdoor-gas/gas', 0.5],
    ['flaringTool:good', 0.7],
  ]),
}

describe('the expected leaks of one joint', () => {
  it('are the rate times the highest of its ratios', () => {
    expect(expectedLeak(keys({ flaringTool: 'worn' }), model)).toEqual({
      expected: 0.02 * 3.2,
      worst: { dimension: 'flaringTool', key: 'worn', ratio: 3.2 },
    })
    expect(expectedLeak(keys({ flaringTool: 'good' }), model).expected).toBeCloseTo(0.028, 12)
  })
  it('are fewer where all its groups leak less, and no group is named', () => {
    expect(expectedLeak(keys({ flaringTool: 'good', position: 'outdoor-gas/gas' }), model)).toEqual({
      expected: 0.02 * 0.7,
      worst: null,
    })
  })
  it('are the company’s own where nothing of it is known', () => {
    const unknown = keys({ flaringTool: null, position: 'coupling 3/gas' })
    expect(expectedLeak(unknown, model)).toEqual({ expected: 0.02, worst: null })
  })
})

describe('the risk of a job', () => {
  const worn = keys({ flaringTool: 'worn' })
  it('is the sum of its joints and its surcharges, the largest first', () => {
    const risk = auditRisk(
      {
        joints: [worn, worn, keys({ flaringTool: 'good' })],
        surcharges: [
          { code: 'near-limit-torque', count: 3, tags: ['A', 'B', 'C'] },
          { code: 'pass-after-fail', count: 1, tags: [] },
        ],
      },
      model,
    )
    // 2 × 0.064 + 0.028 = 0.156; 3 × 0.02 = 0.06; 0.1.
    expect(risk.score).toBeCloseTo(0.316, 12)
    expect(risk.reasons.map(({ code, adds }) => [code, Number(adds.toFixed(6))])).toEqual([
      ['expected-leaks', 0.156],
      ['pass-after-fail', 0.1],
      ['near-limit-torque', 0.06],
    ])
    expect(risk.group).toEqual({ dimension: 'flaringTool', key: 'worn', ratio: 3.2, joints: 2 })
  })
  it('lets no single reason drown the others', () => {
    const many = { joints: [], surcharges: [{ code: 'weak-joint-check' as const, count: 40, tags: [] }] }
    expect(SURCHARGES['weak-joint-check'] * 40).toBe(2)
    expect(auditRisk(many, model).score).toBe(MOST_OF_ONE_REASON)
  })
  it('of a job without a making is nothing', () => {
    expect(auditRisk({ joints: [], surcharges: [] }, model)).toEqual({ score: 0, reasons: [], group: null })
  })
})

describe('more flares than hands can make', () => {
  const at = (person: string, ...minutes: number[]) =>
    minutes.map((minute) => ({ performedBy: person, performedAt: START + minute * MINUTE }))
  it.each([
    ['one after another in four minutes each', at('tess', 0, 4, 8, 12), 0],
    ['two and two together, with time between', at('tess', 0, 0, 8, 8, 16, 16), 0],
    // Two are free, none fits into three minutes.
    ['four in three minutes', at('tess', 0, 1, 2, 3), 2],
    // Two are free, three fit into twelve minutes.
    ['eight in twelve minutes', at('tess', 0, 1, 2, 4, 6, 8, 10, 12), 3],
    ['two persons with two each', [...at('tess', 0, 1), ...at('sam', 0, 1)], 0],
    // The fullest run counts, not the quiet day around it.
    ['a rush at the end of a day', at('tess', 0, 60, 120, 180, 181, 182, 183), 2],
    ['none', [], 0],
  ])('%s', (_, flares, beyond) => {
    expect(tooManyFlares(flares)).toBe(beyond)
  })
})

/** A clean job: one zone, each joint by itself in ten minutes, checked by tracer or bubbles, tested and charged. */
function clean(): JobBuilder {
  const job = aJob().withSystem().withLineSet()
  for (const place of ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid', 'indoor-gas'])
    job.at(place).flareComplete().later(5)
  return job
}
const tested = (job: JobBuilder) => job.pressureTested().evacuated().charged().ran()
const found = (job: JobBuilder, corrected = 0) =>
  Object.fromEntries(
    auditFigures(job.build(), corrected).surcharges.map(({ code, count, tags }) => [
      code,
      tags.length > 0 ? tags.length : count,
    ]),
  )

describe('what stands out in a record', () => {
  it('is nothing on a clean job, whose four joints are all counted', () => {
    const figures = auditFigures(tested(clean()).build())
    expect(figures.surcharges).toEqual([])
    expect(figures.joints.map(({ position }) => position)).toEqual([
      'outdoor-liquid/liquid',
      'outdoor-gas/gas',
      'indoor-liquid/liquid',
      'indoor-gas/gas',
    ])
    expect(figures.joints[0]).toMatchObject({ flaringTool: 'flaring', wrench: 'wrench', model: 'TI outdoor' })
  })
  it('is a torque in range that the wrench is not sure of', () => {
    // 14–18 N·m, ±4 %: 17.5 reaches 18.2; 17.3 reaches 17.992.
    const at = (readingNm: number) =>
      found(tested(clean().at('outdoor-liquid').torqued(readingNm).leakChecked()))
    expect(at(17.5)).toEqual({ 'near-limit-torque': 1 })
    expect(at(17.3)).toEqual({})
    // Out of range is no near miss: it holds the job by itself.
    expect(at(18.5)).toEqual({})
  })
  it('is a joint whose check is missing, or finds less than bubbles would', () => {
    const job = clean()
    const check = (over: object) =>
      found(
        tested(
          job
            .at('outdoor-gas')
            .with((dossier) => void dossier.systems[0]?.joints[1]?.leakChecks.splice(0))
            .leakChecked(over),
        ),
      )
    expect(
      found(tested(clean().with((dossier) => void dossier.systems[0]?.joints[1]?.leakChecks.splice(0)))),
    ).toEqual({
      'weak-joint-check': 1,
    })
    const detector = {
      method: 'refrigerant-detector',
      medium: 'refrigerant',
      instrumentId: 'detector',
      gaugePressurePa: 1e6,
    }
    expect(check({ ...detector, sensitivityKgPerYear: 0.015 })).toEqual({})
    expect(check({ ...detector, sensitivityKgPerYear: 0.016 })).toEqual({ 'weak-joint-check': 1 })
    expect(check({ ...detector, sensitivityKgPerYear: null })).toEqual({ 'weak-joint-check': 1 })
    expect(check({ method: 'ultrasonic' })).toEqual({ 'weak-joint-check': 1 })
  })
  it('is a test that passed after one that failed, each failure once', () => {
    const job = clean().pressureTested({ shape: 'falls' }).pressureTested({ shape: 'falls' })
    expect(found(tested(job))).toEqual({ 'pass-after-fail': 2 })
    const vacuum = clean().pressureTested().evacuated({ shape: 'leak' }).evacuated().charged().ran()
    expect(found(vacuum)).toEqual({ 'pass-after-fail': 1 })
    // Nothing passed after it.
    expect(found(clean().pressureTested().pressureTested({ shape: 'falls' }))).toEqual({})
  })
  it('is a hold that passed with its uncertainty above half of what may stay unseen', () => {
    const job = (accuracy: number) =>
      tested(clean().withInstrument('gauge', { accuracyAbsolute: accuracy, resolution: 1000 }))
    // τ is 1 % of 3.9 MPa, 39 kPa, half of it 19.5. g is a quarter of the accuracy; s · t is 13.6 kPa/K × 0.125 K.
    // √(2 × 12.5² + 2 × 1.7²) = 17.8 kPa; √(2 × 15² + 2 × 1.7²) = 21.3 kPa.
    expect(found(job(50_000))).toEqual({})
    expect(found(job(60_000))).toEqual({ 'uncertain-hold': 1 })
  })
  it('is an entry made as if at that moment while the phone’s clock stood earlier', () => {
    const late = (minutes: number, declared: number) =>
      found(
        tested(clean()).with((dossier) => {
          const step = dossier.systems[0]?.joints[0]?.makes[0]?.steps[0]
          if (!step) return
          step.recordedAt = step.performedAt + declared * MINUTE
          step.deviceAt = step.recordedAt - minutes * MINUTE
        }),
      )
    expect(late(16, 0)).toEqual({ 'late-entry': 1 })
    expect(late(14, 0)).toEqual({})
    // Said to have been done an hour before it was entered: declared.
    expect(late(60, 60)).toEqual({})
    // A phone's clock that runs ahead has not waited.
    expect(late(-60, 0)).toEqual({})
  })
  it('is what was added long after the rest and just before the job was handed in', () => {
    const added = (hours: number, before: number) => {
      const job = tested(clean())
      job
        .later(hours * 60)
        .at('outdoor-gas', 'outdoor-liquid')
        .leakChecked()
      const at = job.now
      return found(
        job.with(
          (dossier) =>
            void Object.assign(dossier.job, { stage: 'submitted', submittedAt: at + before * MINUTE }),
        ),
      )
    }
    expect(added(30, 5)).toEqual({ 'late-entry': 2 })
    expect(added(3, 5)).toEqual({})
    // Handed in the day after: they were not made for it.
    expect(added(30, 20 * 60)).toEqual({})
  })
  it('is a run of flares, and corrections that changed an outcome', () => {
    const job = aJob().withSystem().withLineSet().everywhere()
    job.flareComplete()
    const rushed = tested(job).with((dossier) => {
      for (const joint of dossier.systems[0]?.joints ?? [])
        for (const step of joint.makes[0]?.steps ?? [])
          if (step.kind === 'flare') Object.assign(step, { performedAt: START, recordedAt: START })
    })
    expect(found(rushed)['quick-flares']).toBe(2)
    expect(found(tested(clean()), 2)).toEqual({ 'changed-by-correction': 2 })
  })
})

it('draws one job in ten', () => {
  expect(Array.from({ length: 1000 }, (_, lot) => isDrawn(lot)).filter(Boolean)).toHaveLength(100)
})

describe('what the crew usually gets', () => {
  it('is where nine of ten lie, between neighbours in proportion', () => {
    // 0 … 100: the 5th is 5, the 95th is 95. 1 … 21: 20 steps, 0.05 × 20 = the second.
    expect(usualSpread(Array.from({ length: 101 }, (_, one) => 100 - one))).toEqual({
      count: 101,
      low: 5,
      middle: 50,
      high: 95,
    })
    expect(usualSpread(Array.from({ length: 21 }, (_, one) => one + 1))).toEqual({
      count: 21,
      low: 2,
      middle: 11,
      high: 20,
    })
    // 20 figures: 0.05 × 19 = 0.95 between the first and the second.
    expect(usualSpread(Array.from({ length: 20 }, (_, one) => one))?.low).toBeCloseTo(0.95, 12)
  })
  it('is not said of fewer than twenty', () => {
    expect(usualSpread(Array.from({ length: 19 }, () => 1))).toBeNull()
  })
  it('has its limits inside', () => {
    const spread = { count: 20, low: 15, middle: 16, high: 17 }
    expect([14.9, 15, 17, 17.1].map((one) => placeInSpread(one, spread))).toEqual([
      'lower',
      'usual',
      'usual',
      'higher',
    ])
  })
})
