// Whose token is this? Stored hashed, looked up by the hash.

import { and, eq, sql } from 'drizzle-orm'
import { sha256 } from '../ids.ts'
import { prepared } from '../store/prepared.ts'
import { isWantedOf } from '../store/queries/second-step.ts'
import type { Session } from '../store/store.ts'
import type { Role, SecondStepFor, TokenScope } from '../vocabulary.ts'
import type { Actor } from './actor.ts'

/** What every token begins with, so that one found in the wrong place is known for what it is. */
export const TOKEN_PREFIX = 'jk_'

interface MemberRow {
  personId: string
  memberId: string
  companyId: string
  companyName: string
  name: string
  role: Role
  active: boolean
}

interface TokenRow extends MemberRow {
  scopes: TokenScope[]
  expiresAt: number
  revokedAt: number | null
}

export async function actorOfToken(session: Session, token: string, now: number): Promise<Actor | null> {
  const [row] = await prepared<TokenRow>(session, 'actor_of_token', ({ db, t }) =>
    db
      .select({
        personId: t.members.personId,
        memberId: t.members.id,
        companyId: t.members.companyId,
        companyName: t.companies.name,
        name: t.people.name,
        role: t.members.role,
        active: t.members.active,
        scopes: t.tokens.scopes,
        expiresAt: t.tokens.expiresAt,
        revokedAt: t.tokens.revokedAt,
      })
      .from(t.tokens)
      .innerJoin(
        t.members,
        and(eq(t.members.companyId, t.tokens.companyId), eq(t.members.id, t.tokens.memberId)),
      )
      .innerJoin(t.companies, eq(t.companies.id, t.tokens.companyId))
      .innerJoin(t.people, eq(t.people.id, t.members.personId))
      .where(eq(t.tokens.tokenHash, sql.placeholder('hash'))),
  ).execute({ hash: sha256(token) })
  if (!row?.active || row.revokedAt !== null || row.expiresAt <= now) return null
  return { ...identity(row), scopes: row.scopes, via: 'token' }
}

/** The member that a signed-in person is in one company; null once inactive. */
export const actorOfMember = async (session: Session, personId: string, companyId: string) =>
  (await seatOf(session, personId, companyId))?.actor ?? null

export interface Seat {
  actor: Actor
  /** Whether the company wants a second step of this member before anything else. */
  wantsSecondStep: boolean
}

export async function seatOf(session: Session, personId: string, companyId: string): Promise<Seat | null> {
  const [row] = await prepared<MemberRow & { secondStep: SecondStepFor | null }>(
    session,
    'actor_of_member',
    ({ db, t }) =>
      db
        .select({
          personId: t.members.personId,
          memberId: t.members.id,
          companyId: t.members.companyId,
          companyName: t.companies.name,
          name: t.people.name,
          role: t.members.role,
          active: t.members.active,
          secondStep: t.companies.secondStep,
        })
        .from(t.members)
        .innerJoin(t.companies, eq(t.companies.id, t.members.companyId))
        .innerJoin(t.people, eq(t.people.id, t.members.personId))
        .where(
          and(
            eq(t.members.personId, sql.placeholder('personId')),
            eq(t.members.companyId, sql.placeholder('companyId')),
          ),
        ),
  ).execute({ personId, companyId })
  if (!row?.active) return null
  return {
    actor: { ...identity(row), scopes: ['read', 'write'], via: 'session' },
    wantsSecondStep: isWantedOf(row.secondStep, row.role),
  }
}

function identity({ personId, memberId, companyId, companyName, name, role }: MemberRow) {
  return { personId, memberId, companyId, companyName, name, role }
}
