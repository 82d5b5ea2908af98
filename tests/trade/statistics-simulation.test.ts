/** Holds intervals and the flagging rule against simulated companies: do they cover, accuse and find as often as they say? */
import { describe, expect, it, vi } from 'vitest'
import {
  ageBandAt,
  expectedEvents,
  exposureByAge,
  type PerAgeBand,
  ratesPerAgeBand,
  sumPerAgeBand,
} from '../../server/trade/exposure.ts'
import { flagGroups } from '../../server/trade/flagging.ts'
import { poissonInterval } from '../../server/trade/poisson-interval.ts'
import { shrinkGroups } from '../../server/trade/shrinkage.ts'
import { kaplanMeier } from '../../server/trade/survival.ts'
import { wilsonInterval } from '../../server/trade/wilson.ts'
import { type SeededRandom, seededRandom, simulationSeed } from './seeded-random.ts'

// A few seconds on a free machine; a busy one gets its time.
vi.setConfig({ testTimeout: 120_000 })

const percent = (share: number) => `${(100 * share).toFixed(2)} %`
const error = (share: number, tries: number) => Math.sqrt((share * (1 - share)) / tries)

describe('intervals cover what they say', () => {
  it('Garwood covers at least 95 % at every rate', () => {
    const random = seededRandom(simulationSeed(1))
    const tries = 2000
    const lines: string[] = []
    for (const mean of [0.1, 0.5, 1, 3, 8, 25]) {
      let covered = 0
      const intervals = new Map<number, { low: number; high: number }>()
      for (let index = 0; index < tries; index += 1) {
        const count = random.poisson(mean)
        const interval = intervals.get(count) ?? poissonInterval(count)
        intervals.set(count, interval)
        if (interval.low <= mean && mean <= interval.high) covered += 1
      }
      lines.push(`mean ${mean}: ${percent(covered / tries)}`)
      expect(covered / tries).toBeGreaterThanOrEqual(0.95 - 3 * error(0.95, tries))
    }
    console.info(`Garwood 95 %: ${lines.join(', ')}`)
  })

  it('Wilson covers 95 % on average over shares', () => {
    const random = seededRandom(simulationSeed(2))
    const tries = 6000
    let covered = 0
    for (let index = 0; index < tries; index += 1) {
      const share = random.between(0.02, 0.98)
      let successes = 0
      for (let k = 0; k < 60; k += 1) if (random.between(0, 1) < share) successes += 1
      const { low, high } = wilsonInterval(successes, 60)
      if (low <= share && share <= high) covered += 1
    }
    console.info(`Wilson 95 %, n = 60: ${percent(covered / tries)}`)
    expect(Math.abs(covered / tries - 0.95)).toBeLessThan(3 * error(0.95, tries) + 0.005)
  })

  it('Kaplan–Meier with Greenwood covers 95 % in the middle of its range', () => {
    const random = seededRandom(simulationSeed(3))
    const tries = 2000
    const lines: string[] = []
    for (const [joints, at] of [
      [60, 0.3],
      [60, 0.8],
      [200, 0.5],
    ] as const) {
      const truth = Math.exp(-at)
      let covered = 0
      for (let index = 0; index < tries; index += 1) {
        const watched = Array.from({ length: joints }, () => {
          const leak = random.exponential(1)
          const lost = random.between(0.2, 2.5)
          return { time: Math.min(leak, lost), event: leak <= lost }
        })
        const step = kaplanMeier(watched)
          .steps.filter((one) => one.time <= at)
          .at(-1)
        if (step && step.low <= truth && truth <= step.high) covered += 1
      }
      lines.push(`${joints} joints at ${percent(truth)} left: ${percent(covered / tries)}`)
      expect(Math.abs(covered / tries - 0.95)).toBeLessThan(3 * error(0.95, tries) + 0.005)
    }
    console.info(`Greenwood 95 %: ${lines.join(', ')}`)
  })

  it('shrunk ratios cover 95 % of true ratios, whatever the unknown shape', () => {
    const random = seededRandom(simulationSeed(4))
    const companies = 100
    const run = (drawShape: () => number) => {
      const shares: number[] = []
      let squaresShrunk = 0
      let squaresRaw = 0
      for (let company = 0; company < companies; company += 1) {
        const shape = drawShape()
        const groups = Array.from({ length: 12 }, (_, index) => {
          const truth = random.gamma(shape, 1)
          const expected = random.between(0.3, 12)
          return { key: `${index}`, truth, expected, observed: random.poisson(truth * expected) }
        })
        const shrunk = shrinkGroups(groups).groups
        let covered = 0
        groups.forEach((group, index) => {
          const one = shrunk[index]
          if (!one) throw new Error('a group is missing')
          const { low, high } = one.interval()
          if (low <= group.truth && group.truth <= high) covered += 1
          squaresShrunk += (one.shrunkRatio - group.truth) ** 2
          squaresRaw += ((one.ratio ?? 0) - group.truth) ** 2
        })
        shares.push(covered / groups.length)
      }
      const mean = shares.reduce((sum, share) => sum + share, 0) / companies
      const spread = Math.sqrt(shares.reduce((sum, share) => sum + (share - mean) ** 2, 0) / (companies - 1))
      return {
        coverage: mean,
        standardError: spread / Math.sqrt(companies),
        gain: squaresShrunk / squaresRaw,
      }
    }
    const anyShape = run(() => 0.5 * 40 ** random.between(0, 1))
    const lines = [`shape unknown: ${percent(anyShape.coverage)} ± ${percent(anyShape.standardError)}`]
    expect(Math.abs(anyShape.coverage - 0.95)).toBeLessThan(3 * anyShape.standardError)
    for (const shape of [1, 3, 10]) {
      const { coverage, standardError, gain } = run(() => shape)
      lines.push(
        `shape ${shape}: ${percent(coverage)}, squared error ${gain.toFixed(2)} of that of the raw ratios`,
      )
      // At one given shape the average over shapes may cover a little less or more.
      expect(coverage).toBeGreaterThan(0.92 - 2 * standardError)
      expect(gain).toBeLessThan(1)
    }
    console.info(`shrunk ratios 95 %: ${lines.join('; ')}`)
  })
})

