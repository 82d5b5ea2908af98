// Who is a person, which companies do they belong to, and who belongs to this one?

import { and, asc, count, desc, eq, lt, ne, or, sql } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import type { Role } from '../../vocabulary.ts'
import { prepared } from '../prepared.ts'
import type { Scope, Session } from '../store.ts'
import { type Page, pageOf, readCursor } from './pages.ts'

export interface PersonRow {
  id: string
  name: string
  email: string
  passwordHash: string
}

/** A person is global: this one asks no company. For signing in alone. */
export async function personByEmail(session: Session, email: string): Promise<PersonRow | null> {
  const [row] = await prepared<PersonRow>(session, 'person_by_email', ({ db, t }) =>
    db
      .select({
        id: t.people.id,
        name: t.people.name,
        email: t.people.email,
        passwordHash: t.people.passwordHash,
      })
      .from(t.people)
      .where(eq(t.people.emailLower, sql.placeholder('emailLower'))),
  ).execute({ emailLower: email.toLowerCase() })
  return row ?? null
}

export async function personById({ db, t }: Session, personId: string): Promise<PersonRow | null> {
  const [row] = await db
    .select({
      id: t.people.id,
      name: t.people.name,
      email: t.people.email,
      passwordHash: t.people.passwordHash,
    })
    .from(t.people)
    .where(eq(t.people.id, personId))
  return row ?? null
}

/** Answers null when the address was taken in the meantime. */
export async function addPerson(
  { db, t }: Session,
  person: PersonRow & { createdAt: number },
): Promise<PersonRow | null> {
  const added = await db
    .insert(t.people)
    .values({ ...person, emailLower: person.email.toLowerCase() })
    .onConflictDoNothing()
    .returning({ id: t.people.id })
  return added.length > 0 ? person : null
}

export interface Membership {
  companyId: string
  companyName: string
  memberId: string
  role: Role
}

/** The companies that a person may work in, in the order in which they joined. */
export async function membershipsOf({ db, t }: Session, personId: string): Promise<Membership[]> {
  return db
    .select({
      companyId: t.members.companyId,
      companyName: t.companies.name,
      memberId: t.members.id,
      role: t.members.role,
    })
    .from(t.members)
    .innerJoin(t.companies, eq(t.companies.id, t.members.companyId))
    .where(and(eq(t.members.personId, personId), eq(t.members.active, true)))
    .orderBy(asc(t.members.createdAt), asc(t.members.id))
}

/** Every company a person ever joined, for what must be on record in each. */
export async function companiesEverJoined({ db, t }: Session, personId: string): Promise<string[]> {
  const rows = await db
    .select({ companyId: t.members.companyId })
    .from(t.members)
    .where(eq(t.members.personId, personId))
    .orderBy(asc(t.members.companyId))
  return rows.map((row) => row.companyId)
}

export async function anyCompany({ db, t }: Session): Promise<boolean> {
  const rows = await db.select({ id: t.companies.id }).from(t.companies).limit(1)
  return rows.length > 0
}

export async function companyById({ db, t }: Session, companyId: string) {
  const [row] = await db.select().from(t.companies).where(eq(t.companies.id, companyId))
  return row ?? null
}

/** Any fixed number, known to nothing else here. */
const FOUNDING_LOCK = 7_105

/**
 * Lets one company be founded at a time, until the commit: there is no row yet that could be locked. SQLite
 * has one writer in any case.
 */
export async function lockFounding({ db, dialect }: Session): Promise<void> {
  if (dialect === 'sqlite') return
  await db
    .select({ locked: sql<string>`pg_advisory_xact_lock(${sql.raw(String(FOUNDING_LOCK))})` })
    .from(sql`(select 1) as one`)
}

/** Lets one change at a time weigh the company as a whole, until the commit: the head of its chain is the lock. */
export async function lockCompany({ db, t, companyId }: Scope): Promise<void> {
  await db
    .update(t.chains)
    .set({ kind: 'company' })
    .where(and(eq(t.chains.companyId, companyId), eq(t.chains.id, companyId)))
}

export interface MemberRow {
  id: string
  personId: string
  name: string
  email: string
  role: Role
  active: boolean
  createdAt: number
  crewId: string | null
}

const membersOf = ({ db, t }: Scope) =>
  db
    .select({
      id: t.members.id,
      personId: t.members.personId,
      name: t.people.name,
      email: t.people.email,
      role: t.members.role,
      active: t.members.active,
      createdAt: t.members.createdAt,
      crewId: t.crew.id,
    })
    .from(t.members)
    .innerJoin(t.people, eq(t.people.id, t.members.personId))
    .leftJoin(t.crew, and(eq(t.crew.companyId, t.members.companyId), eq(t.crew.memberId, t.members.id)))

/** Newest first. */
export async function listMembers(
  scope: Scope,
  filter: { limit: number; cursor?: string | undefined },
): Promise<Page<MemberRow>> {
  const { t, companyId } = scope
  const after = readCursor(filter.cursor)
  const rows = await membersOf(scope)
    .where(
      and(
        eq(t.members.companyId, companyId),
        after
          ? or(
              lt(t.members.createdAt, after.at),
              and(eq(t.members.createdAt, after.at), lt(t.members.id, after.id)),
            )
          : undefined,
      ),
    )
    .orderBy(desc(t.members.createdAt), desc(t.members.id))
    .limit(filter.limit + 1)
  return pageOf(rows, filter.limit, (row) => ({ at: row.createdAt, id: row.id }))
}

/** Refuses with missing. */
export async function findMember(scope: Scope, memberId: string): Promise<MemberRow> {
  const { t, companyId } = scope
  const [row] = await membersOf(scope).where(
    and(eq(t.members.companyId, companyId), eq(t.members.id, memberId)),
  )
  if (!row) throw missing('This member')
  return row
}

/** The member, active or not, that an e-mail address belongs to. */
export async function memberByEmail(scope: Scope, email: string): Promise<MemberRow | null> {
  const { t, companyId } = scope
  const [row] = await membersOf(scope).where(
    and(eq(t.members.companyId, companyId), eq(t.people.emailLower, email.toLowerCase())),
  )
  return row ?? null
}

export async function memberOfPerson(scope: Scope, personId: string): Promise<MemberRow | null> {
  const { t, companyId } = scope
  const [row] = await membersOf(scope).where(
    and(eq(t.members.companyId, companyId), eq(t.members.personId, personId)),
  )
  return row ?? null
}

/** How many active owners there are without this one. */
export async function countOtherOwners({ db, t, companyId }: Scope, memberId: string): Promise<number> {
  const [row] = await db
    .select({ owners: count() })
    .from(t.members)
    .where(
      and(
        eq(t.members.companyId, companyId),
        eq(t.members.role, 'owner'),
        eq(t.members.active, true),
        ne(t.members.id, memberId),
      ),
    )
  return row?.owners ?? 0
}

export interface CrewChoice {
  id: string
  name: string
  memberId: string | null
}

/** Everybody who works here now, to choose from, in the order in which they came. */
export async function listCrew({ db, t, companyId }: Scope): Promise<CrewChoice[]> {
  return db
    .select({ id: t.crew.id, name: t.crew.name, memberId: t.crew.memberId })
    .from(t.crew)
    .where(and(eq(t.crew.companyId, companyId), eq(t.crew.active, true)))
    .orderBy(asc(t.crew.createdAt), asc(t.crew.id))
}
