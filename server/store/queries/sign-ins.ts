// When did somebody come in, how, and from which browser; and where are they signed in now?

import { and, desc, eq, gt, lt } from 'drizzle-orm'
import { newId } from '../../ids.ts'
import type { Scope, Session } from '../store.ts'
import type { SignInWay } from '../tables/signing-in.ts'

/** Long enough to look back on a quarter; personal data that is worth less with every day. */
export const SIGN_INS_KEPT_MS = 90 * 86_400_000
const MOST_SHOWN = 50

export interface SignInRow {
  id: string
  companyId: string | null
  at: number
  way: SignInWay
  browser: string
  succeeded: boolean
}

export async function addSignIn(
  { db, t }: Session,
  row: Omit<SignInRow, 'id'> & { personId: string },
): Promise<void> {
  await db.insert(t.signIns).values({ id: newId(), ...row })
  await db
    .delete(t.signIns)
    .where(and(eq(t.signIns.personId, row.personId), lt(t.signIns.at, row.at - SIGN_INS_KEPT_MS)))
}

/** Of everybody: for who never came back. */
export async function removeOldSignIns({ db, t }: Session, now: number): Promise<void> {
  await db.delete(t.signIns).where(lt(t.signIns.at, now - SIGN_INS_KEPT_MS))
}

const columns = ({ t }: Session) => ({
  id: t.signIns.id,
  companyId: t.signIns.companyId,
  at: t.signIns.at,
  way: t.signIns.way,
  browser: t.signIns.browser,
  succeeded: t.signIns.succeeded,
})

/** A person's own, wherever they led to; newest first. */
export async function listOwnSignIns(session: Session, personId: string, now: number): Promise<SignInRow[]> {
  const { db, t } = session
  return db
    .select(columns(session))
    .from(t.signIns)
    .where(and(eq(t.signIns.personId, personId), gt(t.signIns.at, now - SIGN_INS_KEPT_MS)))
    .orderBy(desc(t.signIns.at), desc(t.signIns.id))
    .limit(MOST_SHOWN)
}

/** A member's, into this company alone; newest first. */
export async function listSignInsOfMember(scope: Scope, personId: string, now: number): Promise<SignInRow[]> {
  const { db, t, companyId } = scope
  return db
    .select(columns(scope))
    .from(t.signIns)
    .where(
      and(
        eq(t.signIns.companyId, companyId),
        eq(t.signIns.personId, personId),
        gt(t.signIns.at, now - SIGN_INS_KEPT_MS),
      ),
    )
    .orderBy(desc(t.signIns.at), desc(t.signIns.id))
    .limit(MOST_SHOWN)
}

export interface OpenSession {
  id: string
  handle: string | null
  companyId: string | null
  browser: string | null
  createdAt: number
  lastUsedAt: number | null
}

const openColumns = ({ t }: Session) => ({
  id: t.sessions.id,
  handle: t.sessions.handle,
  companyId: t.sessions.companyId,
  browser: t.sessions.browser,
  createdAt: t.sessions.createdAt,
  lastUsedAt: t.sessions.lastUsedAt,
})

/** Where a person is signed in now; the one used last comes first. */
export async function listOwnSessions(
  session: Session,
  personId: string,
  now: number,
): Promise<OpenSession[]> {
  const { db, t } = session
  return db
    .select(openColumns(session))
    .from(t.sessions)
    .where(and(eq(t.sessions.personId, personId), gt(t.sessions.expiresAt, now)))
    .orderBy(desc(t.sessions.createdAt), desc(t.sessions.id))
}

/** Where a member is signed in to this company now. */
export async function listSessionsOfMember(
  scope: Scope,
  personId: string,
  now: number,
): Promise<OpenSession[]> {
  const { db, t, companyId } = scope
  return db
    .select(openColumns(scope))
    .from(t.sessions)
    .where(
      and(
        eq(t.sessions.companyId, companyId),
        eq(t.sessions.personId, personId),
        gt(t.sessions.expiresAt, now),
      ),
    )
    .orderBy(desc(t.sessions.createdAt), desc(t.sessions.id))
}
