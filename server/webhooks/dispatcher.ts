// How does a message get from the outbox to its receiver? Taken under a lease, posted with no transaction held, settled.

import type { Sealer } from '../access/sealer.ts'
import type { OwnNetworks } from '../outgoing/addresses.ts'
import {
  type DueEndpoint,
  giveBack,
  listDueEndpoints,
  removeOldDeliveries,
  settle,
  type Taken,
  takeDue,
} from '../store/outbox.ts'
import type { Store } from '../store/store.ts'
import { webhookCounts } from './counts.ts'
import { Interrupted, type Posted, post, type ToPost } from './post.ts'
import { delayAfter, LEAST_SPAN_MS } from './schedule.ts'
import { sealedForWebhook } from './sealed-for.ts'
import { headersOf } from './signature.ts'

/** How often the outbox is looked at. */
const LOOK_MS = 1000
/** How many receivers are spoken to at a time; to each, one message after the other. */
const AT_ONCE = 16
/** How long what was sent stays in the log. */
export const KEPT_MS = 30 * 86_400_000
const TIDY_MS = 3_600_000
/** How long the end of the service waits for answers that are under way. */
const GRACE_MS = 3000

export interface DispatcherParts {
  store: Store
  sealer: Sealer
  clock(): number
  own: OwnNetworks
  /** From 0 to 1. */
  chance?: () => number
  send?: (message: ToPost, signal: AbortSignal) => Promise<Posted>
  onProblem?: (problem: unknown) => void
}

export interface Dispatcher {
  start(): void
  /** Sends all that is due now. */
  round(): Promise<void>
  tidy(): Promise<void>
  /** Begins nothing more; what is under way has a moment to end, and is then put back. */
  stop(): Promise<void>
}

export function dispatcherOf(parts: DispatcherParts): Dispatcher {
  const { store, sealer, clock, own } = parts
  const chance = parts.chance ?? Math.random
  const send = parts.send ?? ((message, signal) => post(message, { own, signal, now: clock }))
  const onProblem = parts.onProblem ?? (() => {})
  const underWay = new Map<string, Promise<void>>()
  const ending = new AbortController()
  let stopping = false
  let timer: NodeJS.Timeout | undefined
  let tidiedAt = 0

  async function round(): Promise<void> {
    const due = await listDueEndpoints(store.reader(), clock(), AT_ONCE * 4)
    for (const endpoint of due) {
      const { endpointId } = endpoint
      if (stopping || underWay.size >= AT_ONCE) break
      if (underWay.has(endpointId)) continue
      const work = serve(endpoint)
        .catch(onProblem)
        .finally(() => underWay.delete(endpointId))
      underWay.set(endpointId, work)
    }
    await Promise.all(due.map(({ endpointId }) => underWay.get(endpointId)))
  }

  async function serve(endpoint: DueEndpoint): Promise<void> {
    // What is put out while this runs waits for the next round, so that no address keeps a place for ever.
    const until = clock()
    while (!stopping) {
      const taken = await store.transaction((session) => takeDue(session, endpoint, until, clock()))
      if (!taken) return
      await deliver(taken)
    }
  }

  async function deliver(taken: Taken): Promise<void> {
    const at = clock()
    const began = performance.now()
    let posted: Posted
    try {
      posted = await sendSigned(taken, at)
    } catch (problem) {
      await store.transaction((session) => giveBack(session, taken, clock()))
      if (problem instanceof Interrupted) return
      throw problem
    }
    const { retryAfterMs, ...answered } = posted
    const now = clock()
    const settled = await store.transaction((session) =>
      settle(session, taken, {
        now,
        tried: { at, tookMs: Math.round(performance.now() - began), ...answered },
        againAt: (tries) => {
          const delay = delayAfter(tries, chance(), retryAfterMs)
          return delay === null ? null : now + delay
        },
        failingBefore: now - LEAST_SPAN_MS,
      }),
    )
    if (settled.outcome === 'delivered') webhookCounts.delivered += 1
    if (settled.outcome === 'failed' || settled.outcome === 'given-up') webhookCounts.failed += 1
    if (settled.outcome === 'given-up') webhookCounts.givenUp += 1
    if (settled.switchedOff) webhookCounts.switchedOff += 1
  }

  async function sendSigned(taken: Taken, at: number): Promise<Posted> {
    const before = (taken.secretBeforeUntil ?? 0) > at ? taken.secretBefore : null
    const of = sealedForWebhook(taken.companyId, taken.endpointId)
    const secrets = [taken.secret, before].flatMap((sealed) =>
      sealed === null ? [] : (sealer.open(sealed, of) ?? []),
    )
    // Unsigned, nobody could tell it from anybody else's.
    if (secrets.length === 0)
      return { status: null, problem: 'secret-unreadable', answer: null, retryAfterMs: null }
    const headers = headersOf({ id: taken.messageId, at, body: taken.body, secrets })
    return send({ url: taken.url, headers, body: taken.body }, ending.signal)
  }

  async function tidy(): Promise<void> {
    const before = clock() - KEPT_MS
    // A few in each transaction: who records work waits for none of it.
    while (!stopping && (await store.transaction((session) => removeOldDeliveries(session, before))) > 0);
  }

  function look(): void {
    // A receiver that takes its time holds up nobody else: the next look does not wait for this one's answers.
    void round().catch(onProblem)
    if (clock() - tidiedAt >= TIDY_MS) {
      tidiedAt = clock()
      void tidy().catch(onProblem)
    }
  }

  return {
    start() {
      timer ??= setInterval(look, LOOK_MS)
    },
    round,
    tidy,
    async stop() {
      stopping = true
      clearInterval(timer)
      const grace = setTimeout(() => ending.abort(), GRACE_MS)
      await Promise.all(underWay.values()).finally(() => clearTimeout(grace))
    },
  }
}
