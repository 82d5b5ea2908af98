// Are leaks counted once for each callback, time in service from sign-off to its end, and flags raised by the rule alone?

import { describe, expect, it } from 'vitest'
import {
  agesOfJoints,
  type JointInService,
  judgeReliability,
  survivalOf,
} from '../../server/rules/judge-reliability.ts'
import { poissonInterval } from '../../server/trade/poisson-interval.ts'

const YEAR = 365.25 * 86_400_000
const START = Date.UTC(2020, 0, 1)
const ever = { from: 0, to: START + 100 * YEAR }
let systems = 0
const joint = (key: string, years: number, over: Partial<JointInService> = {}): JointInService => {
  systems += 1
  return {
    key,
    systemId: `system-${systems}`,
    signedOffAt: START,
    endAt: START + years * YEAR,
    leak: null,
    ...over,
  }
}
const leaking = (key: string, years: number, callbackId: string, over: Partial<JointInService> = {}) =>
  joint(key, years, { leak: { callbackId, at: START + years * YEAR }, ...over })
const many = (count: number, make: () => JointInService) => Array.from({ length: count }, make)
const groupOf = (joints: JointInService[], key: string, span = ever) => {
  const group = judgeReliability(joints, span).groups.find((one) => one.key === key)
  if (!group) throw new Error(`no group ${key}`)
  return group
}

describe('time in service', () => {
  it('runs from sign-off to the leak, the end, or the end of the span', () => {
    const joints = [joint('a', 2), leaking('a', 0.5, 'c1'), joint('a', 3)]
    expect(groupOf(joints, 'a').jointYears).toBeCloseTo(5.5, 9)
    const span = { from: START + YEAR, to: START + 2.5 * YEAR }
    // 1 + none + 1.5 years of it.
    expect(groupOf(joints, 'a', span)).toMatchObject({ joints: 2, events: 0 })
    expect(groupOf(joints, 'a', span).jointYears).toBeCloseTo(2.5, 9)
  })
  it('leaves out what was signed off after the span, or gone before it', () => {
    const joints = [joint('a', 1), joint('b', 1, { signedOffAt: START + 5 * YEAR, endAt: START + 6 * YEAR })]
    const { groups } = judgeReliability(joints, { from: START, to: START + 2 * YEAR })
    expect(groups.map(({ key }) => key)).toEqual(['a'])
  })
  it('is a moment for what leaked as it was signed off, or as it came of another age', () => {
    for (const years of [0, 0.25, 1, 2]) {
      const judged = judgeReliability([leaking('a', years, 'c1')], ever)
      expect(judged.all.events).toBe(1)
      expect(judged.groups[0]?.expectedEvents).toBeCloseTo(1, 6)
    }
  })
  it('is no time, and makes no rate, for a joint signed off this moment', () => {
    expect(groupOf([joint('a', 0)], 'a')).toMatchObject({ ratePer1000JointYears: null, interval: null })
  })
})

describe('leaks', () => {
  it('count once for each callback and group, and once for each callback in all', () => {
    const joints = [
      leaking('a', 1, 'c1', { systemId: 's' }),
      leaking('a', 1, 'c1', { systemId: 's' }),
      leaking('b', 1, 'c1', { systemId: 's' }),
      joint('b', 9),
    ]
    expect(groupOf(joints, 'a')).toMatchObject({ events: 1, systems: 1 })
    expect(groupOf(joints, 'b')).toMatchObject({ events: 1, systems: 1 })
    expect(judgeReliability(joints, ever).all.events).toBe(1)
  })
  it('go to whom their cause points to, while the time stays where the joint was made', () => {
    const joints = [
      joint('flared', 1, { leak: { callbackId: 'c1', at: START + YEAR, key: 'pulled' } }),
      joint('pulled', 1),
    ]
    expect(groupOf(joints, 'flared')).toMatchObject({ joints: 1, events: 0 })
    expect(groupOf(joints, 'pulled')).toMatchObject({ joints: 1, events: 1 })
  })
  it('have a rate with Garwood’s interval', () => {
    // 2 leaks in 10 joint-years: 200 per 1,000; Garwood 1936: 0.242 to 7.225 events.
    const joints = [...many(4, () => joint('a', 2)), leaking('a', 1, 'c1'), leaking('a', 1, 'c2')]
    const group = groupOf(joints, 'a')
    expect(group.ratePer1000JointYears).toBeCloseTo(200, 6)
    expect(group.interval?.low).toBeCloseTo(24.2, 1)
    expect(group.interval?.high).toBeCloseTo(722.5, 1)
    expect(group.interval?.high).toBeCloseTo(poissonInterval(2).high * 100, 9)
  })
  it('that are expected are the company’s, by the age of the joints', () => {
    const joints = [...many(10, () => joint('a', 1)), ...many(10, () => joint('b', 1)), leaking('b', 1, 'c1')]
    const { groups } = judgeReliability(joints, ever)
    expect(groups.reduce((sum, { expectedEvents }) => sum + expectedEvents, 0)).toBeCloseTo(1, 9)
  })
})

describe('a group', () => {
  const rest = () => [
    ...many(200, () => joint('rest', 2)),
    ...['r1', 'r2', 'r3'].map((id) => leaking('rest', 1, id)),
  ]
  it('stands out with eight leaks among twenty joints, and comes first', () => {
    const bad = Array.from({ length: 8 }, (_, index) => leaking('tool', 1, `t${index}`))
    const { groups, tooFewEvents } = judgeReliability(
      [...rest(), ...bad, ...many(12, () => joint('tool', 2))],
      ever,
    )
    expect(tooFewEvents).toBe(false)
    expect(groups.map(({ key, flagged }) => [key, flagged])).toEqual([
      ['tool', true],
      ['rest', false],
    ])
  })
  it('does not stand out by eight leaks of two callbacks', () => {
    const bad = Array.from({ length: 8 }, (_, index) =>
      leaking('tool', 1, `t${index % 2}`, { systemId: `s${index % 2}` }),
    )
    expect(groupOf([...rest(), ...bad, ...many(12, () => joint('tool', 2))], 'tool')).toMatchObject({
      events: 2,
      flagged: false,
    })
  })
  it('never stands out where the company has fewer than five leaks', () => {
    const bad = Array.from({ length: 4 }, (_, index) => leaking('tool', 0.1, `t${index}`))
    const judged = judgeReliability([...many(500, () => joint('rest', 4)), ...bad], ever)
    expect(judged.tooFewEvents).toBe(true)
    expect(judged.groups.some(({ flagged }) => flagged)).toBe(false)
  })
  it('is none where there is no joint', () => {
    expect(judgeReliability([], ever)).toMatchObject({ groups: [], all: { joints: 0, events: 0 } })
  })
})

it('survival falls by one in four when one of four watched joints leaks', () => {
  const { steps } = survivalOf(
    agesOfJoints([leaking('a', 1.01, 'c1'), joint('a', 2), joint('a', 3), joint('a', 4)]),
  )
  expect(steps).toHaveLength(1)
  expect(steps[0]).toMatchObject({ time: 1, atRisk: 4, survival: 0.75 })
})
