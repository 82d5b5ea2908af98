// With what else does a person prove who they are, and which sign-in waits for it?

import { and, asc, eq, gt, inArray, isNotNull, isNull, lt, notExists } from 'drizzle-orm'
import { newId, newSecret, sha256 } from '../../ids.ts'
import type { Role, SecondStepFor } from '../../vocabulary.ts'
import type { Scope, Session } from '../store.ts'
import type { StepMemory } from '../tables/signing-in.ts'

/** Long enough to find the phone in a coat on a hook. */
export const STEP_MS = 10 * 60_000
/** How long a secret that was shown waits for its first code. */
export const UNCONFIRMED_MS = 30 * 60_000

export interface Authenticator {
  secret: string
  lastStep: number
  createdAt: number
  confirmedAt: number | null
}

export async function authenticatorOf({ db, t }: Session, personId: string): Promise<Authenticator | null> {
  const [row] = await db
    .select({
      secret: t.authenticators.secret,
      lastStep: t.authenticators.lastStep,
      createdAt: t.authenticators.createdAt,
      confirmedAt: t.authenticators.confirmedAt,
    })
    .from(t.authenticators)
    .where(eq(t.authenticators.personId, personId))
  return row ?? null
}

/** An authenticator that is in use, or a passkey. */
export async function hasSecondStep(session: Session, personId: string): Promise<boolean> {
  const { db, t } = session
  const known = await authenticatorOf(session, personId)
  if (known && known.confirmedAt !== null) return true
  const rows = await db
    .select({ id: t.passkeys.id })
    .from(t.passkeys)
    .where(eq(t.passkeys.personId, personId))
    .limit(1)
  return rows.length > 0
}

/** Whether a company that they belong to lets them in only with one. */
export async function needsSecondStep({ db, t }: Session, personId: string): Promise<boolean> {
  const rows = await db
    .select({ of: t.companies.secondStep, role: t.members.role })
    .from(t.members)
    .innerJoin(t.companies, eq(t.companies.id, t.members.companyId))
    .where(and(eq(t.members.personId, personId), eq(t.members.active, true)))
  return rows.some(({ of, role }) => isWantedOf(of, role))
}

/** Whether a company's rule wants one of who has this role there. */
export const isWantedOf = (of: SecondStepFor | null, role: Role): boolean =>
  of === 'everybody' || (of === 'managers' && (role === 'manager' || role === 'owner'))

/** Whose sessions need one in this company. */
export async function ruleOf({ db, t, companyId }: Scope): Promise<SecondStepFor | 'nobody'> {
  const [row] = await db
    .select({ secondStep: t.companies.secondStep })
    .from(t.companies)
    .where(eq(t.companies.id, companyId))
  return row?.secondStep ?? 'nobody'
}

export interface WithoutSecondStep {
  id: string
  name: string
  role: Role
}

/** The members who would have to set one up. */
export async function listWithoutSecondStep({ db, t, companyId }: Scope): Promise<WithoutSecondStep[]> {
  return db
    .select({ id: t.members.id, name: t.people.name, role: t.members.role })
    .from(t.members)
    .innerJoin(t.people, eq(t.people.id, t.members.personId))
    .leftJoin(
      t.authenticators,
      and(eq(t.authenticators.personId, t.members.personId), isNotNull(t.authenticators.confirmedAt)),
    )
    .where(
      and(
        eq(t.members.companyId, companyId),
        eq(t.members.active, true),
        isNull(t.authenticators.personId),
        notExists(
          db
            .select({ id: t.passkeys.id })
            .from(t.passkeys)
            .where(eq(t.passkeys.personId, t.members.personId)),
        ),
      ),
    )
    .orderBy(asc(t.members.createdAt), asc(t.members.id))
}

export async function countRecoveryCodes({ db, t }: Session, personId: string): Promise<number> {
  const rows = await db
    .select({ id: t.recoveryCodes.id })
    .from(t.recoveryCodes)
    .where(and(eq(t.recoveryCodes.personId, personId), isNull(t.recoveryCodes.usedAt)))
  return rows.length
}

/** Takes the place of those before: a set that was lost opens nothing. */
export async function replaceRecoveryCodes(
  { db, t }: Session,
  personId: string,
  hashes: readonly string[],
  now: number,
): Promise<void> {
  await db.delete(t.recoveryCodes).where(eq(t.recoveryCodes.personId, personId))
  for (const codeHash of hashes)
    await db.insert(t.recoveryCodes).values({ id: newId(), personId, codeHash, createdAt: now, usedAt: null })
}

