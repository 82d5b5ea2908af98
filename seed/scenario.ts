// What does the demo database hold? Two companies, their things and their jobs, told through the commands.

import type { Signer } from '../server/certificate/signer.ts'
import type { Machinery } from '../server/commands/command.ts'
import type { Files } from '../server/store/files.ts'
import type { Store } from '../server/store/store.ts'
import {
  enterKit,
  enterSheet,
  enterSpare,
  type Kit,
  laterChecks,
  SHEETS,
  type SheetName,
} from './equipment.ts'
import { clockAt, type Hands, METRIC, runnerOf, type Typing, US_CUSTOMARY } from './hands.ts'
import {
  type CompanyStory,
  enterLicences,
  foundCompany,
  type Members,
  NINEFOLD,
  SALTMARSH,
  setSaltmarshPolicy,
} from './people.ts'
import { randomOf } from './random.ts'
import { type JobStory, NINEFOLD_JOBS, SALTMARSH_JOBS } from './story.ts'
import { type AtWork, inOrderOfTime, momentOf, tellJob } from './tell.ts'

export interface Scenario {
  store: Store
  files: Files
  signer: Signer
  publicUrl: string
  /** Where the story ends. */
  now: number
  seed: number
}

export interface Told {
  saltmarsh: Members
  ninefold: Members
}

/** When the companies sign up. */
const FOUNDED_DAYS_AGO = 200

/** Fills an empty, migrated store. The same moment and seed tell the same story, apart from ids, salts and secrets. */
export async function tellScenario({
  store,
  files,
  signer,
  publicUrl,
  now,
  seed,
}: Scenario): Promise<Told> {
  const clock = clockAt(momentOf({ daysAgo: FOUNDED_DAYS_AGO, hour: 9 }, now))
  const machinery: Machinery = {
    store,
    files,
    clock: () => clock.now,
    signer,
    settings: { signup: 'open', publicUrl },
  }
  const shared = { run: runnerOf(machinery), clock, random: randomOf(seed), now, machinery }

  const saltmarsh = await setUp(shared, SALTMARSH, METRIC, {
    sheets: Object.keys(SHEETS) as SheetName[],
    carriers: ['teo', 'tilda', 'tomas'],
  })
  const { marek } = saltmarsh.members
  if (!marek) throw new Error('Saltmarsh has no service manager.')
  const ofSaltmarsh = { story: SALTMARSH, members: saltmarsh.members, by: marek }
  await enterLicences(machinery, clock, now, ofSaltmarsh)
  await setSaltmarshPolicy(machinery, marek)
  await enterSpare({ ...saltmarsh, by: marek }, now)

  clock.now = momentOf({ daysAgo: FOUNDED_DAYS_AGO - 1, hour: 9 }, now)
  const ninefold = await setUp(shared, NINEFOLD, US_CUSTOMARY, { sheets: ['single35'], carriers: ['nell'] })

  await inOrderOfTime(clock, [
    ...checksOf(saltmarsh, clock.now),
    ...checksOf(ninefold, clock.now),
    ...jobsOf(saltmarsh, SALTMARSH_JOBS),
    ...jobsOf(ninefold, NINEFOLD_JOBS),
  ])
  return { saltmarsh: saltmarsh.members, ninefold: ninefold.members }
}

/** A company with its people, sheets, and one kit of instruments for each technician. */
async function setUp(
  shared: Omit<AtWork, 'typing' | 'members' | 'kits' | 'sheets'>,
  story: CompanyStory,
  typing: Typing,
  things: { sheets: SheetName[]; carriers: string[] },
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
  return { ...shared, typing, members, kits, sheets }
}

const jobsOf = (company: AtWork, jobs: readonly JobStory[]) => jobs.map((job) => tellJob(company, job))

/** The instruments' later checks, each entered on its day by who carries it. */
function checksOf(company: AtWork, since: number): AsyncGenerator<number, void, void>[] {
  return Object.entries(company.kits).flatMap(([key, kit], index) => {
    const by = company.members[key]
    if (!by) return []
    return laterChecks(kit, index + 1, since, company.now).map(async function* ({ at, enter }) {
      yield at
      await enter({ ...company, by })
    })
  })
}
