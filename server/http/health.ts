// Is the service alive, and can it take work?

import { statfs } from 'node:fs/promises'
import type { FastifyInstance } from 'fastify'
import { migrationNames } from '../store/migrate.ts'
import { countWaiting } from '../store/outbox.ts'
import { webhookCounts } from '../webhooks/counts.ts'
import type { Deps } from './deps.ts'

/** With less than this left, the database could be refused its next page. */
const DISK_LEFT = 64 * 1024 * 1024

export function health(app: FastifyInstance, { config, machinery: { store } }: Deps): void {
  app.get('/health/live', async () => ({ alive: true }))

  app.get('/health/ready', async (_request, reply) => {
    const checks = {
      database: await store.ready().catch(() => false),
      migrations: await upToDate().catch(() => false),
      disk: await diskLeft().catch(() => false),
    }
    const ready = Object.values(checks).every(Boolean)
    return reply.code(ready ? 200 : 503).send({ ready, checks })
  })

  if (config.metrics) {
    app.get('/metrics', async (_request, reply) => {
      const { Counter, Gauge, register, collectDefaultMetrics } = await import('prom-client')
      if (register.getMetricsAsArray().length === 0) {
        collectDefaultMetrics()
        new Counter({
          name: 'jointkeep_webhook_tries_total',
          help: 'Messages sent to webhooks by this process, by what became of the try.',
          labelNames: ['outcome'],
          collect() {
            this.reset()
            this.inc({ outcome: 'delivered' }, webhookCounts.delivered)
            this.inc({ outcome: 'failed' }, webhookCounts.failed)
          },
        })
        new Counter({
          name: 'jointkeep_webhook_given_up_total',
          help: 'Messages that did not get through within their last try.',
          collect() {
            this.reset()
            this.inc(webhookCounts.givenUp)
          },
        })
        new Counter({
          name: 'jointkeep_webhook_switched_off_total',
          help: 'Webhooks that this process switched off.',
          collect() {
            this.reset()
            this.inc(webhookCounts.switchedOff)
          },
        })
        new Gauge({
          name: 'jointkeep_webhook_waiting',
          help: 'Messages that wait to be sent, of all companies.',
          async collect() {
            this.set(await countWaiting(store.reader()))
          },
        })
      }
      return reply.type(register.contentType).send(await register.metrics())
    })
  }

  async function upToDate(): Promise<boolean> {
    const applied = await store.query<{ name: string }>('select name from migrations order by name')
    const names = new Set(applied.map((row) => row.name))
    return migrationNames(store.dialect).every((name) => names.has(name))
  }

  async function diskLeft(): Promise<boolean> {
    if (store.dialect !== 'sqlite') return true
    const file = config.databaseUrl.slice('sqlite:'.length)
    const { bavail, bsize } = await statfs(file)
    return bavail * bsize > DISK_LEFT
  }
}
