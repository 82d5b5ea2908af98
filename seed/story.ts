// What happened in Brackwater? The demo's jobs as data: where, with what, by whom, and how each one went.

import type { LineSetJointKind, RequirementCode } from '../server/vocabulary.ts'
import type { CallbackStory } from './callbacks.ts'
import type { SharedTool, SheetName } from './equipment.ts'
import {
  DAMP,
  DRY,
  type JointStory,
  type PressureStory,
  type RunningStory,
  type VacuumStory,
  type Zone,
} from './work.ts'

/** A time of the story: days before today at an hour of the day, or a stretch of time before now. */
export type When = { daysAgo: number; hour: number } | { minutesAgo: number }

/** Who signs or decides, when, and with which words. */
interface Decision {
  by: string
  at: When
  reason: string
}

/** Reasons by requirement: what the technician asks to be released, or what the manager answers. */
export type Reasons = Partial<Record<RequirementCode, string>>

/** What the manager asked about the torque of a joint, and what came back. */
export interface Asked {
  by: string
  at: When
  joint: string
  words: string
  answered?: { at: When; words: string }
}

export type End =
  /** Opened at the office, for a visit to come. */
  | { is: 'opened'; scheduledInDays: number }
  /** The crew is at the joints; the last one has come as far as its own story says. */
  | { is: 'at-the-joints'; joints: readonly string[] }
  /** The lines stand under test pressure. */
  | { is: 'under-test' }
  | { is: 'waiting'; requests?: Reasons; asked?: Asked }
  | { is: 'sent-back'; sentBack: Decision }
  | { is: 'signed-off'; by: string; at: When; requests?: Reasons; grants?: Reasons }
  | {
      is: 'reopened'
      by: string
      at: When
      reopened: Decision
      /** The nut that was tightened again, when, and to what torque. */
      tightened: { joint: string; at: When; torqueNm: number }
    }

export interface JobStory {
  /** In a sentence. */
  told: string
  customer: string
  address: string
  contact: string
  elevationM: number
  reference: string
  sheet: SheetName
  system: string
  zones: readonly Zone[]
  /** The first one tests and charges; where there are two, the second one makes the indoor joints. */
  crew: readonly [string, ...string[]]
  visit: When
  /** Tools of the company that took the place of the first one’s own that day. */
  borrows?: readonly SharedTool[]
  /** Flares, unless said otherwise. */
  jointKind?: LineSetJointKind
  /** Joints that did not go as usual, by name. */
  joints?: Record<string, JointStory>
  /** Several in turn, where one was not enough. */
  pressure: PressureStory
  vacuum: readonly VacuumStory[]
  running: RunningStory
  /** Every photo that the built-in criteria ask for was taken. */
  photos?: true
  end: End
  /** It was signed off, and came back. */
  cameBack?: CallbackStory
}

export const single = (name: string, lengthM: number, more: Partial<Zone> = {}): Zone => ({
  name,
  indoorModel: 'LS-35 indoor',
  lengthM,
  riseM: 1.5,
  roomM2: 24,
  mounting: 'wall',
  liquidIn: 0.25,
  gasIn: 0.375,
  ...more,
})
export const multi = (name: string, lengthM: number, roomM2: number): Zone =>
  single(name, lengthM, { indoorModel: 'QM-25 indoor', roomM2 })

