// What did Saltmarsh do in the years before? Who, when, which model and how many zones; the peculiar ones one by one.

import type { CallbackStory, Closing } from './callbacks.ts'
import type { SheetName } from './equipment.ts'
import { type Random, randomOf } from './random.ts'
import { type JobStory, multi, single } from './story.ts'
import { momentOf } from './tell.ts'
import { DRY, type Zone } from './work.ts'

/** Where and for whom is drawn once and stays so, whatever the readings are. */
const DRAWN = 4

/** The firm's jobs in the order of time: from so many days ago to so many, evenly, by these in turn. */
const ROUNDS: readonly {
  from: number
  to: number
  jobs: number
  by: readonly string[]
  tomasBorrows?: true
}[] = [
  { from: 1436, to: 872, jobs: 20, by: ['teo', 'tilda'] },
  { from: 846, to: 498, jobs: 10, by: ['tilda', 'teo'] },
  { from: 470, to: 346, jobs: 5, by: ['tomas', 'teo', 'tilda'] },
  // Torque wrench 3 was away; the spare one stood in for it.
  { from: 328, to: 144, jobs: 12, by: ['tomas', 'teo', 'tomas', 'tilda'], tomasBorrows: true },
]

/** What most people want, in the order in which it came up. */
const MODELS: readonly SheetName[] = [
  'single35',
  'single50',
  'dual',
  'single35',
  'single35',
  'four',
  'single50',
  'single35',
  'dual',
  'single35',
  'ducted',
  'single50',
]

/**
 * One winter, the one before last: the powered flaring tool was new and everybody wanted it. Its cone had a nick that
 * no sample piece showed. Eight of these eleven came back, each at the gas joint indoors, where the flare is largest
 * and the bend is tight.
 */
const WINTER_JOBS = 11
const LEAKED_AFTER: readonly (number | null)[] = [96, 141, null, 118, 203, 87, null, 164, 132, null, 229]
const WINTER_SAID = [
  'Much weaker than at first; the coil ices at one end.',
  'Works, but the fan never slows down any more.',
  'Hisses behind the indoor unit when it stops.',
  'An oily patch on the wall under the unit.',
  'Shows a fault after an hour and stops.',
]

const gone = (joint: string, more: Partial<Closing> = {}): Closing => ({
  found: [{ part: 'joint', joint, where: 'flare-face', cause: 'crack' }],
  responsibility: 'workmanship',
  repair: { left: 0.55 },
  ...more,
})

/** What came back besides, by the place of its job among those of the rounds. */
const CAME_BACK: Readonly<Record<number, (zones: readonly Zone[]) => CallbackStory>> = {
  3: ([zone]) => ({
    daysAfter: 388,
    symptom: 'Runs all night and the room stays cold.',
    closes: gone(`${zone?.name} outdoor-gas`, {
      found: [
        {
          part: 'joint',
          joint: `${zone?.name} outdoor-gas`,
          where: 'nut',
          cause: 'under-torque',
          size: '14 g/yr',
        },
      ],
    }),
  }),
  6: () => ({
    daysAfter: 512,
    symptom: 'Less and less cold, for months.',
    closes: {
      found: [{ part: 'port-core', cause: 'a worn seal', size: '6 g/yr' }],
      responsibility: 'wear',
      repair: { left: 0.7 },
      partsReplaced: [{ part: 'core of the service port' }],
    },
  }),
  11: () => ({
    daysAfter: 274,
    symptom: 'Stopped with a fault; refilled by somebody else, and stopped again.',
    closes: {
      found: [{ part: 'coil', cause: 'a rubbed tube in the coil' }],
      responsibility: 'part',
      partsReplaced: [{ part: 'indoor coil', oldSerial: 'LC-20714', newSerial: 'LC-31186' }],
      claim: { maker: 'Larkspur', number: 'W-5518', status: 'paid', amount: '412.00 EUR' },
    },
  }),
  24: ([zone]) => ({
    daysAfter: 231,
    symptom: 'A crust of ice on the thin pipe.',
    closes: gone(`${zone?.name} indoor-liquid`, {
      found: [{ part: 'joint', joint: `${zone?.name} indoor-liquid`, where: 'flare-face', cause: 'burr' }],
    }),
  }),
  // Two leaks on one cabinet that shook, then one that a ladder made: bad luck, on few jobs of somebody who came late.
  30: ([zone]) => ({
    daysAfter: 152,
    symptom: 'The whole outdoor unit hums, and it no longer cools.',
    closes: {
      found: [
        { part: 'joint', joint: `${zone?.name} outdoor-gas`, where: 'tube-behind-nut', cause: 'vibration' },
        {
          part: 'joint',
          joint: `${zone?.name} outdoor-liquid`,
          where: 'tube-behind-nut',
          cause: 'vibration',
        },
      ],
      responsibility: 'third-party',
      repair: { left: 0.2 },
    },
  }),
  33: ([zone]) => ({
    daysAfter: 119,
    symptom: 'Hit by a ladder, says the customer; since then it hisses.',
    closes: gone(`${zone?.name} outdoor-liquid`, {
      found: [{ part: 'joint', joint: `${zone?.name} outdoor-liquid`, where: 'nut', cause: 'misaligned' }],
      responsibility: 'third-party',
    }),
  }),
  // Rang the day before yesterday; nobody has been there yet.
  41: () => ({ daysAfter: 0, symptom: 'Weaker from week to week, and it gurgles.' }),
}
const RANG_DAYS_AGO = 2

