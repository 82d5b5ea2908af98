// Does a receiver out there hear of each thing that happens, and can it tell that it was us?

import { createServer, type IncomingHttpHeaders, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { closeCallback } from '../../server/commands/callbacks/close-callback.ts'
import { openCallback } from '../../server/commands/callbacks/open-callback.ts'
import { openRecall } from '../../server/commands/recalls/open-recall.ts'
import { reopenJob } from '../../server/commands/release/reopen-job.ts'
import { signOffJob } from '../../server/commands/release/sign-off-job.ts'
import { registerWebhook } from '../../server/commands/webhooks/register-webhook.ts'
import { ownNetworks } from '../../server/outgoing/addresses.ts'
import { WEBHOOK_EVENTS } from '../../server/vocabulary.ts'
import { dispatcherOf } from '../../server/webhooks/dispatcher.ts'
import { type MessageType, messageSchema } from '../../server/webhooks/events.ts'
import { aWorld, teamA, type World } from '../shape/world.ts'
import { aCast, asProgram, type Cast } from '../support/cast.ts'
import { exampleOfTheDocs } from './docs-example.ts'

let cast: Cast
let world: World
let receiver: Server
const received: { headers: IncomingHttpHeaders; body: string }[] = []
beforeAll(async () => {
  cast = await aCast()
  world = await aWorld(cast, teamA(cast), 'Aldermoor')
  receiver = createServer((request, response) => {
    const parts: Buffer[] = []
    request.on('data', (part: Buffer) => parts.push(part))
    request.on('end', () => {
      received.push({ headers: request.headers, body: Buffer.concat(parts).toString() })
      response.writeHead(204).end()
    })
  })
  await new Promise<void>((ready) => receiver.listen(0, '127.0.0.1', ready))
}, 60_000)
afterAll(async () => {
  receiver.closeAllConnections()
  await new Promise((closed) => receiver.close(closed))
  await cast.remove()
})

describe('a receiver', () => {
  it('is told of all five, each signed, in its own schema, with an address that answers, and nothing of the customer', async () => {
    cast.machinery.settings.ownNetworks = '127.0.0.1'
    const { port } = receiver.address() as AddressInfo
    const { secret } = await cast.run(cast.olga, registerWebhook, {
      url: `http://127.0.0.1:${port}/jointkeep`,
      events: [...WEBHOOK_EVENTS],
    })
    // The world's own webhooks lead nowhere.
    await cast.store.store.execute(`delete from webhook_deliveries`)
    const { certificate } = await cast.run(cast.sam, signOffJob, { jobId: world.jobs.audited })
    await cast.run(cast.sam, reopenJob, {
      jobId: world.jobs.audited,
      reason: 'The tag of Aldermoor was wrong',
    })
    const callback = await cast.run(cast.wren, openCallback, {
      systemId: world.systemId,
      symptom: 'Aldermoor hears a hiss',
    })
    await cast.run(cast.wren, closeCallback, { callbackId: callback.id, outcome: 'none-found' })
    await cast.run(cast.sam, openRecall, { instrumentId: world.spareToolId })

    await cast.store.store.execute(
      `delete from webhook_deliveries where endpoint_id in ('${world.webhookId}', '${world.spareWebhookId}')`,
    )
    await dispatcherOf({
      store: cast.store.store,
      sealer: cast.machinery.sealer,
      clock: () => cast.clock.now,
      own: ownNetworks('127.0.0.1'),
      onProblem: (problem) => {
        throw problem
      },
    }).round()

    const verified = await exampleOfTheDocs()
    const messages = received.map(({ headers, body }) => {
      expect(headers['content-type']).toBe('application/json')
      expect(verified(headers, body, secret?.reveal() ?? '', cast.clock.now)).toBe(true)
      const message = JSON.parse(body) as {
        type: MessageType
        data: Record<string, unknown> & { url: string }
      }
      expect(messageSchema(message.type).safeParse(message).error).toBeUndefined()
      return message
    })
    expect(messages.map(({ type }) => type).toSorted()).toEqual([...WEBHOOK_EVENTS].toSorted())
    expect(messages.find(({ type }) => type === 'job.signed_off')?.data).toMatchObject({
      jobId: world.jobs.audited,
      reference: 'Aldermoor audited',
      certificate: { id: certificate.id, revision: 1 },
    })
    for (const { type, data } of messages) {
      // The job's reference is the company's own; of the customer nothing is said.
      const said = JSON.stringify({ ...data, reference: null })
      expect(said, type).not.toContain('Aldermoor')
      const server = await cast.server()
      const path = data.url.replace('http://jointkeep.test', '')
      expect((await server.inject({ url: path, headers: asProgram(cast.sam) })).statusCode, path).toBe(200)
    }
  }, 60_000)
})
