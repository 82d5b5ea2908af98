// To which addresses does a company have messages sent, and what became of each message?

import { and, asc, desc, eq, inArray, lt, or } from 'drizzle-orm'
import { missing } from '../../refusals.ts'
import { say } from '../../words/say.ts'
import type { Scope } from '../store.ts'
import type { Tables } from '../tables/index.ts'
import { type Page, pageOf, readCursor } from './pages.ts'

type EndpointTable = Tables['webhookEndpoints']['$inferSelect']
/** Without its secrets, which are read by who signs alone. */
export type WebhookRow = Omit<EndpointTable, 'companyId' | 'secret' | 'secretBefore'>
export type AttemptRow = Omit<Tables['webhookAttempts']['$inferSelect'], 'companyId' | 'deliveryId'>
export type DeliveryRow = Omit<Tables['webhookDeliveries']['$inferSelect'], 'companyId' | 'lease'> & {
  /** Somebody is sending it right now. */
  underWay: boolean
  /** Oldest first. */
  attempts: AttemptRow[]
}

const columns = ({ t }: Scope) => ({
  id: t.webhookEndpoints.id,
  url: t.webhookEndpoints.url,
  description: t.webhookEndpoints.description,
  events: t.webhookEndpoints.events,
  active: t.webhookEndpoints.active,
  switchedOffWhy: t.webhookEndpoints.switchedOffWhy,
  switchedOffAt: t.webhookEndpoints.switchedOffAt,
  secretBeforeUntil: t.webhookEndpoints.secretBeforeUntil,
  failuresInARow: t.webhookEndpoints.failuresInARow,
  failingSince: t.webhookEndpoints.failingSince,
  createdBy: t.webhookEndpoints.createdBy,
  createdAt: t.webhookEndpoints.createdAt,
})

interface Filter {
  limit: number
  cursor?: string | undefined
}

/** Newest first. */
export async function listWebhooks(scope: Scope, filter: Filter): Promise<Page<WebhookRow>> {
  const { db, t, companyId } = scope
  const after = readCursor(filter.cursor)
  const rows = await db
    .select(columns(scope))
    .from(t.webhookEndpoints)
    .where(
      and(
        eq(t.webhookEndpoints.companyId, companyId),
        after
          ? or(
              lt(t.webhookEndpoints.createdAt, after.at),
              and(eq(t.webhookEndpoints.createdAt, after.at), lt(t.webhookEndpoints.id, after.id)),
            )
          : undefined,
      ),
    )
    .orderBy(desc(t.webhookEndpoints.createdAt), desc(t.webhookEndpoints.id))
    .limit(filter.limit + 1)
  return pageOf(rows, filter.limit, (row) => ({ at: row.createdAt, id: row.id }))
}

export async function findWebhook(scope: Scope, webhookId: string): Promise<WebhookRow> {
  const { db, t, companyId } = scope
  const [row] = await db
    .select(columns(scope))
    .from(t.webhookEndpoints)
    .where(and(eq(t.webhookEndpoints.companyId, companyId), eq(t.webhookEndpoints.id, webhookId)))
  if (!row) throw missing(say.webhooks.thisWebhook)
  return row
}

/** What was sent, is being sent and waits, newest first, with every try. */
export async function listWebhookDeliveries(
  scope: Scope,
  webhookId: string,
  filter: Filter,
): Promise<Page<DeliveryRow>> {
  const { db, t, companyId } = scope
  await findWebhook(scope, webhookId)
  const after = readCursor(filter.cursor)
  const rows = await db
    .select()
    .from(t.webhookDeliveries)
    .where(
      and(
        eq(t.webhookDeliveries.companyId, companyId),
        eq(t.webhookDeliveries.endpointId, webhookId),
        after
          ? or(
              lt(t.webhookDeliveries.createdAt, after.at),
              and(eq(t.webhookDeliveries.createdAt, after.at), lt(t.webhookDeliveries.id, after.id)),
            )
          : undefined,
      ),
    )
    .orderBy(desc(t.webhookDeliveries.createdAt), desc(t.webhookDeliveries.id))
    .limit(filter.limit + 1)
  const page = pageOf(rows, filter.limit, (row) => ({ at: row.createdAt, id: row.id }))
  return { ...page, items: await withAttempts(scope, page.items) }
}

export async function findWebhookDelivery(scope: Scope, deliveryId: string): Promise<DeliveryRow> {
  const { db, t, companyId } = scope
  const rows = await db
    .select()
    .from(t.webhookDeliveries)
    .where(and(eq(t.webhookDeliveries.companyId, companyId), eq(t.webhookDeliveries.id, deliveryId)))
  const [row] = await withAttempts(scope, rows)
  if (!row) throw missing(say.webhooks.thisMessage)
  return row
}

async function withAttempts(
  { db, t, companyId }: Scope,
  rows: readonly Tables['webhookDeliveries']['$inferSelect'][],
): Promise<DeliveryRow[]> {
  if (rows.length === 0) return []
  const attempts = await db
    .select()
    .from(t.webhookAttempts)
    .where(
      and(
        eq(t.webhookAttempts.companyId, companyId),
        inArray(
          t.webhookAttempts.deliveryId,
          rows.map(({ id }) => id),
        ),
      ),
    )
    .orderBy(asc(t.webhookAttempts.at), asc(t.webhookAttempts.id))
  return rows.map(({ companyId: _company, lease, ...row }) => ({
    ...row,
    underWay: lease !== null && row.nextAt !== null,
    attempts: attempts
      .filter(({ deliveryId }) => deliveryId === row.id)
      .map(({ companyId: _of, deliveryId: _to, ...attempt }) => attempt),
  }))
}