interface Peculiar
  extends Pick<
    JobStory,
    'told' | 'sheet' | 'system' | 'zones' | 'crew' | 'jointKind' | 'borrows' | 'joints'
  > {
  daysAgo: number
}

const PECULIAR: readonly Peculiar[] = [
  {
    told: 'Four rooms behind a branch box under the roof, by two pairs of hands.',
    daysAgo: 932,
    sheet: 'four',
    system: 'Guest house',
    crew: ['teo', 'tilda'],
    zones: [
      { ...multi('Box under the roof', 9, 12), indoorModel: 'QB-4 box', gasIn: 0.5, box: 'runs-to-it' },
      { ...multi('Room 1', 5, 16), box: 'starts-at-it' },
      { ...multi('Room 2', 6.5, 16), box: 'starts-at-it' },
      { ...multi('Room 3', 7, 18), box: 'starts-at-it' },
      { ...multi('Room 4', 9.5, 21), box: 'starts-at-it' },
    ],
  },
  {
    told: 'Brazed from end to end, where the lines run behind plaster.',
    daysAgo: 1187,
    sheet: 'single50',
    system: 'Chapel',
    crew: ['tilda'],
    jointKind: 'brazed',
    zones: [single('Chapel', 14, { indoorModel: 'LS-50 indoor', gasIn: 0.5, roomM2: 84 })],
  },
  {
    told: 'Pressed: no flame in a thatched house.',
    daysAgo: 588,
    sheet: 'single35',
    system: 'Thatched cottage',
    crew: ['teo'],
    jointKind: 'press',
    borrows: ['pressTool'],
    zones: [single('Parlour', 7, { roomM2: 27 })],
  },
  {
    told: 'The first flare came out uneven, was cut off and made again.',
    daysAgo: 402,
    sheet: 'single35',
    system: 'Nursery',
    crew: ['tomas'],
    joints: {
      'Nursery outdoor-gas': {
        rejected: { point: 'even', reason: 'Wider on one side: the tube sat askew in the bar.' },
      },
    },
    zones: [single('Nursery', 6.5, { roomM2: 13 })],
  },
]

