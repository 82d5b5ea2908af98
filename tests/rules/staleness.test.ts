// Is what a test covers, and what undoes it, decided by the order of the facts alone?

import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { inOrder, isAfter } from '../../server/rules/chronology.ts'
import type { System } from '../../server/rules/dossier.ts'
import { sectionsOf } from '../../server/rules/scope.ts'
import {
  coversSection,
  deedsOn,
  liesIn,
  passCounts,
  type SectionTest,
  sectionState,
  staleForJoint,
  staleForSection,
  staleLeakCheck,
  type Weighed,
} from '../../server/rules/staleness.ts'
import { aJob, aJobWithJointsMade, HOUR, type JobBuilder, MINUTE, MORNING } from '../support/dossiers.ts'

const twoLines = () => aJobWithJointsMade().withLineSet().flareComplete()
const sectionOf = (job: JobBuilder, id = 'system-1-line-1') => {
  const section = sectionsOf(job.system, job.dossier.at).find((candidate) => candidate.id === id)
  if (!section) throw new Error(`no section ${id}`)
  return section
}
const lastPressure = (job: JobBuilder) => job.system.pressureTests.at(-1) as SectionTest
const lastEvacuation = (job: JobBuilder) => job.system.evacuations.at(-1) as SectionTest

describe('the order of facts', () => {
  it('follows when the work was done, not when it was entered', () => {
    const done = { performedAt: 10, recordedAt: 900 }
    const later = { performedAt: 20, recordedAt: 30 }
    expect([isAfter(later, done), isAfter(done, later)]).toEqual([true, false])
  })
  it('follows the entry where the work has one moment', () => {
    expect(isAfter({ performedAt: 10, recordedAt: 12 }, { performedAt: 10, recordedAt: 11 })).toBe(true)
  })
  it('leaves facts in place that can not be told apart', () => {
    const twins = [
      { name: 'a', performedAt: 1, recordedAt: 1 },
      { name: 'b', performedAt: 1, recordedAt: 1 },
    ]
    expect(inOrder(twins).map(({ name }) => name)).toEqual(['a', 'b'])
  })
  it('is the same however the list was shuffled', () => {
    const moments = fc.uniqueArray(fc.record({ performedAt: fc.nat(9), recordedAt: fc.nat(9) }), {
      selector: (fact) => `${fact.performedAt}/${fact.recordedAt}`,
    })
    fc.assert(
      fc.property(moments, (facts) => {
        expect(inOrder([...facts].reverse())).toEqual(inOrder(facts))
      }),
    )
  })
})

describe('a test covers a joint', () => {
  it.each([
    ['when it names no section, since that is the whole system', [], true],
    ['when it names its line set', [{ kind: 'line-set', id: 'system-1-line-1' }], true],
    ['when it names the unit that the joint is at', [{ kind: 'unit', id: 'system-1-indoor-1' }], true],
    ['when it names the joint', [{ kind: 'joint', id: 'system-1-joint-4' }], true],
    ['but not when it names another line set', [{ kind: 'line-set', id: 'system-1-line-2' }], false],
    ['but not when it names the unit at the other end', [{ kind: 'unit', id: 'outdoor-1' }], false],
  ] as const)('%s', (_, covers, expected) => {
    const joint = twoLines().joint('A-4')
    expect(liesIn({ covers: [...covers] }, joint)).toBe(expected)
  })

  it('and a whole section when every joint of it was named, ports aside', () => {
    const job = aJobWithJointsMade().withJoint({ kind: 'service-port' })
    const section = sectionOf(job)
    const each = ['A-1', 'A-2', 'A-3', 'A-4'].map((tag) => ({
      kind: 'joint' as const,
      id: job.joint(tag).id,
    }))
    expect(coversSection({ covers: each }, section)).toBe(true)
    expect(coversSection({ covers: each.slice(1) }, section)).toBe(false)
  })
})

describe('what was done to a joint', () => {
  it('is listed from the first making to the last torque, leak checks left out', () => {
    const job = aJobWithJointsMade()
    expect(deedsOn(job.joint('A-1'), job.system).map(({ what }) => what)).toEqual([
      'making 1 of A-1 began',
      'the tube of A-1 was prepared anew',
      'A-1 was flared',
      'A-1 was taken apart for inspection',
      'A-1 was assembled',
      'the nut of A-1 was torqued',
    ])
  })
  it('includes a new unit at it, and none at other joints', () => {
    const job = aJobWithJointsMade().replacedUnit('outdoor-1')
    expect(deedsOn(job.joint('A-1'), job.system).at(-1)?.what).toBe('the outdoor unit at A-1 was replaced')
    expect(deedsOn(job.joint('A-4'), job.system).at(-1)?.what).toBe('the nut of A-4 was torqued')
  })
})

