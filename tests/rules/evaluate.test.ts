// Is a job judged whole: every requirement, in order, whatever the record looks like, and released only where allowed?

import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Dossier } from '../../server/rules/dossier.ts'
import type { Finding } from '../../server/rules/finding.ts'
import { evaluate, isSignable, isSubmittable, REQUIREMENTS } from '../../server/rules/index.ts'
import { OUTCOMES, REQUIREMENT_CODES } from '../../server/vocabulary.ts'
import { aFinishedJob, aJob, aJobWithJointsMade, DAY, HOUR, MINUTE, MORNING } from '../support/dossiers.ts'

const unmet = (findings: Finding[]) =>
  findings
    .filter(({ outcome }) => !['met', 'not-applicable', 'conceded'].includes(outcome))
    .map(({ requirement, subject, outcome }) => `${requirement} ${subject.name} ${outcome}`)

describe('a single-zone flare job', () => {
  it('is signable when all of it was done in order', () => {
    const findings = evaluate(aFinishedJob().build())
    expect(unmet(findings)).toEqual([])
    expect(isSignable(findings)).toBe(true)
  })
  it('is signable when what a longer line needs was weighed in', () => {
    const job = aJobWithJointsMade({}, { lengthM: 15 })
      .pressureTested()
      .evacuated()
      .charged()
      .weighedIn(0.15)
      .ran()
    expect(unmet(evaluate(job.build()))).toEqual([])
  })
  it('is signable with R-32 once its indoor joints were checked by detector', () => {
    const job = aJobWithJointsMade({ refrigerant: 'R-32' }).pressureTested().evacuated().charged()
    expect(unmet(evaluate(job.ran().build()))).toEqual([
      'joint-leak-checked A-3 open',
      'joint-leak-checked A-4 open',
    ])
    expect(unmet(evaluate(job.at('A-3', 'A-4').leakCheckedByDetector().build()))).toEqual([])
  })
  it('says at its start what is missing, for every step of the work', () => {
    const findings = evaluate(aJob().withSystem().withLineSet().build())
    const open = new Set(
      findings.filter(({ outcome }) => outcome === 'open').map(({ requirement }) => requirement),
    )
    expect([...open]).toEqual([
      'every-joint-made',
      'joint-prepared',
      'flare-accepted',
      'joint-assembled',
      'joint-torque-in-range',
      'joint-leak-checked',
      'standing-pressure-held',
      'vacuum-held',
      'charge-matches',
      'running-as-specified',
      'order-of-work',
    ])
    expect(isSignable(findings)).toBe(false)
    expect(isSubmittable(findings)).toBe(false)
  })
  it('asks nothing of a maintenance visit that opens nothing', () => {
    const before = { jobId: 'job-before', performedAt: MORNING - 300 * DAY, recordedAt: MORNING - 300 * DAY }
    const findings = evaluate(
      aJob('maintenance').withSystem().withLineSet({ jobId: 'job-before' }).made(before).build(),
    )
    expect(new Set(findings.map(({ outcome }) => outcome))).toEqual(new Set(['not-applicable']))
    for (const { reason } of findings) expect(reason).toMatch(/\w/)
  })
  it('answers every requirement when no system is on the job yet', () => {
    const findings = evaluate(aJob().build())
    expect(findings.map(({ requirement }) => requirement)).toEqual(REQUIREMENTS.map(({ code }) => code))
    expect(isSignable(findings)).toBe(false)
  })
  it('needs the whole chain again after a nut was pulled up', () => {
    const job = aFinishedJob().at('A-4').torqued(40)
    expect(unmet(evaluate(job.build())).map((line) => line.split(' ')[0])).toEqual([
      'joint-leak-checked',
      'standing-pressure-held',
      'vacuum-held',
      'order-of-work',
    ])
  })
})

describe('findings', () => {
  it('come in the order of the work', () => {
    const order = evaluate(aFinishedJob().build()).map(({ requirement }) =>
      REQUIREMENT_CODES.indexOf(requirement),
    )
    expect(order).toEqual([...order].sort((a, b) => a - b))
  })
  it('carry title, source, reason, and a next action exactly when something is to be done', () => {
    for (const finding of evaluate(aJob().withSystem().withLineSet().build())) {
      expect(finding.title).toBe(REQUIREMENTS.find(({ code }) => code === finding.requirement)?.title)
      expect(finding.reason).toMatch(/\.$/)
      expect(finding.nextAction === null).toBe(['met', 'not-applicable'].includes(finding.outcome))
    }
  })
  it('change nothing in what they look at', () => {
    const dossier = aFinishedJob().build()
    const before = structuredClone(dossier)
    evaluate(dossier)
    expect(dossier).toEqual(before)
  })
})

