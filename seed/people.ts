// Who is in the demo? Two companies and their people, who join as anybody would: sign-up, invitations, acceptance.

import type { Actor } from '../server/access/actor.ts'
import { revealed } from '../server/access/shown-once.ts'
import { type Machinery, runCommand, runPublicCommand } from '../server/commands/command.ts'
import { acceptInvitation } from '../server/commands/people/accept-invitation.ts'
import { changeCrewPerson } from '../server/commands/people/change-crew-person.ts'
import { criteriaJson } from '../server/commands/people/criteria.ts'
import { invitePerson } from '../server/commands/people/invite-person.ts'
import { registerCompany } from '../server/commands/people/register-company.ts'
import { setPolicy } from '../server/commands/people/set-policy.ts'
import { BUILT_IN_POLICY } from '../server/rules/policy.ts'
import { listCrew } from '../server/store/queries/people.ts'
import { scopeOf } from '../server/store/store.ts'
import type { Role } from '../server/vocabulary.ts'
import { DAY, iso, MINUTE, type SetClock } from './hands.ts'

/** The same for every demo account; the demo listens on this machine only. */
export const DEMO_PASSWORD = 'brackwater demo'

/** What Saltmarsh asks of those who open a circuit: its own name for the licence in its invented country. */
export const HANDLING_LICENCE = 'Refrigerant handling licence'

export interface Person {
  /** How the story calls them. */
  key: string
  name: string
  email: string
  role: Role
  /** Days from today until the licence ends, for those who hold one. */
  licenceEndsIn?: number
  /** Days before today on which they came; left out, they are there from the first day. */
  joinedDaysAgo?: number
}

export interface CompanyStory {
  name: string
  /** The first one founds the company. */
  people: readonly [Person, ...Person[]]
}

export const SALTMARSH: CompanyStory = {
  name: 'Saltmarsh Heat & Cool',
  people: [
    { key: 'odile', name: 'Odile Marram', email: 'odile@saltmarsh.example', role: 'owner' },
    { key: 'marek', name: 'Marek Tidewell', email: 'marek@saltmarsh.example', role: 'manager' },
    { key: 'wanda', name: 'Wanda Loomis-Reed', email: 'wanda@saltmarsh.example', role: 'warranty' },
    {
      key: 'teo',
      name: 'Teo Barrowmere',
      email: 'teo@saltmarsh.example',
      role: 'technician',
      licenceEndsIn: 410,
    },
    {
      key: 'tilda',
      name: 'Tilda Quernby',
      email: 'tilda@saltmarsh.example',
      role: 'technician',
      licenceEndsIn: 770,
    },
    {
      key: 'tomas',
      name: 'Tomas Eddering',
      email: 'tomas@saltmarsh.example',
      role: 'technician',
      licenceEndsIn: 24,
      joinedDaysAgo: 484,
    },
  ],
}

export const NINEFOLD: CompanyStory = {
  name: 'Ninefold Mechanical',
  people: [
    { key: 'nils', name: 'Nils Orchardine', email: 'nils@ninefold.example', role: 'owner' },
    { key: 'nell', name: 'Nell Sparrowick', email: 'nell@ninefold.example', role: 'technician' },
  ],
}

export interface Member extends Actor {
  email: string
  crewId: string
}

export type Members = Record<string, Member>

/** Founds a company and lets those join who are there from the first day, each by an invitation of the owner. */
export async function foundCompany(
  machinery: Machinery,
  clock: SetClock,
  story: CompanyStory,
): Promise<Members> {
  const [founder, ...others] = story.people
  const registered = await runPublicCommand(machinery, registerCompany, {
    name: story.name,
    ownerName: founder.name,
    email: founder.email,
    password: DEMO_PASSWORD,
  })
  const company = { companyId: registered.company.id, companyName: story.name }
  const owner = actorOf(company, founder, {
    personId: registered.person.id,
    memberId: registered.memberId,
  })
  const members: Members = { [founder.key]: await memberOf(machinery, founder, owner) }
  for (const person of others)
    if (person.joinedDaysAgo === undefined)
      members[person.key] = await joinCompany(machinery, clock, owner, person)
  return members
}

/** Somebody is invited by the owner and joins. */
export async function joinCompany(
  machinery: Machinery,
  clock: SetClock,
  owner: Actor,
  person: Person,
): Promise<Member> {
  clock.pass(7 * MINUTE)
  const { result } = await runCommand(
    machinery,
    invitePerson,
    { email: person.email, role: person.role },
    { actor: owner },
  )
  clock.pass(3 * MINUTE)
  const accepted = await runPublicCommand(machinery, acceptInvitation, {
    code: revealed(result.code) ?? '',
    name: person.name,
    password: DEMO_PASSWORD,
  })
  const ids = { personId: accepted.person.id, memberId: accepted.memberId }
  return memberOf(machinery, person, actorOf(owner, person, ids))
}

const actorOf = (
  { companyId, companyName }: Pick<Actor, 'companyId' | 'companyName'>,
  { name, role }: Person,
  ids: { personId: string; memberId: string },
): Actor => ({ companyId, companyName, ...ids, name, role, scopes: ['read', 'write'], via: 'session' })

async function memberOf(machinery: Machinery, { name, email }: Person, actor: Actor): Promise<Member> {
  const crew = await listCrew(scopeOf(machinery.store.reader(), actor.companyId))
  const crewId = crew.find((one) => one.memberId === actor.memberId)?.id
  if (crewId === undefined) throw new Error(`${name} joined and is not in the crew.`)
  return { ...actor, email, crewId }
}

/** The licences of the technicians who are there, entered by the service manager. */
export async function enterLicences(
  machinery: Machinery,
  clock: SetClock,
  today: number,
  { story, members, by, only }: { story: CompanyStory; members: Members; by: Actor; only?: Person },
): Promise<void> {
  for (const [index, person] of story.people.entries()) {
    const member = members[person.key]
    if (!member || person.licenceEndsIn === undefined || (only && person !== only)) continue
    clock.pass(2 * MINUTE)
    const credential = {
      scheme: HANDLING_LICENCE,
      category: 'I',
      number: `BW-${4100 + 37 * index}`,
      validUntil: iso(today + person.licenceEndsIn * DAY),
    }
    const input = { crewId: member.crewId, credentials: [credential] }
    await runCommand(machinery, changeCrewPerson, input, { actor: by })
  }
}

/** Saltmarsh's own criteria: a licence is asked for; photos are not, which each of its certificates says. */
export async function setSaltmarshPolicy(machinery: Machinery, by: Actor): Promise<void> {
  const criteria = criteriaJson({
    ...BUILT_IN_POLICY,
    handlerSchemes: [HANDLING_LICENCE],
    evidence: { photos: [] },
  })
  const reason = 'Photos of gauges and joints are kept in the job folders at the office.'
  await runCommand(machinery, setPolicy, { criteria, reason }, { actor: by })
}
