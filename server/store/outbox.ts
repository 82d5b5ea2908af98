// How is nothing announced that did not happen, and nothing lost that did? A message is written with its change, and sent later.

import { and, asc, eq, inArray, isNotNull, isNull, lt, lte, min, sql } from 'drizzle-orm'
import { newId } from '../ids.ts'
import type { WebhookEvent } from '../vocabulary.ts'
import { prepared } from './prepared.ts'
import { appendEntry } from './record.ts'
import { type Scope, type Session, scopeOf } from './store.ts'
import type { SwitchedOffWhy } from './tables/webhooks.ts'

/** Longer than any try may take: who holds a message for longer than this has died. */
export const LEASE_MS = 60_000

export interface ToPutOut {
  endpointId: string
  messageId: string
  event: WebhookEvent | 'webhook.test'
  body: string
  now: number
}

/** Call within the transaction of the change itself. */
export async function putOut(scope: Scope, { now, ...message }: ToPutOut): Promise<string> {
  const { db, t, companyId } = scope
  const id = newId()
  await db.insert(t.webhookDeliveries).values({
    companyId,
    id,
    ...message,
    createdAt: now,
    state: 'waiting',
    tries: 0,
    nextAt: now,
    lease: null,
  })
  return id
}

/** The addresses in use that want to hear of it. */
export async function listListening(scope: Scope, event: WebhookEvent): Promise<string[]> {
  const rows = await prepared<{ id: string; events: WebhookEvent[] }>(scope, 'listening', ({ db, t }) =>
    db
      .select({ id: t.webhookEndpoints.id, events: t.webhookEndpoints.events })
      .from(t.webhookEndpoints)
      .where(
        and(
          eq(t.webhookEndpoints.companyId, sql.placeholder('companyId')),
          eq(t.webhookEndpoints.active, true),
        ),
      )
      .orderBy(asc(t.webhookEndpoints.createdAt), asc(t.webhookEndpoints.id)),
  ).execute({ companyId: scope.companyId })
  return rows.filter(({ events }) => events.includes(event)).map(({ id }) => id)
}

// ---------------------------------------------------------------- the side of whoever sends, for all companies at once

export interface DueEndpoint {
  companyId: string
  endpointId: string
}

/** Whoever waits longest first. */
export async function listDueEndpoints(
  { db, t }: Session,
  now: number,
  limit: number,
): Promise<DueEndpoint[]> {
  const first = min(t.webhookDeliveries.nextAt)
  return db
    .select({ companyId: t.webhookDeliveries.companyId, endpointId: t.webhookDeliveries.endpointId })
    .from(t.webhookDeliveries)
    .where(lte(t.webhookDeliveries.nextAt, now))
    .groupBy(t.webhookDeliveries.companyId, t.webhookDeliveries.endpointId)
    .orderBy(asc(first), asc(t.webhookDeliveries.endpointId))
    .limit(limit)
}

export interface Taken {
  companyId: string
  endpointId: string
  deliveryId: string
  messageId: string
  body: string
  url: string
  secret: string
  secretBefore: string | null
  secretBeforeUntil: number | null
  /** To be shown when it is put back. */
  lease: string
}

/**
 * Takes the message to this address that is due longest, so that no other process sends it meanwhile: its next moment
 * moves behind the lease, and only who saw the moment before can move it.
 */
export async function takeDue(
  { db, t }: Session,
  { companyId, endpointId }: DueEndpoint,
  dueBy: number,
  now: number,
): Promise<Taken | null> {
  const [row] = await db
    .select({
      deliveryId: t.webhookDeliveries.id,
      messageId: t.webhookDeliveries.messageId,
      body: t.webhookDeliveries.body,
      nextAt: t.webhookDeliveries.nextAt,
      url: t.webhookEndpoints.url,
      secret: t.webhookEndpoints.secret,
      secretBefore: t.webhookEndpoints.secretBefore,
      secretBeforeUntil: t.webhookEndpoints.secretBeforeUntil,
    })
    .from(t.webhookDeliveries)
    .innerJoin(
      t.webhookEndpoints,
      and(
        eq(t.webhookEndpoints.companyId, t.webhookDeliveries.companyId),
        eq(t.webhookEndpoints.id, t.webhookDeliveries.endpointId),
      ),
    )
    .where(
      and(
        eq(t.webhookDeliveries.companyId, companyId),
        eq(t.webhookDeliveries.endpointId, endpointId),
        lte(t.webhookDeliveries.nextAt, dueBy),
      ),
    )
    .orderBy(asc(t.webhookDeliveries.nextAt), asc(t.webhookDeliveries.id))
    .limit(1)
  if (!row || row.nextAt === null) return null
  const { nextAt, ...message } = row
  const lease = newId()
  const taken = await db
    .update(t.webhookDeliveries)
    .set({ lease, nextAt: now + LEASE_MS })
    .where(
      and(
        eq(t.webhookDeliveries.companyId, companyId),
        eq(t.webhookDeliveries.id, row.deliveryId),
        eq(t.webhookDeliveries.nextAt, nextAt),
      ),
    )
    .returning({ id: t.webhookDeliveries.id })
  return taken.length === 0 ? null : { companyId, endpointId, ...message, lease }
}

export interface Tried {
  at: number
  tookMs: number
  status: number | null
  problem: string | null
  answer: string | null
}

export interface Settling {
  now: number
  tried: Tried
  /** When to try again after this many tries; null when that was the last. */
  againAt(tries: number): number | null
  /** Nothing having got through since then, an address whose message was given up is switched off. */
  failingBefore: number
}

export interface Settled {
  outcome: 'delivered' | 'failed' | 'given-up' | 'lost'
  switchedOff: SwitchedOffWhy | null
}

