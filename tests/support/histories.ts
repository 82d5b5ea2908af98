// What did years of a company's work bring, when the true rates are known? Systems, who made them with what, and which joints leaked.

import { type Random, randomOf } from '../../seed/random.ts'

const DAY = 86_400_000
const YEAR = 365.25 * DAY
const HOUR = 3_600_000

export type Cause = 'tool' | 'wrench' | 'place' | 'model' | 'technician'
/** As many times as likely to leak as the rest. */
export interface Planted {
  cause: Cause
  ratio: number
}

export interface PastJoint {
  place: string
  line: 'liquid' | 'gas'
  tubeOdM: number
  leakAt: number | null
}
export interface PastSystem {
  madeAt: number
  signedOffAt: number
  technician: number
  tool: number
  wrench: number
  model: number
  refrigerant: 'R-32' | 'R-410A' | 'R-454B'
  joints: PastJoint[]
  /** One callback each; some find a second joint besides. */
  callbacks: { at: number; joints: number[] }[]
}
export interface PastYears {
  systems: PastSystem[]
  /** Which of its kind the planted cause is. */
  plantedAt: number
}

export const PLACES: Omit<PastJoint, 'leakAt'>[] = [
  { place: 'outdoor-liquid', line: 'liquid', tubeOdM: 0.00635 },
  { place: 'outdoor-gas', line: 'gas', tubeOdM: 0.009525 },
  { place: 'indoor-liquid', line: 'liquid', tubeOdM: 0.00635 },
  { place: 'indoor-gas', line: 'gas', tubeOdM: 0.009525 },
]
/** How many there are of each; every group is one of six at least, places excepted. */
export const CREW = 8
export const TOOLS = 8
export const WRENCHES = 8
export const MODELS = 10

/** Leaks per joint-year once a joint is two years old; invented, as are the factors of younger ones. */
const BASE_RATE = 0.0022
/** Until which age (years), and how many times as likely: poor making shows early. */
const YOUNG = [
  { until: 0.25, factor: 4 },
  { until: 1, factor: 1.6 },
  { until: 2, factor: 1.1 },
  { until: Number.POSITIVE_INFINITY, factor: 1 },
]
/** How often a callback finds a second joint of the system leaking: leaks that are not independent. */
const PAIRED = 0.15

/**
 * Years of one company, always the same for the same seed. The last of the crew came four months ago; everybody has a
 * tool and a wrench of their own, and borrows another's now and then.
 */
export function pastYears(options: {
  seed: number
  joints: number
  now: number
  years?: number
  planted?: Planted | undefined
}): PastYears {
  const { seed, now, planted } = options
  const random = randomOf(seed)
  const from = now - (options.years ?? 8) * YEAR
  const plantedAt = random.whole(0, planted?.cause === 'place' ? PLACES.length - 1 : CREW - 2)
  const systems: PastSystem[] = []
  const count = Math.max(1, Math.round(options.joints / PLACES.length))
  for (let index = 0; index < count; index += 1) {
    const madeAt = Math.floor(from + ((index + random.next()) / count) * (now - from - 3 * DAY))
    const newcomer = now - madeAt < YEAR / 3
    const technician = random.whole(0, newcomer ? CREW - 1 : CREW - 2)
    const own = () => (random.next() < 0.8 ? technician : random.whole(0, TOOLS - 1))
    const system: PastSystem = {
      madeAt,
      signedOffAt: madeAt + random.whole(4, 40) * HOUR,
      technician,
      tool: own(),
      wrench: own(),
      model: random.whole(0, MODELS - 1),
      refrigerant: (['R-32', 'R-410A', 'R-454B'] as const)[random.whole(0, 2)] ?? 'R-32',
      joints: [],
      callbacks: [],
    }
    system.joints = PLACES.map((place, at) => {
      const worse = planted && causeOf(system, at, planted.cause) === plantedAt ? planted.ratio : 1
      const leakAt = Math.floor(system.signedOffAt + YEAR * ageAtLeak(random, BASE_RATE * worse))
      return { ...place, leakAt: leakAt < now ? leakAt : null }
    })
    system.callbacks = callbacksOf(system, random)
    systems.push(system)
  }
  return { systems, plantedAt }
}

const causeOf = (system: PastSystem, joint: number, cause: Cause): number =>
  cause === 'place' ? joint : system[cause]

/** The age at which a hazard of steps has used up an exponential draw. */
function ageAtLeak(random: Random, rate: number): number {
  let left = -Math.log(1 - random.next())
  let age = 0
  for (const { until, factor } of YOUNG) {
    const here = rate * factor
    if (left <= here * (until - age)) return age + left / here
    left -= here * (until - age)
    age = until
  }
  return Number.POSITIVE_INFINITY
}

function callbacksOf({ joints }: PastSystem, random: Random): PastSystem['callbacks'] {
  const callbacks: PastSystem['callbacks'] = []
  const leaking = joints
    .flatMap(({ leakAt }, index) => (leakAt === null ? [] : [{ index, at: leakAt }]))
    .sort((a, b) => a.at - b.at)
  for (const { index, at } of leaking) {
    if (callbacks.some(({ joints: found }) => found.includes(index))) continue
    const found = [index]
    if (random.next() < PAIRED) {
      const other = random.whole(0, joints.length - 1)
      const joint = joints[other]
      if (joint && other !== index && !callbacks.some((one) => one.joints.includes(other))) {
        joint.leakAt = at
        found.push(other)
      }
    }
    callbacks.push({ at, joints: found })
  }
  return callbacks
}
