// How is an act of the story carried out? By a program that posts JSON, or by somebody who fills in the page's form.

import type { FastifyInstance } from 'fastify'
import { asProgram, type Cast, type Player } from '../support/cast.ts'
import { type FieldValue, type Seen, Visitor } from '../support/visitor.ts'

export interface Act {
  /** As the API has it: `/makes/…/torque`. The page's form posts to the same. */
  path: string
  body: Record<string, unknown>
  /** The page that has the form. */
  on: string
  /** What is filled in on the page, where its form asks otherwise than the API. */
  form?: Record<string, unknown>
}

/** What was refused, in the same words for both. */
export class Refused extends Error {
  readonly status: number
  readonly code: string
  constructor(status: number, code: string, detail: string) {
    super(detail)
    this.status = status
    this.code = code
  }
}

export interface Hands {
  send(player: Player, act: Act): Promise<void>
}

export class ProgramHands implements Hands {
  readonly #server: FastifyInstance
  constructor(server: FastifyInstance) {
    this.#server = server
  }
  async send(player: Player, { path, body }: Act): Promise<void> {
    const response = await this.#server.inject({
      method: 'POST',
      url: `/api/v1${path}`,
      headers: asProgram(player),
      payload: body,
    })
    if (response.statusCode >= 400) {
      const problem = response.json()
      const fields = (problem.errors ?? []).map(
        (error: { path: string; message: string }) => ` ${error.path}: ${error.message}`,
      )
      const held = (problem.findings ?? []).map(
        (finding: { requirement: string; reason: string }) => ` ${finding.requirement}: ${finding.reason}`,
      )
      throw new Refused(response.statusCode, problem.code, `${problem.detail}${[...fields, ...held].join()}`)
    }
  }
}

export class PageHands implements Hands {
  readonly #server: FastifyInstance
  readonly #visitors = new Map<string, Visitor>()
  constructor(server: FastifyInstance) {
    this.#server = server
  }

  async send(player: Player, act: Act): Promise<void> {
    const { readings, ...rest } = act.form ?? act.body
    if (!Array.isArray(readings)) return this.#submit(player, act, rest)
    // The page takes one reading at a time.
    for (const reading of readings as Record<string, unknown>[])
      await this.#submit(
        player,
        act,
        Object.fromEntries(Object.entries(reading).map(([name, value]) => [`readings.0.${name}`, value])),
      )
  }

  async #submit(player: Player, act: Act, body: Record<string, unknown>): Promise<void> {
    const visitor = this.#visitors.get(player.memberId) ?? new Visitor(this.#server)
    this.#visitors.set(player.memberId, visitor)
    visitor.carry(player.cookie)
    const { allAsListed, ...given } = body
    const button = allAsListed ? { name: 'allAsListed', value: 'true' } : undefined
    const seen = await visitor.send(act.on, act.path, asFields(given), button)
    if (seen.status >= 400) throw new Refused(seen.status, 'page', messageIn(seen))
  }
}

const messageIn = (seen: Seen): string =>
  seen.page
    .querySelectorAll('.flash-refused, .message, [role=alert]')
    .map((one) => one.structuredText)
    .join(' ') || seen.text

/** A body as a program would send it, as the fields of a form; moments as the form's local time has them. */
export function asFields(body: Record<string, unknown>, path = ''): Record<string, FieldValue> {
  const fields: Record<string, FieldValue> = {}
  for (const [name, value] of Object.entries(body)) {
    if (value === undefined) continue
    const at = path === '' ? name : `${path}.${name}`
    // On the page each concession is asked for beside its own finding.
    if (name === 'requests')
      for (const { requirement, subjectId, reason } of value as Record<string, string>[])
        fields[`_request ${requirement} ${subjectId}`] = reason ?? ''
    else if (typeof value === 'object' && value !== null)
      Object.assign(fields, asFields(value as Record<string, unknown>, at))
    else if (typeof value === 'string' && /^\d{4}-\d\d-\d\dT.*Z$/.test(value)) fields[at] = value.slice(0, 16)
    else fields[at] = value as FieldValue
  }
  return fields
}

/** What anyone may read, whoever's hands did the work. */
export async function look(cast: Cast, player: Player, path: string) {
  const server = await cast.server()
  const response = await server.inject({ url: `/api/v1${path}`, headers: asProgram(player) })
  if (response.statusCode >= 400) throw new Error(`${path}: ${response.statusCode} ${response.body}`)
  return response.json()
}