const YEAR_MS = 365.25 * 86_400_000

interface Company {
  groups: number
  /** Years ago of the first job of each group; newcomers have worked for a few months only. */
  yearsAtWork: (random: SeededRandom, group: number) => number
  systemsPerYear: number
  /** Share of leaking systems on which a second joint leaks too. */
  pairShare: number
  /** True ratio of each group's rate to the others'. */
  ratio: (group: number) => number
  leaksPerJointYear: PerAgeBand
}

/** One company's groups as the service would count them: exposure by age, one event per system and callback. */
function simulateCompany(random: SeededRandom, company: Company) {
  const now = 6 * YEAR_MS
  const groups = Array.from({ length: company.groups }, (_, index) => ({
    key: `${index}`,
    exposures: [] as PerAgeBand[],
    leaks: [] as { system: number; band: 0 | 1 | 2 | 3 }[],
  }))
  groups.forEach((group, index) => {
    const years = company.yearsAtWork(random, index)
    const systems = random.poisson(years * company.systemsPerYear)
    for (let system = 0; system < systems; system += 1) {
      const signedOffAtMs = now - random.between(0, years) * YEAR_MS
      // Four joints of one system, watched together; a first leak ends the exposure of them all.
      const leakMs = firstLeak(random, signedOffAtMs, company, index)
      const exposure = exposureByAge({ signedOffAtMs, toMs: Math.min(now, leakMs) })
      group.exposures.push(exposure.map((years) => 4 * years) as PerAgeBand)
      if (leakMs > now) continue
      // On some systems a second joint leaks too; the list of leaks then names the system twice.
      const leaks = random.between(0, 1) < company.pairShare ? 2 : 1
      for (let leak = 0; leak < leaks; leak += 1)
        group.leaks.push({ system, band: ageBandAt(signedOffAtMs, leakMs) })
    }
  })
  // Events: at most one per system, group and callback.
  const events = groups.map((group) => {
    const perBand: PerAgeBand = [0, 0, 0, 0]
    for (const [, band] of new Map(group.leaks.map((leak) => [leak.system, leak.band]))) perBand[band] += 1
    return perBand
  })
  const rates = ratesPerAgeBand(
    sumPerAgeBand(events),
    sumPerAgeBand(groups.flatMap((group) => group.exposures)),
  )
  return groups.map((group, index) => {
    const systems = (events[index] ?? []).reduce((sum, one) => sum + one, 0)
    return {
      key: group.key,
      events: systems,
      systems,
      expected: expectedEvents(sumPerAgeBand(group.exposures), rates),
    }
  })
}

