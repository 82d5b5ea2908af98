// Who is like a joint that leaked, and who is looked at first? Worked by hand from the tables of docs/methods/at-risk.md.

import { describe, expect, it } from 'vitest'
import {
  commonConditions,
  conditionsOf,
  knownConditions,
  mostAtRiskFirst,
  type Ranked,
  type RiskFacts,
  riskOf,
  sharedConditions,
} from '../../server/rules/at-risk.ts'
import type { Life } from '../../server/rules/cohorts.ts'
import { LEAK_CAUSES } from '../../server/vocabulary.ts'

const life = (over: Partial<Life> = {}): Life => ({
  id: 'make',
  jointId: 'joint',
  systemId: 'system',
  jobId: 'job',
  place: 'indoor-gas',
  line: 'gas',
  tubeOdM: 0.009525,
  kind: 'flare',
  flareMethod: 'powered',
  flaringToolId: 'tool-5',
  wrenchId: 'wrench-2',
  flaredBy: 'tilda',
  torquedBy: 'tilda',
  model: 'LS-35',
  refrigerant: 'R-32',
  madeAt: 0,
  signedOffAt: 0,
  endedAt: null,
  served: true,
  leakAt: null,
  leakCallbackId: null,
  leakCause: null,
  inspectedAt: null,
  acceptedAtOnce: null,
  torqueNm: 38,
  ...over,
})

describe('what makes joints alike', () => {
  it('is told of every cause there is, and never who made them', () => {
    for (const cause of LEAK_CAUSES) {
      const conditions: readonly string[] = conditionsOf(cause)
      expect(conditions, cause).not.toContain('technician')
      expect(new Set(conditions).size, cause).toBe(conditions.length)
      expect(conditions.length > 0, cause).toBe(cause !== 'not-a-joint')
    }
  })

  it.each([
    ['short-flare', 'flaringTool'],
    ['crack', 'flaringTool'],
    ['under-torque', 'wrench'],
    ['vibration', 'position'],
    ['factory', 'model'],
    ['a mouse had bitten it', 'position'],
  ])('after %s is first of all the %s', (cause, leading) => {
    expect(conditionsOf(cause)[0]).toBe(leading)
  })

  it('is the same whoever made them', () => {
    const others = life({ flaredBy: 'tomas', torquedBy: 'teo' })
    expect(sharedConditions(others, life(), 'crack')).toEqual(sharedConditions(life(), life(), 'crack'))
  })

  it('counts only where what leads is shared', () => {
    const leaked = life()
    expect(sharedConditions(life({ place: 'outdoor-gas' }), leaked, 'crack')).toEqual([
      'flaringTool',
      'tubeOd',
      'flareMethod',
    ])
    expect(sharedConditions(life({ flaringToolId: 'tool-6' }), leaked, 'crack')).toEqual([])
    expect(sharedConditions(life({ wrenchId: 'wrench-3' }), leaked, 'crack')).toHaveLength(4)
  })

  it('is led by the next condition where the first is not on record, and by none where nothing is', () => {
    const bare = life({ flaringToolId: null, flareMethod: null })
    expect(knownConditions(bare, 'crack')).toEqual(['tubeOd', 'position'])
    expect(sharedConditions(life({ place: 'outdoor-gas' }), bare, 'crack')).toEqual(['tubeOd'])
    // Two of which nothing is known are not alike for that.
    expect(
      sharedConditions(life({ model: null, place: 'elsewhere' }), life({ model: null }), 'factory'),
    ).toEqual([])
    expect(sharedConditions(life(), life(), 'not-a-joint')).toEqual([])
  })
})