/** Writes down what became of a try, of whoever still holds the message. */
export async function settle(session: Session, taken: Taken, settling: Settling): Promise<Settled> {
  const { db, t } = session
  const { companyId, endpointId, deliveryId } = taken
  const { now, tried } = settling
  const gotThrough = tried.status !== null && tried.status >= 200 && tried.status < 300
  const atEndpoint = and(eq(t.webhookEndpoints.companyId, companyId), eq(t.webhookEndpoints.id, endpointId))
  const atDelivery = and(
    eq(t.webhookDeliveries.companyId, companyId),
    eq(t.webhookDeliveries.id, deliveryId),
    eq(t.webhookDeliveries.lease, taken.lease),
  )
  // The address first, as whoever changes or removes it takes them: so that nobody waits for each other in a ring.
  const [endpoint] = await db
    .update(t.webhookEndpoints)
    .set(
      gotThrough
        ? { failuresInARow: 0, failingSince: null }
        : {
            failuresInARow: sql`${t.webhookEndpoints.failuresInARow} + 1`,
            failingSince: sql`coalesce(${t.webhookEndpoints.failingSince}, ${tried.at})`,
          },
    )
    .where(atEndpoint)
    .returning({ active: t.webhookEndpoints.active, failingSince: t.webhookEndpoints.failingSince })
  const [held] = await db
    .select({ tries: t.webhookDeliveries.tries, state: t.webhookDeliveries.state })
    .from(t.webhookDeliveries)
    .where(atDelivery)
  if (!endpoint || !held) return { outcome: 'lost', switchedOff: null }
  await db.insert(t.webhookAttempts).values({ companyId, id: newId(), deliveryId, ...tried })
  const tries = held.tries + 1
  const nextAt = gotThrough || held.state !== 'waiting' ? null : settling.againAt(tries)
  const state = gotThrough
    ? 'delivered'
    : held.state !== 'waiting'
      ? held.state
      : nextAt
        ? 'waiting'
        : 'given-up'
  await db.update(t.webhookDeliveries).set({ tries, nextAt, state, lease: null }).where(atDelivery)
  if (gotThrough) return { outcome: 'delivered', switchedOff: null }
  const failing = state === 'given-up' && (endpoint.failingSince ?? now) <= settling.failingBefore
  const why = tried.status === 410 ? 'gone' : failing ? 'failing' : null
  if (why !== null && endpoint.active) {
    const scope = scopeOf(session, companyId)
    await switchOff(scope, endpointId, why, now)
    await appendEntry(
      scope,
      { chainId: companyId, kind: 'webhook-switched-off', subjectId: endpointId, body: { why } },
      { now, deviceAt: null, memberId: null },
    )
  }
  return {
    outcome: state === 'given-up' ? 'given-up' : 'failed',
    switchedOff: endpoint.active ? why : null,
  }
}

/** Puts a message back untried: whoever sent it was told to stop. */
export async function giveBack({ db, t }: Session, taken: Taken, now: number): Promise<void> {
  await db
    .update(t.webhookDeliveries)
    .set({ lease: null, nextAt: now })
    .where(
      and(
        eq(t.webhookDeliveries.companyId, taken.companyId),
        eq(t.webhookDeliveries.id, taken.deliveryId),
        eq(t.webhookDeliveries.lease, taken.lease),
        eq(t.webhookDeliveries.state, 'waiting'),
      ),
    )
}

/** What waits for the address stops with it; it can be sent again by hand. */
export async function switchOff(
  { db, t, companyId }: Scope,
  endpointId: string,
  why: SwitchedOffWhy,
  now: number,
): Promise<void> {
  await db
    .update(t.webhookEndpoints)
    .set({ active: false, switchedOffWhy: why, switchedOffAt: now })
    .where(and(eq(t.webhookEndpoints.companyId, companyId), eq(t.webhookEndpoints.id, endpointId)))
  await db
    .update(t.webhookDeliveries)
    .set({ state: 'stopped', nextAt: null })
    .where(
      and(
        eq(t.webhookDeliveries.companyId, companyId),
        eq(t.webhookDeliveries.endpointId, endpointId),
        eq(t.webhookDeliveries.state, 'waiting'),
      ),
    )
}

/** Takes away what is over and older than this, a few at a time; answers how many. */
export async function removeOldDeliveries({ db, t }: Session, before: number, limit = 200): Promise<number> {
  const old = await db
    .select({ companyId: t.webhookDeliveries.companyId, id: t.webhookDeliveries.id })
    .from(t.webhookDeliveries)
    .where(and(lt(t.webhookDeliveries.createdAt, before), isNull(t.webhookDeliveries.nextAt)))
    .orderBy(asc(t.webhookDeliveries.createdAt), asc(t.webhookDeliveries.id))
    .limit(limit)
  for (const companyId of new Set(old.map((row) => row.companyId))) {
    const ids = old.filter((row) => row.companyId === companyId).map(({ id }) => id)
    await db
      .delete(t.webhookAttempts)
      .where(and(eq(t.webhookAttempts.companyId, companyId), inArray(t.webhookAttempts.deliveryId, ids)))
    await db
      .delete(t.webhookDeliveries)
      .where(and(eq(t.webhookDeliveries.companyId, companyId), inArray(t.webhookDeliveries.id, ids)))
  }
  return old.length
}

export async function countWaiting({ db, t }: Session): Promise<number> {
  const [row] = await db
    .select({ waiting: sql<number>`count(*)` })
    .from(t.webhookDeliveries)
    .where(isNotNull(t.webhookDeliveries.nextAt))
  return Number(row?.waiting ?? 0)
}
