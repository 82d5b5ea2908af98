// How does a refusal look to a program? Problem details (RFC 9457).

import type { FastifyReply } from 'fastify'
import { Refusal, type RefusalKind } from '../refusals.ts'
import { say } from '../words/say.ts'

const titles = (): Record<RefusalKind, string> => ({
  malformed: say.refusals.someFieldsNeedAnotherLook,
  'signed-out': say.refusals.signInFirst2,
  forbidden: say.refusals.notAllowed,
  missing: say.refusals.notFound,
  conflict: say.refusals.thisCannotBeDone,
  'refused-by-rule': say.refusals.aRuleRefusesThis,
  'too-many': say.refusals.tooManyTries,
  busy: say.refusals.busy,
})

/** What fastify itself refuses before a handler runs, and what nobody foresaw, in the same words. */
export function refusalOf(problem: unknown): Refusal {
  if (problem instanceof Refusal) return problem
  const { statusCode, code } = problem as { statusCode?: number; code?: string }
  if (code === 'FST_ERR_CTP_BODY_TOO_LARGE') return unusual(413, 'too-large', say.refusals.thisIsLargerThan)
  if (code === 'FST_ERR_CTP_INVALID_MEDIA_TYPE')
    return unusual(415, 'unsupported-media-type', say.refusals.sendJsonApplicationJson)
  if (statusCode === 429) return new Refusal('too-many', 'too-many', say.refusals.tooManyTriesWait)
  if (statusCode !== undefined && statusCode >= 400 && statusCode < 500)
    return new Refusal('malformed', 'malformed', say.refusals.thisRequestCouldNot)
  return unusual(500, 'broken', say.refusals.somethingWentWrongOn)
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
  if (refusal.status === 500) return say.refusals.somethingWentWrong
  if (refusal.status === 413) return say.refusals.tooLarge
  if (refusal.status === 415) return say.refusals.notAKindOf
  return titles()[refusal.kind]
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
