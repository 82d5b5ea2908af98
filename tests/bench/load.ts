// The load, as a process of its own: so many connections, so many seconds, then what was measured, as JSON.

import { readFileSync } from 'node:fs'
import autocannon from 'autocannon'
import { newId } from '../../server/ids.ts'

export interface Load {
  url: string
  connections: number
  seconds: number
  headers: Record<string, string>
  /** Requests a second over all connections; as many as go when it is left out. */
  rate?: number
  /** Torques on these makes, one after the other, each a fresh reading; left out, the address is asked. */
  torque?: { prefix: string; makes: string[]; body: Record<string, unknown> }
}

export interface Measured {
  perSecond: number
  requests: number
  seconds: number
  p50Ms: number
  p99Ms: number
  maxMs: number
  /** Answers by status, and connections that broke. */
  statuses: Record<string, number>
  errors: number
}

const load = JSON.parse(readFileSync(0, 'utf8')) as Load
let next = 0
const result = await autocannon({
  url: load.url,
  connections: load.connections,
  duration: load.seconds,
  headers: load.headers,
  ...(load.rate ? { overallRate: load.rate } : {}),
  ...(load.torque
    ? {
        requests: [
          {
            method: 'POST' as const,
            setupRequest(request: autocannon.Request) {
              const { prefix = '', makes = [], body = {} } = load.torque ?? {}
              const make = makes[next % makes.length] ?? ''
              next += 1
              return {
                ...request,
                path: `${prefix}/makes/${make}/torque`,
                body: JSON.stringify({ id: newId(), ...body }),
              }
            },
          },
        ],
      }
    : {}),
})
const statuses = Object.fromEntries(
  Object.entries(result.statusCodeStats ?? {}).map(([status, { count = 0 }]) => [status, count]),
)
const measured: Measured = {
  perSecond: result.requests.total / result.duration,
  requests: result.requests.total,
  seconds: result.duration,
  p50Ms: result.latency.p50,
  p99Ms: result.latency.p99,
  maxMs: result.latency.max,
  statuses,
  errors: result.errors + result.timeouts,
}
process.stdout.write(JSON.stringify(measured))
