// Do the rules and a second, deliberately naive opinion agree on every possible history?

import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Dossier, Joint } from '../../server/rules/dossier.ts'
import { evaluate, isSignable } from '../../server/rules/index.ts'
import type { RequirementCode } from '../../server/vocabulary.ts'
import { aJob, HOUR } from '../support/dossiers.ts'
import { naivelySignable } from './naive-checker.ts'

const RUNS = Number(process.env.HISTORIES ?? 2000)
const SEED = Number(process.env.HISTORY_SEED ?? 20260304)

type Torque = 'low' | 'good' | 'high'

/** One joint, by the number of its line and of its place; a line that the system lacks is taken as its first. */
interface At {
  line: number
  place: number
}
/** Which line is under test; 0 is the whole system. */
type Covers = 0 | 1 | 2

type Act =
  | { act: 'remake'; at: At; torque: Torque }
  | { act: 'torque'; at: At; torque: Torque }
  | { act: 'inspect'; at: At }
  | { act: 'check'; at: At; came: 'tight' | 'found' | 'too-low' }
  | { act: 'check-all' }
  | { act: 'close' }
  | { act: 'pressure'; covers: Covers; shape: 'holds' | 'falls' | 'short'; long: boolean; cause: boolean }
  | {
      act: 'vacuum'
      covers: Covers
      shape: 'tight' | 'leak' | 'moisture' | 'short'
      long: boolean
      cause: boolean
    }
  | { act: 'charge' }
  | { act: 'run' }
  | { act: 'concede'; requirement: RequirementCode; line: number }

const at: fc.Arbitrary<At> = fc.record({
  line: fc.constantFrom(0, 0, 1),
  place: fc.integer({ min: 0, max: 3 }),
})
const covers = fc.constantFrom<Covers[]>(0, 0, 1, 2)
const torque = fc.constantFrom<Torque[]>('low', 'good', 'good', 'high')
const onJoints: fc.Arbitrary<Act> = fc.oneof(
  fc.record({ act: fc.constant('remake' as const), at, torque }),
  fc.record({ act: fc.constant('torque' as const), at, torque }),
  fc.record({ act: fc.constant('inspect' as const), at }),
  fc.record({
    act: fc.constant('check' as const),
    at,
    came: fc.constantFrom('tight' as const, 'found' as const, 'too-low' as const),
  }),
  fc.record({ act: fc.constant('check-all' as const) }),
  fc.record({ act: fc.constant('close' as const) }),
)
const pressureTest: fc.Arbitrary<Act> = fc.record({
  act: fc.constant('pressure' as const),
  covers,
  shape: fc.constantFrom('holds' as const, 'holds' as const, 'falls' as const, 'short' as const),
  long: fc.boolean(),
  cause: fc.boolean(),
})
const evacuation: fc.Arbitrary<Act> = fc.record({
  act: fc.constant('vacuum' as const),
  covers,
  shape: fc.constantFrom(
    'tight' as const,
    'tight' as const,
    'leak' as const,
    'moisture' as const,
    'short' as const,
  ),
  long: fc.boolean(),
  cause: fc.boolean(),
})
/** Whatever a manager would let go, also what nobody may. */
const concession: fc.Arbitrary<Act> = fc.record({
  act: fc.constant('concede' as const),
  requirement: fc.constantFrom<RequirementCode[]>(
    'standing-pressure-held',
    'vacuum-held',
    'joint-leak-checked',
    'order-of-work',
    'ports-and-caps-closed',
  ),
  line: fc.constantFrom(0, 1),
})
const charge = fc.constant<Act>({ act: 'charge' })
const run = fc.constant<Act>({ act: 'run' })
const act = fc.oneof({ weight: 6, arbitrary: onJoints }, pressureTest, evacuation, charge, run, concession)

const TORQUE = { liquid: { low: 12, good: 16, high: 21 }, gas: { low: 30, good: 38, high: 47 } }

interface History {
  refrigerant: 'R-410A' | 'R-32'
  lines: 1 | 2
  begun: number
  acts: readonly Act[]
}