/** Moment of a system's first leak, by the hazard of each age band in turn. */
function firstLeak(random: SeededRandom, signedOffAtMs: number, company: Company, group: number): number {
  let need = random.exponential(1)
  const months = [0, 3, 12, 24, 1e6]
  for (const band of [0, 1, 2, 3] as const) {
    const length = (((months[band + 1] ?? 0) - (months[band] ?? 0)) / 12) * YEAR_MS
    const hazard = (4 * company.leaksPerJointYear[band] * company.ratio(group)) / YEAR_MS
    if (need < hazard * length) return signedOffAtMs + ((months[band] ?? 0) / 12) * YEAR_MS + need / hazard
    need -= hazard * length
  }
  return Number.POSITIVE_INFINITY
}

describe('the flagging rule on simulated companies', () => {
  const usual: Company = {
    groups: 12,
    // A third are newcomers: most of their joints are in the age at which leaks show.
    yearsAtWork: (random, group) => (group % 3 === 0 ? random.between(0.1, 0.6) : random.between(2, 5)),
    systemsPerYear: 60,
    pairShare: 0.2,
    ratio: () => 1,
    leaksPerJointYear: [0.02, 0.006, 0.003, 0.002],
  }

  it.each<[string, Company]>([
    ['twelve groups with newcomers', usual],
    ['six small groups', { ...usual, groups: 6, systemsPerYear: 25 }],
    ['forty groups', { ...usual, groups: 40 }],
  ])('accuses somebody in at most 5 per cent of companies where nobody is worse: %s', (name, company) => {
    const random = seededRandom(simulationSeed(5 + company.groups))
    const tries = 250
    let accused = 0
    for (let index = 0; index < tries; index += 1) {
      if (flagGroups(simulateCompany(random, company)).groups.some((group) => group.flagged)) accused += 1
    }
    console.info(`nobody worse, ${name}: somebody flagged in ${percent(accused / tries)} of companies`)
    expect(accused / tries).toBeLessThanOrEqual(0.05)
  })

  it('accuses no position of a joint in more than 5 per cent, when two joints of one system leak at once', () => {
    const random = seededRandom(simulationSeed(71))
    const tries = 1000
    let accused = 0
    for (let index = 0; index < tries; index += 1) {
      const counts = [0, 0, 0, 0]
      const systems = random.poisson(14)
      for (let system = 0; system < systems; system += 1) {
        const first = random.whole(0, 3)
        counts[first] = (counts[first] ?? 0) + 1
        const second = random.whole(0, 3)
        if (random.between(0, 1) < 0.2 && second !== first) counts[second] = (counts[second] ?? 0) + 1
      }
      const groups = counts.map((events, at) => ({
        key: `${at}`,
        events,
        systems: events,
        expected: systems / 4,
      }))
      if (flagGroups(groups).groups.some((group) => group.flagged)) accused += 1
    }
    console.info(
      `nobody worse, four positions of the same systems: somebody flagged in ${percent(accused / tries)} of companies`,
    )
    expect(accused / tries).toBeLessThanOrEqual(0.05)
  })

  it.each([6, 12])(
    'finds a group that leaks five times as much, among %d groups and with at least 8 leaks, in at least 90 per cent',
    (groups) => {
      const random = seededRandom(simulationSeed(60 + groups))
      let found = 0
      let tried = 0
      let others = 0
      for (let index = 0; tried < 250 && index < 3000; index += 1) {
        const counts = simulateCompany(random, {
          ...usual,
          groups,
          yearsAtWork: () => random.between(2, 5),
          systemsPerYear: 25,
          ratio: (group) => (group === 1 ? 5 : 1),
        })
        if ((counts[1]?.events ?? 0) < 8) continue
        tried += 1
        const flagged = flagGroups(counts).groups
        if (flagged[1]?.flagged) found += 1
        if (flagged.some((group, at) => at !== 1 && group.flagged)) others += 1
      }
      console.info(
        `planted ratio 5 among ${groups} groups: found in ${percent(found / tried)} of ${tried} companies, another one accused in ${percent(others / tried)}`,
      )
      expect(tried).toBe(250)
      expect(found / tried).toBeGreaterThanOrEqual(0.9)
    },
  )
})