describe('in what the leaks of a group agree', () => {
  const outdoor = life({ place: 'outdoor-liquid', line: 'liquid', tubeOdM: 0.00635 })
  const three = [life(), life({ model: 'LS-50' }), life({ wrenchId: 'wrench-3' })]

  it('is what all of them have, most of the others have not, and the group was not made by', () => {
    // Place and size: one of four others has them. Kind, way, refrigerant: all have them. Model, wrench: the leaks differ.
    const others = [life(), outdoor, outdoor, outdoor]
    expect(commonConditions(three, others, ['flaringTool'])).toEqual([
      { condition: 'position', key: 'indoor-gas/gas' },
      { condition: 'tubeOd', key: '0.009525' },
    ])
    expect(
      commonConditions(three, others, ['flaringTool', 'position']).map(({ condition }) => condition),
    ).toEqual(['tubeOd'])
  })

  it('says nothing of two leaks, of what is not on record, or of what nearly all have', () => {
    expect(commonConditions(three.slice(0, 2), [outdoor], [])).toEqual([])
    const unknown = three.map((one) => ({ ...one, model: null, wrenchId: null, flareMethod: null }))
    expect(commonConditions(unknown, [outdoor], []).map(({ condition }) => condition)).toEqual([
      'position',
      'tubeOd',
    ])
    // Four of five is usual; that is 80 %, and still counts. Five of six does not.
    const like = (count: number) => Array.from({ length: count }, () => life())
    const places = (others: Life[]) =>
      commonConditions(three, others, []).some(({ condition }) => condition === 'position')
    expect(places([...like(4), outdoor])).toBe(true)
    expect(places([...like(5), outdoor])).toBe(false)
  })
})

const facts = (over: Partial<RiskFacts> = {}): RiskFacts => ({
  life: life(),
  yearsInService: 4,
  range: { lowNm: 34, highNm: 42 },
  leakCheck: 'refrigerant-detector',
  shared: [],
  sharedByAll: 0,
  ...over,
})
const pointsOf = (over: Partial<RiskFacts>) =>
  riskOf(facts(over)).reduce((sum, { points }) => sum + points, 0)
const torque = (torqueNm: number | null, kind: Life['kind'] = 'flare') => ({ life: life({ torqueNm, kind }) })

describe('the points of a joint', () => {
  it.each([
    ['nothing against it', {}, 0],
    // The range is 34–42: 15 % of it is 1.2 N·m.
    ['a torque outside', torque(42.01), 3],
    ['a torque at the very limit', torque(42), 2],
    ['a torque close to the lower limit', torque(35.19), 2],
    ['a torque further away from it', torque(35.21), 0],
    ['a torque that was not read', torque(null), 1],
    ['a torque without a range', { range: null }, 1],
    ['no torque where none is asked for', { ...torque(null), range: null }, 0],
    ['a brazed joint, which has none', torque(null, 'brazed'), 0],
    ['no leak check', { leakCheck: null }, 2],
    ['bubbles', { leakCheck: 'bubble' as const }, 1],
    ['a tracer', { leakCheck: 'tracer-hydrogen' as const }, 0],
    ['its first year', { yearsInService: 0.99 }, 2],
    ['a whole year', { yearsInService: 1 }, 1],
    ['three whole years', { yearsInService: 3 }, 0],
    ['the leading condition alone', { shared: ['wrench'], sharedByAll: 1 }, 0],
    ['three conditions, of which one leads', { shared: ['wrench', 'size', 'place'], sharedByAll: 1 }, 4],
    ['two in which a group’s leaks agree', { shared: ['size', 'place'] }, 4],
    // 4 + 3 + 2 + 2.
    ['everything', { ...torque(30), leakCheck: null, yearsInService: 0, shared: ['size', 'place'] }, 11],
  ])('with %s', (_what, over, points) => {
    expect(pointsOf(over)).toBe(points)
  })

  it('come with their reasons in words, those without points too', () => {
    const reasons = riskOf(facts({ shared: ['torque wrench', 'tube size'], sharedByAll: 1 }))
    expect(reasons.map(({ code }) => code)).toEqual(['likeness', 'torque', 'leak-check', 'time-in-service'])
    expect(reasons.map(({ words }) => words.replaceAll('\u00a0', ' '))).toEqual([
      'the same torque wrench and tube size',
      'pulled to 38.0 N·m, well within 34–42 N·m',
      'checked for leaks with a detector or tracer',
      'in service for 4.0 years',
    ])
  })
})

it('the most points come first, then the least proven, then by tag as people count', () => {
  const one = (points: number, yearsInService: number, tag: string, id = tag): Ranked => ({
    points,
    yearsInService,
    tag,
    id,
  })
  const inOrder = [
    one(5, 3, 'A-1'),
    one(4, 0.5, 'A-9'),
    one(4, 2, 'A-2'),
    one(4, 2, 'A-10'),
    one(4, 2, 'A-10', 'A-10 again'),
    one(0, 0.1, 'A-3'),
  ]
  expect([...inOrder].reverse().sort(mostAtRiskFirst)).toEqual(inOrder)
})
