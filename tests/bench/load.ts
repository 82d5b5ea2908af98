// The load, as a process of its own: so many connections, so many seconds, then what was measured, as JSON.

import { readFileSync } from 'node:fs'
import { Agent, get } from 'node:http'
import autocannon from 'autocannon'
import { newId } from '../../server/ids.ts'

export interface Load {
  url: string
  connections: number
  seconds: number
  headers: Record<string, string>
  /** Requests a second, evenly spaced; as many as go when it is left out. */
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
process.stdout.write(
  JSON.stringify(load.rate === undefined ? await asManyAsGo(load) : await paced(load, load.rate)),
)

async function asManyAsGo(load: Load): Promise<Measured> {
  let next = 0
  const result = await autocannon({
    url: load.url,
    connections: load.connections,
    duration: load.seconds,
    headers: load.headers,
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
  return measured
}

/** One request every so many milliseconds, whether the last was answered or not; late answers count from when they were due. */
async function paced(load: Load, rate: number): Promise<Measured> {
  const agent = new Agent({ keepAlive: true, maxSockets: load.connections })
  const took: number[] = []
  const statuses: Record<string, number> = {}
  let errors = 0
  const begin = performance.now()
  const total = rate * load.seconds
  const answers: Promise<void>[] = []
  for (let index = 0; index < total; index += 1) {
    const due = begin + (index * 1000) / rate
    const early = due - performance.now()
    if (early > 0) await new Promise((resolve) => setTimeout(resolve, early))
    answers.push(
      new Promise((resolve) => {
        const sent = get(load.url, { agent, headers: load.headers }, (answer) => {
          answer.resume()
          answer.once('end', () => {
            took.push(performance.now() - due)
            statuses[String(answer.statusCode)] = (statuses[String(answer.statusCode)] ?? 0) + 1
            resolve()
          })
        })
        sent.once('error', () => {
          errors += 1
          resolve()
        })
      }),
    )
  }
  await Promise.all(answers)
  agent.destroy()
  took.sort((a, b) => a - b)
  const at = (share: number) => took[Math.min(took.length - 1, Math.floor(took.length * share))] ?? Number.NaN
  const seconds = (performance.now() - begin) / 1000
  return {
    perSecond: took.length / seconds,
    requests: took.length,
    seconds,
    p50Ms: at(0.5),
    p99Ms: at(0.99),
    maxMs: took.at(-1) ?? Number.NaN,
    statuses,
    errors,
  }
}