/** Every job before those of the present, the oldest first. */
export function pastJobs(now: number): JobStory[] {
  const random = randomOf(DRAWN)
  const taken = new Set<number>()
  const free = (daysAgo: number) => {
    let day = daysAgo
    while (taken.has(day) || isDayOff(day, now)) day += 1
    taken.add(day)
    return day
  }
  const plans = [
    // Where the calendar has put them; the others make way.
    ...winterJobs(now, free, random),
    ...PECULIAR.map((one) => ({ ...one, daysAgo: free(one.daysAgo) })),
    ...routineJobs(free, random),
  ].sort((a, b) => b.daysAgo - a.daysAgo)
  const names = drawNames(random, plans.length)
  const firstNumber = 1041 - plans.length
  return plans.map(({ daysAgo, ...plan }, index) => ({
    ...weatherOf(momentOf({ daysAgo, hour: 12 }, now), random),
    ...plan,
    ...(names[index] ?? NOBODY),
    reference: `BW-${firstNumber + index}`,
    elevationM: random.whole(3, 52),
    visit: { daysAgo, hour: random.whole(7, 8) },
    vacuum: [{ ...DRY, lowestPa: random.between(24, 44), climbPa: random.between(9, 18) }],
    end: {
      is: 'signed-off',
      by: 'marek',
      at: { daysAgo: nextOpenDay(daysAgo - random.whole(1, 2), now), hour: 16 },
    },
  }))
}

type Plan = Peculiar & Pick<JobStory, 'cameBack'>

function winterJobs(now: number, free: (daysAgo: number) => number, random: Random): Plan[] {
  const first = winterBegan(now)
  return LEAKED_AFTER.slice(0, WINTER_JOBS).map((leakedAfter, index) => {
    const sheet = (['single35', 'single35', 'single50', 'dual'] as const)[index % 4] ?? 'single35'
    const zones = zonesOf(sheet, random)
    const leaked = zones.at(-1)?.name ?? ''
    return {
      told: 'In the winter of the powered flaring tool.',
      daysAgo: free(first - 2 - 7 * index),
      sheet,
      system: leaked,
      zones,
      crew: [index % 2 === 0 ? 'teo' : 'tilda'] as const,
      borrows: ['flaringTool'],
      ...(leakedAfter === null
        ? {}
        : {
            cameBack: {
              daysAfter: leakedAfter,
              symptom: WINTER_SAID[index % WINTER_SAID.length] ?? '',
              closes: gone(`${leaked} indoor-gas`, { repair: { left: 0.35 + 0.05 * (index % 5) } }),
            },
          }),
    }
  })
}

function routineJobs(free: (daysAgo: number) => number, random: Random): Plan[] {
  const plans: Plan[] = []
  for (const { from, to, jobs, by, tomasBorrows } of ROUNDS) {
    for (let turn = 0; turn < jobs; turn += 1) {
      const sheet = MODELS[plans.length % MODELS.length] ?? 'single35'
      const zones = zonesOf(sheet, random)
      const who = by[turn % by.length] ?? 'teo'
      const daysAgo = free(Math.round(from - ((from - to) * turn) / (jobs - 1)))
      const cameBack = CAME_BACK[plans.length]?.(zones)
      plans.push({
        told: 'In order.',
        daysAgo,
        sheet,
        system: zones.length === 1 ? (zones[0]?.name ?? '') : zones.map(({ name }) => name).join(' and '),
        zones,
        crew: sheet === 'four' && who !== 'tilda' ? [who, 'tilda'] : [who],
        ...(tomasBorrows && who === 'tomas' ? { borrows: ['torqueWrench'] as const } : {}),
        ...(cameBack && {
          cameBack: cameBack.closes ? cameBack : { ...cameBack, daysAfter: daysAgo - RANG_DAYS_AGO },
        }),
      })
    }
  }
  return plans
}

const ROOMS = [
  'Living room',
  'Kitchen',
  'Bedroom',
  'Study',
  'Attic',
  'Hall',
  'Workshop',
  'Garden room',
  'Dining room',
  'Library',
]

function zonesOf(sheet: SheetName, random: Random): Zone[] {
  const start = random.whole(0, ROOMS.length - 1)
  const room = (index: number) => ROOMS[(start + index) % ROOMS.length] ?? 'Room'
  const length = (low: number, high: number) => Number(random.between(low, high).toFixed(1))
  const roomM2 = () => random.whole(14, 38)
  switch (sheet) {
    case 'single35':
      return [single(room(0), length(4, 11), { roomM2: roomM2() })]
    case 'single50':
      return [single(room(0), length(5, 13), { indoorModel: 'LS-50 indoor', gasIn: 0.5, roomM2: roomM2() })]
    case 'ducted':
      return [
        single('Loft unit', length(7, 12), {
          indoorModel: 'LD-70 air handler',
          liquidIn: 0.375,
          gasIn: 0.625,
          roomM2: 96,
          mounting: 'ceiling',
          riseM: 5.5,
        }),
      ]
    case 'dual':
      return [0, 1].map((index) => multi(room(index), length(5, 13), roomM2()))
    case 'four':
      return [0, 1, 2, 3].map((index) => multi(room(index), length(5, 14), roomM2()))
  }
}

