// Who sent this request? A bearer token first, otherwise the session cookie.

import type { FastifyRequest } from 'fastify'
import type { Actor } from '../access/actor.ts'
import { SESSION_COOKIE } from '../access/sessions.ts'
import { actorOfToken, seatOf } from '../access/tokens.ts'
import { Refusal } from '../refusals.ts'
import type { Deps } from './deps.ts'

export interface Identity {
  actor: Actor | null
  /** Signed in, but perhaps with no company chosen or left. */
  personId: string | null
  /** The secret of the cookie, when it was the cookie. */
  sessionSecret: string | null
  /** The company chosen in this session. */
  companyId: string | null
  /** That company wants a second step, which this session has not given: nobody is let in yet. */
  held: boolean
  /** When a second factor was given in this session. */
  secondStepAt: number | null
  /** The company whose own provider opened the session; it reaches nothing else of the person's. */
  boundTo: string | null
}

const NOBODY: Identity = {
  actor: null,
  personId: null,
  sessionSecret: null,
  companyId: null,
  held: false,
  secondStepAt: null,
  boundTo: null,
}

export async function identify(deps: Deps, request: FastifyRequest): Promise<Identity> {
  const { authorization } = request.headers
  if (authorization !== undefined) {
    const token = /^Bearer +(\S+)$/i.exec(authorization)?.[1]
    const actor = token
      ? await actorOfToken(deps.machinery.store.reader(), token, deps.machinery.clock())
      : null
    if (!actor)
      throw new Refusal('signed-out', 'bad-token', 'This token is unknown, expired, or was taken back.')
    return { ...NOBODY, actor, personId: actor.personId }
  }
  const secret = request.cookies[SESSION_COOKIE]
  if (!secret) return NOBODY
  const session = await deps.sessions.find(secret)
  if (!session) return NOBODY
  const { personId, companyId, secondStepAt, boundTo } = session
  const seat = companyId ? await seatOf(deps.machinery.store.reader(), personId, companyId) : null
  // Whom a company's own provider brought has been asked there what the company wants.
  const held = seat?.wantsSecondStep === true && secondStepAt === null && boundTo === null
  const actor = held ? null : (seat?.actor ?? null)
  return { actor, personId, sessionSecret: secret, companyId, held, secondStepAt, boundTo }
}
