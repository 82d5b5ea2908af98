// With what else does a person prove who they are, and which sign-in waits for it?

import { and, asc, eq, gt, isNotNull, isNull, lt } from 'drizzle-orm'
import { newId, newSecret, sha256 } from '../../ids.ts'
import type { Role, SecondStepFor } from '../../vocabulary.ts'
import type { Scope, Session } from '../store.ts'

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

export async function hasSecondStep({ db, t }: Session, personId: string): Promise<boolean> {
  const rows = await db
    .select({ personId: t.authenticators.personId })
    .from(t.authenticators)
    .where(and(eq(t.authenticators.personId, personId), isNotNull(t.authenticators.confirmedAt)))
  return rows.length > 0
}

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
      and(eq(t.members.companyId, companyId), eq(t.members.active, true), isNull(t.authenticators.personId)),
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

/** All of it, and what waits for it. */
export async function removeSecondStep({ db, t }: Session, personId: string): Promise<boolean> {
  const had = await db
    .delete(t.authenticators)
    .where(eq(t.authenticators.personId, personId))
    .returning({ confirmedAt: t.authenticators.confirmedAt })
  await db.delete(t.recoveryCodes).where(eq(t.recoveryCodes.personId, personId))
  await db.delete(t.signInSteps).where(eq(t.signInSteps.personId, personId))
  return had.some(({ confirmedAt }) => confirmedAt !== null)
}

export interface WaitingSignIn {
  personId: string
  companyId: string | null
}

/** Answers what the browser is to hold; here is only its hash. */
export async function addWaitingSignIn(
  { db, t }: Session,
  { personId, companyId }: WaitingSignIn,
  now: number,
): Promise<{ step: string; expiresAt: number }> {
  await db.delete(t.signInSteps).where(lt(t.signInSteps.expiresAt, now))
  const step = newSecret()
  const expiresAt = now + STEP_MS
  await db.insert(t.signInSteps).values({
    id: sha256(step),
    kind: 'second-step',
    personId,
    companyId,
    memory: {},
    createdAt: now,
    expiresAt,
  })
  return { step, expiresAt }
}

export async function findWaitingSignIn(
  { db, t }: Session,
  step: string,
  now: number,
): Promise<WaitingSignIn | null> {
  const [row] = await db
    .select({ personId: t.signInSteps.personId, companyId: t.signInSteps.companyId })
    .from(t.signInSteps)
    .where(
      and(
        eq(t.signInSteps.id, sha256(step)),
        eq(t.signInSteps.kind, 'second-step'),
        gt(t.signInSteps.expiresAt, now),
      ),
    )
  return row?.personId ? { personId: row.personId, companyId: row.companyId } : null
}

/** It goes on once. */
export async function endWaitingSignIn({ db, t }: Session, step: string): Promise<boolean> {
  const gone = await db
    .delete(t.signInSteps)
    .where(eq(t.signInSteps.id, sha256(step)))
    .returning({ id: t.signInSteps.id })
  return gone.length > 0
}