export const SALTMARSH_JOBS: readonly JobStory[] = [
  {
    told: 'One zone, one day, nothing to say.',
    customer: 'Ida Fennimore',
    address: '12 Mill Lane, Brackwater',
    contact: 'by the side gate',
    elevationM: 12,
    reference: 'BW-1041',
    sheet: 'single35',
    system: 'Living room',
    zones: [single('Living room', 6.4, { roomM2: 28 })],
    crew: ['teo'],
    visit: { daysAgo: 128, hour: 8 },
    pressure: { fromC: 16, toC: 19.4 },
    vacuum: [DRY],
    running: { mode: 'cooling', ambientC: 27, roomC: 25 },
    end: { is: 'signed-off', by: 'marek', at: { daysAgo: 127, hour: 9 } },
  },
  {
    told: 'Two zones; the kitchen gas flare cracked, was cut off and made again.',
    customer: 'Jory Ashlock',
    address: '3 Chandlers Row, Brackwater',
    contact: 'rings twice',
    elevationM: 8,
    reference: 'BW-1048',
    sheet: 'dual',
    system: 'Kitchen and study',
    zones: [multi('Kitchen', 11.2, 22), multi('Study', 7.6, 14)],
    crew: ['tilda'],
    visit: { daysAgo: 104, hour: 8 },
    joints: {
      'Kitchen indoor-gas': {
        rejected: { point: 'noCracks', reason: 'A hairline crack at the lip, 3 mm long.' },
      },
    },
    pressure: { fromC: 18.2, toC: 20.1 },
    vacuum: [DRY],
    running: { mode: 'cooling', ambientC: 26, roomC: 24 },
    end: { is: 'signed-off', by: 'marek', at: { daysAgo: 102, hour: 11 } },
  },
  {
    told: 'Sun, then cloud on the lines: the pressure test cannot tell, and was released on the joint checks.',
    customer: 'Bram Holloway-Teale',
    address: '27 Quay Street, Brackwater',
    contact: 'workshop next door',
    elevationM: 5,
    reference: 'BW-1055',
    sheet: 'single50',
    system: 'Sail loft',
    zones: [single('Sail loft', 9.8, { indoorModel: 'LS-50 indoor', gasIn: 0.5, roomM2: 46, riseM: 4.5 })],
    crew: ['tomas'],
    visit: { daysAgo: 83, hour: 7 },
    pressure: { fromC: 30.5, toC: 21.5, conditions: 'sun', following: 0.85 },
    vacuum: [DRY],
    running: { mode: 'cooling', ambientC: 30, roomC: 27 },
    end: {
      is: 'signed-off',
      by: 'marek',
      at: { daysAgo: 81, hour: 16 },
      requests: {
        'standing-pressure-held':
          'The lines cross a tin roof: in the sun first, then under cloud. No steady hour before the evening; every joint stood dry under bubbles.',
      },
      grants: {
        'standing-pressure-held':
          'Every joint was checked with bubbles at test pressure and the indoor ones again with the detector. Test in the morning shade next time.',
      },
    },
  },
  {
    told: 'The vacuum levelled off like damp lines; broken with nitrogen and pulled again until dry.',
    customer: 'Petra Onslow-Vane',
    address: '8 Saltern Close, Brackwater',
    contact: 'mornings only',
    elevationM: 14,
    reference: 'BW-1062',
    sheet: 'single50',
    system: 'Garden room',
    zones: [single('Garden room', 12.5, { indoorModel: 'LS-50 indoor', gasIn: 0.5, roomM2: 31 })],
    crew: ['teo'],
    visit: { daysAgo: 61, hour: 8 },
    pressure: { fromC: 15.1, toC: 16.8, conditions: 'rain' },
    vacuum: [
      DAMP,
      {
        ...DRY,
        pullMinutes: 70,
        repeatCause: 'Rain had run into an open end. Broken twice with dry nitrogen, pulled again.',
      },
    ],
    running: { mode: 'cooling', ambientC: 21, roomC: 23 },
    end: { is: 'signed-off', by: 'marek', at: { daysAgo: 60, hour: 10 } },
  },
  {
    told: 'Four zones, two pairs of hands.',
    customer: 'Brackwater Reading Rooms',
    address: '1 Market Square, Brackwater',
    contact: 'the librarian',
    elevationM: 18,
    reference: 'BW-1067',
    sheet: 'four',
    system: 'Reading rooms',
    zones: [
      multi('Newspaper room', 9.5, 38),
      multi('Children', 12, 44),
      multi('Map room', 14.5, 26),
      multi('Office', 6, 15),
    ],
    crew: ['tilda', 'tomas'],
    visit: { daysAgo: 40, hour: 7 },
    pressure: { fromC: 13.5, toC: 14.9 },
    vacuum: [{ ...DRY, pullMinutes: 80, lowestPa: 41 }],
    running: { mode: 'heating', ambientC: 9, roomC: 19 },
    end: { is: 'signed-off', by: 'odile', at: { daysAgo: 38, hour: 14 } },
  },
  {
    told: 'Signed off, then reopened: a nut behind the cover was found loose and tightened.',
    customer: 'Hesper Dunmarrow',
    address: '40 Ropewalk, Brackwater',
    contact: 'bell does not work',
    elevationM: 7,
    reference: 'BW-1070',
    sheet: 'single35',
    system: 'Bedroom',
    zones: [single('Bedroom', 5.2, { roomM2: 16 })],
    crew: ['tomas'],
    visit: { daysAgo: 34, hour: 9 },
    pressure: { fromC: 12.2, toC: 13 },
    vacuum: [DRY],
    running: { mode: 'heating', ambientC: 8, roomC: 20 },
    end: {
      is: 'reopened',
      by: 'marek',
      at: { daysAgo: 33, hour: 9 },
      reopened: {
        by: 'marek',
        at: { daysAgo: 5, hour: 9 },
        reason: 'The customer moved the cover; the gas nut at the outdoor unit turned by hand.',
      },
      tightened: { joint: 'Bedroom outdoor-gas', at: { daysAgo: 4, hour: 10 }, torqueNm: 38.6 },
    },
  },
  {
    told: 'Ducted, with the flammable charge of a whole house; in order.',
    customer: 'Orla Wintersea',
    address: 'Lantern House, 2 Beacon Hill, Brackwater',
    contact: 'dog is friendly',
    elevationM: 46,
    reference: 'BW-1073',
    sheet: 'ducted',
    system: 'Whole house',
    zones: [
      single('Loft unit', 11, {
        indoorModel: 'LD-70 air handler',
        liquidIn: 0.375,
        gasIn: 0.625,
        roomM2: 92,
        mounting: 'ceiling',
        riseM: 5.5,
      }),
    ],
    crew: ['teo'],
    visit: { daysAgo: 19, hour: 8 },
    pressure: { fromC: 9.4, toC: 11 },
    vacuum: [DRY],
    running: { mode: 'cooling', ambientC: 18, roomC: 24 },
    end: { is: 'signed-off', by: 'marek', at: { daysAgo: 18, hour: 8 } },
  },
  {
    told: 'Submitted, and sent back for the cylinder that the charge does not name.',
    customer: 'Silvan Pardoe-Marsh',
    address: '16 Osier Way, Brackwater',
    contact: 'text first',
    elevationM: 9,
    reference: 'BW-1079',
    sheet: 'single35',
    system: 'Front room',
    zones: [single('Front room', 10.5, { roomM2: 19 })],
    crew: ['tilda'],
    visit: { daysAgo: 6, hour: 9 },
    pressure: { fromC: 8.5, toC: 9.2 },
    vacuum: [DRY],
    running: { mode: 'heating', ambientC: 5, roomC: 20 },
    end: {
      is: 'sent-back',
      sentBack: {
        by: 'marek',
        at: { daysAgo: 4, hour: 9 },
        reason: 'The weighed-in charge names no cylinder. Find the number on the delivery note and add it.',
      },
    },
  },
  {
    told: 'Waits for audit; the gas nut indoors was pulled to the very end of its range.',
    customer: 'Ewald Brindlecombe',
    address: '5 Fuller Street, Brackwater',
    contact: 'leave the key',
    elevationM: 11,
    reference: 'BW-1083',
    sheet: 'single35',
    system: 'Dining room',
    zones: [single('Dining room', 7.2, { roomM2: 21 })],
    crew: ['teo'],
    visit: { daysAgo: 1, hour: 8 },
    joints: { 'Dining room indoor-gas': { torqueNm: 41.7 } },
    pressure: { fromC: 7.8, toC: 9.1 },
    vacuum: [DRY],
    running: { mode: 'heating', ambientC: 6, roomC: 20 },
    photos: true,
    end: {
      is: 'waiting',
      asked: {
        by: 'marek',
        at: { minutesAgo: 150 },
        joint: 'Dining room indoor-gas',
        words: '41.7 of at most 42 N·m. Was that one pull, or did you go after it?',
        answered: {
          at: { minutesAgo: 35 },
          words: 'One pull. I read it off the display twice, and the flare was looked at before.',
        },
      },
    },
  },
  {
    told: 'Waits for audit; it could not be run yet, and a release until then is asked for.',
    customer: 'Marsh End Pottery',
    address: 'The Kiln, 9 Marsh End, Brackwater',
    contact: 'kiln days Tuesday and Friday',
    elevationM: 4,
    reference: 'BW-1081',
    sheet: 'dual',
    system: 'Workshop and shop',
    zones: [multi('Workshop', 8.4, 52), multi('Shop', 10.1, 27)],
    crew: ['tomas'],
    visit: { daysAgo: 3, hour: 8 },
    pressure: { fromC: 6.5, toC: 7.4 },
    vacuum: [DRY],
    running: {
      mode: 'heating',
      ambientC: 5,
      roomC: 16,
      notPossible: { reason: 'The electrician connects the supply next week', inDays: 9 },
    },
    end: {
      is: 'waiting',
      requests: {
        'running-as-specified': 'No supply yet. We come back as soon as the electrician has been.',
      },
    },
  },
  {
    told: 'Under test pressure at this moment.',
    customer: 'Cato Larkhill',
    address: '22 Drovers Yard, Brackwater',
    contact: 'third bell',
    elevationM: 10,
    reference: 'BW-1085',
    sheet: 'single35',
    system: 'Attic',
    zones: [single('Attic', 8.8, { roomM2: 23, riseM: 6 })],
    crew: ['tilda'],
    visit: { minutesAgo: 118 },
    pressure: { fromC: 8.8, toC: 9.3, readAtMinutes: [12, 27] },
    vacuum: [],
    running: { mode: 'heating', ambientC: 6, roomC: 20 },
    end: { is: 'under-test' },
  },
  {
    told: 'Half-way through the joints: outdoors done, indoors a flare to be looked at.',
    customer: 'Runa Copperfold',
    address: '31 Weir Road, Brackwater',
    contact: 'works from home',
    elevationM: 13,
    reference: 'BW-1086',
    sheet: 'single50',
    system: 'Studio',
    zones: [single('Studio', 6.1, { indoorModel: 'LS-50 indoor', gasIn: 0.5, roomM2: 34 })],
    crew: ['teo'],
    visit: { minutesAgo: 65 },
    joints: { 'Studio indoor-liquid': { upTo: 'flare' } },
    pressure: { fromC: 8, toC: 8 },
    vacuum: [],
    running: { mode: 'heating', ambientC: 6, roomC: 20 },
    end: {
      is: 'at-the-joints',
      joints: ['Studio outdoor-liquid', 'Studio outdoor-gas', 'Studio indoor-liquid'],
    },
  },
  {
    told: 'Opened for tomorrow; nothing done yet.',
    customer: 'Linus Overbeck-Hythe',
    address: '14 Tanners Green, Brackwater',
    contact: 'parking behind the house',
    elevationM: 15,
    reference: 'BW-1088',
    sheet: 'dual',
    system: 'Upstairs',
    zones: [multi('Bedroom', 8, 15), multi('Box room', 9.5, 11)],
    crew: ['tomas'],
    visit: { daysAgo: 1, hour: 16 },
    pressure: { fromC: 8, toC: 8 },
    vacuum: [],
    running: { mode: 'heating', ambientC: 6, roomC: 20 },
    end: { is: 'opened', scheduledInDays: 1 },
  },
]

