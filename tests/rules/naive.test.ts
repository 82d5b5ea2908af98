// Do the rules and a second, deliberately naive opinion agree on every possible history?

import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Dossier } from '../../server/rules/dossier.ts'
import { evaluate, isSignable } from '../../server/rules/index.ts'
import { aJob, type JobBuilder } from '../support/dossiers.ts'
import { naivelySignable } from './naive-checker.ts'

const PLACES = ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid', 'indoor-gas'] as const

type Act =
  | { act: 'remake'; place: (typeof PLACES)[number]; torque: 'low' | 'good' | 'high' }
  | { act: 'torque'; place: (typeof PLACES)[number]; torque: 'low' | 'good' | 'high' }
  | { act: 'inspect'; place: (typeof PLACES)[number] }
  | { act: 'check'; place: (typeof PLACES)[number]; found: boolean }
  | { act: 'check-all' }
  | { act: 'pressure'; shape: 'holds' | 'falls' | 'short'; long: boolean; cause: boolean }
  | { act: 'vacuum'; shape: 'tight' | 'leak' | 'short'; long: boolean; cause: boolean }
  | { act: 'charge' }
  | { act: 'run' }

const place = fc.constantFrom(...PLACES)
const torque = fc.constantFrom('low' as const, 'good' as const, 'good' as const, 'high' as const)
const act: fc.Arbitrary<Act> = fc.oneof(
  fc.record({ act: fc.constant('remake' as const), place, torque }),
  fc.record({ act: fc.constant('torque' as const), place, torque }),
  fc.record({ act: fc.constant('inspect' as const), place }),
  fc.record({ act: fc.constant('check' as const), place, found: fc.boolean() }),
  fc.record({ act: fc.constant('check-all' as const) }),
  fc.record({
    act: fc.constant('pressure' as const),
    shape: fc.constantFrom('holds' as const, 'holds' as const, 'falls' as const, 'short' as const),
    long: fc.boolean(),
    cause: fc.boolean(),
  }),
  fc.record({
    act: fc.constant('vacuum' as const),
    shape: fc.constantFrom('tight' as const, 'tight' as const, 'leak' as const, 'short' as const),
    long: fc.boolean(),
    cause: fc.boolean(),
  }),
  fc.record({ act: fc.constant('charge' as const) }),
  fc.record({ act: fc.constant('run' as const) }),
)

const TORQUE = {
  'outdoor-liquid': { low: 12, good: 16, high: 21 },
  'indoor-liquid': { low: 12, good: 16, high: 21 },
  'outdoor-gas': { low: 30, good: 38, high: 47 },
  'indoor-gas': { low: 30, good: 38, high: 47 },
}

/** Carries the acts out one after the other; what can't happen (a second charge, a nut not yet there) is passed over. */
function history(refrigerant: 'R-410A' | 'R-32', begun: number, acts: readonly Act[]): Dossier {
  const job = aJob()
    .withSystem({ refrigerant, sheet: { refrigerant } })
    .withLineSet({ room: { floorAreaM2: 60 } })
  const burns = refrigerant === 'R-32'
  const check = (at: (typeof PLACES)[number]) => {
    const chosen = job.at(at)
    if (burns && at.startsWith('indoor')) chosen.leakCheckedByDetector()
    else chosen.leakChecked()
  }
  const whole = [
    () => job.everywhere().made().prepared().flared().inspected().assembled().torqued(),
    () => PLACES.forEach(check),
    () => job.pressureTested(),
    () => job.evacuated(),
    () => job.charged(),
    () => job.ran(),
  ]
  for (const part of whole.slice(0, begun)) part()
  for (const one of acts) carryOut(job, one, check)
  return job.build()
}

function carryOut(job: JobBuilder, one: Act, check: (at: (typeof PLACES)[number]) => void): void {
  job.later(5)
  const isMade = (at: string) => job.joint(at).makes.length > 0
  switch (one.act) {
    case 'remake':
      job
        .at(one.place)
        .made()
        .prepared()
        .flared()
        .inspected()
        .assembled()
        .torqued(TORQUE[one.place][one.torque])
      return
    case 'torque':
      if (isMade(one.place)) job.at(one.place).torqued(TORQUE[one.place][one.torque])
      return
    case 'inspect':
      if (isMade(one.place)) job.at(one.place).inspected()
      return
    case 'check':
      if (!isMade(one.place)) return
      if (one.found) job.at(one.place).leakChecked({ result: 'found' })
      else check(one.place)
      return
    case 'check-all':
      for (const at of PLACES) if (isMade(at)) check(at)
      return
    case 'pressure':
      job.pressureTested({
        shape: one.shape,
        ...(one.long && one.shape !== 'short' ? { holdMinutes: 150 } : {}),
        repeatCause: one.cause ? 'The hose core leaked; replaced.' : null,
      })
      return
    case 'vacuum':
      job.evacuated({
        shape: one.shape,
        ...(one.long && one.shape === 'tight' ? { holdMinutes: 40 } : {}),
        repeatCause: one.cause ? 'The hose core leaked; replaced.' : null,
      })
      return
    case 'charge':
      if (job.dossier.systems[0]?.charges.length === 0) job.charged()
      return
    case 'run':
      job.ran()
  }
}

const histories = fc.record({
  refrigerant: fc.constantFrom('R-410A' as const, 'R-32' as const),
  begun: fc.oneof(fc.integer({ min: 4, max: 6 }), fc.integer({ min: 0, max: 6 })),
  acts: fc.array(act, { maxLength: 7 }),
})

describe('a job is signable', () => {
  it('if and only if the naive second opinion says so', () => {
    const seen = { signable: 0, held: 0 }
    fc.assert(
      fc.property(histories, ({ refrigerant, begun, acts }) => {
        const dossier = history(refrigerant, begun, acts)
        dossier.policy.evidence.photos = []
        const findings = evaluate(dossier)
        const said = isSignable(findings)
        seen[said ? 'signable' : 'held'] += 1
        const why = findings
          .filter(({ outcome }) => outcome !== 'met' && outcome !== 'not-applicable')
          .map(
            (finding) =>
              `${finding.outcome} ${finding.requirement} ${finding.subject.name}: ${finding.reason}`,
          )
        expect(said, why.join('\n')).toBe(naivelySignable(dossier))
      }),
      { numRuns: 1500, seed: 20260304 },
    )
    // Both answers must come up often enough for the agreement to mean something.
    expect(seen.signable).toBeGreaterThan(60)
    expect(seen.held).toBeGreaterThan(500)
  })

  it('whatever the order in which the same facts are kept', () => {
    fc.assert(
      fc.property(histories, fc.integer({ min: 1, max: 1000 }), ({ refrigerant, begun, acts }, salt) => {
        const dossier = history(refrigerant, begun, acts)
        dossier.policy.evidence.photos = []
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
        const outcomes = (of: Dossier) =>
          evaluate(of)
            .map((finding) => `${finding.requirement} ${finding.subject.id} ${finding.outcome}`)
            .sort()
        expect(outcomes(shuffled)).toEqual(outcomes(dossier))
      }),
      { numRuns: 300, seed: 20260305 },
    )
  })
})

/** Some order that has nothing to do with time. */
function order(id: string, salt: number): number {
  let mixed = salt
  for (const letter of id) mixed = (mixed * 31 + letter.charCodeAt(0)) % 65_521
  return mixed
}
