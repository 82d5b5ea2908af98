// Is everything that happened sent, again and again until it arrives, and nothing that did not happen?

import { eq } from 'drizzle-orm'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { openCallback } from '../../server/commands/callbacks/open-callback.ts'
import { defineCommand } from '../../server/commands/command.ts'
import { changeWebhook } from '../../server/commands/webhooks/change-webhook.ts'
import { registerWebhook } from '../../server/commands/webhooks/register-webhook.ts'
import { removeWebhook } from '../../server/commands/webhooks/remove-webhook.ts'
import { replaceWebhookSecret } from '../../server/commands/webhooks/replace-webhook-secret.ts'
import { sendAgain } from '../../server/commands/webhooks/send-again.ts'
import { sendTestMessage } from '../../server/commands/webhooks/send-test-message.ts'
import { ownNetworks } from '../../server/outgoing/addresses.ts'
import { takeDue } from '../../server/store/outbox.ts'
import { findWebhook, listWebhookDeliveries } from '../../server/store/queries/webhooks.ts'
import { verifyChain } from '../../server/store/record.ts'
import { scopeOf } from '../../server/store/store.ts'
import { dispatcherOf } from '../../server/webhooks/dispatcher.ts'
import { Interrupted, type Posted, type ToPost } from '../../server/webhooks/post.ts'
import { DELAYS_MS } from '../../server/webhooks/schedule.ts'
import { aCast, type Cast, DAY, HOUR, MINUTE } from '../support/cast.ts'
import { aJobAtASite, singleZone } from '../support/setups.ts'
import { STORE_KINDS } from '../support/stores.ts'
import { exampleOfTheDocs } from './docs-example.ts'

const answered = (status: number, more: Partial<Posted> = {}): Posted => ({
  status,
  problem: null,
  answer: null,
  retryAfterMs: null,
  ...more,
})

