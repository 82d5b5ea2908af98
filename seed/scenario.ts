// What does the demo database hold? Two companies, their things and their jobs, told through the commands.

import { randomBytes } from 'node:crypto'
import { sealerOf } from '../server/access/sealer.ts'
import type { Signer } from '../server/certificate/signer.ts'
import type { Machinery } from '../server/commands/command.ts'
import type { Files } from '../server/store/files.ts'
import type { Store } from '../server/store/store.ts'
import {
  enterKit,
  enterShared,
  enterSheet,
  enterSpare,
  type Kit,
  laterChecksOfKit,
  laterChecksOfShared,
  SHEETS,
  type SheetName,
} from './equipment.ts'
import { clockAt, type Hands, METRIC, runnerOf, type Typing, US_CUSTOMARY } from './hands.ts'
import {
  type CompanyStory,
  enterLicences,
  foundCompany,
  joinCompany,
  type Members,
  NINEFOLD,
  type Person,
  SALTMARSH,
  setSaltmarshPolicy,
} from './people.ts'
import { randomOf } from './random.ts'
import { tellRecall } from './recalls.ts'
import { type JobStory, NINEFOLD_JOBS, SALTMARSH_JOBS } from './story.ts'
import { type AtWork, inOrderOfTime, momentOf, tellJob } from './tell.ts'
import { pastJobs } from './years.ts'

export interface Scenario {
  store: Store
  files: Files
  signer: Signer
  publicUrl: string
  /** Where the story ends. */
  now: number
  seed: number
  /** Those before the present ones; left out, all the years of them. */
  past?: readonly JobStory[]
}

export interface Told {
  saltmarsh: Members
  ninefold: Members
}

/** When the companies sign up. */
const FOUNDED_DAYS_AGO = 1462

/** Fills an empty, migrated store. The same moment and seed tell the same story, apart from ids, salts and secrets. */
export async function tellScenario(scenario: Scenario): Promise<Told> {
  const { store, files, signer, publicUrl, now, seed } = scenario
  const clock = clockAt(momentOf({ daysAgo: FOUNDED_DAYS_AGO, hour: 9 }, now))
  const machinery: Machinery = {
    store,
    files,
    clock: () => clock.now,
    signer,
    // Nobody in the story has a secret to keep.
    sealer: sealerOf(randomBytes(32)),
    settings: { signup: 'open', publicUrl },
  }
  const shared = { run: runnerOf(machinery), clock, random: randomOf(seed), now, machinery }

  const saltmarsh = await setUp(shared, SALTMARSH, METRIC, {
    sheets: Object.keys(SHEETS) as SheetName[],
    carriers: ['teo', 'tilda'],
    shared: true,
  })
  const { marek } = saltmarsh.members
  if (!marek) throw new Error('Saltmarsh has no service manager.')
  await enterLicences(machinery, clock, now, { story: SALTMARSH, members: saltmarsh.members, by: marek })
  await setSaltmarshPolicy(machinery, marek)
  await enterSpare({ ...saltmarsh, by: marek }, now)

  clock.now = momentOf({ daysAgo: FOUNDED_DAYS_AGO - 1, hour: 9 }, now)
  const ninefold = await setUp(shared, NINEFOLD, US_CUSTOMARY, { sheets: ['single35'], carriers: ['nell'] })

  const begun = clock.now
  await inOrderOfTime(clock, [
    ...checksOf(saltmarsh, begun),
    ...checksOf(ninefold, begun),
    ...SALTMARSH.people.flatMap((person) =>
      person.joinedDaysAgo === undefined ? [] : [tellArrival(saltmarsh, person, person.joinedDaysAgo)],
    ),
    ...jobsOf(saltmarsh, [...(scenario.past ?? pastJobs(now)), ...SALTMARSH_JOBS]),
    ...jobsOf(ninefold, NINEFOLD_JOBS),
    tellRecall(saltmarsh),
  ])
  return { saltmarsh: saltmarsh.members, ninefold: ninefold.members }
}

/** A company with its people, sheets, and one kit of instruments for each technician. */
async function setUp(
  shared: Omit<AtWork, 'typing' | 'members' | 'kits' | 'sheets' | 'shared'>,
  story: CompanyStory,
  typing: Typing,
  things: { sheets: SheetName[]; carriers: string[]; shared?: true },
): Promise<AtWork> {
  const members = await foundCompany(shared.machinery, shared.clock, story)
  const owner = members[story.people[0].key]
  if (!owner) throw new Error(`${story.name} has no owner.`)
  const hands: Hands = { ...shared, typing, by: owner }
  const sheets: AtWork['sheets'] = {}
  for (const name of things.sheets) sheets[name] = await enterSheet(hands, name)
  const kits: Record<string, Kit> = {}
  for (const [index, key] of things.carriers.entries())
    kits[key] = await enterKit(hands, shared.now, index + 1)
  const tools = things.shared ? await enterShared(hands, shared.now) : {}
  return { ...shared, typing, members, kits, sheets, shared: tools }
}

const jobsOf = (company: AtWork, jobs: readonly JobStory[]) => jobs.map((job) => tellJob(company, job))

/** The instruments' later checks, each entered on its day: of a kit by who carries it, else by the owner. */
function checksOf(company: AtWork, since: number): AsyncGenerator<number, void, void>[] {
  const kits = Object.entries(company.kits).flatMap(([key, kit], index) =>
    laterChecksOfKit(kit, index + 1, since, company.now).map((check) => ({
      ...check,
      by: company.members[key],
    })),
  )
  const owner = Object.values(company.members).find(({ role }) => role === 'owner')
  const tools = laterChecksOfShared(company.shared, since, company.now).map((check) => ({
    ...check,
    by: owner,
  }))
  return [...kits, ...tools].map(async function* ({ at, enter, by }) {
    yield at
    if (by) await enter({ ...company, by })
  })
}

/** Somebody comes later: invited and equipped on the day, and their kit is checked from then on. */
async function* tellArrival(
  company: AtWork,
  person: Person,
  daysAgo: number,
): AsyncGenerator<number, void, void> {
  const { machinery, clock, members, now } = company
  const { odile, marek } = members
  if (!odile || !marek) throw new Error('Nobody is there to let them in.')
  yield momentOf({ daysAgo, hour: 10 }, now)
  const member = await joinCompany(machinery, clock, odile, person)
  members[person.key] = member
  await enterLicences(machinery, clock, now, { story: SALTMARSH, members, by: marek, only: person })
  const number = Object.keys(company.kits).length + 1
  const kit = await enterKit({ ...company, by: odile }, now, number)
  company.kits[person.key] = kit
  const checks = laterChecksOfKit(kit, number, clock.now, now).sort((a, b) => a.at - b.at)
  for (const { at, enter } of checks) {
    yield at
    await enter({ ...company, by: member })
  }
}
