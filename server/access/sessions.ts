// Is this browser signed in? The only file that knows the session library.

import { and, eq, lt, sql } from 'drizzle-orm'
import { type Adapter, type DatabaseSession, type DatabaseUser, Lucia, TimeSpan } from 'lucia'
import { newId, newSecret, sha256 } from '../ids.ts'
import { prepared } from '../store/prepared.ts'
import type { Scope, Session, Store } from '../store/store.ts'

declare module 'lucia' {
  interface Register {
    Lucia: Lucia
    DatabaseSessionAttributes: SessionFacts
    DatabaseUserAttributes: Record<never, never>
  }
}

export const SESSION_COOKIE = 'jointkeep_session'
const SESSION_DAYS = 30
/** When a session was last used is known to the hour: a write for each page read would be too much. */
const USE_NOTED_MS = 3_600_000

interface SessionFacts {
  companyId: string | null
  createdAt: number
  handle: string | null
  browser: string | null
  lastUsedAt: number | null
  secondStepAt: number | null
  boundTo: string | null
}

export interface BrowserSession {
  personId: string
  companyId: string | null
  /** When a second factor was given in it. */
  secondStepAt: number | null
  /** The company whose own provider opened it; it reaches nothing else of the person's. */
  boundTo: string | null
}

/** How a session came to be. */
export interface SessionStart {
  browser?: string
  secondStepAt?: number | null
  boundTo?: string | null
}

/** Ends what a person has open in one company; in others they stay signed in. */
export async function endSessionsIn({ db, t, companyId }: Scope, personId: string): Promise<void> {
  await db
    .delete(t.sessions)
    .where(and(eq(t.sessions.personId, personId), eq(t.sessions.companyId, companyId)))
}

/** Ends all that a person has open, within a change that is under way. */
export async function endSessionsOf({ db, t }: Session, personId: string): Promise<void> {
  await db.delete(t.sessions).where(eq(t.sessions.personId, personId))
}

export interface Sessions {
  /** Answers the secret that goes into the cookie. */
  start(personId: string, companyId: string | null, how?: SessionStart): Promise<string>
  find(secret: string): Promise<BrowserSession | null>
  switchCompany(secret: string, companyId: string): Promise<void>
  end(secret: string): Promise<void>
  endAllOf(personId: string): Promise<void>
  removeExpired(): Promise<void>
  cookie(secret: string | null): { name: string; value: string; attributes: Record<string, unknown> }
}

/**
 * Sessions last 30 days and are renewed while in use. The library hands the adapter the very secret of the
 * cookie; the table only ever sees its hash, so a leaked database opens no door.
 */
export function sessionsOf(store: Store, clock: () => number, secure: boolean): Sessions {
  const lucia = new Lucia(adapterFor(store, clock), {
    sessionExpiresIn: new TimeSpan(SESSION_DAYS, 'd'),
    // The browser keeps the cookie; when it ends is for the table to say, which renews what is in use.
    sessionCookie: {
      name: SESSION_COOKIE,
      expires: false,
      attributes: { secure, sameSite: 'lax', path: '/' },
    },
    getSessionAttributes: (facts) => facts,
  })
  return {
    async start(personId, companyId, how = {}) {
      const secret = newSecret()
      const now = clock()
      const facts: SessionFacts = {
        companyId,
        createdAt: now,
        handle: newId(),
        browser: how.browser ?? null,
        lastUsedAt: now,
        secondStepAt: how.secondStepAt ?? null,
        boundTo: how.boundTo ?? null,
      }
      await lucia.createSession(personId, facts, { sessionId: secret })
      return secret
    },
    async find(secret) {
      const { session } = await lucia.validateSession(secret)
      if (!session) return null
      const facts = session as unknown as SessionFacts
      const now = clock()
      if (now - (facts.lastUsedAt ?? 0) >= USE_NOTED_MS)
        await store.transaction(async ({ db, t }) => {
          await db
            .update(t.sessions)
            .set({ lastUsedAt: now })
            .where(eq(t.sessions.id, sha256(secret)))
        })
      const { companyId, secondStepAt, boundTo } = facts
      return { personId: session.userId, companyId, secondStepAt, boundTo }
    },
    async switchCompany(secret, companyId) {
      await store.transaction(async ({ db, t }) => {
        await db
          .update(t.sessions)
          .set({ companyId })
          .where(eq(t.sessions.id, sha256(secret)))
      })
    },
    end: (secret) => lucia.invalidateSession(secret),
    endAllOf: (personId) => lucia.invalidateUserSessions(personId),
    removeExpired: () => lucia.deleteExpiredSessions(),
    cookie(secret) {
      const made = secret === null ? lucia.createBlankSessionCookie() : lucia.createSessionCookie(secret)
      return { name: made.name, value: made.value, attributes: { ...made.attributes } }
    },
  }
}

function adapterFor(store: Store, clock: () => number): Adapter {
  // The library reads the wall clock by itself; moments are carried over to it, so that ours alone decides.
  const ahead = () => Date.now() - clock()
  const asSession = (row: SessionRow, secret: string): DatabaseSession => ({
    id: secret,
    userId: row.personId,
    expiresAt: new Date(row.expiresAt + ahead()),
    attributes: row,
  })
  return {
    async getSessionAndUser(secret): Promise<[DatabaseSession | null, DatabaseUser | null]> {
      const [row] = await prepared<SessionRow>(store.reader(), 'session_by_hash', ({ db, t }) =>
        db
          .select({
            personId: t.sessions.personId,
            companyId: t.sessions.companyId,
            expiresAt: t.sessions.expiresAt,
            createdAt: t.sessions.createdAt,
            handle: t.sessions.handle,
            browser: t.sessions.browser,
            lastUsedAt: t.sessions.lastUsedAt,
            secondStepAt: t.sessions.secondStepAt,
            boundTo: t.sessions.boundTo,
          })
          .from(t.sessions)
          .where(eq(t.sessions.id, sql.placeholder('id'))),
      ).execute({ id: sha256(secret) })
      return row ? [asSession(row, secret), { id: row.personId, attributes: {} }] : [null, null]
    },
    async getUserSessions(personId) {
      const { db, t } = store.reader()
      const rows = await db.select().from(t.sessions).where(eq(t.sessions.personId, personId))
      return rows.map((row) => asSession(row, row.id))
    },
    async setSession(session) {
      await store.transaction(async ({ db, t }) => {
        await db.insert(t.sessions).values({
          id: sha256(session.id),
          personId: session.userId,
          expiresAt: session.expiresAt.getTime() - ahead(),
          ...session.attributes,
        })
      })
    },
    async updateSessionExpiration(secret, expiresAt) {
      await store.transaction(async ({ db, t }) => {
        await db
          .update(t.sessions)
          .set({ expiresAt: expiresAt.getTime() - ahead() })
          .where(eq(t.sessions.id, sha256(secret)))
      })
    },
    async deleteSession(secret) {
      await store.transaction(async ({ db, t }) => {
        await db.delete(t.sessions).where(eq(t.sessions.id, sha256(secret)))
      })
    },
    async deleteUserSessions(personId) {
      await store.transaction(async ({ db, t }) => {
        await db.delete(t.sessions).where(eq(t.sessions.personId, personId))
      })
    },
    async deleteExpiredSessions() {
      await store.transaction(async ({ db, t }) => {
        await db.delete(t.sessions).where(lt(t.sessions.expiresAt, clock()))
      })
    },
  }
}

interface SessionRow extends SessionFacts {
  personId: string
  expiresAt: number
}