export const NINEFOLD_JOBS: readonly JobStory[] = [
  {
    told: 'Another company, another way of typing: psi, foot-pounds and Fahrenheit.',
    customer: 'Abel Thornsett',
    address: '77 Cooper Terrace, Ninefold Bridge',
    contact: 'after four',
    elevationM: 210,
    reference: '24-118',
    photos: true,
    sheet: 'single35',
    system: 'Den',
    zones: [single('Den', 6.1, { roomM2: 20 })],
    crew: ['nell'],
    visit: { daysAgo: 12, hour: 9 },
    pressure: { fromC: 10.5, toC: 11.8 },
    vacuum: [DRY],
    running: { mode: 'heating', ambientC: 7, roomC: 21 },
    end: { is: 'signed-off', by: 'nils', at: { daysAgo: 11, hour: 9 } },
  },
  {
    told: 'Begun this morning.',
    customer: 'Vesper Hallorane',
    address: '4 Pump Alley, Ninefold Bridge',
    contact: 'green door',
    elevationM: 214,
    reference: '24-121',
    sheet: 'single35',
    system: 'Parlor',
    zones: [single('Parlor', 7, { roomM2: 25 })],
    crew: ['nell'],
    visit: { minutesAgo: 45 },
    pressure: { fromC: 8, toC: 8 },
    vacuum: [],
    running: { mode: 'heating', ambientC: 6, roomC: 20 },
    end: { is: 'at-the-joints', joints: ['Parlor outdoor-liquid'] },
  },
]