/** Carries the acts out one after the other; what can't happen (a second charge, a nut not yet there) is passed over. */
function history({ refrigerant, lines, begun, acts }: History): Dossier {
  const job = aJob().withSystem({ refrigerant, sheet: { refrigerant } })
  for (let line = 1; line <= lines; line += 1) {
    job.withLineSet({ room: { floorAreaM2: 60 }, lengthM: 3.2 })
    job.withJoint({ kind: 'service-port', place: 'outdoor-gas-port', line: 'gas', origin: 'factory' })
  }
  job.dossier.policy.evidence.photos = []
  const burns = refrigerant === 'R-32'
  const joints = () => job.system.joints.filter((joint) => joint.kind !== 'service-port')
  const ports = () => job.system.joints.filter((joint) => joint.kind === 'service-port')
  const check = (joint: Joint) => {
    job.at(joint.tag)
    if (burns && joint.indoors) job.leakCheckedByDetector()
    else job.leakChecked()
  }
  const close = () => {
    for (const port of ports()) {
      job.at(port.tag)
      if (port.makes.length === 0) job.made()
      job.closed().leakCheckedByDetector()
    }
  }
  const whole = [
    () =>
      job
        .at(...joints().map(({ tag }) => tag))
        .made()
        .prepared()
        .flared()
        .inspected()
        .assembled()
        .torqued(),
    () => joints().forEach(check),
    () => job.pressureTested(),
    () => job.evacuated(),
    () => job.charged(),
    () => job.ran(),
    close,
  ]
  for (const part of whole.slice(0, begun)) part()
  for (const one of acts) carryOut(one)
  return job.build()

  function jointAt({ line, place }: At): Joint {
    const found = joints().filter(({ lineSetId }) => lineSetId === lineOf(line).id)[place]
    if (!found) throw new Error(`There is no place ${place}.`)
    return found
  }
  function lineOf(number: number) {
    const line = job.system.lineSets[number % lines]
    if (!line) throw new Error(`There is no line ${number}.`)
    return line
  }
  function under(covered: Covers) {
    return covered === 0 ? {} : { covers: [{ kind: 'line-set' as const, id: lineOf(covered - 1).id }] }
  }

  function carryOut(one: Act): void {
    job.later(5)
    switch (one.act) {
      case 'remake': {
        const joint = jointAt(one.at)
        job.at(joint.tag).made().prepared().flared().inspected().assembled()
        job.torqued(TORQUE[joint.line][one.torque])
        return
      }
      case 'torque': {
        const joint = jointAt(one.at)
        if (joint.makes.length > 0) job.at(joint.tag).torqued(TORQUE[joint.line][one.torque])
        return
      }
      case 'inspect': {
        const joint = jointAt(one.at)
        if (joint.makes.length > 0) job.at(joint.tag).inspected()
        return
      }
      case 'check': {
        const joint = jointAt(one.at)
        if (joint.makes.length === 0) return
        if (one.came === 'found') job.at(joint.tag).leakChecked({ result: 'found' })
        else if (one.came === 'too-low') job.at(joint.tag).leakChecked({ gaugePressurePa: 0.5e6 })
        else check(joint)
        return
      }
      case 'check-all':
        for (const joint of joints()) if (joint.makes.length > 0) check(joint)
        return
      case 'close':
        close()
        return
      case 'pressure':
        job.pressureTested({
          shape: one.shape,
          ...under(one.covers),
          ...(one.long && one.shape !== 'short' ? { holdMinutes: 150 } : {}),
          repeatCause: one.cause ? 'The hose core leaked; replaced.' : null,
        })
        return
      case 'vacuum':
        job.evacuated({
          shape: one.shape,
          ...under(one.covers),
          ...(one.long && one.shape === 'tight' ? { holdMinutes: 40 } : {}),
          repeatCause: one.cause ? 'The hose core leaked; replaced.' : null,
        })
        return
      case 'charge':
        if (job.system.charges.length === 0) job.charged()
        return
      case 'run':
        job.ran()
        return
      case 'concede': {
        const { requirement } = one
        const line = lineOf(one.line)
        if (requirement === 'order-of-work') job.conceded(requirement, job.system.id)
        else if (requirement === 'standing-pressure-held' || requirement === 'vacuum-held')
          job.conceded(requirement, line.id)
        else
          for (const joint of job.system.joints)
            if (joint.lineSetId === line.id) job.conceded(requirement, joint.id)
      }
    }
  }
}

