// How does a refusal look to a program? Problem details (RFC 9457).

import type { FastifyReply } from 'fastify'
import { Refusal, type RefusalKind } from '../refusals.ts'

const TITLES: Record<RefusalKind, string> = {
  malformed: 'Some fields need another look',
  'signed-out': 'Sign in first',
  forbidden: 'Not allowed',
  missing: 'Not found',
  conflict: 'This cannot be done as things stand',
  'refused-by-rule': 'A rule refuses this',
  'too-many': 'Too many tries',
  busy: 'Busy',
}

/** What fastify itself refuses before a handler runs, and what nobody foresaw, in the same words. */
export function refusalOf(problem: unknown): Refusal {
  if (problem instanceof Refusal) return problem
  const { statusCode, code } = problem as { statusCode?: number; code?: string }
  if (code === 'FST_ERR_CTP_BODY_TOO_LARGE')
    return unusual(413, 'too-large', 'This is larger than the server takes.')
  if (code === 'FST_ERR_CTP_INVALID_MEDIA_TYPE')
    return unusual(415, 'unsupported-media-type', 'Send JSON (application/json).')
  if (statusCode === 429)
    return new Refusal('too-many', 'too-many', 'Too many tries. Wait a little, then try again.')
  if (statusCode !== undefined && statusCode >= 400 && statusCode < 500)
    return new Refusal('malformed', 'malformed', 'This request could not be read.')
  return unusual(500, 'broken', 'Something went wrong on our side. Nothing was half-written.')
}

/** A status outside the few ways to say no; only the transport gives these. */
class Unusual extends Refusal {
  readonly transportStatus: number
  constructor(status: number, code: string, detail: string) {
    super('malformed', code, detail)
    this.transportStatus = status
  }
  override get status(): number {
    return this.transportStatus
  }
}
const unusual = (status: number, code: string, detail: string): Refusal => new Unusual(status, code, detail)

export function titleOf(refusal: Refusal): string {
  if (refusal.status === 500) return 'Something went wrong'
  if (refusal.status === 413) return 'Too large'
  if (refusal.status === 415) return 'Not a kind of content that is taken here'
  return TITLES[refusal.kind]
}

export function sendProblem(reply: FastifyReply, refusal: Refusal) {
  if (refusal.kind === 'busy') reply.header('retry-after', '2')
  return reply
    .code(refusal.status)
    .type('application/problem+json; charset=utf-8')
    .send(
      JSON.stringify({
        type: `/problems#${refusal.code}`,
        title: titleOf(refusal),
        status: refusal.status,
        detail: refusal.message,
        code: refusal.code,
        ...(refusal.errors.length > 0 ? { errors: refusal.errors } : {}),
        ...(refusal.findings.length > 0 ? { findings: refusal.findings } : {}),
      }),
    )
}