describe('a pressure test goes stale', () => {
  const tested = () => aJobWithJointsMade().pressureTested()

  it.each([
    [
      'when a nut is torqued',
      (job: JobBuilder) => job.at('A-4').torqued(40),
      /^The nut of A-4 was torqued on 2026-03-04/,
    ],
    ['when a joint is remade', (job: JobBuilder) => job.at('A-4').made(), /^Making 2 of A-4 began/],
    [
      'when the unit at it is replaced',
      (job: JobBuilder) => job.replacedUnit('system-1-indoor-1'),
      /^The indoor unit at A-3 was replaced/,
    ],
  ])('%s, and says so', (_, deed, sentence) => {
    const job = deed(tested())
    expect(staleForSection(lastPressure(job), sectionOf(job), job.system)?.reason).toMatch(sentence)
  })

  it.each([
    ['by a leak check', (job: JobBuilder) => job.at('A-4').leakChecked()],
    ['by an evacuation', (job: JobBuilder) => job.evacuated()],
    ['by refrigerant', (job: JobBuilder) => job.charged()],
  ])('but not %s', (_, deed) => {
    const job = deed(tested())
    expect(staleForSection(lastPressure(job), sectionOf(job), job.system)).toBeNull()
  })

  it('for the joint that was worked on, not for the others', () => {
    const job = tested().at('A-4').torqued(40)
    expect(staleForJoint(lastPressure(job), job.joint('A-4'), job.system)).not.toBeNull()
    expect(staleForJoint(lastPressure(job), job.joint('A-1'), job.system)).toBeNull()
  })

  it('when the nut was torqued during the hold', () => {
    const job = tested()
    const during = lastPressure(job).performedAt + 30 * MINUTE
    job.at('A-4').torqued(40, { performedAt: during, recordedAt: during })
    expect(staleForSection(lastPressure(job), sectionOf(job), job.system)).not.toBeNull()
  })

  it('not when a late entry states a time before the test', () => {
    const job = tested()
      .at('A-4')
      .torqued(40, { performedAt: MORNING + MINUTE, recordedAt: MORNING + 10 * HOUR })
    expect(staleForSection(lastPressure(job), sectionOf(job), job.system)).toBeNull()
  })

  it('names the first thing done afterwards', () => {
    const job = tested().at('A-2').torqued(40).at('A-2').made()
    expect(staleForSection(lastPressure(job), sectionOf(job), job.system)?.reason).toMatch(/^The nut of A-2/)
  })
})

describe('an evacuation goes stale', () => {
  it('when nitrogen is let into one of its sections afterwards', () => {
    const job = twoLines()
      .evacuated()
      .pressureTested({ covers: [{ kind: 'line-set', id: 'system-1-line-2' }] })
    expect(staleForSection(lastEvacuation(job), sectionOf(job), job.system)?.reason).toMatch(
      /^The section was pressure-tested on .*, after the evacuation of/,
    )
  })
  it('not when another section is pressure-tested', () => {
    const job = twoLines()
      .evacuated({ covers: [{ kind: 'line-set', id: 'system-1-line-1' }] })
      .pressureTested({ covers: [{ kind: 'line-set', id: 'system-1-line-2' }] })
    expect(staleForSection(lastEvacuation(job), sectionOf(job), job.system)).toBeNull()
  })
})

describe('a leak check goes stale', () => {
  it('when its joint is worked on, not when another is', () => {
    const job = aJobWithJointsMade().at('A-2').torqued(40)
    const last = (tag: string) => {
      const check = job.joint(tag).leakChecks.at(-1)
      if (!check) throw new Error('no check')
      return staleLeakCheck(check, job.joint(tag), job.system)
    }
    expect(last('A-2')?.reason).toMatch(/after the leak check/)
    expect(last('A-1')).toBeNull()
  })
})