const circuit = {
  refrigerant: fc.constantFrom('R-410A' as const, 'R-32' as const),
  lines: fc.constantFrom(1 as const, 2 as const),
}
/** A job done by the book up to somewhere, and whatever happened afterwards. */
const byTheBook: fc.Arbitrary<History> = fc.record({
  ...circuit,
  begun: fc.oneof(fc.integer({ min: 4, max: 7 }), fc.integer({ min: 0, max: 7 }), fc.constant(7)),
  acts: fc.array(act, { maxLength: 7 }),
})
/** Mostly in this order. */
const ending: fc.Arbitrary<Act[]> = fc.oneof(
  { weight: 3, arbitrary: fc.constant<Act[]>([{ act: 'charge' }, { act: 'run' }, { act: 'close' }]) },
  fc.shuffledSubarray<Act>([{ act: 'charge' }, { act: 'run' }, { act: 'close' }], { minLength: 3 }),
)
/** Joints made and checked, then tested this way and that, as a whole and line by line, charged, and let go by a manager. */
const manyTests: fc.Arbitrary<History> = fc
  .record({
    ...circuit,
    pressure: fc.array(pressureTest, { minLength: 1, maxLength: 3 }),
    between: fc.array(fc.oneof(act, pressureTest, evacuation), { maxLength: 3 }),
    vacuum: fc.array(evacuation, { minLength: 1, maxLength: 3 }),
    ending,
    after: fc.array(act, { maxLength: 1 }),
    concessions: fc.array(concession, { maxLength: 4 }),
  })
  .map(({ pressure, between, vacuum, ending, after, concessions, ...where }) => ({
    ...where,
    begun: 2,
    acts: [...pressure, ...between, ...vacuum, ...ending, ...concessions, ...after],
  }))
/** Tested and evacuated as a whole; then one line again, well, with or without what has to follow, before the charge. */
const well = { long: false, cause: false }
const oneLineAgain: fc.Arbitrary<History> = fc
  .record({
    ...circuit,
    covers,
    again: fc.subarray(['torque', 'check', 'pressure', 'vacuum']),
    ending,
  })
  .map(({ again, covers, ending, ...where }) => {
    const acts: Record<string, Act> = {
      torque: { act: 'torque', at: { line: covers === 2 ? 1 : 0, place: 3 }, torque: 'good' },
      check: { act: 'check-all' },
      pressure: { act: 'pressure', covers, shape: 'holds', ...well },
      vacuum: { act: 'vacuum', covers, shape: 'tight', ...well },
    }
    return { ...where, begun: 4, acts: [...again.flatMap((name) => acts[name] ?? []), ...ending] }
  })
const histories = fc.oneof(byTheBook, manyTests, oneLineAgain)
/** Nothing but what was done: a concession speaks for what was on record, so there the order of entry is a fact. */
const deedsAlone = histories.map((one) => ({
  ...one,
  acts: one.acts.filter((candidate) => candidate.act !== 'concede'),
}))

const outcomes = (of: Dossier) =>
  evaluate(of)
    .map((finding) => `${finding.requirement} ${finding.subject.id} ${finding.outcome}`)
    .sort()