describe('requests and concessions', () => {
  const short = () => aJobWithJointsMade().pressureTested({ shape: 'short' }).evacuated().charged().ran()
  const of = (job: ReturnType<typeof aJob>, requirement: string) =>
    evaluate(job.build()).find((finding) => finding.requirement === requirement)

  it('turn what may be conceded into requested, then conceded', () => {
    expect(of(short(), 'standing-pressure-held')?.outcome).toBe('open')
    const asked = short().asked('standing-pressure-held', 'system-1-line-1')
    expect(of(asked, 'standing-pressure-held')).toMatchObject({
      outcome: 'requested',
      nextAction: 'A manager decides.',
    })
    expect(isSubmittable(evaluate(asked.build()))).toBe(true)
    expect(isSignable(evaluate(asked.build()))).toBe(false)
    const granted = asked.conceded('standing-pressure-held', 'system-1-line-1')
    expect(of(granted, 'standing-pressure-held')).toMatchObject({ outcome: 'conceded', nextAction: null })
    expect(of(granted, 'standing-pressure-held')?.reason).toMatch(/Released by concession: granted/)
    expect(isSignable(evaluate(granted.build()))).toBe(true)
  })
  it('never release what allows none', () => {
    const job = aJobWithJointsMade()
      .at('A-4')
      .torqued(50)
      .conceded('joint-torque-in-range', 'system-1-joint-4')
      .asked('joint-torque-in-range', 'system-1-joint-4')
    const finding = evaluate(job.build()).find(
      ({ requirement, subject }) => requirement === 'joint-torque-in-range' && subject.name === 'A-4',
    )
    expect(finding?.outcome).toBe('failed')
  })
  it('belong to one subject and one requirement', () => {
    expect(
      of(short().conceded('standing-pressure-held', 'system-1-line-2'), 'standing-pressure-held')?.outcome,
    ).toBe('open')
    expect(of(short().conceded('vacuum-held', 'system-1-line-1'), 'standing-pressure-held')?.outcome).toBe(
      'open',
    )
  })
  it('no longer hold when what they released turned into something else', () => {
    const job = short().conceded('standing-pressure-held', 'system-1-line-1').at('A-4').torqued(40)
    expect(of(job, 'standing-pressure-held')).toMatchObject({ outcome: 'open', concedable: false })
  })
  it('speak for what was known when they were given: not for a reading corrected, a line changed, a tool found bad since', () => {
    const test = short().conceded('standing-pressure-held', 'system-1-line-1')
    const [reading] = test.system.pressureTests[0]?.readings ?? []
    if (!reading) throw new Error('Nothing was read.')
    const givenAt = test.dossier.concessions[0]?.at ?? 0
    expect(of(test, 'standing-pressure-held')?.outcome).toBe('conceded')
    reading.correctedAt = givenAt
    expect(of(test, 'standing-pressure-held')?.outcome).toBe('conceded')
    reading.correctedAt = givenAt + 1
    expect(of(test, 'standing-pressure-held')?.outcome).toBe('open')

    const long = aJob()
      .withSystem({ sheet: { maxLengthM: 20 } })
      .withLineSet({ lengthM: 26 })
      .conceded('line-set-within-limits', 'system-1-line-1')
    const [line] = long.system.lineSets
    const within = () => of(long, 'line-set-within-limits')?.outcome
    expect(within()).toBe('conceded')
    if (line) line.changedAt = (long.dossier.concessions[0]?.at ?? 0) + 1
    expect(within()).toBe('failed')

    const late = aFinishedJob()
    const wrench = late.dossier.instruments.find(({ kind }) => kind === 'torque-wrench')
    if (!wrench) throw new Error('There is no wrench.')
    late.conceded('instruments-confirmed', wrench.id)
    wrench.calibrations = []
    const confirmed = () => evaluate(late.build()).find(({ subject }) => subject.id === wrench.id)?.outcome
    expect(confirmed()).toBe('conceded')
    wrench.calibrations = [
      {
        id: 'found-bad',
        at: MORNING + DAY,
        result: 'out-of-tolerance',
        basis: 'certificate',
        points: [],
        reference: null,
        recordedAt: (late.dossier.concessions[0]?.at ?? 0) + 1,
      },
    ]
    expect(confirmed()).toBe('open')
  })
  it('leave alone what is met', () => {
    const job = aFinishedJob()
      .conceded('vacuum-held', 'system-1-line-1')
      .asked('vacuum-held', 'system-1-line-1')
    expect(of(job, 'vacuum-held')?.outcome).toBe('met')
  })
})