describe('a repeat after a failure', () => {
  const weigh =
    (results: Record<string, Weighed>) =>
    (test: SectionTest): Weighed =>
      results[test.id] ?? { result: 'undecided', holdS: 0 }
  const history = (
    ...tests: { result: Weighed['result']; minutes?: number; cause?: string; onlyCause?: boolean }[]
  ) => {
    const job = aJobWithJointsMade()
    const results: Record<string, Weighed> = {}
    for (const { result, minutes = 60, cause, onlyCause } of tests) {
      job.pressureTested({ repeatCause: cause ?? null })
      const id = job.system.pressureTests.at(-1)?.id ?? ''
      results[id] = { result, holdS: minutes * 60, ...(onlyCause ? { onlyCause } : {}) }
    }
    const passing = job.system.pressureTests.at(-1)
    if (!passing) throw new Error('no test')
    return passCounts(passing, job.system.pressureTests, weigh(results), sectionOf(job), job.system, 3600)
  }

  it.each([
    ['the first test passes', [{ result: 'pass' }], true],
    ['a failure is followed by a plain pass', [{ result: 'fail' }, { result: 'pass' }], false],
    ['the cause was dealt with', [{ result: 'fail' }, { result: 'pass', cause: 'core replaced' }], true],
    ['the cause is only a blank', [{ result: 'fail' }, { result: 'pass', cause: '  ' }], false],
    ['the hold is just twice as long', [{ result: 'fail' }, { result: 'pass', minutes: 120 }], true],
    ['the hold is a minute short of twice', [{ result: 'fail' }, { result: 'pass', minutes: 119 }], false],
    [
      'an answered failure lies further back',
      [{ result: 'fail' }, { result: 'pass', cause: 'nut remade' }, { result: 'pass' }],
      true,
    ],
    [
      'an unanswered failure lies further back',
      [{ result: 'fail' }, { result: 'pass' }, { result: 'pass' }],
      false,
    ],
    [
      'the longer of two failures sets the measure',
      [
        { result: 'fail', minutes: 90 },
        { result: 'fail', minutes: 10 },
        { result: 'pass', minutes: 100 },
      ],
      false,
    ],
    ['what could not tell is no failure', [{ result: 'undecided' }, { result: 'pass' }], true],
    ['a wrong medium is no failure either', [{ result: 'void' }, { result: 'pass' }], true],
    [
      'parts above their limit need more than a long hold',
      [
        { result: 'fail', onlyCause: true },
        { result: 'pass', minutes: 6000 },
      ],
      false,
    ],
  ] as const)('counts or not: %s', (_, tests, expected) => {
    expect(history(...tests).counts).toBe(expected)
  })

  const always = (): Weighed => ({ result: 'pass', holdS: 3600 })
  const counted = (job: JobBuilder) => {
    const passing = lastPressure(job)
    return passCounts(passing, job.system.pressureTests, always, sectionOf(job), job.system, 3600).counts
  }
  it('a leak found at a joint holds back a later pass until the joint was worked on', () => {
    const found = () => aJobWithJointsMade().at('A-4').leakChecked({ result: 'found' })
    expect(counted(found().pressureTested())).toBe(false)
    expect(counted(found().torqued(40).pressureTested())).toBe(true)
    expect(counted(found().pressureTested({ repeatCause: 'soap on a wet cap' }))).toBe(true)
  })
})

describe('how a section stands', () => {
  const weigh = (test: SectionTest): Weighed => ({
    result: (test.repeatNote ?? 'pass') as Weighed['result'],
    holdS: 3600,
  })
  const stateOf = (job: JobBuilder) =>
    sectionState(sectionOf(job), job.system, job.system.pressureTests, weigh, 3600).state

  it.each([
    ['none', () => aJobWithJointsMade()],
    ['passed', () => aJobWithJointsMade().pressureTested()],
    ['failed', () => aJobWithJointsMade().pressureTested({ repeatNote: 'fail' })],
    ['void', () => aJobWithJointsMade().pressureTested({ repeatNote: 'void' })],
    ['undecided', () => aJobWithJointsMade().pressureTested({ repeatNote: 'undecided' })],
    ['running', () => aJobWithJointsMade().pressureTested({ concludedAt: null })],
    ['stale', () => aJobWithJointsMade().pressureTested().at('A-1').made()],
    ['unexplained', () => aJobWithJointsMade().pressureTested({ repeatNote: 'fail' }).pressureTested()],
    ['passed', () => aJobWithJointsMade().pressureTested().pressureTested({ repeatNote: 'undecided' })],
    ['failed', () => aJobWithJointsMade().pressureTested().pressureTested({ repeatNote: 'fail' })],
  ] as const)('is %s', (state, job) => {
    expect(stateOf(job())).toBe(state)
  })

  it('is passed by two tests that each cover one end', () => {
    const job = aJobWithJointsMade()
      .pressureTested({ covers: [{ kind: 'unit', id: 'outdoor-1' }] })
      .pressureTested({ covers: [{ kind: 'unit', id: 'system-1-indoor-1' }] })
    expect(stateOf(job)).toBe('passed')
  })
  it('is none when one end was never under test', () => {
    expect(
      stateOf(aJobWithJointsMade().pressureTested({ covers: [{ kind: 'unit', id: 'outdoor-1' }] })),
    ).toBe('none')
  })
  it('asks nothing of joints that are left out', () => {
    const job = aJobWithJointsMade().pressureTested({ covers: [{ kind: 'unit', id: 'outdoor-1' }] })
    const leftOut = new Set([job.joint('A-3').id, job.joint('A-4').id])
    expect(
      sectionState(sectionOf(job), job.system, job.system.pressureTests, weigh, 3600, leftOut).state,
    ).toBe('passed')
  })
  it('judges a line without joints by the tests that name it', () => {
    const job = aJob().withSystem().withLineSet().pressureTested()
    const bare: System = { ...job.system, joints: [] }
    const section = sectionsOf(bare, job.dossier.at)[0]
    if (!section) throw new Error('no section')
    expect(sectionState(section, bare, bare.pressureTests, weigh, 3600).state).toBe('passed')
  })
})
