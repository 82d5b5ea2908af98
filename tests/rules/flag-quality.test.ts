// Over many invented companies whose causes are known: is the planted one flagged first, and is nobody accused where there is none?

import { describe, expect, it } from 'vitest'
import { type JointInService, judgeReliability } from '../../server/rules/judge-reliability.ts'
import { type Cause, type PastSystem, type PastYears, pastYears } from '../support/histories.ts'

const NOW = Date.UTC(2026, 6, 1)
const ever = { from: 0, to: NOW }
/** With so many, most companies reach eight leaks of a planted cause. */
const JOINTS = 2000
const COMPANIES = 200

const keyOf: Record<Cause, (system: PastSystem, joint: number) => number> = {
  tool: ({ tool }) => tool,
  wrench: ({ wrench }) => wrench,
  model: ({ model }) => model,
  technician: ({ technician }) => technician,
  place: (_system, joint) => joint,
}

function groupsBy(cause: Cause, { systems }: PastYears) {
  const joints = systems.flatMap((system, at) =>
    system.joints.map((joint, index): JointInService => {
      const callback = system.callbacks.findIndex(({ joints: found }) => found.includes(index))
      return {
        key: String(keyOf[cause](system, index)),
        systemId: String(at),
        signedOffAt: system.signedOffAt,
        endAt: joint.leakAt ?? NOW,
        leak: joint.leakAt === null ? null : { callbackId: `${at}-${callback}`, at: joint.leakAt },
      }
    }),
  )
  return judgeReliability(joints, ever).groups
}

const percent = (share: number) => `${(100 * share).toFixed(1)} %`

describe('a planted cause', () => {
  it.each([
    ['tool', 5],
    ['wrench', 5],
    ['model', 5],
    ['technician', 5],
    ['tool', 8],
  ] as const)(
    'in a %s, %d times as likely, is flagged first in nine companies of ten',
    (cause, ratio) => {
      let told = 0
      let first = 0
      for (let seed = 1; told < COMPANIES; seed += 1) {
        const years = pastYears({
          seed: seed * 31 + ratio,
          joints: JOINTS,
          now: NOW,
          planted: { cause, ratio },
        })
        const groups = groupsBy(cause, years)
        const own = groups.find(({ key }) => key === String(years.plantedAt))
        // The bar is stated for six groups and eight leaks at least.
        if (groups.length < 6 || (own?.events ?? 0) < 8) continue
        told += 1
        if (groups[0]?.key === own?.key && own?.flagged) first += 1
      }
      console.info(`planted ${cause}, ratio ${ratio}: flagged first in ${percent(first / told)} of ${told}`)
      expect(first / told).toBeGreaterThanOrEqual(0.9)
    },
    120_000,
  )
})

describe('without a cause', () => {
  it('a technician is flagged in one company of twenty at most, newcomers and paired leaks included', () => {
    for (const joints of [800, 2000, 6000]) {
      const companies = joints > 4000 ? COMPANIES : 2 * COMPANIES
      let accused = 0
      let newcomers = 0
      for (let seed = 1; seed <= companies; seed += 1) {
        const groups = groupsBy('technician', pastYears({ seed: seed * 977 + joints, joints, now: NOW }))
        if (groups.some(({ flagged }) => flagged)) accused += 1
        if (groups.some(({ flagged, key }) => flagged && key === '7')) newcomers += 1
      }
      console.info(
        `no cause, ${joints} joints: a technician flagged in ${percent(accused / companies)} of ${companies}, the newcomer in ${percent(newcomers / companies)}`,
      )
      expect(accused / companies).toBeLessThanOrEqual(0.05)
      expect(newcomers / companies).toBeLessThanOrEqual(0.05)
    }
  }, 120_000)
})