describe.each(STORE_KINDS)('on %s', (kind) => {
  let cast: Cast
  let systemId: string
  let sent: ToPost[]
  let answer: (message: ToPost) => Posted | Promise<Posted>
  beforeEach(async () => {
    cast = await aCast(kind)
    systemId = (await singleZone(cast, { jobId: (await aJobAtASite(cast)).jobId, mark: 'one' })).systemId
    sent = []
    answer = () => answered(204)
  })
  afterEach(() => cast.remove())

  const scope = () => scopeOf(cast.store.store.reader(), cast.sam.companyId)
  const aDispatcher = () =>
    dispatcherOf({
      store: cast.store.store,
      sealer: cast.machinery.sealer,
      clock: () => cast.clock.now,
      own: ownNetworks(''),
      chance: () => 0.5,
      send: async (message) => {
        sent.push(message)
        return answer(message)
      },
      onProblem: (problem) => {
        throw problem
      },
    })
  const aWebhook = async (events: ('callback.opened' | 'job.signed_off')[] = ['callback.opened']) => {
    const { webhook, secret } = await cast.run(cast.sam, registerWebhook, {
      url: 'https://hooks.example/in',
      events,
    })
    return { id: webhook.id, secret: secret?.reveal() ?? '' }
  }
  const aCallback = () =>
    cast.run(cast.wren, openCallback, { systemId, symptom: 'Mallory Quill says it hisses' })
  const logOf = async (id: string) => (await listWebhookDeliveries(scope(), id, { limit: 50 })).items

  it('a message is put out with its change, to whom it was asked for, without the customer’s words, and signed', async () => {
    const wanted = await aWebhook()
    const other = await aWebhook(['job.signed_off'])
    const callback = await aCallback()
    await aDispatcher().round()
    expect(sent).toHaveLength(1)
    const [message] = sent as [ToPost]
    expect(JSON.parse(message.body)).toEqual({
      type: 'callback.opened',
      timestamp: new Date(cast.clock.now).toISOString(),
      data: {
        callbackId: callback.id,
        systemId: callback.systemId,
        reportedAt: new Date(cast.clock.now).toISOString(),
        outcome: 'not-yet-known',
        url: `http://jointkeep.test/api/v1/callbacks/${callback.id}`,
      },
    })
    const verified = await exampleOfTheDocs()
    expect(verified(message.headers, message.body, wanted.secret, cast.clock.now)).toBe(true)
    expect(verified(message.headers, message.body, other.secret, cast.clock.now)).toBe(false)
    expect(await logOf(other.id)).toEqual([])
    expect((await logOf(wanted.id))[0]).toMatchObject({
      state: 'delivered',
      nextAt: null,
      attempts: [{ status: 204 }],
    })
  })

  it('nothing is put out when the change is rolled back', async () => {
    const { id } = await aWebhook()
    const failing = defineCommand({
      ...openCallback,
      async handle(within, input, context) {
        await openCallback.handle(within, input, context)
        expect(await within.db.select().from(within.t.webhookDeliveries)).toHaveLength(1)
        throw new Error('after all')
      },
    })
    await expect(cast.run(cast.wren, failing, { systemId, symptom: 'x' })).rejects.toThrow('after all')
    expect(await logOf(id)).toEqual([])
  })

  it('the same request sent twice is told once', async () => {
    const { id } = await aWebhook()
    const raw = { id: '0190a212-53c4-7fe7-b7db-eca890000001', systemId, symptom: 'x' }
    await cast.run(cast.wren, openCallback, raw)
    await cast.run(cast.wren, openCallback, raw)
    expect(await logOf(id)).toHaveLength(1)
  })

  it('it is tried again by the schedule, then given up; with nothing through in three days the webhook is switched off', async () => {
    const { id } = await aWebhook()
    await aCallback()
    answer = () => answered(500, { answer: 'no' })
    const dispatcher = aDispatcher()
    const began = cast.clock.now
    const at: number[] = []
    for (;;) {
      await dispatcher.round()
      at.push(cast.clock.now - began)
      const [row] = await logOf(id)
      if (!row || row.nextAt === null) break
      // Not a moment before it is due.
      cast.clock.now = row.nextAt - 1
      await dispatcher.round()
      expect(sent).toHaveLength(at.length)
      cast.clock.now = row.nextAt
    }
    // Worked by hand from the schedule: 5 s, 1 min, 5 min, 30 min, 2 h, 5 h, 10 h, 14 h, 18 h, 24 h, without jitter.
    expect(at.map((ms) => ms / 1000)).toEqual([
      0, 5, 65, 365, 2165, 9365, 27365, 63365, 113765, 178565, 264965,
    ])
    expect(sent).toHaveLength(DELAYS_MS.length + 1)
    expect(new Set(sent.map(({ headers }) => headers['webhook-id'])).size).toBe(1)
    expect(new Set(sent.map(({ headers }) => headers['webhook-timestamp'])).size).toBe(sent.length)
    expect((await logOf(id))[0]).toMatchObject({ state: 'given-up', nextAt: null })
    expect(await findWebhook(scope(), id)).toMatchObject({
      active: false,
      switchedOffWhy: 'failing',
      failuresInARow: 11,
    })
    expect(await verifyChain(scope(), cast.sam.companyId)).toEqual([])
  })

  it('it is not switched off while anything gets through, and the count begins anew', async () => {
    const { id } = await aWebhook()
    await aCallback()
    answer = () => answered(503)
    await aDispatcher().round()
    expect(await findWebhook(scope(), id)).toMatchObject({ failuresInARow: 1, failingSince: cast.clock.now })
    answer = () => answered(200)
    cast.clock.pass(MINUTE)
    await aDispatcher().round()
    expect(await findWebhook(scope(), id)).toMatchObject({
      active: true,
      failuresInARow: 0,
      failingSince: null,
    })
  })

  it('a receiver that asks for time gets it, up to a day', async () => {
    const { id } = await aWebhook()
    await aCallback()
    answer = () => answered(429, { retryAfterMs: HOUR })
    await aDispatcher().round()
    expect((await logOf(id))[0]?.nextAt).toBe(cast.clock.now + HOUR)
    answer = () => answered(429, { retryAfterMs: 90 * DAY })
    cast.clock.pass(HOUR)
    await aDispatcher().round()
    expect((await logOf(id))[0]?.nextAt).toBe(cast.clock.now + DAY)
  })

  it('410 switches the webhook off at once; what waited stops, and goes out again by hand', async () => {
    const { id } = await aWebhook()
    await aCallback()
    await aCallback()
    answer = () => answered(410)
    await aDispatcher().round()
    expect(sent).toHaveLength(1)
    expect(await findWebhook(scope(), id)).toMatchObject({ active: false, switchedOffWhy: 'gone' })
    const stopped = await logOf(id)
    expect(stopped.map(({ state }) => state)).toEqual(['stopped', 'stopped'])
    await aCallback()
    expect(await logOf(id)).toHaveLength(2)
    const deliveryId = stopped[0]?.id ?? ''
    await expect(cast.run(cast.sam, sendAgain, { deliveryId })).rejects.toMatchObject({ code: 'webhook-off' })
    await cast.run(cast.sam, changeWebhook, { webhookId: id, active: true })
    await cast.run(cast.sam, sendAgain, { deliveryId })
    answer = () => answered(200)
    await aDispatcher().round()
    expect(sent.at(-1)?.headers['webhook-id']).toBe(stopped[0]?.messageId)
    expect((await logOf(id)).map(({ state }) => state).toSorted()).toEqual(['delivered', 'stopped'])
  })

  it('two processes do not send the same at the same time, and who died after posting is followed by the same id', async () => {
    const { id } = await aWebhook()
    await aCallback()
    const { store } = cast.store
    const due = { companyId: cast.sam.companyId, endpointId: id }
    const { now } = cast.clock
    const taken = await Promise.all(
      [1, 2].map(() => store.transaction((session) => takeDue(session, due, now, now))),
    )
    expect(taken.filter((one) => one !== null)).toHaveLength(1)
    expect((await logOf(id))[0]).toMatchObject({ underWay: true })
    // Whoever took it posted it, and died before writing that down: nobody else takes it before the lease is over.
    await aDispatcher().round()
    expect(sent).toEqual([])
    cast.clock.pass(MINUTE)
    await aDispatcher().round()
    expect(sent.map(({ headers }) => headers['webhook-id'])).toEqual([
      taken.find((one) => one !== null)?.messageId,
    ])
  })

  it('who is told to stop in the middle puts it back untried', async () => {
    const { id } = await aWebhook()
    await aCallback()
    answer = () => Promise.reject(new Interrupted())
    const dispatcher = aDispatcher()
    const round = dispatcher.round()
    await dispatcher.stop()
    await round
    expect((await logOf(id))[0]).toMatchObject({ state: 'waiting', underWay: false, attempts: [] })
  })

  it('for a day after a new secret both sign, then the new one alone', async () => {
    const verified = await exampleOfTheDocs()
    const before = await aWebhook()
    const webhookId = before.id
    const { secret } = await cast.run(cast.sam, replaceWebhookSecret, { webhookId })
    const now = secret?.reveal() ?? ''
    const verifies = async () => {
      await cast.run(cast.sam, sendTestMessage, { webhookId })
      await aDispatcher().round()
      const { headers, body } = sent.at(-1) as ToPost
      return [now, before.secret].map((one) => verified(headers, body, one, cast.clock.now))
    }
    expect(await verifies()).toEqual([true, true])
    cast.clock.pass(DAY)
    expect(await verifies()).toEqual([true, false])
  })

  it('the secrets are not in the database as they are', async () => {
    const { secret } = await aWebhook()
    const rows = await cast.store.store.query('select * from webhook_endpoints')
    expect(rows).toHaveLength(1)
    expect(JSON.stringify(rows)).not.toContain(secret.slice('whsec_'.length))
    const answers = await cast.store.store.query('select * from idempotency_keys')
    expect(JSON.stringify(answers)).not.toContain(secret.slice('whsec_'.length))
  })

  it('removed, it takes its log along, and what is under way to it ends quietly', async () => {
    const { id } = await aWebhook()
    await aCallback()
    answer = async () => {
      await cast.run(cast.sam, removeWebhook, { webhookId: id })
      return answered(200)
    }
    await aDispatcher().round()
    expect(sent).toHaveLength(1)
    await expect(findWebhook(scope(), id)).rejects.toMatchObject({ kind: 'missing' })
    for (const table of ['webhook_attempts', 'webhook_deliveries', 'webhook_endpoints'])
      expect(await cast.store.store.query(`select * from ${table}`), table).toEqual([])
  })

  it('the log is kept for 30 days, and what still waits longer', async () => {
    const { id } = await aWebhook()
    await aCallback()
    await aDispatcher().round()
    await aCallback()
    await cast.store.store.transaction(async ({ db, t }) => {
      await db
        .update(t.webhookDeliveries)
        .set({ nextAt: cast.clock.now + 60 * DAY })
        .where(eq(t.webhookDeliveries.state, 'waiting'))
    })
    cast.clock.pass(31 * DAY)
    await aDispatcher().tidy()
    expect((await logOf(id)).map(({ state }) => state)).toEqual(['waiting'])
    expect(await cast.store.store.query('select * from webhook_attempts')).toEqual([])
  })
})