/** Mean of each month, in a temperate place by the sea (invented, like the place). */
const OUTDOORS_C = [4, 5, 7, 10, 14, 18, 21, 21, 17, 13, 8, 5]

function weatherOf(at: number, random: Random): Pick<JobStory, 'pressure' | 'running'> {
  const ambientC = (OUTDOORS_C[new Date(at).getMonth()] ?? 10) + random.whole(-2, 2)
  const fromC = ambientC + Number(random.between(0, 2).toFixed(1))
  const warms = Number(random.between(0.3, 1.6).toFixed(1))
  return {
    pressure: { fromC, toC: fromC + warms },
    running:
      ambientC < 15 ? { mode: 'heating', ambientC, roomC: 20 } : { mode: 'cooling', ambientC, roomC: 25 },
  }
}

/** Days before today of the first of December that began the winter before last. */
function winterBegan(now: number): number {
  const today = new Date(now)
  // Before December the last winter began in the year before.
  const lastBegan = today.getMonth() === 11 ? today.getFullYear() : today.getFullYear() - 1
  return Math.round(
    (momentOf({ daysAgo: 0, hour: 12 }, now) - new Date(lastBegan - 1, 11, 1, 12).getTime()) / DAY_MS,
  )
}
const DAY_MS = 86_400_000

/** Weekends, Christmas and New Year's Day. */
/** Nobody signs off while the office is shut. */
const nextOpenDay = (daysAgo: number, now: number): number =>
  isDayOff(daysAgo, now) ? nextOpenDay(daysAgo - 1, now) : daysAgo

function isDayOff(daysAgo: number, now: number): boolean {
  const day = new Date(momentOf({ daysAgo, hour: 12 }, now))
  const date = `${day.getMonth() + 1}-${day.getDate()}`
  return [0, 6].includes(day.getDay()) || ['12-25', '12-26', '1-1'].includes(date)
}

type Name = Pick<JobStory, 'customer' | 'address' | 'contact'>
const NOBODY: Name = { customer: '', address: '', contact: '' }

const FIRST = [
  'Amity',
  'Barnaby',
  'Corin',
  'Delphi',
  'Emlyn',
  'Florin',
  'Gwenda',
  'Hollis',
  'Isolde',
  'Jasper',
]
const BEGINNING = ['Ash', 'Brin', 'Carr', 'Dun', 'Eld', 'Fern', 'Gors', 'Hazel']
const ENDING = ['mere', 'stow', 'wick', 'holm', 'by', 'ley', 'combe', 'worth']
const STREETS = [
  'Mill Lane',
  'Saltern Close',
  'Chandlers Row',
  'Weir Road',
  'Osier Way',
  'Ropewalk',
  'Beacon Hill',
  'Heron Street',
  'Cockle Lane',
  'Tide Street',
]
const CONTACTS = [
  'by the side gate',
  'after five',
  'rings back',
  'key at number 3',
  'mornings only',
  'no dogs',
]

/** Everybody has another name. */
function drawNames(random: Random, count: number): Name[] {
  const families = BEGINNING.flatMap((beginning) => ENDING.map((ending) => beginning + ending))
  const pick = <Item>(items: readonly Item[]) => items[random.whole(0, items.length - 1)]
  return Array.from({ length: count }, () => {
    const [family = 'Nobody'] = families.splice(random.whole(0, families.length - 1), 1)
    return {
      customer: `${pick(FIRST)} ${family}`,
      address: `${random.whole(1, 88)} ${pick(STREETS)}, Brackwater`,
      contact: pick(CONTACTS) ?? '',
    }
  })
}