describe('a job is signable', () => {
  it('if and only if the naive second opinion says so', () => {
    const seen = { signable: 0, conceded: 0, held: 0 }
    fc.assert(
      fc.property(histories, (told) => {
        const dossier = history(told)
        const findings = evaluate(dossier)
        const said = isSignable(findings)
        seen[said ? 'signable' : 'held'] += 1
        if (said && findings.some(({ outcome }) => outcome === 'conceded')) seen.conceded += 1
        const why = findings
          .filter(({ outcome }) => outcome !== 'met' && outcome !== 'not-applicable')
          .map(
            (finding) =>
              `${finding.outcome} ${finding.requirement} ${finding.subject.name}: ${finding.reason}`,
          )
        expect(said, why.join('\n')).toBe(naivelySignable(dossier))
      }),
      { numRuns: RUNS, seed: SEED },
    )
    // Both answers must come up often enough for the agreement to mean something.
    expect(seen.signable).toBeGreaterThan(60)
    expect(seen.conceded).toBeGreaterThan(8)
    expect(seen.held).toBeGreaterThan(500)
  })

  it('with what was too short or damp let go, and nothing else', () => {
    const chosen = fc.record({
      lines: fc.constantFrom(1 as const, 2 as const),
      pressure: fc.constantFrom('holds' as const, 'short' as const, 'falls' as const),
      vacuum: fc.constantFrom('tight' as const, 'short' as const, 'moisture' as const, 'leak' as const),
      conceded: fc.subarray(['standing-pressure-held', 'vacuum-held', 'order-of-work'] as RequirementCode[]),
      both: fc.boolean(),
    })
    let conceded = 0
    fc.assert(
      fc.property(chosen, ({ lines, pressure, vacuum, conceded: requirements, both }) => {
        const plain = { long: false, cause: false, covers: 0 as const }
        const dossier = history({
          refrigerant: 'R-410A',
          lines,
          begun: 2,
          acts: [
            { act: 'pressure', shape: pressure, ...plain },
            { act: 'vacuum', shape: vacuum, ...plain },
            { act: 'charge' },
            { act: 'run' },
            { act: 'close' },
            ...requirements.flatMap((requirement) =>
              (both ? [0, 1] : [0]).map((line) => ({ act: 'concede' as const, requirement, line })),
            ),
          ],
        })
        const findings = evaluate(dossier)
        if (findings.some(({ outcome }) => outcome === 'conceded')) conceded += 1
        expect(isSignable(findings)).toBe(naivelySignable(dossier))
      }),
      { numRuns: 400, seed: 20260306 },
    )
    expect(conceded).toBeGreaterThan(40)
  })

  it('whatever the order in which the same facts are kept', () => {
    fc.assert(
      fc.property(histories, fc.integer({ min: 1, max: 1000 }), (told, salt) => {
        const dossier = history(told)
        const shuffled = structuredClone(dossier)
        const mixed = <Item extends { id: string }>(items: Item[]) =>
          items.sort((one, other) => order(one.id, salt) - order(other.id, salt))
        for (const system of shuffled.systems) {
          mixed(system.pressureTests)
          mixed(system.evacuations)
          mixed(system.runningChecks)
          mixed(system.joints)
          for (const joint of system.joints) {
            mixed(joint.leakChecks)
            for (const make of joint.makes) mixed(make.steps)
          }
        }
        expect(outcomes(shuffled)).toEqual(outcomes(dossier))
      }),
      { numRuns: 300, seed: 20260305 },
    )
  })

  it('whatever the order in which they were entered, all in the evening of the last day', () => {
    fc.assert(
      fc.property(deedsAlone, fc.integer({ min: 1, max: 1000 }), (told, salt) => {
        const dossier = history(told)
        const entered = structuredClone(dossier)
        for (const system of entered.systems) {
          const facts = [
            ...system.pressureTests,
            ...system.evacuations,
            ...system.charges,
            ...system.runningChecks,
            ...system.joints.flatMap((joint) => [
              ...joint.leakChecks,
              ...joint.makes.flatMap((make) => [make, ...make.steps]),
            ]),
          ]
          const evening =
            Math.max(dossier.job.openedAt, ...facts.map(({ performedAt }) => performedAt)) + HOUR
          for (const fact of facts) fact.recordedAt = evening + (order(fact.id, salt) % 500) * 1000
        }
        expect(outcomes(entered)).toEqual(outcomes(dossier))
      }),
      { numRuns: 300, seed: 20260307 },
    )
  })
})

/** Some order that has nothing to do with time. */
function order(id: string, salt: number): number {
  let mixed = salt
  for (const letter of id) mixed = (mixed * 31 + letter.charCodeAt(0)) % 65_521
  return mixed
}
