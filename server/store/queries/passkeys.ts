// Which passkeys has a person, and what are they asked?

import { and, asc, eq, lt } from 'drizzle-orm'
import { newId, sha256 } from '../../ids.ts'
import type { Session } from '../store.ts'

export interface PasskeyRow {
  id: string
  personId: string
  name: string
  credentialId: string
  publicKey: string
  counter: number
  transports: string[]
  createdAt: number
  lastUsedAt: number | null
}

export async function listPasskeys({ db, t }: Session, personId: string): Promise<PasskeyRow[]> {
  return db
    .select()
    .from(t.passkeys)
    .where(eq(t.passkeys.personId, personId))
    .orderBy(asc(t.passkeys.createdAt), asc(t.passkeys.id))
}

export async function passkeyByCredential(
  { db, t }: Session,
  credentialId: string,
): Promise<PasskeyRow | null> {
  const [row] = await db.select().from(t.passkeys).where(eq(t.passkeys.credentialId, credentialId))
  return row ?? null
}

/** Null where that passkey is known already, be it of somebody else. */
export async function addPasskey(
  { db, t }: Session,
  passkey: Omit<PasskeyRow, 'id' | 'lastUsedAt'>,
): Promise<PasskeyRow | null> {
  const row = { id: newId(), ...passkey, lastUsedAt: null }
  const added = await db.insert(t.passkeys).values(row).onConflictDoNothing().returning({ id: t.passkeys.id })
  return added.length > 0 ? row : null
}

/** False where the count of its uses has gone past this one meanwhile. Those that don't count stay at nought. */
export async function usePasskey(
  { db, t }: Session,
  id: string,
  counter: number,
  now: number,
): Promise<boolean> {
  const used = await db
    .update(t.passkeys)
    .set({ counter, lastUsedAt: now })
    .where(
      and(eq(t.passkeys.id, id), counter === 0 ? eq(t.passkeys.counter, 0) : lt(t.passkeys.counter, counter)),
    )
    .returning({ id: t.passkeys.id })
  return used.length > 0
}

export async function renameOwnPasskey(
  { db, t }: Session,
  personId: string,
  id: string,
  name: string,
): Promise<boolean> {
  const renamed = await db
    .update(t.passkeys)
    .set({ name })
    .where(and(eq(t.passkeys.personId, personId), eq(t.passkeys.id, id)))
    .returning({ id: t.passkeys.id })
  return renamed.length > 0
}

export async function removeOwnPasskey({ db, t }: Session, personId: string, id: string): Promise<boolean> {
  const removed = await db
    .delete(t.passkeys)
    .where(and(eq(t.passkeys.personId, personId), eq(t.passkeys.id, id)))
    .returning({ id: t.passkeys.id })
  return removed.length > 0
}

/** A sign-in that waits for its second step is asked something new; what it was asked before counts no more. */
export async function askWaiting(
  { db, t }: Session,
  step: string,
  challenge: string | null,
): Promise<boolean> {
  const asked = await db
    .update(t.signInSteps)
    .set({ memory: challenge === null ? {} : { challenge } })
    .where(and(eq(t.signInSteps.id, sha256(step)), eq(t.signInSteps.kind, 'second-step')))
    .returning({ id: t.signInSteps.id })
  return asked.length > 0
}