describe('a record in any state', () => {
  /** Every place in a dossier where something stands, as a path of keys. */
  function places(value: unknown, path: (string | number)[] = []): (string | number)[][] {
    if (value === null || typeof value !== 'object') return [path]
    return [path, ...Object.entries(value).flatMap(([key, part]) => places(part, [...path, key]))]
  }
  function put(value: unknown, path: (string | number)[], replacement: unknown): void {
    const at = path
      .slice(0, -1)
      .reduce<unknown>((part, key) => (part as Record<string, unknown>)?.[key], value)
    const last = path.at(-1)
    if (at !== null && typeof at === 'object' && last !== undefined) {
      if (replacement === undefined) delete (at as Record<string, unknown>)[last]
      else (at as Record<string, unknown>)[last] = replacement
    }
  }
  const whole = aFinishedJob({ refrigerant: 'R-32' }, { lengthM: 12 })
    .weighedIn(0.05)
    .at('A-4')
    .made()
    .torqued(45)
    .leakCheckedByDetector()
    .withJoint({ kind: 'service-port' })
    .made()
    .closed()
    .build()
  const somewhere = places(whole).filter((path) => path.length > 0)

  it('never makes it throw, and every requirement still answers', () => {
    const junk = fc.oneof(
      fc.constant(undefined),
      fc.constant(null),
      fc.constant(Number.NaN),
      fc.constant(-1),
      fc.constant(1e308),
      fc.constant(''),
      fc.constant([]),
      fc.constant({}),
      fc.double(),
    )
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.nat(somewhere.length - 1), junk), { minLength: 1, maxLength: 6 }),
        (damage) => {
          const dossier: Dossier = structuredClone(whole)
          for (const [index, replacement] of damage) put(dossier, somewhere[index] ?? [], replacement)
          const findings = evaluate(dossier)
          for (const { outcome, reason, requirement } of findings) {
            expect(OUTCOMES).toContain(outcome)
            expect(reason, requirement).toMatch(/\w/)
          }
        },
      ),
      { numRuns: 400 },
    )
  })

  it('answers every requirement with at least one finding, save ports that are not on record', () => {
    const damaged = structuredClone(whole)
    put(damaged, ['systems', '0', 'joints', '0'], null)
    const answered = new Set(evaluate(damaged).map(({ requirement }) => requirement))
    expect(answered).toEqual(new Set(REQUIREMENTS.map(({ code }) => code)))
    expect(isSignable(evaluate(damaged))).toBe(false)
  })

  it('has one outcome, in whatever order its facts are listed', () => {
    const shuffled = fc.shuffledSubarray([0, 1, 2, 3, 4], { minLength: 5 })
    const outcomes = (dossier: Dossier) =>
      evaluate(dossier)
        .map(({ requirement, subject, outcome }) => `${requirement} ${subject.id} ${outcome}`)
        .sort()
    const expected = outcomes(whole)
    fc.assert(
      fc.property(shuffled, (order) => {
        const dossier = structuredClone(whole)
        const mix = <T>(list: T[]): T[] =>
          list
            .map((item, index) => ({ item, rank: order[index % 5] ?? 0, index }))
            .sort((a, b) => a.rank - b.rank || a.index - b.index)
            .map(({ item }) => item)
        for (const system of dossier.systems) {
          system.joints = mix(system.joints)
          for (const joint of system.joints) {
            joint.makes = mix(joint.makes)
            joint.leakChecks = mix(joint.leakChecks)
            for (const make of joint.makes) make.steps = mix(make.steps)
          }
          system.charges = mix(system.charges)
          for (const test of [...system.pressureTests, ...system.evacuations])
            test.readings = mix(test.readings as never[])
        }
        dossier.instruments = mix(dossier.instruments)
        expect(outcomes(dossier)).toEqual(expected)
      }),
    )
  })
})

describe('evening entry', () => {
  it('is judged by when the work was done: the same facts, entered backwards, are signable', () => {
    const dossier = aFinishedJob().build()
    const evening = MORNING + 14 * HOUR
    for (const system of dossier.systems) {
      const facts = [
        ...system.joints.flatMap((joint) => [
          ...joint.makes,
          ...joint.makes.flatMap((make) => make.steps),
          ...joint.leakChecks,
        ]),
        ...system.pressureTests,
        ...system.evacuations,
        ...system.charges,
        ...system.runningChecks,
      ]
      facts.forEach((fact, index) => {
        fact.recordedAt = evening + (facts.length - index) * MINUTE
      })
    }
    expect(unmet(evaluate(dossier))).toEqual([])
  })
})

describe('a concession', () => {
  it('speaks for what was known when it was given, not for what is recorded afterwards', () => {
    const job = aJobWithJointsMade()
    job.pressureTested({ shape: 'short' })
    const [section] = job.dossier.systems[0]?.lineSets ?? []
    job.conceded('standing-pressure-held', section?.id ?? '')
    const about = () =>
      evaluate(job.build()).find(({ requirement }) => requirement === 'standing-pressure-held')?.outcome
    expect(about()).toBe('conceded')
    job.later(60).pressureTested({ shape: 'short' })
    expect(about()).toBe('open')
  })
})