/** Opens once: false for one that was used, of two at the same moment too. */
export async function useRecoveryCode(
  { db, t }: Session,
  personId: string,
  codeHash: string,
  now: number,
): Promise<boolean> {
  const used = await db
    .update(t.recoveryCodes)
    .set({ usedAt: now })
    .where(
      and(
        eq(t.recoveryCodes.personId, personId),
        eq(t.recoveryCodes.codeHash, codeHash),
        isNull(t.recoveryCodes.usedAt),
      ),
    )
    .returning({ id: t.recoveryCodes.id })
  return used.length > 0
}

/** Each step of time opens once, and none before it: false for one that lies behind, of two at the same moment too. */
export async function useTimeStep({ db, t }: Session, personId: string, step: number): Promise<boolean> {
  const used = await db
    .update(t.authenticators)
    .set({ lastStep: step })
    .where(and(eq(t.authenticators.personId, personId), lt(t.authenticators.lastStep, step)))
    .returning({ personId: t.authenticators.personId })
  return used.length > 0
}

/** All of it, passkeys too, and what waits for it. */
export async function removeSecondStep(session: Session, personId: string): Promise<boolean> {
  const { db, t } = session
  const passkeys = await db
    .delete(t.passkeys)
    .where(eq(t.passkeys.personId, personId))
    .returning({ id: t.passkeys.id })
  return (await removeOwnAuthenticator(session, personId)) || passkeys.length > 0
}

/** The authenticator alone; what belongs to any second step goes with the last one. */
export async function removeOwnAuthenticator(session: Session, personId: string): Promise<boolean> {
  const { db, t } = session
  const had = await db
    .delete(t.authenticators)
    .where(eq(t.authenticators.personId, personId))
    .returning({ confirmedAt: t.authenticators.confirmedAt })
  await forgetWithoutSecondStep(session, personId)
  return had.some(({ confirmedAt }) => confirmedAt !== null)
}

/** Recovery codes stand in for a second step, and open nothing by themselves. */
export async function forgetWithoutSecondStep(session: Session, personId: string): Promise<void> {
  const { db, t } = session
  await db.delete(t.signInSteps).where(eq(t.signInSteps.personId, personId))
  if (await hasSecondStep(session, personId)) return
  await db.delete(t.recoveryCodes).where(eq(t.recoveryCodes.personId, personId))
}

export interface WaitingSignIn {
  personId: string
  companyId: string | null
}

/** What was begun and goes on later, in one browser. */
export interface BegunStep {
  kind: 'second-step' | 'new-passkey' | 'passkey' | 'openid'
  personId: string | null
  companyId: string | null
  memory: StepMemory
}

/** Answers what the browser is to hold; here is only its hash. */
export async function beginStep(
  { db, t }: Session,
  begun: BegunStep,
  now: number,
): Promise<{ step: string; expiresAt: number }> {
  await db.delete(t.signInSteps).where(lt(t.signInSteps.expiresAt, now))
  const step = newSecret()
  const expiresAt = now + STEP_MS
  await db.insert(t.signInSteps).values({ id: sha256(step), ...begun, createdAt: now, expiresAt })
  return { step, expiresAt }
}

export async function findStep(
  { db, t }: Session,
  step: string,
  kinds: readonly BegunStep['kind'][],
  now: number,
): Promise<BegunStep | null> {
  const [row] = await db
    .select({
      kind: t.signInSteps.kind,
      personId: t.signInSteps.personId,
      companyId: t.signInSteps.companyId,
      memory: t.signInSteps.memory,
    })
    .from(t.signInSteps)
    .where(
      and(
        eq(t.signInSteps.id, sha256(step)),
        inArray(t.signInSteps.kind, [...kinds]),
        gt(t.signInSteps.expiresAt, now),
      ),
    )
  return row ?? null
}

/** It goes on once: false for the second of two. */
export async function endStep({ db, t }: Session, step: string): Promise<boolean> {
  const gone = await db
    .delete(t.signInSteps)
    .where(eq(t.signInSteps.id, sha256(step)))
    .returning({ id: t.signInSteps.id })
  return gone.length > 0
}

export const addWaitingSignIn = (session: Session, { personId, companyId }: WaitingSignIn, now: number) =>
  beginStep(session, { kind: 'second-step', personId, companyId, memory: {} }, now)

export async function findWaitingSignIn(
  session: Session,
  step: string,
  now: number,
): Promise<WaitingSignIn | null> {
  const found = await findStep(session, step, ['second-step'], now)
  return found?.personId ? { personId: found.personId, companyId: found.companyId } : null
}
